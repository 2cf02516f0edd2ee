//! Rendered film of throws whose truth is known: for the measurement of `boardwise-film`, since no film of a lane can be had.
//!
//! A clip follows from its seed alone: camera, lens, light, bowler, ball, oil, people. The measuring side is told none of it but a few
//! points that somebody taps with an unsteady finger, and the hand.

mod flight;
mod people;
mod scene;
mod spec;
mod sphere;

use boardwise_film::{FilmError, Picture, Pictures};
use boardwise_units::stream::Stream;

pub use spec::{Clip, Filming, PLACES};

use scene::Still;
use sphere::RollingBall;

/// A clip being rendered, picture by picture.
pub struct Footage {
    clip: Clip,
    still: Still,
    ball: RollingBall,
    noise: Vec<f32>,
    canvas: Vec<f32>,
    next: usize,
}

impl Footage {
    /// The clip's first picture comes next.
    pub fn new(clip: Clip) -> Self {
        let still = Still::draw(&clip);
        let ball = RollingBall::new(&clip);
        let sd = clip.noise as f32;
        let noise =
            (0..1 << 16).map(|k| Stream::keyed(clip.seed, "noise of a pixel", k).normal() as f32 * sd).collect();
        let canvas = vec![0.0; clip.width * clip.height];
        Self { clip, still, ball, noise, canvas, next: 0 }
    }

    /// The clip.
    pub fn clip(&self) -> &Clip {
        &self.clip
    }

    /// Pictures of the clip.
    pub fn pictures(&self) -> usize {
        (self.clip.length_s() * self.clip.filming.rate_hz) as usize
    }
}

impl Pictures for Footage {
    fn next(&mut self, into: &mut Picture) -> Result<bool, FilmError> {
        if self.next >= self.pictures() {
            return Ok(false);
        }
        let index = self.next;
        self.next += 1;
        let rate_hz = self.clip.filming.rate_hz;
        // Phones do not keep time to the microsecond.
        let jitter_s = self.clip.filming.jitter
            * Stream::keyed(self.clip.seed, "time of a picture", index as u64).normal()
            / rate_hz;
        let time_s =
            index as f64 / rate_hz + if index == 0 { 0.0 } else { jitter_s.clamp(-0.3 / rate_hz, 0.3 / rate_hz) };
        let shake = self.clip.shake(time_s);
        self.still.shifted(shake, &mut self.canvas);
        self.ball.draw(&self.clip, time_s, shake, &mut self.canvas);
        people::draw(&self.clip, time_s, shake, &mut self.canvas);
        let (width, height) = (self.clip.width, self.clip.height);
        (into.width, into.height, into.time_s) = (width, height, time_s);
        into.luma.resize(width * height, 0);
        for (row, (out, drawn)) in into.luma.chunks_mut(width).zip(self.canvas.chunks(width)).enumerate() {
            let from = Stream::keyed(self.clip.seed, "noise of a row", (index * height + row) as u64).bits() as usize;
            let from = from % (self.noise.len() - width);
            for ((out, drawn), noise) in out.iter_mut().zip(drawn).zip(&self.noise[from..]) {
                *out = (drawn + noise + 0.5) as u8;
            }
        }
        Ok(true)
    }
}
