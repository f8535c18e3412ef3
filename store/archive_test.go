package store

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"waterkey/desk"
)

// export gives an archive's bytes.
func export(t testing.TB, s *Season) []byte {
	t.Helper()
	var b bytes.Buffer
	e := must(s.Export(ctx, &b))(t)
	if len(e.Lost) > 0 {
		t.Fatalf("lost %v", e.Lost)
	}
	return b.Bytes()
}

func importInto(s *Season, archive []byte) error {
	return s.Import(ctx, bytes.NewReader(archive), int64(len(archive)))
}

func TestArchiveRoundTrip(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	must(s.Undo(ctx, sheet, "coach"))(t)
	archive := export(t, s)
	if again := export(t, s); !bytes.Equal(archive, again) {
		t.Error("two exports of one state differ")
	}
	other := openNew(t)
	if err := importInto(other, archive); err != nil {
		t.Fatal(err)
	}
	same(t, dump(t, s), dump(t, other))
	if again := export(t, other); !bytes.Equal(archive, again) {
		t.Error("the export of an import differs")
	}
	checkLog(t, other)
	if found := must(other.Check(ctx))(t); len(found) > 0 {
		t.Error(found)
	}
	// Work goes on where it stood: the undone change can come back.
	e := must(other.Redo(ctx, sheet, "coach"))(t)
	if want := must(s.Revision(ctx))(t) + 1; e.Revision != want {
		t.Errorf("the next change has revision %d, want %d", e.Revision, want)
	}
	if err := importInto(other, archive); !errors.Is(err, desk.ErrConflict) || !strings.Contains(err.Error(), "new folder") {
		t.Errorf("import into a season with work in it: %v", err)
	}
}

// TestArchiveLayout holds the archive to what its documentation says, with the
// standard library's reader.
func TestArchiveLayout(t *testing.T) {
	s := openNew(t)
	furnish(t, s)
	archive := export(t, s)
	z := must(zip.NewReader(bytes.NewReader(archive), int64(len(archive))))(t)
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		if f.Method != zip.Store {
			t.Errorf("%s is compressed", f.Name)
		}
	}
	want := []string{"season.json", "players.jsonl", "parts.jsonl", "assignments.jsonl", "takes.jsonl", "marks.jsonl", "measures.jsonl", "days.jsonl", "changes.jsonl"}
	if !slices.Equal(names[:len(want)], want) || len(names) != len(want)+3 || !slices.IsSorted(names[len(want):]) {
		t.Errorf("entries %v, want %v and three files in order", names, want)
	}
}

func TestExportAfterTheLogWasTrimmed(t *testing.T) {
	c := newClock()
	s := openAt(t, t.TempDir(), Options{Unsynced: true, Now: c.Now})
	furnish(t, s)
	must(s.Collect(ctx, c.now.Add(graceTime)))(t)
	other := openNew(t)
	if err := importInto(other, export(t, s)); err != nil {
		t.Fatal(err)
	}
	if a, b := must(s.Revision(ctx))(t), must(other.Revision(ctx))(t); a != b || a == 0 {
		t.Errorf("revision %d became %d", a, b)
	}
}

func TestExportSaysWhatIsLost(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	recording := must(s.Take(ctx, "t1"))(t).Recording
	if err := os.Remove(s.blobs.path(recording)); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	e := must(s.Export(ctx, &b))(t)
	if !slices.Equal(e.Lost, []desk.Hash{recording}) || e.Blobs != 2 || e.Records != 11 || e.Changes != 5 {
		t.Fatalf("%+v, want the recording lost, two files, eleven records and five changes kept", e)
	}
	other := openNew(t)
	if err := importInto(other, b.Bytes()); err != nil {
		t.Fatal(err)
	}
	if _, err := other.OpenBlob(ctx, recording); !errors.Is(err, desk.ErrNotFound) {
		t.Errorf("the lost recording: %v", err)
	}
	if len(must(other.Takes(ctx, desk.TakeQuery{Sheet: sheet}))(t)) != 1 {
		t.Error("its take is gone too")
	}
}

