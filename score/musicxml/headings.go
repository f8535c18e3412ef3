package musicxml

import (
	"strings"

	"waterkey/score"
)

// headings are the title and the composer: from the header, and as a last
// resort from the words printed on the first page.
func headings(root *element) (title, composer string) {
	work := score.Plain(root.child("work").child("work-title").value())
	title = score.Plain(root.child("movement-title").value())
	switch {
	case title == "":
		title = work
	case work != "" && work != title:
		title = work + ", " + title // "Allegro" alone names no piece
	}
	if title == "" {
		title = credit(root, "title")
	}
	for _, c := range root.child("identification").all("creator") {
		if composer == "" && (c.attr("type") == "composer" || c.attr("type") == "") {
			composer = score.Plain(c.value())
		}
	}
	if composer == "" {
		composer = credit(root, "composer")
	}
	return title, composer
}

// credit is the first printed text of a type. Untyped words are taken for the
// title when nothing is typed.
func credit(root *element, kind string) string {
	untyped := ""
	for _, c := range root.all("credit") {
		var words strings.Builder
		for _, w := range c.all("credit-words") {
			words.WriteString(w.text)
		}
		if c.child("credit-type").value() == kind {
			return score.Plain(words.String())
		}
		if !c.has("credit-type") && untyped == "" {
			untyped = score.Plain(words.String())
		}
	}
	if kind == "title" {
		return untyped
	}
	return ""
}
