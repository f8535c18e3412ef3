package brass

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestProfileOfAFile(t *testing.T) {
	const file = `{
  "instrument": "tenor-f",
  "name": "my <old> horn",
  "partial_cents": {
    "5": 8,
    "10": -2.5
  },
  "valve_cents": {
    "F": -5
  },
  "slide_max_cm": 60,
  "reach_cm": 52
}
`
	p, err := ReadProfile(strings.NewReader(file), "horn.json")
	if err != nil {
		t.Fatal(err)
	}
	want := Profile{"tenor-f", "my <old> horn", map[int]float64{5: 8, 10: -2.5}, map[string]float64{"F": -5}, 60, 52}
	if diff := cmp.Diff(want, p); diff != "" {
		t.Error(diff)
	}
	var out bytes.Buffer
	if err := WriteProfile(&out, p); err != nil || out.String() != file {
		t.Errorf("written (%v):\n%s", err, out.String())
	}
}

// TestFaultyProfiles looks at every kind of fault: the error names file, line, field,
// value, limit and what works.
func TestFaultyProfiles(t *testing.T) {
	for _, c := range []struct{ file, want string }{
		{"", "horn.json, line 1: the file ends in the middle"},
		{"{\n\"instrument\": \"tenor\"", "horn.json, line 2: the file ends in the middle"},
		{"{}", `horn.json: instrument: instrument "" is not known; there are alto, tenor`},
		{"[1]", "horn.json, line 1: profile: [ is not an object"},
		{"{\n\"instrument\": \"kazoo\"}", `horn.json, line 2: instrument: instrument "kazoo" is not known; there are`},
		{"{\n\"instrument\": 5}", `horn.json, line 2: instrument: 5 is not a text, such as "tenor-f"`},
		{"{\"instrument\": \"tenor\",\n\n\"color\": 1}", "horn.json, line 3: color: no field of a profile; there are instrument, name, partial_cents"},
		{"{\"instrument\": \"tenor\",\n\"instrument\": \"alto\"}", "horn.json, line 2: instrument: stands twice, first in line 1"},
		{"{\"instrument\": \"tenor\",\n\"slide_max_cm\": 200}", "horn.json, line 2: slide_max_cm: 200 cm lies outside 20 to 80; a value that works is 64"},
		{"{\"instrument\": \"tenor\",\n\"slide_max_cm\": 0}", "horn.json, line 2: slide_max_cm: 0 cm lies outside 20 to 80"},
		{"{\"instrument\": \"tenor\",\n\"reach_cm\": 1e999}", "horn.json, line 2: reach_cm: 1e999 is too large a number; a value that works is 45"},
		{"{\"instrument\": \"tenor\",\n\"reach_cm\": NaN}", "horn.json, line 2: not JSON here: invalid character 'N'"},
		{"{\"instrument\": \"tenor\",\n\"reach_cm\": \"52\"}", `horn.json, line 2: reach_cm: "52" is not a number, such as 45`},
		{"{\"instrument\": \"tuba-f\",\n\"reach_cm\": 50}", "horn.json, line 2: reach_cm: a F tuba has no slide; leave reach_cm out"},
		{"{\"instrument\": \"tenor\",\n\"partial_cents\": {\n\"5\": 51}}", "horn.json, line 3: partial_cents/5: 51 cents lies outside -50 to 50; a value that works is 5"},
		{"{\"instrument\": \"tenor\",\n\"partial_cents\": {\n\"13\": 1}}", "horn.json, line 3: partial_cents/13: there is no partial 13; partials run from 1 to 12"},
		{"{\"instrument\": \"tenor\",\n\"partial_cents\": {\n\"fifth\": 1}}", `horn.json, line 3: partial_cents/fifth: "fifth" is not the number of a partial; write it as "5"`},
		{"{\"instrument\": \"tenor\",\n\"partial_cents\": 5}", `horn.json, line 2: partial_cents: 5 is not an object, such as {"5": 8}`},
		{"{\"instrument\": \"tenor\",\n\"valve_cents\": {\"F\": 1}}", "horn.json, line 2: valve_cents/F: a tenor trombone has no valves; leave valve_cents out"},
		{"{\"instrument\": \"bass\",\n\"valve_cents\": {\"G\": 1}}", `line 2: valve_cents/G: a bass trombone with independent F and G flat valves has no valve "G"; it has F, Gb, F+Gb`},
		{"{\"instrument\": \"baritone\",\n\"valve_cents\": {\"3\": -101}}", "horn.json, line 2: valve_cents/3: -101 cents lies outside -100 to 100"},
		{"{\"instrument\": \"tenor\",\n\"name\": \"a\\nb\"}", `horn.json, line 2: name: "a\nb" has signs that cannot be printed`},
		{"{\"instrument\": \"tenor\",\n\"name\": \"" + strings.Repeat("a", 61) + "\"}", "horn.json, line 2: name: 61 letters are too many; at most 60"},
		{"{\"instrument\": \"tenor\"}\n{}", "horn.json, line 2: there is more after the end of the profile"},
		{"{\"instrument\": \"tenor\"," + strings.Repeat(" ", maxProfileBytes) + "}", "horn.json: longer than 65536 bytes"},
	} {
		p, err := ReadProfile(strings.NewReader(c.file), "horn.json")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.80q: error %v, want %q", c.file, err, c.want)
		}
		if !cmp.Equal(p, Profile{}) {
			t.Errorf("%.80q: an error, and %+v", c.file, p)
		}
	}
}

