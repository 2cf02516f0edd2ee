//! Fits one oil map, ball and rev rate to the robot throws of truth/robot/throws.csv and prints them.
//!
//! A repeatable random search that narrows as it goes; the result stands in tests/truth_robot.rs.

#[path = "../../../crates/lane/tests/robot/mod.rs"]
mod robot;

use boardwise_units::stream::Stream;
use robot::{LIMITS, Setting, Throw, misfit};

fn main() {
    let throws = Throw::read();
    let mut rng = Stream::keyed(7, "fit robot", 0);
    let mut best: Option<(f64, Setting)> = None;
    let rounds: usize = std::env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(6000);
    for round in 0..rounds {
        // Everywhere at first, then around the best, ever nearer; now and then a single number alone.
        let width = 0.5 * (-(round as f64) / rounds as f64 * 5.0).exp();
        let mut setting = best.as_ref().map_or([0.5; LIMITS.len()], |b| b.1.map_unit());
        let only = (round % 3 == 0).then(|| (rng.uniform() * LIMITS.len() as f64) as usize);
        for (k, value) in setting.iter_mut().enumerate() {
            if round < rounds / 6 {
                *value = rng.uniform();
            } else if only.is_none_or(|only| only == k) {
                *value = (*value + width * rng.normal()).clamp(0.0, 1.0);
            }
        }
        let setting = Setting::from_unit(&setting);
        let loss = misfit(&setting, &throws);
        if best.as_ref().is_none_or(|(least, _)| loss.total() < *least) {
            best = Some((loss.total(), setting));
            println!("{round:6} boards {:.3} degrees {:.3}  {:?}", loss.board_rms, loss.angle_rms, setting.0);
        }
    }
    let (_, setting) = best.expect("at least one round");
    for (throw, finish) in throws.iter().zip(setting.throw_all(&throws)) {
        println!("{throw:?} -> {:?}", finish.touch.map(|t| (t.board().0, t.angle().0)));
    }
}
