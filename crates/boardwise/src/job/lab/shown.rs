//! What the throw lab shows: the lane once, then what moves on it and the numbers beside it, as often as a hand drags.

use std::thread;

use draw::{LanePicture, Theme, Trace};
use lane::{Finish, Path, Place, Release};
use play::{FirstBall, Pocket, Strikes};
use serde_json::{Value, json};

use super::{Question, Setup, rails, target};
use crate::job::leaves::{leaves_json, likely};
use crate::job::line::{Found, misses, title};
use crate::job::pictures::map;
use crate::job::throw::ends_json;
use crate::job::{Failure, Scene, spread};
use crate::kit::{self, KitBall};

/// Seed of everything that is sampled: the same question gets the same answer.
const SEED: u64 = 1;
/// Shots behind a strike percentage and a band.
const SHOTS: u32 = 512;

/// The lane of a setup without any throw, and where on it a hand drags.
pub fn base(setup: &Setup, theme: Theme) -> Value {
    let scene = &setup.scene;
    json!({
        "schema": 1,
        "lane": scene.lane_name,
        "svg": picture(scene, &[], None).draw(theme).svg(),
        "rails": rails(&scene.lane, scene.bowler.hand),
    })
}

fn picture<'a>(scene: &'a Scene, traces: &'a [Trace<'a>], band: Option<&'a [Vec<(f64, f64)>]>) -> LanePicture<'a> {
    let (lane, hand, title) = (&scene.lane, scene.bowler.hand, scene.lane_name.as_str());
    LanePicture { lane, hand, title, traces, band, window: None, standing: None }
}

/// One ball's throw, as meant and as the bowler's shots come out.
struct Thrown {
    path: Path,
    shots: FirstBall,
    /// Where the shots went, for the band.
    band: Vec<Vec<Place>>,
}

/// The throws of a question on its lanes: what moves in the pictures, and the numbers.
///
/// # Errors
/// What nobody can throw; a table built in that cannot be read.
pub fn thrown(setups: &[Setup], asked: &Question, theme: Theme) -> Result<Value, Failure> {
    let Some(first) = setups.first() else { return Ok(json!({ "schema": 1, "lanes": [] })) };
    let release = &asked.release(&first.scene.bowler.release)?;
    // One thread a throw: a hand is waiting.
    let lanes = thread::scope(|scope| {
        let begun: Vec<_> = setups
            .iter()
            .map(|setup| {
                let balls = 0..setup.scene.balls.len();
                let throws: Vec<_> = balls.map(|k| scope.spawn(move || throw(setup, k, release))).collect();
                (setup, throws)
            })
            .collect();
        let ended = begun.into_iter().map(|(setup, throws)| {
            let throws = throws.into_iter().map(joined).collect::<Result<Vec<_>, _>>()?;
            Ok(lane_json(&setup.scene, &throws, theme))
        });
        ended.collect::<Result<Vec<_>, Failure>>()
    })?;
    Ok(json!({
        "schema": 1,
        "question": asked.parts(release),
        "launch_deg": release.launch.0,
        "bowler": first.scene.bowler.name,
        "boards_from": first.scene.side(),
        "lanes": lanes,
    }))
}

/// What a thread came to; where it panicked, so does this one.
fn joined<T>(begun: thread::ScopedJoinHandle<'_, T>) -> T {
    begun.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
}

fn throw(setup: &Setup, k: usize, release: &Release) -> Result<Thrown, Failure> {
    let Setup { scene, runways } = setup;
    let ball = &scene.balls[k].ball;
    let strikes = Strikes::new(kit::carry()?, ball, scene.bowler.hand, Pocket::default());
    let releases = scene.bowler.spread.releases(release, SHOTS, SEED);
    let (finishes, band): (Vec<Finish>, Vec<_>) = match k {
        // The first ball's shots are drawn as well.
        0 => runways[k].follow_many(&releases).into_iter().unzip(),
        _ => (runways[k].throw_many(&releases), Vec::new()),
    };
    let touches: Vec<_> = finishes.iter().map(|finish| finish.touch.filter(|_| finish.gutter.is_none())).collect();
    Ok(Thrown { path: spread::path(scene, ball, release)?, shots: strikes.leaves_of(&touches), band })
}

fn lane_json(scene: &Scene, throws: &[Thrown], theme: Theme) -> Value {
    let named: Vec<String> =
        scene.balls.iter().zip('A'..).map(|(one, letter)| format!("{letter} {}", one.ball.id)).collect();
    let traces: Vec<Trace<'_>> =
        named.iter().zip(throws).map(|(label, thrown)| Trace { label, path: &thrown.path }).collect();
    let line = |places: &Vec<Place>| places.iter().map(|place| (place.board.0, place.feet.0)).collect();
    let band: Vec<Vec<(f64, f64)>> = throws.iter().flat_map(|thrown| thrown.band.iter().map(line)).collect();
    let balls = scene.balls.iter().zip(throws).map(|(one, thrown)| ball_json(one, thrown));
    json!({
        "lane": scene.lane_name,
        "overlay": picture(scene, &traces, Some(&band)).overlay(theme).svg(),
        "balls": balls.collect::<Vec<_>>(),
    })
}

fn ball_json(one: &KitBall, thrown: &Thrown) -> Value {
    let Thrown { path, shots, .. } = thrown;
    let mut told = ends_json(one, path);
    told["strike_pct"] = json!(100.0 * shots.strike);
    told["strike_se_pct"] = json!(100.0 * shots.strike_error);
    told["split_pct"] = json!(100.0 * shots.split());
    told["likely"] = json!(likely(shots, 3));
    told["leaves"] = json!(leaves_json(shots));
    told["beyond_table_pct"] = json!(100.0 * shots.beyond_table);
    told["shots"] = json!(SHOTS);
    told
}

/// What a search found, as `boardwise line` tells it, with what puts each line into the lab, and its map.
pub fn found_json(scene: &Scene, one: &KitBall, found: &Found, theme: Theme) -> Value {
    let mut told = found.json(scene, one);
    for (line, told) in found.lines.lines.iter().zip(told["lines"].as_array_mut().into_iter().flatten()) {
        told["target"] = json!(target(&line.release).0);
        told["misses_words"] = json!(misses(line));
    }
    told["map"] = json!(map(&found.lines, &title(scene, &one.ball), theme).svg());
    told
}
