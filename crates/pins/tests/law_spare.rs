//! The table of spares: shards, the file, the reader.

use boardwise_pins::carry::CarryError;
use boardwise_pins::spare::{Arrival, Second, Shard, SparePlan, Spares, merge, throw_shard};
use boardwise_pins::{Constants, Rack, mirrored};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Hand, INCH_M, court};
use std::sync::OnceLock;

fn plan() -> SparePlan {
    SparePlan { boards: 14, angles: 3, racks: 1, ..SparePlan::full() }
}

fn shards(rack: &Rack, plan: &SparePlan, parts: u32) -> Vec<Vec<u8>> {
    (0..parts)
        .rev()
        .map(|k| throw_shard(std::slice::from_ref(rack), plan, SparePlan::shard(k, parts)).expect("a shard"))
        .collect()
}

fn joined(rack: &Rack, plan: &SparePlan, parts: &[Vec<u8>]) -> Result<Vec<u8>, CarryError> {
    let parsed: Vec<Shard> = parts.iter().map(|bytes| Shard::parse(bytes).expect("whole")).collect();
    merge(plan, [rack.constants()], &parsed)
}

fn table() -> &'static (Vec<u8>, Spares) {
    static TABLE: OnceLock<(Vec<u8>, Spares)> = OnceLock::new();
    TABLE.get_or_init(|| {
        let rack = Rack::new(Constants::default());
        let bytes = joined(&rack, &plan(), &shards(&rack, &plan(), 3)).expect("a table");
        let spares = Spares::parse(&bytes).expect("readable");
        (bytes, spares)
    })
}

fn arrival(draw: &mut Stream) -> Arrival {
    Arrival { board: 0.5 + 39.0 * draw.uniform(), angle_deg: -7.0 + 14.0 * draw.uniform() }
}

#[test]
fn law_spare_shards_do_not_depend_on_how_the_table_is_cut() {
    let rack = Rack::new(Constants::default());
    let few = plan();
    let whole = throw_shard(std::slice::from_ref(&rack), &few, 5..9).expect("one shard");
    let again = throw_shard(std::slice::from_ref(&rack), &few, 5..9).expect("one shard");
    assert_eq!(whole, again);
    assert_eq!(table().1.plan(), &few);
    assert_eq!(table().1.fingerprint(), few.fingerprint([rack.constants()]));
    // Bytes of leaves thrown apart follow each other as they do thrown together.
    let body = |bytes: &[u8]| bytes[24..bytes.len() - 8].to_vec();
    let parts: Vec<u8> = [5..7, 7..9]
        .into_iter()
        .flat_map(|leaves| body(&throw_shard(std::slice::from_ref(&rack), &few, leaves).expect("a shard")))
        .collect();
    assert_eq!(body(&whole), parts);
}

#[test]
fn law_merging_spares_refuses_gaps_doubles_and_strangers() {
    let rack = Rack::new(Constants::default());
    let few = SparePlan { boards: 2, ..plan() };
    let parts = shards(&rack, &few, 3);
    assert!(joined(&rack, &few, &parts).is_ok());
    assert!(matches!(joined(&rack, &few, &parts[..2]), Err(CarryError::Cell(_))));
    assert!(matches!(joined(&rack, &few, &[&parts[..], &parts[..1]].concat()), Err(CarryError::Cell(_))));
    let other = SparePlan { seed: 2, ..few.clone() };
    assert_eq!(joined(&rack, &other, &parts), Err(CarryError::OtherPlan));
    assert_eq!(throw_shard(std::slice::from_ref(&rack), &few, 1020..1030).err(), Some(CarryError::BadPlan));
    assert_eq!(
        throw_shard(std::slice::from_ref(&rack), &SparePlan { angles: 4, ..few }, 0..1).err(),
        Some(CarryError::BadPlan)
    );
}

