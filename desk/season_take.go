package desk

import (
	"encoding/json"
	"strings"
	"time"
)

// Take is a recording of a part by a player, as it came, never altered.
type Take struct {
	Head
	Sheet
	Recorded  time.Time `json:"recorded"`  // with the zone of the place, so that days are the player's
	Recording Hash      `json:"recording"` // the original file
	FileName  string    `json:"file_name"`
	MediaType string    `json:"media_type"` // as audio/wav
	// Decoded is what is listened to where the original is in a format that the
	// program cannot open (decoded by the browser); "" the original itself.
	Decoded Hash     `json:"decoded,omitempty"`
	BPM     float64  `json:"bpm,omitempty"`      // felt beats a minute of the count-in; 0 not known
	RuleOut []string `json:"rule_out,omitempty"` // why the coach will not send it, one sentence each
	Chosen  bool     `json:"chosen,omitempty"`   // the one to send; one for each sheet
	Note    string   `json:"note,omitempty"`
}

// Kind is KindTake.
func (*Take) Kind() Kind { return KindTake }

// Blobs are the recording and what was decoded of it.
func (t *Take) Blobs() []Hash { return present(t.Recording, t.Decoded) }

// Validate checks the fields.
func (t *Take) Validate() error {
	if t.Recorded.IsZero() {
		return invalid("the take has no time; say when it was recorded")
	}
	if major, minor, ok := strings.Cut(t.MediaType, "/"); !ok || major == "" || minor == "" {
		return invalid("%q is no media type: want one such as audio/wav", clip(t.MediaType))
	}
	for _, why := range t.RuleOut {
		if err := checkText("reason", why); err != nil {
			return err
		}
	}
	if t.Decoded != "" {
		if err := t.Decoded.Validate(); err != nil {
			return err
		}
	}
	return firstError(t.Part.Validate(), t.Player.Validate(), t.Recording.Validate(), checkText("file name", t.FileName),
		checkText("media type", t.MediaType), checkText("note", t.Note), checkBPM(t.BPM))
}

// Measure is what listening found in a take. Its ID is the take's. It can be
// computed again at any time; Version says by what.
type Measure struct {
	Head
	Version    string          `json:"version"`               // of the listening, and of the part and marks it was held against
	Document   Hash            `json:"document"`              // the whole result, a JSON file
	Summary    json.RawMessage `json:"summary,omitempty"`     // the few figures that lists and trends need
	RuleOut    []string        `json:"rule_out,omitempty"`    // why it should not be sent: clipped, noisy, cut
	CheckSheet json.RawMessage `json:"check_sheet,omitempty"` // length, peak, loudness, tuning, hash
	Measured   time.Time       `json:"measured"`
}

// Kind is KindMeasure.
func (*Measure) Kind() Kind { return KindMeasure }

// Blobs is the document.
func (m *Measure) Blobs() []Hash { return []Hash{m.Document} }

// Validate checks the fields.
func (m *Measure) Validate() error {
	if m.Version == "" {
		return invalid("the measurement has no version; say what measured it")
	}
	return firstError(m.ID.Validate(), m.Document.Validate(), checkText("version", m.Version),
		checkJSON("summary", m.Summary), checkJSON("check sheet", m.CheckSheet))
}

// present keeps the hashes that are not empty.
func present(hashes ...Hash) []Hash {
	var out []Hash
	for _, h := range hashes {
		if h != "" {
			out = append(out, h)
		}
	}
	return out
}
