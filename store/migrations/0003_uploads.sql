-- +goose Up
-- recording is '' until the chunks are joined.
CREATE TABLE uploads (
    id         TEXT PRIMARY KEY NOT NULL,
    started_ms INTEGER NOT NULL,
    recording  TEXT NOT NULL,
    size       INTEGER NOT NULL,
    doc        TEXT NOT NULL
) STRICT;

CREATE TABLE chunks (
    upload_id TEXT NOT NULL REFERENCES uploads (id) ON DELETE CASCADE,
    sequence  INTEGER NOT NULL,
    hash      TEXT NOT NULL,
    size      INTEGER NOT NULL,
    PRIMARY KEY (upload_id, sequence)
) STRICT, WITHOUT ROWID;
