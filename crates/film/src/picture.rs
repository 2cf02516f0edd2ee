//! A picture's brightness, and where pictures come from.

use crate::FilmError;

/// One picture: its brightness, row after row, upright, and when it was taken.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Picture {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Brightness, `width · height` bytes.
    pub luma: Vec<u8>,
    /// Seconds from the first picture.
    pub time_s: f64,
}

impl Picture {
    /// Brightness between pixels, bilinear; the nearest pixel beyond the edges. The middle of the first pixel is (0, 0).
    #[inline]
    pub fn at(&self, u: f64, v: f64) -> f64 {
        let u = u.clamp(0.0, (self.width - 1) as f64 - 1e-6);
        let v = v.clamp(0.0, (self.height - 1) as f64 - 1e-6);
        let (i, j) = (u as usize, v as usize);
        let (s, t) = (u - i as f64, v - j as f64);
        let above = &self.luma[j * self.width + i..];
        let below = &self.luma[(j + 1) * self.width + i..];
        let mix = |row: &[u8]| f64::from(row[0]) * (1.0 - s) + f64::from(row[1]) * s;
        mix(above) * (1.0 - t) + mix(below) * t
    }

    /// Whether a place lies in the picture, at least `margin` pixels from its edges.
    pub fn holds(&self, u: f64, v: f64, margin: f64) -> bool {
        u >= margin && v >= margin && u < self.width as f64 - 1.0 - margin && v < self.height as f64 - 1.0 - margin
    }
}

/// Where pictures come from, one after the other: a file, a camera, a renderer.
pub trait Pictures {
    /// Writes the next picture over `into`, whose memory is used again. False at the end.
    ///
    /// # Errors
    /// If the picture cannot be read.
    fn next(&mut self, into: &mut Picture) -> Result<bool, FilmError>;
}
