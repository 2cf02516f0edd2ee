//! The brief in words, and as a view.

use boardwise_belief::{Estimate, half_boards, move_in_words};
use boardwise_lane::Release;
use boardwise_search::{Line, Move};

use super::{Brief, Miss, OFF_BOARDS, OFF_MPH, Off, Stage, Taken};
use crate::at_lanes::line_meant::{AsRelease, LineMeant};
use crate::event::surface_cautions;
use crate::leaves::pin_numbers;
use crate::rows::Rows;
use crate::view::{
    BriefAnswer, BriefBall, BriefBallLine, BriefLane, BriefMiss, BriefShot, BriefSpare, BriefStage, BriefStart, Form,
    MeanSd, PlaceView, StandAndLook,
};

/// How far to trust a brief.
pub const CAUTION: &str = "Estimates with their doubt, no promises. Never step past the foul line, and do not test on an approach that is \
                           wet or oily. The event's rules and officials decide what is allowed.";

/// Standard deviations of a normal quantity that hold eight in ten.
const EIGHT_IN_TEN: f64 = 1.28;
/// Boards by which a throw comes in otherwise before that is worth a word.
const SEEN_BOARDS: f64 = 0.25;

/// A board in whole or half boards.
pub fn half(board: f64) -> String {
    half_boards(board)
}

fn pct(estimate: Estimate) -> MeanSd {
    MeanSd::pct((estimate.mean, estimate.sd))
}

/// Strikes in a hundred.
fn in_100(estimate: Estimate) -> String {
    format!("{:.0}", 100.0 * estimate.mean)
}

/// A line in words: "slide 33, look at 10".
fn at_words(at: &StandAndLook) -> String {
    format!("slide {}, look at {}", half(at.slide_board), half(at.look_board))
}

impl Off {
    /// In words.
    fn words(self) -> String {
        match self {
            Self::In => format!("{OFF_BOARDS:.0} board inside the target"),
            Self::Out => format!("{OFF_BOARDS:.0} board outside it"),
            Self::Fast => format!("{OFF_MPH} mph faster"),
            Self::Slow => format!("{OFF_MPH} mph slower"),
        }
    }
}

impl Brief {
    fn at(&self, release: &Release) -> StandAndLook {
        let (slide_board, look_board) = self.stand_and_look(release);
        StandAndLook { slide_board, look_board, line: LineMeant::of(release).into() }
    }

    fn id(&self, ball: usize) -> &str {
        &self.belief.balls()[ball].id
    }

    fn numbers(&self) -> [u32; 2] {
        self.on().numbers
    }

    /// Whether both lanes begin alike, as far as somebody can stand.
    fn alike(&self) -> bool {
        let [first, second] = self.starts.each_ref().map(|start| at_words(&self.at(&start.release)));
        first == second
    }

    /// What to do.
    pub fn verdict(&self) -> String {
        let at = self.starts.each_ref().map(|start| at_words(&self.at(&start.release)));
        let [first, second] = self.numbers();
        let ball = self.id(self.ball);
        if self.alike() {
            format!("Start with {ball}: {}", at[0])
        } else {
            format!("Start with {ball}. Lane {first}: {}. Lane {second}: {}", at[0], at[1])
        }
    }

    /// How sure that is.
    pub fn doubt(&self) -> String {
        let range = |strike: Estimate| {
            let half = EIGHT_IN_TEN * strike.sd;
            let (low, high) = ((strike.mean - half).max(0.0), (strike.mean + half).min(1.0));
            format!("{:.0} to {:.0}", 100.0 * low, 100.0 * high)
        };
        let [one, other] = self.starts.each_ref().map(|start| start.strike);
        let [first, second] = self.numbers();
        let how_sure = if in_100(one) == in_100(other) && range(one) == range(other) {
            format!("About {} strikes in 100, most likely {}", in_100(one), range(one))
        } else {
            format!(
                "About {} strikes in 100 on lane {first}, most likely {}, and {} on lane {second}, most likely {}",
                in_100(one),
                range(one),
                in_100(other),
                range(other)
            )
        };
        format!("{how_sure}. Nobody knows the lanes better before the first ball.")
    }

