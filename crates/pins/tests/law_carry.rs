//! The carry table: shards, the file, the reader.

use boardwise_pins::carry::{Approach, Carry, CarryError, Leaves, Plan, Shard, merge, throw_shard};
use boardwise_pins::ensemble::ENSEMBLE;
use boardwise_pins::{Constants, Rack, mirrored};
use boardwise_units::Hand;
use boardwise_units::stream::Stream;
use std::sync::OnceLock;

fn plan() -> Plan {
    Plan {
        boards: vec![16.0, 16.5, 17.0, 17.5, 18.0, 18.5, 19.0],
        angles_deg: vec![0.0, 3.0, 6.0],
        speeds_m_s: vec![6.5, 8.0],
        weights_lb: vec![15.0],
        rolls: vec![0.8, 1.0],
        racks_at_home: 60,
        racks_elsewhere: 20,
        seed: 9,
    }
}

/// Racks of two sets of constants.
fn racks() -> [Rack; 2] {
    [0, 1].map(|set: usize| Rack::new(ENSEMBLE[set].constants))
}

fn sets(racks: &[Rack]) -> impl Iterator<Item = &Constants> {
    racks.iter().map(Rack::constants)
}

fn table() -> &'static (Vec<u8>, Carry) {
    static TABLE: OnceLock<(Vec<u8>, Carry)> = OnceLock::new();
    TABLE.get_or_init(|| {
        let racks = racks();
        let plan = plan();
        let shards: Vec<Vec<u8>> =
            [2, 0, 1].map(|k| throw_shard(&racks, &plan, plan.shard(k, 3)).expect("a shard")).to_vec();
        let parsed: Vec<Shard> = shards.iter().map(|bytes| Shard::parse(bytes).expect("whole")).collect();
        let bytes = merge(&plan, sets(&racks), &parsed).expect("a table");
        let carry = Carry::parse(&bytes).expect("readable");
        (bytes, carry)
    })
}

fn approach(draw: &mut Stream) -> Approach {
    Approach {
        board: 15.0 + 5.0 * draw.uniform(),
        angle_deg: -4.0 + 12.0 * draw.uniform(),
        speed_m_s: 6.0 + 2.5 * draw.uniform(),
        weight_lb: 12.0 + 4.0 * draw.uniform(),
        roll: 0.6 + 0.5 * draw.uniform(),
    }
}

#[test]
fn law_shards_do_not_depend_on_how_the_table_is_cut() {
    let racks = racks();
    let plan = plan();
    let whole = throw_shard(&racks, &plan, 0..plan.cells()).expect("one shard");
    let bytes = merge(&plan, sets(&racks), &[Shard::parse(&whole).expect("whole")]).expect("a table");
    assert!(bytes == table().0, "one shard and three give the same file");
    assert_eq!(table().1.plan(), &plan);
    assert_eq!(table().1.fingerprint(), plan.fingerprint(sets(&racks)));
}

#[test]
fn law_merging_refuses_gaps_doubles_and_strangers() {
    let racks = racks();
    let plan = Plan { racks_at_home: 2, racks_elsewhere: 2, ..plan() };
    let parts: Vec<Vec<u8>> = (0..3).map(|k| throw_shard(&racks, &plan, plan.shard(k, 3)).expect("a shard")).collect();
    let shard = |k: usize| Shard::parse(&parts[k]).expect("whole");
    let merged = |shards: &[Shard]| merge(&plan, sets(&racks), shards).err();
    assert_eq!(merged(&[shard(0), shard(1), shard(2)]), None);
    assert_eq!(merged(&[shard(0), shard(2)]), Some(CarryError::Cell(28)));
    assert_eq!(merged(&[shard(0), shard(1)]), Some(CarryError::Cell(56)));
    assert!(matches!(merged(&[shard(0), shard(1), shard(1), shard(2)]), Some(CarryError::Cell(_))));
    let other = Constants { spot_jitter_m: 0.002, ..Constants::default() };
    assert_eq!(merge(&plan, &[other], &[shard(0), shard(1), shard(2)]).err(), Some(CarryError::OtherPlan));
    assert_eq!(throw_shard(&racks, &plan, 80..90).err(), Some(CarryError::BadPlan));
    let odd = Plan { racks_elsewhere: 3, ..plan.clone() };
    assert_eq!(throw_shard(&racks, &odd, 0..1).err(), Some(CarryError::BadPlan), "three racks for two sets");
    let unsorted = Plan { boards: vec![17.0, 16.0], ..plan.clone() };
    assert_eq!(throw_shard(&racks, &unsorted, 0..1).err(), Some(CarryError::BadPlan));
}

#[test]
fn law_damage_is_noticed() {
    let bytes = &table().0;
    for at in (0..bytes.len()).step_by(7) {
        let mut damaged = bytes.clone();
        damaged[at] ^= 0x10;
        assert!(Carry::parse(&damaged).is_err(), "byte {at}");
    }
    for length in (0..bytes.len()).step_by(11) {
        assert!(Carry::parse(&bytes[..length]).is_err(), "cut at {length}");
    }
    assert_eq!(Carry::parse(b"").err(), Some(CarryError::CutShort));
}

