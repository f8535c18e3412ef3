package abc

import (
	"strconv"
	"strings"

	"waterkey/score"
)

// Parts lists the voices of all tunes in the order of the file.
//
// In a file of one tune a part has the id of its voice ("1" when the tune has
// no V: field) and the voice's name, or the tune's title when the voice has
// none. In a file of several tunes the ids are "X2" for the only voice of the
// tune with the number 2 and "X2/T1" for its voice T1, and the names
// "Title" or "Title: voice".
func (d *Document) Parts() []score.PartInfo {
	out := make([]score.PartInfo, len(d.parts))
	for i, v := range d.parts {
		out[i] = score.PartInfo{ID: v.listed, Name: v.name, Notes: v.notes}
	}
	return out
}

// pick finds the selected part, see [Document.Part].
func (d *Document) pick(want string) (*voice, error) {
	if want == "" {
		if v := d.find(func(v *voice) bool { return v.notes > 0 }); v != nil {
			return v, nil
		}
		return d.parts[0], nil
	}
	for _, test := range []func(v *voice) bool{
		func(v *voice) bool { return v.listed == want },
		func(v *voice) bool { return strings.EqualFold(v.name, want) },
		func(v *voice) bool { return strconv.Itoa(v.number) == want },
		func(v *voice) bool { return v.id == want },
		func(v *voice) bool { return strings.EqualFold(v.label, want) },
		func(v *voice) bool { return v.tune.called(want) },
	} {
		if v := d.find(test); v != nil {
			return v, nil
		}
	}
	var found []*voice
	for _, v := range d.parts {
		if len(v.name) >= len(want) && strings.EqualFold(v.name[:len(want)], want) {
			found = append(found, v)
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	return nil, d.noSuchPart(want, found)
}

func (d *Document) find(test func(v *voice) bool) *voice {
	for _, v := range d.parts {
		if test(v) {
			return v
		}
	}
	return nil
}

func (t *tune) called(title string) bool {
	for _, s := range t.titles {
		if strings.EqualFold(s, title) {
			return true
		}
	}
	return false
}

func (d *Document) noSuchPart(want string, found []*voice) error {
	e := &score.PartError{Want: want, Several: len(found) > 1}
	if !e.Several {
		found = d.parts
	}
	for _, v := range found {
		e.Names = append(e.Names, v.name)
	}
	return &score.ReadError{File: d.file, Err: e}
}
