package demo

import "testing"

// partials are the MIDI numbers of the first eight partials of the B-flat tube
// in first position: a reference (chart in "An overview of the trombone",
// chipbell4.github.io, 2025). Each further position is a semitone lower.
var partials = []int{34, 46, 53, 58, 62, 65, 68, 70}

// side is a tube of the instrument: how many semitones its valves lower it, and
// the positions that the slide has on it (3 or more valve semitones leave six,
// both valves five: from the tube lengths 2^(n/12)).
type side struct{ lower, positions int }

var sides = map[string][]side{
	"harbor-parade.musicxml": {{0, 7}, {5, 6}},
	"lantern-song.musicxml":  {{0, 7}, {5, 6}},
	"iron-quay.musicxml":     {{0, 7}, {5, 6}, {4, 6}, {8, 5}},
}

// ways lists the side and partial of every way to sound a note. No pedals are
// counted on the valves.
func ways(name string, midi int) map[[2]int]bool {
	out := map[[2]int]bool{}
	for s, sd := range sides[name] {
		for k, first := range partials {
			down := first - sd.lower - midi
			if down >= 0 && down < sd.positions && (k > 0 || s == 0) {
				out[[2]int{s, k + 1}] = true
			}
		}
	}
	return out
}

// TestPlayable: every note can be sounded, the first glissando of the march
// keeps its partial, the second cannot.
func TestPlayable(t *testing.T) {
	smooth := map[string]bool{"21": true, "26": false}
	for _, name := range Files() {
		p := read(t, name)
		for i, n := range p.Notes {
			from := ways(name, n.Pitch.MIDI())
			if len(from) == 0 {
				t.Errorf("%s, bar %s: no way to sound %v", name, p.Bars[n.Bar].Number, n.Pitch)
			}
			if !n.GlissTo {
				continue
			}
			shared := false
			for w := range ways(name, p.Notes[i+1].Pitch.MIDI()) {
				shared = shared || from[w]
			}
			if bar := p.Bars[n.Bar].Number; shared != smooth[bar] {
				t.Errorf("%s, bar %s: glissando on one partial %v, composed %v", name, bar, shared, smooth[bar])
			}
		}
	}
}
