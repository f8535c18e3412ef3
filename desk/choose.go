package desk

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"waterkey/audio"
	"waterkey/hear"
)

// ChooseDocument is several takes of one part side by side, as JSON.
type ChooseDocument struct {
	*hear.Choice
	Sheets []FileSheet `json:"check_sheets"` // one for each take, in the order given
}

// FileSheet is the check sheet of a file, under the name that the sentences call
// it by.
type FileSheet struct {
	File string `json:"file"`
	CheckSheet
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
	names := fileNames(files)
	progress := o.Progress
	for i, file := range files {
		if progress != nil {
			o.Progress = func(s float64) { progress((float64(i) + s) / float64(len(files))) }
		}
		sheet, err := identify(file)
		if err != nil {
			return nil, err
		}
		for _, before := range d.Sheets {
			if before.SHA256 == sheet.SHA256 {
				return nil, fmt.Errorf("%s and %s are the same recording; name each take once", before.File, names[i])
			}
		}
		k := p.candidate(file, &sheet, o)
		k.Name = names[i]
		candidates, d.Sheets = append(candidates, k), append(d.Sheets, FileSheet{names[i], sheet})
	}
	d.Choice = hear.Choose(candidates)
	return d, nil
}

// candidate hears a file and fills its sheet, as a take on the desk is measured.
func (p *Prepared) candidate(file string, sheet *CheckSheet, o hear.Options) hear.Candidate {
	take, failure := p.Hear(file, o)
	if failure != nil {
		take = nil
	}
	sound, _ := inspect(func() (*audio.Reader, func(), error) { // what cannot be decoded has failed already
		r, err := audio.OpenReader(file)
		if err != nil {
			return nil, nil, err
		}
		return r, func() { r.Close() }, nil
	}, take)
	sheet.fill(sound, take)
	return hear.Candidate{Take: take, Err: failure, RuledOut: ruleOuts(sound, take, failure)}
}

// fileNames are the names of files without their folders, where these tell them
// apart.
func fileNames(files []string) []string {
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

// identify begins a check sheet with what tells a file from others.
func identify(path string) (CheckSheet, error) {
	f, err := os.Open(path)
	if err != nil {
		return CheckSheet{}, err
	}
	defer f.Close()
	h := sha256.New()
	size, err := io.Copy(h, f)
	if err != nil {
		return CheckSheet{}, err
	}
	return CheckSheet{FileName: filepath.Base(path), Bytes: size, SHA256: Hash(hex.EncodeToString(h.Sum(nil)))}, nil
}
