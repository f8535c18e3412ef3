// Package breath finds where to breathe and says whether the air lasts.
//
// Every note takes air, by a flow model over pitch and level ([Flow]); every place
// between two notes offers some room, and a price: a breath in a rest costs next to
// nothing, one in the middle of a line or at the cost of half a note is dear, one
// inside a slur is for need alone ([Rules]). Where a phrase ends is judged by the
// Local Boundary Detection Model (E. Cambouropoulos, Proc. ICMC 2001), by rests,
// marks, slurs, long notes and the place in the bar. [Solve] finds the cheapest
// breaths with which the air lasts, exactly: a dynamic program over the places whose
// labels are kept as long as none other has at least as much air for no more cost
// (the label-setting method for the shortest path with resources: Desrosiers,
// Dumas, Solomon and Soumis, Handbooks in OR & MS 8, 1995; from memory). Nothing is
// rounded to a grid.
//
// Air is in liters above what stays in the lungs when they are emptied, 0 to the
// vital capacity. No measured flow for the trombone was found: the flow model is an
// estimate between published values for trumpet and tuba. A long tone timed by the
// player ([Calibrated]) outranks it, and the player's own feeling outranks both.
package breath
