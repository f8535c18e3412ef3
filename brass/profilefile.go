package brass

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// maxProfileBytes is far more than any profile needs.
const maxProfileBytes = 64 << 10

// profileFields are the fields of a file in the order in which they are written.
var profileFields = []string{"instrument", "name", "partial_cents", "valve_cents", "slide_max_cm", "reach_cm"}

// ReadProfile reads a profile file (see [Profile] for the format). filename serves
// the errors, which name file, line, field, value, limit and a value that works. On
// error nothing is returned; a field that is not known is an error.
func ReadProfile(r io.Reader, filename string) (Profile, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxProfileBytes+1))
	if err != nil {
		return Profile{}, fmt.Errorf("%s: %w", filename, err)
	}
	if len(data) > maxProfileBytes {
		return Profile{}, fmt.Errorf("%s: longer than %d bytes, which no profile is", filename, maxProfileBytes)
	}
	pr := &profileReader{data: data, dec: json.NewDecoder(bytes.NewReader(data)), lines: map[string]int{}}
	pr.dec.UseNumber()
	if err := pr.object("", pr.field); err != nil {
		return Profile{}, pr.at(filename, pr.line(), err)
	}
	if _, err := pr.dec.Token(); err != io.EOF {
		return Profile{}, pr.at(filename, pr.line(), errors.New("there is more after the end of the profile; a file holds one"))
	}
	if f := pr.p.check(); f != nil {
		return Profile{}, pr.at(filename, pr.lines[f.field], f)
	}
	return pr.p, nil
}

// profileReader walks through the file token by token, to know the line of each.
type profileReader struct {
	data  []byte
	dec   *json.Decoder
	p     Profile
	lines map[string]int // of every field read
}

// at says where an error is. Line 0 is a field that the file lacks.
func (pr *profileReader) at(filename string, line int, err error) error {
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		line = 1 + bytes.Count(pr.data[:min(int(syntax.Offset), len(pr.data))], []byte("\n"))
		err = fmt.Errorf("not JSON here: %w", err)
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("the file ends in the middle of the profile")
	}
	if line == 0 {
		return fmt.Errorf("%s: %w", filename, err)
	}
	return fmt.Errorf("%s, line %d: %w", filename, line, err)
}

// line is that of the token read last.
func (pr *profileReader) line() int {
	return 1 + bytes.Count(pr.data[:pr.dec.InputOffset()], []byte("\n"))
}

// object reads { key: value ... } and hands each key, with the field's name before
// it, to read. No key may come twice.
func (pr *profileReader) object(field string, read func(path, key string) error) error {
	if t, err := pr.dec.Token(); err != nil {
		return err
	} else if t != json.Delim('{') {
		return wrongKind(field, t, `an object, such as {"5": 8}`)
	}
	for pr.dec.More() {
		t, err := pr.dec.Token()
		if err != nil {
			return err
		}
		key := t.(string) // keys of objects are strings, else Token fails
		path := key
		if field != "" {
			path = field + "/" + key
		}
		if pr.lines[path] > 0 {
			return faultf(path, "stands twice, first in line %d; keep one", pr.lines[path])
		}
		pr.lines[path] = pr.line()
		if err := read(path, key); err != nil {
			return err
		}
	}
	_, err := pr.dec.Token()
	return err
}

// wrongKind says that a value is of the wrong kind.
func wrongKind(field string, t json.Token, want string) error {
	if field == "" {
		field = "profile"
	}
	if s, ok := t.(string); ok {
		t = strconv.Quote(s)
	}
	return faultf(field, "%v is not %s", t, want)
}

// field reads the value of a field of the profile.
func (pr *profileReader) field(path, key string) (err error) {
	switch key {
	case "instrument":
		pr.p.Instrument, err = pr.text(path, `"tenor-f"`)
	case "name":
		pr.p.Name, err = pr.text(path, `"my old horn"`)
	case "partial_cents":
		err = pr.object(path, pr.partial)
	case "valve_cents":
		err = pr.object(path, pr.valve)
	case "slide_max_cm":
		pr.p.SlideMaxCM, err = pr.length(path)
	case "reach_cm":
		pr.p.ReachCM, err = pr.length(path)
	default:
		err = faultf(path, "no field of a profile; there are %s", strings.Join(profileFields, ", "))
	}
	return err
}

