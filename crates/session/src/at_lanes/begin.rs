//! A block begins: bowler, balls, lanes and event go into the record.

use std::path::Path;

use boardwise_ball::CoverKind;
use boardwise_belief::Belief;
use boardwise_record::{
    Ball, BallId, Block, BlockId, Bowler, BowlerId, Counting, Event, EventId, EventKind, Fact, Key, Lane, LaneId,
    Newcomers, Record, Surface,
};
use boardwise_search::{Line, Seat};
use boardwise_units::{Hand, Micrometres};
use serde::Deserialize;

use super::block_state::BlockState;
use super::command::Stamp;
use super::desk::{self, BlockBegun, Desk, Setting};
use super::line_meant::{AsRelease, LineMeant};
use super::score_view;
use crate::view::StartAnswer;
use crate::{Failure, event};
use boardwise_files::{EventFiles, Fault, KitBall, Prepared};

/// What a block begins with, as it is told.
#[derive(Clone, Debug, Deserialize)]
#[serde(default)]
pub struct Beginning {
    /// Ball of the bag to start with; left out, the event's, else the one that strikes most on the fresh lanes.
    pub ball: Option<String>,
    /// Which pair of the event, from 1 on.
    pub pair: u32,
    /// How balls are counted: traditional, current-frame, or nothing for practice and drills.
    pub counting: String,
}

impl Default for Beginning {
    fn default() -> Self {
        Self { ball: None, pair: 1, counting: "traditional".to_owned() }
    }
}

/// A block that has begun.
pub struct Fresh {
    /// The block, in which nothing has been bowled yet.
    pub state: BlockState,
    /// The ball in hand.
    pub ball: String,
    /// The line on each lane.
    pub lines: [LineMeant; 2],
    /// What is possible but outside the rules.
    pub warnings: Vec<String>,
}

/// Begins a block on record: bowler, balls, lanes and event, all or nothing.
///
/// # Errors
/// What the files say or what is asked cannot be, or the record cannot be written.
pub fn begin(place: &Path, from: EventFiles, asked: &Beginning, stamp: &Stamp) -> Result<Fresh, Failure> {
    let loaded = from.parse()?;
    let counting: Counting = desk::word("counting", &asked.counting)?;
    let pairs = loaded.value.pairs.len();
    let pair = (asked.pair as usize).wrapping_sub(1);
    if pair >= pairs {
        return Err(wrong("pair", &asked.pair.to_string(), format!("the event has pairs 1 to {pairs}")).into());
    }
    let setting = Setting::of(loaded.value, pair);
    let ball = asked.ball.as_deref().map(|id| racks_ball(&setting, id)).transpose()?;
    let opening = Opening::find(&setting, ball, LINES_SEED)?;
    let mut record = Record::open(place)?;
    // Two that begin at once must not take the same name for their blocks.
    let begun = Record::alone(&mut record, |record| {
        let named = Named::of(record, &setting, counting)?;
        let New { people, facts, begun } = named.beginnings(record, &setting, &opening, from, (pair, &stamp.key))?;
        record.log_with(people, facts, stamp.at)?;
        Ok::<_, Failure>(begun)
    })?;
    let ball = setting.seat.balls[opening.ball].id.clone();
    let state = BlockState::of(Desk { record, place: place.to_owned(), begun }, setting)?;
    Ok(Fresh { state, ball, lines: opening.lines, warnings: loaded.warnings })
}

impl Fresh {
    /// The answer as a view.
    pub fn view(&self) -> StartAnswer {
        let Desk { begun, place, .. } = &self.state.desk;
        StartAnswer {
            sheet: score_view::view(&self.state.sheet, Some(begun)),
            record: place.display().to_string(),
            ball: self.ball.clone(),
            lines: (0..2).map(|lane| self.state.lane_line(lane)).collect(),
        }
    }
}

fn wrong(field: &'static str, value: &str, allowed: String) -> Fault {
    Fault::Field { field, value: value.to_owned(), allowed }
}

/// A ball for full racks by its id.
fn racks_ball(setting: &Setting, id: &str) -> Result<usize, Fault> {
    setting.ball(id)?;
    let place = setting.seat.balls.iter().position(|ball| ball.id == id);
    place.ok_or_else(|| wrong("ball", id, "it is the ball for spares; start with another".to_owned()))
}

/// Seed of the worlds behind lines to start on.
pub(crate) const LINES_SEED: u64 = 1;

/// With what everybody begins. A brief tells the same, the evening before.
pub(crate) struct Opening {
    /// Our ball, by its place among those for full racks.
    pub ball: usize,
    /// Our line on each lane.
    pub lines: [LineMeant; 2],
    /// The best line of each of our balls on each lane, with all that is known of it.
    pub found: [Vec<Option<Line>>; 2],
    /// What everybody else is taken to throw, by place in the event and by lane.
    pub others: Vec<[Option<LineMeant>; 2]>,
}

