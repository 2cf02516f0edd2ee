//! Whether the log beside a file is whole. The database stops reading it at the first frame that is not as it was written, without a
//! word, since a power cut leaves such a frame at the end. Where whole frames follow, it was no power cut.
//!
//! The form of the log: <https://www.sqlite.org/fileformat2.html#the_write_ahead_log>.

use std::path::Path;

use crate::Error;
use crate::file_mark::log_of;
use crate::store::Store;

const HEADER: usize = 32;
const FRAME_HEADER: usize = 24;

/// The log as it lies on the disk.
struct Log(Vec<u8>);

impl Log {
    fn read(path: &Path) -> Option<Self> {
        let bytes = std::fs::read(log_of(path)).ok()?;
        (bytes.len() >= HEADER).then_some(Self(bytes))
    }

    fn number(&self, at: usize) -> Option<u32> {
        self.0.get(at..at + 4).and_then(|bytes| bytes.try_into().ok()).map(u32::from_be_bytes)
    }

    /// Whether its header is as it was written, by the header's own checksum.
    fn header_is_whole(&self) -> bool {
        const LITTLE: u32 = 0x377f_0682;
        let word = |at: usize| match self.number(0) {
            Some(LITTLE) => self.number(at).map(u32::swap_bytes),
            _ => self.number(at),
        };
        let mut sums = (0_u32, 0_u32);
        for at in (0..24).step_by(8) {
            sums.0 = sums.0.wrapping_add(word(at).unwrap_or_default()).wrapping_add(sums.1);
            sums.1 = sums.1.wrapping_add(word(at + 4).unwrap_or_default()).wrapping_add(sums.0);
        }
        matches!(self.number(0), Some(magic) if magic & !1 == LITTLE)
            && (self.number(24), self.number(28)) == (Some(sums.0), Some(sums.1))
    }

    /// What all frames since the log was begun anew have in common. It stands in the header, and in each frame.
    fn salts(&self) -> Option<&[u8]> {
        let at = if self.header_is_whole() { 16 } else { HEADER + 8 };
        self.0.get(at..at + 8)
    }

    /// Writes that came to their end, after so many frames.
    fn ended_after(&self, frames: usize, page: usize) -> usize {
        let frame = FRAME_HEADER + page;
        let starts = (frames..).map(|k| HEADER + k * frame).take_while(|start| start + frame <= self.0.len());
        let ended = |start: &usize| {
            self.0.get(start + 8..start + 16) == self.salts() && self.number(start + 4).is_some_and(|pages| pages > 0)
        };
        starts.filter(ended).count()
    }
}

impl Store {
    /// Says so if the database could not read the log to its end. The last write of all may have been cut short by a power cut, and was
    /// then never acknowledged; the one before it was on disk when the last began.
    pub(crate) fn log_is_whole(&self) -> Result<(), Error> {
        let path = &self.place.path;
        let Some(log) = Log::read(path) else { return Ok(()) };
        let frames: i64 = self.ask(|| self.db.query_row("PRAGMA wal_checkpoint(NOOP)", [], |row| row.get(1)))?;
        let page: u32 = self.ask(|| self.db.pragma_query_value(None, "page_size", |row| row.get(0)))?;
        // Others may have begun it anew in between.
        let same = Log::read(path).is_some_and(|now| now.salts() == log.salts());
        if same && log.ended_after(usize::try_from(frames).unwrap_or_default(), page as usize) > 1 {
            let name = log_of(path).file_name().unwrap_or_default().display().to_string();
            return Err(self.damaged(format!("its log {name} cannot be read to its end, and facts are missing")));
        }
        Ok(())
    }
}
