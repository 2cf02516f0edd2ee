//! `boardwise carry`.

use std::fmt::Write;

use boardwise_figures::{deck, moving_deck, strike_map};
use boardwise_pins::carry::Approach;
use boardwise_pins::{Constants, Rack};
use boardwise_score::PinSet;
use boardwise_search::{EntryMap, FirstBall, Story, looked_up, throw_racks};
use boardwise_units::{Board, Mph, Pounds};

use super::arguments;
use super::scene;
use super::table::table;
use super::{output, picture};
use crate::Failure;
use boardwise_files::{Fault, KitBall, plausible};
use boardwise_session::Scene;
use boardwise_session::leaves::{kind, leave_views, name};
use boardwise_session::view::{CarryAnswer, CarrySource, EntryAsked, Form};

/// Leaves a table lists; the rest are summed.
const LISTED: usize = 12;
/// Instants of a story: sixty a second.
pub(super) const INTERVAL_S: f64 = 1.0 / 60.0;

pub(super) fn run(asked: &arguments::Carry) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let scene = scene::load(&asked.kit.as_kit())?;
    let one = scene.only_ball("carry")?;
    let approach = approach(asked, one)?;
    let hand = scene.bowler.hand;
    let (table, rack) = (boardwise_files::carry()?, Rack::new(Constants::default()));
    let first = match asked.racks {
        Some(racks) => throw_racks(&rack, &approach, &one.ball, hand, racks, asked.output.seed)
            .map_err(|error| refused(asked, &error))?,
        None => looked_up(table, &approach, hand),
    };
    let title = format!("{} at board {}, {}°", one.ball.id, asked.board, asked.angle);
    if asked.map {
        let map = EntryMap::of(table, &approach);
        picture::write(&asked.output, |theme| strike_map(&map, Some((asked.board, asked.angle)), &title, theme))?;
    } else if picture::wanted(&asked.output) {
        let entry = approach.entry().0;
        let story = Story::of(&rack, PinSet::ALL, &entry, &one.ball, hand, asked.output.seed, INTERVAL_S)
            .map_err(|error| refused(asked, &error))?;
        let drawn = if asked.moving { moving_deck } else { deck };
        picture::write(&asked.output, |theme| drawn(&story, hand, &title, theme))?;
    }
    // What a lookup rests on: the racks behind each cell, at least.
    let racks = asked.racks.unwrap_or(table.plan().racks_at_home.min(table.plan().racks_elsewhere));
    if asked.output.json {
        output::print_json(&view(asked, &scene, one, &approach, &first, racks))
    } else {
        output::print(&words(asked, &scene, one, &first, racks))
    }
}

fn flag(flag: &'static str, value: f64, allowed: &str) -> Fault {
    Fault::Field { field: flag, value: value.to_string(), allowed: allowed.to_owned() }
}

/// An entry that the rack does not take, in terms of its flag.
fn refused(asked: &arguments::Carry, error: &boardwise_pins::ThrowError) -> Fault {
    flag("--board", asked.board, &error.to_string())
}

fn approach(asked: &arguments::Carry, one: &KitBall) -> Result<Approach, Fault> {
    if !Board(asked.board).on_lane() {
        return Err(flag("--board", asked.board, "must be 0.5 to 39.5, a board of the lane"));
    }
    if !(-20.0..=20.0).contains(&asked.angle) {
        return Err(flag("--angle", asked.angle, "must be -20 to 20 degrees"));
    }
    if !(5.0..=40.0).contains(&asked.speed) {
        return Err(flag("--speed", asked.speed, "must be 5 to 40 mph, at the pins"));
    }
    let odd = plausible::speed(Mph(asked.speed));
    output::warn(odd.map(|odd| format!("--speed, at the pins: {odd}")));
    Ok(Approach {
        board: asked.board,
        angle_deg: asked.angle,
        speed_m_s: Mph(asked.speed).to_metres_per_second(),
        weight_lb: Pounds::from_kilograms(one.ball.mass_kg).0,
        roll: 1.0,
    })
}

fn view(
    asked: &arguments::Carry,
    scene: &Scene,
    one: &KitBall,
    approach: &Approach,
    first: &FirstBall,
    racks: u32,
) -> CarryAnswer {
    CarryAnswer {
        schema: Form,
        ball: one.ball.id.clone(),
        boards_from: scene.bowler.hand.into(),
        entry: EntryAsked {
            board: approach.board,
            angle_deg: approach.angle_deg,
            speed_mph: asked.speed,
            weight_lb: approach.weight_lb,
        },
        strike_pct: 100.0 * first.strike,
        strike_se_pct: 100.0 * first.whole_error(),
        leaves: leave_views(first),
        split_pct: 100.0 * first.split(),
        mean_pins: first.pins(),
        racks,
        source: if asked.racks.is_some() { CarrySource::Racks } else { CarrySource::Table },
        beyond_table: first.beyond_table > 0.0,
    }
}

fn words(asked: &arguments::Carry, scene: &Scene, one: &KitBall, first: &FirstBall, racks: u32) -> String {
    let mut text = format!(
        "ball     {}\nentry    board {} from the {} gutter, {}°, {} mph at the pins\n",
        one.words(),
        asked.board,
        scene.side(),
        asked.angle,
        asked.speed
    );
    let basis = match asked.racks {
        Some(_) => format!("{racks} racks thrown"),
        None => format!("the carry table, {racks} racks a cell or more"),
    };
    // Writing to a string cannot fail.
    let _ = writeln!(text, "from     {basis}\n");
    let _ = writeln!(
        text,
        "strikes  {:.1}% ± {:.1}\nsplits   {:.1}%\npins     {:.2} with the first ball\n",
        100.0 * first.strike,
        100.0 * first.whole_error(),
        100.0 * first.split(),
        first.pins()
    );
    if !first.leaves.is_empty() {
        let mut rows = table(&["leave", "kind", "share"], 2);
        for one in first.leaves.iter().take(LISTED) {
            rows.add_row(vec![name(one.leave), kind(one.leave).to_owned(), format!("{:.1}%", 100.0 * one.share)]);
        }
        let rest: f64 = first.leaves.iter().skip(LISTED).map(|one| one.share).sum();
        if rest > 0.0 {
            let kinds = format!("{} more", first.leaves.len() - LISTED);
            rows.add_row(vec![kinds, String::new(), format!("{:.1}%", 100.0 * rest)]);
        }
        let _ = writeln!(text, "{rows}\n");
    }
    if first.beyond_table > 0.0 {
        text.push_str("The entry lies beyond the table, whose edge answers; --racks throws it as it is.\n");
    }
    text.push_str(
        "The error is that of the racks. The pins' bounce and friction are fitted, not measured (docs/pins.md).\n",
    );
    text
}
