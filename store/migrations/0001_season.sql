-- +goose Up
-- "WtKy": tells this database from others (SQLite file format, offset 68).
PRAGMA application_id = 1467239289;

-- Each record is kept whole as JSON in doc; the columns beside it are those that
-- order, refer or must not repeat.
CREATE TABLE players (
    id       TEXT PRIMARY KEY NOT NULL,
    revision INTEGER NOT NULL,
    name     TEXT NOT NULL,
    doc      TEXT NOT NULL
) STRICT;

CREATE TABLE parts (
    id       TEXT PRIMARY KEY NOT NULL,
    revision INTEGER NOT NULL,
    title    TEXT NOT NULL,
    due      TEXT NOT NULL,
    place    INTEGER NOT NULL,
    doc      TEXT NOT NULL
) STRICT;

CREATE TABLE assignments (
    id        TEXT PRIMARY KEY NOT NULL,
    revision  INTEGER NOT NULL,
    part_id   TEXT NOT NULL REFERENCES parts (id),
    player_id TEXT NOT NULL REFERENCES players (id),
    doc       TEXT NOT NULL,
    UNIQUE (part_id, player_id)
) STRICT;

CREATE INDEX assignments_by_player ON assignments (player_id);

-- player_id is null for a mark that stands for everybody.
CREATE TABLE marks (
    id        TEXT PRIMARY KEY NOT NULL,
    revision  INTEGER NOT NULL,
    part_id   TEXT NOT NULL REFERENCES parts (id),
    player_id TEXT REFERENCES players (id),
    mark_key  TEXT NOT NULL,
    doc       TEXT NOT NULL
) STRICT;

CREATE UNIQUE INDEX marks_by_sheet ON marks (part_id, ifnull(player_id, ''), mark_key);
CREATE INDEX marks_by_player ON marks (player_id);

-- The log. AUTOINCREMENT keeps a revision from being used again after the last
-- entries are gone. A sheet's halves are '' for none, and may be gone themselves.
CREATE TABLE changes (
    revision   INTEGER PRIMARY KEY AUTOINCREMENT,
    part_id    TEXT NOT NULL,
    player_id  TEXT NOT NULL,
    act        TEXT NOT NULL CHECK (act IN ('do', 'undo', 'redo')),
    act_of     INTEGER NOT NULL,
    lasting    INTEGER NOT NULL,
    at_ms      INTEGER NOT NULL,
    doc        TEXT NOT NULL
) STRICT;

CREATE INDEX changes_by_sheet ON changes (part_id, player_id, revision);
CREATE INDEX changes_done ON changes (part_id, player_id, revision) WHERE act = 'do';
CREATE INDEX changes_undone ON changes (part_id, player_id, revision) WHERE act = 'undo';
CREATE INDEX changes_by_act_of ON changes (act_of, revision) WHERE act_of > 0;

-- +goose StatementBegin
CREATE TRIGGER changes_are_only_added BEFORE UPDATE ON changes
BEGIN
    SELECT raise(ABORT, 'an entry of the log is never changed');
END;
-- +goose StatementEnd
