//! What ten pins do, against what is published about carry.

use crate::entries;
use crate::knobs;
use boardwise_ball::Entry;
use boardwise_pins::carry::Approach;
use boardwise_pins::ensemble::{self, ENSEMBLE, Fitted, Professionals};
use boardwise_pins::{BallBody, Constants, FULL_RACK, Mask, Outcome, Rack, Surface, ThrowError, mirrored};
use boardwise_units::INCH_M;
use boardwise_units::stream::Stream;
use glam::DVec3;

/// Many racks at one board (spread over a quarter of a board, since single lines are nearly deterministic) and angle.
fn throw(rack: &Rack, board: f64, degrees: f64, racks: u64) -> Vec<Outcome> {
    let ball = BallBody::of_pounds(15.0);
    let one = |index: u64| {
        let mut stream = Stream::keyed(70, "truth racks", index);
        let board = board + 0.25 * (stream.uniform() - 0.5);
        rack.throw(&entries::rolling(board, degrees, 7.3, &ball), &ball, &mut stream).expect("a legal throw")
    };
    (0..racks).map(one).collect()
}

fn share(outcomes: &[Outcome], what: impl Fn(&Outcome) -> bool) -> f64 {
    outcomes.iter().filter(|o| what(o)).count() as f64 / outcomes.len() as f64
}

fn set(pins: &[u32]) -> Mask {
    pins.iter().fold(0, |mask, pin| mask | 1 << (pin - 1))
}

/// Strike share at the best of a range of boards, smoothed over three quarters of a board.
fn best(rack: &Rack, degrees: f64, racks: u64) -> (f64, f64) {
    let boards: Vec<f64> = (0..13).map(|k| 16.0 + 0.25 * f64::from(k)).collect();
    let shares: Vec<f64> =
        boards.iter().map(|&board| share(&throw(rack, board, degrees, racks), Outcome::is_strike)).collect();
    let smooth = |k: usize| (shares[k - 1] + shares[k] + shares[k + 1]) / 3.0;
    let top = (1..boards.len() - 1).max_by(|&a, &b| smooth(a).total_cmp(&smooth(b))).expect("boards");
    (boards[top], smooth(top))
}

/// Strikes over all boards where balls come in near the pocket: what an entry angle is worth to someone who misses.
fn around_the_pocket(rack: &Rack, degrees: f64, racks: u64) -> f64 {
    let boards = || (0..21).map(|k| 15.0 + 0.25 * f64::from(k));
    boards().map(|board| share(&throw(rack, board, degrees, racks), Outcome::is_strike)).sum::<f64>()
        / boards().count() as f64
}

#[test]
fn truth_six_degrees_carry_more_than_four_and_four_more_than_two() {
    // the project's design "Carry" [P]: best entry angle near 6 degrees; a low angle deflects.
    let rack = Rack::new(Constants::default());
    let [two, four, six] = [2.0, 4.0, 6.0].map(|degrees| best(&rack, degrees, 200).1);
    assert!(six > four && four > two, "at the best board: {six} {four} {two}");
    let [two, four, six] = [2.0, 4.0, 6.0].map(|degrees| around_the_pocket(&rack, degrees, 150));
    assert!(six > four && four > two, "boards 15 to 20: {six} {four} {two}");
}

#[test]
fn truth_the_best_offset_is_on_boards_seventeen_to_eighteen() {
    // the project's design "Carry" [P]: boards 17-18, 4-6 degrees.
    let rack = Rack::new(Constants::default());
    for degrees in [4.0, 6.0] {
        let (board, strikes) = best(&rack, degrees, 200);
        assert!((17.0..=18.0).contains(&board), "best at {board} ({strikes}) at {degrees} degrees");
    }
}

/// Throws of all sets, in turn, at boards and angles spread evenly.
fn over_the_ensemble(boards: (f64, f64), degrees: (f64, f64), racks: u64) -> Vec<Outcome> {
    let ball = BallBody::of_pounds(15.0);
    let one = |(fitted, rack): (&Fitted, &Rack), index: u64| {
        let mut stream = Stream::keyed(73, "ensemble racks", u64::from(fitted.search) << 32 | index);
        let board = boards.0 + (boards.1 - boards.0) * stream.uniform();
        let angle = degrees.0 + (degrees.1 - degrees.0) * stream.uniform();
        rack.throw(&entries::rolling(board, angle, 7.3, &ball), &ball, &mut stream).expect("a legal throw")
    };
    let racks_of = ensemble::racks();
    ENSEMBLE.iter().zip(&racks_of).flat_map(|set| (0..racks).map(move |index| one(set, index))).collect()
}

/// Mean board on which the ball leaves the deck.
fn mean_exit(outcomes: &[Outcome]) -> f64 {
    let exits: Vec<f64> = outcomes.iter().filter_map(|o| o.exit).map(|e| e.board().0).collect();
    exits.iter().sum::<f64>() / exits.len() as f64
}

