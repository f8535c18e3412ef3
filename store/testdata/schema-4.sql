-- A season as schema 4 keeps it: days of practice.
INSERT INTO players (id, revision, name, doc) VALUES
    ('anna', 1, 'Anna', '{"id":"anna","revision":1,"name":"Anna","instrument":"tenor-f","level":4,"reach_cm":58.5}'); -- record
INSERT INTO parts (id, revision, title, due, place, doc) VALUES
    ('harbor', 1, 'Harbor Parade', '2026-12-01', 0, '{"id":"harbor","revision":1,"title":"Harbor Parade","document":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","file_name":"harbor.musicxml","due":"2026-12-01"}'); -- record
INSERT INTO assignments (id, revision, part_id, player_id, doc) VALUES
    ('a1', 1, 'harbor', 'anna', '{"id":"a1","revision":1,"part":"harbor","player":"anna","instrument":"bass"}'); -- record
INSERT INTO takes (id, revision, part_id, player_id, recorded_ms, chosen, doc) VALUES
    ('t1', 2, 'harbor', 'anna', 1795210200000, 1, '{"id":"t1","revision":2,"part":"harbor","player":"anna","recorded":"2026-11-20T23:30:00+02:00","recording":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","file_name":"take 1.wav","media_type":"audio/wav","chosen":true}'); -- record
INSERT INTO measures (id, revision, doc) VALUES
    ('t1', 3, '{"id":"t1","revision":3,"version":"1","document":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","measured":"2026-11-25T09:00:00Z"}'); -- record
INSERT INTO marks (id, revision, part_id, player_id, take_id, mark_key, doc) VALUES
    ('m4', 4, 'harbor', 'anna', 't1', 'remark m4', '{"id":"m4","revision":4,"part":"harbor","player":"anna","remark":{"take":"t1","at_s":3.25,"text":"late"},"author":"coach","written":"2026-11-25T09:00:00Z"}'); -- record
INSERT INTO changes (revision, part_id, player_id, act, act_of, lasting, at_ms, doc) VALUES
    (1, '', '', 'do', 0, 0, 1795600800000, '{"revision":1,"act":"do","author":"coach","says":"change 1","at":"2026-11-25T10:00:00Z","edits":[{"kind":"player","id":"anna","after":{"id":"anna","revision":1,"name":"Anna","instrument":"tenor-f","level":4,"reach_cm":58.5}},{"kind":"part","id":"harbor","after":{"id":"harbor","revision":1,"title":"Harbor Parade","document":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","file_name":"harbor.musicxml","due":"2026-12-01"}},{"kind":"assignment","id":"a1","after":{"id":"a1","revision":1,"part":"harbor","player":"anna","instrument":"bass"}},{"kind":"day","id":"d1","after":{"id":"d1","revision":1,"part":"harbor","player":"anna","date":"2026-11-21","day":{"date":"2026-11-21","phase":"early","focus":"","minutes":4,"limit_minutes":34,"play_s":0,"strong_s":0,"items":[{"kind":"warm-up","bars":[],"what":"","bpm":0,"unit":"","reps":0,"rest_s":0,"tempos":[],"minutes":4,"play_s":0,"strong_s":0,"hard":false,"evidence":["warm-up"]}]},"done":[{"item":0,"minutes":4}]}}]}');
INSERT INTO changes (revision, part_id, player_id, act, act_of, lasting, at_ms, doc) VALUES
    (2, 'harbor', 'anna', 'do', 0, 1, 1795600800000, '{"revision":2,"part":"harbor","player":"anna","act":"do","lasting":true,"author":"coach","says":"change 2","at":"2026-11-25T10:00:00Z","edits":[{"kind":"take","id":"t1","after":{"id":"t1","revision":2,"part":"harbor","player":"anna","recorded":"2026-11-20T23:30:00+02:00","recording":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","file_name":"take 1.wav","media_type":"audio/wav","chosen":true}}]}');
INSERT INTO changes (revision, part_id, player_id, act, act_of, lasting, at_ms, doc) VALUES
    (3, 'harbor', 'anna', 'do', 0, 1, 1795600800000, '{"revision":3,"part":"harbor","player":"anna","act":"do","lasting":true,"author":"coach","says":"change 3","at":"2026-11-25T10:00:00Z","edits":[{"kind":"measure","id":"t1","after":{"id":"t1","revision":3,"version":"1","document":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","measured":"2026-11-25T09:00:00Z"}}]}');
INSERT INTO changes (revision, part_id, player_id, act, act_of, lasting, at_ms, doc) VALUES
    (4, 'harbor', 'anna', 'do', 0, 0, 1795600800000, '{"revision":4,"part":"harbor","player":"anna","act":"do","author":"coach","says":"change 4","at":"2026-11-25T10:00:00Z","edits":[{"kind":"mark","id":"m4","after":{"id":"m4","revision":4,"part":"harbor","player":"anna","remark":{"take":"t1","at_s":3.25,"text":"late"},"author":"coach","written":"2026-11-25T09:00:00Z"}}]}');
INSERT INTO uploads (id, started_ms, recording, size, doc) VALUES
    ('u1', 1795600800000, 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad', 3, '{"id":"u1","part":"harbor","player":"anna","file_name":"take.wav","media_type":"audio/wav","started":"2026-11-25T10:00:00Z","chunks":null}');
INSERT INTO chunks (upload_id, sequence, hash, size) VALUES
    ('u1', 0, 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad', 3);
INSERT INTO days (id, revision, part_id, player_id, date, doc) VALUES
    ('d1', 1, 'harbor', 'anna', '2026-11-21', '{"id":"d1","revision":1,"part":"harbor","player":"anna","date":"2026-11-21","day":{"date":"2026-11-21","phase":"early","focus":"","minutes":4,"limit_minutes":34,"play_s":0,"strong_s":0,"items":[{"kind":"warm-up","bars":[],"what":"","bpm":0,"unit":"","reps":0,"rest_s":0,"tempos":[],"minutes":4,"play_s":0,"strong_s":0,"hard":false,"evidence":["warm-up"]}]},"done":[{"item":0,"minutes":4}]}'); -- record
