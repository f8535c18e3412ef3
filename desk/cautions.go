package desk

import (
	"waterkey/breath"
	"waterkey/finding"
)

// cautionFor holds what to say where a kind of passage can hurt: rest and pain
// (tradition among teachers, 1:1 rest is no trial result), light-headedness, and
// hearing (NIOSH: 85 dBA for 8 hours, halved for every 3 dB).
var cautionFor = []struct {
	kinds []string
	text  string
}{
	{[]string{"high", "loud-and-high"},
		"Rest about as long as you play in hard sessions, and stop on pain; ask a teacher or a physician when it stays."},
	{[]string{"breath", "no-room-to-breathe", "low", "soft-and-low"}, breath.Caution},
	{[]string{"loud-and-high"},
		"Loud practice in a small room passes 85 dBA, the limit for eight hours a day (each 3 dB more halves the time): wear protection."},
}

// ear is said with every take and every page.
const ear = "A coach's ear outranks every number here."

// cautions are those that the findings call for, in a fixed order.
func cautions(fs []finding.Finding) []string {
	seen := map[string]bool{}
	for _, f := range fs {
		seen[f.Kind] = true
	}
	var out []string
	for _, c := range cautionFor {
		for _, k := range c.kinds {
			if seen[k] {
				out = append(out, c.text)
				break
			}
		}
	}
	return append(out, ear)
}
