package practice

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"waterkey/finding"
	"waterkey/player"
)

func TestCut(t *testing.T) {
	rest := func(m *Material, bars ...int) {
		for _, b := range bars {
			m.Bars[b-1].Silent = true
		}
	}
	tests := []struct {
		name string
		edit func(*Material)
		want []string // bars, core and name
	}{
		{"one bar and its neighbors", func(m *Material) { m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 9)} }, []string{"8-10 9-9 wide leap"}},
		{"the ends of the part", func(m *Material) {
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 1, 1), found(0, "leap", 0.5, 32, 32)}
		}, []string{"1-2 1-1 wide leap", "31-32 32-32 wide leap"}},
		{"bars of rest are no neighbors", func(m *Material) {
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 9)}
			rest(m, 8, 10)
		}, []string{"9-9 9-9 wide leap"}},
		{"shared bars merge, the heavier is named first", func(m *Material) {
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 10), found(1, "short-rest", 0.7, 10, 11)}
		}, []string{"8-12 9-11 short rest, wide leap"}},
		{"bars side by side merge", func(m *Material) {
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 9), found(1, "dotted", 0.5, 10, 10)}
		}, []string{"8-11 9-10 wide leap, dotted figure"}},
		{"what would be too long stays apart", func(m *Material) {
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 12), found(1, "dotted", 0.5, 12, 14)}
		}, []string{"8-13 9-12 wide leap, dotted figure", "12-15 13-14 dotted figure"}},
		{"three places, of which the last would reach into the first", func(m *Material) {
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 5, 8), found(0, "leap", 0.5, 8, 11), found(1, "dotted", 0.5, 8, 11)}
		}, []string{"4-9 5-8 wide leap, dotted figure", "8-12 9-11 wide leap, dotted figure"}},
		{"a long place is cut where phrases end", func(m *Material) {
			m.Findings = []finding.Finding{found(3, "soft-and-low", 0.7, 11, 16), {Kind: "phrase", Places: [][]string{{"1", "12"}, {"13", "32"}}}}
		}, []string{"10-13 11-12 soft and low", "12-17 13-16 soft and low"}},
		{"the whole page is no segment", func(m *Material) { m.Findings = []finding.Finding{found(1, "meter", 0.9, 1, 32)} }, nil},
		{"a light finding makes none, but joins", func(m *Material) {
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 9), found(3, "hairpin", 0.3, 9, 9), found(3, "hairpin", 0.3, 20, 20)}
		}, []string{"8-10 9-9 wide leap, hairpin"}},
		{"a change is practiced where it happens", func(m *Material) {
			m.Findings = []finding.Finding{{Stage: 2, Kind: "articulation-change", Weight: 0.5, Bars: []string{"1", "4"}, Places: [][]string{{"1", "4"}, {"5", "11"}, {"12", "32"}}}}
		}, []string{"4-6 5-5 change of articulation", "11-13 12-12 change of articulation"}},
		{"breaths and phrases belong to lines", func(m *Material) {
			m.Findings = []finding.Finding{found(4, "breath", 0.9, 9, 9), found(4, "phrase", 0.9, 9, 12)}
		}, nil},
		{"less at a time for a beginner", func(m *Material) {
			m.Level = player.First
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 12)}
		}, []string{"8-11 9-10 wide leap", "10-13 11-12 wide leap"}},
		{"slow bars in twos", func(m *Material) {
			for i := range m.Bars {
				m.Bars[i].Seconds = 6
			}
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 9), found(0, "leap", 0.5, 10, 10), found(0, "leap", 0.5, 11, 11)}
		}, []string{"8-11 9-10 wide leap", "10-12 11-11 wide leap"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m := plain(32)
			tt.edit(&m)
			var got []string
			for _, s := range cut(m) {
				got = append(got, fmt.Sprintf("%s-%s %s-%s %s", s.Bars[0], s.Bars[1], s.Core[0], s.Core[1], s.Name))
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestOnScale(t *testing.T) {
	for _, tt := range []struct{ bpm, want float64 }{
		{12.7, 12}, {39.9, 39}, {40, 40}, {62.9, 60}, {63, 63}, {95.9, 92}, {96, 96}, {139, 138}, {210, 208}, {219.5, 219},
	} {
		if got := onScale(tt.bpm); got != tt.want {
			t.Errorf("onScale(%g) = %g, want %g", tt.bpm, got, tt.want)
		}
	}
}

// TestNow takes the least of what the slide allows and the takes showed.
func TestNow(t *testing.T) {
	share := func(x float64) []float64 { return slices.Repeat([]float64{x}, 32) }
	slip := []finding.Finding{found(0, "missed-note", 0.9, 9, 9)}
	tests := []struct {
		name  string
		slide float64 // 0 for none
		takes []Take
		level player.Level
		now   float64
		from  string
	}{
		{"an estimate before all else", 0, nil, player.Advanced, 96 * (1 - 0.35*0.5), "an estimate for level 4"},
		{"a professional starts closer", 0, nil, player.Professional, 96 * (1 - 0.25*0.5), "an estimate for level 5"},
		{"the slide is slower", 60, nil, player.Advanced, 60, "the slide, C3 to F3"},
		{"the slide is faster", 200, nil, player.Advanced, 96 * (1 - 0.35*0.5), "an estimate for level 4"},
		{"a take that was right", 0, []Take{{"the take a.wav", share(0.9), nil}}, player.Advanced, 86.4, "the take a.wav"},
		{"a take that slipped", 0, []Take{{"the take a.wav", share(1), slip}}, player.Advanced, 81.6, "the take a.wav"},
		{"the last take counts", 0, []Take{{"the take a.wav", share(1), slip}, {"the take b.wav", share(1.1), nil}}, player.Advanced, 96, "the take b.wav"},
		{"a take and the slide", 70, []Take{{"the take a.wav", share(0.9), nil}}, player.Advanced, 70, "the slide, C3 to F3"},
		{"a take that broke off before", 0, []Take{{"the take a.wav", append(share(1)[:5:5], share(0)[:27]...), nil}}, player.Advanced, 79.2, "an estimate for level 4"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m := plain(32)
			m.Level, m.Takes = tt.level, tt.takes
			m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 9)}
			if tt.slide > 0 {
				m.Comfort = func(Span) (float64, string, bool) { return tt.slide, "C3 to F3", true }
			}
			s := cut(m)[0]
			if diff := cmp.Diff(tt.now, s.NowBPM, cmpopts.EquateApprox(0, 0.051)); diff != "" || s.NowFrom != tt.from {
				t.Errorf("%s from %q", diff, s.NowFrom)
			}
		})
	}
}

