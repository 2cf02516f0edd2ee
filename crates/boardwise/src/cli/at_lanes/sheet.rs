//! `boardwise sheet`.

use std::fmt::Write;

use book::{BallId, BlockId, BowlerId, Record, Sheet};
use score::{Forecast, Game, Need, Rest, Scores, Skill, Thrown};
use serde_json::{Value, json};

use super::arguments;
use super::desk::{self, Begun, Desk};
use super::standing::{self, shot_json, shot_words};
use crate::cli::table::table;
use crate::cli::{Failure, output};
use crate::kit::Fault;

pub(in crate::cli) fn run(asked: &arguments::Sheet) -> Result<(), Failure> {
    let place = asked.desk.record.as_deref();
    let (sheet, begun) = match &asked.block {
        None => {
            let desk = Desk::open(place)?;
            (desk.sheet()?, Some(desk.begun))
        }
        Some(block) => (other(&desk::open(place)?.0, block, asked.bowler.as_deref())?, None),
    };
    let outlook = Outlook::of(&sheet)?;
    let cut = begun.as_ref().map(|begun| Cut::of(begun, &sheet)).transpose()?.flatten();
    if asked.desk.json {
        let mut answer = standing::json(&sheet, begun.as_ref());
        answer["deliveries"] = sheet.deliveries.iter().enumerate().map(|(k, one)| shot_json(k + 1, one)).collect();
        answer["forecast"] = outlook.as_ref().map_or(Value::Null, |outlook| outlook.json(asked.target));
        answer["cut"] = cut.as_ref().map_or(Value::Null, Cut::json);
        return output::print_json(&answer);
    }
    output::print(&words(&sheet, begun.as_ref(), outlook.as_ref(), cut.as_ref(), asked.target))
}

/// A sheet of any block.
fn other(record: &Record, block: &str, bowler: Option<&str>) -> Result<Sheet, Failure> {
    let block: BlockId = desk::word("--block", block)?;
    let of_block: Vec<BowlerId> =
        record.sheets()?.into_iter().filter(|(of, _)| *of == block).map(|(_, bowler)| bowler).collect();
    let refuse = |flag: &str, value: &str, allowed: String| Fault::Flag {
        flag: flag.to_owned(),
        value: value.to_owned(),
        allowed,
    };
    let names = || of_block.iter().map(BowlerId::as_str).collect::<Vec<_>>().join(", ");
    let bowler = match (bowler, of_block.as_slice()) {
        (Some(typed), _) => desk::word("--bowler", typed)?,
        (None, [only]) => only.clone(),
        (None, []) => {
            // The record tells the nearest of those it has.
            let why = record.get::<book::Block>(block.as_str()).err().map(|why| why.to_string());
            let allowed = why.unwrap_or_else(|| "nobody has bowled in it".to_owned());
            return Err(refuse("--block", block.as_str(), allowed).into());
        }
        (None, _) => {
            return Err(refuse("--block", block.as_str(), format!("say whose with --bowler: {}", names())).into());
        }
    };
    record.sheet(&block, &bowler).map_err(|why| match why {
        book::Error::NoSuch { .. } => refuse("--bowler", bowler.as_str(), why.to_string()).into(),
        why => why.into(),
    })
}

/// What the present game may come to for a bowler who strikes and makes spares as on this sheet.
struct Outlook {
    game: Game,
    strike: f64,
    spare: f64,
    scores: Scores,
}

/// What is thought of a bowler before any frame, and how many frames it weighs (our judgement): without it a first strike would foretell 300.
const STRIKES_BEFORE: (f64, f64) = (0.4, 10.0);
const SPARES_BEFORE: (f64, f64) = (0.75, 6.0);

impl Outlook {
    /// None where nothing is counted.
    fn of(sheet: &Sheet) -> Result<Option<Self>, Failure> {
        let Some(scoring) = sheet.block.counting.scoring() else { return Ok(None) };
        let game = sheet.games.last().copied().unwrap_or_else(|| Game::new(scoring));
        let balls: Vec<_> = sheet.games.iter().flat_map(Game::thrown).collect();
        let share =
            |hits: usize, of: usize, (mean, weight): (f64, f64)| (hits as f64 + mean * weight) / (of as f64 + weight);
        let (firsts, seconds): (Vec<Thrown>, Vec<Thrown>) = balls.iter().partition(|ball| ball.first_at_rack);
        let strike = share(firsts.iter().filter(|ball| ball.is_strike()).count(), firsts.len(), STRIKES_BEFORE);
        let spare = share(seconds.iter().filter(|ball| ball.is_spare()).count(), seconds.len(), SPARES_BEFORE);
        let scores = Forecast::new(&Skill::nine_or_ten(strike, spare)?).of(&game);
        Ok(Some(Self { game, strike, spare, scores }))
    }

    fn json(&self, target: Option<u16>) -> Value {
        let need = |target: u16, rest: Rest| match self.game.need(target, rest) {
            Need::Reached => json!("reached"),
            Need::Strikes(strikes) => json!(strikes),
            Need::OutOfReach => json!("out-of-reach"),
        };
        json!({
            "mean": self.scores.mean(),
            "sd": self.scores.sd(),
            "low": self.scores.quantile(0.1),
            "median": self.scores.quantile(0.5),
            "high": self.scores.quantile(0.9),
            "strike_pct": 100.0 * self.strike,
            "spare_pct": 100.0 * self.spare,
            "chances_pct": self.scores.chances().iter().map(|chance| 100.0 * chance).collect::<Vec<_>>(),
            "target": target.map(|target| json!({
                "score": target,
                "chance_pct": 100.0 * self.scores.at_least(u32::from(target)),
                "strikes_then_spares": need(target, Rest::Spares),
                "strikes_then_opens": need(target, Rest::Opens),
            })),
        })
    }

