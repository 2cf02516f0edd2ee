-- The people and things that facts are about.

CREATE TABLE bowler (
    id   TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    hand TEXT NOT NULL CHECK (hand IN ('right', 'left'))
) STRICT, WITHOUT ROWID;

CREATE TABLE ball (
    id           TEXT PRIMARY KEY,
    bowler       TEXT NOT NULL REFERENCES bowler (id),
    name         TEXT NOT NULL,
    cover        TEXT,
    ra_um        REAL,
    grit         REAL,
    polished     INTEGER,
    games_before REAL NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE lane (
    id   TEXT PRIMARY KEY,
    name TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE event (
    id   TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('competition', 'practice')),
    day  TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE block (
    id       TEXT PRIMARY KEY,
    event    TEXT NOT NULL REFERENCES event (id),
    name     TEXT NOT NULL,
    counting TEXT NOT NULL CHECK (counting IN ('traditional', 'current-frame', 'nothing')),
    games    INTEGER CHECK (games > 0)
) STRICT, WITHOUT ROWID;

-- The log. Rows are only ever added; all else follows from them.

CREATE TABLE fact (
    seq              INTEGER PRIMARY KEY,
    key              TEXT NOT NULL UNIQUE,
    at               TEXT NOT NULL,
    kind             TEXT NOT NULL CHECK (kind IN ('shot', 'foul', 'ball', 'surface', 'lane', 'note', 'undo')),
    -- A correction is a row of the kind it corrects. Both refer to an earlier row.
    corrects         INTEGER REFERENCES fact (seq) CHECK (corrects < seq),
    undoes           INTEGER REFERENCES fact (seq) CHECK (undoes < seq),
    -- The row that a correction or undo is about in the end, however many stand between.
    root             INTEGER REFERENCES fact (seq) CHECK ((root IS NULL) = (corrects IS NULL AND undoes IS NULL)),
    block            TEXT REFERENCES block (id),
    bowler           TEXT REFERENCES bowler (id),
    ball             TEXT REFERENCES ball (id),
    lane             TEXT REFERENCES lane (id),
    other_lane       TEXT REFERENCES lane (id),
    put_before       INTEGER REFERENCES fact (seq) CHECK (put_before < seq),
    standing         TEXT,
    down             INTEGER CHECK (down BETWEEN 0 AND 10),
    arrows_board     REAL,
    breakpoint_board REAL,
    hit              TEXT,
    felt             TEXT,
    ra_um            REAL,
    grit             REAL,
    polished         INTEGER,
    text             TEXT,
    CHECK ((kind = 'undo') = (undoes IS NOT NULL)),
    CHECK ((kind = 'shot') = (standing IS NOT NULL OR down IS NOT NULL))
) STRICT;

CREATE INDEX fact_by_sheet ON fact (block, bowler) WHERE kind IN ('shot', 'foul', 'lane');
CREATE INDEX fact_by_hand ON fact (bowler) WHERE kind = 'ball';
CREATE INDEX fact_by_surface ON fact (ball) WHERE kind = 'surface';
CREATE INDEX fact_by_root ON fact (root) WHERE root IS NOT NULL;

CREATE TRIGGER fact_stays BEFORE UPDATE ON fact BEGIN SELECT raise(ABORT, 'facts are never changed'); END;
CREATE TRIGGER fact_is_kept BEFORE DELETE ON fact BEGIN SELECT raise(ABORT, 'facts are never taken out'); END;