// TestReplan: what is right three times in a row at tempo retires, what slips
// returns and weighs more, and what slips anew becomes a segment.
func TestReplan(t *testing.T) {
	right := Take{"the take right.wav", slices.Repeat([]float64{1}, 32), nil}
	slow := Take{"the take slow.wav", slices.Repeat([]float64{0.8}, 32), nil}
	slip := right
	slip.Findings = []finding.Finding{found(0, "missed-note", 0.95, 7, 7)}
	leftOut := Take{"the take leftout.wav", slices.Repeat([]float64{1}, 32), slip.Findings}
	leftOut.Share[6] = 0
	brokenOff := Take{"the take broken.wav", append(slices.Repeat([]float64{1}, 5), make([]float64, 27)...), slip.Findings}
	elsewhere := right
	elsewhere.Findings = []finding.Finding{found(0, "wrong-note", 0.9, 22, 22)}
	tests := []struct {
		name   string
		takes  []Take
		state  State // of bar 7
		right  int
		weight float64
	}{
		{"no take", nil, Work, 0, 0.8},
		{"right once", []Take{right}, Work, 1, 0.56},
		{"right twice", []Take{right, right}, Work, 2, 0.39},
		{"right three times", []Take{right, right, right}, Retired, 3, 0.27},
		{"three times, one of them slow", []Take{right, slow, right}, Work, 2, 0.39},
		{"slipped between", []Take{right, right, slip, right}, Work, 1, 0.56},
		{"slipped last", []Take{right, right, right, slip}, Work, 0, 0.99},
		{"left out on the way", []Take{right, right, right, leftOut}, Work, 0, 0.99},
		{"broken off before", []Take{right, right, right, brokenOff}, Retired, 3, 0.27},
		{"a slip elsewhere changes nothing here", []Take{right, right, elsewhere}, Retired, 3, 0.27},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m := march()
			m.Takes = tt.takes
			p, err := Make(m, terms())
			if err != nil {
				t.Fatal(err)
			}
			at := func(bar string) int {
				return slices.IndexFunc(p.Segments, func(s Segment) bool { return s.Core == [2]string{bar, bar} })
			}
			s := p.Segments[at("7")]
			if got, want := s.RetiredBy != "", tt.state == Retired; got != want {
				t.Errorf("%s, retired by %q", s.State, s.RetiredBy)
			}
			if last := tt.takes; len(last) > 0 && (s.SlippedIn != "") != (tt.right == 0) {
				t.Errorf("slipped in %q, %d in a row", s.SlippedIn, s.Right)
			}
			if s.State != tt.state || s.Right != tt.right || s.Weight != tt.weight {
				t.Errorf("%s, %d in a row, weight %g; want %s, %d, %g", s.State, s.Right, s.Weight, tt.state, tt.right, tt.weight)
			}
			if last := len(tt.takes) - 1; last >= 0 && len(tt.takes[last].Findings) > 0 && tt.takes[last].Name == "the take right.wav" && at("22") < 0 && tt.takes[last].Findings[0].Kind == "wrong-note" {
				t.Error("the slip in bar 22 has no segment")
			}
		})
	}
}

