//! What is looked up together: sheets, lines, beginnings, balls in hand, surfaces, notes. Each with all that undoes and corrects it.

use rusqlite::{OptionalExtension, Params};

use crate::Error;
use crate::fact::{Fact, Logged};
use crate::reading::settle;
use crate::row::summed_columns;
use crate::store::Store;
use crate::tally::{Class, OF_BEGINNING, OF_HAND, OF_LINES, OF_NOTES, OF_SHEET, OF_SURFACE};
use crate::word::{BallId, BlockId, BowlerId, Seq};

/// The facts of a sheet by their own words, and the changes of the bowler's ball that it can feel: while it was bowled, with the last sure
/// one before (nothing undoes or corrects it), and the last sure one of all with what came after. Those of all other blocks would make
/// every sheet as long as the record.
const ROOTS_OF_SHEET: &str = "
    WITH own (seq) AS MATERIALIZED
        (SELECT coalesce(root, seq) FROM fact WHERE block = ?1 AND bowler = ?2 AND kind IN ('shot', 'foul', 'lane')),
    sure (seq) AS
        (SELECT seq FROM fact AS one WHERE bowler = ?2 AND kind = 'ball' AND root IS NULL
            AND NOT EXISTS (SELECT 1 FROM fact WHERE root = one.seq)),
    span (low, high) AS MATERIALIZED
        (SELECT coalesce((SELECT seq FROM sure WHERE seq < (SELECT min(seq) FROM own) ORDER BY seq DESC LIMIT 1), 0),
                (SELECT max(seq) FROM own)
         UNION ALL SELECT coalesce((SELECT seq FROM sure ORDER BY seq DESC LIMIT 1), 0), 9223372036854775807)
    SELECT seq FROM own
    UNION SELECT hand.seq FROM span CROSS JOIN fact AS hand INDEXED BY fact_by_hand
        ON hand.seq BETWEEN low AND high WHERE bowler = ?2 AND kind = 'ball' AND root IS NULL
    UNION SELECT root FROM span CROSS JOIN fact AS hand INDEXED BY fact_by_root
        ON root BETWEEN low AND high WHERE bowler = ?2 AND kind = 'ball'";
/// The facts later than `?3` that a block can feel, by their roots, but for work on its balls.
const ROOTS_ABOUT: &str = "
    SELECT coalesce(root, seq) FROM fact
        WHERE block = ?1 AND bowler = ?2 AND kind IN ('shot', 'foul', 'lane') AND seq > ?3
    UNION SELECT coalesce(root, seq) FROM fact WHERE block = ?1 AND bowler = ?2 AND kind = 'line' AND seq > ?3
    UNION SELECT coalesce(root, seq) FROM fact WHERE block = ?1 AND kind = 'note' AND seq > ?3
    UNION SELECT coalesce(root, seq) FROM fact WHERE bowler = ?2 AND kind = 'ball' AND seq > ?3";
/// Work on a ball later than `?2`.
const WORK_SINCE: &str = "SELECT coalesce(root, seq) FROM fact WHERE ball = ?1 AND kind = 'surface' AND seq > ?2";
/// The first fact of the next sheet, in the order of blocks and bowlers.
const NEXT_SHEET: &str = "
    SELECT block, bowler, seq FROM fact WHERE kind IN ('shot', 'foul', 'lane') AND (block, bowler) > (?1, ?2)
        ORDER BY block, bowler, seq LIMIT 1";
const BEGINNINGS: &str =
    "SELECT seq FROM fact INDEXED BY fact_by_beginning WHERE kind IN ('begun', 'resumed') ORDER BY seq DESC";

/// The searches made at every turn, each about two things.
#[cfg(test)]
pub(crate) fn searches() -> Vec<String> {
    let classes = [OF_SHEET, OF_LINES, OF_BEGINNING, OF_HAND, OF_SURFACE, OF_NOTES];
    let classes = classes.into_iter().flat_map(|class| [roots_of(class), class.found_and_due()]);
    classes.chain([ROOTS_OF_SHEET, ROOTS_ABOUT, WORK_SINCE, NEXT_SHEET, BEGINNINGS].map(str::to_owned)).collect()
}

/// The roots of all facts of a class.
fn roots_of(class: Class) -> String {
    format!("SELECT coalesce(root, seq) FROM fact WHERE {}", class.such)
}

impl Store {
    /// A fact with all that undoes and corrects it.
    pub fn history(&self, root: Seq) -> Result<Vec<Logged>, Error> {
        if self.is_number(root)? { self.whole("SELECT ?1", [root.0]) } else { Ok(Vec::new()) }
    }

    /// All that a sheet is read from.
    pub fn of_sheet(&self, block: &BlockId, bowler: &BowlerId) -> Result<Vec<Logged>, Error> {
        let about = [block.as_str(), bowler.as_str()];
        self.finds_all(OF_SHEET, about)?;
        self.finds_all(OF_HAND, [bowler.as_str(), ""])?;
        self.whole(ROOTS_OF_SHEET, about)
    }

