package paper

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"waterkey/demo"
	"waterkey/desk"
	"waterkey/web"
)

var mediaBox = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)

// Sizes in points, 72 to the inch. Reference: ISO 216 (A4 is 210 mm by 297 mm) and
// ANSI/ASME Y14.1 (size A is 8.5 in by 11 in).
var sizes = map[Size][2]float64{A4: {595.28, 841.89}, Letter: {612, 792}}

// TestPDF prints on both papers, and each of the contents alone.
func TestPDF(t *testing.T) {
	p := printer(t)
	for _, c := range []struct {
		size     Size
		contents Contents
		pages    int
	}{{A4, All, 2}, {Letter, All, 2}, {A4, PartOnly, 1}, {A4, WalkOnly, 1}} {
		o := demoOrder(t, "harbor-parade.musicxml")
		o.Size, o.Contents = c.size, c.contents
		got, err := p.PDF(t.Context(), o)
		if err != nil {
			t.Fatal(err)
		}
		boxes := mediaBox.FindAllSubmatch(got.Data, -1)
		if got.Pages != c.pages || len(boxes) != c.pages {
			t.Errorf("%s, %s: %d pages laid out, %d in the file, want %d", c.size, c.contents, got.Pages, len(boxes), c.pages)
		}
		rounding := map[Size]float64{A4: 0.75, Letter: 0.01}[c.size] // points: the browser rounds a page to whole pixels, and Letter has whole ones
		for _, b := range boxes {
			for i, want := range sizes[c.size] {
				if is, _ := strconv.ParseFloat(string(b[i+1]), 64); is < want-rounding || is > want+rounding {
					t.Errorf("%s: a side of %v points, want %v", c.size, is, want)
				}
			}
		}
	}
}

// TestFonts asks pdffonts (poppler) whether every font stands in the file.
func TestFonts(t *testing.T) {
	p := printer(t)
	tool, err := exec.LookPath("pdffonts")
	if err != nil {
		t.Skip("no pdffonts found: install the package poppler-utils to check that fonts are embedded")
	}
	for _, name := range demo.Files()[:1] {
		got, err := p.PDF(t.Context(), demoOrder(t, name))
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "part.pdf")
		if err := os.WriteFile(file, got.Data, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(tool, file).Output()
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(string(out)), "\n")[2:]
		if len(lines) < 3 || !bytes.Contains(out, []byte("Atkinson")) {
			t.Errorf("%s: only these fonts:\n%s", name, out)
		}
		for _, line := range lines {
			fields := strings.Fields(line)
			if fields[len(fields)-5] != "yes" {
				t.Errorf("%s: not embedded: %s", name, line)
			}
		}
	}
}

// collisions lists labels and breaths that touch a note, an articulation, a slur, a
// word or one another, and what leaves its page.
const collisions = `(() => {
  const out = [], at = (e) => { const b = e.getBoundingClientRect(); return {l: b.left, r: b.right, t: b.top, b: b.bottom}; };
  const meet = (a, b) => a.l < b.r - 0.5 && b.l < a.r - 0.5 && a.t < b.b - 0.5 && b.t < a.b - 0.5;
  for (const system of document.querySelectorAll('.sheet g.system')) {
    const own = [...system.querySelectorAll('text.way')].map((e) => {
      // Figures and capitals fill the box of a line of text from a quarter below its top to a quarter above its foot.
      const b = at(e), h = b.b - b.t; return {e, name: e.textContent, ...b, t: b.t + h / 4, b: b.b - h / 4};
    }).concat([...system.querySelectorAll('path.breath')].map((e) => ({e, name: 'breath', ...at(e)})));
    const ink = [];
    for (const e of system.querySelectorAll('use, path, polygon, polyline, rect, g > text')) {
      if (e.matches('.way, .breath, .ring, .letter, .remark, .lanes *, g.staff > path, g.barLine *, g.ledgerLines *')) continue;
      if (e.querySelector('[font-family=Leipzig]')) {
        // Type for music has lines far higher than its signs: a note of a metronome mark stands on the line of its text and is three quarters of its type high.
        const m = e.getScreenCTM(), y = Number(e.getAttribute('y')), high = 0.75 * 720;
        ink.push({name: 'metronome', ...at(e), t: m.f + m.d * (y - high), b: m.f + m.d * (y + 100)}); continue;
      }
      if (!e.getTotalLength || !e.closest('g.slur, g.tie, g.hairpin, g.gliss, g.beam > polygon')) { ink.push({name: (e.closest('g[class]') || e).getAttribute('class'), ...at(e)}); continue; }
      const n = 200, length = e.getTotalLength(), m = e.getScreenCTM();
      for (let k = 0; k < n; k++) {
        const p = e.getPointAtLength(length * k / n).matrixTransform(m);
        ink.push({name: 'curve', l: p.x - 0.6, r: p.x + 0.6, t: p.y - 0.6, b: p.y + 0.6});
      }
    }
    own.forEach((a, i) => {
      for (const b of ink) if (meet(a, b)) { out.push(a.name + ' meets ' + b.name + ' ' + [a.l, a.r, a.t, a.b, b.l, b.r, b.t, b.b].map(Math.round)); break; }
      for (const b of own.slice(i + 1)) if (meet(a, b)) out.push(a.name + ' meets ' + b.name);
    });
  }
  for (const sheet of document.querySelectorAll('.sheet')) {
    const s = at(sheet), foot = at(sheet.querySelector('footer'));
    for (const e of sheet.querySelectorAll('g.system, .column, header')) {
      const b = at(e);
      if (b.l < s.l + 20 || b.r > s.r - 20 || b.b > foot.t) out.push((e.className.baseVal || e.className) + ' leaves its page');
    }
  }
  return out;
})()`

