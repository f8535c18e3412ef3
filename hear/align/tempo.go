package align

import (
	"cmp"
	"math"
	"slices"
)

// tempoOf reads the tempo at each sound off a path: seconds of the take for
// one of the page, between the notes found as at the note before.
func (s *search) tempoOf(r result) []float64 {
	out := make([]float64, len(s.sounds))
	runs, _ := s.runsOf(r.steps)
	stretch, at := 0.0, 0
	for _, run := range runs {
		clock := NewClock(s.points([]Run{run}, func(Run, step) bool { return true }))
		for _, v := range run.steps {
			if len(clock.page) > 1 {
				before := stretch
				stretch = clock.Stretch(s.page.notes[v.note].start)
				if before == 0 {
					before = stretch // sounds ahead of the first note
				}
				for ; at < v.sound; at++ {
					out[at] = before
				}
			}
		}
	}
	if stretch == 0 {
		stretch = 1
	}
	for ; at < len(out); at++ {
		out[at] = stretch
	}
	return out
}

// maxTuning bounds the take's tuning in cents: A = 424 to 457 Hz.
const maxTuning = 65.0

// tuningOf is the tuning of a path's right notes: the median of their distance
// from the page, long ones weighing more.
func (s *search) tuningOf(r result) float64 {
	type weighed struct{ cents, weight float64 }
	var v []weighed
	total := 0.0
	for _, st := range r.steps {
		n, sound := &s.page.notes[st.note], &s.sounds[st.sound]
		if !st.right || n.moving || math.IsNaN(n.cents) || math.IsNaN(sound.Cents) {
			continue
		}
		w := min(sound.End-sound.Start, 1)
		v, total = append(v, weighed{st.cents - n.cents, w}), total+w
	}
	slices.SortFunc(v, func(a, b weighed) int { return cmp.Compare(a.cents, b.cents) })
	sum := 0.0
	for _, x := range v {
		if sum += x.weight; sum >= total/2 {
			t := x.cents - r.cents() + r.tuning
			return max(-maxTuning, min(t, maxTuning))
		}
	}
	return r.tuning
}

// tunings are the offsets from the page, in cents, that put the sounds on
// semitones: the circular mean of their distance from the nearest semitone,
// and its neighbor a semitone away where that is in range.
func (s *search) tunings() []float64 {
	base := 0.0 // where the page's semitones lie
	for _, n := range s.page.notes {
		if !math.IsNaN(n.cents) {
			base = n.cents
			break
		}
	}
	re, im := 0.0, 0.0
	for _, v := range s.sounds {
		if math.IsNaN(v.Cents) {
			continue
		}
		a := 2 * math.Pi * (v.Cents - base) / 100
		w := min(v.End-v.Start, 1)
		re, im = re+w*math.Cos(a), im+w*math.Sin(a)
	}
	mean := 100 * math.Atan2(im, re) / (2 * math.Pi)
	var out []float64
	for _, t := range []float64{mean, mean - 100, mean + 100} {
		if math.Abs(t) <= maxTuning {
			out = append(out, t)
		}
	}
	return out
}

// transpositions lists what the whole take may lie above the page, the
// likeliest first: by how much of its sounding time falls on pitches of the
// page, weighed by how long the page has them.
func (s *search) transpositions() []transposition {
	var out []transposition
	for _, octaves := range []int{0, -1, 1} {
		for _, t := range s.tunings() {
			out = append(out, transposition{tuning: t, octaves: octaves})
		}
	}
	s.sortByFit(out)
	return out
}

// sortByFit brings transpositions into the order of their overlap.
func (s *search) sortByFit(ts []transposition) {
	const preferred = 0.02 // the page's own octave wins unless another fits better (estimate)
	fit := map[transposition]float64{}
	for _, t := range ts {
		fit[t] = s.overlap(t)
		if t.octaves == 0 && t.steps == 0 {
			fit[t] += preferred
		}
	}
	slices.SortStableFunc(ts, func(a, b transposition) int { return cmp.Compare(fit[b], fit[a]) })
}

// overlap is how alike the pitches of page and take are at a transposition, as
// the share of sounding time that both have on the same semitones, 0 to 1.
func (s *search) overlap(t transposition) float64 {
	page, take := map[int]float64{}, map[int]float64{}
	pageSum, takeSum := 0.0, 0.0
	base := math.NaN()
	for _, n := range s.page.notes {
		if math.IsNaN(n.cents) {
			continue
		}
		if math.IsNaN(base) {
			base = n.cents
		}
		w := min(n.end-n.start, 1)
		page[int(math.Round((n.cents-base)/100))] += w
		pageSum += w
	}
	for _, v := range s.sounds {
		if !math.IsNaN(v.Cents) {
			w := min(v.End-v.Start, 1)
			take[int(math.Round((v.Cents-t.cents()-base)/100))] += w
			takeSum += w
		}
	}
	common := 0.0
	for semitone, w := range page {
		common += min(w/max(pageSum, 1e-9), take[semitone]/max(takeSum, 1e-9))
	}
	return common
}
