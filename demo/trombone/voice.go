package trombone

import (
	"fmt"
	"math"
)

// voice is a recorded note made exactly steady: its pitch is that of equal
// temperament at A4 = 440 Hz all through.
type voice struct {
	midi   int
	hz     float64   // of the samples
	x      []float32 // at Rate; the sustained part goes on by a seamless loop
	onset  float64   // in samples: where the note starts, see the package comment
	steady float64   // in samples: from here on neither attack nor settling
	waver  float64   // cents, what is left of its own course: root mean square, even part
	scoop  float64   // and attack
}

// How a recorded note is cut, in seconds unless said otherwise (estimates,
// made to fit the recordings; a fifth of the peak as the start of an attack is
// common in research on timbre: G. Peeters, "A large set of audio features",
// IRCAM 2004, from memory).
const (
	loudEnough  = 0.2  // of the attack's peak: the note has started (truth by definition)
	slowest     = 0.05 // from there to half the peak: else the definition, not the listener, decides what is within the window
	slowPeriods = 4.0  // the same in periods: a low note cannot show more
	attackLong  = 0.15 // the attack's peak lies within
	attackOver  = 0.10 // after the onset, the level is kept even
	settled     = 0.15 // after the onset, the tone is steady
	fallen      = 0.4  // of the median peak of a period: the note has begun to end
	tail        = 0.10 // left out before that
	mostUsed    = 2.5  // after the onset; what follows is left out
	loopBlend   = 0.06 // crossfade of the loop
	loopLeast   = 0.3  // the shortest loop
	voiceLong   = 9.0  // what a voice is extended to
	preRoll     = 0.03 // kept before the onset
)

// SteadyLevel is the RMS that the steady part of a note is brought to: -26 dBFS.
const SteadyLevel = 0.05

// newVoice makes a voice of the recording x of one note, named midi. Its attack is
// left as it was played, or made even with the rest.
func newVoice(x []float64, sourceRate, midi int, even bool) (*voice, error) {
	r := float64(sourceRate)
	onset, end := bounds(x, r)
	if end-onset < settled+loopLeast+loopBlend {
		return nil, fmt.Errorf("the recorded note %d sounds for %.2f s; %.2f s are needed", midi, end-onset, settled+loopLeast+loopBlend)
	}
	v := &voice{midi: midi, hz: 440 * math.Exp2(float64(midi-69)/12)}
	if slow, most := clearStart(x, r, onset), max(slowest, slowPeriods/v.hz); slow > most {
		return nil, fmt.Errorf("the recorded note %d takes %.0f ms from a fifth to half of its attack: its start is a matter of taste; at most %.0f can serve", midi, 1000*slow, 1000*most)
	}
	v.flatten(x, r, onset, end, readCourse(x, r, coarse(x, r, v.hz, onset, end), onset, end))
	if err := v.check(); err != nil {
		return nil, err
	}
	if err := v.level(); err != nil {
		return nil, err
	}
	if even {
		v.evenAttack()
	}
	v.extend()
	return v, nil
}

// bounds finds onset and end of the sustained part, in seconds.
func bounds(x []float64, r float64) (onset, end float64) {
	loudest := 0.0
	for _, s := range x {
		loudest = max(loudest, math.Abs(s))
	}
	first := firstAbove(x, 0, loudEnough*loudest/2)
	attack := peak(x[first:min(first+int(attackLong*r), len(x))])
	onset = float64(firstAbove(x, max(first-int(attackLong*r), 0), loudEnough*attack)) / r
	block := int(0.05 * r)
	var peaks []float64
	for i := int((onset + settled) * r); i+block < len(x); i += block {
		peaks = append(peaks, peak(x[i:i+block]))
	}
	usual, begun := median(peaks), false
	end = onset + settled
	for _, p := range peaks {
		if begun = begun || p >= fallen*usual; begun && p < fallen*usual {
			break
		}
		end += 0.05
	}
	return onset, min(end-tail, onset+mostUsed)
}

// clearStart is how long the attack takes from its start to half its peak, in
// seconds.
func clearStart(x []float64, r, onset float64) float64 {
	first := int(onset * r)
	attack := peak(x[first:min(first+int(attackLong*r), len(x))])
	return float64(firstAbove(x, first, attack/2))/r - onset
}

func firstAbove(x []float64, from int, level float64) int {
	for i := from; i < len(x); i++ {
		if math.Abs(x[i]) >= level {
			return i
		}
	}
	return len(x) - 1
}

func peak(x []float64) float64 {
	most := 0.0
	for _, s := range x {
		most = max(most, math.Abs(s))
	}
	return most
}

// coarse is the note's frequency as a whole, within a quarter tone or so of
// its name: the place where the first partials together are strongest.
func coarse(x []float64, r, hz, onset, end float64) float64 {
	mid, width := (onset+settled+end)/2, min(end-onset-settled, 0.4)
	best, most := hz, 0.0
	for c := -60.0; c <= 60; c += 4 {
		sum := 0.0
		for k := 1; k <= mostPartials; k++ {
			p := partial(x, r, float64(k)*hz*ratio(c), mid, width)
			sum += real(p)*real(p) + imag(p)*imag(p)
		}
		if sum > most {
			best, most = hz*ratio(c), sum
		}
	}
	return best
}

// readings are the course of a note: its frequency at a moment in seconds.
type readings struct {
	attack, steady         []float64
	attackFrom, steadyFrom float64
}

