//! What is open before a shot, and the price of each change.

use super::{Situation, Terms};
use crate::Belief;
use boardwise_ball::{Ball, Surface};
use boardwise_lane::Release;
use boardwise_search::{Bowler, Move, aim};
use boardwise_units::{Board, Degrees, Mph};

/// All that a bowler decides before a shot. With the bowler's own rev rate, tilt and loft it is the whole of what is meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// The ball, by its place.
    pub ball: usize,
    /// The surface that is put on it first; none if it stays as it is.
    pub surface: Option<Surface>,
    /// Where to stand: the board to slide on, by the inner edge of the slide foot.
    pub slide: Board,
    /// Where to look: the board at the arrows.
    pub look: Board,
    /// Speed.
    pub speed: Mph,
    /// Hand: axis rotation.
    pub rotation: Degrees,
    /// The same as the release meant.
    pub release: Release,
}

impl Choice {
    /// Of what is thrown with a ball.
    pub fn new(bowler: &Bowler, ball: usize, surface: Option<Surface>, release: Release) -> Self {
        Self {
            ball,
            surface,
            slide: bowler.slide_board(release.laydown),
            look: aim(&release),
            speed: release.speed,
            rotation: release.rotation,
            release,
        }
    }
}

/// What a choice changes. Another ball or surface comes with a line of its own. All but the last, and staying with another
/// hand, are thrown with the bowler's usual speed and rotation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// The same again.
    Stay,
    /// Feet and eyes.
    Move(Move),
    /// Back to the bowler's usual speed and hand, and perhaps a move with it.
    OwnHand(Move),
    /// Another ball.
    Ball,
    /// Another surface on the ball in hand. What it is shown with must carry the cautions ([`crate::Card`]).
    Surface(Surface),
    /// Another speed or rotation than the bowler's usual, by so much. It needs cautions, too.
    Hand(Mph, Degrees),
}

/// Prices in pins a game: what a change costs beyond what the worlds show of it (our judgement, in the order in which a coach
/// tries things: feet and eyes, then the surface, then the ball). The first shots after a change are less sure, the more so
/// the larger it is. A hand that is not one's own tires and strays in ways beyond a wider spread.
const MOVE_PRICE_A_BOARD: f64 = 0.4;
const SURFACE_PRICE: f64 = 2.0;
const HAND_PRICE: f64 = 3.0;
const BALL_PRICE: f64 = 4.0;

impl Change {
    /// What it costs, pins a game.
    pub fn price(&self) -> f64 {
        match self {
            Self::Stay => 0.0,
            Self::Move(moved) | Self::OwnHand(moved) => {
                MOVE_PRICE_A_BOARD * moved.feet_boards.abs().max(moved.eyes_boards.abs()).max(1.0)
            }
            Self::Ball => BALL_PRICE,
            Self::Surface(_) => SURFACE_PRICE,
            Self::Hand(..) => HAND_PRICE,
        }
    }
}

/// The furthest that a coach moves feet and eyes at once, boards (common practice, no source: the stories end at "3 and 2").
const STEP: (f64, f64) = (3.0, 2.0);

impl Change {
    /// Whether it moves feet or eyes further than a coach does at once.
    pub(super) fn is_leap(&self) -> bool {
        match self {
            Self::Move(moved) | Self::OwnHand(moved) => {
                moved.feet_boards.abs() > STEP.0 + 0.01 || moved.eyes_boards.abs() > STEP.1 + 0.01
            }
            _ => false,
        }
    }

    /// The order in which a coach tries things (common practice, no source): feet and eyes, the surface, the ball, the hand last.
    pub(super) fn tried(&self) -> u8 {
        match self {
            Self::Stay => 0,
            Self::Move(_) | Self::OwnHand(_) => 1,
            Self::Surface(_) => 2,
            Self::Ball => 3,
            Self::Hand(..) => 4,
        }
    }
}