    /// Why.
    pub fn reasons(&self) -> Vec<String> {
        let mut reasons = Vec::new();
        for (lane, start) in self.starts.iter().enumerate() {
            if lane == 1 && self.alike() {
                break;
            }
            let on = if self.alike() { String::new() } else { format!("Lane {}: ", self.numbers()[lane]) };
            let turns = start.line.as_ref().map_or_else(String::new, |line| {
                format!(
                    "it turns at board {} about {:.0} ft down and ",
                    half(line.breakpoint.board.0),
                    line.breakpoint.feet.0
                )
            });
            let words = format!("{turns}comes in at board {:.1}.", start.comes_in.mean);
            let words = if on.is_empty() { words.replacen("it", "It", usize::from(!turns.is_empty())) } else { words };
            let words = if turns.is_empty() && on.is_empty() { words.replacen("comes", "It comes", 1) } else { words };
            reasons.push(format!("{on}{words}"));
            let room = start.line.as_ref().map(|line| line.miss_room);
            reasons.extend(room.map(|room| {
                format!(
                    "{on}You may miss the target by {} to the hand side and {} to the other.",
                    boards(room.hand_boards),
                    boards(room.away_boards)
                )
            }));
        }
        reasons
    }

    /// What a miss does, against the throw as it is meant.
    fn miss_words(&self, lane: usize, miss: &Miss) -> String {
        let start = &self.starts[lane];
        let off = miss.comes_in.mean - start.comes_in.mean;
        let comes = match off {
            off if off > SEEN_BOARDS => format!("comes in {off:.1} higher"),
            off if off < -SEEN_BOARDS => format!("comes in {:.1} lighter", -off),
            _ => "comes in the same".to_owned(),
        };
        format!("{comes}, {} strikes in 100", in_100(miss.strike))
    }

    /// Why a ball is worth having.
    fn why(&self, taken: &Taken) -> String {
        let when = |games: u32| match games {
            0 => "on fresh oil".to_owned(),
            1 => "after a game".to_owned(),
            games => format!("after {games} games"),
        };
        if taken.ball == self.ball {
            return "To start with.".to_owned();
        }
        let takes_over = self.numbers().into_iter().zip(&self.ahead).find_map(|(number, stages)| {
            let stage = stages.iter().find(|stage| stage.ball == taken.ball)?;
            let when = if stage.games == 0 { "after practice".to_owned() } else { when(stage.games) };
            Some(format!("Takes over on lane {number} {when}."))
        });
        takes_over.unwrap_or_else(|| match taken.best_at.first() {
            Some((lane, games)) => format!("Strikes most of these on lane {} {}.", self.numbers()[*lane], when(*games)),
            None => "The next best, if the first one does not do what it should.".to_owned(),
        })
    }

    /// What to expect at a look.
    fn stage_words(&self, stage: &Stage, before: usize) -> String {
        let at = at_words(&self.at(&stage.release));
        match (stage.changes, stage.ball == before) {
            (false, _) => "Stay.".to_owned(),
            (true, true) => format!("{}: {at}.", upper(&move_in_words(stage.moved))),
            (true, false) => format!("{}: {at}.", upper(self.id(stage.ball))),
        }
    }

    fn stages(&self, lane: usize) -> impl Iterator<Item = (&Stage, String)> {
        let before = std::iter::once(self.ball).chain(self.ahead[lane].iter().map(|stage| stage.ball));
        self.ahead[lane].iter().zip(before).map(|(stage, before)| (stage, self.stage_words(stage, before)))
    }

