package trial

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

// Reference: mir_eval, tests/data/onset ref00.txt, est00.txt and output00.json
// (C. Raffel et al., MIT license).
func TestOnsetsScoreAsPublished(t *testing.T) {
	truth := []float64{0.355011337, 0.807006802, 0.943990929, 1.968367346, 2.171428571, 2.380612244, 2.563265306,
		3.439455782, 4.643990929, 6.185215419, 6.339047619, 6.526258503, 6.678639455, 7.397006802, 8.354829931,
		8.798911564, 8.877278911, 8.948390022, 9.184943310, 9.430204081, 9.601451247, 9.811882086}
	found := []float64{0.1741496598639455662, 0.4150566893424036397, 0.8504308390022675690, 0.9926530612244898188,
		1.904036281179138257, 2.023038548752834398, 2.214603174603174462, 2.438095238095238315, 2.609342403628117868,
		3.482993197278911435, 4.684625850340135678, 4.728163265306122298, 5.700498866213151494, 5.868843537414965894,
		6.217142857142857082, 6.266485260770974897, 6.385487528344671482, 6.713469387755101714, 7.439092970521541837,
		7.471020408163265181, 8.182131519274376430, 8.405623582766439839, 8.852607709750566656, 9.232834467120181188,
		9.505668934240363299, 9.665306122448980020, 9.830748299319727934}
	c := tally(matchOnsets(truth, found), len(found))
	agree(t, "F", c.f(), 0.5306122448979591)
	agree(t, "precision", c.precision(), 0.48148148148148145)
	agree(t, "recall", c.recall(), 0.5909090909090909)
}

// Reference: mir_eval, tests/data/transcription ref00.txt, est00.txt and
// output00.json (235 and 208 notes of Elgar's piano quintet, as annotated and
// as found by a program).
func TestNotesScoreAsPublished(t *testing.T) {
	truth, found := readNotes(t, "testdata/mir_eval-ref00.txt"), readNotes(t, "testdata/mir_eval-est00.txt")
	c := tally(matchNotes(truth, found, true), len(found))
	agree(t, "F with ends", c.f(), 0.07674943566591423)
	agree(t, "precision with ends", c.precision(), 0.08173076923076923)
	c = tally(matchNotes(truth, found, false), len(found))
	agree(t, "F", c.f(), 0.1580135440180587)
	agree(t, "recall", c.recall(), 0.14893617021276595)
}

func agree(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12 {
		t.Errorf("%s %.6f, published %.6f", what, got, want)
	}
}

func readNotes(t *testing.T, path string) []Heard {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []Heard
	for s := bufio.NewScanner(f); s.Scan(); {
		if strings.HasPrefix(s.Text(), "#") {
			continue
		}
		var h Heard
		if _, err := fmt.Sscan(s.Text(), &h.Start, &h.End, &h.Hz); err != nil {
			t.Fatalf("%s: %q: %v", path, s.Text(), err)
		}
		out = append(out, h)
	}
	return out
}

// By hand, from the definitions: 50 ms and 50 cents are still within, and an
// end may be off by a fifth of the length.
func TestTolerancesAtTheirEdges(t *testing.T) {
	note := Heard{1, 2, 220}
	for _, c := range []struct {
		name  string
		found Heard
		plain int
		ends  int
	}{
		{"the same", Heard{1, 2, 220}, 1, 1},
		{"50 ms late", Heard{1.05, 2, 220}, 1, 1},
		{"51 ms late", Heard{1.051, 2, 220}, 0, 0},
		{"49 cents high", Heard{1, 2, 220 * ratio(49)}, 1, 1},
		{"51 cents high", Heard{1, 2, 220 * ratio(51)}, 0, 0},
		{"ends 200 ms late", Heard{1, 2.2, 220}, 1, 1},
		{"ends 210 ms late", Heard{1, 2.21, 220}, 1, 0},
		{"an octave low", Heard{1, 2, 110}, 0, 0},
	} {
		if got := tally(matchNotes([]Heard{note}, []Heard{c.found}, false), 1).hits; got != c.plain {
			t.Errorf("%s: %d hits without ends, want %d", c.name, got, c.plain)
		}
		if got := tally(matchNotes([]Heard{note}, []Heard{c.found}, true), 1).hits; got != c.ends {
			t.Errorf("%s: %d hits with ends, want %d", c.name, got, c.ends)
		}
	}
	// A short note: the end may be off by 50 ms, a fifth would be 20.
	if got := tally(matchNotes([]Heard{{1, 1.1, 220}}, []Heard{{1, 1.15, 220}}, true), 1).hits; got != 1 {
		t.Error("a short note that ends 50 ms late is no hit")
	}
}

// Certificate: no matching is larger, by trying all of them on small cases.
func TestMatchingIsLargest(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n, m := 1+r.IntN(6), 1+r.IntN(6)
		var can [6][6]bool
		for i := range n {
			for j := range m {
				can[i][j] = r.IntN(3) == 0
			}
		}
		fits := func(i, j int) bool { return can[i][j] }
		pairs, used := matching(n, m, fits), map[int]bool{}
		for i, j := range pairs {
			if j >= 0 && (used[j] || !can[i][j]) {
				t.Fatalf("pairs %v are not one to one or do not fit", pairs)
			}
			if j >= 0 {
				used[j] = true
			}
		}
		if got, want := tally(pairs, m).hits, most(0, n, m, 0, fits); got != want {
			t.Fatalf("%d pairs, %d are possible", got, want)
		}
	}
}

func most(i, n, m int, used uint, fits func(i, j int) bool) int {
	if i == n {
		return 0
	}
	best := most(i+1, n, m, used, fits)
	for j := range m {
		if used&(1<<j) == 0 && fits(i, j) {
			best = max(best, 1+most(i+1, n, m, used|1<<j, fits))
		}
	}
	return best
}
