//! A bag weighed for an event: its balls and surfaces ranked, and the set worth taking.

use std::ops::RangeInclusive;

use boardwise_ball::Surface;
use boardwise_figures::{Drawing, Theme, bag_picture};
use boardwise_search::{BagPlan, BlockPlan, Choice, Weighed, choose, weigh_bag};

use super::event::plan;
use super::rows::Rows;
use super::view::{BagAnswer, BagBall, BagStage, BagWorld, Form, MissRoomView, StandIn, TakenBall};
use super::{Failure, Work};
use boardwise_files::{Fault, KitEvent, KitPair};

/// What is asked of an event.
#[derive(Clone, Debug)]
pub struct Question {
    /// How many balls to take; the one for spares comes on top.
    pub take: usize,
    /// Surfaces to try on every ball but plastic, beside the one it has: grits, or `polished`; `none` alone is none.
    pub surfaces: Vec<String>,
    /// Worlds to weigh in.
    pub worlds: u32,
    /// Seed of everything random.
    pub seed: u64,
}

/// Worlds that may be asked for.
pub const WORLDS: RangeInclusive<i64> = 1..=64;

/// What the columns say.
pub const NOTE: &str = "Scores: mean of a game on the ball's best line at that stage, over the worlds (how oily and grippy the lane turns out, and how others bowl).\n\
     The columns after them are for the fresh lane. Adds: what the set loses without it. Stand-in: the other ball that costs least in its place.\n\
     Estimates and no promise; differences of a pin or two are within their error.\n";

/// A surface to try, in the words it was asked in.
#[derive(Debug)]
struct Tried {
    words: String,
    surface: Surface,
}

/// The answer.
#[derive(Debug)]
pub struct Weighing {
    /// The event.
    pub event: KitEvent,
    block: BlockPlan,
    tried: Vec<Tried>,
    weighed: Weighed,
    choice: Choice,
    seconds: f64,
}

impl Question {
    /// Weighs the bag.
    ///
    /// # Errors
    /// If more balls are asked for than there are, or a surface that is none; if it is cancelled.
    pub fn answer(&self, event: KitEvent, work: Work<'_>) -> Result<Weighing, Failure> {
        let tried = surfaces(&self.surfaces)?;
        let block = plan(&event, &event.pairs[0], 10, 1, self.seed);
        let refuse = |allowed| Fault::Field { field: "take", value: self.take.to_string(), allowed };
        let most = block.our_seat().balls.len();
        if !(1..=most).contains(&self.take) {
            let all = event.seats[0].bag.bag.balls().len();
            return Err(refuse(if most < all {
                format!("must be 1 to {most}: the bag has {all} balls, one of them for spares")
            } else {
                format!("must be 1 to {most}: the bag has no more balls")
            })
            .into());
        }
        let surfaces = tried.iter().map(|one| one.surface).collect();
        let plan = BagPlan { block, surfaces, turnouts: self.worlds };
        let (carry, spares) = (boardwise_files::carry()?, boardwise_files::spares()?);
        let (weighed, seconds) = work.timed(|progress| weigh_bag(&plan, carry, spares, progress))?;
        let choice = choose(&weighed, self.take).map_err(|error| refuse(error.to_string()))?;
        Ok(Weighing { event, block: plan.block, tried, weighed, choice, seconds })
    }
}

/// Surfaces as they are asked for: grits, or `polished`; `none` alone is none.
fn surfaces(asked: &[String]) -> Result<Vec<Tried>, Fault> {
    if asked == ["none"] {
        return Ok(Vec::new());
    }
    asked
        .iter()
        .map(|word| {
            let surface = surface(word).ok_or_else(|| Fault::Field {
                field: "surfaces",
                value: word.clone(),
                allowed: "grits from 50 to 20000, `polished`, or `none`, with commas between".to_owned(),
            })?;
            let words = if word == "polished" { word.clone() } else { format!("at {word}") };
            Ok(Tried { words, surface })
        })
        .collect()
}

