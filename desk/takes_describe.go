package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"

	"waterkey/audio"
	"waterkey/hear"
	"waterkey/hear/align"
)

// FailedTake is the document of a take that could not be held against the page.
type FailedTake struct {
	Failed string       `json:"failed"`              // why
	Unlike bool         `json:"unlike,omitempty"`    // it is not this part
	Record *audio.Facts `json:"recording,omitempty"` // nil when it cannot be decoded
}

// describe fills a measure: the document, what lists need of it, the check sheet
// and why the take should not be sent. heard is nil after a failure.
func (d *Desk) describe(ctx context.Context, m *Measure, t *Take, heard *hear.Take, failure error) error {
	sheet := TakeSheet{FileName: t.FileName, MediaType: t.MediaType, SHA256: t.Recording, Recorded: t.Recorded}
	sound, err := d.inspect(ctx, t, heard)
	if isOurs(err) {
		return err // a recording that cannot be decoded has failed already
	}
	sheet.Bytes = sound.bytes
	var document any
	var summary TakeSummary
	if failure != nil {
		unlike := errors.Is(failure, align.ErrUnlike)
		document, summary.Failed = FailedTake{failure.Error(), unlike, sound.facts}, failure.Error()
		m.RuleOut = append(m.RuleOut, whyFailed(failure, unlike))
	} else {
		document, summary = heard, summarize(heard)
		sheet.TuningHz, sheet.TempoBPM = round(heard.TuningHz, 1), round(heard.TempoBPM, 1)
	}
	if sound.facts != nil {
		sheet.fill(sound.facts, sound.channels)
		summary.fill(sound.facts)
		m.RuleOut = append(m.RuleOut, ruleOuts(sound, heard)...)
	}
	if m.Document, err = d.keepJSON(ctx, document); err != nil {
		return err
	}
	if m.Summary, err = json.Marshal(summary); err != nil {
		return err
	}
	m.CheckSheet, err = json.Marshal(sheet)
	return err
}

// recorded is what is known of a recording as a recording.
type recorded struct {
	bytes    int64        // of the original
	channels int          // of what was decoded
	facts    *audio.Facts // nil when it cannot be decoded
	room     float64      // level in dBFS before the playing; 0 when not known
}

// inspect looks at a recording once more: what listening does not tell.
func (d *Desk) inspect(ctx context.Context, t *Take, heard *hear.Take) (recorded, error) {
	var out recorded
	original, err := d.OpenBlob(ctx, t.Recording)
	if err != nil {
		return out, err
	}
	out.bytes = original.Size()
	original.Close()
	r, free, err := d.openTake(ctx, t)
	if err != nil {
		return out, err
	}
	defer free()
	out.channels = r.Channels()
	if heard != nil {
		out.facts, out.room = &heard.Record, roomLevel(r, firstOnset(heard.Notes))
		return out, nil
	}
	const rate = 16000 // Hz: of samples that are thrown away
	_, facts, err := r.Listen(rate)
	if err == nil {
		out.facts = &facts
	}
	return out, err
}

// whyFailed is a rule-out for a take that was not measured.
func whyFailed(failure error, unlike bool) string {
	if unlike {
		return "It is not this part: " + failure.Error() + "."
	}
	return "It could not be measured: " + failure.Error() + "."
}

func (d *Desk) keepJSON(ctx context.Context, v any) (Hash, error) {
	data, err := json.Marshal(v)
	if err != nil {
		return "", err
	}
	blob, err := d.AddBlob(ctx, bytes.NewReader(data), int64(len(data)))
	return blob.Hash, err
}