// readCourse measures the course of a note near hz.
func readCourse(x []float64, r, hz, onset, end float64) readings {
	c := readings{attackFrom: onset + attackPeriods/2/hz, steadyFrom: onset + attackCourse}
	c.steady = course(x, r, hz, c.steadyFrom, end, steadyHop, steadyPeriods)
	c.attack = course(x, r, c.steady[0], c.attackFrom, c.steadyFrom, attackHop, attackPeriods)
	return c
}

func (c readings) at(t float64) float64 {
	if t < c.steadyFrom {
		return between(c.attack, (t-c.attackFrom)/attackHop)
	}
	return between(c.steady, (t-c.steadyFrom)/steadyHop)
}

// flatten reads x at the speed that makes the measured course even at v.hz.
func (v *voice) flatten(x []float64, r, onset, end float64, c readings) {
	source := make([]float32, len(x))
	for i, s := range x {
		source[i] = float32(s)
	}
	for p := max(onset-preRoll, 0); p < end; {
		v.x = append(v.x, float32(at(source, p*r)))
		if p < onset {
			v.onset++
		}
		p += v.hz / c.at(p) / Rate
	}
	v.steady = v.onset + settled*Rate
}

// between reads v at a place between its values; its ends hold on.
func between(v []float64, place float64) float64 {
	place = max(0, min(place, float64(len(v)-1)))
	i := min(int(place), len(v)-2)
	return v[i] + (place-float64(i))*(v[i+1]-v[i])
}

// check measures the steady voice again, attack and all.
func (v *voice) check() error {
	const most, mostAttack, looked = 3.0, 10.0, 1.5 // cents, cents, s
	y := make([]float64, len(v.x))
	for i, s := range v.x {
		y[i] = float64(s)
	}
	c := readCourse(y, Rate, v.hz, v.onset/Rate, min(float64(len(y))/Rate-steadyPeriods/v.hz, looked))
	v.waver, v.scoop = spread(c.steady, v.hz), spread(c.attack, v.hz)
	if !(v.waver < most) {
		return fmt.Errorf("the recorded note %d wavers by %.1f cents after it was made steady; at most %g can serve", v.midi, v.waver, most)
	}
	if !(v.scoop < mostAttack) {
		return fmt.Errorf("the attack of the recorded note %d wavers by %.1f cents after it was made steady; at most %g can serve", v.midi, v.scoop, mostAttack)
	}
	return nil
}

// spread is the root of the mean square of the distances from hz, in cents.
func spread(f []float64, hz float64) float64 {
	sum := 0.0
	for _, x := range f {
		sum += cents(x, hz) * cents(x, hz)
	}
	return math.Sqrt(sum / float64(len(f)))
}

// level brings the tone to its level and keeps it there: a note that grows or
// dies away is no plain note. What the attack does is left as it was. The error
// says that the note grows so much that it has no attack.
func (v *voice) level() error {
	const hop, most = 0.02 * Rate, 12.0 // samples, dB
	width := max(0.06*Rate, 3*Rate/v.hz)
	from := v.onset + attackOver*Rate
	var levels []float64
	for c := from; c+width/2 < float64(len(v.x)); c += hop {
		levels = append(levels, rms(v.x[int(c-width/2):int(c+width/2)]))
	}
	usual := median(levels)
	if grows := 20 * math.Log10(usual/levels[0]); grows > most {
		return fmt.Errorf("the recorded note %d grows by %.0f dB after its attack; at most %g can serve", v.midi, grows, most)
	}
	for i := range v.x {
		v.x[i] *= float32(SteadyLevel / between(levels, (float64(i)-from)/hop))
	}
	return nil
}

// evenAttack lets a note speak at once and no louder than it goes on: some were
// recorded with a burst, others come up slowly. From spoken after the onset on the
// level is kept even; what is before goes with it.
func (v *voice) evenAttack() {
	const spoken, hop, most = 0.03, 0.005 * Rate, 12.0 // s, samples, dB of change (estimates)
	width := max(0.03*Rate, 2*Rate/v.hz)
	from := v.onset + spoken*Rate
	var gains []float64
	for c := from; c < v.onset+attackOver*Rate; c += hop {
		level := rms(v.x[int(c-width/2):int(c+width/2)])
		limit := math.Pow(10, most/20)
		gains = append(gains, max(1/limit, min(SteadyLevel/level, limit)))
	}
	gains = append(gains, 1)
	for i := range min(int(from+hop*float64(len(gains))), len(v.x)) {
		v.x[i] *= float32(between(gains, (float64(i)-from)/hop))
	}
}

func rms(x []float32) float64 {
	sum := 0.0
	for _, s := range x {
		sum += float64(s) * float64(s)
	}
	return math.Sqrt(sum / float64(len(x)))
}

// extend goes on with the steady part, a whole number of periods back, under a
// crossfade. Since the pitch is even the seam does not show.
func (v *voice) extend() {
	period := Rate / v.hz
	blend := int(loopBlend * Rate)
	end := len(v.x)
	back := math.Floor((float64(end)-v.steady-float64(blend))/period) * period
	for len(v.x) < voiceLong*Rate {
		seam := len(v.x) - blend
		for i := seam; i < len(v.x); i++ {
			share := float32(i-seam) / float32(blend)
			v.x[i] += share * (float32(at(v.x[:end], float64(i)-back)) - v.x[i])
		}
		for range int(back) - blend {
			v.x = append(v.x, float32(at(v.x, float64(len(v.x))-back)))
		}
	}
}
