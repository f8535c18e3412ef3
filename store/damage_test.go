package store

import (
	"bytes"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/desk"
)

// filled makes a folder with some hundred records, closed.
func filled(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	s := openAt(t, folder, Options{Unsynced: true})
	furnish(t, s)
	for range 60 {
		p := aPlayer("")
		p.Name = strings.Repeat("Anna ", 100)
		commit(t, s, desk.Sheet{}, p)
	}
	s.Close()
	return folder
}

func TestDamagedDatabaseIsRefused(t *testing.T) {
	for name, f := range map[string]func([]byte) []byte{
		"text":           func(data []byte) []byte { return bytes.Repeat([]byte("not a database "), 1000) },
		"header":         func(data []byte) []byte { data[3] ^= 0xff; return data },
		"cut in half":    func(data []byte) []byte { return data[:len(data)/2/4096*4096] },
		"page of zeros":  func(data []byte) []byte { clear(data[4*4096 : 5*4096]); return data },
		"page of noise":  func(data []byte) []byte { copy(data[8*4096:], bytes.Repeat([]byte{0xa5}, 4096)); return data },
		"first page bad": func(data []byte) []byte { copy(data[100:], bytes.Repeat([]byte{0x3c}, 300)); return data },
	} {
		t.Run(name, func(t *testing.T) {
			folder := filled(t)
			damage(t, filepath.Join(folder, databaseName), f)
			refusedAt(t, folder, desk.ErrDamaged, "import your last export")
		})
	}
}

func TestLostDatabaseIsNotAnEmptySeason(t *testing.T) {
	for name, lose := range map[string]func(path string) error{
		"gone":  os.Remove,
		"empty": func(path string) error { return os.Truncate(path, 0) },
	} {
		folder := filled(t)
		if err := lose(filepath.Join(folder, databaseName)); err != nil {
			t.Fatal(err)
		}
		refusedAt(t, folder, desk.ErrDamaged, "missing or empty")
		t.Log(name)
	}
}

func TestForeignDatabaseIsLeftAlone(t *testing.T) {
	folder := t.TempDir()
	db := must(sql.Open("sqlite", filepath.Join(folder, databaseName)))(t)
	must(db.ExecContext(ctx, "CREATE TABLE songs (title TEXT)"))(t)
	db.Close()
	before := must(os.ReadFile(filepath.Join(folder, databaseName)))(t)
	if _, err := Open(ctx, folder, Options{}); !errors.Is(err, desk.ErrDamaged) || !strings.Contains(err.Error(), "another program") {
		t.Errorf("%v", err)
	}
	after := must(os.ReadFile(filepath.Join(folder, databaseName)))(t)
	if !bytes.Equal(before, after) {
		t.Error("it was changed")
	}
}

func TestSecondProgramIsRefused(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder, Options{})
	if _, err := Open(ctx, folder, Options{}); !errors.Is(err, desk.ErrInUse) || !strings.Contains(err.Error(), "process ") {
		t.Errorf("%v", err)
	}
	furnish(t, s) // the first goes on undisturbed
	s.Close()
	openAt(t, folder, Options{})
}

func TestFolderNamesWithSigns(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "a b?c#d%41&é;ä")
	s := openAt(t, folder, Options{})
	furnish(t, s)
	if _, err := os.Stat(filepath.Join(folder, databaseName)); err != nil {
		t.Error(err)
	}
}

func TestSettingsReachEveryConnection(t *testing.T) {
	s := openAt(t, t.TempDir(), Options{})
	for name, db := range map[string]*sql.DB{"writer": s.writer, "reader": s.reader} {
		var mode string
		var synchronous, keys, busy int
		if err := db.QueryRowContext(ctx, `SELECT (SELECT journal_mode FROM pragma_journal_mode), (SELECT synchronous FROM pragma_synchronous),
			(SELECT foreign_keys FROM pragma_foreign_keys), (SELECT timeout FROM pragma_busy_timeout)`).Scan(&mode, &synchronous, &keys, &busy); err != nil {
			t.Fatal(err)
		}
		// 2 is FULL (published: sqlite.org, PRAGMA synchronous).
		if mode != "wal" || synchronous != 2 || keys != 1 || busy != busyMS {
			t.Errorf("%s: %s, synchronous %d, foreign keys %d, %d ms", name, mode, synchronous, keys, busy)
		}
	}
	if _, err := s.reader.ExecContext(ctx, "DELETE FROM players"); err == nil {
		t.Error("a reading connection can write")
	}
}

// TestFullDatabase limits the pages of the database, which SQLite reports as a
// full disk.
func TestFullDatabase(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	must(s.writer.ExecContext(ctx, "PRAGMA max_page_count = 1"))(t) // the present count at least
	before := dump(t, s)
	var err error
	for range 50 {
		big := aPlayer("")
		big.Name = strings.Repeat("x", 4000)
		if _, err = s.Commit(ctx, desk.Change{Sheet: sheet, Edits: []desk.Edit{desk.Put(big)}}); err != nil {
			break
		}
		before = dump(t, s)
	}
	if !errors.Is(err, desk.ErrFull) || !strings.Contains(err.Error(), "make room") {
		t.Errorf("%v", err)
	}
	same(t, before, dump(t, s))
}
