package server

import (
	"bytes"
	"io"
	"math"
	"net/http"
	"strings"
	"testing"
	"time"

	"waterkey/audio"
	"waterkey/desk"
	"waterkey/sound"
)

// begins is the first moment of x, from a second on, that is louder than a fiftieth
// of full scale.
func begins(x []float64, rate int, from float64) float64 {
	for i := int(from * float64(rate)); i < len(x); i++ {
		if math.Abs(x[i]) > 0.02 {
			return float64(i) / float64(rate)
		}
	}
	return math.Inf(1)
}

// The march has 32 bars and repeats bars 9 to 15, which makes 39 played ones, 15 of
// them from bar 9 to 16.
//
// The timeline of a query fits the recording of the same query: the first note of
// every run sounds where it says, after silence, and the recording ends where it
// says.
func TestTimelineOfWhateverIsPlayed(t *testing.T) {
	const late = 0.03 // seconds that a note may take to be loud
	b := newBench(t)
	part := "part=" + string(b.addMarch())
	for _, c := range []struct {
		query string
		bars  int
		first string
		runs  int
	}{
		{"", 39, "1", 1},
		{"&from=9&to=16&style=light", 15, "9", 1},
		{"&from=5&to=6&slow_from=0.6&runs=3", 2, "5", 3},
		{"&from=3&to=4&bpm=120&style=detached", 2, "3", 1},
	} {
		d := as[desk.TimelineDocument](b, b.ask("GET", "/api/sheet/timeline?"+part+c.query, nil, http.StatusOK))
		if len(d.Bars) != c.bars*c.runs || d.Bars[0].Bar != c.first {
			t.Errorf("%s: %d bars from %s, want %d from %s", c.query, len(d.Bars), d.Bars[0].Bar, c.bars*c.runs, c.first)
			continue
		}
		clip, err := audio.Decode("sound.wav", bytes.NewReader(b.ask("GET", "/api/sheet/sound?"+part+c.query, nil, http.StatusOK)))
		if err != nil {
			t.Fatal(err)
		}
		if more := clip.Seconds() - d.Seconds; more < 0 || more > 0.3 {
			t.Errorf("%s: %.2f s of sound, a timeline of %.2f", c.query, clip.Seconds(), d.Seconds)
		}
		for i := 1; i < len(d.Bars); i++ {
			if d.Bars[i].StartS <= d.Bars[i-1].StartS {
				t.Errorf("%s: bar %s at %.2f s comes after one at %.2f", c.query, d.Bars[i].Bar, d.Bars[i].StartS, d.Bars[i-1].StartS)
			}
		}
		each := len(d.Notes) / c.runs
		for k := range c.runs {
			want := d.Notes[k*each].StartS
			if got := begins(clip.Channels[0], clip.Rate, max(want-0.3, 0)); got < want-0.001 || got > want+late {
				t.Errorf("%s: run %d sounds at %.3f s, the timeline says %.3f", c.query, k+1, got, want)
			}
		}
	}
}

// What is left out keeps its time.
func TestSilenceKeepsItsTime(t *testing.T) {
	b := newBench(t)
	part := "part=" + string(b.addMarch())
	for _, query := range []string{"&playalong=true&count_in=1", "&inner=1,1", "&conducted=true&click=true&divide=2&accents=2", "&drone=Bb2,F3&just=true&playalong=true"} {
		d := as[desk.TimelineDocument](b, b.ask("GET", "/api/sheet/timeline?"+part+query, nil, http.StatusOK))
		clip, err := audio.Decode("sound.wav", bytes.NewReader(b.ask("GET", "/api/sheet/sound?"+part+query, nil, http.StatusOK)))
		if err != nil {
			t.Fatal(err)
		}
		if more := clip.Seconds() - d.Seconds; more < -0.001 || more > 0.3 || len(d.Bars) != 39 {
			t.Errorf("%s: %.2f s of sound, a timeline of %.2f with %d bars", query, clip.Seconds(), d.Seconds, len(d.Bars))
		}
	}
}

// Reference: RFC 9110, section 14. Pieces of the file are pieces of the whole.
func TestSoundInPieces(t *testing.T) {
	b := newBench(t)
	path := "/api/sheet/sound?from=1&to=2&part=" + string(b.addMarch())
	whole := b.ask("GET", path, nil, http.StatusOK)
	for _, r := range []struct {
		asked string
		want  []byte
	}{{"bytes=0-", whole}, {"bytes=100000-100099", whole[100000:100100]}, {"bytes=-50", whole[len(whole)-50:]}} {
		req, err := http.NewRequest("GET", b.url+path, nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Range", r.asked)
		res, err := b.http.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(res.Body)
		res.Body.Close()
		if err != nil || res.StatusCode != http.StatusPartialContent || !bytes.Equal(got, r.want) {
			t.Errorf("%s: status %d, %d bytes, %v; want %d, %d bytes alike", r.asked, res.StatusCode, len(got), err, http.StatusPartialContent, len(r.want))
		}
	}
}

func TestWhatCannotBePlayedSaysWhatCan(t *testing.T) {
	b := newBench(t)
	part := string(b.addMarch())
	for query, want := range map[string]string{
		"from=40":                 "the part has bars 1 to 32",
		"from=16&to=9":            "write 9-16",
		"accents=3&click=true":    "1 to 2 work",
		"inner=0,1":               "such as 1,1",
		"drone=H2":                "such as Bb2",
		"slow_from=0.1":           "such as 67",
		"style=loud":              "light, broad, detached, singing",
		"slow_from=0.5&runs=1":    "such as 4",
		"playalong=true&to=1":     "try the whole part",
		"click=true&divide=9":     "8",
		"count_in=5":              "4",
		"just=true":               "Bb2 F3",
		"from=9&to=9&slow_from=2": "0.99",
	} {
		if got := string(b.ask("GET", "/api/sheet/sound?part="+part+"&"+query, nil, http.StatusUnprocessableEntity)); !strings.Contains(got, want) {
			t.Errorf("%s: %s; want it to say %q", query, got, want)
		}
	}
}

// BenchmarkSoundBegins prints how long the first tenth of a second of sound takes to
// arrive: on a sheet that nobody has opened yet, on one that was opened before, and
// there the whole part.
func BenchmarkSoundBegins(b *testing.B) {
	bench := newBench(b)
	path := "/api/sheet/sound?count_in=1&click=true&part=" + string(bench.addMarch())
	cold, _ := bench.timeSound(path + "&bpm=91")
	begun, done, n := 0.0, 0.0, 0.0
	for b.Loop() {
		first, whole := bench.timeSound(path)
		begun, done, n = begun+first, done+whole, n+1
	}
	b.ReportMetric(cold, "cold-ms")
	b.ReportMetric(begun/n, "first-ms")
	b.ReportMetric(done/n, "whole-ms")
}

// timeSound is how many milliseconds a tenth of a second of sound takes, and all of it.
func (b *bench) timeSound(path string) (first, whole float64) {
	b.Helper()
	start := time.Now()
	ms := func() float64 { return float64(time.Since(start).Microseconds()) / 1000 }
	res, err := b.http.Get(b.url + path)
	if err != nil {
		b.Fatal(err)
	}
	defer res.Body.Close()
	if _, err := io.ReadFull(res.Body, make([]byte, 44+sound.DefaultRate/10*3)); err != nil {
		b.Fatal(err)
	}
	first = ms()
	if _, err := io.Copy(io.Discard, res.Body); err != nil {
		b.Fatal(err)
	}
	return first, ms()
}
