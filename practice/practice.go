// Package practice plans the way from a page to the day of its recording: what
// to practice, at which tempo, on which day, and when to rest.
//
// Input is plain: the bars of a part, what reading found on the page, the tempo
// at which the slide is comfortable, what takes showed, the calendar. [Make]
// cuts the part into segments and lays them on the days. The same input gives
// the same plan.
//
// Conventions: bars are indexes into [Material.Bars]; lengths at the part's own
// tempo are in seconds, everything planned is in whole seconds and whole minutes,
// so that sums are exact; tempos are felt beats a minute. Dates have no time of
// day and no zone. What each rule rests on is said by [Grounds] in plain words;
// where trials found nothing that is said as well.
package practice

import (
	"waterkey/finding"
	"waterkey/player"
)

// Span is a stretch of bars, both ends included.
type Span struct{ From, To int }

// bars is how many bars it has.
func (s Span) bars() int { return s.To - s.From + 1 }

// meets says whether two stretches share a bar.
func (s Span) meets(o Span) bool { return s.From <= o.To && o.From <= s.To }

// holds says whether all of o lies in s.
func (s Span) holds(o Span) bool { return s.From <= o.From && o.To <= s.To }

// join is the shortest stretch that holds both.
func (s Span) join(o Span) Span { return Span{min(s.From, o.From), max(s.To, o.To)} }

// Bar is one printed bar.
type Bar struct {
	Number  string  // as printed, or its count
	Seconds float64 // at the goal tempo
	Silent  bool    // no note sounds in it
	Quick   float64 // s at the goal tempo, the shortest note that begins in it; 0 for none
	BPM     float64 // goal tempo in felt beats a minute
	Unit    string  // the felt beat: "half"
	Strong  bool    // fortissimo; bars that are high for the player are found by the findings
}

// Material is what there is to practice.
type Material struct {
	Title    string
	Bars     []Bar
	Run      float64 // s, the whole part with its repeats at the goal tempo
	Key      string  // of the opening, "F major"; "" when the page has none
	Findings []finding.Finding
	// Comfort is the tempo up to which the slide is comfortable in these bars, and
	// the move that sets it; false where the slide sets no limit. Nil without a
	// slide.
	Comfort func(Span) (bpm float64, hardest string, ok bool)
	Takes   []Take // the oldest first
	// Past are days before the first one planned on which something was practiced, the
	// oldest first: as they were planned, with the items alone that were done. Their
	// limits and their PlayS stay those of the whole day.
	Past  []Day
	Level player.Level
}

// Plan is a calendar of practice, as the JSON document that scripts rely on.
type Plan struct {
	Title       string    `json:"title"`
	From        string    `json:"from"` // first day, as 2026-11-25
	By          string    `json:"by"`   // day of the recording
	DaysPerWeek int       `json:"days_per_week"`
	Minutes     int       `json:"minutes"` // at most, on any day
	Segments    []Segment `json:"segments"`
	Days        []Day     `json:"days"`
	Remarks     []string  `json:"remarks"`
	Cautions    []string  `json:"cautions"`
	Evidence    []Ground  `json:"evidence"` // what the items' evidence refers to
}

// Segment is a stretch of bars to practice by itself.
type Segment struct {
	Bars   [2]string     `json:"bars"` // with the neighboring bars that overlap
	Core   [2]string     `json:"core"` // where the trouble is
	Name   string        `json:"name"` // "soft and low, sudden change of level"
	Why    []string      `json:"why"`  // what was found, one sentence each, in the order of the stages
	Stage  finding.Stage `json:"stage"`
	Weight float64       `json:"weight"` // 0 to 1, see [finding.Finding]
	State  State         `json:"state"`
	// NowBPM is the tempo that is comfortable now, NowFrom what shows it.
	NowBPM  float64 `json:"now_bpm"`
	NowFrom string  `json:"now_from"`
	GoalBPM float64 `json:"goal_bpm"`
	Unit    string  `json:"unit"`
	Right   int     `json:"right_in_a_row"` // takes, the last ones
	// RetiredBy is the take that was the last of three right ones, SlippedIn the last
	// take when something slipped here in it; "" otherwise.
	RetiredBy string `json:"retired_by,omitempty"`
	SlippedIn string `json:"slipped_in,omitempty"`

	span, core Span
	found      []finding.Finding
	strong     bool
}

// State is what becomes of a segment.
type State string

// The states.
const (
	Work    State = "work"    // has visits of its own
	Retired State = "retired" // right three times in a row: met in phrases and runs alone
	InRuns  State = "runs"    // no room for visits of its own: met in phrases and runs alone
)

// inView is how many segments a player works on at a time; when some retire,
// others follow (estimate).
const inView = 12

// Make plans the days. The error says which date or number cannot be and what
// works.
func Make(m Material, t Terms) (*Plan, error) {
	if err := t.check(m); err != nil {
		return nil, err
	}
	m.Bars = m.tiring()
	m, rests := m.cutRests()
	segments := cut(m)
	// As many segments as the days hold: the lightest go first.
	for keep := min(len(segments), inView); ; keep-- {
		p := newPlanner(m, t, keepHeaviest(segments, keep))
		p.cut = rests
		p.fill()
		if keep == 0 || p.met() {
			return p.plan(), nil
		}
	}
}
