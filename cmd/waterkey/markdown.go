package main

import (
	"fmt"
	"io"
	"strings"

	"waterkey/brass"
	"waterkey/desk"
	"waterkey/finding"
)

// markdownRead writes the walk as Markdown, for a lesson plan or a mail.
func markdownRead(w io.Writer, in *brass.Instrument, d desk.ReadDocument) {
	title := heading(d.Title, d.Part)
	if title == "" {
		title = "Untitled"
	}
	fmt.Fprintf(w, "# %s\n\n%s\n", escape(title), escape(summary(in, d)))
	for i, stage := range finding.Stages() {
		first := true
		for _, f := range d.Findings {
			if f.Stage != stage {
				continue
			}
			if first {
				name := stage.String()
				fmt.Fprintf(w, "\n## %d %s\n\n", i+1, strings.ToUpper(name[:1])+name[1:])
				first = false
			}
			fmt.Fprintf(w, "- **%s** %s *%s*\n", markdownBars(f.Bars), escape(f.Says), escape(f.Do))
		}
	}
	fmt.Fprintln(w)
	for _, c := range d.Cautions {
		fmt.Fprintf(w, "> %s\n", escape(c))
	}
	if len(d.PassedOver) > 0 {
		fmt.Fprint(w, "\nPassed over in the file:\n\n")
		for _, s := range d.PassedOver {
			fmt.Fprintf(w, "- %s\n", escape(s))
		}
	}
}

// escaper keeps text of the file from being read as Markdown.
var escaper = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "<", `\<`, "[", `\[`, "#", `\#`, "|", `\|`, "\n", " ")

func escape(s string) string { return escaper.Replace(s) }

// markdownBars is "Bar 7." or "Bars 9-11."
func markdownBars(bars []string) string {
	m := barMargin(bars)
	switch {
	case m == "":
		return ""
	case strings.Contains(m, "-"):
		return "Bars " + m + "."
	}
	return "Bar " + m + "."
}
