//! The line a bowler is on, lane by lane, and how it changes.

use boardwise_lane::Release;
use boardwise_record::{BlockId, Fact, Key, Seq};
use boardwise_search::Move;
use boardwise_units::{Board, Degrees, Mph};
use jiff::Timestamp;

use super::asked::Shift;
use super::desk::{self, Desk, Setting};
use super::meant::Meant;
use super::so_far::BlockSoFar;
use crate::Failure;
use boardwise_files::Fault;

/// The lines that a bowler is on, lane by lane, as the record has them.
#[derive(Clone, Debug, PartialEq)]
pub struct Lines {
    all: Vec<(Seq, usize, Meant)>,
    own: Meant,
}

impl Lines {
    /// Of the block.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn of(desk: &Desk, setting: &Setting) -> Result<Self, Failure> {
        Self::within(desk, setting, &desk.begun.block)
    }

    /// Of another block of the bowler's on the same pair.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn within(desk: &Desk, setting: &Setting, block: &BlockId) -> Result<Self, Failure> {
        let on_pair = |number: u32| setting.numbers.iter().position(|&one| one == number);
        let all = desk.lines(block)?.into_iter().filter_map(|(seq, lane, meant)| Some((seq, on_pair(lane)?, meant)));
        Ok(Self { all: all.collect(), own: Meant::of(&setting.seat.bowler.release) })
    }

    /// The line on a lane just before a fact; None for now.
    pub fn on(&self, lane: usize, before: Option<Seq>) -> Meant {
        let mut known = self.all.iter().rev().filter(|(_, of, _)| *of == lane);
        known.find(|(seq, ..)| before.is_none_or(|before| *seq < before)).map_or(self.own, |(.., meant)| *meant)
    }
}

/// Writes down what is another from now on, all under one key; gives the lines that changed, by lane. Under a key known
/// already nothing is added, and no line has changed.
///
/// # Errors
/// What was asked cannot be, or cannot be written.
pub fn shift(so_far: &mut BlockSoFar, asked: &Shift, key: &Key) -> Result<Vec<(usize, Meant)>, Failure> {
    let up = so_far.lane_up();
    let BlockSoFar { desk, setting, lines, .. } = &mut *so_far;
    for part in desk::LANES.into_iter().chain([desk::BALL]) {
        if desk.record.receipt(&desk::beside_key(key, part)?)?.is_some() {
            return Ok(Vec::new());
        }
    }
    let nothing = asked.feet.is_none()
        && asked.line.is_none()
        && asked.speed.is_none()
        && asked.rotation.is_none()
        && asked.ball.is_none();
    if nothing {
        let allowed = "say what: FEET EYES, --line LAYDOWN ARROWS, --speed, --rotation or --ball".to_owned();
        return Err(Fault::Flag { flag: "move".to_owned(), value: String::new(), allowed }.into());
    }
    let ball = asked.ball.as_deref().map(|id| setting.ball(id)).transpose()?;
    let lanes = match asked.lane {
        _ if asked.both => vec![0, 1],
        Some(number) => vec![setting.lane(number)?],
        None => vec![up],
    };
    let mut now = Vec::new();
    for lane in lanes {
        now.push((lane, moved(asked, &lines.on(lane, None).release(&setting.seat.bowler.release), setting)?));
    }
    let mut facts = Vec::new();
    let (block, bowler) = (Some(desk.begun.block.clone()), desk.begun.bowler.clone());
    if let Some(ball) = ball {
        let ball = desk.begun.balls[ball].clone();
        facts.push((Fact::BallChange { bowler: bowler.clone(), ball }, desk::beside_key(key, desk::BALL)?));
    }
    for (lane, meant) in &now {
        let text = meant.note(setting.numbers[*lane]);
        let note = Fact::Note { text, block: block.clone(), bowler: Some(bowler.clone()) };
        facts.push((note, desk::beside_key(key, desk::LANES[*lane])?));
    }
    desk.record.log_all(facts, Timestamp::now())?;
    so_far.catch_up()?;
    Ok(now)
}

/// The line after what was asked.
fn moved(asked: &Shift, from: &Release, setting: &Setting) -> Result<Meant, Fault> {
    let refuse = |flag: &str, value: String, allowed: String| Fault::Flag { flag: flag.to_owned(), value, allowed };
    let bowler = &setting.seat.bowler;
    let within = |flag: &str, value: Option<f64>, (low, high): (f64, f64), now: f64, unit: &str| match value {
        None => Ok(now),
        Some(value) if (low..=high).contains(&value) => Ok(value),
        Some(value) => Err(refuse(flag, value.to_string(), format!("{low} to {high} {unit}, by the bowler's file"))),
    };
    let (speeds, rotations) = (bowler.range.speed, bowler.range.rotation);
    let speed = within("--speed", asked.speed, (speeds.0.0, speeds.1.0), from.speed.0, "mph")?;
    let rotation = within("--rotation", asked.rotation, (rotations.0.0, rotations.1.0), from.rotation.0, "degrees")?;
    let from = Release { speed: Mph(speed), rotation: Degrees(rotation), ..*from };
    let to = match (asked.feet.zip(asked.eyes), asked.line.as_deref()) {
        (Some((feet_boards, eyes_boards)), _) => {
            const MOST: f64 = 20.0;
            for (flag, boards) in [("FEET", feet_boards), ("EYES", eyes_boards)] {
                if !(-MOST..=MOST).contains(&boards) {
                    let allowed = format!("-{MOST} to {MOST} boards, positive in; --line gives a line outright");
                    return Err(refuse(flag, boards.to_string(), allowed));
                }
            }
            let was = Meant::of(&from);
            let (laydown, arrows) = (was.laydown + feet_boards, was.arrows + eyes_boards);
            if !Board(laydown).on_lane() || !Board(arrows).on_lane() {
                let allowed = format!("that leads to laydown {laydown}, arrows {arrows}; boards go from 0.5 to 39.5");
                return Err(refuse("FEET EYES", format!("{feet_boards} {eyes_boards}"), allowed));
            }
            Meant::of(&Move { feet_boards, eyes_boards }.of(&from))
        }
        (None, Some(&[laydown, arrows])) => {
            for board in [laydown, arrows] {
                super::seen::board("--line", Some(board))?;
            }
            Meant { laydown, arrows, ..Meant::of(&from) }
        }
        (None, _) => Meant::of(&from),
    };
    let release = to.release(&bowler.release);
    release.check().map_err(|why| refuse("--line", to.words(), why.to_string()))?;
    Ok(to)
}
