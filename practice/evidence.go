package practice

// Ground is what a choice of the plan rests on.
type Ground struct {
	ID       string `json:"id"`       // what an item's evidence names
	Choice   string `json:"choice"`   // what the plan does
	Source   string `json:"source"`   // author, title or page, year
	Strength string `json:"strength"` // in plain words, with what speaks against it
	Read     string `json:"read"`     // how the source is known: "read", "read in a page that quotes it", "from memory", "none"
}

// Grounds lists the grounds of all choices.
func Grounds() []Ground { return append([]Ground(nil), grounds...) }

var grounds = []Ground{
	{"order", "Early days follow the stages: notes, rhythm, articulation, dynamics, choices.",
		"Practice of the trade.", "Common practice; no trial known.", "none"},
	{"segments", "Trouble is practiced in short stretches that overlap their neighbors by a bar.",
		"Practice of the trade.", "Common practice; lengths are estimates.", "none"},
	{"interleaving", "Items alternate every two or three minutes and none follows itself.",
		"Carter and Grahn, Frontiers in Psychology, 2016 (10 clarinetists, 12 minutes blocked against 3-minute turns); Stambaugh, 2011 (41 beginning clarinetists).",
		"Weak and mixed. Where ratings differed they favored alternating (direction from memory); beginners showed no difference while learning; 19 students in blocked, mixed and serial order of 18 minutes (Rhode Island College) showed none at all.", "read"},
	{"spacing", "A segment returns after a night, then after longer gaps.",
		"Simmons, Journal of Research in Music Education 59, 2012 (29 musicians; 5 minutes, 6 hours, 24 hours).",
		"Moderate for a night between: accuracy gained only with 24 hours. None for minutes between: gaps of 0 to 15 minutes had no effect (Wiseheart and others, PLOS ONE, 2017). The longer gaps after that are estimates.", "read"},
	{"tempos", "Slow and goal tempo alternate, and both are met from the first days.",
		"The Practice of Practice, Practicing tempo, 2009.", "Weak: studies as that page tells them. Only the goal tempo was least accurate, alternating was favored; how much, it does not say here.", "read in a page that quotes it"},
	{"model", "The reference is heard before the first note.",
		"The Practice of Practice, Practicing tempo, 2009.", "Weak: a model helped, as that page tells it.", "read in a page that quotes it"},
	{"right", "Few turns; only those that were right count, and two wrong ones in a row ask for a slower tempo.",
		"Duke, Simmons and Cash, Journal of Research in Music Education 56, 2009 (17 pianists).",
		"Moderate, from one small study: what stayed the next day went with the share of right turns, not with time or number of turns (|r| about 0.5 to 0.7).", "read"},
	{"phrases", "Segments are joined to whole phrases before the whole part is run.",
		"Practice of the trade.", "Common practice; no trial known.", "none"},
	{"runs", "The whole part is run in the middle days, and every day late.",
		"Practice of the trade.", "Common practice; no trial known.", "none"},
	{"mock-takes", "Late days have mock takes under the conditions of the day.",
		"Practice of the trade.", "Common practice; no trial known. Number of takes: estimate.", "none"},
	{"listening", "Runs and takes are recorded, heard with the page, and sent to somebody else.",
		"Bergee, 1997.", "Moderate: players' own judgment went poorly with that of others.", "read"},
	{"rest", "After hard playing, rest as long as you played; after easy playing, half of that.",
		"wilktone.com, rest as much as you play.", "Tradition among brass teachers; no trial. The half is an estimate.", "read"},
	{"pauses", "Five minutes after at most twenty-five, which is ten in an hour.",
		"musiciansway.com, Taking breaks, 2011.", "Advice; no trial.", "read"},
	{"day-off", "One day a week off, unless seven were asked for.",
		"J. Horvath in the Daily Herald, 2009.", "Advice; no trial.", "read"},
	{"day-before", "The day before is lighter.",
		"J. Horvath in the Daily Herald, 2009.", "Advice; no trial. Half of the minutes is an estimate.", "read"},
	{"growth", "Playing grows by about 15 % a week, and no day has more than 20 % above the average day of the week before.",
		"R. Manchester, as quoted on musiciansway.com, Safely increasing practice time, 2013.", "Advice: at most 10 to 20 %; no trial.", "read in a page that quotes it"},
	{"strength", "Loud and high places are practiced at mezzo forte; a day has at most five minutes at full strength, or one run.",
		"Practice of the trade; NIOSH, 1998, for hearing.", "Common practice; the five minutes are an estimate.", "none"},
	{"warm-up", "Every day starts with a warm-up that leads into the part.",
		"Practice of the trade.", "Common practice; length is an estimate.", "none"},
	{"retire", "What is right three times in a row retires; what slips returns.",
		"Practice of the trade.", "Common practice; three is an estimate.", "none"},
}
