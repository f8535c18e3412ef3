package audio

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
)

// Limits of what is read.
const (
	minRate, maxRate = 4_000, 384_000 // Hz: telephone halved, studio doubled (estimate)
	maxChannels      = 16             // more is no recording of one player (estimate)

	// maxSeconds is a day: a longer file is no take (estimate).
	maxSeconds = 24 * 60 * 60

	// blockFrames is about how many frames a block holds.
	blockFrames = 8192

	// maxFloat is the largest sample taken for sound: float recordings may
	// exceed full scale, by 60 dB at most (estimate); more is damage.
	maxFloat = 1000

	// badShare is the share of samples that may be no numbers before the whole
	// file is taken for damaged (estimate): a fault in an editor leaves a few.
	badShare = 0.01
)

// source is a recording being decoded.
type source struct {
	format         string // in errors, as "WAV"
	rate, channels int
	promised       int64 // frames that the header speaks of, 0 for unknown
	wild           bool  // samples may lie beyond full scale, or be no numbers

	// next returns a block of one slice for each channel, valid until the next
	// call. Its error is io.EOF at the end, wraps io.ErrUnexpectedEOF where the
	// file stops short, and is any other for damage.
	next func() ([][]float64, error)

	close func() error // nil when there is nothing to close
}

// Reader hands out a recording block by block. It is not safe for concurrent
// use.
type Reader struct {
	name    string
	src     *source
	frames  int64 // handed out
	bad     int64 // samples replaced by silence
	notices []string
	closers []func() error
	done    error // what Next returns from now on
}

// OpenReader opens a file for reading block by block. Close it after use.
func OpenReader(path string) (*Reader, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	r, err := newReader(path, f, path)
	if err != nil {
		f.Close()
		return nil, err
	}
	r.closers = append(r.closers, f.Close)
	return r, nil
}

// NewReader reads a recording from r; name is used in errors only. WAV (with
// RF64), AIFF, FLAC, MP3, Ogg Vorbis, and Opus in Ogg and WebM are decoded
// here; M4A, MP4, MOV and others go through an ffmpeg program where one is on
// the PATH, over a temporary copy. Close it after use; r itself stays open.
func NewReader(name string, r io.Reader) (*Reader, error) {
	return newReader(name, r, "")
}

// newReader is NewReader for a file at path, or for a stream with path "".
func newReader(name string, r io.Reader, path string) (*Reader, error) {
	src, err := guardedOpen(r, path)
	if err == nil {
		err = src.check()
	}
	if err != nil {
		if src != nil && src.close != nil {
			src.close()
		}
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	rd := &Reader{name: name, src: src}
	if src.close != nil {
		rd.closers = append(rd.closers, src.close)
	}
	return rd, nil
}

// Rate is the number of frames a second.
func (r *Reader) Rate() int { return r.src.rate }

// Channels is the number of channels.
func (r *Reader) Channels() int { return r.src.channels }

// Format names the format found in the file, as "WAV" or "FLAC".
func (r *Reader) Format() string { return r.src.format }

// Promised is the length in seconds that the file claims, 0 when it does not
// say: good for a progress bar, not for memory.
func (r *Reader) Promised() float64 { return float64(r.src.promised) / float64(r.src.rate) }

// Notices says in sentences what had to be passed over so far: a file cut off,
// samples that were no numbers. Complete once Next has returned io.EOF.
func (r *Reader) Notices() []string { return slices.Clone(r.notices) }

// Close frees what the reader holds.
func (r *Reader) Close() error {
	var errs []error
	for _, c := range r.closers {
		errs = append(errs, c())
	}
	r.closers = nil
	return errors.Join(errs...)
}

// Next returns the next block: one slice for each channel, all equally long
// and not empty, valid until the next call. After the last it returns io.EOF;
// a recording without any sound is an error.
func (r *Reader) Next() ([][]float64, error) {
	for r.done == nil {
		block, err := r.guarded()
		if err != nil {
			r.finish(err)
			break
		}
		if len(block[0]) == 0 {
			continue
		}
		if r.frames += int64(len(block[0])); r.frames > maxSeconds*int64(r.src.rate) {
			r.done = fmt.Errorf("%s: %w", r.name, errTooLong())
			break
		}
		if r.src.wild {
			r.bad += tame(block)
		}
		return block, nil
	}
	return nil, r.done
}

// guardedOpen is openSource, with a panic of a decoder turned into damage: the
// decoders are other people's and meet files of any kind.
func guardedOpen(r io.Reader, path string) (src *source, err error) {
	defer func() {
		if p := recover(); p != nil {
			src, err = nil, fmt.Errorf("the file is damaged: its head makes no sense (%v)", p)
		}
	}()
	return openSource(r, path)
}

// guarded is the source's next, guarded likewise.
func (r *Reader) guarded() (block [][]float64, err error) {
	defer func() {
		if p := recover(); p != nil {
			block, err = nil, fmt.Errorf("the data make no sense (%v)", p)
		}
	}()
	return r.src.next()
}

// finish decides what the end of the source means.
func (r *Reader) finish(err error) {
	s := r.src
	here := float64(r.frames) / float64(s.rate)
	short := errors.Is(err, io.ErrUnexpectedEOF)
	samples := r.frames * int64(s.channels)
	switch {
	case !short && !errors.Is(err, io.EOF):
		r.done = fmt.Errorf("%s: damaged %s file: after %.3f s: %w", r.name, s.format, here, err)
	case r.frames == 0 && short:
		r.done = fmt.Errorf("%s: the %s file is cut off before any sound", r.name, s.format)
	case r.frames == 0:
		r.done = fmt.Errorf("%s: the %s file holds no sound", r.name, s.format)
	case float64(r.bad) > badShare*float64(samples):
		r.done = fmt.Errorf("%s: damaged %s file: %d of %d values are no samples (at most ±%d is sound)", r.name, s.format, r.bad, samples, maxFloat)
	default:
		r.done = io.EOF
		if r.bad > 0 {
			r.notices = append(r.notices, fmt.Sprintf("%d values were no samples and were taken as silence.", r.bad))
		}
		if s.promised > r.frames {
			r.notices = append(r.notices, fmt.Sprintf("The file is cut off: it promises %.3f s and %.3f s are there.", float64(s.promised)/float64(s.rate), here))
		} else if short {
			r.notices = append(r.notices, fmt.Sprintf("The file is cut off: it can be read up to %.3f s.", here))
		}
	}
}

// tame replaces what is no sample by silence and counts it.
func tame(block [][]float64) (bad int64) {
	for _, x := range block {
		for i, v := range x {
			if !(math.Abs(v) <= maxFloat) {
				x[i] = 0
				bad++
			}
		}
	}
	return bad
}

// check says whether rate and channels are those of a recording.
func (s *source) check() error { return checkShape(s.rate, s.channels) }

func checkShape(rate, channels int) error {
	if rate < minRate || rate > maxRate {
		return fmt.Errorf("sample rate %d Hz is outside %d to %d Hz; 44100 or 48000 works", rate, minRate, maxRate)
	}
	if channels < 1 || channels > maxChannels {
		return fmt.Errorf("%d channels; 1 to %d can be read", channels, maxChannels)
	}
	return nil
}

func errTooLong() error {
	return fmt.Errorf("the recording is longer than %d hours; cut it to the excerpt", maxSeconds/3600)
}
