package score

import "testing"

func TestPlain(t *testing.T) {
	for text, want := range map[string]string{
		"Lantern Song":                "Lantern Song",
		" two\n lines\tand a tab ":    "two lines and a tab",
		"\x1b]0;owned\a red \x1b[31m": "]0;owned red [31m",
		"C1 \u009b31m and DEL \x7f.":  "C1 31m and DEL .",
		"B\u266d and \u00fcber stay":  "B\u266d and \u00fcber stay",
	} {
		if got := Plain(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}
