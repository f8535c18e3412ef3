package browser

import (
	"archive/zip"
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
	"path"
	"slices"
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
	doc, err := musicxml.Parse("harbor-parade.musicxml", xml)
	if err != nil {
		t.Fatal(err)
	}
	part, err := doc.Part(score.Selection{})
	if err != nil {
		t.Fatal(err)
	}
	var made struct{ ID string }
	s.otherTab("POST", "/api/parts?file=harbor-parade.musicxml", xml, &made)
	s.part = made.ID
	s.otherTab("POST", "/api/players", map[string]any{"id": "", "revision": 0, "name": "Anna", "instrument": "tenor-f", "level": 4}, &made)
	s.player = made.ID
	for _, take := range takes {
		file := take.render(t, part)
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

// TestTakes looks at a season of takes: side by side, over the days, and at every
// width and light.
func TestTakes(t *testing.T) {
	s := openTakes(t, 1440, 900, sentTakes)
	s.followed()
	s.sideBySide()
	s.overDays()
	s.accessible()
}

// followed waits for the takes to be measured.
func (s *takeSeason) followed() {
	s.Helper()
	// Nothing is pressed: the screen follows the measuring to its end.
	s.until("document.querySelectorAll('[aria-labelledby=side-by-side] thead th').length === 4")
	s.until("document.querySelector('#ruled-out span')?.textContent === '2'")
}

// comparison is what the program says of the takes side by side.
type comparison struct {
	Send  string
	Why   []string
	Takes []struct {
		Take    string
		ByStage map[string]map[string]float64 `json:"by_stage"`
	}
}

// figures are those of a take as the screen should show them, from two answers of
// the program.
func (c comparison) figures(card heardCard) map[string]string {
	sum, stages := card.Measured.Summary, map[string]map[string]float64{}
	for _, t := range c.Takes {
		if t.Take == card.ID {
			stages = t.ByStage
		}
	}
	return map[string]string{
		"notes right":               fmt.Sprint(sum["played"]),
		"notes missed":              fmt.Sprint(sum["missed"]),
		"notes other pitch":         fmt.Sprint(sum["other"]),
		"notes split":               fmt.Sprint(sum["split"]),
		"notes extra":               fmt.Sprint(sum["extra"]),
		"notes half within":         fmt.Sprintf("%.1f", sum["median_cents"]),
		"notes nine in ten within":  fmt.Sprintf("%.1f", sum["ninth_tenth_cents"]),
		"notes tuning":              fmt.Sprintf("%.1f", sum["tuning_hz"]),
		"notes remarks":             fmt.Sprint(stages["notes"]["findings"]),
		"rhythm tempo":              fmt.Sprintf("%.1f", sum["tempo_bpm"]),
		"rhythm half within":        fmt.Sprintf("%.1f", sum["median_late_ms"]),
		"rhythm nine in ten within": fmt.Sprintf("%.1f", sum["ninth_tenth_late_ms"]),
		"rhythm remarks":            fmt.Sprint(stages["rhythm"]["findings"]),
		"articulation attack":       fmt.Sprintf("%.0f", stages["articulation"]["attack_ms"]),
		"articulation remarks":      fmt.Sprint(stages["articulation"]["findings"]),
		"dynamics soft to loud":     fmt.Sprintf("%.1f", stages["dynamics"]["range_db"]),
		"dynamics hairpins heard":   fmt.Sprintf("%.0f of %.0f", stages["dynamics"]["hairpins_heard"], stages["dynamics"]["hairpins"]),
		"dynamics remarks":          fmt.Sprint(stages["dynamics"]["findings"]),
		"choices breaths":           fmt.Sprint(sum["breaths"]),
		"choices remarks":           fmt.Sprint(stages["choices"]["findings"]),
	}
}

// sideBySide holds the table and the verdict against what the program says.
func (s *takeSeason) sideBySide() {
	s.Helper()
	cards := s.cards()
	var c comparison
	s.otherTab("GET", "/api/takes/compare?part="+s.part+"&player="+s.player, nil, &c)
	if want := cards["third.wav"].ID; c.Send != want || s.order("in-order")[0] != want {
		s.Errorf("to send: %q, the screen's first is %q; want the cleanest, %q", c.Send, s.order("in-order")[0], want)
	}
	for _, why := range c.Why {
		s.until(fmt.Sprintf("document.querySelector('[aria-labelledby=to-send]').innerText.includes(%q)", why))
	}
	columns := eval[[]string](s.bench, "[...document.querySelectorAll('[aria-labelledby=side-by-side] thead th')].map(e => e.dataset.take)")
	newest := []string{"third.wav", "loud.wav", "second.wav", "first.wav"}
	table := eval[map[string][]string](s.bench, `[...document.querySelectorAll('td[data-figure]')]
		.reduce((all, e) => ({...all, [e.dataset.figure]: [...(all[e.dataset.figure] ?? []), e.textContent]}), {})`)
	for i, name := range newest {
		if columns[i] != cards[name].ID {
			s.Fatalf("columns %v, want the newest first, as %v", columns, newest)
		}
		want := c.figures(cards[name])
		if len(want) != len(table) {
			s.Errorf("the table has %d rows, %d are known here", len(table), len(want))
		}
		for figure, value := range want {
			if got := table[figure]; len(got) != len(newest) || got[i] != value {
				s.Errorf("%s, %s: %q on the screen, %q measured", name, figure, got, value)
			}
		}
	}
	// Two others beside each other.
	eval[bool](s.bench, fmt.Sprintf(`(() => { const s = document.querySelectorAll('.pair select')[1]; s.value = %q; s.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`, cards["first.wav"].ID))
	s.until(fmt.Sprintf("document.querySelector('.pair dl').innerText.includes('within %.1f on 4 November')", cards["first.wav"].Measured.Summary["median_cents"]))
}

// overDays wants a dot for each take that was heard, the overdriven one crossed out,
// and the same as a table.
func (s *takeSeason) overDays() {
	s.Helper()
	cards := s.cards()
	for _, plot := range []string{"cents", "ms", "wrong", "tempo", "loudness", "notes", "rhythm", "articulation", "dynamics", "choices"} {
		svg := fmt.Sprintf("document.querySelector('svg[data-trend=%s]')", plot)
		if dots := eval[[]string](s.bench, "[..."+svg+".querySelectorAll('.dot')].map(e => e.dataset.take)"); len(dots) != 4 || slices.Contains(dots, cards["hum.wav"].ID) {
			s.Errorf("plot of %s: dots of %v, want one for each of the 4 takes that were heard", plot, dots)
		}
		if crossed := eval[[]string](s.bench, "[..."+svg+".querySelectorAll('.cross')].map(e => e.parentNode.dataset.take)"); !slices.Equal(crossed, []string{cards["loud.wav"].ID}) {
			s.Errorf("plot of %s crosses out %v, want the overdriven take", plot, crossed)
		}
		if name := eval[string](s.bench, svg+".getAttribute('aria-label')"); !strings.Contains(name, "on 4 November") {
			s.Errorf("plot of %s says %q; want what became of it since 4 November", plot, name)
		}
	}
	rows := eval[[]string](s.bench, "[...document.querySelectorAll('details tbody tr')].map(e => [...e.children].slice(0, 2).map(c => c.textContent).join(': '))")
	if want := fmt.Sprintf("4 November, 17:40: %.1f", cards["first.wav"].Measured.Summary["median_cents"]); len(rows) != 4 || rows[0] != want {
		s.Errorf("the table of the trend: %q, want 4 rows and the first %q", rows, want)
	}
	s.shoot("takes-1440")
}

func TestTakesChosenAndSent(t *testing.T) {
	s := openTakes(t, 1440, 900, []sentTake{sentTakes[0], sentTakes[4]})
	s.expect = "status of 409" // the browser's own note about the other tab
	s.until("document.querySelectorAll('[aria-labelledby=side-by-side] thead th').length === 2")
	s.until("document.querySelectorAll('[aria-labelledby=in-order] li').length === 2")
	first, third := s.cards()["first.wav"], s.cards()["third.wav"]

	// Chosen and saved: what leaves is what came.
	s.press("Choose this take")
	s.until("document.querySelector('.lead')?.textContent === 'You chose the take of 24 November, 17:42.'")
	s.until("document.querySelector('.ring')")
	if shown := eval[string](s.bench, "document.querySelector('.hash').textContent"); shown != s.sent["third.wav"] {
		t.Errorf("hash %s on the screen, %s of the file that was sent", shown, s.sent["third.wav"])
	}
	var archive []byte
	s.otherTab("GET", eval[string](s.bench, "document.querySelector('a.save').getAttribute('href')"), nil, &archive)
	names := s.unpacked(archive, "third.wav", s.sent["third.wav"])
	if !slices.Contains(names, "check-sheet.txt") {
		t.Errorf("the archive has %v, and no check sheet", names)
	}

	// Taken back right after.
	s.press("Undo")
	s.until("document.querySelector('.lead')?.textContent.endsWith('by the measures.')")
	if s.cards()["third.wav"].Chosen {
		t.Error("after undo the take is still chosen")
	}

	// Another tab chooses meanwhile: it is not overruled, and the screen says so.
	s.otherTab("PUT", "/api/takes/"+first.ID+"/chosen", map[string]any{"revision": s.cards()["first.wav"].Revision, "chosen": true}, nil)
	s.press("Choose this take")
	s.until("document.querySelector('.foot [role=alert]')?.textContent.includes('Now chosen: the take of 4 November, 17:40.')")
	s.until("document.querySelector('.lead')?.textContent === 'You chose the take of 4 November, 17:40.'")
	s.until("document.querySelector('[aria-labelledby=to-send]').innerText.includes('The measures would send the take of 24 November, 17:42.')")
	if c := s.cards(); !c["first.wav"].Chosen || c["third.wav"].Chosen {
		t.Errorf("the other tab's choice is overruled: %+v", c)
	}
	s.shoot("takes-conflict-1440")
	s.press("Choose the take of 24 November, 17:42")
	s.until("document.querySelector('.lead')?.textContent === 'You chose the take of 24 November, 17:42.'")

	// Ruled out with a sentence: last in the order, and the reason aloud.
	if got := s.order("in-order"); !slices.Equal(got, []string{third.ID, first.ID}) {
		t.Fatalf("in order %v", got)
	}
	s.press("More about the take of 24 November")
	s.click("#rule-" + third.ID)
	s.key("The ending is too soft.")
	s.press("Rule out")
	s.until("document.querySelector('#ruled-out span')?.textContent === '1'")
	if in, out := s.order("in-order"), s.order("ruled-out"); !slices.Equal(in, []string{first.ID}) || !slices.Equal(out, []string{third.ID}) {
		t.Errorf("in order %v, ruled out %v", in, out)
	}
	s.until("document.querySelector('.against')?.textContent.includes('The ending is too soft.')")
	s.until("document.querySelector('[aria-labelledby=to-send]').innerText.includes('would send the take of 4 November')")
	s.shoot("takes-ruled-out-1440")
	s.press("Undo")
	s.until("!document.querySelector('#ruled-out')")
}

// unpacked are the names in an archive; the file of a name has a hash.
func (s *takeSeason) unpacked(archive []byte, file, hash string) []string {
	s.Helper()
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		s.Fatal(err)
	}
	var names []string
	for _, f := range z.File {
		names = append(names, path.Base(f.Name))
		if path.Base(f.Name) != file {
			continue
		}
		r, err := f.Open()
		if err != nil {
			s.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if got := fmt.Sprintf("%x", sha256.Sum256(data)); err != nil || got != hash {
			s.Errorf("%s in the archive has the hash %s (%v), want %s of the file that was sent", file, got, err, hash)
		}
	}
	if !slices.Contains(names, file) {
		s.Errorf("the archive has %v, and not %s", names, file)
	}
	return names
}

// axed asks axe-core about the screen as it stands.
func (b *bench) axed(axe, screen string) {
	b.Helper()
	eval[bool](b, axe+"; true")
	for _, f := range eval[[]string](b, `axe.run({exclude: []}, {runOnly: ['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice']})
		.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.target.join(' ') + ' ' + (n.any[0]?.message ?? n.all[0]?.message ?? v.help))))`) {
		b.Errorf("%s: %s", screen, f)
	}
	if over := eval[float64](b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
		b.Errorf("%s is %v px wider than the window", screen, over)
	}
}

// accessible asks axe-core about the takes of one player and of all, in light and in
// the dark room, at the widths of a desk and of a phone.
func (s *takeSeason) accessible() {
	s.Helper()
	axe, err := os.ReadFile("../node_modules/axe-core/axe.min.js")
	if err != nil {
		s.Skipf("axe-core not here: %v; run npm ci in web/", err)
	}
	one := s.screen()
	everyone, _, _ := strings.Cut(one, "?")
	for _, light := range []string{"light", "dark"} {
		s.do(chromedp.EmulateViewport(1440, 900), chromedp.Navigate(everyone))
		s.until("document.querySelector('[aria-labelledby=of-all] .facts')")
		if eval[string](s.bench, "document.documentElement.dataset.room") != light {
			s.press("Dark room")
		}
		s.axed(string(axe), "takes of all, "+light)
		s.do(chromedp.Navigate(one))
		s.until("document.querySelectorAll('[aria-labelledby=side-by-side] thead th').length === 4")
		s.press("More about the take of 24 November")
		eval[bool](s.bench, "(document.querySelector('details').open = true)")
		s.until("document.querySelector('form input')")
		for _, width := range []int64{1440, 360} {
			s.do(chromedp.EmulateViewport(width, 900))
			s.axed(string(axe), fmt.Sprintf("takes, %s, %d px", light, width))
			s.shoot(fmt.Sprintf("takes-%s-%d", light, width))
		}
	}
}

func TestTakesOfNobodyYet(t *testing.T) {
	s := openTakes(t, 360, 740, nil)
	s.until("document.querySelector('.lead')?.textContent === 'No take yet.'")
	s.until("document.querySelector('a.record[href*=\"/record?player=\"]')")
	s.shoot("takes-none-360")
}
