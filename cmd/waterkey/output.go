package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"waterkey/finding"
	"waterkey/prose"
)

// printJSON writes one document.
func printJSON(w io.Writer, doc any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(doc)
}

// barColumn is the width of the margin that holds bar numbers.
const barColumn = 9

// printFindings writes findings under the five stages, bars in the margin.
func printFindings(w io.Writer, fs []finding.Finding) {
	for i, stage := range finding.Stages() {
		of := []finding.Finding{}
		for _, f := range fs {
			if f.Stage == stage {
				of = append(of, f)
			}
		}
		if len(of) == 0 {
			continue
		}
		name := stage.String()
		fmt.Fprintf(w, "\n%d %s\n", i+1, strings.ToUpper(name[:1])+name[1:])
		for _, f := range of {
			margin := barMargin(f.Bars)
			for _, line := range prose.Wrap(f.Says, prose.Columns-barColumn-2) {
				fmt.Fprintf(w, "%*s  %s\n", barColumn, margin, line)
				margin = ""
			}
			for _, line := range prose.Wrap(f.Do, prose.Columns-barColumn-4) {
				fmt.Fprintf(w, "%*s    %s\n", barColumn, "", line)
			}
		}
	}
}

// barMargin is "7", "9-11", or "" when there is no bar to name.
func barMargin(bars []string) string {
	switch {
	case len(bars) == 0:
		return ""
	case len(bars) == 1 || bars[0] == bars[1]:
		return bars[0]
	}
	return bars[0] + "-" + bars[1]
}

// printLines writes a paragraph at the given indent.
func printLines(w io.Writer, indent int, text string) {
	for _, line := range prose.Wrap(text, prose.Columns-indent) {
		fmt.Fprintf(w, "%*s%s\n", indent, "", line)
	}
}

// clock is a length of time as "1:02" or "0:07".
func clock(seconds float64) string {
	s := int(seconds + 0.5)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// writeFile writes a file whole or not at all: to a neighbor first, which then
// takes its place. A link stays, and what it leads to is written; what is no file, such
// as a pipe or a device, is written to as it is.
func writeFile(path string, write func(io.Writer) error) error {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return writeThrough(path, write)
	}
	if info, err := os.Lstat(path); err == nil && info.Mode()&os.ModeSymlink != 0 {
		path = ledTo(path)
	}
	dir := filepath.Dir(path)
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return fmt.Errorf("cannot write %s: there is no folder %s; make it first", path, dir)
	}
	f, err := os.CreateTemp(dir, ".waterkey-*")
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	defer os.Remove(f.Name()) // gone already when all went well
	if err = write(f); err == nil {
		err = f.Chmod(0o644)
	}
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	return nil
}

// writeThrough writes to what stands there already.
func writeThrough(path string, write func(io.Writer) error) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err == nil {
		err = write(f)
		if cerr := f.Close(); err == nil {
			err = cerr
		}
	}
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	return nil
}

// progress shows how far long work has come, on a terminal only. The returned
// function takes a share from 0 to 1; done clears the line.
func progress(stderr io.Writer, what string) (step func(float64), done func()) {
	if t, ok := stderr.(*terminal); ok {
		stderr = t.w // the bar steers the terminal itself
	}
	f, ok := stderr.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return func(float64) {}, func() {}
	}
	const parts = 1000
	bar := progressbar.NewOptions(parts, progressbar.OptionSetWriter(f), progressbar.OptionSetDescription(what),
		progressbar.OptionClearOnFinish(), progressbar.OptionSetWidth(30), progressbar.OptionSetElapsedTime(false))
	return func(share float64) { _ = bar.Set(int(share * parts)) }, func() { _ = bar.Finish() }
}
