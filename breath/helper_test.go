package breath

import "waterkey/score"

var (
	common = score.Meter{Beats: 4, Unit: 4}
	tempo  = score.Tempo{}
)
