package positions

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"waterkey/brass"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// randomText is a seeded short part.
func randomText(r *rand.Rand, notes int) string {
	return randomIn(r, 40, 70, notes)
}

// randomNotes is a seeded short part in the compass of an instrument, with a
// little beyond.
func randomNotes(r *rand.Rand, in *brass.Instrument, notes int) string {
	low := in.Fundamental.MIDI()
	return randomIn(r, low+4, in.Highest().MIDI(), notes)
}

func randomIn(r *rand.Rand, low, high, notes int) string {
	values := []string{"2", "4", "8", "16", "8'", "4(", "4~"}
	var b strings.Builder
	var at score.Time
	for range notes {
		v := values[r.IntN(len(values))]
		value, _ := score.ParseTime("1/" + strings.Trim(v, "'(~"))
		if common.Length().Less(at.Add(value)) {
			at = score.Time{}
		}
		at = at.Add(value)
		b.WriteString(score.PitchFromMIDI(low+r.IntN(high-low+1)).String() + "/" + v + " ")
	}
	return b.String()
}

// perform is the text as music at a tempo.
func perform(t testing.TB, meter score.Meter, bpm float64, text string) *score.Performance {
	t.Helper()
	pf, err := scoretest.Part(t, meter, bpm, text).ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

func horn(t testing.TB, name string) *brass.Instrument {
	t.Helper()
	in, err := brass.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// sequence is one choice for all notes, and what it costs.
type sequence struct {
	nodes []int
	cost  float64
}

// everySequence tries every combination of ways of a graph, pricing each from its
// first note on. It shares the prices with the solver and nothing of the search.
func everySequence(g *graph) []sequence {
	var out []sequence
	nodes := make([]int, len(g.layers))
	approaches := make([]approach, len(g.layers))
	for i := 1; i < len(g.layers); i++ {
		approaches[i] = newApproach(g.pf, i)
	}
	var walk func(i int, before direction, cost float64)
	walk = func(i int, before direction, cost float64) {
		if i == len(g.layers) {
			out = append(out, sequence{slices.Clone(nodes), cost})
			return
		}
		for k := range g.layers[i] {
			nodes[i] = k
			now, c := still, cost+g.layers[i][k].cost
			if i > 0 {
				a, b := &g.layers[i-1][nodes[i-1]], &g.layers[i][k]
				if a.way != nil && b.way != nil {
					now = heading(a, b)
					for _, x := range approaches[i].costs(a, b) {
						c += x
					}
					c += approaches[i].turning(before, now)
				}
			}
			walk(i+1, now, c)
		}
	}
	walk(0, still, 0)
	slices.SortStableFunc(out, func(a, b sequence) int { return cmp.Compare(a.cost, b.cost) })
	return out
}

// tiny is the difference that rounding may make to a sum of costs.
const tiny = 1e-9

// TestBruteForceAgrees is the certificate: on 10,000 seeded short parts the k best
// paths are the k cheapest of all sequences, no two alike, each cost is the sum of
// its terms, the extra cost of every other way is what the best sequence through
// it costs, and pins hold.
func TestBruteForceAgrees(t *testing.T) {
	const parts, k = 10_000, 4
	r := rand.New(rand.NewPCG(1, 2))
	names := brass.Names()
	for n := 0; n < parts; {
		in := horn(t, names[n%len(names)])
		pf := perform(t, common, 60+r.Float64()*120, randomNotes(r, in, 2+r.IntN(3)))
		g := newGraph(pf, in, Options{}, 0, len(pf.Notes))
		if tooMany(g) {
			continue // another draw takes its place
		}
		o := Options{}
		if n%3 == 0 {
			o.Pins = []Pin{randomPin(r, g)}
			if err := g.pin(o.Pins); err != nil {
				t.Fatal(err)
			}
		}
		paths, err := SolveK(pf, in, o, k)
		if err != nil {
			t.Fatal(err)
		}
		certify(t, g, paths, k)
		n++
		if t.Failed() {
			t.Fatalf("%s, part %d", in.Name, n)
		}
	}
}

// tooMany says whether brute force would take long.
func tooMany(g *graph) bool {
	const most = 3000
	n := 1
	for _, layer := range g.layers {
		n *= len(layer)
	}
	return n > most
}

// randomPin keeps, or leaves out, one of the ways of one note.
func randomPin(r *rand.Rand, g *graph) Pin {
	i := r.IntN(len(g.layers))
	w := g.layers[i][r.IntN(len(g.layers[i]))].way
	if w == nil {
		return Pin{Note: i, Partial: 1} // out of reach: nothing to hold
	}
	forbid := len(g.layers[i]) > 1 && r.IntN(2) == 0
	return Pin{Note: i, Position: w.Position, Valve: &w.Valve, Partial: w.Partial, Forbid: forbid}
}

func certify(t *testing.T, g *graph, paths []*Path, k int) {
	t.Helper()
	all := everySequence(g)
	if want := min(k, len(all)); len(paths) != want {
		t.Fatalf("%d paths, want %d of %d", len(paths), want, len(all))
	}
	for r, p := range paths {
		if math.Abs(p.Cost-all[r].cost) > tiny {
			t.Errorf("path %d: %s costs %.6f, brute force %.6f", r+1, labels(p), p.Cost, all[r].cost)
		}
		for _, q := range paths[:r] {
			if sameWays(p, q) {
				t.Errorf("path %d is there twice: %s", r+1, labels(p))
			}
		}
		certifyTerms(t, p)
		certifyLimits(t, p)
	}
	certifyExtras(t, g, paths[0], all)
}

func sameWays(p, q *Path) bool {
	return slices.EqualFunc(p.Steps, q.Steps, func(a, b Step) bool { return a.Way == b.Way || a.Way != nil && b.Way != nil && *a.Way == *b.Way })
}

// certifyTerms adds up the terms again.
func certifyTerms(t *testing.T, p *Path) {
	t.Helper()
	sum := 0.0
	for i := range p.Steps {
		for _, term := range p.Terms(i) {
			sum += term.Cost
		}
	}
	if math.Abs(sum-p.Cost) > tiny {
		t.Errorf("%s: terms add up to %.6f, path says %.6f", labels(p), sum, p.Cost)
	}
}

// certifyLimits holds every choice to the horn and the pins.
func certifyLimits(t *testing.T, p *Path) {
	t.Helper()
	for i, s := range p.Steps {
		ways := p.Instrument.Ways(p.Performance.Written(i).Pitch)
		if (s.Way == nil) != (len(ways) == 0) {
			t.Errorf("note %d: way %v of %d", i, s.Way, len(ways))
		}
		if s.Way == nil {
			continue
		}
		if !slices.Contains(ways, *s.Way) || s.Way.ExtensionCM < 0 || s.Way.ExtensionCM > p.Instrument.SlideMaxCM {
			t.Errorf("note %d: %+v is no way on this horn", i, *s.Way)
		}
		for _, pin := range p.opts.Pins {
			if pin.Note <= i && i <= max(pin.Note, pin.To) && pin.matches(s.Way) == pin.Forbid {
				t.Errorf("note %d: %s does not hold %+v", i, s.Way.Label, pin)
			}
		}
	}
}

// certifyExtras holds every way to the cheapest sequence through it.
func certifyExtras(t *testing.T, g *graph, p *Path, all []sequence) {
	t.Helper()
	for i, s := range p.Steps {
		best := map[brass.Way]float64{}
		for _, q := range all {
			if w := g.layers[i][q.nodes[i]].way; w != nil {
				if c, ok := best[*w]; !ok || q.cost < c {
					best[*w] = q.cost
				}
			}
		}
		if s.Way != nil && len(s.Others) != len(best)-1 {
			t.Errorf("note %d: %d others, want %d", i, len(s.Others), len(best)-1)
		}
		for _, o := range s.Others {
			if want := best[o.Way] - all[0].cost; math.Abs(want-o.ExtraCost) > tiny {
				t.Errorf("note %d, %s: extra %.6f, want %.6f", i, o.Way.Label, o.ExtraCost, want)
			}
		}
	}
}
