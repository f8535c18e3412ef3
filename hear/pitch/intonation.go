package pitch

import (
	"cmp"
	"math"
	"slices"
)

// Intonation describes how the pitch of one note goes. Deviations are in cents
// from the note's own steady part.
type Intonation struct {
	From, To    float64 // s: the steady part
	Cents       float64 // center of the steady part above MIDI note 0 at A4 = 440 Hz, vibrato taken out; NaN when no pitch is there
	Uncertainty float64 // standard uncertainty of Cents: from what the pitch does besides vibrato and drift
	Scoop       float64 // where the note begins, negative from below; 0 when it begins in place
	ScoopTime   float64 // s until it is in place
	Fall        float64 // where the note ends, negative when it sinks; 0 when it ends in place
	FallTime    float64 // s from leaving its place
	Drift       float64 // cents a second through the steady part
	Waver       float64 // standard deviation of slow irregular movement in the steady part, besides vibrato and drift
	Vibrato     Vibrato
}

// point is a moment of a note's contour.
type point struct{ at, cents, sd float64 }

const (
	// near is how far from its median a note's own pitch may lie, in cents
	// (estimate: beyond a minor third lies the slip to another partial).
	near = 300.0

	// Edges left out of the steady part at the least: attack and release, in
	// seconds, and as shares of a short note (estimates).
	attackEdge, attackShare   = 0.060, 0.30
	releaseEdge, releaseShare = 0.040, 0.25

	// The beginning and the end are where the note is clear: its frames at least
	// this share as surely voiced as most, and at the most so many dB softer
	// (estimates: before, valve, tongue and room are in the sound).
	clearShare, clearBelow = 0.85, 15.0

	// leastMove is the smallest scoop or fall told, in cents (estimate: just
	// above what listeners notice at the edge of a note).
	leastMove = 8.0

	// floor is the uncertainty of the reading itself in cents (measured on
	// closed-form tones: 0.11 at the most).
	floor = 0.1
)

// Describe tells the intonation of the note that the frames hold. Frames
// without a pitch, and slips to another partial, are left out.
func Describe(frames []Frame) Intonation {
	p := contour(frames)
	if len(p) == 0 {
		return Intonation{Cents: math.NaN(), Uncertainty: math.Inf(1)}
	}
	long := p[len(p)-1].at - p[0].at + Hop
	from, to := p[0].at+min(attackEdge, attackShare*long), p[len(p)-1].at+Hop-min(releaseEdge, releaseShare*long)
	n := steadyPart(p, from, to)
	for range 2 { // the second time with a center that no scoop pulls
		n.Scoop, n.ScoopTime = edge(p, &n)
		backward := slices.Clone(p)
		slices.Reverse(backward)
		n.Fall, n.FallTime = edge(backward, &n)
		m := steadyPart(p, max(from, p[0].at+n.ScoopTime), min(to, p[len(p)-1].at+Hop-n.FallTime))
		m.Scoop, m.ScoopTime, m.Fall, m.FallTime = n.Scoop, n.ScoopTime, n.Fall, n.FallTime
		n = m
	}
	return n.Intonation
}

// contour is the note's own pitch, from its clear beginning to its clear end.
func contour(frames []Frame) []point {
	var own []Frame
	var cents, voiced, level []float64
	for _, f := range frames {
		if f.Hz > 0 {
			own, cents = append(own, f), append(cents, f.Cents())
			voiced, level = append(voiced, f.Voiced), append(level, f.LevelDB)
		}
	}
	center, sure, loud := median(cents), clearShare*median(voiced), median(level)-clearBelow
	clear := func(f Frame) bool { return f.Voiced >= sure && f.LevelDB >= loud }
	for len(own) > 0 && !clear(own[0]) {
		own = own[1:]
	}
	for len(own) > 0 && !clear(own[len(own)-1]) {
		own = own[:len(own)-1]
	}
	var p []point
	for _, f := range own {
		if c := f.Cents(); math.Abs(c-center) <= near {
			p = append(p, point{f.At, c, f.Uncertainty})
		}
	}
	return p
}

// steady is a steady part with what bounds its scoop and fall.
type steady struct {
	Intonation
	jitter float64 // robust standard deviation besides vibrato, cents
}

// line is the pitch that the note's drift leads to at a moment.
func (n *steady) line(at float64) float64 { return n.Cents + n.Drift*(at-(n.From+n.To)/2) }

