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
	s := Sounding{p: p, runs: []sound.Run{{Performance: p.Played, Options: o}}, starts: []score.Seconds{0}}
	return s.Timeline()
}

// Timeline lists when everything sounds. The bars and notes of a ladder come once
// for each run.
func (s *Sounding) Timeline() TimelineDocument {
	_, unit, _ := s.p.Part.OpeningTempo()
	k := len(s.runs) - 1
	d := TimelineDocument{Seconds: moment(s.end()), TempoBPM: round(s.p.tempoOf(s.runs[k].Performance), 2), Unit: score.ValueName(unit),
		Bars: []TimelineBar{}, Notes: []TimelineNote{}, Beats: []TimelineBeat{}}
	for k, r := range s.runs {
		s.p.timeline(&d, r, s.starts[k])
	}
	return d
}

// moment keeps what a timeline has of a second.
func moment(s score.Seconds) float64 { return round(float64(s), 4) }

// timeline adds a run that begins at start.
func (p *Prepared) timeline(d *TimelineDocument, r sound.Run, start score.Seconds) {
	pf, o := r.Performance, r.Options
	shift := start + sound.Offset(pf, o)
	from, to := o.Passage(pf)
	for _, b := range pf.Bars[from:to] {
		d.Bars = append(d.Bars, TimelineBar{p.barNumber(b.Bar), b.Bar, b.Pass, moment(shift + pf.Seconds(b.At))})
	}
	for i, n := range pf.Notes {
		if !o.Plays(pf, i) {
			continue
		}
		w := pf.Written(i)
		t := TimelineNote{ID: w.ID, Bar: w.Bar, Pass: n.Pass, StartS: moment(shift + n.Start), EndS: moment(shift + n.End)}
		for _, piece := range w.Pieces {
			t.Pieces = append(t.Pieces, piece.ID)
		}
		d.Notes = append(d.Notes, t)
	}
	for _, b := range sound.Beats(pf, o) {
		d.Beats = append(d.Beats, TimelineBeat{moment(start + b.At), b.Down})
	}
}
