//! An event, and the blocks it is made of.

use boardwise_ball::{Ball, CoverKind};
use boardwise_lane::Release;
use boardwise_search::{BlockPlan, Pocket, Seat, spare_ball};
use boardwise_units::{Feet, Hand};

use super::{ARROWS_FT, gutter};
use boardwise_files::{KitEvent, KitLane, KitPair, KitSeat, SurfaceRule};

/// The block on one pair, ours in the first seat. Whoever brings a plastic ball beside others keeps it for spares.
pub fn plan(event: &KitEvent, pair: &KitPair, frames_a_look: u32, runs: u32, seed: u64) -> BlockPlan {
    BlockPlan {
        pair: pair.lanes.each_ref().map(|lane| lane.seen_by(Hand::Right)),
        seats: event.seats.iter().map(seat).collect(),
        ours: 0,
        practice_shots: event.practice_shots,
        games_before: pair.games_before,
        games: pair.games,
        frames_a_look,
        runs,
        seed,
        pocket: Pocket::default(),
        unknowns: KitLane::unknowns(&pair.lanes),
    }
}

/// A seat of the block: who bowls with which balls.
pub fn seat(seat: &KitSeat) -> Seat {
    let bag = seat.bag.bag.balls();
    let spare = spare_ball(bag);
    let asked = seat.ball.map(|place| &bag[place]);
    let only_spares = |ball: &Ball| {
        bag.len() > 1 && Some(ball) == spare && ball.cover.kind == CoverKind::Plastic && Some(ball) != asked
    };
    let balls: Vec<Ball> = bag.iter().filter(|ball| !only_spares(ball)).cloned().collect();
    Seat {
        bowler: seat.bowler.clone(),
        starts_with: asked.and_then(|asked| balls.iter().position(|ball| ball == asked)),
        line: seat
            .line
            .map(|(laydown, arrows)| Release { laydown, ..seat.bowler.release }.aimed_at(arrows, Feet(ARROWS_FT))),
        spare_ball: spare.cloned(),
        balls,
    }
}

/// The gutter that our boards count from.
pub fn side(event: &KitEvent) -> &'static str {
    gutter(event.seats[0].bowler.hand)
}

/// Who bowls where, for how long: what it is, and in words.
pub fn heading(event: &KitEvent, pair: &KitPair) -> [(&'static str, String); 3] {
    let ours = &event.seats[0].bowler;
    let others = match event.seats.len() - 1 {
        0 => "alone on the pair".to_owned(),
        1 => "with one other on the pair".to_owned(),
        n => format!("with {n} others on the pair"),
    };
    let names = pair.lanes.each_ref().map(|lane| lane.name.as_str());
    let lanes = if names[0] == names[1] { names[0].to_owned() } else { names.join(" and ") };
    let before = match pair.games_before {
        0 => String::new(),
        n => format!(", after {n} games of the others"),
    };
    let [left, right] = pair.numbers;
    let where_to = format!("{left} and {right}: {lanes}{before}; boards count from the {} gutter", side(event));
    [("event", event.name.clone()), ("bowler", format!("{}, {others}", ours.name)), ("lanes", where_to)]
}

/// What whoever works on a surface takes care of.
pub const SURFACE_WORK: &str = "Wear eye protection and a dust mask,\n\
     keep hands clear of a running spinner, follow the maker's sheet.";

/// What the trade and the rules ask of whoever works on a surface.
pub fn surface_cautions(rule: SurfaceRule) -> String {
    let when = match rule {
        SurfaceRule::BeforePractice => "before practice begins",
        SurfaceRule::UntilPracticeEnds => "until practice ends",
        SurfaceRule::BetweenGames => "also between games",
        SurfaceRule::AnyTime => "at any time",
    };
    format!("Surfaces: this event's file lets them be changed {when}; its rules and officials decide. {SURFACE_WORK}\n")
}