func (pr *profileReader) text(path, example string) (string, error) {
	t, err := pr.dec.Token()
	if err != nil {
		return "", err
	}
	s, ok := t.(string)
	if !ok {
		return "", wrongKind(path, t, "a text, such as "+example)
	}
	return s, nil
}

func (pr *profileReader) number(path, example string) (float64, error) {
	t, err := pr.dec.Token()
	if err != nil {
		return 0, err
	}
	n, ok := t.(json.Number)
	if !ok {
		return 0, wrongKind(path, t, "a number, such as "+example)
	}
	x, err := n.Float64()
	if err != nil {
		return 0, faultf(path, "%s is too large a number; a value that works is %s", n, example)
	}
	return x, nil
}

// length reads a length that, when it is there, is more than 0.
func (pr *profileReader) length(path string) (float64, error) {
	const example = "45"
	cm, err := pr.number(path, example)
	if err == nil && cm == 0 {
		err = faultf(path, "0 cm lies outside %g to %g; a value that works is %s", minSlideCM, maxSlideCM, example)
	}
	return cm, err
}

func (pr *profileReader) partial(path, key string) error {
	n, err := strconv.Atoi(key)
	if err != nil || strconv.Itoa(n) != key {
		return faultf(path, "%q is not the number of a partial; write it as \"5\"", key)
	}
	cents, err := pr.number(path, "8")
	if pr.p.PartialCents == nil {
		pr.p.PartialCents = map[int]float64{}
	}
	pr.p.PartialCents[n] = cents
	return err
}

func (pr *profileReader) valve(path, key string) error {
	cents, err := pr.number(path, "-5")
	if pr.p.ValveCents == nil {
		pr.p.ValveCents = map[string]float64{}
	}
	pr.p.ValveCents[key] = cents
	return err
}

// WriteProfile writes what ReadProfile reads, one value a line and always in the
// same order, so that two versions can be compared. It refuses a profile that
// ReadProfile would refuse.
func WriteProfile(w io.Writer, p Profile) error {
	if f := p.check(); f != nil {
		return f
	}
	in, err := Named(p.Instrument)
	if err != nil {
		return err
	}
	fields := []string{`  "instrument": ` + quote(p.Instrument)}
	if p.Name != "" {
		fields = append(fields, `  "name": `+quote(p.Name))
	}
	var partials, valves []string
	for _, n := range slices.Sorted(maps.Keys(p.PartialCents)) {
		partials = append(partials, entry(strconv.Itoa(n), p.PartialCents[n]))
	}
	for _, name := range in.tunable() {
		if cents, ok := p.ValveCents[name]; ok {
			valves = append(valves, entry(name, cents))
		}
	}
	fields = appendGroup(fields, "partial_cents", partials)
	fields = appendGroup(fields, "valve_cents", valves)
	for _, l := range []struct {
		field string
		cm    float64
	}{{"slide_max_cm", p.SlideMaxCM}, {"reach_cm", p.ReachCM}} {
		if l.cm > 0 {
			fields = append(fields, "  "+entry(l.field, l.cm))
		}
	}
	_, err = fmt.Fprintf(w, "{\n%s\n}\n", strings.Join(fields, ",\n"))
	return err
}

// entry is one number of the file.
func entry(key string, x float64) string {
	return quote(key) + ": " + strconv.FormatFloat(x, 'f', -1, 64)
}

// appendGroup adds an object of numbers, when there are any.
func appendGroup(fields []string, key string, entries []string) []string {
	if len(entries) == 0 {
		return fields
	}
	return append(fields, fmt.Sprintf("  %s: {\n    %s\n  }", quote(key), strings.Join(entries, ",\n    ")))
}

// quote is a JSON string; < > & stay as they are.
func quote(s string) string {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a string always encodes
	return strings.TrimRight(b.String(), "\n")
}
