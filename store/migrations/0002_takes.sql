-- +goose Up
CREATE TABLE takes (
    id          TEXT PRIMARY KEY NOT NULL,
    revision    INTEGER NOT NULL,
    part_id     TEXT NOT NULL REFERENCES parts (id),
    player_id   TEXT NOT NULL REFERENCES players (id),
    recorded_ms INTEGER NOT NULL,
    chosen      INTEGER NOT NULL,
    doc         TEXT NOT NULL
) STRICT;

CREATE INDEX takes_by_time ON takes (recorded_ms, id);
CREATE INDEX takes_by_sheet ON takes (part_id, player_id, recorded_ms);
CREATE INDEX takes_by_player ON takes (player_id, recorded_ms);
CREATE UNIQUE INDEX takes_chosen ON takes (part_id, player_id) WHERE chosen;

-- A measure has the id of its take.
CREATE TABLE measures (
    id       TEXT PRIMARY KEY NOT NULL REFERENCES takes (id),
    revision INTEGER NOT NULL,
    doc      TEXT NOT NULL
) STRICT;

-- A remark may stand at a moment of a take.
ALTER TABLE marks ADD COLUMN take_id TEXT REFERENCES takes (id);
CREATE INDEX marks_by_take ON marks (take_id) WHERE take_id IS NOT NULL;
