package desk

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"waterkey/audio"
)

// ErrNotAudio says that a file is no recording, or one that this machine cannot
// decode. A browser may: its decoded form is then sent beside the original.
var ErrNotAudio = errors.New("not a recording")

// Limits of what is sent.
const (
	// MaxTakeBytes bounds a take: a quarter of an hour of video as phones make it
	// (estimate, at 17 Mb/s).
	MaxTakeBytes = 2 << 30
	// MaxChunkBytes bounds a chunk of one: half a minute of stereo at 96 kHz and 24
	// bits (estimate); a page sends one every few seconds.
	MaxChunkBytes = 16 << 20
)

// MaxTake is how many bytes a take may have.
func (d *Desk) MaxTake() int64 {
	if d.TakeLimit > 0 {
		return d.TakeLimit
	}
	return MaxTakeBytes
}

// CheckTakeSize refuses a take of so many bytes that is too large.
func (d *Desk) CheckTakeSize(size int64) error {
	const mebibyte = 1 << 20
	if limit := d.MaxTake(); size > limit {
		return &SeasonError{Is: ErrTooLarge, Text: fmt.Sprintf(
			"the recording has %.1f MiB; at most %.1f MiB are taken. Cut it to the excerpt, or send the sound without the picture",
			float64(size)/mebibyte, float64(limit)/mebibyte)}
	}
	return nil
}

// checkSheet wants a part and a player that are there, before a recording of them
// is sent.
func (d *Desk) checkSheet(ctx context.Context, s Sheet) error {
	if _, err := d.Part(ctx, s.Part); err != nil {
		return err
	}
	_, err := d.Player(ctx, s.Player)
	return err
}

// BeginTake opens an upload for a recording of a sheet.
func (d *Desk) BeginTake(ctx context.Context, u Upload) (*Upload, error) {
	if err := d.checkSheet(ctx, u.Sheet); err != nil {
		return nil, err
	}
	return d.StartUpload(ctx, u)
}

// AddTakeChunk keeps a chunk of a recording, which is refused when it makes the
// recording too large.
func (d *Desk) AddTakeChunk(ctx context.Context, id ID, c Chunk, r io.Reader) error {
	if c.Size > MaxChunkBytes {
		return &SeasonError{Is: ErrTooLarge, Text: fmt.Sprintf("a chunk of %d bytes: at most %d are taken; send smaller pieces", c.Size, MaxChunkBytes)}
	}
	u, err := d.Upload(ctx, id)
	if err != nil {
		return err
	}
	size := c.Size
	for _, held := range u.Chunks {
		if held.Sequence != c.Sequence {
			size += held.Size
		}
	}
	if err := d.CheckTakeSize(size); err != nil {
		return err
	}
	err = d.AddChunk(ctx, id, c, r)
	if errors.Is(err, ErrDamaged) { // on the way here, not on the disk
		return &SeasonError{Text: err.Error(), Is: ErrInvalid}
	}
	return err
}

// FinishTake joins the chunks of an upload and makes the take that has its ID. Of
// t all is taken but what the upload says itself. Asked again it answers the same.
func (d *Desk) FinishTake(ctx context.Context, id ID, chunks int, t *Take) (*Take, error) {
	u, err := d.Upload(ctx, id)
	if err != nil {
		return nil, err
	}
	blob, err := d.FinishUpload(ctx, id, chunks)
	if err != nil {
		return nil, err
	}
	t.Head, t.Sheet, t.Recording = Head{ID: id}, u.Sheet, blob.Hash
	t.FileName, t.MediaType = u.FileName, u.MediaType
	return d.AddTake(ctx, t)
}

// AddTake makes a take of a recording that is kept as a file, and perhaps of what
// a browser decoded of it. The recording is not altered; what cannot be listened to
// is an ErrNotAudio. A recording that the sheet has already is that take.
func (d *Desk) AddTake(ctx context.Context, t *Take) (*Take, error) {
	if err := d.checkSheet(ctx, t.Sheet); err != nil {
		return nil, err
	}
	held, err := d.heldTake(ctx, t)
	if held != nil || err != nil {
		return held, err
	}
	format, err := d.recognize(ctx, t)
	if err != nil {
		return nil, err
	}
	if t.Decoded != "" {
		format = "" // of the decoded form, not of the original
	}
	t.MediaType = mediaType(format, t.MediaType)
	if t.Recorded.IsZero() {
		t.Recorded = d.Clock()
	}
	t.Chosen, t.RuleOut = false, nil
	_, err = d.Commit(ctx, Change{Sheet: t.Sheet, Says: "recorded a take", Lasting: true, Edits: []Edit{Put(t)}})
	if err != nil {
		return nil, err
	}
	return t, nil
}

// heldTake is the take that was made of the same recording before; nil for none.
func (d *Desk) heldTake(ctx context.Context, t *Take) (*Take, error) {
	held, err := d.Takes(ctx, TakeQuery{Sheet: t.Sheet})
	if err != nil {
		return nil, err
	}
	for _, h := range held {
		if h.Recording == t.Recording {
			return h, nil
		}
	}
	return nil, nil
}

// recognize begins to decode a take and names its format. Damage further on is for
// the listening to say.
func (d *Desk) recognize(ctx context.Context, t *Take) (format string, err error) {
	r, free, err := d.openTake(ctx, t)
	if err != nil {
		return "", err
	}
	defer free()
	if _, err := r.Next(); err != nil {
		return "", &SeasonError{Text: err.Error(), Is: ErrNotAudio}
	}
	return r.Format(), nil
}

// openTake begins to decode what a take is listened to from. The caller frees it.
func (d *Desk) openTake(ctx context.Context, t *Take) (r *audio.Reader, free func(), err error) {
	f, err := d.OpenBlob(ctx, t.heardFrom())
	if err != nil {
		return nil, nil, err
	}
	if r, err = audio.NewReader(t.name(), f); err != nil {
		f.Close()
		return nil, nil, &SeasonError{Text: err.Error(), Is: ErrNotAudio}
	}
	return r, func() { r.Close(); f.Close() }, nil
}

// heardFrom is the file that is listened to.
func (t *Take) heardFrom() Hash { return Hash(orString(string(t.Decoded), string(t.Recording))) }

// name is how errors call the take.
func (t *Take) name() string { return orString(t.FileName, "the recording") }

// mediaTypes are those of the formats decoded here (published: IANA, Media Types;
// audio/wav is common practice).
var mediaTypes = map[string]string{"WAV": "audio/wav", "AIFF": "audio/aiff", "FLAC": "audio/flac", "MP3": "audio/mpeg",
	"Ogg Vorbis": "audio/ogg", "Ogg Opus": "audio/ogg", webM: "audio/webm"}

// webM may hold a picture, which the sender tells.
const webM = "WebM Opus"

// mediaType is the type of a format, or what the sender said where the format has
// none of its own and the sender spoke of sound or pictures.
func mediaType(format, said string) string {
	said, _, _ = strings.Cut(said, ";")
	said = strings.TrimSpace(strings.ToLower(said))
	known, ok := mediaTypes[format]
	if ok && !(format == webM && said == "video/webm") {
		return known
	}
	kind, name, _ := strings.Cut(said, "/")
	if (kind == "audio" || kind == "video") && name != "" {
		return said
	}
	return "application/octet-stream"
}
