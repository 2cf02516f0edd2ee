//! `boardwise next`: the next shot, or the spare where something stands.

use std::fmt::Write;
use std::time::Instant;

use book::Sheet;
use pins::carry::Carry;
use play::{Advice, Belief, Card, Change, Facts, Line, NextShot, Situation, Told, Verdict, advise, verb};
use score::{Deck, Leave, PinSet};
use serde_json::{Value, json};

use super::arguments;
use super::believed::Believed;
use super::desk::{Desk, Setting};
use super::line::{Lines, lane_up};
use super::meant::Meant;
use super::{spare, standing};
use crate::cli::{Failure, output};
use crate::kit::{self, Fault};

/// What is to be said before a shot.
pub struct Question {
    /// The record and the block.
    pub desk: Desk,
    /// The event.
    pub setting: Setting,
    /// The sheet.
    pub sheet: Sheet,
    /// Which lane of the pair.
    pub lane: usize,
    /// Seed.
    pub seed: u64,
    /// Since when we think.
    pub start: Instant,
}

pub(in crate::cli) fn run(asked: &arguments::Next) -> Result<(), Failure> {
    let start = Instant::now();
    let desk = Desk::open(asked.desk.record.as_deref())?;
    let setting = desk.begun.setting()?;
    let sheet = desk.sheet()?;
    let next = standing::upcoming(&sheet, Some(&desk.begun.lanes)).ok_or_else(|| Fault::Flag {
        flag: "next".to_owned(),
        value: String::new(),
        allowed: "the block is complete: `boardwise start` begins another".to_owned(),
    })?;
    let lane = match asked.lane {
        Some(number) => setting.lane(number)?,
        None => lane_up(&sheet, &desk),
    };
    let first = next.is_first(&sheet);
    let question = Question { desk, setting, sheet, lane, seed: asked.seed, start };
    match next.deck {
        _ if first => question.full_rack(asked.desk.json),
        Deck::Pins(pins) if pins == PinSet::ALL => question.full_rack(asked.desk.json),
        Deck::Pins(pins) => spare::tell(&question, Leave::new(pins)?, asked.desk.json),
        Deck::Count(count) => Err(Fault::Flag {
            flag: "next".to_owned(),
            value: format!("{count} pins"),
            allowed: "which pins stand was not logged; `boardwise fix` says it".to_owned(),
        }
        .into()),
    }
}

impl Question {
    /// The number of the lane.
    pub fn number(&self) -> u32 {
        self.setting.numbers[self.lane]
    }

    fn full_rack(&self, as_json: bool) -> Result<(), Failure> {
        let carry = kit::carry()?;
        let lines = Lines::of(&self.desk, &self.setting)?;
        let Believed { belief, seen, unread } =
            Believed::of(&self.desk, &self.setting, &self.sheet, &lines, carry, self.seed)?;
        let at = self.situation(&belief, &lines, carry);
        let advice = advise(&belief, &at, carry);
        let balls: Vec<&str> = belief.balls().iter().map(|ball| ball.id.as_str()).collect();
        let facts = Facts::of(&belief, &at, &seen, &advice);
        let card = Card::from_facts(&facts, &advice, &balls);
        let seconds = self.start.elapsed().as_secs_f64();
        if as_json {
            return output::print_json(&json!({
                "schema": 1,
                "block": self.desk.begun.block.as_str(),
                "bowler": self.desk.begun.bowler.as_str(),
                "lane": self.number(),
                "ball": balls[at.ball],
                "line": Meant::of(&at.release),
                "say": card.say,
                "reason": card.reason,
                "worth": card.worth,
                "comes_in_board": { "mean": facts.comes_in.mean, "sd": facts.comes_in.sd },
                "verdict": verdict(advice.verdict),
                "choices": advice.choices.iter().map(|one| choice_json(one, &balls)).collect::<Vec<_>>(),
                "shots_read": seen.len(),
                "shots_unread": unread,
                "seconds": seconds,
            }));
        }
        let mut text = format!("{}\n{}\n{}\n", card.say, card.reason, card.worth);
        // Writing to a string cannot fail.
        let _ = writeln!(text, "\nlane {}, {}: {}", self.number(), balls[at.ball], Meant::of(&at.release).words());
        for (k, one) in rest(&advice).take(2).enumerate() {
            let against = match one.change {
                Change::Stay => String::new(),
                _ => format!(
                    ", {} against staying; better in {:.0}% of what may be",
                    interval(one.gain, true),
                    100.0 * one.better
                ),
            };
            let strikes = interval(one.strike, false);
            let _ = writeln!(text, "{}  {}: {strikes} in 100{against}", k + 2, verb(one, &balls));
        }
        let _ = write!(
            text,
            "\nFrom {} first balls{}. Intervals hold eight in ten of what may be; an estimate, no promise.\n",
            seen.len(),
            if unread > 0 { format!(" ({unread} more could not be read)") } else { String::new() }
        );
        output::print(&text)
    }

