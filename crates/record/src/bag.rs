//! The bag: what each ball's surface was at each moment, and how much it has been thrown.

use std::collections::BTreeSet;

use jiff::Timestamp;

use crate::Error;
use crate::fact::Fact;
use crate::reading::settle;
use crate::roster::{Ball, Surface};
use crate::sheet::Delivery;
use crate::store::Store;
use crate::word::{BlockId, Seq};

/// A ball with what the record knows of its life.
#[derive(Clone, Debug, PartialEq)]
pub struct BallLife {
    /// The ball.
    pub ball: Ball,
    /// Its surface as it came, and every time it was worked on.
    pub surfaces: Vec<SurfaceWork>,
    /// Times it was thrown down a lane, as far as the record knows.
    pub throws: u32,
    /// Games on it: the frames it was thrown in, over ten, and those from before the record. A ball thrown where nothing
    /// is counted is a frame of its own.
    pub games: f64,
    /// Games since its surface was last worked on; all, if it never was.
    pub games_on_surface: f64,
}

/// A surface from one moment on.
#[derive(Clone, Debug, PartialEq)]
pub struct SurfaceWork {
    /// The fact that says so; `None` for the surface the ball came with.
    pub seq: Option<Seq>,
    /// When, by the client's clock.
    pub at: Option<Timestamp>,
    /// The surface.
    pub surface: Surface,
    /// What was done, in the bowler's words.
    pub how: Option<String>,
}

impl BallLife {
    /// Its surface now, if it is known.
    pub fn surface(&self) -> Option<Surface> {
        self.surfaces.last().map(|work| work.surface)
    }

    /// Its surface just before a fact, if it was known; for a shot, give [`Delivery::place`].
    pub fn surface_at(&self, seq: Seq) -> Option<Surface> {
        let before = self.surfaces.iter().take_while(|work| work.seq.is_none_or(|worked| worked < seq));
        before.last().map(|work| work.surface)
    }

    /// Reads a ball's life from its surface work and the sheets of all who threw it.
    pub(crate) fn read(store: &Store, ball: Ball) -> Result<Self, Error> {
        let surfaces = Self::surfaces(store, &ball)?;
        let worked = surfaces.last().and_then(|work| work.seq);
        let (mut throws, mut frames, mut lately) = (0, BTreeSet::new(), BTreeSet::new());
        for bowler in store.throwers(&ball.id)? {
            for (block, bowler) in store.sheets(Some(&bowler))? {
                let sheet = store.sheet(&block, &bowler)?;
                for delivery in sheet.deliveries.iter().filter(|delivery| delivery.ball.as_ref() == Some(&ball.id)) {
                    throws += 1;
                    let frame = (bowler.clone(), Frame::of(&block, delivery));
                    if worked.is_none_or(|worked| delivery.place > worked) {
                        lately.insert(frame.clone());
                    }
                    frames.insert(frame);
                }
            }
        }
        let games = |frames: usize| frames as f64 / 10.0;
        let before = ball.games_before;
        let on_surface = games(lately.len()) + if worked.is_none() { before } else { 0.0 };
        Ok(Self { ball, surfaces, throws, games: before + games(frames.len()), games_on_surface: on_surface })
    }

    fn surfaces(store: &Store, ball: &Ball) -> Result<Vec<SurfaceWork>, Error> {
        let first = ball.surface.map(|surface| SurfaceWork { seq: None, at: None, surface, how: None });
        let works = settle(store.of_surface(&ball.id)?).into_iter().filter_map(|settled| match settled.fact {
            // A correction may have said that it was another ball.
            Fact::SurfaceChange { ball: of, surface, how } if of == ball.id => {
                Some(SurfaceWork { seq: Some(settled.seq), at: Some(settled.at), surface, how })
            }
            _ => None,
        });
        Ok(first.into_iter().chain(works).collect())
    }
}

/// A frame of a block, or a ball where nothing is counted.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Frame {
    Counted { block: BlockId, game: u16, frame: u8 },
    Alone { seq: Seq },
}

impl Frame {
    fn of(block: &BlockId, delivery: &Delivery) -> Self {
        match delivery.thrown {
            Some(thrown) => Self::Counted { block: block.clone(), game: delivery.game, frame: thrown.frame },
            None => Self::Alone { seq: delivery.seq },
        }
    }
}
