//! What the ensemble gives beside the shares it was fitted to: `cargo run --release -p boardwise-tools --bin pin_checks -- WHAT
//! [RACKS]`, racks a set, with WHAT one of
//!
//! - `steps`: shares at the step in use, half and a quarter of it;
//! - `tether`: strikes that are lost when pins rebound less, as pins on strings do;
//! - `places`: where the ball leaves the deck after flush hits and ringing tens.

#[path = "../../../crates/pins/tests/shared/entries.rs"]
mod entries;
#[path = "../../../crates/pins/tests/shared/knobs.rs"]
mod knobs;

use boardwise_pins::carry::Approach;
use boardwise_pins::ensemble::{ENSEMBLE, Fitted};
use boardwise_pins::{BallBody, Constants, Outcome, Rack, Surface};
use boardwise_units::stream::Stream;
use knobs::{FITTED, KEPT_OUT, Setting, Shares};

/// What `ask` says of each set, in order, one set a core.
fn of_each<T: Send>(ask: impl Fn(&Fitted) -> T + Sync) -> Vec<T> {
    std::thread::scope(|scope| {
        let ask = &ask;
        let work: Vec<_> = ENSEMBLE.iter().map(|fitted| scope.spawn(move || ask(fitted))).collect();
        work.into_iter().map(|one| one.join().expect("a worker finishes")).collect()
    })
}

fn steps(racks: u64) {
    let at = |share: f64| {
        Shares::mean(&of_each(|fitted| {
            let constants = Constants { step_s: fitted.constants.step_s * share, ..fitted.constants };
            Shares::thrown(
                &Setting { constants, professionals: fitted.professionals },
                (1 << 21) + u64::from(fitted.search),
                racks,
            )
        }))
    };
    let [whole, half, quarter] = [1.0, 0.5, 0.25].map(at);
    println!("{} racks a step\n| share | whole step | half | quarter | error |", whole.racks);
    for row in FITTED.iter().chain(&KEPT_OUT) {
        let [a, b, c] = [&whole, &half, &quarter].map(|shares| 100.0 * (row.found)(shares));
        let n = if row.name == "strikes" { whole.racks as f64 } else { whole.racks as f64 * (1.0 - whole.strikes) };
        let error = 100.0 * ((row.found)(&whole) * (1.0 - (row.found)(&whole)) / n).sqrt();
        println!("| {} | {a:.2} | {b:.2} | {c:.2} | {error:.2} |", row.name);
    }
}

/// Strikes and balls of light, pocket and high hits.
fn by_hit(fitted: &Fitted, constants: Constants, racks: u64) -> [(f64, f64); 3] {
    let (rack, ball) = (Rack::new(constants), BallBody::of_pounds(15.0));
    let mut sums = [(0.0, 0.0); 3];
    for index in 0..racks {
        let index = u64::from(fitted.search) << 32 | index;
        let entry = fitted.professionals.draw(&ball, &mut Stream::keyed(68, "tethered entries", index));
        let board = Approach::of(&entry, &ball).board;
        let outcome =
            rack.throw(&entry, &ball, &mut Stream::keyed(69, "tethered racks", index)).expect("a legal throw");
        let sum = &mut sums[usize::from(board >= 16.5) + usize::from(board > 18.5)];
        *sum = (sum.0 + f64::from(u8::from(outcome.is_strike())), sum.1 + 1.0);
    }
    sums
}

