//! The lane, the balls and the bowler that a command is about.

use std::path::Path;

use ball::Ball;
use lane::Lane;
use measure::Hand;
use play::{Bowler, spare_ball};

use super::arguments::Kit;
use crate::kit::{self, Entry, Fault, KitBag, KitBall, Loaded};

/// What a command is about, checked.
#[derive(Debug)]
pub struct Scene {
    /// Name of the lane.
    pub lane_name: String,
    /// The lane as the bowler sees it.
    pub lane: Lane,
    /// The balls asked for, in order; at least one.
    pub balls: Vec<KitBall>,
    /// Every ball of the bag, to choose one for spares from.
    bag: KitBag,
    /// The bowler.
    pub bowler: Bowler,
}

/// The ball to take when none is named and the bag has it.
const USUAL_BALL: &str = "strong-solid";

impl Scene {
    /// Reads everything; what is possible but outside the rules is said on standard error.
    pub fn load(kit: &Kit) -> Result<Self, Fault> {
        let mut warnings = Vec::new();
        let mut keep = |more: Vec<String>| warnings.extend(more);
        let lane = find("lane", &kit.lane, &kit::LANES, kit::parse_lane)?;
        keep(lane.warnings);
        let bag = find("bag", &kit.bag, &kit::BAGS, kit::parse_bag)?;
        keep(bag.warnings);
        let bowler = find("bowler", &kit.bowler, &kit::BOWLERS, kit::parse_bowler)?;
        keep(bowler.warnings);
        let mut balls = Vec::new();
        for name in &kit.ball {
            let ball = ball(name, &bag.value)?;
            keep(ball.warnings);
            balls.push(ball.value);
        }
        if balls.is_empty() {
            balls.extend(bag.value.get(USUAL_BALL).or(bag.value.balls().next()));
        }
        for warning in warnings {
            eprintln!("warning: {warning}");
        }
        let bowler = bowler.value;
        let bag = bag.value;
        Ok(Self { lane_name: lane.value.name.clone(), lane: lane.value.seen_by(bowler.hand), balls, bag, bowler })
    }

    /// The one ball of a command that takes no more.
    pub fn only_ball(&self, command: &str) -> Result<&KitBall, Fault> {
        match self.balls.as_slice() {
            [one] => Ok(one),
            several => Err(Fault::Flag {
                flag: "--ball".to_owned(),
                value: several.iter().map(|one| one.ball.id.as_str()).collect::<Vec<_>>().join(" --ball "),
                allowed: format!("`{command}` is for one ball: give --ball once"),
            }),
        }
    }

    /// The ball of the bag for spares.
    pub fn spare_ball(&self) -> Option<&Ball> {
        spare_ball(self.bag.bag.balls())
    }

    /// The same with the bag's ball for spares, unless balls were asked for.
    pub fn for_spares(mut self, kit: &Kit) -> Self {
        if kit.ball.is_empty()
            && let Some(spare) = self.spare_ball().and_then(|ball| self.bag.get(&ball.id))
        {
            self.balls = vec![spare];
        }
        self
    }

    /// Who plays what, where: the heading of an answer for people.
    pub fn heading(&self) -> String {
        let balls: Vec<String> = self.balls.iter().map(KitBall::words).collect();
        format!(
            "bowler   {}\nball     {}\nlane     {}; boards count from the {} gutter\n",
            self.bowler.name,
            balls.join(", "),
            self.lane_name,
            self.side()
        )
    }

    /// The gutter that boards count from.
    pub fn side(&self) -> &'static str {
        match self.bowler.hand {
            Hand::Right => "right",
            Hand::Left => "left",
        }
    }
}

/// A file of that name, else the demo kit's, read as what it is.
pub(super) fn find<T>(
    what: &'static str,
    name: &str,
    demo: &[Entry],
    parse: impl Fn(&str, &[u8]) -> Result<Loaded<T>, Fault>,
) -> Result<Loaded<T>, Fault> {
    let (name, bytes) = bytes_of(what, name, demo)?;
    parse(&name, &bytes)
}

/// A file of that name, else the demo kit's: its name for people and its bytes.
pub(super) fn bytes_of(what: &'static str, name: &str, demo: &[Entry]) -> Result<(String, Vec<u8>), Fault> {
    match demo.iter().find(|entry| entry.id == name) {
        Some(entry) if !Path::new(name).is_file() => Ok((entry.path.to_owned(), entry.text.as_bytes().to_vec())),
        None if Path::new(name).symlink_metadata().is_err() => {
            Err(Fault::Missing { what, name: name.to_owned(), known: demo.iter().map(|e| e.id.to_owned()).collect() })
        }
        _ => Ok((name.to_owned(), kit::read(name)?)),
    }
}

/// A ball of the bag, else the one ball of a file.
fn ball(name: &str, bag: &KitBag) -> Result<Loaded<KitBall>, Fault> {
    if let Some(value) = bag.get(name) {
        return Ok(Loaded { value, warnings: Vec::new() });
    }
    if Path::new(name).symlink_metadata().is_err() {
        let known = bag.balls().map(|one| one.ball.id).collect();
        return Err(Fault::Missing { what: "ball", name: name.to_owned(), known });
    }
    let file = kit::parse_bag(name, &kit::read(name)?)?;
    let balls: Vec<KitBall> = file.value.balls().collect();
    match balls.as_slice() {
        [one] => Ok(Loaded { value: one.clone(), warnings: file.warnings }),
        several => Err(Fault::Flag {
            flag: "--ball".to_owned(),
            value: name.to_owned(),
            allowed: format!(
                "the file holds {} balls; name it with --bag and one of its ids with --ball",
                several.len()
            ),
        }),
    }
}
