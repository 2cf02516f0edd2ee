//! What the throw lab shows: the lane once, then what moves on it and the numbers beside it, as often as a hand drags.

use std::thread;

use boardwise_figures::{Theme, Trace, WideLane};
use boardwise_lane::{Finish, Path, Place};
use boardwise_search::{FirstBall, Line, Pocket, Strikes};

use super::{Question, Setup, rails, target};
use crate::leaves::{leave_views, likely};
use crate::line::{Found, misses, title};
use crate::pictures::map;
use crate::throw::ends;
use crate::view::{Form, LabBall, LabLane, LabLanes, LabLine, LabLines, LabThrows, LanePictured};
use crate::{Failure, Scene, spread};
use boardwise_files::{Fault, KitBall};

/// Seed of everything that is sampled: the same question gets the same answer.
const SEED: u64 = 1;
/// Shots behind a strike percentage and a band.
const SHOTS: u32 = 512;
/// And while a hand drags: a power of two, as the points of a spread are even in; the band's edges are then known half as well.
const SHOTS_IN_HAND: u32 = 128;

/// How a page shows its lanes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// The colours.
    pub theme: Theme,
    /// How wide a lane is shown, in units of which letters have 13.
    pub width: f64,
}

/// The lanes of a question without any throw, and where on them a hand drags. Side by side they have one scale of oil.
pub fn lanes(setups: &[Setup], look: Look) -> LabLanes {
    let scales: Vec<(f64, &str)> =
        setups.iter().map(|setup| picture(setup, &[], None, look, None).own_scale()).collect();
    let alike = scales.windows(2).all(|pair| pair[0].1 == pair[1].1);
    let most = alike.then(|| scales.iter().map(|scale| scale.0).fold(0.0, f64::max));
    let shown = |setup: &Setup| {
        let picture = picture(setup, &[], None, look, most);
        LanePictured {
            schema: Form,
            lane: setup.name.clone(),
            svg: picture.draw(look.theme).svg().to_owned(),
            rails: rails(&picture),
        }
    };
    LabLanes { schema: Form, lanes: setups.iter().map(shown).collect() }
}

fn picture<'a>(
    Setup { scene, name, .. }: &'a Setup,
    traces: &'a [Trace<'a>],
    band: Option<&'a [Vec<(f64, f64)>]>,
    look: Look,
    most: Option<f64>,
) -> WideLane<'a> {
    let (lane, hand, title) = (&scene.lane, scene.bowler.hand, name.as_str());
    WideLane { lane, hand, title, traces, rows: scene.balls.len(), band, width: look.width, most }
}

/// One ball's throw, as meant and as the bowler's shots come out.
struct Thrown {
    path: Path,
    shots: FirstBall,
    /// Where the shots went, for the band.
    band: Vec<Vec<Place>>,
}

/// The throws of a question on its lanes: what moves in the pictures, and the numbers. In the hand, from fewer shots.
///
/// # Errors
/// What nobody can throw; a table built in that cannot be read.
pub fn thrown(setups: &[Setup], asked: &Question, in_hand: bool, look: Look) -> Result<LabThrows, Failure> {
    let first =
        setups.first().ok_or_else(|| Fault::Missing { what: "lane", name: String::new(), known: Vec::new() })?;
    let release = &first.release;
    let shots = if in_hand { SHOTS_IN_HAND } else { SHOTS };
    let lanes = side_by_side(setups, |setup| {
        let balls: Vec<usize> = (0..setup.scene.balls.len()).collect();
        let throws = side_by_side(&balls, |&k| throw(setup, k, shots));
        Ok(lane_view(setup, &throws.into_iter().collect::<Result<Vec<_>, Failure>>()?, shots, look))
    });
    Ok(LabThrows {
        schema: Form,
        question: asked.parts(release),
        launch_deg: release.launch.0,
        bowler: first.scene.bowler.name.clone(),
        boards_from: first.scene.bowler.hand.into(),
        lanes: lanes.into_iter().collect::<Result<_, Failure>>()?,
    })
}

/// Does them all at once, in order: a hand is waiting. The first is done here, the others by threads of their own.
fn side_by_side<T: Sync, R: Send>(all: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    // A browser has no threads to give.
    if cfg!(target_os = "wasi") {
        return all.iter().map(work).collect();
    }
    let Some((first, rest)) = all.split_first() else { return Vec::new() };
    let work = &work;
    thread::scope(|scope| {
        let begun: Vec<_> = rest.iter().map(|one| scope.spawn(move || work(one))).collect();
        std::iter::once(work(first)).chain(begun.into_iter().map(joined)).collect()
    })
}

/// What a thread came to; where it panicked, so does this one.
fn joined<T>(begun: thread::ScopedJoinHandle<'_, T>) -> T {
    begun.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
}

fn throw(setup: &Setup, k: usize, shots: u32) -> Result<Thrown, Failure> {
    let Setup { scene, runways, release, .. } = setup;
    let ball = &scene.balls[k].ball;
    let strikes = Strikes::new(boardwise_files::carry()?, ball, scene.bowler.hand, Pocket::default());
    let releases = scene.bowler.spread.releases(release, shots, SEED);
    let (finishes, band): (Vec<Finish>, Vec<_>) = match k {
        // The first ball's shots are drawn as well.
        0 => runways[k].follow_many(&releases).into_iter().unzip(),
        _ => (runways[k].throw_many(&releases), Vec::new()),
    };
    let touches: Vec<_> = finishes.iter().map(|finish| finish.touch.filter(|_| finish.gutter.is_none())).collect();
    Ok(Thrown { path: spread::path(scene, ball, release)?, shots: strikes.leaves_of(&touches), band })
}

fn lane_view(setup: &Setup, throws: &[Thrown], shots: u32, look: Look) -> LabLane {
    let scene = &setup.scene;
    let named: Vec<String> =
        scene.balls.iter().zip('A'..).map(|(one, letter)| format!("{letter} {}", one.ball.id)).collect();
    let traces: Vec<Trace<'_>> =
        named.iter().zip(throws).map(|(label, thrown)| Trace { label, path: &thrown.path }).collect();
    let line = |places: &Vec<Place>| places.iter().map(|place| (place.board.0, place.feet.0)).collect();
    let band: Vec<Vec<(f64, f64)>> = throws.iter().flat_map(|thrown| thrown.band.iter().map(line)).collect();
    let balls = scene.balls.iter().zip(throws).map(|(one, thrown)| ball_view(one, thrown, shots));
    LabLane {
        lane: setup.name.clone(),
        overlay: picture(setup, &traces, Some(&band), look, None).overlay(look.theme).svg().to_owned(),
        balls: balls.collect(),
    }
}

fn ball_view(one: &KitBall, thrown: &Thrown, count: u32) -> LabBall {
    let Thrown { path, shots, .. } = thrown;
    LabBall {
        ends: ends(one, path),
        strike_pct: 100.0 * shots.strike,
        strike_se_pct: 100.0 * shots.strike_error,
        split_pct: 100.0 * shots.split(),
        likely: likely(shots, 3),
        leaves: leave_views(shots),
        beyond_table_pct: 100.0 * shots.beyond_table,
        shots: count,
    }
}

/// What a search found, with what puts each line into the lab, and its map.
pub fn found(scene: &Scene, one: &KitBall, found: &Found, theme: Theme) -> LabLines {
    let more = |line: &Line, view| LabLine { line: view, target: target(&line.release).0, misses_words: misses(line) };
    LabLines {
        found: found.view_with(scene, one, more),
        map: map(&found.lines, &title(scene, &one.ball), theme).svg().to_owned(),
    }
}
