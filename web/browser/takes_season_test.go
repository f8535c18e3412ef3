package browser

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/score"
	"waterkey/score/musicxml"
	"waterkey/sound"
)

// sentTake is a recording that a test sends, from better to worse as its faults grow.
type sentTake struct {
	file, recorded string
	cents, ms      float64 // standard deviations of pitch and of time
	drop           int     // every how-manieth note does not sound; 0 for none
	gain           float64 // 0 for 1; 8 overdrives it
	hum            bool    // nothing is played at all
}

// sentBPM is a tempo in half notes a minute that keeps the test short; the part is
// marked 96, and the takes are said to be played so.
const sentBPM = 160

// sentTakes are in the order they were recorded. The same order of figures is
// planted in them: each take on a later day is nearer, but the overdriven one.
var sentTakes = []sentTake{
	{file: "first.wav", recorded: "2026-11-04T17:40:00+01:00", cents: 16, ms: 35, drop: 12},
	{file: "second.wav", recorded: "2026-11-12T18:02:00+01:00", cents: 9, ms: 20, drop: 40},
	{file: "loud.wav", recorded: "2026-11-12T18:20:00+01:00", cents: 3, ms: 6, gain: 8},
	{file: "hum.wav", recorded: "2026-11-13T09:00:00+01:00", hum: true},
	{file: "third.wav", recorded: "2026-11-24T17:42:00+01:00", cents: 3, ms: 6},
}

// render plays the demo part with the faults of a take, or hums an A.
func (s sentTake) render(t *testing.T, part *score.Part) []byte {
	t.Helper()
	pf, err := part.Perform(score.Tempo{BPM: sentBPM})
	if err != nil {
		t.Fatal(err)
	}
	o := sound.Options{Rate: 22050, LeadIn: 1.2}
	chance := rand.New(rand.NewPCG(1, uint64(len(s.file))))
	var tones []sound.Tone
	for i, tone := range sound.Tones(pf, o) {
		late := score.Seconds(chance.NormFloat64() * s.ms / 1000)
		tone.Start, tone.End = tone.Start+late, max(tone.End+late, tone.Start+late+0.05)
		tone.Hz *= math.Exp2(chance.NormFloat64() * s.cents / 1200)
		if s.drop == 0 || i%s.drop != s.drop-1 {
			tones = append(tones, tone)
		}
	}
	clip := sound.Render(tones, o)
	for i, v := range clip.Channels[0] {
		if s.hum {
			v = 0.1 * math.Sin(2*math.Pi*440*float64(i)/float64(o.Rate))
		}
		clip.Channels[0][i] = max(-1, min(1, v*max(s.gain, 1)))
	}
	var out bytes.Buffer
	if err := audio.WriteWAV(&out, clip); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// partOfTakes is the part that takes are made of, here and at the microphone.
func partOfTakes(t *testing.T) *score.Part { return seasonPart(t, "harbor-parade.musicxml") }

// seasonPart is a part of the demo season.
func seasonPart(t *testing.T, name string) *score.Part {
	t.Helper()
	xml, err := demo.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := musicxml.Parse(name, xml)
	if err != nil {
		t.Fatal(err)
	}
	part, err := doc.Part(score.Selection{})
	if err != nil {
		t.Fatal(err)
	}
	return part
}

// otherTab asks the program as a second tab would.
func (b *bench) otherTab(method, path string, body any, into any) {
	b.Helper()
	data, kind := []byte(nil), "application/octet-stream"
	switch v := body.(type) {
	case nil:
	case []byte:
		data = v
	default:
		data, kind = mustJSON(b, v), "application/json"
	}
	home, token, _ := strings.Cut(b.address, "/?token=")
	r, err := http.NewRequest(method, home+path, bytes.NewReader(data))
	if err != nil {
		b.Fatal(err)
	}
	r.Header.Set("Content-Type", kind)
	r.AddCookie(&http.Cookie{Name: "waterkey", Value: token})
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		b.Fatal(err)
	}
	defer answer.Body.Close()
	said, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode/100 != 2 {
		b.Fatalf("%s %s: %s %v: %.300s", method, path, answer.Status, err, said)
	}
	if raw, ok := into.(*[]byte); ok {
		*raw = said
	} else if into != nil {
		if err := json.Unmarshal(said, into); err != nil {
			b.Fatalf("%s %s: %v", method, path, err)
		}
	}
}

