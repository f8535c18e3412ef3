package breath

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"waterkey/player"
)

// threePlayers are those that the documentation compares.
func threePlayers(t *testing.T) (names []string, lungs []player.Lungs) {
	t.Helper()
	young, err := player.Estimated(13, 155, player.Female)
	if err != nil {
		t.Fatal(err)
	}
	amateur, err := player.Estimated(55, 176, player.Male)
	if err != nil {
		t.Fatal(err)
	}
	professional, err := player.Measured(5.5)
	if err != nil {
		t.Fatal(err)
	}
	return []string{"13 years, 155 cm, female", "amateur, 55 years, 176 cm, male", "professional, measured"}, []player.Lungs{young, amateur, professional}
}

// TestDocumentedTable holds the comparison of three players in docs/breath.md to what
// the solver says (regression).
func TestDocumentedTable(t *testing.T) {
	names, lungs := threePlayers(t)
	pf := readPart(t, "../demo/season/lantern-song.musicxml")
	cells := map[int][]string{} // by note
	head, rule := "| after |", "|---|"
	last := "| left at the end |"
	for k, l := range lungs {
		b := solve(t, pf, Options{Lungs: l})
		if len(b.Lacking()) > 0 {
			t.Errorf("%s: lacking %v", names[k], b.Lacking())
		}
		head += fmt.Sprintf(" %s, %.1f L |", names[k], l.Vital)
		rule += "---|"
		last += fmt.Sprintf(" %.1f L |", b.End)
		for _, br := range b.Breaths {
			if cells[br.After] == nil {
				cells[br.After] = make([]string, len(lungs))
			}
			cells[br.After][k] = fmt.Sprintf("%s, %.1f → %.1f L", br.Kind, br.AirBefore, br.AirAfter)
		}
	}
	rows := []string{head, rule}
	for _, i := range slices.Sorted(maps.Keys(cells)) {
		b := Breathing{Performance: pf}
		rows = append(rows, fmt.Sprintf("| %s, bar %s | %s |", b.note(i), pf.Part.BarName(b.EndBar(i)), strings.Join(cells[i], " | ")))
	}
	table := strings.Join(append(rows, last), "\n")
	page, err := os.ReadFile("../docs/breath.md")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(page), table) {
		t.Errorf("docs/breath.md does not have this table:\n%s", table)
	}
}

// TestDocumentedRules holds the table of terms in docs/breath.md to Rules
// (regression).
func TestDocumentedRules(t *testing.T) {
	page, err := os.ReadFile("../docs/breath.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range Rules() {
		row := fmt.Sprintf("| %s | %s | %s | %s |", r.Name, r.Says, r.Amount, r.Origin)
		if !strings.Contains(string(page), row) {
			t.Errorf("docs/breath.md does not have this row:\n%s", row)
		}
	}
}