    /// The facts after `after` that a bowler's block with these balls can feel, each with all that undoes and corrects it.
    pub fn about(
        &self,
        block: &BlockId,
        bowler: &BowlerId,
        balls: &[BallId],
        after: Seq,
    ) -> Result<Vec<Logged>, Error> {
        let sheet = [block.as_str(), bowler.as_str()];
        self.finds_all(OF_SHEET, sheet)?;
        self.finds_all(OF_LINES, sheet)?;
        self.finds_all(OF_NOTES, ["", ""])?;
        self.finds_all(OF_HAND, [bowler.as_str(), ""])?;
        let mut found = self.whole(ROOTS_ABOUT, (block.as_str(), bowler.as_str(), after.0))?;
        for ball in balls {
            self.finds_all(OF_SURFACE, [ball.as_str(), ""])?;
            found.extend(self.whole(WORK_SINCE, (ball.as_str(), after.0))?);
        }
        found.retain(|logged| logged.seq > after);
        found.sort_by_key(|logged| logged.seq);
        // A ball may be named twice.
        found.dedup_by_key(|logged| logged.seq);
        Ok(found)
    }

    /// All changes of a bowler's ball.
    pub fn of_hand(&self, bowler: &BowlerId) -> Result<Vec<Logged>, Error> {
        self.of_class(OF_HAND, [bowler.as_str(), ""])
    }

    /// All work on a ball's surface.
    pub fn of_surface(&self, ball: &BallId) -> Result<Vec<Logged>, Error> {
        self.of_class(OF_SURFACE, [ball.as_str(), ""])
    }

    /// All lines that a bowler meant in a block.
    pub fn of_lines(&self, block: &BlockId, bowler: &BowlerId) -> Result<Vec<Logged>, Error> {
        self.of_class(OF_LINES, [block.as_str(), bowler.as_str()])
    }

    /// How a bowler's block began, and when it was gone back to.
    pub fn of_beginning(&self, block: &BlockId, bowler: &BowlerId) -> Result<Vec<Logged>, Error> {
        self.of_class(OF_BEGINNING, [block.as_str(), bowler.as_str()])
    }

    /// The block and bowler begun or gone back to last.
    pub fn present(&self) -> Result<Option<(BlockId, BowlerId)>, Error> {
        self.finds_beginnings()?;
        let seqs: Vec<i64> =
            self.ask(|| self.db.prepare_cached(BEGINNINGS)?.query_map([], |row| row.get(0))?.collect())?;
        let mut last: Option<(Seq, (BlockId, BowlerId))> = None;
        // Openings are long, so few are read. A correction is later than what it corrects, and counts in that one's place.
        for seq in seqs.into_iter().map(Seq) {
            if last.as_ref().is_some_and(|(root, _)| *root >= seq) {
                break;
            }
            let root = self.root(seq)?;
            if last.as_ref().is_some_and(|(last, _)| *last >= root) {
                continue;
            }
            let standing = settle(self.history(root)?).into_iter().find_map(|settled| match settled.fact {
                Fact::BlockBegun { block, bowler, .. } | Fact::BlockResumed { block, bowler } => Some((block, bowler)),
                _ => None,
            });
            last = standing.map(|begun| (root, begun)).or(last);
        }
        Ok(last.map(|(_, begun)| begun))
    }

    /// All notes.
    pub fn of_notes(&self) -> Result<Vec<Logged>, Error> {
        self.of_class(OF_NOTES, ["", ""])
    }

    fn of_class(&self, class: Class, about: [&str; 2]) -> Result<Vec<Logged>, Error> {
        self.finds_all(class, about)?;
        self.whole(&roots_of(class), about)
    }

    /// The facts with these roots, and all that undoes and corrects them, in order.
    fn whole(&self, roots: &str, about: impl Params + Copy) -> Result<Vec<Logged>, Error> {
        let columns = summed_columns();
        let sql = format!(
            "WITH roots (seq) AS ({roots})
             SELECT {columns} FROM fact WHERE seq IN roots
             UNION ALL SELECT {columns} FROM fact WHERE root IN roots ORDER BY seq"
        );
        let found = self.facts(&sql, about)?;
        self.found_all_of(roots, about, &found)?;
        Ok(found)
    }

    /// The sheets that anything was ever logged on, and those of one bowler if one is named, in the order in which they were begun.
    pub fn sheets(&self, bowler: Option<&BowlerId>) -> Result<Vec<(BlockId, BowlerId)>, Error> {
        // From sheet to sheet through the index, which has the facts of each in order: a season has a hundred times as many facts.
        let mut sheets: Vec<(i64, (BlockId, BowlerId))> = self.ask(|| {
            let mut next = self.db.prepare_cached(NEXT_SHEET)?;
            let mut sheets: Vec<(i64, (BlockId, BowlerId))> = Vec::new();
            loop {
                let (block, bowler) =
                    sheets.last().map_or(("", ""), |(_, (block, bowler))| (block.as_str(), bowler.as_str()));
                let read = |row: &rusqlite::Row<'_>| Ok((row.get(2)?, (row.get(0)?, row.get(1)?)));
                match next.query_row([block, bowler], read).optional()? {
                    // Where the order of the index is broken it would lead round in a circle.
                    Some(sheet) if sheets.last().is_none_or(|(_, last)| *last < sheet.1) => sheets.push(sheet),
                    _ => return Ok(sheets),
                }
            }
        })?;
        self.finds_sheets(&sheets)?;
        sheets.retain(|(_, (_, of))| bowler.is_none_or(|bowler| of == bowler));
        sheets.sort_unstable_by_key(|(first, _)| *first);
        Ok(sheets.into_iter().map(|(_, sheet)| sheet).collect())
    }
}