#[test]
fn truth_the_perfect_hit_touches_one_three_five_nine_and_leaves_near_nineteen() {
    // the project's design "Carry" [P]: a flush hit touches 1, 3, 5 and clips 9, and leaves the deck near board 19. Not fitted. It comes
    // in at 17 there and at 17.9 here (docs/pins.md, "Where it falls short").
    let thrown = over_the_ensemble((16.0, 19.0), (4.0, 6.0), 400);
    let ideal: Vec<Outcome> =
        thrown.iter().copied().filter(|o| o.is_strike() && o.touched == set(&[1, 3, 5, 9])).collect();
    assert!(ideal.len() > 500, "{} of {}", ideal.len(), thrown.len());
    let exit = mean_exit(&ideal);
    assert!((exit - 19.0).abs() <= 1.0, "leaves the deck on board {exit}");
}

#[test]
fn truth_a_steep_ball_at_sixteen_and_a_half_rings_the_ten_and_leaves_near_fourteen() {
    // the project's design "Carry" [P]: in at about 16.5, steep ([S] above 7 degrees rings it): the ball leaves near board 14. Not fitted.
    let thrown = over_the_ensemble((16.25, 16.75), (6.5, 7.5), 150);
    let misses = thrown.iter().filter(|o| !o.is_strike()).count();
    let tens: Vec<Outcome> = thrown.iter().copied().filter(|o| o.standing == set(&[10])).collect();
    assert!(tens.len() > misses / 2, "{} tens of {misses} misses", tens.len());
    let exit = mean_exit(&tens);
    assert!((exit - 14.0).abs() <= 1.0, "leaves the deck on board {exit}");
}

#[test]
fn truth_light_hits_leave_twos_fives_eights_and_tens() {
    // the project's design, rules of thumb: light hits leave the 2 (and 2-8), 5, 8 or a soft 10.
    let rack = Rack::new(Constants::default());
    let light: Vec<Outcome> = [2.0, 4.0, 6.0, 8.0]
        .into_iter()
        .flat_map(|degrees| (0..13).map(move |k| (13.75 + 0.25 * f64::from(k), degrees)))
        // The 2-8 is one miss in two hundred: sixty racks an entry would leave it to luck.
        .flat_map(|(board, degrees)| throw(&rack, board, degrees, 200))
        .filter(|o| !o.is_strike())
        .collect();
    for pins in [&[2][..], &[2, 8], &[5], &[8], &[10]] {
        let found = share(&light, |o| o.standing == set(pins));
        assert!(found > 0.002, "{pins:?}: {found} of light non-strikes");
    }
    let expected = set(&[2, 4, 5, 7, 8, 10]);
    let elsewhere = share(&light, |o| o.standing & !expected != 0);
    assert!(elsewhere < 0.2, "{elsewhere} leave pins on the hand side or the head pin");
}

#[test]
fn truth_high_hits_leave_fours_and_splits() {
    // the project's design: high hits leave the 4 pin or a split; the design, section 6: 4, 4-7 and 4-9.
    let rack = Rack::new(Constants::default());
    let high: Vec<Outcome> = [2.0, 4.0, 6.0]
        .into_iter()
        .flat_map(|degrees| (0..9).map(move |k| (18.5 + 0.25 * f64::from(k), degrees)))
        .flat_map(|(board, degrees)| throw(&rack, board, degrees, 80))
        .filter(|o| !o.is_strike())
        .collect();
    for pins in [&[4][..], &[4, 7], &[4, 9]] {
        let found = share(&high, |o| o.standing == set(pins));
        assert!(found > 0.002, "{pins:?}: {found} of high non-strikes");
    }
    let wide = set(&[4, 6, 7, 10]);
    let split = share(&high, |o| {
        let left = o.standing & wide & set(&[4, 7]) != 0 && o.standing & set(&[6, 10]) != 0;
        left && o.standing & set(&[1, 2, 3, 5]) == 0
    });
    assert!(split > 0.05, "{split} of high non-strikes are wide splits");
}

#[test]
fn truth_a_pin_weighs_what_the_rules_allow() {
    // the project's design "Pin" [P]: 3 lb 6 oz to 3 lb 10 oz.
    let (least, most) = boardwise_pins::profile::MASS_KG;
    for fitted in &ENSEMBLE {
        let (mean, spread) = (fitted.constants.pin_mass_kg, fitted.constants.pin_mass_spread_kg);
        assert!(mean - spread > least - 1e-9 && mean + spread < most + 1e-9 && spread > 0.0);
    }
}

