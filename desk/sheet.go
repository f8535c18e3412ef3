package desk

import (
	"io"

	"waterkey/score"
	"waterkey/score/musicxml"
	"waterkey/sound"
)

// WriteScore writes the part as a MusicXML document of its own, to be engraved:
// its notes carry the ids that all other documents name.
func (p *Prepared) WriteScore(w io.Writer) error { return musicxml.Write(w, p.Part) }

// TimelineDocument is the reference performance as moments of its recording, for
// a cursor to follow.
type TimelineDocument struct {
	Seconds  float64        `json:"seconds"` // to the end of the last bar
	TempoBPM float64        `json:"tempo_bpm"`
	Unit     string         `json:"unit"` // the felt beat
	Bars     []TimelineBar  `json:"bars"`
	Notes    []TimelineNote `json:"notes"`
	Beats    []TimelineBeat `json:"beats"` // felt beats, those of the count-in first
}

// TimelineBar is one turn of a bar.
type TimelineBar struct {
	Bar    string  `json:"bar"`
	Index  int     `json:"index"` // of the bar on the page, from 0
	Pass   int     `json:"pass"`
	StartS float64 `json:"start_s"`
}

// TimelineNote is one turn of a note.
type TimelineNote struct {
	ID     string   `json:"id"`
	Pieces []string `json:"pieces"` // ids of the tied notes it is written as
	Bar    int      `json:"bar"`    // index of the bar on the page
	Pass   int      `json:"pass"`
	StartS float64  `json:"start_s"`
	EndS   float64  `json:"end_s"`
}

// TimelineBeat is one felt beat.
type TimelineBeat struct {
	AtS  float64 `json:"at_s"`
	Down bool    `json:"down"` // the first of its bar
}

// Timeline lists when everything sounds in what [Prepared.Play] renders.
func (p *Prepared) Timeline(o sound.Options) TimelineDocument {
	const decimals = 4
	pf, from := p.Played, sound.Offset(p.Played, o)
	at := func(s score.Seconds) float64 { return round(float64(from+s), decimals) }
	_, unit, _ := p.Part.OpeningTempo()
	d := TimelineDocument{Seconds: at(pf.Length()), TempoBPM: round(p.openingBPM(), 2), Unit: score.ValueName(unit),
		Bars: []TimelineBar{}, Notes: []TimelineNote{}, Beats: []TimelineBeat{}}
	for _, b := range pf.Bars {
		d.Bars = append(d.Bars, TimelineBar{p.barNumber(b.Bar), b.Bar, b.Pass, at(pf.Seconds(b.At))})
	}
	for i, n := range pf.Notes {
		w := pf.Written(i)
		t := TimelineNote{ID: w.ID, Bar: w.Bar, Pass: n.Pass, StartS: at(n.Start), EndS: at(n.End)}
		for _, piece := range w.Pieces {
			t.Pieces = append(t.Pieces, piece.ID)
		}
		d.Notes = append(d.Notes, t)
	}
	for _, b := range sound.Beats(pf, o) {
		d.Beats = append(d.Beats, TimelineBeat{round(float64(b.At), decimals), b.Down})
	}
	return d
}
