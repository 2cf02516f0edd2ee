//! What a state of a game is worth: the final score to expect from it, if what follows is bowled at par.

use super::cloud::{Ground, Sample, together};
use super::error::AccountError;
use crate::belief::Belief;
use boardwise_lane::Release;
use boardwise_pins::carry::Carry;
use boardwise_pins::spare::Second;
use boardwise_score::{Deck, Forecast, Game, Leave, LeaveRate, PinSet, Roll, Skill};
use boardwise_search::{FirstBall, GameScore};

/// What could be expected of first balls before the block began, by lane. It stays as it is to the end of the block: what
/// came later must have no part in it, or luck would not average to nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Par {
    first: [FirstBall; 2],
}

impl Par {
    /// From first balls known otherwise: on lane 0, on lane 1.
    pub const fn new(first: [FirstBall; 2]) -> Self {
        Self { first }
    }

    /// The lines, by lane, that make the best game on the lanes as believed. `lines` are the best ones known: ball, by its place, and release.
    ///
    /// # Errors
    /// If a lane has no line, a line names a ball or release that cannot be, or a chance is none, such as one that is not a number.
    pub fn of(
        belief: &Belief,
        lines: &[Vec<(usize, Release)>; 2],
        second: &dyn Fn(Leave) -> Second,
        carry: &Carry,
    ) -> Result<Self, AccountError> {
        let balls = belief.balls().len();
        let best = |lane: usize| -> Result<FirstBall, AccountError> {
            let mut ground = Ground::new(belief, lane, carry, Sample::PAR);
            let mut best: Option<(f64, FirstBall)> = None;
            for &(ball, release) in &lines[lane] {
                release.check()?;
                if ball >= balls {
                    return Err(AccountError::NoBall { lane, ball, balls });
                }
                let first = together(&ground.strays(ball, &release));
                let mean = GameScore::of(&first, second)?.mean;
                if best.as_ref().is_none_or(|(most, _)| mean > *most) {
                    best = Some((mean, first));
                }
            }
            best.map(|(_, first)| first).ok_or(AccountError::NoLine { lane })
        };
        Ok(Self { first: [best(0)?, best(1)?] })
    }
}

/// What a second ball does to a leave.
#[derive(Clone, Copy, Debug)]
struct Making {
    make: f64,
    /// Of the pins that a miss could take at most, the share it takes.
    missed: f64,
}

impl Making {
    fn of(leave: Leave, second: Second) -> Self {
        let standing = f64::from(leave.pins().len());
        let make = second.make.clamp(0.0, 1.0);
        let missed = if make < 1.0 { (second.down - make * standing) / (1.0 - make) } else { 0.0 };
        let most = standing - 1.0;
        Self { make, missed: if most > 0.0 { (missed / most).clamp(0.0, 1.0) } else { 0.0 } }
    }

    /// As a rate. An open frame counts its pins one for one, so that only their mean matters: a miss takes none or all but one.
    fn rate(self, leave: Leave, share: f64) -> Result<LeaveRate, boardwise_score::Error> {
        let standing = usize::from(leave.pins().len());
        let mut missed = [0.0; 10];
        missed[0] += 1.0 - self.missed;
        missed[standing - 1] += self.missed;
        LeaveRate::of(leave, share, self.make)?.missed(&missed[..standing])
    }
}

/// Where a second ball leads: made, none down, all but one down.
#[derive(Clone, Copy, Debug, Default)]
struct Ends {
    made: f64,
    none: f64,
    all_but_one: f64,
}

impl Ends {
    fn mean(&self, making: Making) -> f64 {
        making.make * self.made + (1.0 - making.make) * self.missed(making)
    }

    fn missed(&self, making: Making) -> f64 {
        making.missed * self.all_but_one + (1.0 - making.missed) * self.none
    }
}

/// Where the first ball at a rack leads: all down, or to a second ball, by how many stand.
#[derive(Clone, Debug)]
pub(super) struct Ahead {
    strike: f64,
    ends: [Ends; 11],
}

/// The worth of states of one game after another.
pub(super) struct Worth<'a> {
    skills: [Skill; 2],
    second: &'a dyn Fn(Leave) -> Second,
    /// By the leave's bits, once asked for: rare leaves are many and each costs the caller time.
    known: Vec<Option<Making>>,
    forecast: Forecast,
}

