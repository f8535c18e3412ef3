package practice

import (
	"fmt"
	"time"

	"waterkey/finding"
	"waterkey/player"
)

// day reads a date of a test.
func day(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

// plain is a part of n bars of two seconds at 96 without trouble.
func plain(n int) Material {
	m := Material{Title: "Plain", Run: 2 * float64(n), Key: "F major", Level: player.DefaultLevel}
	for i := range n {
		m.Bars = append(m.Bars, Bar{Number: fmt.Sprint(i + 1), Seconds: 2, BPM: 96, Unit: "half"})
	}
	return m
}

// found is a finding in bars from to to.
func found(stage finding.Stage, kind string, weight float64, from, to int) finding.Finding {
	return finding.Finding{Stage: stage, Kind: kind, Weight: weight, Bars: []string{fmt.Sprint(from), fmt.Sprint(to)},
		Says: kind + " is here.", Do: "Mend " + kind + "."}
}

// march is a part with trouble of all stages.
func march() Material {
	m := plain(32)
	m.Findings = []finding.Finding{
		found(finding.Notes, "leap", 0.5, 18, 18),
		found(finding.Notes, "high", 0.7, 25, 26),
		found(finding.Rhythm, "short-rest", 0.65, 2, 2),
		found(finding.Rhythm, "syncopation", 0.5, 19, 19),
		found(finding.Articulation, "stands-out", 0.8, 7, 7),
		found(finding.Dynamics, "soft-and-low", 0.7, 13, 14),
		found(finding.Choices, "no-room-to-breathe", 0.6, 29, 30),
	}
	return m
}

// terms are three weeks of six days.
func terms() Terms {
	return Terms{Today: day("2026-11-25"), By: day("2026-12-16"), DaysPerWeek: DefaultDays, Minutes: DefaultMinutes}
}
