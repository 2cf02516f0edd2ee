//! What a damaged or hostile file may cost: the reader of containers follows boxes of no length round and round, and believes any number
//! of pictures.

use std::io::{Cursor, Error, Read, Result, Seek, SeekFrom};

/// How often every byte may be read on the mean, and what is free for the shortest file.
const OFTEN: u64 = 4;
const FREE: u64 = 1 << 16;

/// A file in memory that ends with an error once far more was read of it than it holds.
pub struct Bounded<'a> {
    bytes: Cursor<&'a [u8]>,
    left: u64,
}

impl<'a> Bounded<'a> {
    pub fn new(bytes: &'a [u8]) -> Self {
        Self { bytes: Cursor::new(bytes), left: OFTEN * bytes.len() as u64 + FREE }
    }
}

impl Read for Bounded<'_> {
    fn read(&mut self, into: &mut [u8]) -> Result<usize> {
        let read = self.bytes.read(into)?;
        // A read of nothing counts, too: nobody may ask for it for ever.
        let cost = read.max(1) as u64;
        self.left = self.left.checked_sub(cost).ok_or_else(|| Error::other("its parts lead round in a circle"))?;
        Ok(read)
    }
}

impl Seek for Bounded<'_> {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        self.bytes.seek(to)
    }
}

/// Whether a table of sizes (`stsz`, ISO/IEC 14496-12) says that all pieces have one size, and that more of them are there than bytes.
pub fn claims_more_than_it_holds(bytes: &[u8]) -> bool {
    const NAME: &[u8] = b"stsz";
    let described = parts(bytes).filter(|(name, _)| *name == b"moov");
    described.flat_map(|(_, moov)| moov.windows(NAME.len() + 12)).filter(|at| at.starts_with(NAME)).any(|at| {
        let number = |from: usize| u64::from(u32::from_be_bytes([at[from], at[from + 1], at[from + 2], at[from + 3]]));
        let (size, count) = (number(NAME.len() + 4), number(NAME.len() + 8));
        size * count > bytes.len() as u64
    })
}

/// The boxes of a file, outermost alone: name and content.
fn parts(bytes: &[u8]) -> impl Iterator<Item = (&[u8], &[u8])> {
    const HEAD: usize = 8;
    const LARGE: usize = 16;
    let mut rest = bytes;
    core::iter::from_fn(move || {
        let (head, name) = (rest.get(..4)?, rest.get(4..HEAD)?);
        let short = u64::from(u32::from_be_bytes(head.try_into().ok()?));
        let (from, length) = match short {
            // The last box reaches to the end.
            0 => (HEAD, rest.len() as u64),
            1 => (LARGE, u64::from_be_bytes(rest.get(HEAD..LARGE)?.try_into().ok()?)),
            _ => (HEAD, short),
        };
        let until = usize::try_from(length).ok().filter(|until| *until >= from)?.min(rest.len());
        let content = rest.get(from..until)?;
        rest = &rest[until..];
        Some((name, content))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_file_is_not_read_for_ever() {
        let mut file = Bounded::new(b"12345678");
        let mut times = 0_u32;
        let end = loop {
            file.seek(SeekFrom::Start(0)).expect("a place in the file");
            match file.read_exact(&mut [0; 8]) {
                Ok(()) => times += 1,
                Err(end) => break end,
            }
        };
        assert_eq!(end.to_string(), "its parts lead round in a circle");
        assert!((8000..10_000).contains(&times), "{times}");
    }

    #[test]
    fn law_more_pieces_than_bytes_are_noticed() {
        let file = |size: u32, count: u32| {
            let table = [&b"stsz"[..], &[0; 4], &size.to_be_bytes(), &count.to_be_bytes()].concat();
            let described = [&28_u32.to_be_bytes()[..], b"moov", &20_u32.to_be_bytes(), &table].concat();
            [&12_u32.to_be_bytes()[..], b"free", &[0; 4], &described].concat()
        };
        assert!(claims_more_than_it_holds(&file(1, u32::MAX)));
        assert!(!claims_more_than_it_holds(&file(1, 10)));
        // Sizes that differ are listed: the reader of containers checks how many.
        assert!(!claims_more_than_it_holds(&file(0, u32::MAX)));
        for cut in 0..40 {
            let whole = file(1, u32::MAX);
            claims_more_than_it_holds(&whole[..cut.min(whole.len())]);
        }
    }
}