impl<'a> Worth<'a> {
    pub fn new(par: &Par, second: &'a dyn Fn(Leave) -> Second) -> Result<Self, boardwise_score::Error> {
        let mut known = vec![None; usize::from(PinSet::ALL.bits()) + 1];
        let mut skill = |first: &FirstBall| {
            let rates = first.leaves.iter().map(|one| making(&mut known, second, one.leave).rate(one.leave, one.share));
            Skill::new(first.strike, rates.collect::<Result<_, _>>()?)
        };
        let skills = [skill(&par.first[0])?, skill(&par.first[1])?];
        let forecast = Forecast::new(&skills[0]);
        Ok(Self { skills, second, known, forecast })
    }

    /// Begins a game whose frames are bowled on these lanes.
    pub fn begin(&mut self, lanes: [usize; 10]) -> Result<(), boardwise_score::Error> {
        self.forecast = Forecast::baker(&lanes.map(|lane| self.skills[lane].clone()))?;
        Ok(())
    }

    /// The final score to expect.
    pub fn of(&mut self, game: &Game) -> f64 {
        match leave(game) {
            Some(leave) => {
                let making = making(&mut self.known, self.second, leave);
                self.ends(game, leave.pins().len()).mean(making)
            }
            None => self.forecast.of(game).mean(),
        }
    }

    /// Where the first ball thrown next leads.
    pub fn ahead(&self, game: &Game) -> Ahead {
        let strike = self.forecast.of(&after(game, Roll::ALL_DOWN)).mean();
        let ends = core::array::from_fn(|standing| match standing {
            0 => Ends::default(),
            _ => self.ends(&after(game, Roll::Down(10 - standing as u8)), standing as u8),
        });
        Ahead { strike, ends }
    }

    /// The final score to expect if that first ball leaves these pins.
    pub fn left(&mut self, ahead: &Ahead, pins: PinSet) -> f64 {
        Leave::new(pins).map_or(ahead.strike, |leave| {
            ahead.ends[usize::from(pins.len())].mean(making(&mut self.known, self.second, leave))
        })
    }

    /// The final score to expect after such first balls.
    pub fn mean(&mut self, ahead: &Ahead, first: &FirstBall) -> f64 {
        let leaves: f64 = first.leaves.iter().map(|one| one.share * self.left(ahead, one.leave.pins())).sum();
        first.strike * ahead.strike + leaves
    }

    /// How far the final score to expect strays about its mean after such first balls, squared.
    pub fn variance(&mut self, ahead: &Ahead, first: &FirstBall) -> f64 {
        let mean = self.mean(ahead, first);
        let leaves = first.leaves.iter().map(|one| one.share * (self.left(ahead, one.leave.pins()) - mean).powi(2));
        first.strike * (ahead.strike - mean).powi(2) + leaves.sum::<f64>()
    }

    /// The chance that the second ball thrown next makes its leave, and what that is worth over a miss.
    pub fn spare(&mut self, game: &Game, leave: Leave) -> (f64, f64) {
        let making = making(&mut self.known, self.second, leave);
        let ends = self.ends(game, leave.pins().len());
        (making.make, ends.made - ends.missed(making))
    }

    /// The chance that a second ball makes a leave.
    pub fn make(&mut self, leave: Leave) -> f64 {
        making(&mut self.known, self.second, leave).make
    }

    fn ends(&self, game: &Game, standing: u8) -> Ends {
        let worth = |down: u8| self.forecast.of(&after(game, Roll::Down(down))).mean();
        Ends { made: worth(standing), none: worth(0), all_but_one: worth(standing - 1) }
    }
}

fn making(known: &mut [Option<Making>], second: &dyn Fn(Leave) -> Second, leave: Leave) -> Making {
    *known[usize::from(leave.pins().bits())].get_or_insert_with(|| Making::of(leave, second(leave)))
}

/// What a second ball is thrown at; None where the next ball is the first at its rack, or which pins stand is not known.
pub(super) fn leave(game: &Game) -> Option<Leave> {
    match game.deck() {
        Some(Deck::Pins(pins)) if !first_at_rack(game) => Leave::new(pins).ok(),
        _ => None,
    }
}

/// Whether the next ball is the first at its rack. Ten pins stand after a foul or a gutter ball, too.
pub(super) fn first_at_rack(game: &Game) -> bool {
    let mut next = *game;
    next.push(Roll::Down(0)).is_ok_and(|thrown| thrown.first_at_rack)
}

/// The game with one ball more that can be; after its last ball, the game as it is.
fn after(game: &Game, roll: Roll) -> Game {
    let mut next = *game;
    let pushed = next.push(roll);
    debug_assert!(pushed.is_ok() || game.is_complete(), "{game} {roll:?}");
    next
}
