package desk

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
)

// ChooseTake makes a take the one to send, in place of another. The take carries
// the revision that was seen; insteadOf is the take that was seen to be chosen, "" for
// none. An ErrConflict when either is no longer so: another tab was faster.
func (d *Desk) ChooseTake(ctx context.Context, id ID, seen Revision, insteadOf ID) (*Take, error) {
	t, err := d.Take(ctx, id)
	if err != nil {
		return nil, err
	}
	now, err := d.chosenTake(ctx, t.Sheet)
	if err != nil {
		return nil, err
	}
	if now != nil && now.ID == id {
		return now, nil
	}
	if now != nil && now.ID != insteadOf || now == nil && insteadOf != "" {
		return nil, &SeasonError{Is: ErrConflict, Text: "another take was chosen elsewhere since you looked; look again and choose"}
	}
	t.Revision, t.Chosen = seen, true
	edits := []Edit{Put(t)}
	if now != nil {
		now.Chosen = false
		edits = []Edit{Put(now), Put(t)}
	}
	_, err = d.Commit(ctx, Change{Sheet: t.Sheet, Says: "chose the take of " + dayOf(t), Edits: edits})
	if err != nil {
		return nil, err
	}
	return t, nil
}

// UnchooseTake leaves a sheet without a take to send.
func (d *Desk) UnchooseTake(ctx context.Context, id ID, seen Revision) (*Take, error) {
	return d.changeTake(ctx, id, seen, "chose no take", func(t *Take) { t.Chosen = false })
}

// NoteTake keeps what the coach says of a take: why it will not be sent, one
// sentence each, and a note.
func (d *Desk) NoteTake(ctx context.Context, id ID, seen Revision, ruleOut []string, note string) (*Take, error) {
	return d.changeTake(ctx, id, seen, "wrote about a take", func(t *Take) { t.RuleOut, t.Note = ruleOut, note })
}

func (d *Desk) changeTake(ctx context.Context, id ID, seen Revision, says string, change func(*Take)) (*Take, error) {
	t, err := d.Take(ctx, id)
	if err != nil {
		return nil, err
	}
	t.Revision = seen
	change(t)
	_, err = d.Commit(ctx, Change{Sheet: t.Sheet, Says: says, Edits: []Edit{Put(t)}})
	if err != nil {
		return nil, err
	}
	return t, nil
}

// dayOf is the day of a take where it was recorded.
func dayOf(t *Take) string { return t.Recorded.Format("2 January") }

func (d *Desk) chosenTake(ctx context.Context, s Sheet) (*Take, error) {
	takes, err := d.Takes(ctx, TakeQuery{Sheet: s})
	if err != nil {
		return nil, err
	}
	for _, t := range takes {
		if t.Chosen {
			return t, nil
		}
	}
	return nil, nil
}

// DropTake removes a take, what was measured in it and the remarks at its moments.
// Undo brings all of it back.
func (d *Desk) DropTake(ctx context.Context, id ID, seen Revision) error {
	t, err := d.Take(ctx, id)
	if err != nil {
		return err
	}
	t.Revision = seen
	marks, err := d.Marks(ctx, Sheet{Part: t.Part})
	if err != nil {
		return err
	}
	c := Change{Sheet: t.Sheet, Says: fmt.Sprintf("removed the take of %s", dayOf(t))}
	for _, m := range marks {
		if m.Remark != nil && m.Remark.Take == id {
			c.Edits = append(c.Edits, Delete(m))
		}
	}
	m, err := d.Measure(ctx, id)
	if err != nil && !errors.Is(err, ErrNotFound) {
		return err
	}
	if m != nil {
		c.Edits = append(c.Edits, Delete(m))
	}
	c.Edits = append(c.Edits, Delete(t))
	_, err = d.Commit(ctx, c)
	return err
}

// Trend is how the takes of a sheet went, oldest first. Takes that were not
// measured are left out.
func (d *Desk) Trend(ctx context.Context, s Sheet) ([]TrendPoint, error) {
	takes, err := d.Takes(ctx, TakeQuery{Sheet: s})
	if err != nil {
		return nil, err
	}
	measures, err := d.MeasuresByTake(ctx, TakeQuery{Sheet: s})
	if err != nil {
		return nil, err
	}
	out := []TrendPoint{}
	for _, t := range takes {
		m := measures[t.ID]
		if m == nil {
			continue
		}
		p := TrendPoint{Take: t.ID, Recorded: t.Recorded, Day: t.Recorded.Format("2006-01-02"), Chosen: t.Chosen, RuledOut: len(t.RuleOut)+len(m.RuleOut) > 0}
		if err := json.Unmarshal(m.Summary, &p.Summary); err != nil {
			return nil, damagedMeasure(t.ID, err)
		}
		if p.Summary.Failed == "" {
			out = append(out, p)
		}
	}
	slices.SortFunc(out, oldestFirst)
	return out, nil
}

func damagedMeasure(id ID, cause error) error {
	return &SeasonError{Is: ErrDamaged, Text: fmt.Sprintf("the measurement of take %s cannot be read; measure it again", id), Cause: cause}
}