// TestReplanIsSaid: what slipped is met sooner and retired places are named.
func TestReplanIsSaid(t *testing.T) {
	m := march()
	right := Take{"the take right.wav", slices.Repeat([]float64{1}, 32), nil}
	last := right
	last.Findings = []finding.Finding{found(finding.Choices, "no-room-to-breathe", 0.9, 29, 30), found(finding.Rhythm, "tempo-drift", 0.6, 1, 32)}
	m.Takes = []Take{right, right, right, last}
	p, err := Make(m, terms())
	if err != nil {
		t.Fatal(err)
	}
	first := slices.IndexFunc(p.Days[0].Items, func(it Item) bool { return it.Kind == Visit })
	if got := p.Days[0].Items[first].Bars; got[0] != "28" || got[1] != "31" {
		t.Errorf("the first visit is to bars %v; bars 29 and 30 slipped", got)
	}
	if remarks := strings.Join(p.Remarks, "\n"); !strings.Contains(remarks, "Retired since the take right.wav, right 3 times in a row at tempo: bars 2, 7") || !strings.Contains(remarks, "tempo-drift is here") {
		t.Errorf("remarks: %s", remarks)
	}
	for _, it := range p.Days[0].Items {
		if it.Kind == Away {
			t.Error("the page is read for the first time after four takes")
		}
	}
}

// TestSameInputSamePlan.
func TestSameInputSamePlan(t *testing.T) {
	m := march()
	a, err := Make(m, terms())
	if err != nil {
		t.Fatal(err)
	}
	o := terms()
	o.Today = o.Today.Add(17 * 3600e9) // later that day
	b, err := Make(m, o)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(a, b, cmpopts.IgnoreUnexported(Segment{}, Item{})); diff != "" {
		t.Error(diff)
	}
}