// anyProfile draws a profile that may be written.
func anyProfile(t *rapid.T) Profile {
	in, err := Named(rapid.SampledFrom(Names()).Draw(t, "instrument"))
	if err != nil {
		t.Fatal(err)
	}
	p := Profile{Instrument: in.Name, Name: rapid.StringMatching(`[A-Za-z0-9 äöü♭"\\<>&]{0,60}`).Draw(t, "name")}
	p.PartialCents = rapid.MapOfN(rapid.IntRange(1, HighestPartial), rapid.Float64Range(-maxPartialCents, maxPartialCents), 1, 8).Draw(t, "partials")
	if names := in.tunable(); len(names) > 0 {
		p.ValveCents = rapid.MapOfN(rapid.SampledFrom(names), rapid.Float64Range(-maxValveCents, maxValveCents), 1, len(names)).Draw(t, "valves")
	}
	if in.Slide() {
		p.SlideMaxCM = rapid.Float64Range(minSlideCM, maxSlideCM).Draw(t, "slide")
		p.ReachCM = rapid.Float64Range(minSlideCM, maxSlideCM).Draw(t, "reach")
	}
	return p
}

func TestProfilesSurviveWritingAndReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProfile(t)
		var first, second bytes.Buffer
		if err := WriteProfile(&first, p); err != nil {
			t.Fatal(err)
		}
		q, err := ReadProfile(bytes.NewReader(first.Bytes()), "x")
		if err != nil {
			t.Fatalf("%v\n%s", err, first.String())
		}
		if diff := cmp.Diff(p, q); diff != "" {
			t.Fatal(diff)
		}
		if err := WriteProfile(&second, q); err != nil || second.String() != first.String() {
			t.Fatalf("written again (%v):\n%s\n%s", err, first.String(), second.String())
		}
	})
}

