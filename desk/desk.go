// Package desk holds the use cases: prepare a part, mark it, play it, hear a
// take of it. It calls the packages of the trade and shapes what they return into
// the documents that scripts and the server rely on. It neither prints nor knows
// where its output goes.
package desk

import (
	"math"
	"path/filepath"
	"sync"

	"waterkey/brass"
	"waterkey/breath"
	"waterkey/player"
	"waterkey/positions"
	"waterkey/reading"
	"waterkey/score"
	"waterkey/score/musicxml"
)

// Request names a part and how to take it.
type Request struct {
	Path    string // the file
	Data    []byte // its bytes, when they are at hand; Path is then only its name
	Part    string // id, name or number of one of several parts; "" the first with notes
	Bottom  bool   // the lowest note of a chord instead of the top one
	Horn    *brass.Instrument
	BPM     float64 // opening tempo in felt beats a minute; 0 the page's own
	Level   player.Level
	Terms   score.Terms
	Fixes   []Fix        // what the coach decided about positions
	ReachCM float64      // how far out the arm goes in comfort, in cm from the closed slide; 0 an adult's
	Lungs   player.Lungs // zero those usual for the level
	Breaths []BreathFix  // what the coach decided about breaths
	A4      float64      // Hz to which the player tunes; 0 for 440
}

// Prepared is a part with everything computed from the page alone.
type Prepared struct {
	Part      *score.Part
	Parts     []score.PartInfo   // of the file the part comes from
	Through   *score.Performance // every bar once, in written order
	Played    *score.Performance // repeats unfolded
	Path      *positions.Path    // over Through
	Breathing *breath.Breathing  // over Through
	pinned    []bool             // by note of Through
	options   positions.Options
	level     player.Level
	a4        float64 // Hz; 0 for 440
	terms     score.Terms
	file      string
	original  []byte             // of a MusicXML file, to be marked; nil for other formats
	air       func() AirDocument // see [Prepared.Air]
}

// Prepare reads a part and chooses positions and breaths. Errors are the reader's,
// which name file, bar and line, or say that the tempo is absurd; a [DecisionError]
// says that the lungs are impossible, or that a decision of the coach's cannot be
// played.
func Prepare(r Request) (*Prepared, error) {
	src, err := r.open()
	if err != nil {
		return nil, err
	}
	line := score.Top
	if r.Bottom {
		line = score.Bottom
	}
	part, err := src.Part(score.Selection{Part: r.Part, Line: line})
	if err != nil {
		return nil, err
	}
	p := &Prepared{Part: part, Parts: src.Parts(), file: r.Path, level: r.Level, a4: r.A4, terms: r.Terms}
	if doc, ok := src.(*musicxml.Document); ok {
		// The bytes only: the parsed document is several times larger, and most
		// callers never mark.
		p.original = doc.Bytes()
	}
	if p.Through, err = part.ReadThrough(score.Tempo{BPM: r.BPM}); err != nil {
		return nil, err
	}
	if p.Played, err = part.Perform(score.Tempo{BPM: r.BPM}); err != nil {
		return nil, err
	}
	if err := p.choose(r); err != nil {
		return nil, err
	}
	if err := p.breathe(r); err != nil {
		return nil, err
	}
	p.air = sync.OnceValue(func() AirDocument { return p.AirBars(0, len(p.Part.Bars)-1) })
	return p, nil
}

func (r Request) open() (source, error) {
	if r.Data != nil {
		return parse(filepath.Base(r.Path), r.Data)
	}
	return open(r.Path)
}

// choose finds the path under the coach's decisions.
func (p *Prepared) choose(r Request) error {
	p.options.ReachCM = r.ReachCM
	p.pinned = make([]bool, len(p.Through.Notes))
	var err error
	if p.options.Pins, err = pins(r.Fixes, p.Through, r.Horn); err != nil {
		return decided(true, err)
	}
	for _, pin := range p.options.Pins {
		for i := pin.Note; i <= pin.To; i++ {
			p.pinned[i] = true
		}
	}
	p.Path, err = positions.SolveWith(p.Through, r.Horn, p.options)
	return decided(len(r.Fixes) > 0, err)
}

// breathe plans the breaths under the coach's decisions.
func (p *Prepared) breathe(r Request) error {
	o := breath.Options{Lungs: r.Lungs, Instrument: r.Horn}
	if o.Lungs.Vital == 0 {
		o.Lungs = player.UsualLungs(r.Level)
	}
	var err error
	if o.Pins, err = breathPins(r.Breaths, p.Through); err != nil {
		return decided(true, err)
	}
	p.Breathing, err = breath.Solve(p.Through, o)
	return decided(len(r.Breaths) > 0 || r.Lungs.Vital != 0, err)
}

// page is what reading looks at.
func (p *Prepared) page() *reading.Page {
	return &reading.Page{Part: p.Part, Through: p.Through, Path: p.Path, Breathing: p.Breathing, Level: p.level, Terms: p.terms}
}

// barNumber is the printed number of a bar by index.
func (p *Prepared) barNumber(bar int) string { return p.Part.Bars[bar].Number }

// round keeps so many decimals, for documents meant to be read and compared.
func round(x float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	return math.Round(x*scale) / scale
}
