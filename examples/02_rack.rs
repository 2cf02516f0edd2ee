//! Many racks: one throw at ten pins is chance, so an entry is judged by what many racks leave.

use boardwise_pins::carry::Approach;
use boardwise_pins::score::{Leave, PinSet};
use boardwise_pins::units::stream::Stream;
use boardwise_pins::{Constants, Rack, ThrowError};
use std::collections::BTreeMap;

const RACKS: u32 = 2000;

fn main() -> Result<(), ThrowError> {
    // Making a rack works out the shape of a pin, so make it once.
    let rack = Rack::new(Constants::default());
    // A 15 lb ball at 7.5 m/s (16.8 mph) that rolls, 6 degrees into the pocket. Boards as at the head pin's row.
    let approach = Approach { board: 17.0, angle_deg: 6.0, speed_m_s: 7.5, weight_lb: 15.0, roll: 1.0 };
    let (entry, ball) = approach.entry();

    let mut left: BTreeMap<PinSet, u32> = BTreeMap::new();
    for number in 0..RACKS {
        // Every rack has random numbers of its own: the pins stand a little off their spots.
        let mut stream = Stream::keyed(1, "example rack", u64::from(number));
        *left.entry(rack.throw(&entry, &ball, &mut stream)?.left()).or_default() += 1;
    }

    let strikes = f64::from(left.remove(&PinSet::NONE).unwrap_or(0)) / f64::from(RACKS);
    let error = (strikes * (1.0 - strikes) / f64::from(RACKS)).sqrt();
    println!("strikes: {:.1}% (standard error {:.1})", 100.0 * strikes, 100.0 * error);

    let mut left: Vec<(PinSet, u32)> = left.into_iter().collect();
    left.sort_by_key(|&(_, count)| std::cmp::Reverse(count));
    for (pins, count) in left.into_iter().take(5) {
        // What is left of a first ball has a name: "10 pin", "3-10 split".
        let leave = Leave::new(pins).expect("a strike is not among them");
        println!("{leave}: {:.1}%", 100.0 * f64::from(count) / f64::from(RACKS));
    }
    Ok(())
}