func FuzzReadProfile(f *testing.F) {
	f.Add([]byte(`{"instrument":"bass","partial_cents":{"5":8},"valve_cents":{"F+Gb":-5},"reach_cm":45}`))
	f.Add([]byte(`{"instrument":"tuba-c","valve_cents":{"5":-50}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ReadProfile(bytes.NewReader(data), "x")
		if err != nil {
			if !cmp.Equal(p, Profile{}) {
				t.Fatalf("%v and %+v", err, p)
			}
			return
		}
		if err := WriteProfile(&bytes.Buffer{}, p); err != nil {
			t.Fatalf("read and not written: %v", err)
		}
	})
}

func TestRefusedBeforeWriting(t *testing.T) {
	for _, p := range []Profile{
		{Instrument: "tenor", SlideMaxCM: math.NaN()},
		{Instrument: "tenor", ReachCM: math.Inf(1)},
		{Instrument: "tenor", PartialCents: map[int]float64{5: math.NaN()}},
		{Instrument: "tenor", Name: "\xff"},
		{Instrument: "kazoo"},
	} {
		var out bytes.Buffer
		if err := WriteProfile(&out, p); err == nil || out.Len() > 0 {
			t.Errorf("%+v is written: %s", p, out.String())
		}
		in := named(t, "tenor")
		if got, err := p.Apply(in); err == nil || got != nil {
			t.Errorf("%+v is applied", p)
		}
	}
}

func TestDefaultProfileChangesNothing(t *testing.T) {
	const roundedCents = 0.05 // profiles give tenths
	for _, name := range Names() {
		in := named(t, name)
		out, err := DefaultProfile(in).Apply(in)
		if err != nil {
			t.Fatal(err)
		}
		for midi := in.Fundamental.MIDI() - 12; midi <= in.Highest().MIDI(); midi++ {
			p := pitchOf(midi)
			a, b := in.Ways(p), out.Ways(p)
			if len(a) != len(b) {
				t.Fatalf("%s %s: %d ways and %d", name, p, len(a), len(b))
			}
			for i := range a {
				if a[i].Label != b[i].Label || math.Abs(a[i].LeanCents-b[i].LeanCents) > 4*roundedCents {
					t.Errorf("%s %s: %+v is now %+v", name, p, a[i], b[i])
				}
			}
		}
	}
}

func TestApplyLeavesTheOriginal(t *testing.T) {
	for name, p := range map[string]Profile{
		"bass":     {Instrument: "bass", PartialCents: map[int]float64{5: 10}, ValveCents: map[string]float64{"F": -20}, SlideMaxCM: 50},
		"tuba-eb":  {Instrument: "tuba-eb", ValveCents: map[string]float64{"4": -20}},
		"baritone": {Instrument: "baritone", PartialCents: map[int]float64{6: 10}},
	} {
		in := named(t, name)
		out, err := p.Apply(in)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(named(t, name), in, cmp.AllowUnexported(Instrument{}, practice{})); diff != "" {
			t.Errorf("%s has changed:\n%s", name, diff)
		}
		if cmp.Equal(in, out, cmp.AllowUnexported(Instrument{}, practice{})) {
			t.Errorf("%s: nothing is applied", name)
		}
	}
	if _, err := (Profile{Instrument: "alto"}).Apply(named(t, "tenor")); err == nil || !strings.Contains(err.Error(), "is for alto, not for tenor") {
		t.Errorf("an alto's profile on a tenor: %v", err)
	}
}

// TestProfileMovesTheSlide follows each value of a profile to the note it changes;
// the amounts are calculated.
func TestProfileMovesTheSlide(t *testing.T) {
	in := named(t, "tenor-f")
	apply := func(p Profile) *Instrument {
		p.Instrument = in.Name
		out, err := p.Apply(in)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	// A sixth partial 10 cents sharp needs 0.82 cm in first at L = 2.84 m; the
	// partial's own 2 cents make it 0.98.
	sharp := apply(Profile{PartialCents: map[int]float64{6: 10}}).Ways(pitch(t, "F4"))[0]
	if math.Abs(sharp.LeanCM-0.98) > 0.01 {
		t.Errorf("F4: %+v", sharp)
	}
	// An F side of 379.1 cm tuned 20 cents sharp is 4.35 cm short, 2.18 cm of slide.
	f := apply(Profile{ValveCents: map[string]float64{"F": 20}}).Ways(pitch(t, "F2"))[0]
	if f.Label != "T♭1" || math.Abs(f.LeanCM-2.18) > 0.01 {
		t.Errorf("F2 with a short F slide: %+v", f)
	}
	short := apply(Profile{SlideMaxCM: 50})
	if got := short.Ways(pitch(t, "E2")); len(got) != 1 || got[0].Label != "T2" {
		t.Errorf("E2 on a short slide: %+v", got)
	}
	if got := short.Ways(pitch(t, "C2")); len(got) != 0 {
		t.Errorf("C2 on a short slide: %+v", got)
	}
}