/// Something open: a choice and what it changes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Open {
    pub change: Change,
    pub choice: Choice,
    /// The ball with the surface it would have; its place among [`Choices::grips`].
    pub grip: usize,
}

/// All that is open.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Choices {
    pub open: Vec<Open>,
    /// Balls as they would be thrown: those of the belief in their order, then the one in hand with other surfaces.
    pub grips: Vec<Ball>,
}

/// Moves as a coach says them, feet and eyes to one side: "2 and 1", a parallel move, or eyes alone (common practice, no
/// source). Each goes both ways.
const MOVES: [(f64, f64); 11] = [
    (0.0, 1.0),
    (1.0, 0.0),
    (1.0, 1.0),
    (2.0, 0.0),
    (2.0, 1.0),
    (2.0, 2.0),
    (3.0, 1.0),
    (3.0, 2.0),
    (4.0, 2.0),
    (4.0, 3.0),
    (5.0, 3.0),
];
/// Steps of a change of speed and of rotation, for which a bowler's looseness is stated.
const SPEED_STEP: f64 = 0.5;
const ROTATION_STEP: f64 = 8.0;
/// A bowler moves by whole boards; lines of other balls are given in halves.
const WHOLE_BOARDS: f64 = 1.0;
const HALF_BOARDS: f64 = 2.0;

/// Something that may be open, if it is aimed in the pocket.
struct Proposed {
    change: Change,
    place: usize,
    grip: usize,
    release: Release,
    /// Of proposals for the same line only the first that is aimed is taken.
    line: Option<usize>,
}

impl Choices {
    /// Everything open: staying; feet and eyes; the best line known; another ball on its own line; another surface where the
    /// terms allow it; a little more or less speed or hand. But for staying, all are aimed in the pocket in the mean world.
    pub fn new(belief: &Belief, at: &Situation, terms: &Terms) -> Self {
        let usual = belief.bowler().release;
        let here = Release { speed: usual.speed, rotation: usual.rotation, ..at.release };
        let mut all = Self { open: Vec::new(), grips: belief.balls().to_vec() };
        let of_ball = |change, release| Proposed { change, place: at.ball, grip: at.ball, release, line: None };
        let mut proposed = vec![of_ball(Change::Stay, at.release)];
        let usual_now = here == at.release;
        let with_usual = |moved| if usual_now { Change::Move(moved) } else { Change::OwnHand(moved) };
        if !usual_now {
            proposed.push(of_ball(with_usual(Move::STAY), here));
        }
        proposed.extend(moves().map(|moved| of_ball(with_usual(moved), moved.of(&here))));
        proposed.extend(other_hands(belief.bowler(), at).map(|(change, release)| of_ball(change, release)));
        for (number, &(ball, line)) in at.others.iter().enumerate() {
            let line = Release { speed: usual.speed, rotation: usual.rotation, ..line };
            let of_line = |change, release| Proposed { change, place: ball, grip: ball, release, line: Some(number) };
            if ball == at.ball {
                let moves = around(Move::between(&here, &line), WHOLE_BOARDS);
                // Feet and eyes go to one side.
                let said = moves.into_iter().filter(|moved| moved.feet_boards * moved.eyes_boards >= 0.0);
                proposed.extend(said.map(|moved| of_line(with_usual(moved), moved.of(&here))));
            } else {
                // From the middle of the lane, so that stand and look come out in half boards.
                let middle = Release { laydown: Board(20.0), launch: Degrees(0.0), ..line };
                let moves = around(Move::between(&middle, &line), HALF_BOARDS);
                proposed.extend(moves.map(|moved| of_line(Change::Ball, moved.of(&middle))));
            }
        }
        all.propose_surfaces(at, &here, terms, &mut proposed);
        all.take(belief, at, &proposed);
        all
    }

