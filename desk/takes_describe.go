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
	original, err := d.OpenBlob(ctx, t.Recording)
	if err != nil {
		return err
	}
	sheet := CheckSheet{FileName: t.FileName, MediaType: t.MediaType, Bytes: original.Size(), SHA256: t.Recording, Recorded: t.Recorded}
	original.Close()
	sound, err := inspect(func() (*audio.Reader, func(), error) { return d.openTake(ctx, t) }, heard)
	if isOurs(err) {
		return err // a recording that cannot be decoded has failed already
	}
	sheet.fill(sound, heard)
	m.RuleOut = ruleOuts(sound, heard, failure)
	document, summary := summed(sound, heard, failure)
	if m.Document, err = d.keepJSON(ctx, document); err != nil {
		return err
	}
	if m.Summary, err = json.Marshal(summary); err != nil {
		return err
	}
	m.CheckSheet, err = json.Marshal(sheet)
	return err
}

// summed is the document of a take, and what lists need of it.
func summed(sound recorded, heard *hear.Take, failure error) (document any, summary TakeSummary) {
	if failure != nil {
		document, summary.Failed = FailedTake{failure.Error(), errors.Is(failure, align.ErrUnlike), sound.facts}, failure.Error()
	} else {
		document, summary = heard, summarize(heard)
	}
	if sound.facts != nil {
		summary.fill(sound.facts)
	}
	return document, summary
}

// recorded is what is known of a recording as a recording.
type recorded struct {
	channels int          // of what was decoded
	facts    *audio.Facts // nil when it cannot be decoded
}

// inspect looks at a recording once more: what listening does not tell.
func inspect(open func() (r *audio.Reader, free func(), err error), heard *hear.Take) (recorded, error) {
	var out recorded
	r, free, err := open()
	if err != nil {
		return out, err
	}
	defer free()
	out.channels = r.Channels()
	if heard != nil {
		out.facts = &heard.Record
		return out, nil
	}
	const rate = 16000 // Hz: of samples that are thrown away
	_, facts, err := r.Listen(rate)
	if err == nil {
		out.facts = &facts
	}
	return out, err
}

func (d *Desk) keepJSON(ctx context.Context, v any) (Hash, error) {
	data, err := json.Marshal(v)
	if err != nil {
		return "", err
	}
	blob, err := d.AddBlob(ctx, bytes.NewReader(data), int64(len(data)))
	return blob.Hash, err
}