    /// Where the bowler stands: the line on this lane, the ball in hand, and the other balls worth a thought, each on the line it would take now.
    fn situation(&self, belief: &Belief, lines: &Lines, carry: &Carry) -> Situation {
        let own = &self.setting.seat.bowler.release;
        let bag = self.setting.event.seats[0].bag.bag.balls();
        let known = self.sheet.ball.as_ref().and_then(|ball| self.desk.begun.balls.iter().position(|one| one == ball));
        let in_hand = known.and_then(|place| belief.balls().iter().position(|ball| ball.id == bag[place].id));
        let ball = in_hand.unwrap_or_default();
        let release = lines.on(self.lane, None).release(own);
        let mut others: Vec<(usize, Line)> = (0..belief.balls().len())
            .filter(|&other| other != ball)
            .filter_map(|other| {
                let fresh = self.desk.begun.forms[self.lane].get(other).copied().flatten()?.release(own);
                Some((other, belief.line(self.lane, other, &[fresh], carry)?))
            })
            .collect();
        others.sort_by(|a, b| b.1.worth.total_cmp(&a.1.worth));
        others.truncate(OTHER_BALLS);
        let others = others.into_iter().map(|(other, line)| (other, line.release)).collect();
        Situation { lane: self.lane, ball, release, others }
    }
}

/// Other balls that are weighed guess by guess: those that do best in the mean. Each takes as long as the ball in hand.
const OTHER_BALLS: usize = 2;

/// The second and third choice: those the card does not say.
fn rest(advice: &Advice) -> impl Iterator<Item = &NextShot> {
    let said = match advice.verdict {
        Verdict::Change => advice.choices.first(),
        _ => advice.choices.iter().find(|one| one.change == Change::Stay),
    };
    let said = said.map(|one| one.change);
    advice.choices.iter().filter(move |one| Some(one.change) != said)
}

fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Stay => "stay",
        Verdict::Change => "change",
        Verdict::TooClose => "too-close",
    }
}

/// Half of an interval that holds eight in ten, in standard deviations.
const EIGHT_IN_TEN: f64 = 1.2816;

fn interval(told: Told, signed: bool) -> String {
    let (mean, half) = (100.0 * told.mean, EIGHT_IN_TEN * 100.0 * told.sd);
    if signed {
        format!("{mean:+.0} ({:+.0} to {:+.0})", mean - half, mean + half)
    } else {
        format!("{mean:.0} ({:.0} to {:.0})", (mean - half).max(0.0), (mean + half).min(100.0))
    }
}

fn choice_json(one: &NextShot, balls: &[&str]) -> Value {
    let told = |told: Told| json!({ "mean": 100.0 * told.mean, "sd": 100.0 * told.sd });
    json!({
        "say": verb(one, balls),
        "ball": balls[one.ball],
        "line": Meant::of(&one.release),
        "strike_pct": told(one.strike),
        "gain_pct": told(one.gain),
        "better_pct": 100.0 * one.better,
        "net_pct": 100.0 * one.net,
    })
}
