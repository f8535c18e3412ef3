package demo

import (
	"fmt"

	"waterkey/finding"
	"waterkey/score"
	"waterkey/sound"
)

// Recordings lists the takes of the season, oldest first. What goes wrong in them
// mends over the weeks, as it does with people who practice.
func Recordings() []Recording {
	return []Recording{
		parade1(), parade2(), song1(), parade3(), quay1(), song2(), parade4(), bela1(), parade5(), quay2(), song3(), parade6(),
	}
}

// The faults of the season, each in as much of it as there is that day.

// flatB is the slip of a player who has not seen the natural signs of bar 24.
func flatB() Fault {
	return Fault{finding.Notes, "wrong-note", []int{24}, "B flat is played where the page has B natural, twice", tune(in(24, "B3"), -100)}
}

// sharpFourth is an arm that stops short of the fourth position.
func sharpFourth(by float64) Fault {
	return Fault{finding.Notes, "intonation", []int{3, 31}, fmt.Sprintf("every G3 is %g cents sharp", by), tune(named("G3"), by)}
}

// sharpFifth is the same in the fifth.
func sharpFifth(by float64) Fault {
	return Fault{finding.Notes, "intonation", []int{19}, fmt.Sprintf("the G flat in fifth position is %g cents sharp", by), tune(in(19, "Gb3"), by)}
}

// shortRest is the rest before the last line, swallowed.
func shortRest(by score.Seconds) Fault {
	return Fault{finding.Rhythm, "short-rest", []int{29, 30}, fmt.Sprintf("the rest in bar 29 lacks %g s", by), swallow(30, by)}
}

// rushedFigure is the low figure of bars 14 and 15, run through: so many seconds
// ahead in its middle.
func rushedFigure(middle score.Seconds) Fault {
	const eighths = 12
	return Fault{finding.Rhythm, "rushed", []int{14, 15}, fmt.Sprintf("the low eighths are %g ms ahead in their middle", 1000*middle), rush(14, 15, eighths, 2*middle)}
}

// loudLow is the soft passage, so many dB too loud.
func loudLow(db float64) Fault {
	return Fault{finding.Dynamics, "level", []int{14, 17}, fmt.Sprintf("the soft low passage is %g dB too loud", db),
		change(in2(14, 17), func(t *sound.Tone) { t.Level += db })}
}

// flatHairpin leaves a share of a hairpin.
func flatHairpin(first, last int, left float64) Fault {
	return Fault{finding.Dynamics, "hairpin", []int{first, last}, fmt.Sprintf("of the hairpin in bars %d to %d a share of %g is left", first, last, left), flatten(first, last, left)}
}

// brokenSlur is a breath inside a slur, before the n-th note of a bar.
func brokenSlur(bar, n int) Fault {
	const room = 0.34 // s
	return Fault{finding.Choices, "breath", []int{bar}, "a breath inside a slur", breathe(bar, n, room)}
}

// parade1 to parade6 are Ines on the march.
func parade(n int) Recording {
	return Recording{ID: fmt.Sprintf("demo-harbor-parade-%d", n), Player: "Ines Okafor", Part: TakePart,
		File: fmt.Sprintf("Harbor Parade %d.flac", n), seed: uint64(10 + n), speed: 1}
}

func parade1() Recording {
	r := parade(1)
	r.DaysAgo, r.At, r.a4, r.speed = 20, "18:52", 441.5, 0.93
	r.Faults = []Fault{flatB(), sharpFourth(26), shortRest(0.24), rushedFigure(0.075), loudLow(9), flatHairpin(28, 29, 0)}
	r.Note = "First time through with the recorder on. Read the accidentals in bar 24 aloud before the next one."
	return r
}

func parade2() Recording {
	r := parade(2)
	r.DaysAgo, r.At, r.a4, r.speed = 17, "19:24", 441, 0.96
	r.Faults = []Fault{flatB(), sharpFourth(24), shortRest(0.2), rushedFigure(0.072), flatHairpin(28, 29, 0)}
	r.mic.noise = -50
	return r
}

func parade3() Recording {
	r := parade(3)
	r.DaysAgo, r.At, r.a4, r.speed = 13, "19:42", 441, 0.98
	r.Faults = []Fault{sharpFourth(20), shortRest(0.18), rushedFigure(0.064), loudLow(8), flatHairpin(28, 29, 0.1)}
	r.Note = "The B naturals are there. Now count the rest in bar 29."
	r.Remark = &Remark{30, "Here you come in before the beat. Say the rest aloud: three, four, and in."}
	return r
}