fn tether(racks: u64) {
    let walls = |c: Constants, share: f64| {
        let kickback = Surface { restitution: share * c.kickback.restitution, ..c.kickback };
        Constants { kickback, ..c }
    };
    let pins = |c: Constants, share: f64| {
        let pin_pin = Surface { restitution: share * c.pin_pin.restitution, ..c.pin_pin };
        Constants { pin_pin, ..walls(c, share) }
    };
    let ways: [(&str, &(dyn Fn(Constants) -> Constants + Sync)); 5] = [
        ("free", &|c| c),
        ("walls half", &|c| walls(c, 0.5)),
        ("walls dead", &|c| walls(c, 0.0)),
        ("walls and pins on pins three quarters", &|c| pins(c, 0.75)),
        ("walls and pins on pins half", &|c| pins(c, 0.5)),
    ];
    println!("strikes a hundred balls: in all; of light, pocket and high hits, and as a share of each");
    for (name, way) in ways {
        let mut sums = [(0.0, 0.0); 3];
        for each in of_each(|fitted| by_hit(fitted, way(fitted.constants), racks)) {
            for (sum, one) in sums.iter_mut().zip(each) {
                *sum = (sum.0 + one.0, sum.1 + one.1);
            }
        }
        let balls: f64 = sums.iter().map(|sum| sum.1).sum();
        let all: f64 = sums.iter().map(|sum| sum.0).sum();
        let parts = sums.map(|(strikes, _)| format!("{:.1}", 100.0 * strikes / balls));
        let own = sums.map(|(strikes, n)| format!("{:.0}%", 100.0 * strikes / n));
        println!("| {name} | {:.1} | {} | {} |", 100.0 * all / balls, parts.join(" | "), own.join(" | "));
    }
}

/// Balls spread over boards and angles.
fn spread_over(fitted: &Fitted, boards: (f64, f64), angles: (f64, f64), racks: u64) -> Vec<(f64, Outcome)> {
    let (rack, ball) = (Rack::new(fitted.constants), BallBody::of_pounds(15.0));
    let one = |index: u64| {
        let mut stream = Stream::keyed(65, "places", u64::from(fitted.search) << 32 | index);
        let board = boards.0 + (boards.1 - boards.0) * stream.uniform();
        let angle = angles.0 + (angles.1 - angles.0) * stream.uniform();
        let entry = entries::rolling(board, angle, 7.3, &ball);
        (board, rack.throw(&entry, &ball, &mut stream).expect("a legal throw"))
    };
    (0..racks).map(one).collect()
}

fn places(racks: u64) {
    let mean = |values: Vec<f64>| (values.iter().sum::<f64>() / values.len() as f64, values.len());
    for (name, boards, angles, wanted) in [
        ("1-3-5-9 alone, in at 16.5-17.5", (16.5, 17.5), (4.0, 6.0), 0b1_0001_0101),
        ("1-3-5-9 alone, in at 16-19", (16.0, 19.0), (4.0, 6.0), 0b1_0001_0101),
    ] {
        let thrown = of_each(|fitted| spread_over(fitted, boards, angles, racks)).concat();
        let flush: Vec<_> = thrown.iter().filter(|(_, o)| o.is_strike() && o.touched == wanted).collect();
        let (board, n) = mean(flush.iter().map(|(board, _)| *board).collect());
        let (exit, _) = mean(flush.iter().filter_map(|(_, o)| o.exit).map(|e| e.board().0).collect());
        println!("{name}: {n} of {}, in on {board:.2}, out on {exit:.2}", thrown.len());
    }
    let thrown = of_each(|fitted| spread_over(fitted, (16.75, 17.25), (4.0, 6.0), racks)).concat();
    let (exit, _) =
        mean(thrown.iter().filter(|(_, o)| o.is_strike()).filter_map(|(_, o)| o.exit).map(|e| e.board().0).collect());
    println!("all strikes in at 16.75-17.25, 4-6 degrees: out on {exit:.2}");
    for angles in [(5.5, 6.5), (6.5, 7.5), (7.5, 8.5)] {
        let thrown = of_each(|fitted| spread_over(fitted, (16.25, 16.75), angles, racks)).concat();
        let misses = thrown.iter().filter(|(_, o)| !o.is_strike()).count();
        let tens: Vec<_> = thrown.iter().filter(|(_, o)| o.standing == 1 << 9).collect();
        let (exit, n) = mean(tens.iter().filter_map(|(_, o)| o.exit).map(|e| e.board().0).collect());
        println!(
            "in at 16.5, {angles:?} degrees: {misses} misses of {}, {n} ringing tens, out on {exit:.2}",
            thrown.len()
        );
    }
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let racks = words.get(1).map_or(Ok(2000), |word| word.parse()).expect("a number of racks");
    match words.first().map(String::as_str) {
        Some("steps") => steps(racks),
        Some("tether") => tether(racks),
        Some("places") => places(racks),
        _ => eprintln!("say 'steps', 'tether' or 'places', and a number of racks a set"),
    }
}
