//! Reading four neighbours in memory at once.

use super::{Each, WIDTH};

/// Four neighbours in memory, of each throw.
pub(super) type Window = [[f32; 4]; WIDTH];

/// The same, neighbour by neighbour.
#[inline(always)]
pub(super) fn abreast(window: &Window) -> [Each; 4] {
    let mut columns = [[0.0; WIDTH]; 4];
    for i in 0..WIDTH {
        columns[0][i] = window[i][0];
        columns[1][i] = window[i][1];
        columns[2][i] = window[i][2];
        columns[3][i] = window[i][3];
    }
    columns
}