#[test]
fn law_distributions_sum_to_one_and_strike_agrees() {
    let carry = &table().1;
    let mut leaves = Leaves::default();
    for index in 0..2000 {
        let at = approach(&mut Stream::keyed(1, "approaches", index));
        carry.leaves(&at, Hand::Right, &mut leaves);
        let sum: f64 = leaves.iter().map(|(_, p)| p).sum();
        assert!((sum - 1.0).abs() < 1e-12, "{sum} at {at:?}");
        assert!(leaves.iter().all(|(_, p)| p > 0.0));
        assert!((carry.strike(&at) - leaves.strike()).abs() < 1e-12);
        assert!(leaves.count_error() > 0.0);
        let whole = leaves.count_error().hypot(leaves.sets_error());
        assert!((leaves.strike_standard_error() - whole).abs() < 1e-12, "two parts make the error");
        // The table is the mean over the sets.
        let of_sets: f64 =
            (0..carry.sets()).map(|set| carry.strike_of_set(&at, set)).sum::<f64>() / carry.sets() as f64;
        assert!((of_sets - leaves.strike()).abs() < 1e-6, "{of_sets} {}", leaves.strike());
        let mut sums = vec![0.0; carry.sets()];
        carry.add_strike_of_sets(&at, 1.0, &mut sums);
        assert!((0..carry.sets()).all(|set| (sums[set] - carry.strike_of_set(&at, set)).abs() < 1e-12));
    }
}

#[test]
fn law_a_node_gives_its_own_counts_and_between_them_nothing_jumps() {
    let carry = &table().1;
    let node = Approach { board: 17.5, angle_deg: 6.0, speed_m_s: 8.0, weight_lb: 15.0, roll: 1.0 };
    let mut leaves = Leaves::default();
    carry.leaves(&node, Hand::Right, &mut leaves);
    assert!(!leaves.beyond_table);
    for (mask, p) in leaves.iter() {
        let count = p * 60.0;
        assert!((count - count.round()).abs() < 1e-9, "{mask}: {count} of 60 racks");
    }
    // Along a line across the grid each small step changes each probability by little.
    let mut last: Option<f64> = None;
    for k in 0..=4000 {
        let x = f64::from(k) / 4000.0;
        let at = Approach {
            board: 16.0 + 3.0 * x,
            angle_deg: -1.0 + 7.0 * x,
            speed_m_s: 6.5 + 1.5 * x,
            weight_lb: 15.0,
            roll: 0.8 + 0.2 * x,
        };
        let strike = carry.strike(&at);
        // Where the angle changes sign the mirrored side takes over: 0 degrees is thrown from both sides alike only as
        // far as chance goes, so the one jump allowed is there.
        if let Some(last) = last {
            assert!(
                (strike - last).abs() < 0.01 || at.angle_deg.abs() < 0.01,
                "jumps from {last} to {strike} at {at:?}"
            );
        }
        last = Some(strike);
    }
}

#[test]
fn law_left_handers_and_balls_from_the_other_side_see_the_mirror_image() {
    let carry = &table().1;
    let (mut right, mut left) = (Leaves::default(), Leaves::default());
    for index in 0..200 {
        let at = approach(&mut Stream::keyed(2, "approaches", index));
        carry.leaves(&at, Hand::Right, &mut right);
        carry.leaves(&at, Hand::Left, &mut left);
        let crossing = Approach { board: 40.0 - at.board, angle_deg: -at.angle_deg, ..at };
        for (mask, p) in right.iter() {
            assert!((left.probability(mirrored(mask)) - p).abs() < 1e-15);
        }
        if at.angle_deg != 0.0 {
            carry.leaves(&crossing, Hand::Left, &mut left);
            for (mask, p) in right.iter() {
                assert!((left.probability(mask) - p).abs() < 1e-12, "{at:?}");
            }
        }
    }
}

#[test]
fn law_beyond_the_table_its_edge_serves_and_says_so() {
    let carry = &table().1;
    let edge = Approach { board: 17.0, angle_deg: 6.0, speed_m_s: 8.0, weight_lb: 15.0, roll: 1.0 };
    let beyond = Approach { speed_m_s: 11.0, roll: 1.3, ..edge };
    let (mut at_edge, mut past) = (Leaves::default(), Leaves::default());
    carry.leaves(&edge, Hand::Right, &mut at_edge);
    carry.leaves(&beyond, Hand::Right, &mut past);
    assert!(past.beyond_table && !at_edge.beyond_table);
    assert!((past.strike() - at_edge.strike()).abs() < 1e-12);
}

#[test]
fn law_an_approach_becomes_an_entry_and_comes_back() {
    for index in 0..500 {
        let at = Approach { angle_deg: 5.0, ..approach(&mut Stream::keyed(3, "approaches", index)) };
        let (mut entry, ball) = at.entry();
        let back = Approach::of(&entry, &ball);
        let differences = [
            back.board - at.board,
            back.angle_deg - at.angle_deg,
            back.speed_m_s - at.speed_m_s,
            back.weight_lb - at.weight_lb,
            back.roll - at.roll,
        ];
        assert!(differences.iter().all(|d| d.abs() < 1e-9), "{at:?} became {back:?}");
        // The same ball seen half a metre earlier approaches the same way.
        let earlier = entry.velocity_m_s * (0.5 / at.speed_m_s);
        entry.x_m -= earlier.x;
        entry.y_m -= earlier.y;
        assert!((Approach::of(&entry, &ball).board - at.board).abs() < 1e-9);
    }
}
