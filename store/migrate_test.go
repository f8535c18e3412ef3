package store

import (
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/desk"
)

// makeOld makes a folder as a program with an older schema left it, filled by
// testdata/schema-N.sql.
func makeOld(t *testing.T, version int64, fill string) string {
	t.Helper()
	folder := t.TempDir()
	db := must(sql.Open("sqlite", dsn(filepath.Join(folder, databaseName), true, false)))(t)
	defer db.Close()
	db.SetMaxOpenConns(1)
	must(must(migrations(db))(t).UpTo(ctx, version))(t)
	must(db.ExecContext(ctx, fill))(t)
	blob := filepath.Join(folder, blobsName, abcHash[:2])
	if err := errors.Join(os.MkdirAll(blob, folderMode), os.WriteFile(filepath.Join(blob, abcHash[2:]), []byte("abc"), fileMode)); err != nil {
		t.Fatal(err)
	}
	return folder
}

// schema is the text of all tables, indexes and triggers.
func schema(t *testing.T, s *Season) string {
	t.Helper()
	var b strings.Builder
	if err := eachRow(ctx, s.reader, "SELECT coalesce(sql, name) FROM sqlite_schema ORDER BY name", func(line []byte) error {
		b.Write(line)
		b.WriteString(";\n")
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestEveryOlderSchemaIsBroughtUpToDate opens a season of each schema there was,
// with all that one could hold.
func TestEveryOlderSchemaIsBroughtUpToDate(t *testing.T) {
	fresh := openNew(t)
	_, newest, err := must(migrations(fresh.writer))(t).GetVersions(ctx)
	if err != nil {
		t.Fatal(err)
	}
	fills := must(filepath.Glob(filepath.Join("testdata", "schema-*.sql")))(t)
	if int64(len(fills)) != newest {
		t.Fatalf("%d files testdata/schema-N.sql for %d schemas: add one for the newest", len(fills), newest)
	}
	for i, path := range fills {
		fill := string(must(os.ReadFile(path))(t))
		s := openAt(t, makeOld(t, int64(i+1), fill), Options{Unsynced: true})
		same(t, schema(t, fresh), schema(t, s))
		if got := len(records(t, s)); got != strings.Count(fill, "-- record") || got == 0 {
			t.Errorf("%s: %d records, want %d", path, got, strings.Count(fill, "-- record"))
		}
		checkLog(t, s)
		if found := must(s.Check(ctx))(t); len(found) > 0 {
			t.Errorf("%s: %v", path, found)
		}
		// The season goes on: what was done before can be undone.
		must(s.Undo(ctx, desk.Sheet{Part: "harbor", Player: "anna"}, "coach"))(t)
		if marks := must(s.Marks(ctx, desk.Sheet{Part: "harbor", Player: "anna"}))(t); len(marks) != 0 {
			t.Errorf("%s: %d marks after undo", path, len(marks))
		}
	}
}

func TestNewerSchemaIsLeftAlone(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder, Options{})
	must(s.writer.ExecContext(ctx, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, 1)"))(t)
	s.Close()
	refusedAt(t, folder, desk.ErrNewer, "later Waterkey")
}

// refusedAt opens a folder that must be refused, and compares every file.
func refusedAt(t *testing.T, folder string, want error, says string) {
	t.Helper()
	before := snapshot(t, folder)
	s, err := Open(ctx, folder, Options{})
	if err == nil {
		s.Close()
	}
	if !errors.Is(err, want) || !strings.Contains(strings.ToLower(err.Error()), strings.ToLower(says)) {
		t.Errorf("%v; want %v with %q", err, want, says)
	}
	same(t, before, snapshot(t, folder))
}

// snapshot is the content of every file of the season by path.
func snapshot(t *testing.T, folder string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, pattern := range []string{databaseName, "blobs/??/*"} {
		for _, path := range must(filepath.Glob(filepath.Join(folder, pattern)))(t) {
			out[path] = string(must(os.ReadFile(path))(t))
		}
	}
	return out
}
