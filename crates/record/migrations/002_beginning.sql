-- What a block began with, as the program that began it wrote it down: the event with its files, the bag, the lanes. The record keeps the
-- words and does not read them.

CREATE TABLE beginning (
    block  TEXT NOT NULL REFERENCES block (id),
    bowler TEXT NOT NULL REFERENCES bowler (id),
    text   TEXT NOT NULL,
    PRIMARY KEY (block, bowler)
) STRICT;

CREATE TRIGGER beginning_stays BEFORE UPDATE ON beginning BEGIN SELECT raise(ABORT, 'a beginning is never changed'); END;
CREATE TRIGGER beginning_is_kept BEFORE DELETE ON beginning BEGIN SELECT raise(ABORT, 'a beginning is never taken out'); END;
