package desk

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"waterkey/hear"
)

// ChooseDocument is several takes of one part side by side, as JSON.
type ChooseDocument struct {
	*hear.Choice
	Sheets []CheckSheet `json:"check_sheets"` // one for each take, in the order given
}

// CheckSheet is what identifies a recording and what a panel's rules may ask
// of it.
type CheckSheet struct {
	File         string   `json:"file"`
	SHA256       string   `json:"sha256"`
	Seconds      float64  `json:"seconds"`
	SampleRate   int      `json:"sample_rate"`
	PeakDBTP     float64  `json:"true_peak_dbtp"`
	LoudnessLUFS float64  `json:"loudness_lufs"`
	OverNoiseDB  *float64 `json:"over_noise_db"` // null when nothing lies between the notes
	TuningHz     float64  `json:"tuning_hz"`
	TempoBPM     float64  `json:"tempo_bpm"`
	Heard        bool     `json:"heard"` // false: nothing but file and hash is known
	Notices      []string `json:"notices,omitempty"`
}

// Choose hears several takes of a prepared part and says which one to send. A
// recording that is of another part, or cannot be read, is ruled out and not
// an error; the error says that there is nothing to choose from, or that a file
// cannot be opened.
func (p *Prepared) Choose(files []string, o hear.Options) (*ChooseDocument, error) {
	if len(files) == 0 {
		return nil, errors.New("no takes were named; name two or more")
	}
	d := &ChooseDocument{}
	var candidates []hear.Candidate
	names := takeNames(files)
	progress := o.Progress
	for i, file := range files {
		if progress != nil {
			o.Progress = func(s float64) { progress((float64(i) + s) / float64(len(files))) }
		}
		sheet, err := checkSheet(file, names[i])
		if err != nil {
			return nil, err
		}
		for _, before := range d.Sheets {
			if before.SHA256 == sheet.SHA256 {
				return nil, fmt.Errorf("%s and %s are the same recording; name each take once", before.File, sheet.File)
			}
		}
		take, err := p.Hear(file, o)
		if err == nil {
			sheet.fill(take)
		}
		d.Sheets = append(d.Sheets, sheet)
		candidates = append(candidates, hear.Candidate{Name: names[i], Take: take, Err: err})
	}
	d.Choice = hear.Choose(candidates)
	return d, nil
}

// takeNames are the names of files without their folders, where these tell them
// apart.
func takeNames(files []string) []string {
	out, seen := make([]string, len(files)), map[string]bool{}
	for i, f := range files {
		out[i] = filepath.Base(f)
		if seen[out[i]] {
			return files
		}
		seen[out[i]] = true
	}
	return out
}

// checkSheet hashes a file.
func checkSheet(path, name string) (CheckSheet, error) {
	f, err := os.Open(path)
	if err != nil {
		return CheckSheet{}, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return CheckSheet{}, err
	}
	return CheckSheet{File: name, SHA256: hex.EncodeToString(h.Sum(nil))}, nil
}

// fill takes over what listening found.
func (s *CheckSheet) fill(t *hear.Take) {
	s.Heard, s.Seconds, s.SampleRate = true, round(t.Record.Seconds, 2), t.Record.SampleRate
	s.PeakDBTP, s.LoudnessLUFS = round(t.Record.TruePeakDBTP, 1), round(t.Record.LoudnessLUFS, 1)
	s.TuningHz, s.TempoBPM, s.Notices = round(t.TuningHz, 1), round(t.TempoBPM, 1), t.Record.Notices
	if t.OverNoise != nil {
		db := round(*t.OverNoise, 0)
		s.OverNoiseDB = &db
	}
}