#[test]
fn law_damage_to_the_table_of_spares_is_noticed() {
    let bytes = &table().0;
    for at in (0..bytes.len()).step_by(bytes.len() / 500 + 1) {
        let mut damaged = bytes.clone();
        damaged[at] ^= 0x10;
        assert!(Spares::parse(&damaged).is_err(), "byte {at}");
    }
    for length in (0..bytes.len()).step_by(bytes.len() / 100 + 1) {
        assert!(Spares::parse(&bytes[..length]).is_err(), "cut at {length}");
    }
    assert_eq!(Spares::parse(b"").err(), Some(CarryError::CutShort));
}

#[test]
fn law_a_left_hander_makes_the_mirror_image_alike() {
    let spares = &table().1;
    for index in 0..2000 {
        let mut draw = Stream::keyed(1, "arrivals", index);
        let (at, leave) = (arrival(&mut draw), (draw.bits() % 1023) as u16 + 1);
        let second = spares.second(leave, &at, Hand::Right);
        let same = |other: Second| (other.make - second.make).abs() + (other.down - second.down).abs() < 1e-9;
        assert!(same(spares.second(mirrored(leave), &at, Hand::Left)), "{leave:#b} {at:?}");
    }
}

#[test]
fn law_chances_are_chances_and_all_down_is_the_most() {
    let spares = &table().1;
    for index in 0..5000 {
        let mut draw = Stream::keyed(2, "arrivals", index);
        let (at, leave) = (arrival(&mut draw), (draw.bits() % 1023) as u16 + 1);
        let second = spares.second(leave, &at, Hand::Right);
        let pins = f64::from(leave.count_ones());
        assert!((0.0..=1.0).contains(&second.make), "{second:?}");
        // Shares are kept in single precision.
        assert!(second.down >= second.make * pins - 1e-5 && second.down <= pins + 1e-5, "{second:?}");
    }
    assert_eq!(spares.second(0, &Arrival { board: 20.0, angle_deg: 0.0 }, Hand::Right).make, 1.0);
}

#[test]
fn law_a_ball_makes_a_single_pin_it_runs_into_and_no_other() {
    let spares = &table().1;
    for (i, (x_in, behind_in)) in court::PIN_SPOTS_IN.into_iter().enumerate() {
        for angle_deg in [-3.0_f64, 0.0, 3.0] {
            // The line that meets the pin in the middle, and lines that pass it by 16 inches: the test's grid is coarse.
            let x_m = x_in * INCH_M + behind_in * INCH_M * angle_deg.to_radians().tan();
            let at = |off_m: f64| Arrival { board: Board::from_metres(x_m + off_m).0, angle_deg };
            let make = |at: Arrival| spares.second(1 << i, &at, Hand::Right).make;
            let inside = |at: Arrival| (3.5..=36.5).contains(&at.board);
            if inside(at(0.0)) {
                assert!(make(at(0.0)) > 0.99, "pin {} at {angle_deg}: {}", i + 1, make(at(0.0)));
            }
            for off_m in [-0.4, 0.4].into_iter().filter(|&off_m| inside(at(off_m))) {
                assert_eq!(make(at(off_m)), 0.0, "pin {} at {angle_deg} missed by {off_m}", i + 1);
            }
        }
    }
    let corners = 1 << 6 | 1 << 9;
    let best = (0..400).map(|k| Arrival { board: 0.5 + 39.0 * f64::from(k) / 400.0, angle_deg: 0.0 });
    assert!(best.map(|at| spares.second(corners, &at, Hand::Right).make).fold(0.0, f64::max) < 0.5);
}

#[test]
fn law_between_cells_nothing_jumps() {
    let spares = &table().1;
    let leave = 1 << 2 | 1 << 9;
    let mut last: Option<f64> = None;
    for k in 0..=8000 {
        let x = f64::from(k) / 8000.0;
        let at = Arrival { board: 0.5 + 39.0 * x, angle_deg: -6.0 + 12.0 * x };
        let make = spares.second(leave, &at, Hand::Right).make;
        assert!(last.is_none_or(|last| (make - last).abs() < 0.01), "{at:?}: {make} after {last:?}");
        last = Some(make);
    }
}
