//! The trade's rules of thumb as measurements: for the tests of whether they hold, and for the search of constants under which they do.

use super::{right_hander, strikes};
use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Finish, Lane, Path, Release, Runway, Side};
use boardwise_search::{Conditions, Line, Move, Payoff, Progress, Search, Site, Spread, Unknowns, find_lines};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Degrees, Feet};
use rayon::prelude::*;

/// Searches over which a rule is asked: near the best of a flat pattern lines differ by less than one search can tell.
pub const SEEDS: core::ops::RangeInclusive<u64> = 1..=2;

/// Lines within this share of strikes of the best are as good as it.
const AS_GOOD: f64 = 0.01;

/// The four lines that strike most, best first, of a right-hander who throws so.
pub fn lines(lane: &Lane, ball: &Ball, release: &Release, law: ContactLaw, seed: u64) -> Vec<Line> {
    let search = Search { lines: 4, seed, ..Search::default() };
    let site = Site::fresh(lane, ball);
    let conditions = Conditions::new(&site, &Unknowns::default().worlds(seed), &law);
    find_lines(&conditions, &right_hander(*release), &strikes(ball), &search, &Progress::default())
        .expect("not cancelled")
        .lines
}

/// The same once for each seed.
pub fn lines_by_seed(lane: &Lane, ball: &Ball, release: &Release) -> Vec<Vec<Line>> {
    SEEDS.into_par_iter().map(|seed| lines(lane, ball, release, ContactLaw::default(), seed)).collect()
}

/// The mean over the lines as good as the first, which is the best.
pub fn mean_as_good(lines: &[Line], of: impl Fn(&Line) -> f64) -> f64 {
    mean(lines.iter().filter(|line| line.worth >= lines[0].worth - AS_GOOD).map(of))
}

/// Board at which the line leaves the pattern.
pub fn exit_board(line: &Line) -> f64 {
    line.exit.map_or(f64::NAN, |exit| exit.board.0)
}

/// Not a number of nothing.
pub fn mean(values: impl IntoIterator<Item = f64>) -> f64 {
    let (sum, count) = values.into_iter().fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / count
}

/// Heading gained between two distances, feet; degrees. Nothing for a ball that has left the lane by then.
pub fn turned(path: &Path, from: usize, to: usize) -> f64 {
    path.rows.get(to).map_or(f64::NAN, |row| row.angle.0 - path.rows[from].angle.0)
}

/// Distance at which half of the whole turn is done, feet; past the head pin if it never is.
pub fn half_turn_feet(path: &Path) -> f64 {
    let half = 0.5 * turned(path, 0, 60);
    let Some(after) = (1..=60).find(|&k| turned(path, 0, k) >= half) else { return 61.0 };
    let (before, now) = (turned(path, 0, after - 1), turned(path, 0, after));
    after as f64 - (now - half) / (now - before)
}

/// How sharp the turn is against how the ball moved on the oil: greatest turn within four feet over the mean turn in
/// four feet of pattern. (As a share of the whole turn it would favour balls that have not finished turning.)
pub fn sharpness(path: &Path, pattern_feet: usize) -> f64 {
    let greatest = (0..=56).map(|k| turned(path, k, k + 4)).fold(0.0, f64::max);
    greatest / (turned(path, 0, pattern_feet) * 4.0 / pattern_feet as f64)
}

/// Over this board at the arrows, at whatever launch turns near board 3: how far from the pocket it comes in, boards; None if no launch turns there.
pub fn miss_by_way_of_three(lane: &Lane, ball: &Ball, law: &ContactLaw, arrows: f64) -> Option<f64> {
    let runway = Runway::new(lane, ball, law);
    let finishes = (0..160).map(|k| {
        let launch = Degrees(0.04 * f64::from(k));
        let across_m = launch.to_radians().tan() * Feet(15.0).to_metres();
        let laydown = Board::from_metres(Board(arrows).to_metres() - across_m);
        runway.throw_many(&[Release { laydown, launch, ..Release::default() }])[0]
    });
    let off = |finish: &Finish| (finish.breakpoint.board.0 - 3.0).abs();
    let best = finishes.filter(|finish| finish.touch.is_some()).min_by(|a, b| off(a).total_cmp(&off(b)))?;
    (off(&best) < 1.0).then(|| best.touch.map_or(f64::NAN, |touch| (touch.board().0 - 17.5).abs()))
}

/// Where it comes in; a ball that hooks too late even to stay on the lane lies out beyond board 1. None if it leaves the lane on the far side.
pub fn entry_board(lane: &Lane, ball: &Ball, law: &ContactLaw, release: &Release) -> Option<f64> {
    let finish = Runway::new(lane, ball, law).throw_many(&[*release])[0];
    match (finish.touch, finish.gutter) {
        (Some(touch), _) => Some(touch.board().0),
        (None, Some((_, Side::Hand))) => Some(0.0),
        (None, _) => None,
    }
}

/// The lane after shots with a usual spread along a line.
pub fn after(shots: u64, lane: &Lane, ball: &Ball, law: &ContactLaw, meant: &Release) -> Lane {
    let (mut worn, spread) = (lane.clone(), Spread::default());
    for index in 0..shots {
        let mut off = Stream::keyed(3, "transition", index);
        let release = Release {
            laydown: Board(meant.laydown.0 + spread.laydown_boards * off.normal()),
            launch: Degrees(meant.launch.0 + spread.launch.0 * off.normal()),
            ..*meant
        };
        worn.wear(ball, &release, law).expect("a possible release");
    }
    worn
}

/// How far in the best of the parallel lines to this one lies, boards of feet (eyes seven tenths of that): the top of the parabola through the
/// strikes of the best and its neighbours, all on the same deviations.
pub fn best_parallel(lane: &Lane, ball: &Ball, law: &ContactLaw, line: &Release) -> f64 {
    let (runway, payoff) = (Runway::new(lane, ball, law), strikes(ball));
    let at = |feet: f64| {
        let moved = Move { feet_boards: feet, eyes_boards: 0.7 * feet }.of(line);
        let finishes = runway.throw_many(&Spread::default().releases(&moved, 8192, 1));
        finishes.iter().map(|finish| payoff.worth(finish)).sum::<f64>() / 8192.0
    };
    let tries: Vec<(f64, f64)> = (-6..=10_i32).map(|k| 0.5 * f64::from(k)).map(|feet| (feet, at(feet))).collect();
    let top = (1..tries.len() - 1).max_by(|&a, &b| tries[a].1.total_cmp(&tries[b].1)).expect("some");
    let (low, here, high) = (tries[top - 1].1, tries[top].1, tries[top + 1].1);
    let bend: f64 = 2.0 * here - low - high;
    // Never beyond half a step: where both neighbours do as well as the best there is no bend.
    tries[top].0 + (0.25 * (high - low) / bend.max(1e-9)).clamp(-0.25, 0.25)
}

/// Oil beyond a distance, square metres of lane times metres of film: to be compared, not read.
pub fn oil_beyond(lane: &Lane, feet: Feet) -> f64 {
    lane.film().map_or(0.0, |film| {
        (0..=60).map(f64::from).filter(|&at| at > feet.0).flat_map(|at| film.thickness_m.boards_at(Feet(at))).sum()
    })
}
