package practice

// session is a day being filled. What does not keep the limits is not taken in.
type session struct {
	limit  int // minutes, pauses included
	play   int // s with the horn at the lips; 0 is no limit
	strong int // s at full strength

	open    []Item    // warm-up, and what comes without the horn
	rounds  [2][]Item // visits, each round in the same order
	between []Item    // phrases between the rounds
	closing []Item    // runs and takes
}

// order lists the items as they are played, without pauses.
func (s *session) order() []Item {
	var out []Item
	for _, group := range [][]Item{s.open, apart(s.rounds[0]), s.between, apart(s.rounds[1]), s.closing} {
		out = append(out, group...)
	}
	return out
}

// add takes an item into one of the groups if the day still holds it.
func (s *session) add(group *[]Item, it Item) bool {
	*group = append(*group, it)
	if s.fits() {
		return true
	}
	*group = (*group)[:len(*group)-1]
	return false
}

func (s *session) fits() bool {
	items := s.order()
	play, strong := 0, 0
	for i, it := range items {
		play, strong = play+it.PlayS, strong+it.StrongS
		if i > 0 && it.segment >= 0 && it.segment == items[i-1].segment {
			return false // alternated, never blocked
		}
	}
	_, minutes := withPauses(items)
	return minutes <= s.limit && (s.play == 0 || play <= s.play) && strong <= s.strong
}

// left is what the day still holds, in minutes.
func (s *session) left() int {
	_, minutes := withPauses(s.order())
	return s.limit - minutes
}

// apart keeps strong work from standing side by side where something else can
// stand between; otherwise the order stays.
func apart(items []Item) []Item {
	var strong, other []Item
	for _, it := range items {
		if it.Hard {
			strong = append(strong, it)
		} else {
			other = append(other, it)
		}
	}
	if len(strong) == 0 || len(other) == 0 {
		return items
	}
	out := make([]Item, 0, len(items))
	for i, j := 0, 0; i < len(strong) || j < len(other); {
		// Spread the fewer evenly among the more.
		if i*len(other) <= j*len(strong) && i < len(strong) {
			out, i = append(out, strong[i]), i+1
		} else if j < len(other) {
			out, j = append(out, other[j]), j+1
		}
	}
	return out
}

// day is the session as part of a plan.
func (s *session) day(f frame) Day {
	d := Day{Date: iso(f.date), Phase: f.phase, Limit: s.limit}
	d.Items, d.Minutes = withPauses(s.order())
	for _, it := range d.Items {
		d.PlayS, d.StrongS = d.PlayS+it.PlayS, d.StrongS+it.StrongS
	}
	return d
}
