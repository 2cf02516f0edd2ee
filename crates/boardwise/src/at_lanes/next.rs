//! `boardwise next`: the next shot, or the spare where something stands.

use std::fmt::Write;
use std::time::Instant;

use super::arguments;
use super::kept;
use crate::Failure;
use crate::output;
use crate::place::{place, warn_read_only};
use boardwise_belief::{Change, Estimate};
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::line_meant::{AsRelease, LineMeant};
use boardwise_session::at_lanes::next::{Answer, FullRack};
use boardwise_session::at_lanes::question::Question;
use boardwise_session::at_lanes::spare::SpareAnswer;
use boardwise_session::leaves::percent;
use boardwise_session::view::NextAnswer;

pub(crate) fn run(asked: &arguments::Next) -> Result<(), Failure> {
    let start = Instant::now();
    let state = BlockState::open(&place(asked.desk.record.as_deref())?)?;
    warn_read_only(&state.desk.record);
    let question = Question::new(&state, asked.lane, asked.seed)?;
    let answer = question.answer(|| kept::replay(&state, boardwise_files::carry()?, asked.seed))?;
    let seconds = start.elapsed().as_secs_f64();
    if asked.desk.json {
        return output::print_json(&NextAnswer { said: answer.view(&question), seconds });
    }
    output::print(&match &answer {
        Answer::FullRack(said) => full_rack(said, &question),
        Answer::Spare(said) => spare(said, &question),
    })
}

fn full_rack(said: &FullRack, question: &Question<'_>) -> String {
    let FullRack { card, at, balls, read, unread, .. } = said;
    let mut text = format!("{} ({})\n{}\n{}\n", card.say, card.detail, card.reason, card.worth);
    if let Some(caution) = card.caution {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{caution}");
    }
    let lane = question.number();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "\nlane {lane}, {}: {}", balls[at.ball], LineMeant::of(&at.release).words());
    for (k, (say, one)) in said.rest().enumerate() {
        let against = match one.change {
            Change::Stay => String::new(),
            _ => format!(
                ", {} against staying; better in {:.0}% of what may be",
                interval(one.gain, true),
                100.0 * one.better
            ),
        };
        let strikes = interval(one.strike, false);
        let _ = writeln!(text, "{}  {say}: {strikes} in 100{against}", k + 2);
    }
    let more = if *unread > 0 { format!(" ({unread} more could not be read)") } else { String::new() };
    let _ = write!(
        text,
        "\nFrom {read} first balls{more}. Intervals hold eight in ten of what may be; an estimate, no promise.\n"
    );
    text
}

fn spare(said: &SpareAnswer, question: &Question<'_>) -> String {
    let mut text = format!("{}\n", said.say());
    for (k, one) in said.lines.iter().enumerate() {
        let meant = LineMeant::of(&one.line.release);
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "{}  lay it down on {:.1}, look at {:.1} at the arrows: made {}",
            k + 1,
            meant.laydown,
            meant.arrows,
            percent(one.line.worth, one.line.worth_error)
        );
    }
    let _ = writeln!(text, "\nlane {}, taken fresh. An estimate, no promise.", question.number());
    text
}

/// Half of an interval that holds eight in ten, in standard deviations.
const EIGHT_IN_TEN: f64 = 1.2816;

fn interval(estimate: Estimate, signed: bool) -> String {
    let (mean, half) = (100.0 * estimate.mean, EIGHT_IN_TEN * 100.0 * estimate.sd);
    if signed {
        format!("{mean:+.0} ({:+.0} to {:+.0})", mean - half, mean + half)
    } else {
        format!("{mean:.0} ({:.0} to {:.0})", (mean - half).max(0.0), (mean + half).min(100.0))
    }
}