    /// The ball in hand with other surfaces, each where it is thrown now and moved to both sides: a rougher one hooks
    /// earlier.
    fn propose_surfaces(&mut self, at: &Situation, here: &Release, terms: &Terms, proposed: &mut Vec<Proposed>) {
        const PARALLEL: [f64; 3] = [-2.0, 0.0, 2.0];
        let Some(in_hand) = self.grips.get(at.ball).cloned() else { return };
        for &surface in terms.surfaces.iter().filter(|surface| **surface != in_hand.surface) {
            let grip = self.grips.len();
            self.grips.push(in_hand.resurfaced(surface));
            proposed.extend(PARALLEL.map(|feet| {
                let release = Move { feet_boards: feet, eyes_boards: 0.5 * feet }.of(here);
                Proposed { change: Change::Surface(surface), place: at.ball, grip, release, line: None }
            }));
        }
    }

    /// Takes what is aimed in the pocket in the mean world. Staying is always open: it is what all else is measured by.
    fn take(&mut self, belief: &Belief, at: &Situation, proposed: &[Proposed]) {
        let by_grip: Vec<Vec<&Proposed>> =
            (0..self.grips.len()).map(|grip| proposed.iter().filter(|one| one.grip == grip).collect()).collect();
        let meant = |(grip, all): (usize, &Vec<&Proposed>)| {
            let place = all.first().map_or(grip, |first| first.place);
            (place, &self.grips[grip], all.iter().map(|one| one.release).collect())
        };
        let aimed = belief.aimed(at.lane, &by_grip.iter().enumerate().map(meant).collect::<Vec<_>>());
        let mut lines = Vec::new();
        for (one, aimed) in by_grip.into_iter().flatten().zip(aimed.into_iter().flatten()) {
            let stays = one.change == Change::Stay;
            if !(aimed || stays) || one.line.is_some_and(|line| lines.contains(&line)) {
                continue;
            }
            lines.extend(one.line);
            let surface = match one.change {
                Change::Surface(surface) => Some(surface),
                _ => None,
            };
            let choice = Choice::new(belief.bowler(), one.place, surface, one.release);
            if !self.open.iter().any(|known| known.choice == choice) {
                self.open.push(Open { change: one.change, choice, grip: one.grip });
            }
        }
    }
}

/// A little slower or faster, and a little less or more hand, than the bowler's usual, as far as the bowler can; not the way
/// that is in use.
fn other_hands(bowler: &Bowler, at: &Situation) -> impl Iterator<Item = (Change, Release)> {
    let (usual, range, now) = (bowler.release, bowler.range, at.release);
    let others = [(-SPEED_STEP, 0.0), (SPEED_STEP, 0.0), (0.0, -ROTATION_STEP), (0.0, ROTATION_STEP)];
    others.into_iter().filter_map(move |(mph, degrees)| {
        let (speed, rotation) = (Mph(usual.speed.0 + mph), Degrees(usual.rotation.0 + degrees));
        let other = Release { speed, rotation, ..now };
        let can = (range.speed.0.0..=range.speed.1.0).contains(&speed.0)
            && (range.rotation.0.0..=range.rotation.1.0).contains(&rotation.0);
        (can && other != now).then_some((Change::Hand(Mph(mph), Degrees(degrees)), other))
    })
}

fn moves() -> impl Iterator<Item = Move> {
    MOVES
        .into_iter()
        .flat_map(|(feet, eyes)| [1.0, -1.0].map(|way| Move { feet_boards: way * feet, eyes_boards: way * eyes }))
}

/// The four moves around one, in boards divided into so many parts, the nearest first.
fn around(to: Move, parts: f64) -> [Move; 4] {
    let part = |boards: f64, up: f64| ((boards * parts).floor() + up) / parts;
    let mut all = [(0.0, 0.0), (0.0, 1.0), (1.0, 0.0), (1.0, 1.0)]
        .map(|(a, b)| Move { feet_boards: part(to.feet_boards, a), eyes_boards: part(to.eyes_boards, b) });
    let far = |one: &Move| (one.feet_boards - to.feet_boards).powi(2) + (one.eyes_boards - to.eyes_boards).powi(2);
    all.sort_by(|a, b| far(a).total_cmp(&far(b)));
    all
}
