package main

import (
	"bytes"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// update writes the outputs shown in the README afresh instead of comparing.
var update = flag.Bool("update", false, "rewrite the outputs shown in README.md")

// example is a command of the README and the output shown below it.
type example struct {
	command string
	remark  string // behind the command: "bar 14" shows that bar's notes only, "breaths" the breaths
	output  []string
}

// args are the words after the program's name.
func (e example) args() []string { return strings.Fields(e.command) }

// shown is what the README shows of an output.
func (e example) shown(output string) []string {
	lines := strings.Split(strings.TrimRight(output, "\n"), "\n")
	if e.remark == "breaths" {
		from := slices.Index(lines, "Breaths")
		return lines[from : from+slices.Index(lines[from:], "")]
	}
	bar, ok := strings.CutPrefix(e.remark, "bar ")
	if !ok {
		return lines
	}
	var out []string
	inside := false
	for _, line := range lines {
		number := strings.TrimSpace(line[:min(5, len(line))])
		switch {
		case line == "Breaths":
			return out
		case number == "bar":
			out = append(out, line)
		case number != "":
			inside = number == bar
		}
		if inside {
			out = append(out, line)
		}
	}
	return out
}

const readme = "../../README.md"

// readExamples cuts the README into its examples and the text between: text[i]
// stands before example i.
func readExamples(t *testing.T) (text []string, all []example) {
	t.Helper()
	data, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	text = []string{""}
	inside := false
	for _, line := range strings.SplitAfter(string(data), "\n") {
		body, indented := strings.CutPrefix(line, "    ")
		body = strings.TrimRight(body, "\n")
		if command, ok := strings.CutPrefix(body, "$ bin/waterkey "); indented && ok {
			command, remark, _ := strings.Cut(command, "#")
			all = append(all, example{command: command, remark: strings.TrimSpace(remark)})
			text = append(text, "")
			inside = true
			continue
		}
		if inside = inside && (indented || body == ""); inside {
			all[len(all)-1].output = append(all[len(all)-1].output, body)
			continue
		}
		text[len(text)-1] += line
	}
	return text, all
}

// trimmed drops blank lines at the end.
func trimmed(lines []string) string { return strings.TrimRight(strings.Join(lines, "\n"), "\n") }

// TestReadmeIsTrue runs the commands of the README and compares what they print.
func TestReadmeIsTrue(t *testing.T) {
	text, all := readExamples(t)
	if len(all) < 5 {
		t.Fatalf("%d examples in the README; the reader of it is wrong", len(all))
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	t.Chdir(dir)
	render := exec.Command("go", "run", "./demo/render", filepath.Join(dir, "out"))
	render.Dir = root
	if out, err := render.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	fresh := text[0]
	for i, e := range all {
		var stdout, stderr bytes.Buffer
		if code := run(e.args(), &stdout, &stderr); code != 0 {
			t.Fatalf("%s: exit %d: %s", e.command, code, stderr.String())
		}
		got := e.shown(stdout.String())
		if g, want := trimmed(got), trimmed(e.output); g != want && !*update {
			t.Errorf("%s prints\n%s\nthe README shows\n%s", e.command, g, want)
		}
		fresh += block(e, got) + text[i+1]
	}
	if *update {
		if err := os.WriteFile(filepath.Join(root, "README.md"), []byte(fresh), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// block is an example as the README shows it, with the blank line after it.
func block(e example, output []string) string {
	head := "    $ bin/waterkey " + e.command
	if e.remark != "" {
		head += "# " + e.remark
	}
	var b strings.Builder
	b.WriteString(head + "\n")
	for _, line := range output {
		if line != "" {
			line = "    " + line
		}
		b.WriteString(line + "\n")
	}
	return b.String() + "\n"
}
