package desk

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"runtime"
	"testing"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/hear"
)

var update = flag.Bool("update", false, "write the drawing of the demo take anew")

// Regression: the drawing in the documentation is what the program draws of the
// demo take.
func TestTheDrawingInTheDocsIsCurrent(t *testing.T) {
	const path = "../docs/listening-take.svg"
	clip, err := demo.Take()
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := audio.WriteWAV(&file, clip); err != nil {
		t.Fatal(err)
	}
	r, err := audio.NewReader("take.wav", &file)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	p := prepare(t, demoPart(t, demo.TakePart), "tenor-f")
	take, err := hear.ListenTo(p.Played, r, p.listening(hear.Options{}))
	if err != nil {
		t.Fatal(err)
	}
	var got bytes.Buffer
	if err := take.WriteSVG(&got, 0, len(take.Notes)-1); err != nil {
		t.Fatal(err)
	}
	for d := xml.NewDecoder(bytes.NewReader(got.Bytes())); ; {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal("no well-formed XML: ", err)
		}
	}
	if *update {
		if err := os.WriteFile(path, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if runtime.GOARCH != "amd64" {
		t.Skip("drawn on amd64; another processor rounds otherwise")
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("%s is not what is drawn now; run go test ./desk -run Drawing -update", path)
	}
	if err := take.WriteSVG(io.Discard, 5, len(take.Notes)); err == nil {
		t.Error("notes that are not there are drawn")
	}
}
