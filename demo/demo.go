// Package demo holds the music of an invented audition season: three short
// trombone parts composed for this project, under the project's license
// (Apache-2.0). The Lanternport Harbor Brass that asks for them does not exist.
//
//   - harbor-parade: a march in cut time for tenor trombone with F attachment.
//   - lantern-song: a slow song for tenor trombone, bass and tenor clef.
//   - iron-quay: low and loud, for bass trombone with two valves.
//
// Each part has the traps of real audition music: a rest that is easily
// swallowed, one tenuto in a run of staccato, a glissando that stays on one
// partial (C3 to F3, sixth position to first) and one that no slide can play
// (D3 to G3, a different partial of the same position).
//
// [Recordings] are takes of these parts by invented candidates over three weeks, with
// faults that mend: sung by package trombone from recorded notes, in a room. [Take]
// is one take with more faults, of synthetic sound, that needs no recorded notes.
package demo

import (
	"embed"
	"fmt"
	"path"
	"strings"
)

//go:embed season/*.musicxml
var season embed.FS

// Files lists the names of the parts, sorted.
func Files() []string {
	entries, err := season.ReadDir("season")
	if err != nil {
		panic(err) // the folder is part of the build
	}
	names := make([]string, 0, len(entries))
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// Open returns the MusicXML of the part called name, one of Files.
func Open(name string) ([]byte, error) {
	data, err := season.ReadFile(path.Join("season", name))
	if err != nil {
		return nil, fmt.Errorf("no demo part %q; there are %s", name, strings.Join(Files(), ", "))
	}
	return data, nil
}