    /// The answer as a view.
    pub fn view(&self) -> BriefAnswer {
        let bowler = &self.event.seats[0].bowler;
        let numbers = self.numbers();
        let start = |lane: usize| {
            let one = &self.starts[lane];
            let miss = |miss: &Miss| BriefMiss {
                off: miss.off.words(),
                strike_pct: pct(miss.strike),
                comes_in_board: miss.comes_in.into(),
                says: self.miss_words(lane, miss),
            };
            BriefStart {
                lane: numbers[lane],
                pattern: self.on().lanes[lane].name.clone(),
                ball: self.id(self.ball).to_owned(),
                at: self.at(&one.release),
                strike_pct: pct(one.strike),
                comes_in_board: one.comes_in.into(),
                breakpoint: one.line.as_ref().map(|line| PlaceView::from(&line.breakpoint)),
                miss_room: one.line.as_ref().map(|line: &Line| line.miss_room.into()),
                misses: one.misses.iter().map(miss).collect(),
            }
        };
        let ball = |taken: &Taken| BriefBall {
            ball: self.id(taken.ball).to_owned(),
            words: self.ball_words(taken.ball).to_owned(),
            why: self.why(taken),
            fresh: taken
                .fresh
                .iter()
                .zip(numbers)
                .map(|(fresh, lane)| {
                    let (release, strike) = fresh.as_ref()?;
                    Some(BriefBallLine { lane, at: self.at(release), strike_pct: pct(*strike) })
                })
                .collect(),
        };
        let lane = |lane: usize| BriefLane {
            lane: numbers[lane],
            stages: self
                .stages(lane)
                .map(|(stage, says)| BriefStage {
                    games: stage.games,
                    ball: self.id(stage.ball).to_owned(),
                    at: self.at(&stage.release),
                    moved: stage.moved.into(),
                    says,
                    strike_pct: pct(stage.strike),
                    stay_strike_pct: pct(stage.stay),
                })
                .collect(),
        };
        BriefAnswer {
            schema: Form,
            event: self.event.name.clone(),
            bowler: bowler.name.clone(),
            boards_from: bowler.hand.into(),
            verdict: self.verdict(),
            doubt: self.doubt(),
            reasons: self.reasons(),
            starts: vec![start(0), start(1)],
            balls: self.take.iter().map(ball).collect(),
            spare_ball: self.spare_ball.clone(),
            ahead: vec![lane(0), lane(1)],
            practice: self.shots(),
            spares: self.spare_notes(),
            cautions: vec![
                CAUTION.to_owned(),
                surface_cautions(self.event.surface_changes).split_whitespace().collect::<Vec<_>>().join(" "),
            ],
            seconds: self.seconds,
        }
    }

    /// The practice, in order.
    fn shots(&self) -> Vec<BriefShot> {
        let meaning = |moved: Option<Move>| moved.map_or_else(|| "another ball".to_owned(), move_in_words);
        let shot = |shot: &boardwise_belief::PracticeShot| BriefShot {
            lane: self.numbers()[shot.lane],
            ball: self.id(shot.ball).to_owned(),
            at: self.at(&shot.release),
            comes_in_board: shot.comes_in.into(),
            if_high: meaning(shot.if_high),
            if_light: meaning(shot.if_light),
        };
        self.practice.iter().map(shot).collect()
    }

    fn spare_notes(&self) -> Vec<BriefSpare> {
        let note = |note: &super::SpareNote| BriefSpare {
            lane: note.lane.map(|lane| self.numbers()[lane]),
            pins: pin_numbers(note.leave.pins()),
            pct: 100.0 * note.share,
            at: self.at(&note.line.line.release),
            make_pct: 100.0 * note.line.line.worth,
        };
        self.spares.iter().map(note).collect()
    }

    /// What misses do, a row for each and a column for each lane; one column where both begin alike.
    pub fn miss_rows(&self) -> Rows {
        let lanes = if self.alike() { 1 } else { 2 };
        let mut table = Rows::under(["if you are"], 3);
        let heads = self.numbers().map(|number| format!("lane {number}"));
        table
            .head
            .extend(heads.into_iter().take(lanes).map(|head| if lanes == 1 { "then it".to_owned() } else { head }));
        for (k, miss) in self.starts[0].misses.iter().enumerate() {
            let mut row = vec![miss.off.words()];
            row.extend((0..lanes).map(|lane| self.miss_words(lane, &self.starts[lane].misses[k])));
            table.cells.push(row);
        }
        table
    }

