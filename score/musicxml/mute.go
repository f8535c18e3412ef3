package musicxml

import (
	"regexp"
	"slices"
	"strings"

	"waterkey/score"
)

// muteChange is a moment from which notes are muted or open.
type muteChange struct {
	at score.Time
	on bool
}

// The words for the mute, and for playing without it, in Italian, German, French
// and English (common practice). The mute goes in only where it is named; "open"
// and its like have to stand alone, because they mean other things in a sentence.
var (
	muteIn = regexp.MustCompile(`(?i)\bsord(\b|in[aioe])|\bdämpfer|\bsourdine|\bgestopft\b|\bbouch|` +
		`^\(?(with |w/ ?|take |add |in )?(a |the )?((straight|cup|harmon|bucket|plunger|solotone|practice) )?mutes?( in| on)?\W*$|^\W*muted\W*$|^\W*stopped\W*$`)
	muteOut = regexp.MustCompile(`(?i)\b(senza|via|leva\w*|ohne|sans|without|no|remove|off)\b.*(sord|dämpfer|sourdine|\bmutes?\b)|` +
		`(sord\S*|dämpfer|sourdines?|mutes?) (via|off|out|weg|ab|leva\w*)\b|^\W*(open|unmuted|offen|ouvert|aperto)\W*$`)
)

// mute notes from where a direction puts the mute in or takes it out: by its
// words, or by the playback of a direction that has none.
func (r *reader) mute(d *directionText) {
	played := d.sound.child("play").child("mute").value()
	switch {
	case muteOut.MatchString(d.words):
		r.mutes = append(r.mutes, muteChange{d.at, false})
	case muteIn.MatchString(d.words):
		r.mutes = append(r.mutes, muteChange{d.at, true})
	case played != "":
		r.mutes = append(r.mutes, muteChange{d.at, !strings.EqualFold(played, "off")})
	}
}

// muteNotes marks the notes that each mute reaches: up to the next change, in
// written order.
func (r *reader) muteNotes() {
	slices.SortStableFunc(r.mutes, func(a, b muteChange) int { return a.at.Cmp(b.at) })
	next, on := 0, false
	for i := range r.out.Notes {
		for ; next < len(r.mutes) && !r.out.Notes[i].Onset.Less(r.mutes[next].at); next++ {
			on = r.mutes[next].on
		}
		if on {
			r.out.Notes[i].Marks |= score.Muted
		}
	}
}
