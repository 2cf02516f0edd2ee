//! How balls were worked on in a block: each ball as it was at a shot, and as it is now.

use boardwise_ball::Ball;
use boardwise_record::{Fact, Seq, Surface};

use super::desk::{BlockBegun, Setting};
use super::standing::Standing;

/// The surface work since a block began, oldest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Surfaces {
    /// When, which ball by its place in the bag, and what its surface was from then on.
    works: Vec<(Seq, usize, Surface)>,
}

/// A surface as the physics has it.
pub fn as_ball_has_it(surface: Surface) -> boardwise_ball::Surface {
    match surface {
        Surface::Ra(ra) => boardwise_ball::Surface::measured(ra.to_metres()),
        Surface::Grit(grit) => boardwise_ball::Surface::sanded(grit),
        Surface::Polished => boardwise_ball::Surface::polished(),
    }
}

impl Surfaces {
    /// Of what stands since the block began.
    pub(super) fn of(standing: &Standing, begun: &BlockBegun, setting: &Setting) -> Self {
        let balls = setting.event.seats[0].bag.bag.balls().len();
        let works = standing.facts().iter().filter_map(|logged| match &logged.fact {
            Fact::SurfaceChange { ball, surface, .. } => {
                Some((logged.seq, begun.in_bag(ball).filter(|place| *place < balls)?, *surface))
            }
            _ => None,
        });
        Self { works: works.collect() }
    }

    /// The surface that a ball of the bag was given last before a fact; none where nobody worked on it. None for the fact means now.
    pub fn on(&self, place: usize, before: Option<Seq>) -> Option<Surface> {
        let mut known = self.works.iter().rev().filter(|(_, ball, _)| *ball == place);
        known.find(|(seq, ..)| before.is_none_or(|before| *seq < before)).map(|(.., surface)| *surface)
    }

    /// The ball of the bag as it was just before a fact.
    pub fn ball(&self, setting: &Setting, place: usize, before: Option<Seq>) -> Ball {
        let ball = &setting.event.seats[0].bag.bag.balls()[place];
        self.on(place, before).map_or_else(|| ball.clone(), |surface| ball.resurfaced(as_ball_has_it(surface)))
    }
}
