-- What is looked up together must be found together: how many facts there are of each, and the sum of their numbers. An index that lies
-- is noticed where it is used, so that opening a record need not read all of it (src/tally.rs).

CREATE INDEX fact_by_note ON fact (block, bowler) WHERE kind = 'note';

CREATE VIEW tallied (seq, class, one, two) AS
    SELECT seq,
        CASE WHEN kind IN ('shot', 'foul', 'lane') THEN 'sheet' WHEN kind IN ('begun', 'resumed') THEN 'beginning' ELSE kind END,
        CASE kind WHEN 'ball' THEN bowler WHEN 'surface' THEN ball WHEN 'note' THEN '' ELSE block END,
        CASE WHEN kind IN ('ball', 'surface', 'note') THEN '' ELSE bowler END
    FROM fact WHERE kind <> 'undo'
    -- All that undoes or corrects one fact.
    UNION ALL SELECT seq, 'root', root, '' FROM fact WHERE root IS NOT NULL
    UNION ALL SELECT seq, 'thrown', ball, bowler FROM fact WHERE ball IS NOT NULL AND kind IN ('shot', 'foul', 'ball');

CREATE TABLE tally (
    class TEXT NOT NULL,
    -- What they are about: the block, bowler, ball or fact.
    one   ANY NOT NULL,
    -- The bowler, where they are about two.
    two   TEXT NOT NULL,
    facts INTEGER NOT NULL,
    seqs  INTEGER NOT NULL,
    PRIMARY KEY (class, one, two)
) STRICT, WITHOUT ROWID;

INSERT INTO tally SELECT class, one, two, count(*), sum(seq) FROM tallied GROUP BY class, one, two;

CREATE TRIGGER fact_is_tallied AFTER INSERT ON fact BEGIN
    INSERT INTO tally SELECT class, one, two, 1, seq FROM tallied WHERE seq = new.seq
        ON CONFLICT (class, one, two) DO UPDATE SET facts = facts + 1, seqs = seqs + excluded.seqs;
END;
