package desk

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"path"
	"strings"
	"time"
	"unicode"

	"waterkey/audio"
)

// SentTake is a take as it leaves the desk: its original file and its check sheet.
type SentTake struct {
	Part    string     `json:"part"` // titles
	Player  string     `json:"player"`
	Sheet   CheckSheet `json:"recording"`
	RuleOut []string   `json:"rule_out"` // the program's and the coach's reasons against it
	Note    string     `json:"note,omitempty"`

	file BlobReader
}

// Close frees the file.
func (s *SentTake) Close() error { return s.file.Close() }

// SendTake opens a take to be sent. An ErrIncomplete when it is not measured yet.
func (d *Desk) SendTake(ctx context.Context, id ID) (*SentTake, error) {
	t, err := d.Take(ctx, id)
	if err != nil {
		return nil, err
	}
	part, err := d.Part(ctx, t.Part)
	if err != nil {
		return nil, err
	}
	player, err := d.Player(ctx, t.Player)
	if err != nil {
		return nil, err
	}
	m, err := d.Measure(ctx, id)
	if errors.Is(err, ErrNotFound) {
		return nil, &SeasonError{Is: ErrIncomplete, Text: "the take is still being measured; its check sheet is ready in a moment"}
	}
	if err != nil {
		return nil, err
	}
	s := &SentTake{Part: part.Title, Player: player.Name, RuleOut: append(append([]string{}, m.RuleOut...), t.RuleOut...), Note: t.Note}
	if err := json.Unmarshal(m.CheckSheet, &s.Sheet); err != nil {
		return nil, damagedMeasure(id, err)
	}
	s.file, err = d.OpenBlob(ctx, t.Recording)
	return s, err
}

// FileName is that of the original inside the archive: the name it came with, made
// safe for every system.
func (s *SentTake) FileName() string {
	name := safeName(path.Base(strings.ReplaceAll(s.Sheet.FileName, `\`, "/")))
	if name == "" || strings.HasPrefix(name, checkSheetName) {
		return "take" + path.Ext(name)
	}
	return name
}

// ArchiveName is that of the archive.
func (s *SentTake) ArchiveName() string {
	return safeName(fmt.Sprintf("%s, %s, %s.zip", s.Part, s.Player, s.Sheet.Recorded.Format(time.DateOnly)))
}

// safeName keeps the letters, digits and usual signs of a name.
func safeName(name string) string {
	safe := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsMark(r) || unicode.IsDigit(r) || strings.ContainsRune(" .,-_()+", r) {
			return r
		}
		return '-'
	}, strings.ToValidUTF8(name, "-"))
	return strings.Trim(safe, " .")
}

// checkSheetName is that of the check sheet, without its ending.
const checkSheetName = "check-sheet"

// Write writes the archive: the original's bytes as they came, not packed again, and
// the check sheet as text and as JSON.
func (s *SentTake) Write(w io.Writer) error {
	z := zip.NewWriter(w)
	original := &zip.FileHeader{Name: s.FileName(), Method: zip.Store, Modified: s.Sheet.Recorded}
	if err := add(z, original, func(w io.Writer) error {
		_, err := io.Copy(w, io.NewSectionReader(s.file, 0, s.file.Size()))
		return err
	}); err != nil {
		return err
	}
	text := &zip.FileHeader{Name: checkSheetName + ".txt", Method: zip.Deflate, Modified: s.Sheet.Recorded}
	if err := add(z, text, s.WriteText); err != nil {
		return err
	}
	data := &zip.FileHeader{Name: checkSheetName + ".json", Method: zip.Deflate, Modified: s.Sheet.Recorded}
	if err := add(z, data, s.writeJSON); err != nil {
		return err
	}
	return z.Close()
}

func add(z *zip.Writer, h *zip.FileHeader, write func(io.Writer) error) error {
	w, err := z.CreateHeader(h)
	if err != nil {
		return err
	}
	return write(w)
}

func (s *SentTake) writeJSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(s)
}

// WriteText writes the check sheet to be read.
func (s *SentTake) WriteText(w io.Writer) error {
	c := &s.Sheet
	var b strings.Builder
	line := func(name, format string, args ...any) {
		fmt.Fprintf(&b, "%-13s %s\n", name, fmt.Sprintf(format, args...))
	}
	fmt.Fprintf(&b, "%s, played by %s\n\n", s.Part, s.Player)
	line("File", "%s (%s, %d bytes)", s.FileName(), c.MediaType, c.Bytes)
	line("SHA-256", "%s", c.SHA256)
	line("Recorded", "%s", c.Recorded.Format("2006-01-02 15:04 -0700"))
	if c.SampleRate > 0 {
		tenths := int(math.Round(10 * c.Seconds))
		line("Length", "%d:%02d.%d, %d Hz, channels: %d", tenths/600, tenths/10%60, tenths%10, c.SampleRate, c.Channels)
		line("Peak", "%.1f dBFS, true peak %.1f dBTP", c.PeakDBFS, c.TruePeakDBTP)
		line("Loudness", "%.1f LUFS, range %.1f LU (ITU-R BS.1770-4, EBU Tech 3342)", c.LoudnessLUFS, c.LoudnessRangeLU)
		line("Noise floor", "%.1f dBFS at most", c.NoiseFloorDBFS)
		line("Clipped", "%s", times(c.Clipped, "sample"))
		line("Silence", "%.1f s before, %.1f s after", c.SilenceStart, c.SilenceEnd)
	}
	if c.TuningHz > 0 {
		line("Tuning", "A = %.1f Hz", c.TuningHz)
		line("Tempo", "%.1f felt beats a minute", c.TempoBPM)
	}
	for _, n := range c.Notices {
		line("Note", "%s", n)
	}
	for _, why := range s.RuleOut {
		line("Against it", "%s", why)
	}
	if s.Note != "" {
		line("Coach", "%s", s.Note)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// TakeWAV is what a take is listened to from as WAV, which every browser plays.
func (d *Desk) TakeWAV(ctx context.Context, t *Take) ([]byte, error) {
	f, err := d.OpenBlob(ctx, t.heardFrom())
	if err != nil {
		return nil, err
	}
	defer f.Close()
	clip, err := audio.Decode(t.name(), f)
	if err != nil {
		return nil, &SeasonError{Text: err.Error(), Is: ErrNotAudio}
	}
	var b bytes.Buffer
	err = audio.WriteWAV(&b, clip)
	return b.Bytes(), err
}
