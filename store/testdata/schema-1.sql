-- A season as schema 1 kept it.
INSERT INTO players (id, revision, name, doc) VALUES
    ('anna', 1, 'Anna', '{"id":"anna","revision":1,"name":"Anna","instrument":"tenor-f","level":4,"reach_cm":58.5}'); -- record
INSERT INTO parts (id, revision, title, due, place, doc) VALUES
    ('harbor', 1, 'Harbor Parade', '2026-12-01', 0, '{"id":"harbor","revision":1,"title":"Harbor Parade","document":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","file_name":"harbor.musicxml","due":"2026-12-01"}'); -- record
INSERT INTO assignments (id, revision, part_id, player_id, doc) VALUES
    ('a1', 1, 'harbor', 'anna', '{"id":"a1","revision":1,"part":"harbor","player":"anna","instrument":"bass"}'); -- record
INSERT INTO marks (id, revision, part_id, player_id, mark_key, doc) VALUES
    ('m1', 2, 'harbor', 'anna', 'play n12', '{"id":"m1","revision":2,"part":"harbor","player":"anna","position":{"where":"n12","way":"T1"},"author":"coach","written":"2026-11-25T09:00:00Z"}'); -- record
INSERT INTO changes (revision, part_id, player_id, act, act_of, lasting, at_ms, doc) VALUES
    (1, '', '', 'do', 0, 0, 1795600800000, '{"revision":1,"act":"do","author":"coach","says":"change 1","at":"2026-11-25T10:00:00Z","edits":[{"kind":"player","id":"anna","after":{"id":"anna","revision":1,"name":"Anna","instrument":"tenor-f","level":4,"reach_cm":58.5}},{"kind":"part","id":"harbor","after":{"id":"harbor","revision":1,"title":"Harbor Parade","document":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","file_name":"harbor.musicxml","due":"2026-12-01"}},{"kind":"assignment","id":"a1","after":{"id":"a1","revision":1,"part":"harbor","player":"anna","instrument":"bass"}}]}');
INSERT INTO changes (revision, part_id, player_id, act, act_of, lasting, at_ms, doc) VALUES
    (2, 'harbor', 'anna', 'do', 0, 0, 1795600800000, '{"revision":2,"part":"harbor","player":"anna","act":"do","author":"coach","says":"change 2","at":"2026-11-25T10:00:00Z","edits":[{"kind":"mark","id":"m1","after":{"id":"m1","revision":2,"part":"harbor","player":"anna","position":{"where":"n12","way":"T1"},"author":"coach","written":"2026-11-25T09:00:00Z"}}]}');
