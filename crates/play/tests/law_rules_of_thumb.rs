//! The trade's rules of thumb about ball motion (common practice, no source): the model must reproduce them.

#[allow(dead_code, reason = "the tests of spares use the rest")]
mod typical;

use ball::{Ball, CoverKind, Surface};
use lane::{ContactLaw, Fineness, Finish, Lane, Path, Release, TrackForm, throw_to};
use measure::{Board, Degrees, Feet, Hand, Mph, Rpm};
use play::{Bowler, Lines, Payoff, Pocket, Range, Search, Spread, find_lines};
use typical::{ball, dull, pattern, shiny, strikes, urethane};

fn typical() -> Bowler {
    Bowler {
        name: "typical".into(),
        hand: Hand::Right,
        release: Release::default(),
        spread: Spread::default(),
        range: Range { speed: (Mph(18.0), Mph(18.0)), rotation: (Degrees(45.0), Degrees(45.0)) },
    }
}

fn thrown(lane: &Lane, ball: &Ball, release: &Release) -> Path {
    let fineness = Fineness { step_s: 1e-3, track: TrackForm::Ring };
    throw_to(lane, lane.pattern_end(), ball, release, &ContactLaw::default(), fineness).unwrap()
}

fn lines(lane: &Lane, ball: &Ball, payoff: &impl Payoff) -> Lines {
    find_lines(lane, ball, &typical(), payoff, &Search { lines: 3, ..Search::default() }, &|_| ())
}

/// Heading gained between two distances, degrees.
fn turned(path: &Path, from: usize, to: usize) -> f64 {
    path.rows[to].angle.0 - path.rows[from].angle.0
}

/// Distance at which half of the whole turn is done.
fn half_turn_feet(path: &Path) -> usize {
    let whole = turned(path, 0, 60);
    (0..=60).find(|&k| turned(path, 0, k) >= 0.5 * whole).unwrap()
}

/// How sharp the turn is against how the ball moved on the oil: greatest turn within four feet over the mean turn in
/// four feet of pattern. (As a share of the whole turn it would favour balls that have not finished turning.)
fn sharpness(path: &Path, pattern_feet: usize) -> f64 {
    let greatest = (0..=56).map(|k| turned(path, k, k + 4)).fold(0.0, f64::max);
    greatest / (turned(path, 0, pattern_feet) * 4.0 / pattern_feet as f64)
}

fn straight_up(board: f64) -> Release {
    Release { laydown: Board(board), launch: Degrees(1.0), ..Release::default() }
}

#[test]
fn law_short_flat_pattern_plays_at_boards_one_to_five() {
    let lane = pattern(32.0, 0.8);
    for ball in [urethane(), dull()] {
        let found = lines(&lane, &ball, &strikes(&ball));
        let bp = found.lines[0].breakpoint.board.0;
        assert!((1.0..=5.0).contains(&bp), "breakpoint {bp}");
    }
}

#[test]
fn law_nine_to_three_beats_twenty_to_three_fresh_on_thirty_two_feet() {
    let lane = pattern(32.0, 0.8);
    for ball in [urethane(), dull()] {
        let runway = lane::Runway::new(&lane, &ball, &ContactLaw::default());
        // Over the board at the arrows, at whatever launch turns at board 3: how far from the pocket does it come in?
        let miss = |arrows: f64| {
            let finishes = (0..160).map(|k| {
                let launch = Degrees(0.04 * f64::from(k));
                let across_m = launch.to_radians().tan() * Feet(15.0).to_metres();
                let laydown = Board::from_metres(Board(arrows).to_metres() - across_m);
                runway.throw_many(&[Release { laydown, launch, ..Release::default() }])[0]
            });
            let off = |f: &Finish| (f.breakpoint.board.0 - 3.0).abs();
            let best = finishes.filter(|f| f.touch.is_some()).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap();
            assert!(off(&best) < 1.0, "no launch over {arrows} turns near board 3");
            (best.touch.unwrap().board().0 - 17.5).abs()
        };
        let (nine, twenty) = (miss(9.0), miss(20.0));
        assert!(nine < 4.5 && twenty > nine + 3.0, "nine {nine} twenty {twenty}");
    }
}

#[test]
fn law_urethane_reads_earliest_and_shiny_last_and_sharpest() {
    let lane = pattern(40.0, 0.8);
    let path = |ball: &Ball| thrown(&lane, ball, &straight_up(14.0));
    let (u, d, s) = (path(&urethane()), path(&dull()), path(&shiny()));
    let early = |p: &Path| turned(p, 0, 30) / turned(p, 0, 60);
    assert!(early(&u) > early(&d) && early(&d) > early(&s), "{} {} {}", early(&u), early(&d), early(&s));
    assert!(half_turn_feet(&u) <= half_turn_feet(&d) && half_turn_feet(&d) < half_turn_feet(&s));
    assert!(sharpness(&u, 40) < sharpness(&d, 40) && sharpness(&d, 40) < sharpness(&s, 40));
}

#[test]
fn law_rougher_surface_hooks_earlier_and_less_down_lane() {
    let lane = pattern(40.0, 0.8);
    let path = |grit: f64| {
        let ball = ball(CoverKind::Reactive, Surface::sanded(grit), 2.50, 0.045);
        thrown(&lane, &ball, &straight_up(14.0))
    };
    let (rough, smooth) = (path(500.0), path(3000.0));
    assert!(turned(&rough, 0, 30) > turned(&smooth, 0, 30));
    assert!(turned(&rough, 45, 60) < turned(&smooth, 45, 60));
}

#[test]
fn law_more_speed_and_less_hand_hook_less() {
    let lane = pattern(40.0, 0.8);
    let last = |release: Release| thrown(&lane, &dull(), &release).rows.last().unwrap().board;
    let base = straight_up(10.0);
    let own = last(base);
    assert!(last(Release { speed: Mph(19.0), ..base }) < own);
    assert!(last(Release { rev_rate: Rpm(300.0), ..base }) < own);
    assert!(last(Release { rotation: Degrees(35.0), ..base }) < own);
}

#[test]
fn law_a_walled_house_pattern_gives_more_room_than_a_flat_one() {
    for ball in [dull(), shiny()] {
        let best = |outside| lines(&pattern(40.0, outside), &ball, &Pocket::default()).lines[0].pocket;
        let (walled, flat) = (best(0.15), best(0.8));
        assert!(walled > flat + 0.10, "walled {walled} flat {flat}");
    }
}

#[test]
fn law_best_exit_moves_in_with_pattern_length() {
    // The rule of 31 [S]: exit board = length − 31. docs/calibration.md has the whole table, and why it flattens.
    let exit = |length| lines(&pattern(length, 0.8), &shiny(), &strikes(&shiny())).lines[0].exit.unwrap().board.0;
    let (short, house, long) = (exit(32.0), exit(38.0), exit(45.0));
    assert!(short < house && house < long, "{short} {house} {long}");
    assert!((house - 7.0).abs() < 3.0, "{house}");
}

#[test]
fn law_same_seed_same_lines_on_one_and_three_threads() {
    let lane = pattern(38.0, 0.3);
    let run = |threads| {
        rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap()
            .install(|| lines(&lane, &dull(), &Pocket::default()))
    };
    let (one, three) = (run(1), run(3));
    assert_eq!(one, three);
    assert!(one.lines.iter().all(|l| {
        let m = l.misses;
        (l.pocket + m.high + m.light + m.other_side + m.gutter - 1.0).abs() < 1e-9
    }));
}
