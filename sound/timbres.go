package sound

import "strings"

// How brass speaks (estimates, by ear of the literature rather than by
// measurement).
const (
	tongueDB = -30.0 // noise of the tongue relative to the tone
	speaks   = 1.5   // periods
)

// TenorTrombone is measured at mezzo-forte on every second note of a real one from
// E2 to C5 (see measured.go).
var TenorTrombone = Timbre{
	Name: "tenor trombone", bellHz: bellHz, kneeHz: kneeHz, rollOffDB: rollOffDB, brightenDB: brightenDB, brassyDB: brassyDB,
	notes: tenorNotes, scale: 1, strokeDB: tongueDB, speaks: speaks,
}

// Other instruments are estimates: the tenor trombone scaled in frequency with the
// size of tube and bell, and for the conical horns with a steeper roll-off, since a
// wide bore steepens the wave less (Myers et al. 2010).
var (
	AltoTrombone = scaled("alto trombone", 1/1.2)
	BassTrombone = scaled("bass trombone", 1.15)
	Trumpet      = lawful("trumpet", 2, 1, brassyDB)
	Horn         = lawful("horn", 1, 1.6, 6)
	Baritone     = lawful("baritone", 0.95, 1.3, brightenDB)
	Euphonium    = lawful("euphonium", 0.85, 1.5, brightenDB)
	Tuba         = lawful("tuba", 0.6, 1.5, brightenDB)
)

// scaled is the tenor trombone sounding as it does at a frequency so many times as
// high.
func scaled(name string, factor float64) Timbre {
	t := TenorTrombone
	t.Name, t.scale = name, factor
	return t
}

// lawful is the law with its frequencies so many times as high as the tenor
// trombone's, and a roll-off so many times as steep beside that.
func lawful(name string, higher, steeper, brassy float64) Timbre {
	return Timbre{
		Name: name, bellHz: bellHz * higher, kneeHz: kneeHz * higher, rollOffDB: rollOffDB / higher * steeper,
		brightenDB: brightenDB, brassyDB: brassy, strokeDB: tongueDB, speaks: speaks,
	}
}

// TimbreOf finds the timbre of an instrument by its name on the command line
// ("tenor-f", "trumpet-bb"); a name not known sounds as a tenor trombone.
func TimbreOf(instrument string) *Timbre {
	for _, one := range []struct {
		prefix string
		timbre *Timbre
	}{
		{"alto", &AltoTrombone}, {"bass", &BassTrombone}, {"trumpet", &Trumpet}, {"horn", &Horn},
		{"baritone", &Baritone}, {"euphonium", &Euphonium}, {"tuba", &Tuba},
	} {
		if strings.HasPrefix(instrument, one.prefix) {
			return one.timbre
		}
	}
	return &TenorTrombone
}
