package trial

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"waterkey/audio"
	"waterkey/hear"
)

// Options say what to run and with what.
type Options struct {
	Bank     *Bank
	Scores   string // folder of the shared scores
	Cases    []Case
	Aubio    bool                // ask aubio too, when it is here
	Progress func(done, all int) // may be nil
	Keep     string              // folder to keep the takes in; "" for none
}

// Result is what a run found.
type Result struct {
	Origin  []string
	Skips   []string // recorded notes that cannot serve, and why
	Each    []Outcome
	Left    []string // cases left out, and why
	Clean   Figures
	Hard    Figures
	Aubio   map[bool]*Other // by half, hard true; nil without aubio
	Compute float64         // s of processor time, decoding included
}

// Outcome is one take.
type Outcome struct {
	Case    Case
	Figures Figures
	Err     error // why it was refused
}

// Run renders, listens and judges. Listening is timed on one core. The error
// is one of the machine; a take that is refused is a result.
func Run(o Options) (*Result, error) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	r := &Result{Origin: o.Bank.Origin(), Skips: o.Bank.Skips()}
	if o.Aubio && haveAubio() {
		r.Aubio = map[bool]*Other{false: {}, true: {}}
	}
	dir, err := os.MkdirTemp("", "trial")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	if o.Keep != "" {
		dir = o.Keep
	}
	for i, c := range o.Cases {
		if err := r.one(o, c, filepath.Join(dir, fmt.Sprintf("%02d.wav", i))); err != nil {
			return nil, fmt.Errorf("take %d, %s: %w", i, c.Name, err)
		}
		if o.Progress != nil {
			o.Progress(i+1, len(o.Cases))
		}
	}
	return r, nil
}

// one runs one case; its take is written to path on the way.
func (r *Result) one(o Options, c Case, path string) error {
	take, err := o.Bank.Render(c, o.Scores)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, ErrNoFFmpeg) {
		r.Left = append(r.Left, fmt.Sprintf("%s, %s: %v", c.Name, c.of, err))
		return nil
	}
	if err != nil {
		return err
	}
	var wav bytes.Buffer
	if err := audio.WriteWAV(&wav, take.Clip); err != nil {
		return err
	}
	if r.Aubio != nil || o.Keep != "" {
		if err := os.WriteFile(path, wav.Bytes(), 0o644); err != nil {
			return err
		}
		if o.Keep == "" {
			defer os.Remove(path)
		}
	}
	if err := r.listen(take, wav.Bytes()); err != nil {
		return err
	}
	if r.Aubio == nil {
		return nil
	}
	said, err := askAubio(take, path)
	r.Aubio[c.Hard].add(said)
	return err
}

// listen decodes and hears a take, and judges what was heard.
func (r *Result) listen(take *Take, wav []byte) error {
	began := computing()
	clip, err := audio.NewReader("take.wav", bytes.NewReader(wav))
	if err != nil {
		return err
	}
	defer clip.Close()
	heard, refused := hear.ListenTo(take.Page, clip, hear.Options{})
	spent := computing() - began
	r.Compute += spent
	f := judge(take, heard)
	r.Each = append(r.Each, Outcome{Case: take.Case, Figures: f, Err: refused})
	if take.Case.Hard {
		r.Hard.add(f)
	} else {
		r.Clean.add(f)
	}
	return nil
}
