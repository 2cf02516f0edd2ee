//! `boardwise bag`.

use std::fmt::Write;
use std::time::Instant;

use ball::Surface;
use play::{BagPlan, BlockPlan, Choice, Weighed, choose, weigh_bag};
use serde_json::{Value, json};

use super::line::with_progress;
use super::table::table;
use super::{arguments, event, output, picture};
use crate::job::Failure;
use crate::job::event::{plan, surface_cautions};
use crate::kit::{self, Fault, KitEvent, KitPair};

/// A surface to try, in the words it was asked in.
struct Tried {
    words: String,
    surface: Surface,
}

pub(super) fn run(asked: &arguments::Bag) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let event = event::load(&asked.kit)?;
    let tried = surfaces(&asked.surfaces)?;
    let pair = &event.pairs[0];
    let block = plan(&event, pair, 10, 1, asked.output.seed);
    let most = block.our_seat().balls.len();
    if !(1..=most).contains(&asked.take) {
        let all = event.seats[0].bag.bag.balls().len();
        let allowed = if most < all {
            format!("must be 1 to {most}: the bag has {all} balls, one of them for spares")
        } else {
            format!("must be 1 to {most}: the bag has no more balls")
        };
        return Err(Fault::Flag { flag: "--take".to_owned(), value: asked.take.to_string(), allowed }.into());
    }
    let surfaces = tried.iter().map(|one| one.surface).collect();
    let plan = BagPlan { block, surfaces, worlds: asked.worlds };
    let start = Instant::now();
    let weighed = with_progress(|told| weigh_bag(&plan, kit::carry()?, kit::spares()?, told).map_err(Failure::from))?;
    let seconds = start.elapsed().as_secs_f64();
    let choice = choose(&weighed, asked.take).map_err(|error| Fault::Flag {
        flag: "--take".to_owned(),
        value: asked.take.to_string(),
        allowed: error.to_string(),
    })?;
    let told = Told { event: &event, pair, block: &plan.block, tried, weighed, choice, seconds };
    let names: Vec<String> = (0..told.weighed.prepared.len()).map(|one| told.name(one)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    picture::write(&asked.output, |theme| draw::bag_picture(&told.weighed, &told.choice, &names, &event.name, theme))?;
    if asked.output.json { output::print_json(&told.json()) } else { output::print(&told.words()) }
}

/// Surfaces as they are asked for: grits, or `polished`; `none` alone is none.
fn surfaces(asked: &[String]) -> Result<Vec<Tried>, Fault> {
    if asked == ["none"] {
        return Ok(Vec::new());
    }
    asked
        .iter()
        .map(|word| {
            let surface = match (word.as_str(), word.parse::<f64>()) {
                ("polished", _) => Surface::polished(),
                (_, Ok(grit)) if (50.0..=20_000.0).contains(&grit) => Surface::sanded(grit),
                _ => {
                    return Err(Fault::Flag {
                        flag: "--surfaces".to_owned(),
                        value: word.clone(),
                        allowed: "grits from 50 to 20000, `polished`, or `none`, with commas between".to_owned(),
                    });
                }
            };
            let words = if word == "polished" { word.clone() } else { format!("at {word}") };
            Ok(Tried { words, surface })
        })
        .collect()
}

struct Told<'a> {
    event: &'a KitEvent,
    pair: &'a KitPair,
    block: &'a BlockPlan,
    tried: Vec<Tried>,
    weighed: Weighed,
    choice: Choice,
    seconds: f64,
}

/// A ball's mean over the worlds at a stage: game, strikes, pocket, room.
#[derive(Clone, Copy, Default)]
struct Mean {
    score: f64,
    strike: f64,
    pocket: f64,
    hand_boards: f64,
    away_boards: f64,
    laydown: f64,
    arrows: f64,
    worlds: f64,
}

