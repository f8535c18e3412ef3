package store

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	_ "modernc.org/sqlite" // the driver "sqlite"

	"waterkey/desk"
)

const (
	// busyMS is how long a connection waits for another one's lock, in
	// milliseconds. With one writer it is hardly ever needed; the seconds are for
	// a tool that reads the database from outside (estimate).
	busyMS = 10_000
	// readers is how many reads run at once: enough for one page, which asks for
	// some six lists (estimate).
	readers = 8
	// applicationID marks the database as ours: "WtKy". The first migration
	// writes it.
	applicationID = 0x57744b79
)

// dsn names a database with all its settings, as a setting sent later would reach
// one connection of the pool only. The driver runs busy_timeout first.
func dsn(path string, unsynced, reading bool) string {
	synchronous := "FULL"
	if unsynced {
		synchronous = "OFF"
	}
	pragmas := []string{
		fmt.Sprintf("busy_timeout(%d)", busyMS),
		"journal_mode(WAL)",
		"synchronous(" + synchronous + ")",
		"fullfsync(1)", // macOS: ask the disk, not only its cache; nothing elsewhere
		"foreign_keys(1)",
	}
	if reading {
		return address(path, url.Values{"_pragma": append(pragmas, "query_only(1)"), "_txlock": {"deferred"}})
	}
	return address(path, url.Values{"_pragma": pragmas, "_txlock": {"immediate"}})
}

// address is the path of a database as a URI, whatever signs are in it.
func address(path string, query url.Values) string {
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // file:///C:/...
	}
	u := url.URL{Scheme: "file", Path: path, RawQuery: query.Encode()}
	return u.String()
}

// openDatabase opens both pools, after the checks that tell a damaged, foreign or
// newer database before anything is written.
func (s *Season) openDatabase(ctx context.Context) error {
	path := filepath.Join(s.folder, databaseName)
	if err := claim(path); err != nil {
		return explain(err, "open "+path)
	}
	err := examine(ctx, path)
	if err != nil {
		return err
	}
	if s.writer, err = sql.Open("sqlite", dsn(path, s.options.Unsynced, false)); err != nil {
		return explain(err, "open "+path)
	}
	s.writer.SetMaxOpenConns(1)
	if err := migrate(ctx, s.writer); err != nil {
		return err
	}
	if s.reader, err = sql.Open("sqlite", dsn(path, s.options.Unsynced, true)); err != nil {
		return explain(err, "open "+path)
	}
	s.reader.SetMaxOpenConns(max(readers, runtime.GOMAXPROCS(0)))
	return explain(s.reader.PingContext(ctx), "read "+path)
}

// claim makes the database its owner's alone, whatever folder it lies in; SQLite gives
// the files beside it the same mode.
func claim(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, fileMode)
	if err != nil {
		return err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || info.Mode().Perm() == fileMode {
		return err
	}
	return f.Chmod(fileMode)
}

// refuseLost refuses a folder that has recordings but no database: opening it
// would show an empty season where one was lost.
func refuseLost(folder string) error {
	path := filepath.Join(folder, databaseName)
	if info, err := os.Stat(path); err == nil && info.Size() > 0 {
		return nil
	}
	kept, _ := filepath.Glob(filepath.Join(folder, blobsName, "??", "*"))
	log, err := os.Stat(path + "-wal")
	if len(kept) == 0 && (err != nil || log.Size() == 0) {
		return nil
	}
	return &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf(
		"the folder %s holds a season's files but its database %s is missing or empty. %s", folder, databaseName, advice)}
}

// advice is what to do with a damaged folder.
const advice = "Nothing was changed. Copy the whole folder to a safe place first; then put back a copy of " + databaseName +
	" that was made while the program was not running, or open a new folder and import your last export into it." +
	" The recordings in " + blobsName + "/ are ordinary files and can still be played."

// examine reads a whole database once, on a connection that cannot write. One
// that does not exist yet is fine.
func examine(ctx context.Context, path string) error {
	if info, err := os.Stat(path); err != nil || info.Size() == 0 {
		return nil
	}
	db, err := sql.Open("sqlite", address(path, url.Values{"mode": {"ro"}, "_pragma": {fmt.Sprintf("busy_timeout(%d)", busyMS)}}))
	if err != nil {
		return explain(err, "open "+path)
	}
	defer db.Close()
	var id, tables int
	// The version table may be there without an id when the very first start was
	// interrupted.
	err = db.QueryRowContext(ctx, `SELECT (SELECT application_id FROM pragma_application_id),
		(SELECT count(*) FROM sqlite_schema WHERE name NOT LIKE 'sqlite\_%' ESCAPE '\' AND name NOT LIKE 'goose%')`).Scan(&id, &tables)
	if err != nil {
		return damagedOr(err, path)
	}
	if id != applicationID && (id != 0 || tables > 0) {
		return &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf(
			"%s is a database of another program; nothing was changed. Choose another folder", path)}
	}
	found, err := inspect(ctx, db, "quick_check")
	if err != nil {
		return damagedOr(err, path)
	}
	if len(found) > 0 {
		return damaged(path, fmt.Errorf("%s", found[0]))
	}
	return nil
}

// inspect runs quick_check or integrity_check and lists what it finds.
func inspect(ctx context.Context, db *sql.DB, check string) ([]string, error) {
	rows, err := db.QueryContext(ctx, "PRAGMA "+check)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var found []string
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			return nil, err
		}
		if line != "ok" {
			found = append(found, strings.ReplaceAll(line, "\n", " "))
		}
	}
	return found, rows.Err()
}