impl Opening {
    /// Looks for the lines of all, over the worlds of this seed.
    ///
    /// # Errors
    /// If the table of strikes cannot be read: a fault of the program.
    pub fn find(setting: &Setting, asked: Option<usize>, seed: u64) -> Result<Self, Failure> {
        let carry = boardwise_files::carry()?;
        let seat = &setting.seat;
        // Over the worlds that the first card answers over, too.
        let believed = |seat: &Seat, pair: [boardwise_lane::Lane; 2]| {
            Belief::new(pair, seat.bowler.clone(), seat.balls.clone(), &setting.unknowns, seed)
        };
        let [left, right] = &setting.fresh;
        let belief = believed(seat, setting.fresh.clone());
        let all: Vec<_> = (0..seat.balls.len()).map(|ball| (ball, None)).collect();
        let first = belief.lines(0, &all, carry);
        let second = if left == right { first.clone() } else { belief.lines(1, &all, carry) };
        let found = [first, second];
        let to_start = || {
            let lines = |lane: &Vec<Option<Line>>| {
                (0..).zip(lane).filter_map(|(ball, line)| Some((ball, line.as_ref()?.release))).collect()
            };
            belief.ball_to_start(&found.each_ref().map(lines), carry).unwrap_or_default()
        };
        let ball = asked.or(seat.starts_with).unwrap_or_else(to_start);
        let own = LineMeant::of(&seat.bowler.release);
        let best_of = |lane: usize| found[lane][ball].as_ref().map(|line| LineMeant::of(&line.release));
        let lines = [0, 1].map(|lane| seat.line.as_ref().map(LineMeant::of).or(best_of(lane)).unwrap_or(own));
        let others = setting.event.seats[1..].iter().map(|other| {
            let (hand, other) = (other.bowler.hand, event::seat(other));
            let pair = setting.event.pairs.iter().find(|pair| pair.numbers == setting.numbers);
            let Some(pair) = pair.filter(|_| other.line.is_none()) else {
                return [other.line.as_ref().map(LineMeant::of); 2];
            };
            let pair = pair.lanes.each_ref().map(|lane| lane.seen_by(hand));
            let (alike, ball) = (pair[0] == pair[1], other.starts_with.unwrap_or_default());
            let belief = believed(&other, pair);
            let likely = |lane: usize| belief.likely_line(lane, ball, carry).map(|line| LineMeant::of(&line));
            let first = likely(0);
            [first, if alike { first } else { likely(1) }]
        });
        Ok(Self { ball, lines, others: others.collect(), found })
    }

    /// The best line of each of our balls on each lane, as the record keeps it.
    pub fn forms(&self) -> [Vec<Option<LineMeant>>; 2] {
        let kept = |line: &Option<Line>| line.as_ref().map(|line| LineMeant::of(&line.release));
        self.found.each_ref().map(|lane| lane.iter().map(kept).collect())
    }
}

/// What the record calls everything.
struct Named {
    bowler: BowlerId,
    event: EventId,
    block: BlockId,
    counting: Counting,
    lanes: [LaneId; 2],
    balls: Vec<BallId>,
}

/// Names of the event and the bowler must leave room for what is put behind them.
fn id<T: std::str::FromStr>(text: &str, what: &str) -> Result<T, Fault> {
    text.parse().map_err(|_| {
        let allowed =
            format!("no name for the record: give {what} one of 1 to 40 characters, in one line, in its file");
        wrong("event", text, allowed)
    })
}

impl Named {
    fn of(record: &Record, setting: &Setting, counting: Counting) -> Result<Self, Failure> {
        let event = &setting.event.name;
        let bowler: BowlerId = id(&setting.event.seats[0].bowler.name, "the bowler")?;
        let hand = setting.event.seats[0].bowler.hand;
        if record.get::<Bowler>(bowler.as_str()).is_ok_and(|known| known.hand != hand) {
            let allowed =
                "the record has a bowler of this name with the other hand; give yours another name in the event";
            return Err(wrong("bowler", bowler.as_str(), allowed.to_owned()).into());
        }
        let [first, second] = setting.numbers;
        let plain = match counting {
            Counting::Nothing => format!("{event}, practice on {first}-{second}"),
            _ => format!("{event}, {first}-{second}"),
        };
        let blocks = record.all::<Block>()?;
        let taken = |name: &str| blocks.iter().any(|block| block.id.as_str() == name);
        let mut block = plain.clone();
        for again in 2.. {
            if !taken(&block) {
                break;
            }
            block = format!("{plain} ({again})");
        }
        let known = record.all::<Ball>()?;
        let ball = |one: &KitBall| {
            let plain = one.ball.id.as_str();
            let of_another = known.iter().any(|ball| ball.id.as_str() == plain && ball.bowler != bowler);
            let name = if of_another { format!("{bowler}: {plain}") } else { plain.to_owned() };
            id(&name, "the ball")
        };
        let balls = setting.event.seats[0].bag.balls().map(|one| ball(&one)).collect::<Result<_, _>>()?;
        let lanes =
            [id(&format!("{event}, lane {first}"), "the event")?, id(&format!("{event}, lane {second}"), "the event")?];
        let (event, block) = (id(event, "the event")?, id(&block, "the event")?);
        Ok(Self { bowler, event, block, counting, lanes, balls })
    }

