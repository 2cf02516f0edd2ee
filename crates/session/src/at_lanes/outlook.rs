//! What a sheet may still come to: the score, a target, the cut.

use std::fmt::Write;

use boardwise_record::{BlockId, BowlerId, Record, Sheet};
use boardwise_score::{Forecast, Game, Need, Rest, Scores, Skill, Thrown};

use super::block_state::BlockState;
use super::desk;
use super::score_view;
use crate::Failure;
use crate::view::{CutView, OutlookView, SheetAnswer, TargetView};
use boardwise_files::Fault;

/// A sheet of any block.
///
/// # Errors
/// If there is no such block or bowler, or the record cannot be read.
pub fn other(record: &Record, block: &str, bowler: Option<&str>) -> Result<Sheet, Failure> {
    let block: BlockId = desk::word("block", block)?;
    let of_block: Vec<BowlerId> =
        record.sheets()?.into_iter().filter(|(of, _)| *of == block).map(|(_, bowler)| bowler).collect();
    let refuse =
        |field: &'static str, value: &str, allowed: String| Fault::Field { field, value: value.to_owned(), allowed };
    let bowler = match (bowler, of_block.as_slice()) {
        (Some(typed), _) => desk::word("bowler", typed)?,
        (None, [only]) => only.clone(),
        (None, []) => {
            // The record tells the nearest of those it has.
            let why = record.get::<boardwise_record::Block>(block.as_str()).err().map(|why| why.to_string());
            let allowed = why.unwrap_or_else(|| "nobody has bowled in it".to_owned());
            return Err(refuse("block", block.as_str(), allowed).into());
        }
        (None, several) => {
            let bowlers = several.iter().map(BowlerId::to_string).collect();
            return Err(Failure::WhoseSheet { block: block.to_string(), bowlers });
        }
    };
    record.sheet(&block, &bowler).map_err(|why| match why {
        boardwise_record::Error::NoSuch { .. } => refuse("bowler", bowler.as_str(), why.to_string()).into(),
        why => why.into(),
    })
}

/// The whole sheet, with what it may come to; `target` is a score for the game that is on. `state` is its block, where more than the
/// sheet is known of that.
///
/// # Errors
/// If nobody can say what the game may come to.
pub fn sheet_view(sheet: &Sheet, state: Option<&BlockState>, target: Option<u16>) -> Result<SheetAnswer, Failure> {
    Ok(SheetAnswer {
        sheet: score_view::view(sheet, state.map(|state| &state.desk.begun)),
        deliveries: score_view::shot_views(sheet),
        forecast: Outlook::of(sheet)?.map(|outlook| outlook.view(target)),
        cut: state.and_then(Cut::of).as_ref().map(Cut::view),
    })
}

/// What the present game may come to for a bowler who strikes and makes spares as on this sheet.
pub struct Outlook {
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
    ///
    /// # Errors
    /// If nobody can say what the game may come to: a fault of the program.
    pub fn of(sheet: &Sheet) -> Result<Option<Self>, Failure> {
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

    /// As a view.
    pub fn view(&self, target: Option<u16>) -> OutlookView {
        let needs = |target: u16| TargetView {
            score: target,
            chance_pct: 100.0 * self.scores.at_least(u32::from(target)),
            strikes_then_spares: self.game.need(target, Rest::Spares).into(),
            strikes_then_opens: self.game.need(target, Rest::Opens).into(),
        };
        OutlookView {
            mean: self.scores.mean(),
            sd: self.scores.sd(),
            low: self.scores.quantile(0.1),
            median: self.scores.quantile(0.5),
            high: self.scores.quantile(0.9),
            strike_pct: 100.0 * self.strike,
            spare_pct: 100.0 * self.spare,
            chances_pct: self.scores.chances().iter().map(|chance| 100.0 * chance).collect(),
            target: target.map(needs),
        }
    }

    /// In words.
    pub fn words(&self, target: Option<u16>) -> String {
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
pub struct Cut {
    after_games: u32,
    pins: u32,
    /// What each game still to come must average; None once those games are over.
    average: Option<f64>,
}

impl Cut {
    /// Of the block, if its event has one.
    pub fn of(state: &BlockState) -> Option<Self> {
        let BlockState { sheet, setting, .. } = state;
        let event = &setting.event;
        let cut = event.cut.as_ref().filter(|_| event.pairs.len() == 1)?;
        let over: Vec<u16> = sheet.games.iter().filter_map(Game::final_score).collect();
        let certain: u32 = over.iter().take(cut.after_games as usize).map(|&score| u32::from(score)).sum();
        let left = cut.after_games.saturating_sub(over.len() as u32);
        let average = (left > 0).then(|| (f64::from(cut.pins) - f64::from(certain)).max(0.0) / f64::from(left));
        Some(Self { after_games: cut.after_games, pins: cut.pins, average })
    }

    /// As a view.
    pub fn view(&self) -> CutView {
        CutView { after_games: self.after_games, expected_pins: self.pins, average_needed: self.average }
    }

    /// In words.
    pub fn words(&self) -> String {
        let needed = self.average.map_or_else(String::new, |average| format!("; {average:.0} a game from here"));
        format!("cut      {} expected after {} games{needed}\n", self.pins, self.after_games)
    }
}
