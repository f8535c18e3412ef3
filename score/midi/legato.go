package midi

import gomidi "gitlab.com/gomidi/midi/v2"

// Notes under a slur are joined as MIDI 1.0 (MMA, 1996) has it: the legato
// footswitch is down over all of them, so that a note that begins while another
// sounds is not attacked anew, and each begins before the one it comes from ends,
// at the same tick. A footswitch is down from a value of 64 on.
const (
	legatoControl = 68
	switchDown    = 127
	switchUp      = 0
)

// leadsOn says whether the note played after the i-th is the one written after it,
// and no rest.
func (g grid) leadsOn(i int) bool {
	return i >= 0 && i+1 < len(g.pf.Notes) && g.pf.Notes[i+1].Note == g.pf.Notes[i].Note+1 && g.pf.Written(i+1).Pitch.Step != 0
}

// joined says whether the i-th note goes on into the next without an attack: under a
// slur or over a glissando, where no breath or mark parts them. A repeated pitch is
// attacked in any case.
func (g grid) joined(i int) bool {
	if !g.leadsOn(i) {
		return false
	}
	n, next := g.pf.Written(i), g.pf.Written(i+1)
	if !(n.GlissTo || n.SlurTo && next.SlurFrom) || n.Pitch.MIDI() == next.Pitch.MIDI() {
		return false
	}
	_, to := g.span(i)
	from, _ := g.span(i + 1)
	return from == to
}

// legato lists the footswitch going down before the first of joined notes and up
// after the last.
func (g grid) legato(i int, from, to int64) []event {
	before, after := g.joined(i-1), g.joined(i)
	switch {
	case after && !before:
		return []event{{from, bends, gomidi.ControlChange(channel, legatoControl, switchDown)}}
	case before && !after:
		return []event{{to, ends, gomidi.ControlChange(channel, legatoControl, switchUp)}}
	}
	return nil
}
