package server

import (
	"bytes"
	"context"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"waterkey/desk"
	"waterkey/paper"
	"waterkey/web"
)

// printing is a bench whose server can print; the test is skipped where it cannot.
func printing(t *testing.T) *bench {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests are left out of short runs")
	}
	if web.Pages() == nil {
		t.Skip("front end not built: run make web to test printing")
	}
	if _, err := paper.Find(""); err != nil {
		t.Skip("no Chromium found: install the package chromium to test printing")
	}
	b, stop := benchWith(t, t.TempDir(), func(c *Config) { c.Pages = web.Pages() })
	t.Cleanup(stop)
	return b
}

// download sends a request for a file; its head and its bytes.
func (b *bench) download(path string) (http.Header, []byte) {
	b.Helper()
	res, err := b.http.Get(b.url + path)
	if err != nil {
		b.Fatal(err)
	}
	defer res.Body.Close()
	var data bytes.Buffer
	if _, err := data.ReadFrom(res.Body); err != nil {
		b.Fatal(err)
	}
	if res.StatusCode != http.StatusOK {
		b.Fatalf("GET %s: status %d: %s", path, res.StatusCode, data.Bytes())
	}
	return res.Header, data.Bytes()
}

// lessonOf is a sheet with a remark on the page, one at a moment of a take, and a
// date: all that a lesson's sheet can hold.
func lessonOf(b *bench) (part, player desk.ID) {
	b.Helper()
	part, player = b.sheet()
	sheet := "part=" + string(part) + "&player=" + string(player)
	take := as[takeCard](b, b.ask("POST", "/api/takes?"+sheet+"&file=a.wav&recorded=2026-11-24T17:42:10%2B01:00", demoTake(b), http.StatusOK))
	b.measuredTake(take.ID)
	for _, m := range []desk.Mark{
		{Remark: &desk.Remark{Where: "9", Text: "Relaxed air, and sing it first."}},
		{Remark: &desk.Remark{Take: take.ID, AtS: 20, Text: "Too late off the rest."}},
	} {
		m.Sheet, m.Written = desk.Sheet{Part: part, Player: player}, time.Now()
		b.ask("POST", "/api/marks", toJSON(b, m), http.StatusOK)
	}
	b.setTerms(part, player, 0, desk.SheetTerms{By: time.Now().AddDate(0, 0, 21).Format(time.DateOnly),
		PracticeTerms: desk.PracticeTerms{DaysPerWeek: 6, Minutes: 45}}, http.StatusOK)
	return part, player
}

var mediaBox = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)

// Every paper comes as a file with a name, in the size that was asked for.
// Reference for the sizes in points: ISO 216 and ANSI/ASME Y14.1.
func TestPaper(t *testing.T) {
	b := printing(t)
	part, player := lessonOf(b)
	sheet := "/api/paper?part=" + string(part) + "&player=" + string(player)
	for _, c := range []struct {
		query, kind, name string
		pages             int
		width             string
	}{
		{"&contents=part", "application/pdf", "Harbor Parade, Ada, part.pdf", 1, "59"},
		{"&contents=walk&paper=letter", "application/pdf", "Harbor Parade, Ada, walk.pdf", 1, "612"},
		{"", "application/pdf", "Harbor Parade, Ada, part and walk.pdf", 2, "59"},
		{"&contents=lesson", "application/pdf", "Harbor Parade, Ada, lesson.pdf", 2, "59"},
		{"&form=guide", "text/html; charset=utf-8", "Harbor Parade, Ada, guide.html", 0, ""},
	} {
		head, data := b.download(sheet + c.query)
		if head.Get("Content-Type") != c.kind || !strings.Contains(head.Get("Content-Disposition"), `attachment; filename="`+c.name+`"`) {
			t.Errorf("%s: %s, %s; want %s named %s", c.query, head.Get("Content-Type"), head.Get("Content-Disposition"), c.kind, c.name)
		}
		boxes := mediaBox.FindAllSubmatch(data, -1)
		if len(boxes) != c.pages {
			t.Errorf("%s: %d pages, want %d", c.query, len(boxes), c.pages)
		}
		for _, box := range boxes {
			if !strings.HasPrefix(string(box[1]), c.width) {
				t.Errorf("%s: %s points wide, want %s", c.query, box[1], c.width)
			}
		}
		keep(t, c.name, data)
		if c.kind != "application/pdf" && !bytes.Contains(data, []byte("24 November, 17:42, at 0:20")) {
			t.Error("the guide does not say where in the take the remark was made")
		}
	}
}

