package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"

	"waterkey/desk"
)

//go:embed migrations/*.sql
var migrationFiles embed.FS

// migrations are the steps from one schema to the next, each in a transaction of
// its own: an interrupted one leaves the schema before it.
func migrations(db *sql.DB) (*goose.Provider, error) {
	files, err := fs.Sub(migrationFiles, "migrations")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectSQLite3, db, files)
}

// migrate brings a database up to date. One from a later program is left alone.
func migrate(ctx context.Context, db *sql.DB) error {
	p, err := migrations(db)
	if err != nil {
		return err
	}
	has, knows, err := p.GetVersions(ctx)
	if err != nil {
		return explain(err, "read the version of the database")
	}
	if has > knows {
		return &desk.SeasonError{Is: desk.ErrNewer, Text: fmt.Sprintf(
			"this season was opened by a later Waterkey (its database has schema %d, this program knows up to %d); nothing was changed. Use the later program", has, knows)}
	}
	if _, err := p.Up(ctx); err != nil {
		return explain(err, fmt.Sprintf("bring the database from schema %d to %d", has, knows))
	}
	return nil
}