func mustJSON(b *bench, v any) []byte {
	b.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		b.Fatal(err)
	}
	return data
}

// takeSeason is a desk with the demo part, one player and the takes that were sent.
type takeSeason struct {
	*bench
	part, player string
	sent         map[string]string // SHA-256 by file name
}

// openTakes opens the takes of a season of its own while they are still measured.
func openTakes(t *testing.T, width, height int64, takes []sentTake) *takeSeason {
	t.Helper()
	s := &takeSeason{bench: open(t, "serve", width, height), sent: map[string]string{}}
	xml, err := demo.Open("harbor-parade.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	var made struct{ ID string }
	s.otherTab("POST", "/api/parts?file=harbor-parade.musicxml", xml, &made)
	s.part = made.ID
	s.otherTab("POST", "/api/players", map[string]any{"id": "", "revision": 0, "name": "Anna", "instrument": "tenor-f", "level": 4}, &made)
	s.player = made.ID
	for _, take := range takes {
		file := take.render(t, partOfTakes(t))
		s.sent[take.file] = fmt.Sprintf("%x", sha256.Sum256(file))
		s.otherTab("POST", "/api/takes?"+url.Values{"part": {s.part}, "player": {s.player}, "file": {take.file}, "recorded": {take.recorded}, "bpm": {fmt.Sprint(sentBPM)}}.Encode(), file, nil)
	}
	s.do(chromedp.Navigate(s.screen()))
	return s
}

func (s *takeSeason) screen() string {
	home, _, _ := strings.Cut(s.address, "/?token=")
	return fmt.Sprintf("%s/part/%s/takes?player=%s", home, s.part, s.player)
}

// heardCard is what the tests read of a take.
type heardCard struct {
	ID, FileName, State string
	Revision            int
	Chosen              bool
	Measured            *struct {
		Summary map[string]any
	}
}

func (c *heardCard) UnmarshalJSON(data []byte) error {
	type plain heardCard
	named := struct {
		*plain
		FileName string `json:"file_name"`
	}{plain: (*plain)(c)}
	err := json.Unmarshal(data, &named)
	c.FileName = named.FileName
	return err
}

// cards are the takes as the program has them, by file name.
func (s *takeSeason) cards() map[string]heardCard {
	s.Helper()
	var list struct{ Takes []heardCard }
	s.otherTab("GET", "/api/takes?part="+s.part+"&player="+s.player, nil, &list)
	out := map[string]heardCard{}
	for _, c := range list.Takes {
		out[c.FileName] = c
	}
	return out
}

// order are the takes of a section from top to bottom.
func (s *takeSeason) order(section string) []string {
	s.Helper()
	return eval[[]string](s.bench, fmt.Sprintf("[...document.querySelectorAll('section[aria-labelledby=%q] [data-take]')].map(e => e.dataset.take)", section))
}

// axed asks axe-core about the screen as it stands, and whether it is as wide as the
// window.
func (b *bench) axed(screen string) {
	b.Helper()
	axe, err := os.ReadFile("../node_modules/axe-core/axe.min.js")
	if err != nil {
		b.Skipf("axe-core not here: %v; run npm ci in web/", err)
	}
	eval[bool](b, string(axe)+"; true")
	for _, f := range eval[[]string](b, `axe.run({exclude: []}, {runOnly: ['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice']})
		.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.target.join(' ') + ' ' + (n.any[0]?.message ?? n.all[0]?.message ?? v.help))))`) {
		b.Errorf("%s: %s", screen, f)
	}
	if over := eval[float64](b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
		b.Errorf("%s is %v px wider than the window", screen, over)
	}
}
