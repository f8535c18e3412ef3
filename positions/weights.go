package positions

// Weights of a way by itself.
const (
	// An alternate is "thinner, less centered" (D. Mathie, trombone.org, 2021),
	// which a long note shows more than a short one. Amounts: estimate, set so
	// that first choices hold from quarter notes at a march tempo on and yield in
	// quick figures.
	alternateCost       = 0.2
	alternateCostPerSec = 1.7 // for each second of the note, up to alternateSeconds
	alternateSeconds    = 2.0
	// Each cent that the slide cannot correct costs a little (estimate).
	offCostPerCent = 0.01
	// Finding a raised or lowered position costs a little for each cm of lean
	// (estimate).
	leanCostPerCM = 0.03
	// The seventh partial and its neighbors lie close together and the seventh is
	// far from pitch; above the eighth, partials are a whole step apart or less;
	// with the valve, partials from the fifth up crowd in the same way a fourth
	// lower and speak less freely (common practice: the attachment is for the low
	// register). Amounts: estimate.
	seventhCost      = 0.1
	narrowCost       = 0.05 // for each partial above the eighth
	widestNarrow     = 8
	highValveCost    = 0.3
	highValvePartial = 5
	// Two valves down put more than half as much tube again behind the slide,
	// which makes the horn stuffy: an alternate that needs both costs more (common
	// practice: the pair is for the notes below the F side). Amount: estimate.
	bothValvesCost = 0.3
	// The attachment is there to save the long way (Wikibooks, "Trombone/Slide
	// Positions": it replaces sixth and seventh), so an alternate with it that is
	// further out than the usual way is rare. Amount: estimate.
	detourCost = 0.6
	// Charts mark alternates on the partials up to the sixth (Wikibooks,
	// "Trombone/Slide Positions"); from the seventh on they are for trills and
	// color. Amount: estimate.
	highAlternateCost    = 0.3
	highAlternatePartial = 7
	// Beyond a comfortable reach each cm costs (estimate).
	stretchCostPerCM = 0.03
)

// AdultReachCM is how far out an adult's arm goes without stretching, in cm from
// the closed slide: about to sixth position (estimate).
const AdultReachCM = 45.0

// Weights of a move of the slide.
const (
	// comfortableSpeed is a peak slide speed that costs an effort of
	// speedCost, in cm/s. No measured value was found; estimate: a slurred
	// whole step, first to third, in the time of a legato tongue.
	comfortableSpeed = 300.0
	speedCost        = 0.5
	// lateEffort is the effort from which the slide comes late whatever the arm
	// does: the cost then grows with the lateness and no more with the square
	// (estimate; two thirds of what counts as a trap).
	lateEffort      = 1.5
	travelCostPerCM = 0.004 // a shorter way is better all else being equal (estimate)
	// legatoFactor makes a move under a slur dearer: it must be over before the
	// ear takes it for a glissando (common practice; amount: estimate).
	legatoFactor = 1.25
	// turnCost is turning the slide around without a stop between, where there is
	// no time at all; it halves when there are turnSeconds for the move (kind:
	// D. Clason, Trombone-L, 2009; amounts: estimate).
	turnCost    = 0.1
	turnSeconds = 0.15
	// valveCost is the thumb's work, more when it must meet a fast note: it
	// doubles when the time for the change shrinks to valveSeconds. thumbSlideCost
	// is added when the slide moves at the same time (estimates).
	valveCost      = 0.35
	valveSeconds   = 0.15
	thumbSlideCost = 0.1
	// smearCost is a slur over a slide move on one partial, which must be hidden
	// with a legato tongue; againstGrainCost one that crosses partials with the
	// slide moving the same way as the pitch. Both kinds are tongued (trombone.org,
	// "Playing Legato on the Trombone: A Primer"); amounts: estimate.
	smearCost        = 0.15
	againstGrainCost = 0.05
	// brokenGlissCost is a glissando that the two ways cannot connect. It is
	// larger than any sum of other terms between two notes, so that a playable
	// glissando is always played (rule: one partial, one valve state).
	brokenGlissCost = 1000.0
	// A change of color shows between notes of at least toneSeconds with less
	// than toneGapSeconds between them: most when one pitch is held twice, less
	// when a slur joins two pitches (kind: D. Mathie, trombone.org, 2021, on the
	// sound of alternates; amounts: estimate).
	toneSeconds    = 0.5
	toneGapSeconds = 0.5
	samePitchTone  = 0.5
	phraseTone     = 0.1
)

// Weights of a fingering on valve brass. All amounts are estimates.
const (
	fingerCost = 0.05 // for each finger that moves (from memory)
	// crossCost is a change in which one finger goes down while another comes up
	// (from memory: method books drill these).
	crossCost = 0.1
	// ringCost is the ring finger, which is the weakest, moving without the
	// middle one (from memory: 1-2 to 1-3 and open to 2-3 are drilled most).
	ringCost = 0.05
	// fingerSeconds is the time at which a finger change costs twice as much as
	// one with time to spare.
	fingerSeconds = 0.08
)

// Time for a move.
const (
	// The slide may leave a note before its end and arrive within the next
	// attack: this share of the note's value, at most moveOverlapSeconds, is
	// lent to the move (estimate: in quick notes the slide is under way half the
	// time).
	moveOverlapShare   = 0.5
	moveOverlapSeconds = 0.12
	// minMoveSeconds keeps times of grace notes from vanishing (estimate).
	minMoveSeconds = 0.02
	// peakOverMean is the peak speed of a minimum-jerk motion over its mean:
	// 15/8 (Flash and Hogan, Journal of Neuroscience 5, 1985; from memory, and
	// calculated from the fifth-order polynomial).
	peakOverMean = 1.875
)