// rezip rewrites an archive entry by entry; f returns the entry's new name ("" to
// leave it out) and bytes.
func rezip(t *testing.T, archive []byte, method uint16, f func(name string, data []byte) (string, []byte)) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, file := range must(zip.NewReader(bytes.NewReader(archive), int64(len(archive))))(t).File {
		r := must(file.Open())(t)
		name, data := f(file.Name, must(io.ReadAll(r))(t))
		if name == "" {
			continue
		}
		e := must(w.CreateHeader(&zip.FileHeader{Name: name, Method: method}))(t)
		must(e.Write(data))(t)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// replaceIn is a rewriting that changes one text in one entry.
func replaceIn(entry, old, new string) func(string, []byte) (string, []byte) {
	return func(name string, data []byte) (string, []byte) {
		if strings.HasPrefix(name, entry) {
			data = bytes.Replace(data, []byte(old), []byte(new), 1)
		}
		return name, data
	}
}

func renamed(entry, to string) func(string, []byte) (string, []byte) {
	return func(name string, data []byte) (string, []byte) {
		if strings.HasPrefix(name, entry) {
			name = to
		}
		return name, data
	}
}

func TestBadArchivesChangeNothing(t *testing.T) {
	s := openNew(t)
	furnish(t, s)
	good := export(t, s)
	edited := func(entry, old, new string) []byte { return rezip(t, good, zip.Store, replaceIn(entry, old, new)) }
	moved := func(entry, to string) []byte { return rezip(t, good, zip.Store, renamed(entry, to)) }
	unchanged := func(name string, data []byte) (string, []byte) { return name, data }
	emptied := func(name string, data []byte) (string, []byte) {
		if name == "assignments.jsonl" {
			data = nil
		}
		return name, data
	}
	for name, c := range map[string]struct {
		archive []byte
		says    string
	}{
		"empty":               {nil, "no ZIP"},
		"no zip":              {[]byte("hello"), "no ZIP"},
		"bomb":                {bomb(t), "compressed"},
		"compressed":          {rezip(t, good, zip.Deflate, unchanged), "compressed"},
		"climbing":            {moved("blobs/", "../../climbed"), "twice"},
		"climbing once":       {moved("takes", "../../climbed"), "missing"},
		"absolute":            {moved("takes", "/climbed"), "missing"},
		"one too many":        {oneMore(t, good, "../../climbed"), "does not belong"},
		"missing document":    {moved("takes", ""), "takes.jsonl is missing"},
		"missing manifest":    {moved("season", ""), "season.json is missing"},
		"twice":               {oneMore(t, good, "marks.jsonl"), "twice"},
		"other format":        {edited("season", archiveFormat, "something else"), "does not describe"},
		"lines joined":        {edited("changes", "\n", ""), "line 1"},
		"missing line":        {rezip(t, good, zip.Store, emptied), "0 lines instead of 1"},
		"line cut":            {edited("marks", `"author"`, `"auth`), "marks.jsonl line 1"},
		"unknown field":       {edited("players", `"name"`, `"more":1,"name"`), "unknown field"},
		"invalid record":      {edited("players", `"level":4`, `"level":9`), "1 to 5"},
		"no such part":        {edited("marks", `"part":"harbor"`, `"part":"nowhere"`), "not there"},
		"same id twice":       {edited("players", `"id":"ben"`, `"id":"anna"`), "stands there twice"},
		"revision to come":    {edited("players", `"revision":1`, `"revision":99`), "revision 99 of 5"},
		"unlisted file":       {edited("takes", `"recording":"a4`, `"recording":"00`), "not listed"},
		"log of nothing":      {edited("changes", `"kind":"player"`, `"kind":"pliers"`), "pliers"},
		"log out of order":    {edited("changes", `{"revision":2`, `{"revision":1`), "revision 1 after 1"},
		"log of another":      {edited("changes", `"kind":"player","id":"anna"`, `"kind":"player","id":"zoe"`), "player zoe"},
		"record in log wrong": {edited("changes", `"level":4`, `"level":9`), "1 to 5"},
		"other blob":          {edited("blobs/", "RIFF", "RIFX"), "is damaged"},
		"longer blob":         {edited("blobs/", "RIFF", "RIFFF"), "5 bytes instead of 4"},
		"flipped bit":         {flipped(good, []byte("RIFF")), "checksum"},
		"flipped in part":     {flipped(good, []byte("<score/>")), "checksum"},
		"flipped in result":   {flipped(good, []byte(`{"notes":[]}`)), "checksum"},
		"flipped in document": {flipped(good, []byte("Harbor Parade")), "checksum"},
	} {
		refused(t, name, c.archive, desk.ErrDamaged, c.says)
	}
	refused(t, "newer", edited("season", `"version": 2`, `"version": 3, "more": 1`), desk.ErrNewer, "later program")
}

// An archive from before there were days of practice fills a season still.
func TestArchiveOfTheFirstVersion(t *testing.T) {
	s := openNew(t)
	commit(t, s, desk.Sheet{}, aPlayer("anna"), aPart("harbor", addText(t, s, "<score/>")))
	first := rezip(t, export(t, s), zip.Store, func(name string, data []byte) (string, []byte) {
		if name == "days.jsonl" {
			return "", nil
		}
		if name == manifestName {
			data = bytes.Replace(data, []byte(`"version": 2`), []byte(`"version": 1`), 1)
			data = bytes.Replace(data, []byte("    \"days.jsonl\": 0,\n"), nil, 1)
		}
		return name, data
	})
	if bytes.Contains(first, []byte("days.jsonl")) {
		t.Fatal("the archive still speaks of days")
	}
	other := openNew(t)
	if err := importInto(other, first); err != nil {
		t.Fatal(err)
	}
	same(t, dump(t, s), dump(t, other))
}

// oneMore adds an entry to an archive, whatever its name.
func oneMore(t *testing.T, archive []byte, name string) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, file := range must(zip.NewReader(bytes.NewReader(archive), int64(len(archive))))(t).File {
		if err := w.Copy(file); err != nil {
			t.Fatal(err)
		}
	}
	must(must(w.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store}))(t).Write([]byte("{}")))(t)
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// flipped changes one bit of the first place that holds some bytes.
func flipped(archive, at []byte) []byte {
	out := bytes.Clone(archive)
	out[bytes.Index(out, at)] ^= 4
	return out
}