    /// Where to start with a ball on the fresh lanes, once where that is the same.
    fn fresh_words(&self, one: &Taken) -> String {
        let line = |release: &Release| at_words(&self.at(release));
        if let [Some((release, strike)), Some((other, on_other))] = &one.fresh
            && line(release) == line(other)
        {
            return format!("{}: {} and {} strikes in 100", line(release), in_100(*strike), in_100(*on_other));
        }
        let on_lane = |(fresh, number): (&Option<(Release, Estimate)>, u32)| match fresh {
            Some((release, strike)) => format!("lane {number}: {}, {} strikes in 100", line(release), in_100(*strike)),
            None => format!("lane {number}: finds no pocket"),
        };
        one.fresh.iter().zip(self.numbers()).map(on_lane).collect::<Vec<_>>().join("; ")
    }

    /// The balls to have.
    pub fn ball_rows(&self) -> Rows {
        let mut table = Rows::under(["ball", "why", "on fresh oil"], 3);
        for one in &self.take {
            let fresh = self.fresh_words(one);
            table.cells.push(vec![self.ball_words(one.ball).to_owned(), self.why(one), fresh]);
        }
        if let Some(spare) =
            self.spare_ball.as_ref().filter(|spare| self.take.iter().all(|one| self.id(one.ball) != **spare))
        {
            table.cells.push(vec![spare.clone(), "For spares.".to_owned(), String::new()]);
        }
        table
    }

    /// The moves to expect.
    pub fn move_rows(&self) -> Rows {
        let [first, second] = self.numbers();
        let mut table = Rows::under(["when"], 3);
        table.head.extend([format!("lane {first}"), format!("lane {second}")]);
        let lanes = [0, 1].map(|lane| self.stages(lane).collect::<Vec<_>>());
        for (one, other) in lanes[0].iter().zip(&lanes[1]) {
            // A row in which nobody moves says nothing.
            if !one.0.changes && !other.0.changes {
                continue;
            }
            let when = match one.0.games {
                0 => "after practice".to_owned(),
                games => format!("after game {games}"),
            };
            let words = |(stage, says): &(&Stage, String)| {
                let costs = 100.0 * (stage.strike.mean - stage.stay.mean);
                if stage.changes { format!("{says} Staying costs {costs:.0} strikes in 100.") } else { says.clone() }
            };
            table.cells.push(vec![when, words(one), words(other)]);
        }
        if table.cells.is_empty() {
            table.cells.push(vec!["to the end".to_owned(), "Stay.".to_owned(), "Stay.".to_owned()]);
        }
        table
    }

    /// The practice throws.
    pub fn practice_rows(&self) -> Rows {
        let mut table =
            Rows::under(["", "lane", "ball", "throw", "comes in", "if it comes in higher", "if lighter"], 3);
        for (k, shot) in self.shots().into_iter().enumerate() {
            table.cells.push(vec![
                (k + 1).to_string(),
                shot.lane.to_string(),
                shot.ball,
                at_words(&shot.at),
                format!("{:.1} \u{b1} {:.1}", shot.comes_in_board.mean, shot.comes_in_board.sd),
                shot.if_high,
                shot.if_light,
            ]);
        }
        table
    }

    /// The spares.
    pub fn spare_rows(&self) -> Rows {
        let mut table = Rows::under(["what stands", "how often", "with the spare ball", "made"], 1);
        for note in self.spare_notes() {
            let pins = note.pins.iter().map(u8::to_string).collect::<Vec<_>>().join("-");
            let on = note.lane.map_or_else(String::new, |lane| format!(" on lane {lane}"));
            table.cells.push(vec![
                format!("{pins}{on}"),
                format!("{:.0} in 100", note.pct),
                at_words(&note.at),
                format!("{:.0} in 100", note.make_pct),
            ]);
        }
        table
    }

    /// Headings and tables, in the order in which they are read.
    pub fn tables(&self) -> [(&'static str, Rows); 5] {
        [
            ("What a miss does", self.miss_rows()),
            ("Balls to have", self.ball_rows()),
            ("Moves to expect", self.move_rows()),
            ("Practice, in this order", self.practice_rows()),
            ("Spares", self.spare_rows()),
        ]
    }
}

fn boards(count: f64) -> String {
    let words = half(count);
    if words == "1" { "1 board".to_owned() } else { format!("{words} boards") }
}

fn upper(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