    /// Everything that is new.
    fn beginnings(
        self,
        record: &Record,
        setting: &Setting,
        opening: &Opening,
        files: EventFiles,
        (pair, key): (usize, &Key),
    ) -> Result<New, Failure> {
        let Self { bowler, event, block, counting, lanes, balls } = self;
        let known = record.all::<Ball>()?;
        let mut people = Newcomers::default();
        let mut all = Vec::new();
        for (one, ball) in setting.event.seats[0].bag.balls().zip(&balls) {
            match known.iter().find(|known| known.id == *ball) {
                None => people.balls.push(record_ball(&one, ball, &bowler)),
                Some(known) => {
                    let cover = record_ball(&one, ball, &bowler).cover;
                    if known.cover != cover {
                        let allowed =
                            "the record has a ball of this id with another cover; choose another id in the bag file";
                        return Err(wrong("bag", ball.as_str(), allowed.to_owned()).into());
                    }
                    let surface = surface(one.prepared);
                    if record.life(ball)?.surface() != Some(surface) {
                        let how = Some("as the bag file has it".to_owned());
                        all.push(Fact::SurfaceChange { ball: ball.clone(), surface, how });
                    }
                }
            }
        }
        let in_hand = setting.ball(&setting.seat.balls[opening.ball].id)?;
        all.push(Fact::BallChange { bowler: bowler.clone(), ball: balls[in_hand].clone() });
        let [lane, other] = lanes.clone();
        all.push(Fact::LaneChange { block: block.clone(), bowler: bowler.clone(), lane, other: Some(other) });
        for (lane, line) in lanes.iter().zip(opening.lines) {
            let (block, bowler, lane) = (block.clone(), bowler.clone(), lane.clone());
            all.push(Fact::LineMeant { block, bowler, lane, line });
        }
        let numbered = |number: usize| Ok::<Key, Failure>(format!("{key}/{number}").parse()?);
        let since = numbered(all.len())?;
        let hand: Hand = setting.event.seats[0].bowler.hand;
        let kind = if counting == Counting::Nothing { EventKind::Practice } else { EventKind::Competition };
        let games = (counting != Counting::Nothing).then_some(setting.event.pairs[pair].games as u16);
        people.bowlers.push(Bowler { id: bowler.clone(), name: bowler.to_string(), hand });
        people.lanes.extend(lanes.each_ref().map(|lane| Lane { id: lane.clone(), name: lane.to_string() }));
        // Whether an event counts was said when it came into the record.
        if record.get::<Event>(event.as_str()).is_err() {
            people.events.push(Event { id: event.clone(), name: event.to_string(), kind, day: None });
        }
        people.blocks.push(Block { id: block.clone(), event, name: block.to_string(), counting, games });
        let begun = BlockBegun {
            block: block.clone(),
            bowler: bowler.clone(),
            since,
            pair,
            files,
            lanes,
            balls,
            forms: opening.forms(),
            others: opening.others.clone(),
        };
        all.push(Fact::BlockBegun { block, bowler, opening: Box::new(begun.opening()?) });
        let facts = all.into_iter().enumerate().map(|(k, fact)| Ok((fact, numbered(k + 1)?)));
        Ok(New { people, facts: facts.collect::<Result<_, Failure>>()?, begun })
    }
}

/// What comes into the record with a block.
struct New {
    people: Newcomers,
    facts: Vec<(Fact, Key)>,
    begun: BlockBegun,
}

/// A surface of the bag file as the record has it.
pub(super) fn surface(prepared: Prepared) -> Surface {
    match prepared {
        Prepared::RaUm(ra_um) => Surface::Ra(Micrometres(ra_um)),
        Prepared::Grit(grit) => Surface::Grit(grit),
        Prepared::Polished => Surface::Polished,
    }
}

fn record_ball(one: &KitBall, id: &BallId, bowler: &BowlerId) -> Ball {
    let cover = match one.ball.cover.kind {
        CoverKind::Reactive => boardwise_record::CoverKind::Reactive,
        CoverKind::Urethane => boardwise_record::CoverKind::Urethane,
        CoverKind::Plastic => boardwise_record::CoverKind::Plastic,
    };
    Ball {
        id: id.clone(),
        bowler: bowler.clone(),
        name: one.words(),
        cover: Some(cover),
        surface: Some(surface(one.prepared)),
        games_before: one.games,
    }
}
