//! Stories that a coach has an answer to: what was logged, and what is to be said next. They run as `start`, `log` and `next`
//! do, on a record in a folder of its own.

pub mod told;

use boardwise_belief::{Change, NextShot};
use boardwise_files::{EventFiles, Fault, LANES, Sources};
use boardwise_session::Failure;
use boardwise_session::at_lanes::begin::{Beginning, begin};
use boardwise_session::at_lanes::belief_replay::BeliefReplay;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, Details, LogShot, ShotTold, Stamp};
use boardwise_session::at_lanes::next::{Answer, FullRack};
use boardwise_session::at_lanes::question::Question;

/// A first ball as it was logged: lane, what stood, how it hit, how it felt.
pub type Logged = (u32, &'static str, &'static str, Option<&'static str>);

/// What a coach says, as directions in which an answer may go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Says {
    /// The same again.
    Stay,
    /// Feet in by one to three boards, eyes no further and not out.
    In,
    /// The same outward.
    Out,
    /// A rougher surface.
    Rougher,
    /// This ball.
    Ball(&'static str),
    /// This ball, with the feet further in.
    BallAndIn(&'static str),
    /// Less speed.
    Slower,
    /// Less side rotation.
    FlatterHand,
}

/// A story.
pub struct Story {
    /// What happened, in a coach's words.
    pub name: &'static str,
    /// What a coach says (common practice, no source).
    pub coach: &'static str,
    pub pattern: &'static str,
    pub ball: &'static str,
    /// When surfaces may be changed.
    pub surfaces: &'static str,
    pub logged: &'static [Logged],
    /// For each lane asked about, the answers that fit.
    pub fits: &'static [(u32, &'static [Says])],
}

/// What the card said on a lane.
pub struct Said {
    pub lane: u32,
    pub card: boardwise_belief::Card,
    pub first: String,
    /// Whether the direction fits, the size, and whether it was said as a command or as staying.
    pub direction: bool,
    pub size: bool,
    pub patience: bool,
}

impl Said {
    pub fn fits(&self) -> bool {
        self.direction && self.size && self.patience
    }
}

/// The lanes of every story.
pub const LANES_OF_PAIR: [u32; 2] = [7, 8];

const BAG: &str = r#"
[[ball]]
id = "urethane"
weight_lb = 15
cover = "urethane"
surface = { grit = 1000 }
rg_in = 2.57
differential_in = 0.032
[[ball]]
id = "dull strong solid"
weight_lb = 15
cover = "reactive"
surface = { grit = 1500 }
rg_in = 2.48
differential_in = 0.052
[[ball]]
id = "shiny pearl"
weight_lb = 15
cover = "reactive"
surface = { polished = true }
rg_in = 2.56
differential_in = 0.040
[[ball]]
id = "plastic"
weight_lb = 15
cover = "plastic"
surface = { polished = true }
rg_in = 2.68
differential_in = 0.010
"#;

/// Middling speed, revs and rotation. The spread is that of a 220 average, 0.65 board at the arrows [C from P: USBC magazine
/// 2012]: a coach tells such stories of bowlers who repeat their shots.
const BOWLER: &str = r#"
name = "competitive right-hander"
hand = "right"
speed_mph = 18.0
rev_rate_rpm = 350
rotation_deg = 45
tilt_deg = 15
loft_ft = 1.0
[spread]
laydown_boards = 0.42
launch_deg = 0.155
speed_mph = 0.21
rev_rate_rpm = 10
rotation_deg = 3.0
tilt_deg = 1.5
[range]
speed_mph = [17.0, 19.0]
rotation_deg = [30, 60]
"#;

fn event(story: &Story) -> String {
    let [left, right] = LANES_OF_PAIR;
    format!(
        "name = \"story\"\npractice_shots = 0\nsurface_changes = \"{}\"\n[[pair]]\nlanes = [{left}, {right}]\n\
         patterns = [\"{p}\", \"{p}\"]\ngames = 3\n[[bowler]]\nfile = \"bowler\"\nbag = \"bag\"\nball = \"{}\"\n",
        story.surfaces,
        story.ball,
        p = story.pattern
    )
}

fn files(story: &Story) -> Result<EventFiles, Fault> {
    let fetch = |what: &'static str, id: &str| {
        let lane = || LANES.iter().find(|entry| entry.id == id).map_or("", |entry| entry.text);
        let text = match what {
            "bag" => BAG,
            "bowler" => BOWLER,
            _ => lane(),
        };
        Ok((id.to_owned(), text.as_bytes().to_vec()))
    };
    let event = ("story".to_owned(), event(story).into_bytes());
    EventFiles::gather(&Sources { event, fetch: &fetch, lane: None, bag: None, bowler: None, games: None })
}

