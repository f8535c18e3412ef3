package musicxml

import "waterkey/score"

// maxStrokes is the most strokes through a stem (W3C MusicXML 4.0,
// tremolo-marks).
const maxStrokes = 8

// ornament reads one child of <ornaments>: an ornament, or the accidental of the
// one before it: above it, unless its place says below or that place is taken.
func (r *reader) ornament(w *written, el *element) {
	r.tremolo(w, el)
	last := len(w.ornaments) - 1
	switch {
	case el.name == "accidental-mark" && last >= 0:
		o := &w.ornaments[last]
		if el.attr("placement") == "below" || o.Above != "" {
			o.Below = el.value()
		} else {
			o.Above = el.value()
		}
		return
	case marks[el.name] == score.Trill || marks[el.name] == score.OtherOrnament:
		w.ornaments = append(w.ornaments, score.Ornament{Name: el.name})
	}
	r.mark(w, el)
}

// tremolo reads the strokes of a measured tremolo on a single note.
func (r *reader) tremolo(w *written, el *element) {
	if el.name != "tremolo" {
		return
	}
	switch el.attr("type") {
	case "start", "stop":
		r.passOnce(el, "that a tremolo goes to and fro between two notes was left out")
	case "", "single":
		if el.value() != "" {
			w.strokes = r.integer(el, 0, maxStrokes, 0)
		}
	}
}
