package desk_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"waterkey/desk"
	"waterkey/hear"
)

// cents between two frequencies.
func cents(a, b float64) float64 { return 1200 * math.Log2(a/b) }

// A player who tunes to 442 is heard, and hears the part, at 442; the orchestra of one
// part goes before the player's own.
func TestTuningOfPlayerAndPart(t *testing.T) {
	o := newDesk(t)
	file := desk.RenderedTake(t, page(t), "take.wav", desk.NoFault) // at 440
	take := o.take(file, o.clock)
	before := must(o.Measure(ctx, take.ID))(t)
	o.player.A4 = 442
	must(o.Commit(ctx, desk.Change{Says: "tuned", Edits: []desk.Edit{desk.Put(o.player)}}))(t)
	if version := must(o.MeasureVersion(ctx, take))(t); version == before.Version {
		t.Error("the measure at 440 passes for one at 442")
	}
	if waiting := must(o.Unmeasured(ctx, o.sheet))(t); len(waiting) != 1 {
		t.Errorf("%d takes to measure anew, want 1", len(waiting))
	}
	meanCents := func() float64 {
		must(o.MeasureTake(ctx, take.ID, nil))(t)
		var heard hear.Take
		if err := json.Unmarshal(must(o.Heard(ctx, take.ID))(t), &heard); err != nil {
			t.Fatal(err)
		}
		sum, n := 0.0, 0
		for _, note := range heard.Notes {
			if note.State == hear.Played {
				sum, n = sum+note.Cents, n+1
			}
		}
		return sum / float64(n)
	}
	if got, want := meanCents(), cents(440, 442); math.Abs(got-want) > 1 {
		t.Errorf("a take at 440 lies %.1f cents from 442, want %.1f", got, want)
	}
	// The reference performance sounds there too.
	opened := must(o.Open(ctx, desk.SheetQuery{Sheet: o.sheet}))(t)
	sounding := must(opened.Prepared.Sound(desk.Playing{}))(t)
	first := opened.Prepared.Played.Written(sounding.Tones[0].Note).Pitch
	if got := cents(sounding.Tones[0].Hz, first.Hz(442)); math.Abs(got) > 0.1 {
		t.Errorf("the reference performance lies %.2f cents from A = 442", got)
	}
	a := &desk.Assignment{Sheet: o.sheet, A4: 443}
	must(o.Commit(ctx, desk.Change{Says: "assigned", Edits: []desk.Edit{desk.Put(a)}}))(t)
	if got := must(o.Open(ctx, desk.SheetQuery{Sheet: o.sheet}))(t).Prepared.ReferenceA(); got != 443 {
		t.Errorf("the orchestra's 443 is %g", got)
	}
}

// The bounds of a reference A are those of listening.
func TestReferenceAIsChecked(t *testing.T) {
	for _, c := range []struct {
		hz float64
		ok bool
	}{{0, true}, {390, true}, {442, true}, {470, true}, {389.9, false}, {470.1, false}, {-440, false}, {math.NaN(), false}} {
		p := &desk.Player{Name: "Ada", Instrument: "tenor-f", Level: 4, A4: c.hz}
		a := &desk.Assignment{Sheet: desk.Sheet{Part: "a", Player: "b"}, A4: c.hz}
		for _, err := range []error{p.Validate(), a.Validate()} {
			if (err == nil) != c.ok || err != nil && !errors.Is(err, desk.ErrInvalid) {
				t.Errorf("%g Hz: %v", c.hz, err)
			}
		}
		if c.ok && c.hz != 0 {
			if _, err := hear.Listen(page(t).Played, nil, hear.Options{A4: c.hz}); err == nil || err.Error() != "the recording is too short to hold a note; a tenth of a second is the least" {
				t.Errorf("listening at %g Hz: %v", c.hz, err)
			}
		}
	}
}

// A player's own horn decides about positions, where it is the one that is played.
func TestProfileOfAPlayer(t *testing.T) {
	o := newDesk(t)
	leans := func() float64 {
		sum := 0.0
		for _, n := range must(o.Open(ctx, desk.SheetQuery{Sheet: o.sheet}))(t).Prepared.Mark().Notes {
			if n.Choice != nil {
				sum += math.Abs(n.Choice.LeanCM)
			}
		}
		return sum
	}
	usual := leans()
	set := func(profile string) error {
		o.player.Profile = json.RawMessage(profile)
		_, err := o.Commit(ctx, desk.Change{Says: "profile", Edits: []desk.Edit{desk.Put(o.player)}})
		return err
	}
	if err := set(`{"instrument": "tenor-f", "partial_cents": {"3": 20, "4": -20, "6": 25}}`); err != nil {
		t.Fatal(err)
	}
	if own := leans(); math.Abs(own-usual) < 1 {
		t.Errorf("positions lean by %.1f cm in all on the player's own horn, by %.1f on the usual one", own, usual)
	}
	if err := set(`{"instrument": "bass", "partial_cents": {"3": 20}}`); err != nil {
		t.Fatal(err)
	}
	if other := leans(); other != usual {
		t.Errorf("the profile of a bass trombone moves the tenor's positions: %.1f cm, not %.1f", other, usual)
	}
	if err := set(`{"instrument": "tenor-f", "partial_cents": {"3": 200}}`); !errors.Is(err, desk.ErrInvalid) {
		t.Errorf("a partial 200 cents off: %v", err)
	}
	o.player.Profile = nil
	o.player.Lungs = json.RawMessage(`{"vital_l": 45}`)
	if _, err := o.Commit(ctx, desk.Change{Says: "lungs", Edits: []desk.Edit{desk.Put(o.player)}}); !errors.Is(err, desk.ErrInvalid) {
		t.Errorf("lungs of 45 liters: %v", err)
	}
}
