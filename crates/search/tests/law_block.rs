//! What any forecast of a block must keep to.

use crate::typical::{CARRY, adapting, dull, pattern, plastic, urethane};
use boardwise_lane::Lane;
use boardwise_search::{
    Block, BlockError, BlockPlan, Bowler, Pocket, Progress, Seat, Stopped, Unknowns, forecast_block,
};
use boardwise_units::Hand;

fn seat(name: &str, hand: Hand) -> Seat {
    let bowler = Bowler { name: name.into(), hand, ..adapting() };
    Seat { bowler, balls: vec![urethane(), dull()], starts_with: None, line: None, spare_ball: Some(plastic()) }
}

fn plan(hand: Hand) -> BlockPlan {
    let lane = pattern(34.0, 0.8);
    BlockPlan {
        pair: [lane.clone(), lane],
        seats: vec![seat("a", hand), Seat { starts_with: Some(1), ..seat("b", hand) }],
        ours: 0,
        practice_shots: 2,
        games_before: 0,
        games: 1,
        frames_a_look: 5,
        runs: 2,
        seed: 7,
        pocket: Pocket::default(),
        unknowns: Unknowns::default(),
    }
}

fn forecast(plan: &BlockPlan) -> Block {
    forecast_block(plan, &CARRY, &Progress::default()).unwrap()
}

fn volume(lane: &Lane) -> f64 {
    lane.film().unwrap().volume().0
}

#[test]
fn law_a_block_is_the_same_on_one_and_three_threads_and_differs_from_run_to_run() {
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| forecast(&plan(Hand::Right)))
    };
    let block = on(1);
    assert_eq!(block, on(3));
    assert_ne!(block.runs[0].stages, block.runs[1].stages);
    // Fresh, after practice, and after 5 and 10 frames.
    assert_eq!(block.runs[0].stages.iter().map(|stage| stage.frames).collect::<Vec<_>>(), [0, 0, 5, 10]);
}

#[test]
fn law_oil_is_conserved_over_a_block_and_never_negative() {
    let plan = plan(Hand::Right);
    let block = forecast(&plan);
    let fresh: f64 = plan.pair.iter().map(volume).sum();
    for run in &block.runs {
        let last = &run.stages.last().unwrap().lanes;
        let now: f64 = last.iter().map(|stage| volume(&stage.lane)).sum();
        assert!(run.taken.0 > 100.0 && ((now + run.taken.0) / fresh - 1.0).abs() < 1e-12);
        for stage in last {
            assert!(stage.lane.film().unwrap().thickness_m.values().iter().all(|film| *film >= 0.0));
        }
    }
}

#[test]
fn law_left_handers_on_the_mirrored_pair_are_the_mirror_image() {
    let (right, left) = (plan(Hand::Right), plan(Hand::Left));
    let pair = right.pair.each_ref().map(Lane::mirrored);
    let (right, left) = (forecast(&right), forecast(&BlockPlan { pair, ..left }));
    for (a, b) in right.runs.iter().zip(&left.runs) {
        for (a, b) in a.stages.iter().zip(&b.stages) {
            for (a, b) in a.lanes.iter().zip(&b.lanes) {
                assert_eq!(a.lane, b.lane, "seen from the hand");
                assert!((a.line.worth - b.line.worth).abs() < 1e-12 && a.moved == b.moved);
            }
        }
    }
}

#[test]
fn law_a_look_never_does_worse_than_staying() {
    let block = forecast(&plan(Hand::Right));
    for stage in block.runs.iter().flat_map(|run| &run.stages).flat_map(|stage| &stage.lanes) {
        assert!(stage.line.worth >= stage.stay);
        assert!((0.0..=1.0).contains(&stage.first));
    }
    for lane in 0..2 {
        let outlook = block.outlook(lane);
        assert_eq!(outlook.len(), 4);
        assert!(outlook.iter().all(|one| (one.balls.iter().map(|b| b.1).sum::<f64>() - 1.0).abs() < 1e-12));
    }
}

#[test]
fn law_a_block_that_is_cancelled_stops() {
    let good = plan(Hand::Right);
    // Once it is under way, and before anything was done.
    for until in [0.3, 0.0] {
        let progress = Progress::default();
        let stopped = std::thread::scope(|scope| {
            scope.spawn(|| {
                while progress.share() < until {
                    std::thread::yield_now();
                }
                progress.cancel();
            });
            forecast_block(&good, &CARRY, &progress)
        });
        assert_eq!(stopped.unwrap_err(), BlockError::Stopped(Stopped));
        assert!(progress.share() < 1.0, "{}", progress.share());
    }
}

#[test]
fn law_what_cannot_be_bowled_is_an_error() {
    let good = plan(Hand::Right);
    let refused = |plan: BlockPlan| forecast_block(&plan, &CARRY, &Progress::default()).unwrap_err();
    assert_eq!(refused(BlockPlan { seats: Vec::new(), ..good.clone() }), BlockError::Nobody);
    let empty = Seat { balls: Vec::new(), ..seat("c", Hand::Right) };
    assert_eq!(refused(BlockPlan { seats: vec![empty], ..good.clone() }), BlockError::NoBall("c".into()));
    assert!(matches!(refused(BlockPlan { games: 0, ..good.clone() }), BlockError::Value { key: "games", .. }));
    assert!(matches!(refused(BlockPlan { ours: 9, ..good.clone() }), BlockError::Value { key: "ours", .. }));
    let beyond = Seat { starts_with: Some(2), ..seat("d", Hand::Right) };
    assert!(matches!(
        refused(BlockPlan { seats: vec![beyond], ..good }),
        BlockError::Value { key: "ball", value: 2, .. }
    ));
}
