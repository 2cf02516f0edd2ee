//! How the line a bowler is on changes.

use boardwise_lane::Release;
use boardwise_record::{BallId, Fact, Key, Logged};
use boardwise_search::Move;
use boardwise_units::{Board, Degrees, Mph};

use super::block_state::BlockState;
use super::command::{Deed, Done, Move as Moved, Stamp};
use super::desk::{self, BlockBegun, Desk, Setting};
use super::known;
use super::line_meant::{AsRelease, LineMeant};
use crate::Failure;
use boardwise_files::Fault;

/// Writes down what is another from now on, all under one key. Under a key known already nothing is added, and no line has changed.
///
/// # Errors
/// What was asked cannot be, or cannot be written.
pub(super) fn shift(state: &mut BlockState, asked: &Moved, stamp: &Stamp) -> Result<Done, Failure> {
    let key = &stamp.key;
    let up = state.lane_up();
    let in_hand = state.sheet.ball.clone();
    let BlockState { desk, setting, lines, .. } = &mut *state;
    known::only(&desk.record, key, known::MOVE)?;
    let mut before = Vec::new();
    for part in desk::LANES.into_iter().chain([desk::BALL, desk::SURFACE]) {
        before.extend(known::fact(&desk.record, &desk::beside_key(key, part)?)?);
    }
    let nothing = asked.feet.is_none()
        && asked.line.is_none()
        && asked.speed.is_none()
        && asked.rotation.is_none()
        && asked.ball.is_none()
        && asked.surface.is_none();
    if nothing {
        return Err(Failure::NothingToMove);
    }
    let ball = asked.ball.as_deref().map(|id| setting.ball(id)).transpose()?;
    let worked_on = asked.surface.map(|surface| Ok::<_, Failure>((ball_worked_on(ball, desk, in_hand)?, surface)));
    let worked_on = worked_on.transpose()?;
    let lanes = match asked.lane {
        _ if asked.both => vec![0, 1],
        Some(number) => vec![setting.lane(number)?],
        None => vec![up],
    };
    // Done before, it started from the lines before it, on the lanes that it was done on.
    let done_before = before.iter().map(|logged| logged.seq).min();
    let lanes: Vec<usize> = match (done_before, asked.both || asked.lane.is_some()) {
        (Some(_), false) => before.iter().filter_map(|logged| lane_of(logged, &desk.begun)).collect(),
        _ => lanes,
    };
    let mut now = Vec::new();
    for lane in lanes {
        now.push((lane, moved(asked, &lines.on(lane, done_before).release(&setting.seat.bowler.release), setting)?));
    }
    let mut facts = Vec::new();
    let (block, bowler) = (desk.begun.block.clone(), desk.begun.bowler.clone());
    if let Some(ball) = ball {
        let ball = desk.begun.balls[ball].clone();
        facts.push((Fact::BallChange { bowler: bowler.clone(), ball }, desk::beside_key(key, desk::BALL)?));
    }
    if let Some((place, surface)) = worked_on {
        let fact = Fact::SurfaceChange { ball: desk.begun.balls[place].clone(), surface, how: None };
        facts.push((fact, desk::beside_key(key, desk::SURFACE)?));
    }
    for (lane, meant) in &now {
        let (block, bowler, lane_id) = (block.clone(), bowler.clone(), desk.begun.lanes[*lane].clone());
        let fact = Fact::LineMeant { block, bowler, lane: lane_id, line: *meant };
        facts.push((fact, desk::beside_key(key, desk::LANES[*lane])?));
    }
    if done_before.is_some() {
        let mut same: Vec<(Fact, Key)> = before.into_iter().map(|logged| (logged.fact, logged.key)).collect();
        for facts in [&mut same, &mut facts] {
            facts.sort_by(|a, b| a.1.cmp(&b.1));
        }
        return if same == facts { Ok(Done::of(Deed::Moved)) } else { known::other(key) };
    }
    state.write(facts, stamp.at)?;
    state.catch_up()?;
    Ok(Done { lines: now, ..Done::of(Deed::Moved) })
}

/// The ball whose surface is another now, by its place in the bag: the one that is taken, else the one in hand.
fn ball_worked_on(taken: Option<usize>, desk: &Desk, in_hand: Option<BallId>) -> Result<usize, Fault> {
    let known = taken.or_else(|| in_hand.and_then(|ball| desk.begun.in_bag(&ball)));
    known.ok_or_else(|| Fault::Field {
        field: "surface",
        value: "of the ball in hand".to_owned(),
        allowed: "nobody knows which ball that is: name the ball".to_owned(),
    })
}

/// The lane of the pair that a line is on.
fn lane_of(logged: &Logged, begun: &BlockBegun) -> Option<usize> {
    match &logged.fact {
        Fact::LineMeant { lane, .. } => begun.on_pair(lane),
        _ => None,
    }
}

/// The line after what was asked.
fn moved(asked: &Moved, from: &Release, setting: &Setting) -> Result<LineMeant, Fault> {
    let refuse = |field: &'static str, value: String, allowed: String| Fault::Field { field, value, allowed };
    let bowler = &setting.seat.bowler;
    let within = |field: &'static str, value: Option<f64>, (low, high): (f64, f64), now: f64, unit: &str| match value {
        None => Ok(now),
        Some(value) if (low..=high).contains(&value) => Ok(value),
        Some(value) => Err(refuse(field, value.to_string(), format!("{low} to {high} {unit}, by the bowler's file"))),
    };
    let (speeds, rotations) = (bowler.range.speed, bowler.range.rotation);
    let speed = within("speed", asked.speed, (speeds.0.0, speeds.1.0), from.speed.0, "mph")?;
    let rotation = within("rotation", asked.rotation, (rotations.0.0, rotations.1.0), from.rotation.0, "degrees")?;
    let from = Release { speed: Mph(speed), rotation: Degrees(rotation), ..*from };
    let to = match (asked.feet.zip(asked.eyes), asked.line) {
        (Some((feet_boards, eyes_boards)), _) => {
            const MOST: f64 = 20.0;
            for (field, boards) in [("feet", feet_boards), ("eyes", eyes_boards)] {
                if !(-MOST..=MOST).contains(&boards) {
                    let allowed = format!("-{MOST} to {MOST} boards, positive in; farther, say the line itself");
                    return Err(refuse(field, boards.to_string(), allowed));
                }
            }
            let was = LineMeant::of(&from);
            let (laydown, arrows) = (was.laydown + feet_boards, was.arrows + eyes_boards);
            if !Board(laydown).on_lane() || !Board(arrows).on_lane() {
                let allowed = format!("that leads to laydown {laydown}, arrows {arrows}; boards go from 0.5 to 39.5");
                return Err(refuse("feet and eyes", format!("{feet_boards} {eyes_boards}"), allowed));
            }
            LineMeant::of(&Move { feet_boards, eyes_boards }.of(&from))
        }
        (None, Some([laydown, arrows])) => {
            for board in [laydown, arrows] {
                super::seen::board("line", Some(board))?;
            }
            LineMeant { laydown, arrows, ..LineMeant::of(&from) }
        }
        (None, _) => LineMeant::of(&from),
    };
    let release = to.release(&bowler.release);
    release.check().map_err(|why| refuse("line", to.words(), why.to_string()))?;
    Ok(to)
}
