package practice

import "waterkey/finding"

// The sentences of a plan that go round. All of them are common practice of
// teachers, none is a result of a study.

// ways are what to do at a stage beyond what the page itself asks for.
var ways = map[finding.Stage][]string{
	finding.Notes: {
		"Sing it, then play it; stop on any note you would not sign.",
		"Hold the notes on either side of every change until both ring alike, then in time.",
		"From the end: the last two notes, the last three, then the whole.",
	},
	finding.Rhythm: {
		"Speak it and tap the beat, then on one pitch, then as written.",
		"Click on every second beat only; you keep the other one.",
		"Play it, then rest exactly as long and think it: the beat must still be there.",
	},
	finding.Articulation: {
		"On one pitch with the page's articulation, then as written.",
		"Air and tongue without the horn first, then play what you just did.",
		"Listen to the ends of the notes alone: they are what the panel hears as style.",
	},
	finding.Dynamics: {
		"Twice the contrast first, then as much as is musical.",
		"Start with the softer side, and find the louder one from there.",
	},
	finding.Choices: {
		"With the breaths as they are marked, and no other.",
		"Know the note it leads to before you start, and let everything lead there.",
	},
}

// together are for segments whose every stage has had its turn.
var together = []string{
	"All of it together now; count only the turns that were right.",
	"Hear the whole of it in your head first, then play just that.",
	"Turn the page face down: by heart, then check what you changed.",
	"One turn for the notes, the next for the rhythm, the last for the music.",
	"Sing it with the beat in your foot, then play what you sang.",
	"The first note right from silence, every turn; half of a panel's opinion is made there.",
	"Listen only to how the notes end.",
	"Say aloud what you will do before each turn, and afterwards whether you did.",
	"Record the second turn and listen before the third.",
	"As part of the music: play the bar before it in your head and come in.",
}

// again are for the second visit of a day, by the stage that the first one was
// about.
var again = map[finding.Stage][]string{
	finding.Notes: {
		"Again, cold: the first note is the one that counts.",
		"Back to it: sing the first turn, play the others.",
		"Once more, with the eyes closed for the hardest move.",
		"Again; write down which notes were not yours to sign.",
	},
	finding.Rhythm: {
		"Again, with the foot quiet and the beat inside.",
		"Back to it: speak the first turn, play the others.",
		"Once more, against the click on the off beats.",
		"Again; record one turn and hold it against the click.",
	},
	finding.Articulation: {
		"Again: on one pitch first, then as written.",
		"Back to it, and listen to the fronts of the notes alone.",
		"Once more; record one turn and listen to the lengths.",
	},
	finding.Dynamics: {
		"Again; record one turn from across the room: is the contrast still there?",
		"Back to it: the softest note first, so that it speaks.",
		"Once more, and the level alone: the notes are known.",
	},
	finding.Choices: {
		"Again, with the breath where it is marked and the line across it.",
		"Back to it: where does it lead? Play that.",
	},
}

// againAll are for the second visit when all stages have had their turn.
var againAll = []string{
	"Again, cold: the first turn is the one that counts.",
	"Back to it; write down how many turns were right.",
	"Once more after the other work: it should start where you left it.",
	"A second look: do by ear what you did by thinking.",
	"Again, softer, and everything still there.",
	"Once more, as if somebody had just come in to listen.",
}

// firstGoal is for the second visit of a segment's first day, when the goal tempo
// may be far away.
var firstGoal = []string{
	"Again. The turns at %s are there to know where it goes: play through them and mend nothing; the slow ones are to be right.",
	"Again. At %s keep the beat and play what comes; stop and mend in the slow turns alone.",
	"Again. At %s only the beat and the direction count; the notes count in the slow turns.",
}

// spot are for the last days.
var spot = []string{
	"At tempo, first turn right; the slow ones only to confirm it.",
	"As if the red light were on: count in, one go, then mend.",
	"Come in from silence, at tempo, with the right character at once.",
	"Once at tempo before you think about it; then say what it was.",
	"The first turn is a take. What would you write down?",
	"At tempo and at ease: half the effort, all of the notes.",
}

var lightSpot = []string{
	"Softly and slowly, for the sound alone; leave it while it is good.",
	"Easy and slow; nothing new today.",
	"Slowly, and enjoy that you know it.",
}

var beforeTakes = []string{
	"At tempo, slowly, at tempo; then leave it alone.",
	"The same here, and no more: save the lip for the takes.",
}

// fullLine is for phrases with trouble in them, plainLine for those without.
var fullLine = []string{
	"The hard bars are no slower and no louder here for being hard.",
	"Sung once as one line, then played as it was sung.",
	"Breathe where it is marked, and nowhere else.",
	"Choose the note it leads to, and let all the others go there.",
	"Come in as if the phrase before had just ended.",
	"Play it to the last row of the hall without playing it louder.",
	"Softer than written first: the line has to hold by itself.",
}

var plainLine = []string{
	"No traps here: for the sound and the line.",
	"Easy bars, played as well as the hard ones.",
	"The character first; the notes take care of themselves here.",
}

var lateLine = []string{
	"At tempo, for the music alone.",
	"One line, one direction, the end as good as the start.",
	"As it should sound in the hall.",
	"With the phrase before it in your ear.",
	"Once for the line, once for the sound.",
}

// sectionWords are for several phrases in one go.
var sectionWords = []string{
	"In one go, as in the take; what breaks in the first turn is named in the rest and played through in the second.",
	"Without stopping. Know the first note of every phrase before the one before it ends.",
	"From silence, at tempo, to its last note: the breaths of the take, and its rests counted in full.",
	"The first turn for what comes next, the second for what is heard.",
}

var awayWords = []string{
	"Without the horn: read the page from start to end. Mark breaths and positions, say the rhythm of the hard bars, and listen to the reference once with the page in hand.",
}

var listenWords = []string{
	"Record one run, slow enough to get through, without stopping; keep it, and send it to your coach.",
	"Record one run and hold it against last week's: name one thing that is better and one to mend.",
	"Record one run for your coach; what slips in it comes back next week.",
}

var runWords = []string{
	"The whole part without stopping; what slips is left behind and looked at afterwards.",
	"From start to end, thinking one bar ahead all the way.",
	"Breaths as marked, rests counted to their full length.",
	"Play on whatever happens: what you do after a slip is practiced here as well.",
}

const lightRunWords = "Once through, at ease and no louder than mezzo forte, and trust it. Then put the horn away until tomorrow."

var mockWords = []string{
	"Mock take: walk in, breathe, count a bar, play it once for the recording, whatever happens. Then sit down and listen with the page.",
	"Mock take, as on the day: one chance. Listen back before you judge.",
	"Mock take for somebody who listens, or for the camera. Write down three things, in the order notes, rhythm, articulation, dynamics.",
}

var mockAgain = []string{
	"A second take, with one thing changed and all else as it was.",
	"Another one, for the line and the sound only.",
}

const mockLast = "Last take of the day: perform it."

var realWords = []string{
	"First take: to get it on record, safe and whole.",
	"Second take: the same, with more line.",
	"Third take: take the risks you kept from the first two.",
	"Another only if you know what it is to do better.",
	"The last one, if the lip is fresh; otherwise stop here and choose.",
}
