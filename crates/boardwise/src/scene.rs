//! The files that a command names, read.

use std::path::Path;

use super::flags::Kit;
use super::output;
use boardwise_files::{Entry, Fault, KitBag, KitBall, Loaded};
use boardwise_session::Scene;

/// Reads everything; what is possible but outside the rules is said on standard error.
pub fn load(kit: &Kit) -> Result<Scene, Fault> {
    let mut warnings = Vec::new();
    let mut keep = |more: Vec<String>| warnings.extend(more);
    let lane = find("lane", &kit.lane, &boardwise_files::LANES, boardwise_files::parse_lane)?;
    keep(lane.warnings);
    let bag = find("bag", &kit.bag, &boardwise_files::BAGS, boardwise_files::parse_bag)?;
    keep(bag.warnings);
    let bowler = find("bowler", &kit.bowler, &boardwise_files::BOWLERS, boardwise_files::parse_bowler)?;
    keep(bowler.warnings);
    let mut balls = Vec::new();
    for name in &kit.ball {
        let ball = ball(name, &bag.value)?;
        keep(ball.warnings);
        balls.push(ball.value);
    }
    output::warn(warnings);
    Ok(Scene::new(lane.value, bag.value, balls, bowler.value))
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
        _ => Ok((name.to_owned(), boardwise_files::read(name)?)),
    }
}

/// A ball of the bag, else the one ball of a file.
pub(super) fn ball(name: &str, bag: &KitBag) -> Result<Loaded<KitBall>, Fault> {
    if let Some(value) = bag.get(name) {
        return Ok(Loaded { value, warnings: Vec::new() });
    }
    if Path::new(name).symlink_metadata().is_err() {
        let known = bag.balls().map(|one| one.ball.id).collect();
        return Err(Fault::Missing { what: "ball", name: name.to_owned(), known });
    }
    let file = boardwise_files::parse_bag(name, &boardwise_files::read(name)?)?;
    let balls: Vec<KitBall> = file.value.balls().collect();
    match balls.as_slice() {
        [one] => Ok(Loaded { value: one.clone(), warnings: file.warnings }),
        several => Err(Fault::Field {
            field: "--ball",
            value: name.to_owned(),
            allowed: format!(
                "the file holds {} balls; name it with --bag and one of its ids with --ball",
                several.len()
            ),
        }),
    }
}
