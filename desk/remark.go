package desk

import (
	"context"
	"errors"

	"waterkey/hear"
)

// placeRemark gives a remark at a moment of a take the bar that sounds there, so
// that it is found on the page too. A remark with a place of its own keeps it, and one
// of a take that was not measured yet has none.
func (d *Desk) placeRemark(ctx context.Context, r *Remark) error {
	if r == nil || r.Take == "" || r.Where != "" {
		return nil
	}
	m, err := d.Measure(ctx, r.Take)
	if errors.Is(err, ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	heard, failure, err := d.heardOf(ctx, m)
	if err != nil || failure != nil {
		return err
	}
	r.Where = barSounding(heard.Notes, r.AtS)
	return nil
}

// barSounding is the bar of the note that sounds at a moment, in seconds, or that was
// the last to sound; before the first note, its bar.
func barSounding(notes []hear.Note, at float64) string {
	bar, since := "", 0.0
	for _, n := range notes {
		if n.Measures != nil && (bar == "" || n.Onset <= at && n.Onset >= since) {
			bar, since = n.Bar, n.Onset
		}
	}
	return bar
}
