package trial

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"

	"waterkey/audio"

	"github.com/hajimehoshi/go-mp3"
)

// Bank holds the recorded notes.
type Bank struct {
	sets   []set
	Skips  []string // notes that cannot serve, and why
	origin []string
}

// set is the notes of one player.
type set struct {
	name   string
	voices []*voice // by pitch
}

// ErrNoNotes says that there is nothing to render from.
var ErrNoNotes = errors.New("no recorded trombone notes here: run hear/trial/notes.sh, or lay shared data beside the repository")

// CacheFolder is where notes.sh puts the notes of the npm package.
func CacheFolder() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "waterkey", "trombone-notes")
}

// LoadBank reads the recorded notes that are there: those of the npm package
// tonejs-instrument-trombone-mp3 1.1.2 (17 notes, B flat 1 to F4, CC BY 3.0)
// in the cache folder, and those of the University of Iowa (33 notes, E2 to C5,
// public domain) in the folder shared. The error is ErrNoNotes, or says what
// cannot be read.
func LoadBank(cache, shared string) (*Bank, error) {
	mp3s, _ := filepath.Glob(filepath.Join(cache, "*.mp3"))
	flacs, _ := filepath.Glob(filepath.Join(shared, "*.flac"))
	return newBank(mp3s, flacs)
}

func newBank(mp3s, flacs []string) (*Bank, error) {
	b := &Bank{}
	if err := b.load("npm package, 17 notes", mp3s, sharpName); err != nil {
		return nil, err
	}
	if err := b.load("Iowa, 33 notes", flacs, midiName); err != nil {
		return nil, err
	}
	if len(b.sets) == 0 {
		return nil, ErrNoNotes
	}
	return b, nil
}

func (b *Bank) load(name string, files []string, midi func(string) (int, error)) error {
	if len(files) == 0 {
		return nil
	}
	s := set{name: name}
	for _, v := range voices(files, midi) {
		switch {
		case v.fatal != nil:
			return v.fatal
		case v.unfit != nil:
			b.Skips = append(b.Skips, name+": "+v.unfit.Error())
		default:
			s.voices = append(s.voices, v.voice)
		}
	}
	slices.SortFunc(s.voices, func(a, b *voice) int { return a.midi - b.midi })
	b.sets = append(b.sets, s)
	var wavers, scoops []float64
	for _, v := range s.voices {
		wavers, scoops = append(wavers, v.waver), append(scoops, v.scoop)
	}
	b.origin = append(b.origin, fmt.Sprintf("%s: %d serve; left of their own course: %.2f cents, in the attack %.2f (root mean square, median note)",
		name, len(s.voices), median(wavers), median(scoops)))
	return nil
}

// made is a voice, or why there is none.
type made struct {
	voice        *voice
	fatal, unfit error
}

// voices makes the voices of files, on all cores.
func voices(files []string, midi func(string) (int, error)) []made {
	out := make([]made, len(files))
	var all sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, f := range files {
		all.Go(func() {
			free <- struct{}{}
			out[i] = makeVoice(f, midi)
			<-free
		})
	}
	all.Wait()
	return out
}

func makeVoice(file string, midi func(string) (int, error)) made {
	n, err := midi(strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)))
	if err != nil {
		return made{fatal: fmt.Errorf("%s: %w", file, err)}
	}
	x, r, err := decode(file)
	if err != nil {
		return made{fatal: fmt.Errorf("%s: %w", file, err)}
	}
	v, err := newVoice(x, r, n)
	return made{voice: v, unfit: err}
}

// Origin says in a line each where the notes come from.
func (b *Bank) Origin() []string { return b.origin }

// decode reads a file as mono.
func decode(path string) ([]float64, int, error) {
	if filepath.Ext(path) != ".mp3" {
		c, err := audio.Open(path)
		if err != nil {
			return nil, 0, err
		}
		return c.Mono(), c.Rate, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, 0, err
	}
	defer f.Close()
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

// sharpName reads "Cs4" as a MIDI note number.
func sharpName(s string) (int, error) {
	steps := map[byte]int{'C': 0, 'D': 2, 'E': 4, 'F': 5, 'G': 7, 'A': 9, 'B': 11}
	step, ok := steps[s[0]]
	octave, err := strconv.Atoi(strings.TrimLeft(s[1:], "s"))
	if !ok || err != nil {
		return 0, fmt.Errorf("%q is no note name such as Cs4", s)
	}
	return 12*(octave+1) + step + strings.Count(s, "s"), nil
}

// midiName reads the number in "TenPos_mf-40-E2".
func midiName(s string) (int, error) {
	fields := strings.Split(s, "-")
	if len(fields) < 2 {
		return 0, fmt.Errorf("%q has no note number", s)
	}
	return strconv.Atoi(fields[1])
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
