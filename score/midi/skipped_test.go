package midi

import (
	"testing"

	"waterkey/score"

	"github.com/google/go-cmp/cmp"
)

// Each thing is said once, at its first bar, whatever the order it came in.
func TestSkipLog(t *testing.T) {
	bars := []score.Bar{{Number: "1"}, {Number: "2", Start: score.Frac(1, 1)}, {Number: "3", Start: score.Frac(2, 1)}}
	l := newSkipLog()
	l.add(score.Frac(5, 2), "late")
	l.add(score.Frac(2, 1), "often")
	l.add(score.Frac(3, 2), "often")
	l.addWhole("of the file")
	want := []string{"of the file", "bar 2: often, 2 times in all", "bar 3: late"}
	if diff := cmp.Diff(want, l.sentences(bars)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