// steadyPart measures the points in from <= at < to, or the middle one.
func steadyPart(p []point, from, to float64) steady {
	a, _ := slices.BinarySearchFunc(p, from, func(q point, at float64) int { return cmp.Compare(q.at, at) })
	b, _ := slices.BinarySearchFunc(p, to, func(q point, at float64) int { return cmp.Compare(q.at, at) })
	if b <= a {
		a = min(max((a+b)/2, 0), len(p)-1)
		b = a + 1
	}
	own := slices.Clone(p[a:b])
	n := steady{Intonation: Intonation{From: own[0].at, To: own[len(own)-1].at + Hop}}
	n.Vibrato = takeVibrato(own)
	n.Cents = medianOf(own)
	n.Drift = driftOf(own)
	n.Uncertainty = uncertaintyOf(own, n.Drift)
	for i := range own {
		own[i].cents -= n.line(own[i].at)
	}
	n.Waver, n.jitter = waverOf(own), spreadOf(own)
	return n
}

// edge measures how p comes in: the deviation at its first points and how long
// until it is in place, 0 and 0 when it is there at once. Run backward, p gives
// the end of the note.
func edge(p []point, n *steady) (cents, long float64) {
	const (
		first    = 3   // points whose median is the beginning: 15 ms
		deviates = 3.0 // standard deviations of the steady part's jitter
		overlaps = 1.3 // how far beyond its extent a vibrato may swing (estimate)
	)
	if len(p) < first {
		return 0, 0
	}
	band := max(leastMove, deviates*n.jitter, overlaps*n.Vibrato.Extent)
	cents = medianOf(p[:first]) - n.line(p[first/2].at)
	if math.Abs(cents) <= band {
		return 0, 0
	}
	for _, q := range p {
		// In place is where half the band is reached: a slope's last part is slow.
		if math.Copysign(1, cents)*(q.cents-n.line(q.at)) <= band/2 {
			return cents, math.Abs(q.at - p[0].at)
		}
	}
	return 0, 0
}

// driftOf is the slope of the points in cents a second: from the median of the
// first third to that of the last, which the rest of a scoop does not pull; 0
// for short notes.
func driftOf(p []point) float64 {
	const shortest = 0.25 // s: less shows no slope (estimate)
	third := len(p) / 3
	a, b := p[:third], p[len(p)-third:]
	if p[len(p)-1].at-p[0].at < shortest {
		return 0
	}
	return (medianOf(b) - medianOf(a)) / (b[third/2].at - a[third/2].at)
}

// waverOf is the standard deviation of what is left of the points, smoothed over
// a tenth of a second.
func waverOf(p []point) float64 {
	const reach = 10 // points on either side: 105 ms
	sum, n := 0.0, 0
	for i := reach; i+reach < len(p); i++ {
		slow := 0.0
		for _, q := range p[i-reach : i+reach+1] {
			slow += q.cents / (2*reach + 1)
		}
		sum, n = sum+slow*slow, n+1
	}
	return math.Sqrt(sum / float64(max(n, 1)))
}

// uncertaintyOf is the standard uncertainty of the points' center: from the
// scatter of means over stretches longer than the frames overlap, the frames'
// own uncertainty, and the reading's floor.
func uncertaintyOf(p []point, drift float64) float64 {
	const stretch = 12 // points: 60 ms
	var means []float64
	for at := 0; at+stretch <= len(p); at += stretch {
		sum := 0.0
		for _, q := range p[at : at+stretch] {
			sum += q.cents - drift*(q.at-p[0].at)
		}
		means = append(means, sum/stretch)
	}
	own := 0.0
	for _, q := range p {
		own += q.sd * q.sd / float64(len(p))
	}
	apart := max(float64(len(p))/stretch, 1)
	scatter := 0.0
	if len(means) > 1 {
		mean := 0.0
		for _, m := range means {
			mean += m / float64(len(means))
		}
		for _, m := range means {
			scatter += (m - mean) * (m - mean) / float64(len(means)-1)
		}
	}
	return math.Sqrt((scatter+own)/apart + floor*floor)
}

// spreadOf is the standard deviation that the median distance from 0 stands for
// in a normal distribution.
func spreadOf(p []point) float64 {
	const normal = 1.4826
	far := make([]point, len(p))
	for i, q := range p {
		far[i].cents = math.Abs(q.cents)
	}
	return normal * medianOf(far)
}

func medianOf(p []point) float64 {
	v := make([]float64, len(p))
	for i, q := range p {
		v[i] = q.cents
	}
	return median(v)
}

// median sorts v; it is NaN for nothing.
func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}