// keep writes a file to be looked at, where a folder for it is named.
func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	if dir := os.Getenv("WATERKEY_SHOTS"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// The sheet of a lesson says what it promises, as pdftotext (poppler) reads it.
func TestLessonSheet(t *testing.T) {
	b := printing(t)
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext found: install the package poppler-utils to read what was printed")
	}
	part, player := lessonOf(b)
	_, data := b.download("/api/paper?contents=lesson&part=" + string(part) + "&player=" + string(player))
	file := filepath.Join(t.TempDir(), "lesson.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-raw", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(out)), " ")
	if _, data = b.download("/api/paper?contents=part&part=" + string(part) + "&player=" + string(player)); os.WriteFile(file, data, 0o600) == nil {
		if out, err = exec.Command(tool, "-raw", file, "-").Output(); err != nil || !strings.Contains(string(out), "Too late off the rest.") {
			t.Errorf("the remark at a moment of the take does not stand on the part (%v)", err)
		}
	}
	for _, want := range []string{"the lesson", time.Now().Format("2 January 2006"), "First, after the take of 24 November, 17:42",
		"Relaxed air, and sing it first.", "Too late off the rest. 24 November, 17:42, at 0:20", "To practice today", "Warm-up", "1 Notes", "Written in the lesson"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the sheet: %.400s...", want, text)
		}
	}
}

// A browser that has ended is started anew for the next who prints, and waiting for
// a turn ends with whoever asked.
func TestPressGoesOn(t *testing.T) {
	b := printing(t)
	part := b.addMarch()
	o, err := b.desk.Open(t.Context(), desk.SheetQuery{Sheet: desk.Sheet{Part: part}})
	if err != nil {
		t.Fatal(err)
	}
	order := paper.Order{Prepared: o.Prepared.Prepared, Contents: paper.WalkOnly}
	p := newPress(web.Pages(), "")
	defer p.close()
	if _, err := p.pdf(t.Context(), order); err != nil {
		t.Fatal(err)
	}
	if err := p.printer.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := p.pdf(t.Context(), order); err != nil {
		t.Errorf("after the browser ended: %v", err)
	}
	<-p.turn // somebody prints for long
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	if _, err := p.pdf(ctx, order); err == nil || ctx.Err() == nil {
		t.Errorf("a client that has gone still waits: %v", err)
	}
	p.turn <- struct{}{}
	p.close()
	if _, err := p.pdf(t.Context(), order); err != errClosed {
		t.Errorf("after the end: %v", err)
	}
}

// What cannot be printed is told in words, with its status.
func TestPaperThatCannotBe(t *testing.T) {
	b, stop := benchWith(t, t.TempDir(), func(c *Config) { c.Chromium = filepath.Join(t.TempDir(), "none") })
	defer stop()
	part := string(b.addMarch())
	for name, c := range map[string]struct {
		query  string
		status int
		says   string
	}{
		"no chromium":   {"part=" + part, http.StatusNotImplemented, "no Chromium"},
		"no sheet":      {"part=nowhere", http.StatusNotFound, "there is no part nowhere"},
		"no player":     {"part=" + part + "&player=nobody", http.StatusNotFound, "there is no player nobody"},
		"contents":      {"part=" + part + "&contents=everything", http.StatusUnprocessableEntity, "all, part, walk, lesson"},
		"size of paper": {"part=" + part + "&paper=napkin", http.StatusUnprocessableEntity, "a4, letter"},
		"form":          {"part=" + part + "&form=scroll", http.StatusUnprocessableEntity, "pdf, guide"},
	} {
		if got := string(b.ask("GET", "/api/paper?"+c.query, nil, c.status)); !strings.Contains(got, c.says) {
			t.Errorf("%s: %s; want %q", name, got, c.says)
		}
	}
}

// Without a Chromium anywhere the sentence says what to install.
func TestPaperWithoutChromium(t *testing.T) {
	if _, err := os.Stat("/Applications/Chromium.app"); err == nil {
		t.Skip("this system has a Chromium outside of the path")
	}
	b := newBench(t)
	part := string(b.addMarch())
	t.Setenv("PATH", t.TempDir())
	got := as[struct{ Detail string }](b, b.ask("GET", "/api/paper?part="+part, nil, http.StatusNotImplemented))
	if !strings.Contains(got.Detail, "install") || strings.Contains(got.Detail, "the program failed") {
		t.Errorf("%q; want what to install", got.Detail)
	}
}
