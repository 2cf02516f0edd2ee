//! The event that a command is about, and the blocks it is made of.

use std::path::Path;

use ball::{Ball, CoverKind};
use lane::Release;
use measure::{Feet, Hand};
use play::{BlockPlan, Pocket, Seat, spare_ball};

use super::arguments::EventKit;
use super::scene::{bytes_of, find};
use super::throw::ARROWS_FT;
use crate::kit::{self, Fault, KitEvent, KitPair, KitSeat, SurfaceRule, parse_event};

/// Reads an event and what it names; what is possible but outside the rules is said on standard error.
pub fn load(asked: &EventKit) -> Result<KitEvent, Fault> {
    let (name, bytes) = bytes_of("event", &asked.event, &kit::EVENTS)?;
    let beside = Path::new(&asked.event).parent().filter(|_| Path::new(&asked.event).is_file());
    let fetch = |what: &'static str, id: &str| {
        let demo: &[kit::Entry] = match what {
            "lane" => &kit::LANES,
            "bag" => &kit::BAGS,
            _ => &kit::BOWLERS,
        };
        // A file beside the event wins over one of the same name elsewhere.
        match beside.map(|folder| folder.join(id)).filter(|path| path.is_file()) {
            Some(path) => {
                let name = path.to_string_lossy();
                Ok((name.clone().into_owned(), kit::read(&name)?))
            }
            None => bytes_of(what, id, demo),
        }
    };
    let mut loaded = parse_event(&name, &bytes, &fetch)?;
    let warnings = &mut loaded.warnings;
    let event = &mut loaded.value;
    if let Some(lane) = &asked.lane {
        let lane = find("lane", lane, &kit::LANES, kit::parse_lane)?;
        warnings.extend(lane.warnings);
        for pair in &mut event.pairs {
            pair.lanes = [lane.value.clone(), lane.value.clone()];
        }
    }
    if let Some(bowler) = &asked.bowler {
        let bowler = find("bowler", bowler, &kit::BOWLERS, kit::parse_bowler)?;
        warnings.extend(bowler.warnings);
        // Another bowler's line would say nothing.
        event.seats[0] = KitSeat { bowler: bowler.value, line: None, ..event.seats[0].clone() };
    }
    if let Some(bag) = &asked.bag {
        let bag = find("bag", bag, &kit::BAGS, kit::parse_bag)?;
        warnings.extend(bag.warnings);
        event.seats[0] = KitSeat { bag: bag.value, ball: None, line: None, ..event.seats[0].clone() };
    }
    for pair in &mut event.pairs {
        pair.games = asked.games.unwrap_or(pair.games);
    }
    for warning in warnings {
        eprintln!("warning: {warning}");
    }
    Ok(loaded.value)
}

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
    }
}

fn seat(seat: &KitSeat) -> Seat {
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
    match event.seats[0].bowler.hand {
        Hand::Right => "right",
        Hand::Left => "left",
    }
}

/// Who bowls where, for how long: the heading of an answer for people.
pub fn heading(event: &KitEvent, pair: &KitPair) -> String {
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
    format!(
        "event    {}\nbowler   {}, {others}\nlanes    {} and {}: {lanes}{before}; boards count from the {} gutter\n",
        event.name,
        ours.name,
        pair.numbers[0],
        pair.numbers[1],
        side(event)
    )
}

/// What the trade and the rules ask of whoever works on a surface.
pub fn surface_cautions(rule: SurfaceRule) -> String {
    let when = match rule {
        SurfaceRule::BeforePractice => "before practice begins",
        SurfaceRule::UntilPracticeEnds => "until practice ends",
        SurfaceRule::BetweenGames => "also between games",
        SurfaceRule::AnyTime => "at any time",
    };
    format!(
        "Surfaces: this event's file lets them be changed {when}; its rules and officials decide. Wear eye protection and a dust mask,\n\
         keep hands clear of a running spinner, follow the maker's sheet.\n"
    )
}
