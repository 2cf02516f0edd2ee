//! Memory that one answer is done with is kept for the next.

use std::hint::black_box;

/// Largest piece that is kept in the heap once it is given back.
const KEPT_BYTES: usize = 16 << 20;

/// Keeps what work gives back, instead of handing it to the system and asking for it again piece by piece: a card cuts hundreds of lanes of
/// less than a megabyte each, and a tenth of its time went into pages that had just been given away.
///
/// The C library of GNU systems learns from the largest piece given back (mallopt(3), `M_MMAP_THRESHOLD`): pieces up to that size stay in the
/// heap, and up to twice as much stays free at its end. So one piece that nobody writes into is taken and given back. Elsewhere this does nothing.
pub fn keep() {
    drop(black_box(Vec::<u8>::with_capacity(black_box(KEPT_BYTES))));
}
