-- Every row carries a checksum, and the seal says what the file must hold. The program fills both in (src/sum.rs).

ALTER TABLE bowler ADD COLUMN sum BLOB NOT NULL DEFAULT x'';
ALTER TABLE ball   ADD COLUMN sum BLOB NOT NULL DEFAULT x'';
ALTER TABLE lane   ADD COLUMN sum BLOB NOT NULL DEFAULT x'';
ALTER TABLE event  ADD COLUMN sum BLOB NOT NULL DEFAULT x'';
ALTER TABLE block  ADD COLUMN sum BLOB NOT NULL DEFAULT x'';

DROP TRIGGER fact_stays;
ALTER TABLE fact ADD COLUMN sum BLOB NOT NULL DEFAULT x'';

CREATE TABLE seal (
    one    INTEGER PRIMARY KEY CHECK (one = 1),
    -- How many facts there are. Their numbers run from 1 to this one.
    facts  INTEGER NOT NULL,
    -- How often people and things were added or renamed.
    names  INTEGER NOT NULL,
    -- Whether the log beside the file may hold what the file lacks.
    in_use INTEGER NOT NULL CHECK (in_use IN (0, 1)),
    -- The checksum of these tables, indexes and triggers.
    tables BLOB NOT NULL
) STRICT;

INSERT INTO seal (one, facts, names, in_use, tables) VALUES (1, 0, 0, 0, x'');
