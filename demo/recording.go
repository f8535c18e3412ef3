package demo

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"waterkey/audio"
	"waterkey/demo/trombone"
	"waterkey/score"
	"waterkey/score/musicxml"
	"waterkey/sound"
)

// Recording is one take of the season, as it is told before it is made.
type Recording struct {
	ID     string // of the take, kept from start to start
	Player string // name of the candidate
	Part   string // one of Files
	File   string // how the file is called

	DaysAgo int    // before the day of the first start
	At      string // time of the day, as 19:42

	Faults []Fault
	Traces []Fault // what is left of faults, too small to be spoken of
	Note   string  // of the coach, "" for none
	Chosen bool    // the one to send
	Remark *Remark

	seed    uint64
	speed   float64 // of the tempo on the page
	a4      float64 // Hz
	vibrato float64 // cents
	horn    string  // an instrument that package sound plays; "" for the recorded trombone
	mic     mic
}

// Remark is what the coach says at a note of a recording.
type Remark struct {
	Bar  int // printed number; the remark stands at its first note
	Text string
}

// Sung is a recording as sound, and when its notes begin.
type Sung struct {
	Clip *audio.Clip
	// Starts are the moments in seconds at which the written bars first sound, by
	// printed number.
	Starts map[int]float64
}

// Moment is when the recording was made, so many days before a day, in its zone.
func (r *Recording) Moment(today time.Time) time.Time {
	at, err := time.Parse("15:04", r.At)
	if err != nil {
		panic(err) // the plan is part of the build
	}
	y, m, d := today.Date()
	return time.Date(y, m, d-r.DaysAgo, at.Hour(), at.Minute(), 0, 0, today.Location())
}

// Sing makes the recording. The same bank gives the same samples. bank may be nil
// for a recording that needs none.
func (r *Recording) Sing(bank *Bank) (*Sung, error) {
	return r.sing(bank, 0)
}

// sing makes the recording up to a played bar, 0 for all of them.
func (r *Recording) sing(bank *Bank, bars int) (*Sung, error) {
	pf, err := perform(r.Part)
	if err != nil {
		return nil, err
	}
	o := sound.Options{LeadIn: leadIn, A4: r.a4, Bars: sound.Bars{To: bars}}
	if r.horn != "" {
		o.Timbre = sound.TimbreOf(r.horn)
	}
	random := rand.New(rand.NewPCG(r.seed, 1))
	notes := humanize(label(pf, sound.Tones(pf, o)), r, random)
	for _, f := range slices.Concat(r.Faults, r.Traces) {
		notes = f.edit(notes)
	}
	settle(notes)
	x := r.voice(notes, bank, o, random)
	x = r.mic.record(x, notes, rand.New(rand.NewPCG(r.seed, 2)))
	out := &Sung{Clip: &audio.Clip{Rate: trombone.Rate, Channels: [][]float64{x}}, Starts: map[int]float64{}}
	for _, n := range notes {
		if _, known := out.Starts[n.bar]; !known {
			out.Starts[n.bar] = float64(n.tone.Start)
		}
	}
	return out, nil
}

// leadIn and leadOut are the silence around a take, in seconds (common practice: a
// second or two).
const leadIn, leadOut = 1.6, 1.5

// perform reads a part of the season and unfolds it.
func perform(name string) (*score.Performance, error) {
	data, err := Open(name)
	if err != nil {
		return nil, err
	}
	doc, err := musicxml.Parse(name, data)
	if err != nil {
		return nil, err
	}
	part, err := doc.Part(score.Selection{})
	if err != nil {
		return nil, err
	}
	return part.Perform(score.Tempo{})
}

// How a student plays (estimates, after those of the listener's trial: single
// players scatter less than the 27 to 37 ms between players in ensembles, R. A.
// Rasch 1979). Each is small beside what is planted.
const (
	timeScatter   = 0.006 // s, standard deviation
	lengthScatter = 0.04  // of the length
	nameScatter   = 3.0   // cents, shared by all notes of a name
	noteScatter   = 2.0   // cents, of a single note
	levelScatter  = 0.6   // dB
	driftShare    = 0.008 // by which the tempo comes and goes
	driftEvery    = 17.0  // s
	farthestOut   = 2.0   // standard deviations: nobody in training strays further
)

// humanize gives exact tones the unevenness of a person.
func humanize(notes []note, r *Recording, random *rand.Rand) []note {
	normal := func() float64 { return max(-farthestOut, min(random.NormFloat64(), farthestOut)) }
	habit := map[string]float64{}
	phase := 2 * math.Pi * random.Float64()
	warp := func(t score.Seconds) score.Seconds {
		s := float64(t) - leadIn
		k := 2 * math.Pi / driftEvery
		return score.Seconds(leadIn + (s+driftShare*(math.Cos(phase)-math.Cos(k*s+phase))/k)/r.speed)
	}
	for i := range notes {
		n := &notes[i]
		off, known := habit[n.name]
		if !known {
			off = nameScatter * normal()
			habit[n.name] = off
		}
		late := score.Seconds(timeScatter * normal())
		start, end := warp(n.tone.Start)+late, warp(n.tone.End)+late
		if !n.tone.Connects {
			end = start + (end-start)*score.Seconds(1+lengthScatter*normal())
		}
		n.tone.Start, n.tone.End = start, end
		tune := cents(off + noteScatter*normal())
		n.tone.Hz *= tune
		n.tone.HzEnd *= tune
		n.tone.Level += levelScatter * normal()
	}
	return notes
}

// tongueGap is the least silence before a tongued note, in seconds (estimate).
const tongueGap = 0.03

// settle keeps tongued notes apart and joins slurred ones.
func settle(notes []note) {
	for i := range notes[:max(len(notes)-1, 0)] {
		t, next := &notes[i].tone, &notes[i+1].tone
		switch {
		case next.Connects && isSlurred(next.Attack):
			t.End = next.Start
		case next.Connects:
			t.End = max(next.Start-tongueGap, t.Start+tongueGap)
			next.Connects = false
		default:
			t.End = max(min(t.End, next.Start-tongueGap), t.Start+tongueGap)
		}
	}
}

func isSlurred(a sound.Attack) bool {
	switch a {
	case sound.Slurred, sound.NaturalSlur, sound.LipSlur, sound.ValveSlur:
		return true
	}
	return false
}
