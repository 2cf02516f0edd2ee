-- Lines meant and blocks begun are facts of their own. Earlier versions kept a line as a remark in fixed words, and the beginning of a block
-- as a text beside the log. The program carries the rows over (src/earlier.rs).

DROP TRIGGER fact_stays;
DROP TRIGGER fact_is_kept;
DROP INDEX fact_by_sheet;
DROP INDEX fact_by_hand;
DROP INDEX fact_by_surface;
DROP INDEX fact_by_root;
ALTER TABLE fact RENAME TO earlier_fact;

CREATE TABLE fact (
    seq              INTEGER PRIMARY KEY,
    key              TEXT NOT NULL UNIQUE,
    at               TEXT NOT NULL,
    kind             TEXT NOT NULL
                     CHECK (kind IN ('shot', 'foul', 'ball', 'surface', 'lane', 'line', 'begun', 'resumed', 'note', 'undo')),
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
    laydown_board    REAL,
    arrows_board     REAL,
    breakpoint_board REAL,
    speed_mph        REAL,
    rotation_deg     REAL,
    hit              TEXT,
    felt             TEXT,
    ra_um            REAL,
    grit             REAL,
    polished         INTEGER,
    -- With what a block began, as JSON.
    opening          TEXT,
    text             TEXT,
    CHECK ((kind = 'undo') = (undoes IS NOT NULL)),
    CHECK ((kind = 'shot') = (standing IS NOT NULL OR down IS NOT NULL)),
    CHECK ((kind = 'line') = (laydown_board IS NOT NULL)),
    CHECK ((kind = 'begun') = (opening IS NOT NULL))
) STRICT;

CREATE INDEX fact_by_sheet ON fact (block, bowler) WHERE kind IN ('shot', 'foul', 'lane');
CREATE INDEX fact_by_line ON fact (block, bowler) WHERE kind = 'line';
CREATE INDEX fact_by_beginning ON fact (block, bowler) WHERE kind IN ('begun', 'resumed');
CREATE INDEX fact_by_hand ON fact (bowler) WHERE kind = 'ball';
CREATE INDEX fact_by_surface ON fact (ball) WHERE kind = 'surface';
CREATE INDEX fact_by_root ON fact (root) WHERE root IS NOT NULL;

CREATE TRIGGER fact_stays BEFORE UPDATE ON fact BEGIN SELECT raise(ABORT, 'facts are never changed'); END;
CREATE TRIGGER fact_is_kept BEFORE DELETE ON fact BEGIN SELECT raise(ABORT, 'facts are never taken out'); END;
