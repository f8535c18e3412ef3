package reading

import (
	"math"

	"waterkey/finding"
	"waterkey/player"
)

// odds is where a kind of finding stands on the one scale of weights: the risk
// that it goes wrong at first sight, from a mild case to a severe one, and how
// much of it is heard. All are estimates of a coach's experience, from 0 (never,
// nobody) to 1 (always, everybody).
type odds struct {
	stage        finding.Stage
	mild, severe float64
	heard        float64
}

var scale = map[string]odds{
	"key":          {finding.Notes, 0.45, 0.65, 0.9},
	"key-change":   {finding.Notes, 0.65, 0.80, 0.9},
	"accidental":   {finding.Notes, 0.35, 0.70, 0.9},
	"clef":         {finding.Notes, 0.55, 0.75, 0.9},
	"clef-change":  {finding.Notes, 0.60, 0.75, 0.9},
	"out-of-reach": {finding.Notes, 1, 1, 1},
	"low":          {finding.Notes, 0.45, 0.80, 0.7},
	"high":         {finding.Notes, 0.50, 0.90, 0.8},
	"leap":         {finding.Notes, 0.50, 0.75, 0.8},
	"slide-trap":   {finding.Notes, 0.70, 0.90, 0.8},
	"alternate":    {finding.Notes, 0.45, 0.80, 0.6},
	"attachment":   {finding.Notes, 0.40, 0.60, 0.6},
	"fingering":    {finding.Notes, 0.40, 0.70, 0.7},

	"meter":        {finding.Rhythm, 0.50, 0.65, 0.9},
	"meter-change": {finding.Rhythm, 0.65, 0.80, 0.9},
	"bar-sum":      {finding.Rhythm, 0.95, 1, 0.95},
	"short-rest":   {finding.Rhythm, 0.70, 0.85, 0.8},
	"dotted":       {finding.Rhythm, 0.55, 0.75, 0.7},
	"syncopation":  {finding.Rhythm, 0.55, 0.90, 0.8},
	"tuplet":       {finding.Rhythm, 0.55, 0.75, 0.7},
	"tie-over-bar": {finding.Rhythm, 0.50, 0.65, 0.7},
	"tempo-change": {finding.Rhythm, 0.55, 0.75, 0.8},

	"prevailing":           {finding.Articulation, 0.50, 0.60, 0.85},
	"articulation-change":  {finding.Articulation, 0.55, 0.75, 0.7},
	"stands-out":           {finding.Articulation, 0.85, 0.95, 0.9},
	"glissando":            {finding.Articulation, 0.60, 0.75, 0.9},
	"glissando-impossible": {finding.Articulation, 0.95, 0.95, 0.95},
	"ornament":             {finding.Articulation, 0.50, 0.75, 0.7},

	"level":         {finding.Dynamics, 0.55, 0.65, 0.8},
	"hairpin":       {finding.Dynamics, 0.60, 0.75, 0.6},
	"sudden":        {finding.Dynamics, 0.70, 0.85, 0.8},
	"soft-and-low":  {finding.Dynamics, 0.75, 0.95, 0.9},
	"loud-and-high": {finding.Dynamics, 0.65, 0.90, 0.8},

	"phrase":             {finding.Choices, 0.45, 0.60, 0.7},
	"breath":             {finding.Choices, 0.50, 0.65, 0.7},
	"no-room-to-breathe": {finding.Choices, 0.75, 0.95, 0.8},
	"weight":             {finding.Choices, 0.45, 0.60, 0.6},
}

// level is the player's level, the default for the zero Page.
func (p *Page) level() player.Level {
	if l, err := player.ParseLevel(int(p.Level)); err == nil {
		return l
	}
	return player.DefaultLevel
}

// finding makes one with the stage of its kind and its weight on the scale: risk
// times heard. Severity runs from 0, a mild case, to 1.
func (p *Page) finding(kind string, severity float64, from, to int, says, do string) finding.Finding {
	o := scale[kind]
	risk := o.mild + (o.severe-o.mild)*min(max(severity, 0), 1)
	risk = 1 - math.Pow(1-risk, p.level().Skill())
	weight := math.Round(100*risk*o.heard) / 100 // more digits would pretend to know better
	return finding.Finding{Stage: o.stage, Kind: kind, Bars: p.bars(from, to), Weight: weight, Says: says, Do: do}
}
