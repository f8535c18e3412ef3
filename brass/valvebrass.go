package brass

import "math"

// Semitones of the usual valves (published: T. R. Moore, Acoustics Today, Winter
// 2016, for the first two; the third lowers by three semitones and the fourth by
// five in every fingering chart).
const (
	firstSemitones  = 2
	secondSemitones = 1
	thirdSemitones  = 3
	fourthSemitones = 5
	thumbSemitones  = -5 // a double horn's thumb takes it from F up to B flat
)

// Slides that the player draws while playing, in cm of slide (from memory; amounts:
// estimate). The first slide of a trumpet hangs on a saddle or trigger for the
// thumb, the third on a ring; the first slide of a tuba stands up by the left hand.
const (
	trumpetFirstCM = 1.5
	trumpetThirdCM = 2.5
	tubaFirstCM    = 15.0
)

// longThird is how the third valve is tuned where nothing compensates: so long that
// second and third together are four exact semitones (316 cents by itself:
// published, tuning tables of the trumpet by the3rdhalf.com, "Tuning tendencies of
// brass instruments", and J. Monzo, xen.wiki, "Trumpet").
var longThird = longer(fourSemitones, secondSemitones, thirdSemitones)

const fourSemitones = 4

// longer is the tuning in cents of a valve of so many semitones which together with
// another, tuned by itself, gives goal semitones exactly. It is negative.
func longer(goal, other, own float64) float64 {
	tube := 1 + math.Exp2(goal/12) - math.Exp2(other/12)
	return 100 * (own - 12*math.Log2(tube))
}

// longFifth is how the fifth valve, a whole step, is tuned: so long that fourth and
// fifth together are seven exact semitones (from memory: the fifth valve of a tuba
// is a long whole step that serves below the fourth).
var longFifth = longer(fourthSemitones+firstSemitones, fourthSemitones, firstSemitones)

// valves are the first, second and third, the third tuned by so many cents.
func valves(third float64) []Valve {
	return []Valve{
		{Name: "1", Semitones: firstSemitones},
		{Name: "2", Semitones: secondSemitones},
		{Name: "3", Semitones: thirdSemitones, Cents: third},
	}
}

var fourth = Valve{Name: "4", Semitones: fourthSemitones}

func newValveBrass(name, title, fundamental string, family Family, compensator string, vs ...Valve) *Instrument {
	in := newHorn(name, title, fundamental, family)
	in.Valves, in.compensator, in.practice = vs, compensator, commonPractice()
	in.Sides = combine(vs, compensator)
	return in
}

// valveBrass are the valve instruments. Which build is the usual one is from memory:
// a baritone has three valves and compensates, as brass bands play it; a euphonium
// has four and compensates, a student's three and does not; an E flat tuba has four
// and compensates; the B flat tuba of orchestras and wind bands has four, the C and F
// tubas five, and none of them compensates; a horn is a full double with a set of
// tubes for either half.
func valveBrass() []*Instrument {
	return []*Instrument{
		trumpet(), doubleHorn(),
		newValveBrass("euphonium", "euphonium", "Bb1", TenorTuba, "4", append(valves(0), fourth)...),
		newValveBrass("euphonium-3", "three-valve euphonium", "Bb1", TenorTuba, "", valves(longThird)...),
		newValveBrass("baritone", "baritone horn", "Bb1", TenorTuba, "3", valves(0)...),
		tuba("tuba-bb", "B flat tuba", "Bb0"),
		tuba("tuba-c", "C tuba", "C1", fifth),
		newValveBrass("tuba-eb", "E flat tuba", "Eb1", Tubas, "4", append(valves(0), fourth)...),
		tuba("tuba-f", "F tuba", "F1", fifth),
	}
}

var fifth = Valve{Name: "5", Semitones: firstSemitones, Cents: longFifth}

func trumpet() *Instrument {
	vs := valves(longThird)
	vs[0].KickCM, vs[2].KickCM = trumpetFirstCM, trumpetThirdCM
	in := newValveBrass("trumpet-bb", "trumpet in B flat", "Bb2", Trumpets, "", vs...)
	in.Written = Transposition{Steps: 1, Semitones: 2}
	in.practice.lowest = 2 // the first partial of a trumpet does not speak where it belongs (from memory)
	return in
}

func doubleHorn() *Instrument {
	vs := append([]Valve{{Name: thumb, Semitones: thumbSemitones}}, valves(longThird)...)
	in := newValveBrass("horn-f-bb", "double horn in F and B flat", "F1", Horns, thumb, vs...)
	in.Written = Transposition{Steps: 4, Semitones: 7}
	in.practice = doubleHornPractice()
	return in
}

// tuba is a tuba that does not compensate, with four valves and perhaps more.
func tuba(name, title, fundamental string, more ...Valve) *Instrument {
	vs := append(valves(longThird), fourth)
	vs[0].KickCM = tubaFirstCM
	return newValveBrass(name, title, fundamental, Tubas, "", append(vs, more...)...)
}