/// A surface by its word: a grit from 50 to 20000, or `polished`.
pub fn surface(word: &str) -> Option<Surface> {
    match (word, word.parse::<f64>()) {
        ("polished", _) => Some(Surface::polished()),
        (_, Ok(grit)) if (50.0..=20_000.0).contains(&grit) => Some(Surface::sanded(grit)),
        _ => None,
    }
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

impl Weighing {
    /// The pair that the balls are weighed for.
    pub fn pair(&self) -> &KitPair {
        &self.event.pairs[0]
    }

    /// When each ball is the right one.
    pub fn picture(&self, theme: Theme) -> Drawing {
        let names: Vec<String> = (0..self.weighed.prepared.len()).map(|one| self.name(one)).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        bag_picture(&self.weighed, &self.choice, &names, &self.event.name, theme)
    }

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
    pub fn at_home(&self) -> Vec<&str> {
        let taken: Vec<usize> = self.choice.set.iter().map(|one| self.weighed.prepared[one.ball].place).collect();
        let balls = self.block.our_seat().balls.iter().enumerate();
        balls
            .filter(|(place, ball)| !taken.contains(place) && Some(ball.id.as_str()) != self.spare())
            .map(|(_, ball)| ball.id.as_str())
            .collect()
    }

    /// The ball for spares.
    pub fn spare(&self) -> Option<&str> {
        self.block.our_seat().spare_ball.as_ref().map(|ball| ball.id.as_str())
    }

    /// The answer as a view.
    pub fn view(&self) -> BagAnswer {
        let balls = self.ranked().into_iter().map(|(one, expected_score)| BagBall {
            ball: self.ball(one).to_owned(),
            surface: self.surface(one).to_owned(),
            expected_score,
            stages: (0..=self.block.games).map(|games| self.stage(one, games)).collect(),
            stand_in: self.choice.stand_ins[one].map(|stand_in| StandIn {
                ball: self.ball(stand_in.ball).to_owned(),
                surface: self.surface(stand_in.ball).to_owned(),
                costs_pins: stand_in.costs,
            }),
        });
        let take = self.choice.set.iter().map(|one| TakenBall {
            ball: self.ball(one.ball).to_owned(),
            surface: self.surface(one.ball).to_owned(),
            adds_pins: one.adds,
            adds_pins_se: one.adds_error,
            best_pct_by_game: one.best_at.iter().map(|share| 100.0 * share).collect(),
        });
        let worlds = self.weighed.turnouts.iter().map(|world| BagWorld {
            oil: world.oil(),
            friction: world.friction(),
            lane: self.pair().numbers[world.lane],
        });
        BagAnswer {
            schema: Form,
            event: self.event.name.clone(),
            bowler: self.event.seats[0].bowler.name.clone(),
            take: take.collect(),
            spare_ball: self.spare().map(str::to_owned),
            leave_at_home: self.at_home().into_iter().map(str::to_owned).collect(),
            set_score: self.choice.score,
            whole_bag_score: self.choice.whole_bag,
            balls: balls.collect(),
            worlds: worlds.collect(),
            seconds: self.seconds,
        }
    }

    fn stage(&self, one: usize, games: u32) -> BagStage {
        let mean = self.mean(one, games);
        BagStage {
            games,
            expected_score: mean.score,
            strike_pct: 100.0 * mean.strike,
            pocket_pct: 100.0 * mean.pocket,
            miss_room: MissRoomView { hand_boards: mean.hand_boards, away_boards: mean.away_boards },
            laydown: mean.laydown,
            arrows_board: mean.arrows,
            worlds_pct: 100.0 * mean.worlds,
        }
    }

    /// How much was weighed.
    pub fn work(&self) -> String {
        let (balls, worlds) = (self.weighed.prepared.len(), self.weighed.turnouts.len());
        format!("{balls} balls with their surfaces in {worlds} worlds, {:.1} s", self.seconds)
    }

    /// What the set comes to, and the whole bag.
    pub fn worth(&self) -> String {
        let Choice { score, whole_bag, .. } = self.choice;
        format!("Best of these at every stage: {score:.0} a game; of the whole bag: {whole_bag:.0}.")
    }

    fn stages(&self) -> impl Iterator<Item = String> {
        (0..=self.block.games).map(|games| if games == 0 { "fresh".to_owned() } else { format!("after {games}") })
    }

    /// The set: each ball, when it is best, and what it adds.
    pub fn set(&self) -> Rows {
        let mut table = Rows::under(["take", "surface"], 2);
        table.head.extend(self.stages().chain(["adds", "stand-in"].map(str::to_owned)));
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
            table.cells.push(row);
        }
        table
    }

    /// Every ball with every surface, best first.
    pub fn ranking(&self) -> Rows {
        let mut table = Rows::under(["ball", "surface"], 2);
        table.head.extend(self.stages().chain(["strikes", "pocket", "room", "laydown", "arrows"].map(str::to_owned)));
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
            table.cells.push(row);
        }
        table
    }

    fn stand_in(&self, one: usize) -> String {
        self.choice.stand_ins[one].map_or_else(
            || "-".to_owned(),
            |stand_in| format!("{}, {:.0} pins", self.name(stand_in.ball), stand_in.costs),
        )
    }
}