// TestStages: segments are new in the order of the stages, and a segment goes
// through its own stages one after another.
func TestStages(t *testing.T) {
	m := march()
	m.Findings = append(m.Findings, found(finding.Rhythm, "dotted", 0.4, 7, 7))
	p, err := Make(m, terms())
	if err != nil {
		t.Fatal(err)
	}
	last := finding.Notes
	seen := map[int]bool{}
	for _, d := range p.Days {
		today := last
		for _, it := range d.Items {
			if it.Kind != Visit || seen[it.segment] {
				continue
			}
			seen[it.segment] = true
			s := p.Segments[it.segment]
			if s.Stage < last {
				t.Errorf("%s: bars %v (%v) are new after %v", d.Date, s.Core, s.Stage, last)
			}
			today = max(today, s.Stage)
		}
		last = today
	}
	var said []string
	for _, d := range p.Days {
		for _, it := range d.Items {
			if it.Kind == Visit && it.round == 0 && it.Bars[0] == "6" {
				said = append(said, it.What)
			}
		}
	}
	if !strings.Contains(said[0], "Mend dotted.") || !strings.Contains(said[1], "Mend stands-out.") {
		t.Errorf("rhythm and then articulation are asked for: %q", said[:2])
	}
}

// TestReturns: between the first visits lies a night, later more.
func TestReturns(t *testing.T) {
	p, err := Make(march(), terms())
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range p.Segments {
		var days []int
		for k, d := range p.Days[:len(p.Days)-1] {
			for _, it := range d.Items {
				if it.Kind == Visit && it.segment == i && it.round == 0 {
					days = append(days, k)
				}
			}
		}
		if len(days) < 4 || days[1]-days[0] > 2 {
			t.Errorf("bars %v, weight %g: days %v", s.Core, s.Weight, days)
		}
	}
}

// TestPhases: notes come early, takes late, and all bars with notes are played before
// the late days.
func TestPhases(t *testing.T) {
	p, err := Make(march(), terms())
	if err != nil {
		t.Fatal(err)
	}
	count := map[Phase]int{}
	takes := map[Phase]int{}
	met := make([]bool, 32)
	for _, d := range p.Days {
		count[d.Phase]++
		for _, it := range d.Items {
			if it.Kind == MockUp {
				takes[d.Phase]++
			}
			if d.Phase != Early && d.Phase != Middle || it.Kind != Visit && it.Kind != Phrase {
				continue
			}
			for i := it.span.From; i <= it.span.To; i++ {
				met[i] = true
			}
		}
	}
	if diff := cmp.Diff(map[Phase]int{Early: 7, Middle: 6, Late: 4, DayBefore: 1, Recording: 1}, count); diff != "" {
		t.Error(diff)
	}
	if takes[Early]+takes[Middle]+takes[DayBefore] > 0 || takes[Late] < 4 || takes[Recording] < 2 {
		t.Errorf("takes by phase: %v", takes)
	}
	if i := slices.Index(met, false); i >= 0 {
		t.Errorf("bar %d is not met in detail", i+1)
	}
}

// TestGrounds: whatever an item rests on is explained, and what was found to have no
// effect is said.
func TestGrounds(t *testing.T) {
	p, err := Make(march(), terms())
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]Ground{}
	for _, g := range p.Evidence {
		known[g.ID] = g
	}
	used := map[string]bool{}
	for _, d := range p.Days {
		for _, it := range d.Items {
			if len(it.Evidence) == 0 {
				t.Errorf("%s: %q rests on nothing", d.Date, it.What)
			}
			for _, id := range it.Evidence {
				if used[id] = true; known[id].Source == "" {
					t.Errorf("%q is not explained", id)
				}
			}
		}
	}
	for _, id := range []string{"interleaving", "spacing", "tempos", "right", "rest", "pauses", "strength"} {
		if !used[id] {
			t.Errorf("nothing rests on %s", id)
		}
	}
	if !strings.Contains(known["interleaving"].Strength, "showed none at all") || !strings.Contains(known["spacing"].Strength, "no effect") {
		t.Error("null results are left out")
	}
}