/// Shares over the ensemble, each set at the entries of its own professionals: what calibrate prints, with fewer racks.
fn ensemble_shares() -> knobs::Shares {
    let shares = ENSEMBLE.iter().map(|fitted| {
        let setting = knobs::Setting { constants: fitted.constants, professionals: fitted.professionals };
        knobs::Shares::thrown(&setting, (1 << 22) + u64::from(fitted.search), 800)
    });
    knobs::Shares::mean(&shares.collect::<Vec<_>>())
}

#[test]
fn truth_the_ensemble_gives_the_published_shares_fitted_and_kept_out() {
    // Published [S]: 7,155 televised first balls, 2,781 leaves. Strikes, 7 and 10, 9, 7-10 were fitted (calibrate);
    // 3-10 was kept out of every fit, and so were the 5, 8-10 and 5-7, which are not among the twenty commonest.
    // 4-6-7-10 was kept out too and is missed: docs/pins.md, "Where it falls short".
    let shares = ensemble_shares();
    let percent = |pins: &[u32]| 100.0 * shares.leave(pins);
    assert!((60.1..=62.1).contains(&(100.0 * shares.strikes)), "strikes {}", shares.strikes);
    let corners = percent(&[7]) + percent(&[10]);
    assert!((35.7..=39.3).contains(&corners), "7 and 10: {corners}");
    assert!(percent(&[9]) <= 5.0, "9: {}", percent(&[9]));
    assert!((1.3..=2.5).contains(&percent(&[7, 10])), "7-10: {}", percent(&[7, 10]));
    assert!((0.9..=1.7).contains(&percent(&[3, 10])), "3-10: {}", percent(&[3, 10]));
    let twentieth = 100.0 * shares.order()[19].1;
    for pins in [&[5][..], &[8, 10], &[5, 7]] {
        assert!(percent(pins) < twentieth, "{pins:?}: {}, twentieth {twentieth}", percent(pins));
    }
}

/// Strikes and balls of light hits and of the rest.
fn light_and_rest(tame: impl Fn(Constants) -> Constants) -> [(f64, f64); 2] {
    let ball = BallBody::of_pounds(15.0);
    let mut sums = [(0.0, 0.0); 2];
    for fitted in &ENSEMBLE {
        let rack = Rack::new(tame(fitted.constants));
        for index in 0..250 {
            let mut stream = Stream::keyed(72, "tethered", u64::from(fitted.search) << 32 | index);
            let entry = fitted.professionals.draw(&ball, &mut stream);
            let sum = &mut sums[usize::from(Approach::of(&entry, &ball).board >= 16.5)];
            let strike = rack.throw(&entry, &ball, &mut stream).expect("a legal throw").is_strike();
            *sum = (sum.0 + f64::from(u8::from(strike)), sum.1 + 1.0);
        }
    }
    sums
}

#[test]
fn truth_pins_that_rebound_less_strike_less_and_light_hits_suffer_most() {
    // USBC news 2021-23 [P]: pins on strings lose 7 points of strikes, most on light hits. How lively such pins are is not
    // published, so only the sign and the least loss are tested; docs/pins.md has the figures.
    let half = |c: Constants| {
        let kickback = Surface { restitution: 0.5 * c.kickback.restitution, ..c.kickback };
        Constants { kickback, ..c }
    };
    let (free, tame) = (light_and_rest(|c| c), light_and_rest(half));
    let all = |sums: [(f64, f64); 2]| (sums[0].0 + sums[1].0) / (sums[0].1 + sums[1].1);
    assert!(all(free) - all(tame) > 0.04, "{free:?} {tame:?}");
    let [light, rest] = [0, 1].map(|k| 1.0 - (tame[k].0 / tame[k].1) / (free[k].0 / free[k].1));
    assert!(light > rest, "light hits lose {light} of their strikes, the rest {rest}");
}

#[test]
fn law_halving_the_step_moves_strikes_by_less_than_their_error() {
    // Racks are chaotic: with half the step one in five falls differently, either way. Twelve thousand show a shift of
    // the mean to half a point; it must be less than the one point of standard error that the table allows a cell.
    let ball = BallBody::of_pounds(15.0);
    let racks = 12_000;
    let strikes = |step_s: f64| {
        let rack = Rack::new(Constants { step_s, ..Constants::default() });
        let counts = entries::leaves(&rack, &ENSEMBLE[0].professionals, &ball, 0, racks);
        f64::from(counts[0]) / racks as f64
    };
    let step_s = Constants::default().step_s;
    let (whole, half) = (strikes(step_s), strikes(0.5 * step_s));
    assert!((whole - half).abs() < 0.01, "{whole} and {half}");
}

