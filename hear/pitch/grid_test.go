package pitch

import (
	"math"
	"testing"
)

// grid is the hidden Markov model of Mauch and Dixon (2014) as printed, over a
// grid of pitches: each pitch once voiced, once unvoiced; from frame to frame a
// triangle of pitches can be reached, and voicing changes with probability 0.01.
// A voiced state is observed with the weight of the candidates near its pitch,
// each unvoiced one with an even share of what is left.
type grid struct {
	cents  float64 // between pitches: a fifth of a semitone (from memory)
	pitch  int     // how many
	reach  int     // pitches up or down in a frame: 2.5 semitones (from memory)
	scores []float64
	from   [][]int32
}

func newGrid() *grid {
	g := &grid{cents: 20, reach: 12}
	g.pitch = int((Cents(Highest)-Cents(Lowest))/g.cents) + 1
	g.scores = make([]float64, 2*g.pitch)
	return g
}

func (g *grid) bin(cents float64) int { return int(math.Round((cents - Cents(Lowest)) / g.cents)) }

// add goes one frame on; states 0 to pitch-1 are voiced.
func (g *grid) add(spots []spot) {
	observed := make([]float64, 2*g.pitch)
	left := 1.0
	for _, s := range spots {
		observed[min(max(g.bin(s.cents), 0), g.pitch-1)] += s.weight
		left -= s.weight
	}
	for k := range g.pitch {
		observed[g.pitch+k] = max(left, 0) / float64(g.pitch)
	}
	next, from := make([]float64, 2*g.pitch), make([]int32, 2*g.pitch)
	for to := range next {
		next[to] = math.Inf(-1)
		if observed[to] <= 0 {
			continue
		}
		k := to % g.pitch
		for j := max(k-g.reach, 0); j <= min(k+g.reach, g.pitch-1); j++ {
			near := 1 - math.Abs(float64(j-k))/float64(g.reach+1)
			for _, state := range [2]int{j, g.pitch + j} {
				change := 0.99
				if (state < g.pitch) != (to < g.pitch) {
					change = 0.01
				}
				if v := g.scores[state] + math.Log(near*change*observed[to]); v > next[to] {
					next[to], from[to] = v, int32(state)
				}
			}
		}
	}
	g.scores, g.from = next, append(g.from, from)
}

// best is the bin of each frame on the likeliest path, -1 for unvoiced.
func (g *grid) best() []int {
	state := 0
	for k, v := range g.scores {
		if v > g.scores[state] {
			state = k
		}
	}
	out := make([]int, len(g.from))
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = -1
		if state < g.pitch {
			out[i] = state
		}
		state = int(g.from[i][state])
	}
	return out
}

// Reference: the paper's model over its whole grid. The path over candidates
// differs where it is meant to: at slurs, which the grid takes as unvoiced, and
// by a few frames at the ends of notes.
func TestThePathOfCandidatesIsThatOfTheGrid(t *testing.T) {
	melody := func(s float64) float64 { // notes of a quarter second from E1 to F4, with a trill
		notes := []float64{28, 34, 40, 46, 53, 58, 57, 58, 60, 65, 41, 29}
		return midiHz(notes[int(s*4)%len(notes)])
	}
	x := tone(3, melody, timbres["formant at 600 Hz"])
	for i := range x { // tongued: silence of 30 ms before each note
		if s := math.Mod(float64(i)/Rate, 0.25); s > 0.22 {
			x[i] = 0
		}
	}
	tracker := NewTracker()
	tracker.Add(noisy(x, 20))
	frames, g := tracker.Frames(), newGrid()
	for i, begin := range tracker.path.begins {
		end := len(tracker.path.spots)
		if i+1 < len(tracker.path.begins) {
			end = tracker.path.begins[i+1]
		}
		g.add(tracker.path.spots[begin:end])
	}
	bothVoiced, apart, voicing := 0, 0, 0
	for i, bin := range g.best() {
		switch {
		case (bin < 0) != (frames[i].Hz == 0):
			voicing++
		case bin >= 0:
			bothVoiced++
			if math.Abs(float64(bin)*g.cents+Cents(Lowest)-frames[i].Cents()) > g.cents {
				apart++
			}
		}
	}
	t.Logf("of %d frames %d have a pitch on one path only; of %d with a pitch on both, %d differ by more than the grid's step", len(frames), voicing, bothVoiced, apart)
	if bothVoiced < len(frames)*7/10 || apart > bothVoiced/100 || voicing > len(frames)/30 {
		t.Errorf("%d frames with a pitch on both paths, %d of them apart, %d with a pitch on one only", bothVoiced, apart, voicing)
	}
}
