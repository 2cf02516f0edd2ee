//! Golden hashes over racks, pose by pose: a change here needs a line in the changelog that says why.

use boardwise_pins::carry::Approach;
use boardwise_pins::{Constants, FULL_RACK, Rack, View};
use boardwise_units::stream::Stream;
use glam::DVec3;

/// Folds numbers, in order, into one (FNV-1a over their bits).
fn fold(hash: &mut u64, value: u64) {
    *hash = (*hash ^ value).wrapping_mul(0x0100_0000_01b3);
}

#[test]
fn keep_every_pose_of_a_spread_of_racks() {
    let rack = Rack::new(Constants::default());
    let (mut hash, mut steps, mut strikes) = (0xcbf2_9ce4_8422_2325_u64, 0_u32, 0_u32);
    for number in 0..24_u64 {
        // Light to high, flat to steep, slow to fast; every third one at a spare.
        let approach = Approach {
            board: 15.0 + 0.25 * number as f64,
            angle_deg: (number % 7) as f64,
            speed_m_s: 6.5 + 0.25 * (number % 5) as f64,
            weight_lb: 14.0 + (number % 3) as f64,
            roll: 1.0 - 0.1 * (number % 2) as f64,
        };
        let pins = if number % 3 == 2 { 0b10_1010_0110 } else { FULL_RACK };
        let (entry, ball) = approach.entry();
        let see = |view: &View| {
            steps += 1;
            let mut vector = |v: DVec3| v.to_array().into_iter().for_each(|x| fold(&mut hash, x.to_bits()));
            vector(view.ball.centre_m);
            vector(view.ball.spin_rad_s);
            for pin in view.pins {
                vector(pin.centre_m);
                vector(pin.axis);
                vector(pin.momentum_kg_m2_s);
            }
            fold(&mut hash, view.present.into());
        };
        let outcome = rack.watch(pins, &entry, &ball, &mut Stream::keyed(1, "kept racks", number), see).unwrap();
        strikes += u32::from(outcome.is_strike());
        fold(&mut hash, outcome.standing.into());
        fold(&mut hash, outcome.time_s.to_bits());
    }
    assert!(steps > 5000 && (2..20).contains(&strikes), "{steps} steps, {strikes} strikes");
    assert_eq!(hash, GOLDEN, "{hash:#x}");
}
const GOLDEN: u64 = 0x6a37_bd06_7c42_fd8a;
