package score

import "testing"

// TestSoundedShare: the order of lengths is common practice; staccato as half
// its value is the handbooks' rule.
func TestSoundedShare(t *testing.T) {
	share := func(n Note) float64 { return n.SoundedShare() }
	if got := share(Note{Marks: Staccato}); got != 0.5 {
		t.Errorf("staccato sounds for %g of its value, want 0.5", got)
	}
	order := []Note{{Marks: Staccatissimo}, {Marks: Staccato}, {Marks: Staccato | Tenuto}, {}, {Marks: Tenuto}}
	for i := range order[1:] {
		if share(order[i]) >= share(order[i+1]) {
			t.Errorf("marks %b sound for %g, marks %b for %g", order[i].Marks, share(order[i]), order[i+1].Marks, share(order[i+1]))
		}
	}
	if share(Note{SlurTo: true, Marks: Staccato}) != share(Note{Marks: Staccato | Tenuto}) {
		t.Error("dots under a slur are no portato")
	}
	for _, full := range []Note{{SlurTo: true}, {GlissTo: true}, {Grace: true}, {Marks: Fermata}} {
		if share(full) != 1 {
			t.Errorf("%+v sounds for %g, want the whole", full, share(full))
		}
	}
}