/// Bowls a story and asks what is next on every lane that a coach speaks of.
pub fn tell(story: &Story) -> Result<Vec<Said>, Failure> {
    let folder = tempfile::TempDir::new()
        .map_err(|why| Failure::from(Fault::Unreadable { name: "folder".into(), source: why }))?;
    let carry = boardwise_files::carry()?;
    let mut state = begin(&folder.path().join("record"), files(story)?, &Beginning::default(), &stamp("story"))?.state;
    for (number, (lane, pins, hit, felt)) in story.logged.iter().enumerate() {
        let details = Details {
            hit: Some(hit.parse().expect("a hit")),
            felt: felt.map(|felt| felt.parse().expect("a feeling")),
            lane: Some(*lane),
            ..Details::default()
        };
        log(&mut state, pins, details, &format!("story-{number}"))?;
        let first = state.upcoming().is_some_and(|next| next.is_first(&state.sheet));
        if !first {
            let spare = Details { lane: Some(*lane), ball: Some("plastic".to_owned()), ..Details::default() };
            log(&mut state, "none", spare, &format!("story-{number}-spare"))?;
        }
    }
    let replay = BeliefReplay::of(&state, carry, 1)?;
    let mut all = Vec::new();
    for (lane, fits) in story.fits {
        let question = Question::new(&state, Some(*lane), 1)?;
        let Answer::FullRack(answer) = question.answer(|| Ok(replay.clone()))? else {
            unreachable!("every story ends before a first ball");
        };
        all.push(judged(*lane, *answer, fits));
    }
    Ok(all)
}

fn log(state: &mut BlockState, pins: &str, details: Details, key: &str) -> Result<(), Failure> {
    let shot = ShotTold { pins: pins.to_owned(), details, note: None };
    let command = Command::Log(LogShot { shot, ..LogShot::default() });
    state.run(&command, &stamp(key)).map(|_| ())
}

fn stamp(key: &str) -> Stamp {
    Stamp { key: key.parse().expect("a key"), at: jiff::Timestamp::UNIX_EPOCH }
}

fn judged(lane: u32, answer: FullRack, fits: &[Says]) -> Said {
    let stays = fits.contains(&Says::Stay);
    let balls = &answer.balls;
    let first = answer.advice.choices.first().filter(|one| one.change != Change::Stay);
    let names: Vec<&str> = balls.iter().map(String::as_str).collect();
    let way = |one: &NextShot| fits.iter().find(|says| goes(**says, one, balls));
    let commands = answer.advice.verdict.asks_for_change();
    let found = first.and_then(way);
    Said {
        lane,
        first: first.map_or_else(|| "-".to_owned(), |one| boardwise_belief::headline(one, &names)),
        direction: found.is_some() || stays && !commands,
        size: !commands || first.is_none_or(is_no_leap),
        patience: if stays { !commands } else { commands },
        card: answer.card,
    }
}

/// Whether a choice goes the way that a coach says.
fn goes(says: Says, one: &NextShot, balls: &[String]) -> bool {
    let (feet, eyes) = (one.moved.feet_boards, one.moved.eyes_boards);
    let moves = matches!(one.change, Change::Move(_));
    match (says, one.change) {
        (Says::Stay, _) => one.change == Change::Stay,
        (Says::In, _) => moves && feet >= 0.0 && eyes >= 0.0,
        (Says::Out, _) => moves && feet <= 0.0 && eyes <= 0.0,
        (Says::Rougher, Change::Surface(surface)) => surface.ra_m > boardwise_ball::Surface::sanded(1500.0).ra_m,
        (Says::Ball(id), Change::Ball) => balls[one.choice.ball] == id,
        (Says::BallAndIn(id), Change::Ball) => balls[one.choice.ball] == id && feet > 0.0,
        (Says::Slower, Change::Hand(speed, _)) => speed.0 < 0.0,
        (Says::FlatterHand, Change::Hand(_, rotation)) => rotation.0 < 0.0,
        _ => false,
    }
}

/// Feet by three boards at most with the same ball: what a coach asks for at once.
fn is_no_leap(one: &NextShot) -> bool {
    !matches!(one.change, Change::Move(_)) || one.moved.feet_boards.abs() <= 3.01 && one.moved.eyes_boards.abs() <= 2.01
}