impl Told<'_> {
    fn ball(&self, one: usize) -> &str {
        &self.weighed.prepared[one].ball.id
    }

    fn surface(&self, one: usize) -> &str {
        self.weighed.prepared[one].surface.map_or("as it is", |k| &self.tried[k].words)
    }

    fn name(&self, one: usize) -> String {
        match self.weighed.prepared[one].surface {
            None => self.ball(one).to_owned(),
            Some(k) => format!("{} {}", self.ball(one), self.tried[k].words),
        }
    }

    fn mean(&self, one: usize, games: u32) -> Mean {
        let mut mean = Mean::default();
        let all = self.weighed.moments.iter().zip(&self.weighed.forms[one]);
        let mut moments = 0.0;
        for (_, form) in all.filter(|(moment, _)| moment.games == games) {
            moments += 1.0;
            let Some(form) = form else { continue };
            mean.worlds += 1.0;
            mean.score += form.game.mean;
            mean.strike += form.line.worth;
            mean.pocket += form.line.pocket;
            mean.hand_boards += form.line.miss_room.hand_boards;
            mean.away_boards += form.line.miss_room.away_boards;
            mean.laydown += form.line.release.laydown.0;
            mean.arrows += form.line.arrows.0;
        }
        // A world in which the ball strikes nowhere counts as nothing for what it comes to, and not at all for where to play.
        let over = |sum: f64, count: f64| if count > 0.0 { sum / count } else { 0.0 };
        Mean {
            score: over(mean.score, moments),
            strike: over(mean.strike, moments),
            pocket: over(mean.pocket, moments),
            hand_boards: over(mean.hand_boards, moments),
            away_boards: over(mean.away_boards, moments),
            laydown: over(mean.laydown, mean.worlds),
            arrows: over(mean.arrows, mean.worlds),
            worlds: over(mean.worlds, moments),
        }
    }

    /// Every ball's best surface, best first: mean over all moments.
    fn ranked(&self) -> Vec<(usize, f64)> {
        let score = |one: usize| {
            (0..=self.block.games).map(|games| self.mean(one, games).score).sum::<f64>()
                / f64::from(self.block.games + 1)
        };
        let mut all: Vec<(usize, f64)> = (0..self.weighed.prepared.len()).map(|one| (one, score(one))).collect();
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all
    }

    /// Balls that no one of the set is: what may stay at home.
    fn at_home(&self) -> Vec<&str> {
        let taken: Vec<usize> = self.choice.set.iter().map(|one| self.weighed.prepared[one.ball].place).collect();
        let balls = self.block.our_seat().balls.iter().enumerate();
        balls
            .filter(|(place, ball)| !taken.contains(place) && Some(ball.id.as_str()) != self.spare())
            .map(|(_, ball)| ball.id.as_str())
            .collect()
    }

    fn spare(&self) -> Option<&str> {
        self.block.our_seat().spare_ball.as_ref().map(|ball| ball.id.as_str())
    }

    fn json(&self) -> Value {
        let stage = |one: usize, games: u32| {
            let mean = self.mean(one, games);
            json!({
                "games": games,
                "expected_score": mean.score,
                "strike_pct": 100.0 * mean.strike,
                "pocket_pct": 100.0 * mean.pocket,
                "miss_room": { "hand_boards": mean.hand_boards, "away_boards": mean.away_boards },
                "laydown": mean.laydown,
                "arrows_board": mean.arrows,
                "worlds_pct": 100.0 * mean.worlds,
            })
        };
        let ranked: Vec<Value> = self
            .ranked()
            .into_iter()
            .map(|(one, score)| {
                let stages: Vec<Value> = (0..=self.block.games).map(|games| stage(one, games)).collect();
                let stand_in = self.choice.stand_ins[one].map(|stand_in| {
                    json!({
                        "ball": self.ball(stand_in.ball),
                        "surface": self.surface(stand_in.ball),
                        "costs_pins": stand_in.costs,
                    })
                });
                json!({
                    "ball": self.ball(one),
                    "surface": self.surface(one),
                    "expected_score": score,
                    "stages": stages,
                    "stand_in": stand_in,
                })
            })
            .collect();
        let set: Vec<Value> = self
            .choice
            .set
            .iter()
            .map(|one| {
                json!({
                    "ball": self.ball(one.ball),
                    "surface": self.surface(one.ball),
                    "adds_pins": one.adds,
                    "adds_pins_se": one.adds_error,
                    "best_pct_by_game": one.best_at.iter().map(|share| 100.0 * share).collect::<Vec<_>>(),
                })
            })
            .collect();
        json!({
            "schema": 1,
            "event": self.event.name,
            "bowler": self.event.seats[0].bowler.name,
            "take": set,
            "spare_ball": self.spare(),
            "leave_at_home": self.at_home(),
            "set_score": self.choice.score,
            "whole_bag_score": self.choice.whole_bag,
            "balls": ranked,
            "worlds": self.weighed.worlds.iter().map(|w| json!({ "oil": w.oil, "friction": w.friction, "lane": self.pair.numbers[w.lane] })).collect::<Vec<_>>(),
            "seconds": self.seconds,
        })
    }

    fn words(&self) -> String {
        let mut text = event::heading(self.event, self.pair);
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "weighed  {} balls with their surfaces in {} worlds, {:.1} s\n",
            self.weighed.prepared.len(),
            self.weighed.worlds.len(),
            self.seconds
        );
        let stages: Vec<String> = (0..=self.block.games)
            .map(|games| if games == 0 { "fresh".to_owned() } else { format!("after {games}") })
            .collect();
        let head: Vec<&str> = ["take", "surface"]
            .into_iter()
            .chain(stages.iter().map(String::as_str))
            .chain(["adds", "stand-in"])
            .collect();
        let mut rows = table(&head, 2);
        for one in &self.choice.set {
            let mut row = vec![self.ball(one.ball).to_owned(), self.surface(one.ball).to_owned()];
            row.extend(
                one.best_at
                    .iter()
                    .map(|share| if *share > 0.0 { format!("best {:.0}%", 100.0 * share) } else { "-".to_owned() }),
            );
            let error = one.adds_error.map_or_else(String::new, |error| format!(" ± {error:.0}"));
            row.push(format!("{:.0} pins{error}", one.adds));
            row.push(self.stand_in(one.ball));
            rows.add_row(row);
        }
        let _ = writeln!(text, "{rows}");
        let _ = writeln!(
            text,
            "Best of these at every stage: {:.0} a game; of the whole bag: {:.0}.",
            self.choice.score, self.choice.whole_bag
        );
        if let Some(spare) = self.spare() {
            let _ = writeln!(text, "For spares: {spare}.");
        }
        let home = self.at_home();
        if !home.is_empty() {
            let _ = writeln!(text, "Leave at home: {}.", home.join(", "));
        }
        let head: Vec<&str> = ["ball", "surface"]
            .into_iter()
            .chain(stages.iter().map(String::as_str))
            .chain(["strikes", "pocket", "room", "laydown", "arrows"])
            .collect();
        let mut rows = table(&head, 2);
        for (one, _) in self.ranked() {
            let mut row = vec![self.ball(one).to_owned(), self.surface(one).to_owned()];
            row.extend((0..=self.block.games).map(|games| format!("{:.0}", self.mean(one, games).score)));
            let fresh = self.mean(one, 0);
            row.extend([
                format!("{:.0}%", 100.0 * fresh.strike),
                format!("{:.0}%", 100.0 * fresh.pocket),
                format!("{:.1} / {:.1}", fresh.hand_boards, fresh.away_boards),
                format!("{:.0}", fresh.laydown),
                format!("{:.0}", fresh.arrows),
            ]);
            rows.add_row(row);
        }
        let _ = writeln!(text, "\n{rows}");
        text.push_str(
            "Scores: mean of a game on the ball's best line at that stage, over the worlds (how oily and grippy the lane turns out, and how others bowl).\n\
             The columns after them are for the fresh lane. Adds: what the set loses without it. Stand-in: the other ball that costs least in its place.\n\
             Estimates and no promise; differences of a pin or two are within their error.\n",
        );
        text.push_str(&surface_cautions(self.event.surface_changes));
        text
    }

    fn stand_in(&self, one: usize) -> String {
        self.choice.stand_ins[one].map_or_else(
            || "-".to_owned(),
            |stand_in| format!("{}, {:.0} pins", self.name(stand_in.ball), stand_in.costs),
        )
    }
}
