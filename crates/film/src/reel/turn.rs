//! The rotation flag: phones save pictures as the sensor lies and say how to turn them.

use super::decoder::Luma;
use crate::Picture;

/// How a picture is turned to stand upright, clockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// As it is.
    None,
    /// By a quarter.
    Quarter,
    /// By half.
    Half,
    /// By three quarters.
    ThreeQuarters,
}

impl Turn {
    /// What the first two rows of a track's matrix say; anything but a plain rotation counts as none.
    pub fn of(matrix: [i32; 4]) -> Self {
        match matrix.map(i32::signum).into() {
            (0, 1, -1, 0) => Self::Quarter,
            (-1, 0, 0, -1) => Self::Half,
            (0, -1, 1, 0) => Self::ThreeQuarters,
            _ => Self::None,
        }
    }

    /// Writes the turned picture over `into`.
    pub fn apply(self, luma: &Luma, into: &mut Picture) {
        let Luma { width, height, bytes } = luma;
        let (width, height) = (*width, *height);
        let lying = matches!(self, Self::Quarter | Self::ThreeQuarters);
        (into.width, into.height) = if lying { (height, width) } else { (width, height) };
        into.luma.clear();
        match self {
            Self::None => into.luma.extend_from_slice(bytes),
            Self::Half => into.luma.extend(bytes.iter().rev()),
            Self::Quarter => {
                for column in 0..width {
                    into.luma.extend((0..height).rev().map(|row| bytes[row * width + column]));
                }
            }
            Self::ThreeQuarters => {
                for column in (0..width).rev() {
                    into.luma.extend((0..height).map(|row| bytes[row * width + column]));
                }
            }
        }
    }
}
