package desk

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"waterkey/audio"
	"waterkey/brass"
	"waterkey/demo"
	"waterkey/hear"
	"waterkey/score"
	"waterkey/sound"
)

// prepare reads a part for an instrument.
func prepare(t *testing.T, path, instrument string) *Prepared {
	t.Helper()
	in, err := brass.Named(instrument)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Prepare(Request{Path: path, Horn: in})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// demoPart writes a demo part to disk, where a user has it.
func demoPart(t *testing.T, name string) string {
	t.Helper()
	data, err := demo.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// hearPlayed renders a part, writes and reads the file, and listens to it.
func hearPlayed(t *testing.T, p *Prepared) (*hear.Take, score.Seconds) {
	t.Helper()
	o := sound.Options{LeadIn: 0.5}
	clip, _ := p.Play(o)
	var wav bytes.Buffer
	if err := audio.WriteWAV(&wav, clip); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "take.wav")
	if err := os.WriteFile(path, wav.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	take, err := p.Hear(path, hear.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return take, sound.Offset(p.Played, o)
}

// Bounds for hearing what the program itself played: three quarters of the 50 ms
// that onset evaluation allows (mir_eval), as a tone begins where it is half its
// amplitude to the one that makes it and at the foot of its rise to the one that
// hears it; and half of the 10 cents a musician can just hear (Hill and Summers,
// JASA 121, 2007).
const (
	onsetBound = 0.0375 // s
	centsBound = 5.0
)

// checkRoundTrip holds a heard take to the performance it was rendered from.
func checkRoundTrip(t *testing.T, p *Prepared) {
	t.Helper()
	take, offset := hearPlayed(t, p)
	if len(take.Notes) != len(p.Played.Notes) || len(take.Notes) == 0 {
		t.Fatalf("%d rows for %d notes", len(take.Notes), len(p.Played.Notes))
	}
	worstOnset, worstCents := 0.0, 0.0
	for i, n := range take.Notes {
		if n.State != hear.Played || n.Measures == nil {
			t.Errorf("note %d, bar %s %s: %s, heard %q", i, n.Bar, n.Pitch, n.State, n.Heard)
			continue
		}
		late := n.Onset - float64(p.Played.Notes[i].Start+offset)
		worstOnset = max(worstOnset, math.Abs(late))
		worstCents = max(worstCents, math.Abs(n.Cents))
		if math.Abs(late) > onsetBound || math.Abs(n.Cents) > centsBound {
			t.Errorf("note %d, bar %s %s: onset %+.1f ms, %+.1f cents", i, n.Bar, n.Pitch, 1000*late, n.Cents)
		}
	}
	for _, f := range take.Findings {
		t.Errorf("called a fault: %+v", f)
	}
	if len(take.Extra) > 0 {
		t.Errorf("extra notes: %+v", take.Extra)
	}
	t.Logf("%d notes, worst onset %.1f ms, worst %.2f cents, %.0f times real time", len(take.Notes), 1000*worstOnset, worstCents, take.SpeedX)
}

func TestPlayThenHearDemoParts(t *testing.T) {
	for _, name := range demo.Files() {
		t.Run(name, func(t *testing.T) { checkRoundTrip(t, prepare(t, demoPart(t, name), "tenor-f")) })
	}
}

func TestPlayThenHearRealParts(t *testing.T) {
	const scores = "../../shared/data/scores"
	if _, err := os.Stat(scores); err != nil {
		t.Skip("shared data not here:", err)
	}
	for _, name := range []string{"brahms-op-73-2-trombone-1", "brahms-op-45-1-trombone-2", "bruckner-wab-105-3b-trio-tenor-trombone", "beethoven-op-68-5-tenor-trombone"} {
		t.Run(name, func(t *testing.T) { checkRoundTrip(t, prepare(t, filepath.Join(scores, name+".musicxml"), "tenor-f")) })
	}
}