func parade4() Recording {
	r := parade(4)
	r.DaysAgo, r.At, r.a4 = 8, "20:05", 440.5
	r.Faults = []Fault{sharpFourth(17)}
	r.Traces = []Fault{rushedFigure(0.042), flatHairpin(28, 29, 0.4)}
	r.mic.gain = 12
	return r
}

func parade5() Recording {
	r := parade(5)
	r.DaysAgo, r.At, r.a4 = 5, "18:37", 440.5
	r.Traces = []Fault{sharpFourth(8), rushedFigure(0.020), flatHairpin(28, 29, 0.7)}
	r.mic.cutTail = 0.275
	r.Note = "Good, and the recorder was stopped in the last note. Once more tomorrow."
	return r
}

func parade6() Recording {
	r := parade(6)
	r.DaysAgo, r.At, r.a4 = 1, "19:16", 440.5
	r.Note = "This is the one. The low figure sits."
	r.Chosen = true
	return r
}

// song1 to song3 are Tomasz on the song.
func song(n int) Recording {
	return Recording{ID: fmt.Sprintf("demo-lantern-song-%d", n), Player: "Tomasz Vey", Part: "lantern-song.musicxml",
		File: fmt.Sprintf("Lantern Song %d.flac", n), seed: uint64(20 + n), speed: 1}
}

func song1() Recording {
	r := song(1)
	r.DaysAgo, r.At, r.a4, r.speed = 15, "20:18", 438.5, 0.97
	r.Faults = []Fault{sharpFifth(36), brokenSlur(13, 2), brokenSlur(19, 2), brokenSlur(27, 2), flatHairpin(13, 13, 0)}
	r.Traces = []Fault{flatHairpin(29, 30, 0)}
	r.Note = "Breaths fall where the air runs out. Mark them first, then play."
	return r
}

func song2() Recording {
	r := song(2)
	r.DaysAgo, r.At, r.a4, r.speed = 9, "19:51", 439.5, 0.99
	r.Faults = []Fault{sharpFifth(24), brokenSlur(27, 2)}
	r.Traces = []Fault{flatHairpin(13, 13, 0.5), flatHairpin(29, 30, 0.3)}
	return r
}

func song3() Recording {
	r := song(3)
	r.DaysAgo, r.At, r.a4 = 3, "20:02", 440
	r.Traces = []Fault{sharpFifth(9), flatHairpin(29, 30, 0.7)}
	r.Note = "The line holds. The diminuendo in bar 29 can go further."
	return r
}

// quay1 and quay2 are Mara on the bass part.
func quay(n int) Recording {
	return Recording{ID: fmt.Sprintf("demo-iron-quay-%d", n), Player: "Mara Lindqvist", Part: "iron-quay.musicxml",
		File: fmt.Sprintf("Iron Quay %d.flac", n), seed: uint64(30 + n), speed: 1, a4: 441}
}

func quay1() Recording {
	r := quay(1)
	r.DaysAgo, r.At = 12, "18:40"
	r.Faults = []Fault{
		{finding.Notes, "split-note", []int{22}, "the G at the top splits", crack(in(22, "G3"))},
		{finding.Notes, "missed-note", []int{25}, "the low D does not speak", drop(in(25, "D2"))},
		{finding.Rhythm, "short-rest", []int{4, 5}, "the rest in bar 4 lacks 0.2 s", swallow(5, 0.2)},
	}
	return r
}

func quay2() Recording {
	r := quay(2)
	r.DaysAgo, r.At = 4, "18:58"
	r.Note = "The low D speaks, and the rest in bar 4 is a rest."
	return r
}

// bela1 is Bela on the song. There are no recorded notes of a euphonium here, so
// that package sound plays it.
func bela1() Recording {
	return Recording{ID: "demo-lantern-song-bela-1", Player: "Bela Anders", Part: "lantern-song.musicxml", File: "Lantern Song, euphonium.flac",
		DaysAgo: 6, At: "19:33", seed: 41, speed: 1, a4: 442, horn: "euphonium",
		Faults: []Fault{
			{finding.Notes, "intonation", []int{11, 27}, "every G4 is 22 cents sharp", tune(named("G4"), 22)},
			brokenSlur(22, 2), flatHairpin(13, 13, 0),
		}}
}

// named are the notes of a name, wherever they stand.
func named(name string) func(note) bool {
	return func(n note) bool { return n.name == name }
}
