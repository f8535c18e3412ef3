package trombone

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"

	"waterkey/audio"

	"github.com/hajimehoshi/go-mp3"
)

// Source is a folder with one player's recorded notes, one a file.
type Source struct {
	Name  string // for the report
	Files fs.FS
	Match string // which of the files, as path.Match has it
	// MIDI reads the note number out of a file's name without its ending.
	MIDI func(name string) (int, error)
	// Even makes the attacks alike: neither bursts nor slow beginnings.
	Even bool
}

// Bank holds the recorded notes. It may be used from several goroutines.
type Bank struct {
	sets   []set
	skips  []string
	origin []string
}

// set is the notes of one player.
type set struct {
	name   string
	voices []*voice // by pitch
}

// ErrNoNotes says that there is nothing to sing from.
var ErrNoNotes = errors.New("no recorded trombone notes here")

// NewBank reads the recorded notes of the sources that have any. Notes that
// cannot serve are passed over. The error is ErrNoNotes, or says what cannot be
// read.
func NewBank(sources ...Source) (*Bank, error) {
	b := &Bank{}
	for _, s := range sources {
		if err := b.load(s); err != nil {
			return nil, err
		}
	}
	if len(b.sets) == 0 {
		return nil, ErrNoNotes
	}
	return b, nil
}

func (b *Bank) load(from Source) error {
	files, err := fs.Glob(from.Files, from.Match)
	if err != nil || len(files) == 0 {
		return err
	}
	s := set{name: from.Name}
	for _, v := range voices(from, files) {
		switch {
		case v.fatal != nil:
			return v.fatal
		case v.unfit != nil:
			b.skips = append(b.skips, from.Name+": "+v.unfit.Error())
		default:
			s.voices = append(s.voices, v.voice)
		}
	}
	if len(s.voices) == 0 {
		return fmt.Errorf("none of the %d recorded notes can serve: %s", len(files), strings.Join(b.skips, "; "))
	}
	slices.SortFunc(s.voices, func(a, b *voice) int { return a.midi - b.midi })
	b.sets = append(b.sets, s)
	var wavers, scoops []float64
	for _, v := range s.voices {
		wavers, scoops = append(wavers, v.waver), append(scoops, v.scoop)
	}
	b.origin = append(b.origin, fmt.Sprintf("%s: %d serve; left of their own course: %.2f cents, in the attack %.2f (root mean square, median note)",
		from.Name, len(s.voices), median(wavers), median(scoops)))
	return nil
}

// made is a voice, or why there is none.
type made struct {
	voice        *voice
	fatal, unfit error
}

// voices makes the voices of files, on all cores.
func voices(from Source, files []string) []made {
	out := make([]made, len(files))
	var all sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, f := range files {
		all.Go(func() {
			free <- struct{}{}
			out[i] = makeVoice(from, f)
			<-free
		})
	}
	all.Wait()
	return out
}

func makeVoice(from Source, file string) made {
	n, err := from.MIDI(strings.TrimSuffix(path.Base(file), path.Ext(file)))
	if err != nil {
		return made{fatal: fmt.Errorf("%s: %w", file, err)}
	}
	x, r, err := decode(from.Files, file)
	if err != nil {
		return made{fatal: fmt.Errorf("%s: %w", file, err)}
	}
	v, err := newVoice(x, r, n, from.Even)
	return made{voice: v, unfit: err}
}

// Origin says in a line each where the notes come from.
func (b *Bank) Origin() []string { return b.origin }

// Skips are the recorded notes that cannot serve, and why.
func (b *Bank) Skips() []string { return b.skips }

// decode reads a file as mono.
func decode(files fs.FS, name string) ([]float64, int, error) {
	f, err := files.Open(name)
	if err != nil {
		return nil, 0, err
	}
	defer f.Close()
	if path.Ext(name) != ".mp3" {
		c, err := audio.Decode(name, f)
		if err != nil {
			return nil, 0, err
		}
		return c.Mono(), c.Rate, nil
	}
	d, err := mp3.NewDecoder(f)
	if err != nil {
		return nil, 0, err
	}
	raw, err := io.ReadAll(d)
	if err != nil {
		return nil, 0, err
	}
	x := make([]float64, len(raw)/4) // two channels of 16 bits, the same
	for i := range x {
		x[i] = float64(int16(uint16(raw[4*i])|uint16(raw[4*i+1])<<8)) / (1 << 15)
	}
	return x, d.SampleRate(), nil
}

// SharpName reads "Cs4" as a MIDI note number.
func SharpName(s string) (int, error) {
	steps := map[byte]int{'C': 0, 'D': 2, 'E': 4, 'F': 5, 'G': 7, 'A': 9, 'B': 11}
	if s == "" {
		return 0, errors.New("a note without a name; want one such as Cs4")
	}
	step, ok := steps[s[0]]
	octave, err := strconv.Atoi(strings.TrimLeft(s[1:], "s"))
	if !ok || err != nil {
		return 0, fmt.Errorf("%q is no note name such as Cs4", s)
	}
	return 12*(octave+1) + step + strings.Count(s, "s"), nil
}

// farthest is how many semitones a recorded note may be shifted before the
// other player's is taken.
const farthest = 3

// voice is the recorded note nearest to hz, from set k when it has one near
// enough.
func (b *Bank) voice(k int, hz float64) *voice {
	own := b.sets[k%len(b.sets)].nearest(hz)
	if math.Abs(cents(hz, own.hz)) <= 100*farthest {
		return own
	}
	best := own
	for _, s := range b.sets {
		if v := s.nearest(hz); math.Abs(cents(hz, v.hz)) < math.Abs(cents(hz, best.hz)) {
			best = v
		}
	}
	return best
}

func (s set) nearest(hz float64) *voice {
	best := s.voices[0]
	for _, v := range s.voices {
		if math.Abs(cents(hz, v.hz)) < math.Abs(cents(hz, best.hz)) {
			best = v
		}
	}
	return best
}
