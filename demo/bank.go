package demo

import (
	"io/fs"

	"waterkey/demo/trombone"
)

// Credit names the recorded notes that the takes are sung from, as their license
// asks.
const Credit = "sung from recorded trombone notes of tonejs-instruments (Makefully Studios; npm package tonejs-instrument-trombone-mp3 1.1.2), CC BY 3.0, here cut, tuned and joined"

// Bank is the recorded notes.
type Bank = trombone.Bank

// NewBank reads the recorded notes out of a folder with the package's files.
func NewBank(notes fs.FS) (*Bank, error) {
	return trombone.NewBank(trombone.Source{Name: "tonejs-instrument-trombone-mp3", Files: notes, Match: "*.mp3", MIDI: trombone.SharpName, Even: true})
}
