package musicxml

import (
	stdcmp "cmp"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"waterkey/score"
)

// shared is the folder of real material beside the repository.
const shared = "../../../shared/data"

// sharedFile skips the test aloud when the material is not there.
func sharedFile(t testing.TB, name string) string {
	t.Helper()
	path := filepath.Join(shared, name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("shared data not here: %v", err)
	}
	return path
}

func open(t testing.TB, path string) *Document {
	t.Helper()
	d, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func part(t testing.TB, d *Document, sel score.Selection) *score.Part {
	t.Helper()
	p, err := d.Part(sel)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// walk reads a part and keeps the reader, for facts about written notes.
func walk(t testing.TB, d *Document) *reader {
	t.Helper()
	src, err := d.pick("")
	if err != nil {
		t.Fatal(err)
	}
	r := newReader(d, src, score.Top)
	if err := r.guard(func() { r.readBars(); r.compose() }); err != nil {
		t.Fatal(err)
	}
	return r
}

// facts are the columns of parts.csv, counted by another program from the XML
// elements (Hauptstimme and OpenScore corpora). For each column: what of ours
// it must equal.
var facts = map[string]func(r *reader) string{
	"measures": func(r *reader) string { return fmt.Sprint(len(r.out.Bars)) },
	// written notes with a pitch: our pieces and the chord notes left out
	"notes": func(r *reader) string { return count(r.written, func(w *written) bool { return !w.rest }) },
	// notes standing in a chord on another
	"chords": func(r *reader) string { return count(r.written, func(w *written) bool { return w.chord }) },
	"voices": func(r *reader) string {
		return fmt.Sprint(len(strings.Fields(distinct(r.written, func(w *written) string { return w.voice }))))
	},
	// sounding pitches, here as MIDI numbers: the file spells black keys its
	// own way; none of these parts is transposing
	"lo": func(r *reader) string { return fmt.Sprint(slices.MinFunc(r.out.Notes, byPitch).Pitch.MIDI()) },
	"hi": func(r *reader) string { return fmt.Sprint(slices.MaxFunc(r.out.Notes, byPitch).Pitch.MIDI()) },
	// every clef element by sign and line, and how often it appears
	"clefs": func(r *reader) string {
		order, times := []string{}, map[string]int{}
		for _, c := range r.out.Clefs {
			name := fmt.Sprintf("%s%d", c.Clef.Sign, c.Clef.Line)
			if times[name]++; times[name] == 1 {
				order = append(order, name)
			}
		}
		for i, name := range order {
			order[i] = fmt.Sprintf("%sx%d", name, times[name])
		}
		return strings.Join(order, " ")
	},
	// the different time signatures, in the order of their letters
	"times": func(r *reader) string {
		return distinct(r.out.Meters, func(m score.MeterMark) string { return fmt.Sprintf("%d/%d", m.Meter.Beats, m.Meter.Unit) })
	},
	// the different key signatures by fifths, in the order of their letters
	"keys": func(r *reader) string {
		return distinct(r.out.Keys, func(k score.KeyMark) string { return fmt.Sprint(k.Key.Fifths) })
	},
	// tie elements: two for each written note joined to the one before
	"ties": func(r *reader) string {
		n := 0
		for _, note := range r.out.Notes {
			n += 2 * (len(note.Pieces) - 1)
		}
		return fmt.Sprint(n)
	},
	// slurs by their starts
	"slurs": func(r *reader) string {
		n := 0
		for _, w := range r.written {
			for _, s := range w.slurs {
				if s.start {
					n++
				}
			}
		}
		return fmt.Sprint(n)
	},
	"graces":   func(r *reader) string { return count(r.out.Notes, func(n score.Note) bool { return n.Grace }) },
	"fermatas": func(r *reader) string { return count(r.written, hasMark(score.Fermata)) },
	"staccato": func(r *reader) string { return count(r.written, hasMark(score.Staccato)) },
	"accents":  func(r *reader) string { return count(r.written, hasMark(score.Accent)) },
	// groups of dynamics: each is a level or an accent, fp both
	"dyn": func(r *reader) string {
		n := len(r.out.Dynamics)
		for _, a := range r.attacks {
			if accents[a.mark] == "" {
				n++
			}
		}
		return fmt.Sprint(n)
	},
	"tempi": func(r *reader) string { return fmt.Sprint(len(r.out.Tempos)) },
	// repeat elements, both directions
	"repeats": func(r *reader) string {
		n := 0
		for _, b := range r.out.Bars {
			if b.RepeatStart {
				n++
			}
			if b.RepeatEnd > 0 {
				n++
			}
		}
		return fmt.Sprint(n)
	},
	// endings by their starts
	"endings": func(r *reader) string {
		n := 0
		for i, b := range r.out.Bars {
			if b.Endings != nil && (i == 0 || !slices.Equal(b.Endings, r.out.Bars[i-1].Endings)) {
				n++
			}
		}
		return fmt.Sprint(n)
	},
}

// differences are facts that we mean to tell otherwise. The file counts
// elements: a dynamic printed twice at one note is one to us, and so is a tempo
// whose words and number stand in two directions at one moment.
var differences = map[string]map[string]string{
	"bruckner-wab-105-3a-scherzo-alto-trombone.musicxml":  {"dyn": "16"},
	"bruckner-wab-105-3a-scherzo-bass-trombone.musicxml":  {"dyn": "17"},
	"bruckner-wab-105-3a-scherzo-tenor-trombone.musicxml": {"dyn": "18"},
	"beach-op-32-1-tenor-trombone-2.musicxml":             {"dyn": "55"},
	"beethoven-op-60-4-bassoon-1.musicxml":                {"dyn": "74"},
	"brahms-op-73-1-trombone-1.musicxml":                  {"dyn": "20"},
	"brahms-op-73-1-trombone-2.musicxml":                  {"dyn": "20"},
	"brahms-op-73-4-trombone-1.musicxml":                  {"dyn": "15"},
	"brahms-op-73-4-trombone-2.musicxml":                  {"dyn": "15"},
	"brahms-op-73-2-trombone-1.musicxml":                  {"tempi": "5"},
	"brahms-op-73-2-trombone-2.musicxml":                  {"tempi": "5"},
	"brahms-op-73-2-trombone-3.musicxml":                  {"tempi": "5"},
}

// expected is what a column of the file must be in our terms.
func expected(t *testing.T, row map[string]string, column string) string {
	if own, ok := differences[row["file"]][column]; ok {
		return own
	}
	if column == "lo" || column == "hi" {
		p, err := score.ParsePitch(row[column])
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(p.MIDI())
	}
	return row[column]
}

func hasMark(m score.Mark) func(*written) bool {
	return func(w *written) bool { return w.marks.Has(m) }
}

func byPitch(a, b score.Note) int { return stdcmp.Compare(a.Pitch.MIDI(), b.Pitch.MIDI()) }

func count[T any](xs []T, is func(T) bool) string {
	n := 0
	for _, x := range xs {
		if is(x) {
			n++
		}
	}
	return fmt.Sprint(n)
}

// distinct lists the different names, sorted.
func distinct[T any](xs []T, name func(T) string) string {
	out := []string{}
	for _, x := range xs {
		out = append(out, name(x))
	}
	slices.Sort(out)
	return strings.Join(slices.Compact(out), " ")
}

// readFacts reads parts.csv as one map a row.
func readFacts(t testing.TB) []map[string]string {
	f, err := os.Open(sharedFile(t, "scores/parts.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func TestRealPartsMatchTheirFacts(t *testing.T) {
	rows := readFacts(t)
	if len(rows) == 0 {
		t.Fatal("parts.csv has no rows")
	}
	for _, row := range rows {
		t.Run(row["file"], func(t *testing.T) {
			r := walk(t, open(t, sharedFile(t, "scores/"+row["file"])))
			for column, fact := range facts {
				if got, want := fact(r), expected(t, row, column); got != want {
					t.Errorf("%s: got %s, want %s", column, got, want)
				}
			}
			checkHairpins(t, r, row)
		})
	}
}

// gradualDashes finds crescendo or diminuendo in words followed by dashes.
var gradualDashes = regexp.MustCompile(`<words[^>]*>[^<]*(cresc|dim)[^<]*</words>\s*</direction-type>\s*<direction-type>\s*<dashes type="start"`)

// checkHairpins compares the hairpins. The file counts drawn ones; words with
// dashes are counted here in the text itself.
func checkHairpins(t *testing.T, r *reader, row map[string]string) {
	drawn, err := strconv.Atoi(row["wedges"])
	if err != nil {
		t.Fatal(err)
	}
	worded := len(gradualDashes.FindAllString(r.doc.src.text, -1))
	if got := len(r.out.Wedges) + len(r.spans.dashes) + len(r.spans.wedges); got != drawn+worded {
		t.Errorf("hairpins: got %d, want %d drawn and %d in words", got, drawn, worded)
	}
}

// A part of a full score must be what the part cut out of it is.
func TestPartOfFullScoreIsTheCutPart(t *testing.T) {
	for _, c := range []struct{ full, part, cut string }{
		{"Beethoven_Op.68_5.mxl", "alto trombone", "beethoven-op-68-5-alto-trombone.musicxml"},
		{"Beethoven_Op.68_5.mxl", "Tenor Tr", "beethoven-op-68-5-tenor-trombone.musicxml"},
		{"Brahms_Op.73_2.mxl", "Trombone 3", "brahms-op-73-2-trombone-3.musicxml"},
	} {
		t.Run(c.cut, func(t *testing.T) {
			whole := part(t, open(t, sharedFile(t, "scores/"+c.full)), score.Selection{Part: c.part})
			cut := part(t, open(t, sharedFile(t, "scores/"+c.cut)), score.Selection{})
			ignore := []cmp.Option{
				cmp.AllowUnexported(score.Time{}),
				cmpopts.IgnoreFields(score.Note{}, "ID", "Line"), cmpopts.IgnoreFields(score.Piece{}, "ID"),
				cmpopts.IgnoreFields(score.Rest{}, "ID"), cmpopts.IgnoreFields(score.Bar{}, "Line"),
				cmpopts.IgnoreFields(score.Part{}, "Skipped"),
			}
			if diff := cmp.Diff(cut, whole, ignore...); diff != "" {
				t.Errorf("cut part against part of the full score:\n%s", diff)
			}
		})
	}
}

// In Haydn's Adagio the second ending opens the next repeat: it is played
// twice, as the page asks.
func TestSecondEndingMayOpenARepeat(t *testing.T) {
	p := part(t, open(t, sharedFile(t, "scores/haydn-op20no5-violoncello.musicxml")), score.Selection{})
	i := slices.IndexFunc(p.Bars, func(b score.Bar) bool { return b.RepeatStart && slices.Equal(b.Endings, []int{2}) })
	order, err := p.Order()
	if err != nil || i < 0 {
		t.Fatalf("bar %d, %v", i, err)
	}
	if got := count(order, func(k int) bool { return k == i }); got != "2" {
		t.Errorf("bar %s is played %s times, want 2", p.Bars[i].Number, got)
	}
}