#[test]
fn law_the_mirror_image_of_a_throw_falls_like_it() {
    // Without jitter the mirrored entry must give the mirrored leave. Pins are numbered from one side, so two blows in
    // one step come in another order; chaos may then part the two, but rarely.
    let still = Constants {
        spot_jitter_m: 0.0,
        pin_mass_spread_kg: 0.0,
        restitution_jitter: 0.0,
        friction_jitter: 0.0,
        ..Constants::default()
    };
    let rack = Rack::new(still);
    let ball = BallBody::of_pounds(15.0);
    let (mut same, mut strikes, mut image_strikes) = (0, 0, 0);
    let racks = 1500;
    for index in 0..racks {
        let mut draw = Stream::keyed(71, "mirror", index);
        let entry = Professionals { board: (17.5, 1.5), ..ENSEMBLE[0].professionals }.draw(&ball, &mut draw);
        let image = Entry {
            x_m: -entry.x_m,
            velocity_m_s: entry.velocity_m_s * DVec3::new(-1.0, 1.0, 1.0),
            spin_rad_s: entry.spin_rad_s * DVec3::new(1.0, -1.0, -1.0),
            ..entry
        };
        let throw = |entry: &Entry| rack.throw(entry, &ball, &mut Stream::keyed(0, "still", 0)).expect("legal");
        let (there, back) = (throw(&entry), throw(&image).mirrored());
        strikes += u32::from(there.is_strike());
        image_strikes += u32::from(back.is_strike());
        same += u32::from(there.standing == back.standing && there.touched == back.touched);
    }
    assert!(f64::from(same) > 0.95 * racks as f64, "{same} of {racks} fall alike");
    let error = (racks as f64 * 0.25 * 2.0).sqrt();
    assert!(f64::from(strikes.abs_diff(image_strikes)) < 2.0 * error, "{strikes} and {image_strikes}");
}

#[test]
fn law_one_seed_gives_one_outcome_and_another_seed_others() {
    let rack = Rack::new(Constants::default());
    let ball = BallBody::of_pounds(15.0);
    let entry = entries::rolling(18.4, 5.0, 7.3, &ball);
    let throw = |index| rack.throw(&entry, &ball, &mut Stream::keyed(1, "rack", index)).expect("legal");
    assert_eq!(throw(3), throw(3));
    let kinds: std::collections::BTreeSet<Mask> = (0..60).map(|index| throw(index).standing).collect();
    assert!(kinds.len() > 1, "jitter makes probabilities: {kinds:?}");
}

#[test]
fn law_spares_and_misses() {
    let rack = Rack::new(Constants::default());
    let ball = BallBody::of_pounds(15.0);
    let mut stream = Stream::keyed(2, "rack", 0);
    // Straight at the seven pin, 18 in left of centre.
    let mut at_seven = entries::rolling(20.0, 0.0, 8.0, &ball);
    at_seven.x_m = -18.0 * INCH_M;
    let outcome = rack.throw_at(set(&[7, 10]), &at_seven, &ball, &mut stream).expect("legal");
    assert_eq!(outcome.touched, set(&[7]));
    assert_eq!(outcome.standing & set(&[7]), 0);
    // Between the two corner pins: nothing falls, the ball leaves in the middle at its own speed, but for friction.
    let outcome =
        rack.throw_at(set(&[7, 10]), &entries::rolling(20.0, 0.0, 8.0, &ball), &ball, &mut stream).expect("legal");
    assert_eq!((outcome.standing, outcome.touched, outcome.slid), (set(&[7, 10]), 0, 0));
    let exit = outcome.exit.expect("it leaves");
    assert!((exit.board().0 - 20.0).abs() < 1e-6 && (exit.velocity_m_s.y - 8.0).abs() < 0.05, "{exit:?}");
}

#[test]
fn law_bad_throws_are_refused() {
    let rack = Rack::new(Constants::default());
    let ball = BallBody::of_pounds(15.0);
    let good = entries::rolling(17.5, 5.0, 7.3, &ball);
    let throw =
        |pins, entry: Entry, ball: BallBody| rack.throw_at(pins, &entry, &ball, &mut Stream::keyed(0, "bad", 0));
    assert!(throw(FULL_RACK, good, ball).is_ok());
    assert!(matches!(throw(FULL_RACK, Entry { x_m: 0.6, ..good }, ball), Err(ThrowError::OffTheLane { .. })));
    assert!(matches!(throw(FULL_RACK, Entry { y_m: f64::NAN, ..good }, ball), Err(ThrowError::NotANumber("place"))));
    let back = Entry { velocity_m_s: DVec3::NEG_Y, ..good };
    assert!(matches!(throw(FULL_RACK, back, ball), Err(ThrowError::TooSlow { .. })));
    assert!(matches!(throw(1 << 10, good, ball), Err(ThrowError::NoSuchPin(_))));
    assert!(matches!(throw(1, good, BallBody { mass_kg: 0.0, ..ball }), Err(ThrowError::NotANumber("mass"))));
    assert_eq!(mirrored(set(&[3, 10])), set(&[2, 7]));
}
