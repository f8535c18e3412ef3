package positions

import (
	"math"

	"waterkey/brass"
	"waterkey/score"
)

// graph is a stretch of notes with the ways to play each, priced.
type graph struct {
	pf     *score.Performance
	in     *brass.Instrument
	opts   Options
	first  int // index of the first note in the performance
	layers [][]node
	usual  map[score.Pitch]*brass.Way // first choices by pitch; nil out of reach
}

// newGraph lays out the notes from first to last, last excluded. A note out of
// reach gets one node without a way, which costs nothing to go through.
func newGraph(pf *score.Performance, in *brass.Instrument, o Options, first, last int) *graph {
	g := &graph{pf: pf, in: in, opts: o, first: first, layers: make([][]node, last-first),
		usual: map[score.Pitch]*brass.Way{}}
	known := map[score.Pitch][]node{} // by pitch, without costs
	for i := range g.layers {
		pitch := pf.Written(first + i).Pitch
		nodes, ok := known[pitch]
		if !ok {
			nodes = newNodes(in.Ways(pitch))
			known[pitch], g.usual[pitch] = nodes, nodes[0].way
		}
		g.layers[i] = g.price(i, nodes)
	}
	return g
}

func newNodes(ways []brass.Way) []node {
	if len(ways) == 0 {
		return []node{{}}
	}
	nodes := make([]node, len(ways))
	for k := range ways {
		nodes[k] = newNode(&ways[k], &ways[0])
	}
	return nodes
}

// price copies nodes with what each costs for note i of the graph.
func (g *graph) price(i int, nodes []node) []node {
	priced := make([]node, len(nodes))
	for k, n := range nodes {
		if n.way != nil {
			for _, c := range wayCosts(g.pf, g.first+i, &n, g.opts.reach()) {
				n.cost += c
			}
		}
		priced[k] = n
	}
	return priced
}

// edge is a move between two nodes, all but the turn.
type edge struct {
	cost float64
	dir  direction
}

// edges prices every move into note i of the graph, row by row of the note
// before, into room.
func (g *graph) edges(room []edge, i int, ap *approach) []edge {
	room = room[:0]
	limit := g.opts.speedLimit()
	for a := range g.layers[i-1] {
		for b := range g.layers[i] {
			room = append(room, newEdge(&g.layers[i-1][a], &g.layers[i][b], ap, limit))
		}
	}
	return room
}

// newEdge prices the move from a to b; it is infinite beyond the speed limit, in
// cm/s.
func newEdge(a, b *node, ap *approach, limit float64) edge {
	if a.way == nil || b.way == nil {
		return edge{0, still}
	}
	if ap.speed(a, b) > limit {
		return edge{math.Inf(1), still}
	}
	e := edge{dir: heading(a, b)}
	costs := ap.costs(a, b)
	for _, c := range &costs {
		e.cost += c
	}
	return e
}
