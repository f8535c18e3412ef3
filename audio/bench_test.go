//go:build unix

package audio

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
)

// cpuSeconds is the processor time this program has used: on a busy machine
// the clock on the wall says little.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) * 1e-9
}

// reportSpeed runs f, which works through seconds of sound, and reports how
// many times faster than real time it is, by processor time.
func reportSpeed(b *testing.B, seconds float64, f func()) {
	b.Helper()
	b.ReportAllocs()
	began := cpuSeconds()
	for range b.N {
		f()
	}
	b.ReportMetric(seconds*float64(b.N)/max(cpuSeconds()-began, 1e-9), "x-realtime")
}

func BenchmarkResample(b *testing.B) {
	for _, rate := range []int{44100, 48000, 96000} {
		b.Run(strconv.Itoa(rate), func(b *testing.B) {
			const seconds = 60
			x := sine(rate, 1, 440, 0.5, seconds).Channels[0]
			reportSpeed(b, seconds, func() { Resample(x, rate, 16000) })
		})
	}
}

func BenchmarkMeasure(b *testing.B) {
	const seconds = 60
	for name, c := range map[string]*Clip{
		"take/mono": take(48000, 1, seconds), "take/stereo": take(48000, 2, seconds), "sine/stereo": sine(48000, 2, 440, 0.5, seconds),
	} {
		b.Run(name, func(b *testing.B) { reportSpeed(b, seconds, func() { Measure(c) }) })
	}
}

// BenchmarkListenPCM is all that listening does with a take once it is
// decoded: measure, mix down, resample.
func BenchmarkListenPCM(b *testing.B) {
	const seconds = 60
	for name, c := range map[string]*Clip{"mono": take(48000, 1, seconds), "stereo": take(48000, 2, seconds)} {
		b.Run(name, func(b *testing.B) {
			reportSpeed(b, seconds, func() {
				r := &Reader{src: &source{rate: c.Rate, channels: len(c.Channels), promised: int64(c.Len()), next: blocksOf(c)}}
				if _, _, err := r.Listen(16000); err != nil {
					b.Fatal(err)
				}
			})
		})
	}
}

// BenchmarkListen decodes as well. The files are made by ffmpeg here, where
// there is one; for M4A the time that ffmpeg itself takes is not counted.
func BenchmarkListen(b *testing.B) {
	needFFmpeg(b)
	const seconds = 60
	dir := b.TempDir()
	wavPath := filepath.Join(dir, "take.wav")
	f, err := os.Create(wavPath)
	if err != nil {
		b.Fatal(err)
	}
	if err := errors.Join(WriteWAV(f, take(48000, 2, seconds)), f.Close()); err != nil {
		b.Fatal(err)
	}
	for _, name := range []string{"take.wav", "take.aiff", "take.flac", "take.mp3", "take.ogg", "take.opus", "take.webm", "take.m4a"} {
		path := filepath.Join(dir, name)
		if path != wavPath {
			if out, err := exec.Command("ffmpeg", "-nostdin", "-loglevel", "error", "-i", wavPath, path).CombinedOutput(); err != nil {
				b.Logf("%s: %v: %s", name, err, out)
				continue
			}
		}
		b.Run(filepath.Ext(name)[1:], func(b *testing.B) {
			reportSpeed(b, seconds, func() {
				r, err := OpenReader(path)
				if err != nil {
					b.Fatal(err)
				}
				defer r.Close()
				if _, _, err := r.Listen(16000); err != nil {
					b.Fatal(err)
				}
			})
		})
	}
}