// refused imports a bad archive and looks for anything that stayed.
func refused(t *testing.T, name string, archive []byte, want error, says string) {
	t.Helper()
	parent := t.TempDir()
	s := openAt(t, filepath.Join(parent, "a", "b", "season"), Options{Unsynced: true})
	err := importInto(s, archive)
	if !errors.Is(err, want) || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "Nothing was changed") {
		t.Errorf("%s: %v; want %v with %q, and that nothing was changed", name, err, want, says)
	}
	if left := dump(t, s); left != "" {
		t.Errorf("%s: left in the database: %s", name, left)
	}
	_ = s.blobs.each(func(h desk.Hash, _ string) error { t.Errorf("%s: left the file %s", name, h); return nil })
	if found := must(filepath.Glob(filepath.Join(parent, "*", "*")))(t); len(found) != 1 {
		t.Errorf("%s: climbed out: %v", name, found)
	}
	s.Close()
}

// bomb is an archive of some kilobytes that unpacks to a thousand times as much.
func bomb(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	e := must(w.Create(manifestName))(t)
	must(e.Write(make([]byte, 16<<20)))(t)
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestTruncatedArchives cuts a good archive at many places.
func TestTruncatedArchives(t *testing.T) {
	s := openNew(t)
	furnish(t, s)
	good := export(t, s)
	other := openNew(t)
	for n := 0; n < len(good); n += 1 + len(good)/200 {
		if err := importInto(other, good[:n]); !errors.Is(err, desk.ErrDamaged) {
			t.Fatalf("cut after %d of %d bytes: %v", n, len(good), err)
		}
	}
	if left := dump(t, other); left != "" {
		t.Errorf("left in the database: %s", left)
	}
	if err := importInto(other, good); err != nil {
		t.Errorf("the whole archive after all that: %v", err)
	}
}

// TestOverlappingArchive: entries that share bytes must not add up to more than
// the archive has.
func TestOverlappingArchive(t *testing.T) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for i := range 3 {
		e := must(w.CreateHeader(&zip.FileHeader{Name: fmt.Sprint("entry", i), Method: zip.Store}))(t)
		must(e.Write(make([]byte, 2000)))(t)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	// Cut out the content of the first two, as if all pointed at the third's.
	archive := out.Bytes()[4000:]
	if _, err := openArchive(bytes.NewReader(archive), int64(len(archive))); err == nil || !strings.Contains(err.Error(), "more than its own") {
		t.Errorf("%v, want a refusal of more bytes than there are", err)
	}
}

func TestExportStopsWhenNobodyWaits(t *testing.T) {
	s := openNew(t)
	furnish(t, s)
	gone, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := s.Export(gone, io.Discard); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	archive := export(t, s)
	if err := openNew(t).Import(gone, bytes.NewReader(archive), int64(len(archive))); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// FuzzImport: any bytes are refused without a panic, or give a season whose export
// can be imported again.
func FuzzImport(f *testing.F) {
	s := openNew(f)
	furnish(f, s)
	good := export(f, s)
	f.Add(good)
	f.Add(good[:len(good)/2])
	f.Fuzz(func(t *testing.T, archive []byte) {
		if _, err := openArchive(bytes.NewReader(archive), int64(len(archive))); err != nil {
			return // refused before a season is looked at
		}
		s := openNew(t)
		if err := importInto(s, archive); err != nil {
			if left := dump(t, s); left != "" {
				t.Fatalf("refused, and left %s", left)
			}
			return
		}
		if err := importInto(openNew(t), export(t, s)); err != nil {
			t.Fatal(err)
		}
	})
}
