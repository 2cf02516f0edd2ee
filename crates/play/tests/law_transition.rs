//! The trade's rules of thumb on transition (common practice, no source): what the forecast must reproduce.

#[allow(dead_code, reason = "the rules of thumb use the rest")]
mod typical;

use ball::{Ball, Surface};
use lane::{ContactLaw, Fineness, Lane, Release, Runway, Side, throw};
use measure::stream::Stream;
use measure::{Board, Degrees, Feet, Hand, Mph};
use play::{Bowler, Line, Lines, Move, Payoff, Range, Search, Spread, Wear, find_lines};
use typical::{dull, pattern, plastic, shiny, strikes, urethane};

fn bowler() -> Bowler {
    Bowler {
        name: "typical".into(),
        hand: Hand::Right,
        release: Release::default(),
        spread: Spread::default(),
        range: Range { speed: (Mph(18.0), Mph(18.0)), rotation: (Degrees(45.0), Degrees(45.0)) },
    }
}

/// The lines worth playing, with enough throws to tell a point of pocket hits apart.
fn lines(lane: &Lane, ball: &Ball) -> Lines {
    let search = Search { lines: 3, throws_a_line: 8192, ..Search::default() };
    find_lines(lane, ball, &bowler(), &strikes(ball), &search, &|_| ())
}

fn best(lane: &Lane, ball: &Ball) -> Line {
    lines(lane, ball).lines.remove(0)
}

/// How far in the best of the parallel lines to this one lies, boards of feet (eyes seven tenths of that): the top of the parabola through the
/// strikes of the best and its neighbours, all on the same deviations.
fn best_parallel(lane: &Lane, ball: &Ball, line: &Release) -> f64 {
    let (runway, payoff) = (Runway::new(lane, ball, &ContactLaw::default()), strikes(ball));
    let at = |feet: f64| {
        let moved = Move { feet_boards: feet, eyes_boards: 0.7 * feet }.of(line);
        let finishes = runway.throw_many(&Spread::default().releases(&moved, 8192, 1));
        finishes.iter().map(|finish| payoff.worth(finish)).sum::<f64>() / 8192.0
    };
    let tries: Vec<(f64, f64)> = (-6..=10_i32).map(|k| 0.5 * f64::from(k)).map(|feet| (feet, at(feet))).collect();
    let top = (1..tries.len() - 1).max_by(|&a, &b| tries[a].1.total_cmp(&tries[b].1)).expect("some");
    let (low, here, high) = (tries[top - 1].1, tries[top].1, tries[top + 1].1);
    let bend: f64 = 2.0 * here - low - high;
    tries[top].0 + 0.25 * (high - low) / bend.max(1e-9)
}

/// The lane after shots with the bowler's spread along a line.
fn after(shots: u64, lane: &Lane, ball: &Ball, meant: &Release) -> Lane {
    let (mut worn, spread) = (lane.clone(), Spread::default());
    for index in 0..shots {
        let mut off = Stream::keyed(3, "transition", index);
        let release = Release {
            laydown: Board(meant.laydown.0 + spread.laydown_boards * off.normal()),
            launch: Degrees(meant.launch.0 + spread.launch.0 * off.normal()),
            ..*meant
        };
        worn.wear(ball, &release, &ContactLaw::default()).unwrap();
    }
    worn
}

/// Where it comes in; a ball that hooks too late even to stay on the lane lies out beyond board 1.
fn entry_board(lane: &Lane, ball: &Ball, release: &Release) -> f64 {
    let finish = Runway::new(lane, ball, &ContactLaw::default()).throw_many(&[*release])[0];
    match (finish.touch, finish.gutter) {
        (Some(touch), _) => touch.board().0,
        (None, Some((_, Side::Hand))) => 0.0,
        (None, other) => panic!("reaches no pin, gutter {other:?}"),
    }
}

fn fresh_short() -> Lane {
    pattern(32.0, 0.85)
}

#[test]
fn law_after_eighteen_urethane_shots_reactive_balls_move_in_and_find_room() {
    let fresh = fresh_short();
    let line = best(&fresh, &urethane()).release;
    let worn = after(18, &fresh, &urethane(), &line);
    for ball in [dull(), shiny()] {
        let (before, now) = (best(&fresh, &ball), best(&worn, &ball));
        let moved = best_parallel(&worn, &ball, &before.release) - best_parallel(&fresh, &ball, &before.release);
        assert!(moved > 0.25, "{moved}");
        // Room as the share of shots that find the pocket.
        let sure = before.pocket_error.hypot(now.pocket_error);
        assert!(now.pocket > before.pocket + sure, "{} {} ± {sure}", before.pocket, now.pocket);
    }
}

#[test]
fn law_the_front_dries_first_and_oil_is_carried_past_the_pattern() {
    let fresh = fresh_short();
    let line = best(&fresh, &urethane()).release;
    let worn = after(18, &fresh, &urethane(), &line);
    let path = throw(&fresh, &urethane(), &line, &ContactLaw::default(), Fineness::default()).unwrap();
    let wear = Wear::of(&fresh, &worn, &path).unwrap();
    assert!(wear.heads_gone > 0.1 && wear.heads_gone > wear.middle_gone && wear.middle_gone > 0.0, "{wear:?}");
    assert!(wear.beyond.0 > 1.0, "{wear:?}");
    // A ball on the line that was right fresh now hooks earlier: it comes in higher.
    assert!(entry_board(&worn, &urethane(), &line) > entry_board(&fresh, &urethane(), &line) + 0.5);
}

#[test]
fn law_two_lanes_part_when_different_balls_are_thrown_on_them() {
    let fresh = fresh_short();
    let line = best(&fresh, &urethane()).release;
    let outside = Release { laydown: Board(7.0), ..Release::default() }.aimed_at(Board(6.0), Feet(15.0));
    let lanes = [after(18, &fresh, &urethane(), &line), after(18, &fresh, &plastic(), &outside)];
    let entries = lanes.each_ref().map(|lane| entry_board(lane, &urethane(), &line));
    assert!((entries[0] - entries[1]).abs() > 0.5, "{entries:?}");
}

#[test]
fn law_a_rougher_surface_helps_a_ball_that_misses_down_lane() {
    // A line on which a ball fresh from the pad comes in at the pocket; with the cover gone shiny it goes long and comes in light.
    let lane = pattern(40.0, 0.85);
    let sanded = dull();
    let line = best(&lane, &sanded).release;
    let shiny = sanded.resurfaced(Surface::polished());
    let (fresh, gone) = (entry_board(&lane, &sanded, &line), entry_board(&lane, &shiny, &line));
    assert!((15.5..=19.5).contains(&fresh), "the line is one at the pocket: {fresh}");
    assert!(gone < fresh - 1.0, "{fresh} {gone}");
    let again = shiny.resurfaced(sanded.surface);
    assert!((entry_board(&lane, &again, &line) - fresh).abs() < 1e-9);
}