// TestNothingCollides looks at every page of demo and real parts.
func TestNothingCollides(t *testing.T) {
	p := printer(t)
	check := func(name string, get func(testing.TB) Order, lanes ...bool) {
		for _, lanes := range lanes {
			t.Run(name, func(t *testing.T) {
				o := get(t)
				o.Lanes = lanes
				if _, err := p.PDF(t.Context(), o); err != nil {
					t.Fatal(err)
				}
				found, err := chromedp.Run(p.tab, chromedp.Evaluate[[]string](collisions))
				if err != nil {
					t.Fatal(err)
				}
				if len(found) > 0 {
					t.Errorf("lanes %v: %d: %s", lanes, len(found), strings.Join(found[:min(len(found), 12)], "; "))
				}
			})
		}
	}
	for _, name := range demo.Files() {
		check(name, func(t testing.TB) Order { return demoOrder(t, name) }, false)
	}
	check("harbor-parade.musicxml", func(t testing.TB) Order { return demoOrder(t, "harbor-parade.musicxml") }, true)
	check(realParts[1].file, func(t testing.TB) Order { return realOrder(t, realParts[1].file, realParts[1].horn) }, true)
	for _, r := range realParts {
		check(r.file, func(t testing.TB) Order { return realOrder(t, r.file, r.horn) }, false)
	}
}

// TestRemark refuses a place that the part does not have.
func TestRemark(t *testing.T) {
	part := demoOrder(t, "harbor-parade.musicxml").Prepared.Part
	for _, c := range []struct {
		where, text string
		ok          bool
	}{{"9-11", "Slow air", true}, {"9.2", "Lean", true}, {"99", "Gone", false}, {"9", " ", false}} {
		m, err := Remark(part, c.where, c.text)
		if (err == nil) != c.ok || (err == nil && *m.Remark != desk.Remark{Where: c.where, Text: c.text}) {
			t.Errorf("%s=%s: %v", c.where, c.text, err)
		}
	}
}

// BenchmarkPDF measures a part with the browser running; a cold start is measured
// by BenchmarkCold.
func BenchmarkPDF(b *testing.B) {
	p, o := printer(b), demoOrder(b, "harbor-parade.musicxml")
	for b.Loop() {
		if _, err := p.PDF(b.Context(), o); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCold starts a browser for each print, as the command does.
func BenchmarkCold(b *testing.B) {
	printer(b)
	o := demoOrder(b, "harbor-parade.musicxml")
	path, err := Find("")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		p, err := Open(path, web.Pages())
		if err != nil {
			b.Fatal(err)
		}
		if _, err := p.PDF(b.Context(), o); err != nil {
			b.Fatal(err)
		}
		if err := p.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

// TestGlissandiEnd holds the engraver to nothing half said: it draws no glissando
// without an end.
func TestGlissandiEnd(t *testing.T) {
	doc, err := demoOrder(t, "harbor-parade.musicxml").document()
	if err != nil {
		t.Fatal(err)
	}
	starts := bytes.Count(doc, []byte(`glissando type=\"start\"`))
	stops := bytes.Count(doc, []byte(`glissando type=\"stop\"`))
	if starts != 2 || stops != starts {
		t.Errorf("%d glissandi start and %d end, want 2", starts, stops)
	}
}
