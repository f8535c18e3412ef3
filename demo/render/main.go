// Render writes the demo season into a folder: the parts, and a take of one of
// them with planted faults.
//
//	go run ./demo/render out
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"waterkey/audio"
	"waterkey/demo"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: render FOLDER")
		os.Exit(2)
	}
	if err := render(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "render:", err)
		os.Exit(1)
	}
}

func render(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for _, name := range demo.Files() {
		data, err := demo.Open(name)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return err
		}
	}
	take, err := demo.Take()
	if err != nil {
		return err
	}
	f, err := os.Create(filepath.Join(dir, strings.TrimSuffix(demo.TakePart, ".musicxml")+"-take.wav"))
	if err != nil {
		return err
	}
	if err := audio.WriteWAV(f, take); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
