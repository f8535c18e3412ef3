// Package room adds to the sound of playing what a microphone hears beside it:
// the room's answer, its noise, and breath drawn in. Samples are full scale at 1;
// everything random comes from the generator that is passed in.
package room
