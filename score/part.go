package score

import "fmt"

// Part is one player's part as printed. All lists are in written order. Bar
// fields are indexes into Bars.
type Part struct {
	Title    string
	Composer string
	Name     string // the part's name on the page, "Trombone 2"
	ID       string // the part's id in its file

	Bars     []Bar
	Notes    []Note // sounding notes, ties merged; never rests
	Rests    []Rest
	Keys     []KeyMark
	Meters   []MeterMark
	Clefs    []ClefMark
	Tempos   []TempoMark
	Dynamics []DynamicMark
	Wedges   []Wedge
	Words    []Words

	// Skipped says what a reader passed over, one sentence each with bar and
	// line: "bar 12 (line 340): a second voice was left out".
	Skipped []string
}

// Bar is one printed bar.
type Bar struct {
	Number   string // as printed; may be empty, may repeat
	Start    Time   // from the start of the part, in written order
	Length   Time   // what is written in it, whatever the meter says
	Meter    Meter  // in force
	Key      Key    // in force
	Line     int    // in the source file, from 1; 0 when unknown
	Implicit bool   // a pickup or the rest of a divided bar: carries no number

	RestBars int // > 0: the printed multi-measure rest that starts here covers so many bars

	RepeatStart bool
	RepeatEnd   int   // 0 none; otherwise how often the passage is played in all, 2 by default
	Endings     []int // the bar stands under these ending numbers; nil for none

	Barline string // at its end, by the open standard's names: "light-light", "light-heavy", ...; "" where the page gives none

	Segno, Coda, Fine        bool // marks at this bar: the sign itself, the coda, the end
	ToCoda, DaCapo, DalSegno bool // jumps taken after this bar
}

// End is the moment the bar ends.
func (b Bar) End() Time { return b.Start.Add(b.Length) }

// Mark is a set of articulations and ornaments on one note.
type Mark uint32

// The marks a note can carry. A note can have several: Staccato|Tenuto is
// portato.
const (
	Staccato Mark = 1 << iota
	Staccatissimo
	Tenuto
	Accent
	Marcato // the strong accent, ^
	Trill
	OtherOrnament // turn, mordent and the like
	Tremolo       // measured or not
	Fermata
	BreathAfter // a printed breath mark or caesura after the note
	Falloff     // fall, doit, scoop or plop: a bend that is no glissando
	Muted
)

// Has says whether every mark of n is in m.
func (m Mark) Has(n Mark) bool { return m&n == n }

// Any says whether at least one mark of n is in m.
func (m Mark) Any(n Mark) bool { return m&n != 0 }

// Ratio is a tuplet: Actual notes in the time of Normal; the zero Ratio is no
// tuplet.
type Ratio struct{ Actual, Normal int }

// Note is one sounding note: a single written note, or several tied together.
type Note struct {
	ID       string // id of its first written piece, stable for a given file
	Bar      int    // where it starts
	Line     int    // in the source file; 0 when unknown
	Onset    Time   // from the start of the part, in written order
	Duration Time   // ties merged; 0 for a grace note
	Pitch    Pitch  // sounding
	Written  Pitch  // as on the page: differs for a transposing part
	Pieces   []Piece
	Marks    Mark

	Ornaments      []Ornament // told apart where the source does so; nil otherwise, whatever Marks says
	TremoloStrokes int        // strokes through the stem of a measured tremolo on this note alone; 0 when none are given

	// Accidental is what is printed before the note: "sharp", "flat",
	// "natural", ... or "" for none.
	Accidental string
	Courtesy   bool // the accidental is a reminder only

	Grace    bool   // takes its time from its neighbor; Duration is 0
	Slashed  bool   // a grace note with a stroke
	SlurFrom bool   // slurred from the note before
	SlurTo   bool   // slurred to the note after
	GlissTo  bool   // a glissando or slide leads to the note after
	Attack   string // a dynamic accent at this note only: "sfz", "fp", ...
}

// Ornament is one ornament of a note. Its name is that of the open standard (W3C
// MusicXML 4.0, ornaments): "trill-mark", "turn", "inverted-turn", "mordent",
// "inverted-mordent", "schleifer", ... Above and Below are the accidentals
// printed with it: "sharp", "flat", "natural", ... or "" for none.
type Ornament struct{ Name, Above, Below string }

// End is the moment the note ends.
func (n Note) End() Time { return n.Onset.Add(n.Duration) }

// Piece is one written note of a sounding note.
type Piece struct {
	ID       string
	Bar      int
	Onset    Time
	Duration Time
	Value    Time // the printed note value without dots and tuplet; 0 when the page does not say
	Dots     int
	Tuplet   Ratio
}

// Rest is one written rest.
type Rest struct {
	ID       string
	Bar      int
	Onset    Time
	Duration Time
	WholeBar bool // a rest for the bar whatever its meter
	Fermata  bool
	Tuplet   Ratio
	Value    Time
	Dots     int
}

// KeyMark is a key signature where it is printed.
type KeyMark struct {
	At  Time
	Bar int
	Key Key
}

// MeterMark is a time signature where it is printed.
type MeterMark struct {
	At    Time
	Bar   int
	Meter Meter
}

// Clef is a clef: its sign, the staff line it stands on counted from below, and
// the octaves it shifts (-1 for a treble clef with an 8 below).
type Clef struct {
	Sign   string // "F", "C", "G", "percussion", "none", ...
	Line   int
	Octave int
}

// clefNames are the clefs that have a name of their own.
var clefNames = map[Clef]string{
	{"F", 3, 0}: "baritone", {"F", 4, 0}: "bass", {"F", 5, 0}: "subbass",
	{"C", 1, 0}: "soprano", {"C", 2, 0}: "mezzo-soprano", {"C", 3, 0}: "alto", {"C", 4, 0}: "tenor", {"C", 5, 0}: "baritone",
	{"G", 1, 0}: "French violin", {"G", 2, 0}: "treble", {"percussion", 2, 0}: "percussion",
}

// String names the clef: "bass", "tenor", "alto", "treble" and the rarer ones, or
// sign and line.
func (c Clef) String() string {
	name := clefNames[Clef{c.Sign, c.Line, 0}]
	if name == "" {
		name = c.Sign
		if c.Line > 0 {
			name = fmt.Sprintf("%s (line %d)", c.Sign, c.Line)
		}
	}
	switch {
	case c.Octave < 0:
		name += " (octave down)"
	case c.Octave > 0:
		name += " (octave up)"
	}
	return name
}

// ClefMark is a clef where it is printed.
type ClefMark struct {
	At   Time
	Bar  int
	Clef Clef
}

// TempoMark is a tempo where it is printed: a metronome mark, a tempo word, or
// both.
type TempoMark struct {
	At   Time
	Bar  int
	BPM  float64 // beats of Unit in a minute; 0 when only words stand
	Unit Time    // the note value of the beat; 0 when the file gives quarter notes without printing a metronome mark
	Text string  // "Allegro con spirito"; "" when only a number stands
}

// DynamicMark is a level where it is printed: "p", "mf", "ff". Accents such as
// "sfz" are on the note.
type DynamicMark struct {
	At   Time
	Bar  int
	Mark string
}

// Wedge is a hairpin, or the words crescendo and diminuendo with an extent.
type Wedge struct {
	From, To       Time
	FromBar, ToBar int
	Grow           bool // crescendo
	Niente         bool // from nothing, or to nothing
}

// Words is text that no other list holds.
type Words struct {
	At   Time
	Bar  int
	Text string
}
