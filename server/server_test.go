package server

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"waterkey/audio"
	"waterkey/desk"
	"waterkey/score"
	"waterkey/score/musicxml"
	"waterkey/store"
)

const token = "open-sesame"

// bench is a server over a season in a folder of its own, with a browser that has
// opened the first address.
type bench struct {
	testing.TB
	url  string
	http *http.Client
	desk *desk.Desk
}

func newBench(t testing.TB) *bench {
	t.Helper()
	b, stop := benchIn(t, t.TempDir())
	t.Cleanup(stop)
	return b
}

// benchIn is a bench over a folder, and what stops its server and closes its season.
func benchIn(t testing.TB, folder string) (b *bench, stop func()) {
	t.Helper()
	return benchWith(t, folder, func(*Config) {})
}

// benchWith is a bench whose server is configured otherwise.
func benchWith(t testing.TB, folder string, change func(*Config)) (b *bench, stop func()) {
	t.Helper()
	season, err := store.Open(context.Background(), folder, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d := desk.New(season)
	page := fstest.MapFS{"index.html": {Data: []byte("<title>Waterkey</title>")}, "assets/a-1.js": {Data: []byte("1")}}
	c := Config{Desk: d, Token: token, Pages: page}
	change(&c)
	handler := New(c)
	s := httptest.NewServer(handler)
	stop = func() { s.Close(); handler.Close(); _ = season.Close() }
	jar := &http.Client{Jar: newJar(t), Transport: s.Client().Transport}
	b = &bench{t, s.URL, jar, d}
	if got := b.ask("GET", "/?token="+token, nil, http.StatusOK); !strings.Contains(string(got), "Waterkey") {
		t.Fatalf("first page: %s", got)
	}
	return b, stop
}

// ask sends a request and gives the answer's body; the status must be the given.
func (b *bench) ask(method, path string, body []byte, status int) []byte {
	b.Helper()
	req, err := http.NewRequest(method, b.url+path, bytes.NewReader(body))
	if err != nil {
		b.Fatal(err)
	}
	if json.Valid(body) {
		req.Header.Set("Content-Type", "application/json")
	} else if body != nil {
		req.Header.Set("Content-Type", "application/octet-stream")
	}
	res, err := b.http.Do(req)
	if err != nil {
		b.Fatal(err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		b.Fatal(err)
	}
	if res.StatusCode != status {
		b.Fatalf("%s %s: status %d, want %d: %s", method, path, res.StatusCode, status, data)
	}
	return data
}

// as decodes an answer.
func as[T any](b *bench, data []byte) T {
	b.Helper()
	var out T
	if err := json.Unmarshal(data, &out); err != nil {
		b.Fatalf("%v in %s", err, data)
	}
	return out
}

func toJSON(b *bench, v any) []byte {
	b.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		b.Fatal(err)
	}
	return data
}

// addMarch drops the demo march and gives its id.
func (b *bench) addMarch() desk.ID {
	b.Helper()
	data, err := os.ReadFile("../demo/season/harbor-parade.musicxml")
	if err != nil {
		b.Fatal(err)
	}
	card := as[partCard](b, b.ask("POST", "/api/parts?file=harbor-parade.musicxml&due=2026-12-20", data, http.StatusOK))
	if card.Title != "Harbor Parade" || card.Bars != 32 || card.Key != "F major" || card.Due != "2026-12-20" {
		b.Fatalf("%+v %+v", card, card.Part)
	}
	return card.ID
}

func (b *bench) addPlayer(p desk.Player) desk.ID {
	b.Helper()
	return as[desk.Player](b, b.ask("POST", "/api/players", toJSON(b, p), http.StatusOK)).ID
}

func TestFromDroppedPageToPinnedNote(t *testing.T) {
	b := newBench(t)
	part := b.addMarch()
	player := b.addPlayer(desk.Player{Name: "Ada", Instrument: "tenor", Level: 4})
	sheet := "/api/sheet?part=" + string(part) + "&player=" + string(player)

	before := as[struct {
		Mark desk.MarkDocument
		Horn instrument
		Undo string
	}](b, b.ask("GET", sheet, nil, http.StatusOK))
	if before.Horn.Name != "tenor" || before.Undo != "" || before.Mark.Notes[0].Choice.Label != "6" {
		t.Fatalf("%+v, undo %q, first note %+v", before.Horn, before.Undo, before.Mark.Notes[0].Choice)
	}

	m := desk.Mark{Sheet: desk.Sheet{Part: part, Player: player}, Position: &desk.PositionPin{Where: before.Mark.Notes[1].ID, Way: "6"}}
	kept := as[desk.Mark](b, b.ask("POST", "/api/marks", toJSON(b, m), http.StatusOK))
	after := as[struct {
		Mark desk.MarkDocument
		Undo string
	}](b, b.ask("GET", sheet, nil, http.StatusOK))
	if n := after.Mark.Notes[1]; n.Choice.Label != "6" || !n.Pinned || after.Undo != "6 at F3 in bar 1" {
		t.Errorf("second note %+v, undo %q", n, after.Undo)
	}

	b.ask("POST", "/api/undo", toJSON(b, m.Sheet), http.StatusOK)
	b.ask("POST", "/api/undo", toJSON(b, m.Sheet), http.StatusConflict)
	b.ask("POST", "/api/redo", toJSON(b, m.Sheet), http.StatusOK)
	b.ask("DELETE", "/api/marks/"+string(kept.ID)+"?part="+string(part)+"&player="+string(player)+"&revision=1", nil, http.StatusConflict)

	m.Position.Way = "2"
	refused := string(b.ask("POST", "/api/marks", toJSON(b, m), http.StatusUnprocessableEntity))
	if !strings.Contains(refused, "F3 in bar 1 cannot be played with position 2") {
		t.Errorf("refused with %s", refused)
	}
}

func TestScoreAndSound(t *testing.T) {
	b := newBench(t)
	part := b.addMarch()
	doc, err := musicxml.Parse("score", b.ask("GET", "/api/sheet/score?part="+string(part), nil, http.StatusOK))
	if err != nil {
		t.Fatal(err)
	}
	read, err := doc.Part(score.Selection{})
	if err != nil || len(read.Notes) != 116 {
		t.Fatalf("%v, %d notes", err, len(read.Notes))
	}
	wav := b.ask("GET", "/api/sheet/sound?count_in=1&bpm=120&part="+string(part), nil, http.StatusOK)
	clip, err := audio.Decode("sound.wav", bytes.NewReader(wav))
	// 40 played bars of two beats at 120 and one counted: 41 s.
	if err != nil || clip.Seconds() < 40 || clip.Seconds() > 42 {
		t.Errorf("%v, %.1f s", err, clip.Seconds())
	}
}

func TestPageThatDoesNotReadIsToldWhere(t *testing.T) {
	b := newBench(t)
	got := string(b.ask("POST", "/api/parts?file=torn.musicxml", []byte("<score-partwise><part>"), http.StatusUnprocessableEntity))
	if !strings.Contains(got, "torn.musicxml") || !strings.Contains(got, "line 1") {
		t.Errorf("%s", got)
	}
	season := as[struct{ Parts []partCard }](b, b.ask("GET", "/api/season", nil, http.StatusOK))
	if len(season.Parts) != 0 {
		t.Errorf("%d parts are kept", len(season.Parts))
	}
}

// Nothing is to be had without the token, under a foreign name (DNS rebinding), or
// by a page from elsewhere; the front page may be linked to.
func TestGuard(t *testing.T) {
	b := newBench(t)
	u, err := url.Parse(b.url)
	if err != nil {
		t.Fatal(err)
	}
	cookie := b.http.Jar.Cookies(u)
	for _, c := range []struct {
		name, path string
		change     func(*http.Request)
		want       int
	}{
		{"as the page does", "/api/season", func(*http.Request) {}, http.StatusOK},
		{"own origin", "/api/season", func(r *http.Request) { r.Header.Set("Origin", b.url) }, http.StatusOK},
		{"no token", "/api/season", func(r *http.Request) { r.Header.Del("Cookie") }, http.StatusForbidden},
		{"no token, front page", "/", func(r *http.Request) { r.Header.Del("Cookie") }, http.StatusForbidden},
		{"wrong token", "/?token=guess", func(*http.Request) {}, http.StatusForbidden},
		{"foreign name", "/api/season", func(r *http.Request) { r.Host = "evil.example" }, http.StatusMisdirectedRequest},
		{"foreign name with a port", "/api/season", func(r *http.Request) { r.Host = "evil.example:" + u.Port() }, http.StatusMisdirectedRequest},
		{"name that only starts like ours", "/api/season", func(r *http.Request) { r.Host = "localhost.evil.example" }, http.StatusMisdirectedRequest},
		{"foreign origin", "/api/season", func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") }, http.StatusForbidden},
		{"origin without a name", "/api/season", func(r *http.Request) { r.Header.Set("Origin", "null") }, http.StatusForbidden},
		{"same machine, other port", "/api/season", func(r *http.Request) { r.Header.Set("Origin", "http://127.0.0.1:1") }, http.StatusForbidden},
		{"image on a foreign page", "/api/season", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, http.StatusForbidden},
		{"link from elsewhere", "/", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, http.StatusOK},
		{"climbing", "/../server.go", func(*http.Request) {}, http.StatusTemporaryRedirect}, // to /server.go, which is the front page
		{"climbing in code", "/%2e%2e/server.go", func(*http.Request) {}, http.StatusOK},
		{"no file", "/server.go", func(*http.Request) {}, http.StatusOK},
		{"missing file", "/assets/none.js", func(*http.Request) {}, http.StatusNotFound},
		{"unknown call", "/api/none", func(*http.Request) {}, http.StatusNotFound},
	} {
		r, err := http.NewRequest("GET", b.url, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.URL.Opaque = c.path // sent as it is
		if path, query, ok := strings.Cut(c.path, "?"); ok {
			r.URL.Opaque, r.URL.RawQuery = path, query
		}
		for _, k := range cookie {
			r.AddCookie(k)
		}
		c.change(r)
		res, err := (&http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}).Do(r)
		if err != nil {
			t.Fatal(err)
		}
		body, _ := io.ReadAll(res.Body)
		res.Body.Close()
		if res.StatusCode != c.want {
			t.Errorf("%s: %d, want %d: %s", c.name, res.StatusCode, c.want, body)
		}
		if (c.name == "no file" || c.name == "climbing in code") && !strings.Contains(string(body), "Waterkey") {
			t.Errorf("%s: %s", c.name, body)
		}
		if res.Header.Get("Content-Security-Policy") == "" {
			t.Errorf("%s: no content policy", c.name)
		}
	}
}

func TestErrorsBecomeProblems(t *testing.T) {
	b := newBench(t)
	got := as[struct {
		Status int
		Detail string
	}](b, b.ask("GET", "/api/sheet?part=none", nil, http.StatusNotFound))
	if got.Status != http.StatusNotFound || got.Detail != "there is no part none" {
		t.Errorf("%+v", got)
	}
	b.ask("POST", "/api/players", []byte(`{"name":"Ada","instrument":"kazoo","level":4}`), http.StatusUnprocessableEntity)
	part := b.addMarch()
	b.ask("GET", "/api/sheet?part="+string(part)+"&instrument=kazoo", nil, http.StatusUnprocessableEntity)
	b.ask("GET", "/api/sheet?part="+string(part)+"&bpm=4000", nil, http.StatusUnprocessableEntity)
}

func TestExportAndImport(t *testing.T) {
	b := newBench(t)
	b.addMarch()
	archive := b.ask("GET", "/api/export", nil, http.StatusOK)
	b.ask("POST", "/api/import", archive, http.StatusConflict) // not empty
	other := newBench(t)
	other.ask("POST", "/api/import", archive, http.StatusNoContent)
	season := as[struct{ Parts []partCard }](other, other.ask("GET", "/api/season", nil, http.StatusOK))
	if len(season.Parts) != 1 || season.Parts[0].Title != "Harbor Parade" {
		t.Errorf("%+v", season.Parts)
	}
}

// The description names every operation once and loads nothing from elsewhere.
func TestDescription(t *testing.T) {
	data, err := json.Marshal(Description())
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"/api/sheet"`, `"set-mark"`, `"openapi":"3.1`} {
		if !bytes.Contains(data, []byte(want)) {
			t.Errorf("no %s in the description", want)
		}
	}
}
