//! Many throws of a scene at once, for scripts: a row in, where it ended out.
//!
//! The engine is the one behind `line`: a thousand times as fast as a single throw followed as finely as it can be, and within
//! a few tenths of a board of it (docs/path.md).

use boardwise_lane::{ContactLaw, Finish, Release, Runway};
use boardwise_search::{Payoff, Pocket, Strikes, throw_all};

use super::{Failure, Scene};

/// A throw asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// The ball, by its place among those of the scene.
    pub ball: usize,
    /// How it is thrown. It must be possible ([`Release::check`]).
    pub release: Release,
}

/// What came of one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ended {
    /// Where it went.
    pub finish: Finish,
    /// Chance of a strike, by the carry table.
    pub strike: f64,
}

/// A scene ready for any number of throws.
pub struct Batch<'a> {
    /// By ball.
    balls: Vec<(Runway, Strikes<'a>)>,
}

impl<'a> Batch<'a> {
    /// The lane, cut for each ball of the scene.
    ///
    /// # Errors
    /// If the table built in cannot be read.
    pub fn new(scene: &'a Scene) -> Result<Self, Failure> {
        let (carry, law) = (boardwise_files::carry()?, ContactLaw::default());
        let cut = |ball| {
            let strikes = Strikes::new(carry, ball, scene.bowler.hand, Pocket::default());
            (Runway::new(&scene.lane, ball, &law), strikes)
        };
        Ok(Self { balls: scene.balls.iter().map(|one| cut(&one.ball)).collect() })
    }

    /// Throws all of these, in order. Each comes out the same to the bit whatever others are thrown with it.
    pub fn throw(&self, asked: &[Asked]) -> Vec<Ended> {
        let mut ended: Vec<Option<Ended>> = vec![None; asked.len()];
        for (ball, (runway, strikes)) in self.balls.iter().enumerate() {
            let places: Vec<usize> = (0..asked.len()).filter(|&k| asked[k].ball == ball).collect();
            let releases: Vec<Release> = places.iter().map(|&k| asked[k].release).collect();
            for (place, finish) in places.into_iter().zip(throw_all(runway, &releases)) {
                ended[place] = Some(Ended { finish, strike: strikes.worth(&finish) });
            }
        }
        ended.into_iter().flatten().collect()
    }
}
