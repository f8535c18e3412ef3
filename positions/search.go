package positions

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// mostPaths bounds k: nobody compares more, and memory grows with it (estimate).
const mostPaths = 100

func checkCount(k int) error {
	if k < 1 || k > mostPaths {
		return fmt.Errorf("%d best paths asked for; ask for 1 to %d, such as 5", k, mostPaths)
	}
	return nil
}

// search is the table of least costs. A state is a node and the direction of the
// last move; the states of note i start at at[i], three to a node. A state has k
// places, cheapest first. A sequence of ways has one sequence of states, so that
// different paths through states are different choices.
type search struct {
	*graph
	k     int
	at    []int
	moves [][]edge // into each note; nil for the first
	turn  [][directions][directions]float64
	cost  []float64 // from the start through the state, k places each
	back  []int32   // the place before it in the table, -1 at the start
	after []float64 // from the leaving of a state to the end, the least only
}

// solve returns the k best paths, or fewer when there are no more; none when the
// speed limit leaves no way through.
func (g *graph) solve(k int) []*Path {
	s := g.newSearch(k)
	s.forward()
	s.backward()
	return s.paths()
}

func (g *graph) newSearch(k int) *search {
	n := len(g.layers)
	s := &search{graph: g, k: k, at: make([]int, n+1), moves: make([][]edge, n),
		turn: make([][directions][directions]float64, n)}
	for i, layer := range g.layers {
		s.at[i+1] = s.at[i] + int(directions)*len(layer)
	}
	s.priceMoves()
	s.cost = filled(s.at[n]*k, math.Inf(1))
	s.back = make([]int32, s.at[n]*k)
	s.after = filled(s.at[n], math.Inf(1))
	return s
}

// priceMoves fills in the moves, all in one block of memory.
func (s *search) priceMoves() {
	total := 0
	for i := 1; i < len(s.layers); i++ {
		total += len(s.layers[i-1]) * len(s.layers[i])
	}
	block := make([]edge, total)
	for i := 1; i < len(s.layers); i++ {
		ap := newApproach(s.pf, s.first+i)
		size := len(s.layers[i-1]) * len(s.layers[i])
		s.moves[i] = s.edges(block[:0:size], i, &ap)
		block = block[size:]
		for before := range directions {
			for now := range directions {
				s.turn[i][before][now] = ap.turning(before, now)
			}
		}
	}
}

// forward finds the k least costs of every state.
func (s *search) forward() {
	if len(s.layers) == 0 {
		return
	}
	for b, n := range s.layers[0] {
		place := s.state(0, b, still) * s.k
		s.cost[place], s.back[place] = n.cost, -1
	}
	for i := 1; i < len(s.layers); i++ {
		for a := range s.layers[i-1] {
			row := s.moves[i][a*len(s.layers[i]):]
			for before := range directions {
				from := s.state(i-1, a, before) * s.k
				if !math.IsInf(s.cost[from], 1) {
					s.relax(i, from, row, &s.turn[i][before])
				}
			}
		}
	}
}

func (s *search) state(i, node int, d direction) int {
	return s.at[i] + int(directions)*node + int(d)
}

// relax offers the paths that end at place from, and the k-1 after it, to every
// node of note i.
func (s *search) relax(i, from int, row []edge, turn *[directions]float64) {
	for b := range s.layers[i] {
		e := row[b]
		add := e.cost + turn[e.dir] + s.layers[i][b].cost
		to := s.state(i, b, e.dir) * s.k
		for r := range s.k {
			if !s.insert(to, s.cost[from+r]+add, from+r) {
				break
			}
		}
	}
}

// insert puts a path into the k places at to, and says whether it is among the
// k least.
func (s *search) insert(to int, cost float64, from int) bool {
	r := to + s.k - 1
	if cost >= s.cost[r] {
		return false
	}
	for ; r > to && s.cost[r-1] > cost; r-- {
		s.cost[r], s.back[r] = s.cost[r-1], s.back[r-1]
	}
	s.cost[r], s.back[r] = cost, int32(from)
	return true
}

// backward finds the least cost from every state to the end.
func (s *search) backward() {
	n := len(s.layers)
	if n == 0 {
		return
	}
	for st := s.at[n-1]; st < s.at[n]; st++ {
		s.after[st] = 0
	}
	for i := n - 2; i >= 0; i-- {
		for a := range s.layers[i] {
			s.finish(i, a)
		}
	}
}

// finish finds the least cost from the three states of a node to the end.
func (s *search) finish(i, a int) {
	row := s.moves[i+1][a*len(s.layers[i+1]):]
	out := s.after[s.state(i, a, 0):][:directions]
	for b := range s.layers[i+1] {
		e := row[b]
		rest := e.cost + s.layers[i+1][b].cost + s.after[s.state(i+1, b, e.dir)]
		for d := range out {
			out[d] = min(out[d], rest+s.turn[i+1][d][e.dir])
		}
	}
}

// ends are the places of the k cheapest whole paths, cheapest first.
func (s *search) ends() []int {
	n := len(s.layers)
	var places []int
	for p := s.at[n-1] * s.k; p < s.at[n]*s.k; p++ {
		if !math.IsInf(s.cost[p], 1) {
			places = append(places, p)
		}
	}
	slices.SortStableFunc(places, func(a, b int) int { return cmp.Compare(s.cost[a], s.cost[b]) })
	return places[:min(s.k, len(places))]
}

func filled(n int, v float64) []float64 {
	xs := make([]float64, n)
	for i := range xs {
		xs[i] = v
	}
	return xs
}
