-- +goose Up
-- A day on which a player practiced a part.
CREATE TABLE days (
    id        TEXT PRIMARY KEY NOT NULL,
    revision  INTEGER NOT NULL,
    part_id   TEXT NOT NULL REFERENCES parts (id),
    player_id TEXT NOT NULL REFERENCES players (id),
    date      TEXT NOT NULL,
    doc       TEXT NOT NULL,
    UNIQUE (part_id, player_id, date)
) STRICT;

CREATE INDEX days_by_player ON days (player_id);
