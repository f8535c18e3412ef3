package trial

import "waterkey/score"

// Case is one take to render: what is played, how, and what spoils it. The
// zero values spoil nothing.
type Case struct {
	Name string
	Hard bool
	seed uint64
	of   piece

	speed   float64 // of the mark
	drift   float64 // share by which the tempo goes up and down
	a4      float64 // Hz
	faults  bool    // wrong, missed, split and extra notes
	breaths bool
	player  int // whose notes

	restart  int // bars that are played again after a stop half way
	skipBar  bool
	noRepeat bool // the first repeat is not taken
	octave   int
	before   bool    // tuning notes and talk
	click    float64 // dB under the notes; 0 for none
	vibrato  float64 // cents
	room     float64 // s of reverberation
	noise    float64 // dB under the notes; 0 for none
	phone    int     // Hz, the sample rate of a phone; 0 for none
	mp3      bool    // 64 kb/s
}

// Ranges of the clean half: those in which a listener must not notice a
// difference.
var (
	cleanSpeeds  = []float64{1, 0.5, 0.7, 0.85, 1.15, 1.3, 1.6, 0.95, 1.05, 0.6, 1.45}
	cleanTunings = []float64{440, 425, 442, 455, 436, 446, 430, 450, 443}
	cleanDrifts  = []float64{0.01, 0.03, 0.05, 0.02, 0.06}
)

// Cases is the whole grid, clean half first.
func Cases() []Case {
	pieces := []piece{
		parade, sketched(11), beach4, quay, sketched(12), brahms2, bruckner1, lantern,
		sketched(13), beach1, beethoven5, sketched(14), bruckner3, brahms3, parade, sketched(15),
		beach3, bruckner2, sketched(16), quay, beach4, sketched(17), bruckner1, sketched(18),
	}
	var out []Case
	for i, p := range pieces {
		out = append(out, Case{
			Name: "clean", of: p, seed: uint64(100 + i),
			speed: cleanSpeeds[i%len(cleanSpeeds)], drift: cleanDrifts[i%len(cleanDrifts)],
			a4: cleanTunings[i%len(cleanTunings)], faults: i%4 != 3, breaths: i%2 == 0, player: i,
		})
	}
	return append(out, hardCases()...)
}

// hardCases are takes that are spoiled in one way each, and some in several.
func hardCases() []Case {
	repeated := piece{sketch: 21, repeat: true}
	out := []Case{
		{Name: "stop, again 2 bars back", of: parade, restart: 2},
		{Name: "stop, again 4 bars back", of: sketched(22), restart: 4},
		{Name: "stop, again 3 bars back", of: bruckner1, restart: 3},
		{Name: "a bar left out", of: beach4, skipBar: true},
		{Name: "a bar left out", of: sketched(23), skipBar: true},
		{Name: "a bar left out", of: brahms2, skipBar: true},
		{Name: "talk and tuning before", of: lantern, before: true},
		{Name: "talk and tuning before", of: sketched(24), before: true},
		{Name: "click 12 dB under", of: quay, click: 12},
		{Name: "click 6 dB under", of: beethoven5, click: 6},
		{Name: "octave up", of: beach1, octave: 1},
		{Name: "octave down", of: sketched(25), octave: -1},
		{Name: "repeat taken", of: repeated},
		{Name: "repeat not taken", of: repeated, noRepeat: true},
		{Name: "repeat not taken", of: paradeWhole, noRepeat: true},
		{Name: "phone at 16 kHz", of: bruckner3, phone: 16000},
		{Name: "phone at 8 kHz", of: sketched(26), phone: 8000},
		{Name: "MP3 at 64 kb/s", of: parade, mp3: true},
		{Name: "MP3 at 64 kb/s", of: sketched(27), mp3: true},
		{Name: "room of 0.5 s", of: beach4, room: 0.5},
		{Name: "room of 1 s", of: parade, room: 1},
		{Name: "room of 1 s", of: sketched(28), room: 1},
		{Name: "room of 1.5 s", of: bruckner2, room: 1.5},
		{Name: "room of 1.5 s", of: sketched(29), room: 1.5},
		{Name: "noise 30 dB below", of: brahms3, noise: 30},
		{Name: "noise 30 dB below", of: sketched(30), noise: 30},
		{Name: "vibrato of 15 cents", of: lantern, vibrato: 15},
		{Name: "phone, room and noise", of: quay, phone: 16000, room: 0.7, noise: 36},
		{Name: "restart in a room", of: sketched(31), restart: 2, room: 0.8},
		{Name: "talk, click and noise", of: beethoven5, before: true, click: 15, noise: 40},
	}
	for i := range out {
		c := &out[i]
		c.Hard, c.seed, c.player = true, uint64(200+i), i
		c.speed, c.drift = cleanSpeeds[(2*i+3)%len(cleanSpeeds)], cleanDrifts[i%len(cleanDrifts)]
		c.a4, c.faults, c.breaths = cleanTunings[i%len(cleanTunings)], i%2 == 1, i%2 == 0
	}
	return out
}

// LongCase is a take of two minutes, to measure memory with.
func LongCase() Case {
	return Case{Name: "long", of: lanternWhole, seed: 99, speed: 0.9, drift: 0.02, a4: 442}
}

// LongPage is the page that LongCase plays.
func LongPage() (*score.Performance, error) {
	part, err := lanternWhole.part("")
	if err != nil {
		return nil, err
	}
	return part.Perform(score.Tempo{})
}