    fn words(&self, target: Option<u16>) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "outlook  {} (eight in ten: {} to {}), for a bowler with {:.0}% strikes and {:.0}% of spares: this sheet, and a guess where it is short",
            self.scores.quantile(0.5),
            self.scores.quantile(0.1),
            self.scores.quantile(0.9),
            100.0 * self.strike,
            100.0 * self.spare
        );
        if let Some(target) = target {
            let need = |rest: Rest| match self.game.need(target, rest) {
                Need::Reached => "reached already".to_owned(),
                Need::OutOfReach => "out of reach".to_owned(),
                Need::Strikes(0) => "no strike needed".to_owned(),
                Need::Strikes(1) => "one strike".to_owned(),
                Need::Strikes(strikes) => format!("{strikes} strikes in a row"),
            };
            let _ = writeln!(
                text,
                "for {target}  {:.0}%; then nothing but nine-spares: {}; then nothing but nines: {}",
                100.0 * self.scores.at_least(u32::from(target)),
                need(Rest::Spares),
                need(Rest::Opens)
            );
        }
        text
    }
}

/// The cut of the event, where the whole of it is bowled on one pair.
struct Cut {
    after_games: u32,
    pins: u32,
    /// What each game still to come must average; None once those games are over.
    average: Option<f64>,
}

impl Cut {
    fn of(begun: &Begun, sheet: &Sheet) -> Result<Option<Self>, Failure> {
        let event = begun.setting()?.event;
        let Some(cut) = event.cut.filter(|_| event.pairs.len() == 1) else { return Ok(None) };
        let over: Vec<u16> = sheet.games.iter().filter_map(Game::final_score).collect();
        let certain: u32 = over.iter().take(cut.after_games as usize).map(|&score| u32::from(score)).sum();
        let left = cut.after_games.saturating_sub(over.len() as u32);
        let average = (left > 0).then(|| (f64::from(cut.pins) - f64::from(certain)).max(0.0) / f64::from(left));
        Ok(Some(Self { after_games: cut.after_games, pins: cut.pins, average }))
    }

    fn json(&self) -> Value {
        json!({ "after_games": self.after_games, "expected_pins": self.pins, "average_needed": self.average })
    }

    fn words(&self) -> String {
        let needed = self.average.map_or_else(String::new, |average| format!("; {average:.0} a game from here"));
        format!("cut      {} expected after {} games{needed}\n", self.pins, self.after_games)
    }
}

fn words(
    sheet: &Sheet,
    begun: Option<&Begun>,
    outlook: Option<&Outlook>,
    cut: Option<&Cut>,
    target: Option<u16>,
) -> String {
    let mut text = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "block    {}\nbowler   {}\n", sheet.block.id, sheet.bowler);
    for (k, game) in sheet.games.iter().enumerate() {
        let frames = game.frames();
        let numbers: Vec<String> = frames.iter().map(|frame| frame.number.to_string()).collect();
        let head: Vec<&str> = std::iter::once("game").chain(numbers.iter().map(String::as_str)).collect();
        let mut rows = table(&head, 1);
        let signs = frames.iter().map(|frame| frame.balls.iter().flatten().map(Thrown::sign).collect::<String>());
        rows.add_row(std::iter::once((k + 1).to_string()).chain(signs));
        let totals = frames.iter().map(|frame| frame.cumulative.map_or_else(String::new, |total| total.to_string()));
        rows.add_row(std::iter::once(String::new()).chain(totals));
        let pace = game.pace().filter(|_| !game.is_complete()).map_or_else(String::new, |pace| {
            format!("score {}, pace {pace:.0}, at most {}\n", game.score(), game.maximum())
        });
        let _ = writeln!(text, "{rows}\n{pace}");
    }
    if sheet.games.len() > 1 {
        let _ = writeln!(text, "total    {} in {} games", sheet.total(), sheet.games.len());
    }
    if let Some(cut) = cut {
        text.push_str(&cut.words());
    }
    if let Some(outlook) = outlook {
        text.push_str(&outlook.words(target));
    }
    if let Some(begun) = begun {
        text.push_str(&standing::next_words(standing::upcoming(sheet, Some(&begun.lanes)).as_ref()));
    }
    text.push_str(&shots(sheet));
    text
}

/// The shots of the game that is on, with the numbers by which `fix` knows them.
fn shots(sheet: &Sheet) -> String {
    let game = sheet.deliveries.last().map_or(0, |last| last.game);
    let mut rows = table(&["shot", "what it did", "ball", "lane", "hit", "felt"], 0);
    let dash = || "-".to_owned();
    for (k, one) in sheet.deliveries.iter().enumerate().filter(|(_, one)| one.game == game) {
        rows.add_row(vec![
            (k + 1).to_string(),
            shot_words(one),
            one.ball.as_ref().map_or_else(dash, BallId::to_string),
            one.lane.as_ref().map_or_else(dash, |lane| standing::lane_words(lane).to_owned()),
            one.shot.hit.map_or_else(dash, |hit| hit.to_string()),
            one.shot.felt.map_or_else(dash, |felt| felt.to_string()),
        ]);
    }
    if sheet.deliveries.is_empty() { String::new() } else { format!("\n{rows}\n") }
}
