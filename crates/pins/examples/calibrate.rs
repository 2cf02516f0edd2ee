//! Fits restitution, friction and the spread of entries to published shares of leaves.
//!
//! `cargo run --release -p pins --example calibrate -- report [racks] [step_ms]` shows what the constants in use give;
//! `... -- fit [racks] [generations]` searches for better ones. Both repeat to the last digit.
//!
//! The figures fitted and those kept out as a check are in `TARGETS`; docs/pins.md tells how well it went.

use measure::stream::Stream;
use pins::{BallBody, Constants, Rack, mirrored};

#[path = "shared/entries.rs"]
mod entries;
use entries::Spread;

/// Share of left-handers among televised professionals: a guess, not published. Their leaves are mirrored.
const LEFT_SHARE: f64 = 0.15;
const THREADS: u64 = 2;

/// A share to compare with.
struct Target {
    name: &'static str,
    published: f64,
    /// Binomial error of the published share, and one point (or a fifth, if less) that we do not trust the model to beat.
    error: f64,
    fitted: bool,
    found: fn(&Shares) -> f64,
}

/// facts.md "Carry" [S]: strikes of 447,000 frames, leaves of 2,781 televised non-strikes.
const TARGETS: [Target; 7] = [
    Target { name: "strikes", published: 0.61, error: 0.012, fitted: true, found: |s| s.strikes },
    Target { name: "10", published: 0.255, error: 0.013, fitted: true, found: |s| s.leave(&[10]) },
    Target { name: "7", published: 0.120, error: 0.012, fitted: true, found: |s| s.leave(&[7]) },
    Target { name: "9", published: 0.032, error: 0.0073, fitted: true, found: |s| s.leave(&[9]) },
    Target { name: "7-10", published: 0.019, error: 0.0046, fitted: true, found: |s| s.leave(&[7, 10]) },
    Target { name: "3-10", published: 0.013, error: 0.0034, fitted: false, found: |s| s.leave(&[3, 10]) },
    Target { name: "4-6-7-10", published: 0.011, error: 0.0030, fitted: false, found: |s| s.leave(&[4, 6, 7, 10]) },
];

/// Shares of leaves among non-strikes, both hands together.
struct Shares {
    strikes: f64,
    of_misses: Vec<f64>,
}

impl Shares {
    fn of(counts: &[u32; 1024]) -> Self {
        let total = f64::from(counts.iter().sum::<u32>());
        let misses = total - f64::from(counts[0]);
        let share = |mask: u16| {
            let of = |m: u16| f64::from(counts[usize::from(m)]) / misses;
            (1.0 - LEFT_SHARE) * of(mask) + LEFT_SHARE * of(mirrored(mask))
        };
        Self { strikes: 1.0 - misses / total, of_misses: (0..1024).map(share).collect() }
    }

    fn leave(&self, pins: &[u32]) -> f64 {
        self.of_misses[pins.iter().map(|pin| 1usize << (pin - 1)).sum::<usize>()]
    }
}

/// What is searched over, with where our judgement puts it and how far it may stray: e 0.6 to 0.75, ball-pin friction 0.1
/// to 0.3, deck friction 0.2 to 0.4 [M: physics.md section 6]; the rest is wider.
const KNOBS: [(&str, f64, f64); 10] = [
    ("ball-pin restitution", 0.68, 0.05),
    ("pin-pin restitution", 0.65, 0.07),
    ("pin-deck restitution", 0.40, 0.12),
    ("kickback restitution", 0.50, 0.12),
    ("ball-pin friction", 0.18, 0.06),
    ("pin-pin friction", 0.20, 0.07),
    ("pin-deck friction", 0.30, 0.06),
    ("mean board", 17.5, 0.35),
    ("deviation of boards", 1.5, 0.40),
    ("mean angle", 5.5, 0.30),
];

type Point = [f64; KNOBS.len()];

/// Where earlier searches of the same kind ended (begun at the knobs' middles with a width of 0.7).
const START: Point = [0.6621, 0.6351, 0.5717, 0.3366, 0.1892, 0.1728, 0.3027, 17.464, 1.364, 5.27];

fn settings(at: &Point, base: Constants) -> (Constants, Spread) {
    let value = |k: usize| (KNOBS[k].1 + KNOBS[k].2 * at[k]).max(0.02);
    let mut c = base;
    c.ball_pin.restitution = value(0);
    c.pin_pin.restitution = value(1);
    c.pin_deck.restitution = value(2);
    c.kickback.restitution = value(3);
    c.ball_pin.friction = value(4);
    c.pin_pin.friction = value(5);
    c.pin_deck.friction = value(6);
    let degrees = (value(9), Spread::default().degrees.1);
    (c, Spread { board: (value(7), value(8)), degrees, ..Spread::default() })
}

fn throw_many(constants: Constants, spread: Spread, racks: u64) -> [u32; 1024] {
    let rack = Rack::new(constants);
    let ball = BallBody::of_pounds(15.0);
    let part = |k: u64| (racks * k / THREADS, racks * (k + 1) / THREADS);
    let mut counts = [0; 1024];
    std::thread::scope(|scope| {
        let (rack, ball, spread) = (&rack, &ball, &spread);
        let work: Vec<_> = (0..THREADS)
            .map(|k| scope.spawn(move || entries::leaves(rack, spread, ball, part(k).0, part(k).1)))
            .collect();
        for part in work {
            for (sum, n) in counts.iter_mut().zip(part.join().expect("a worker finishes")) {
                *sum += n;
            }
        }
    });
    counts
}

/// Squared misfit to the fitted shares, plus how far the knobs were turned.
fn misfit(at: &Point, racks: u64) -> f64 {
    let (constants, spread) = settings(at, Constants::default());
    let shares = Shares::of(&throw_many(constants, spread, racks));
    let fit: f64 = TARGETS
        .iter()
        .filter(|target| target.fitted)
        .map(|target| (((target.found)(&shares) - target.published) / target.error).powi(2))
        .sum();
    fit + at.iter().map(|x| x * x).sum::<f64>()
}

fn report(constants: Constants, spread: Spread, racks: u64) {
    let counts = throw_many(constants, spread, racks);
    let shares = Shares::of(&counts);
    println!("{racks} racks, step {} ms\n{spread:?}\nshare      published  here   +-", constants.step_s * 1e3);
    for target in &TARGETS {
        let found = (target.found)(&shares);
        let n = if target.name == "strikes" { racks as f64 } else { racks as f64 * (1.0 - shares.strikes) };
        let error = (found * (1.0 - found) / n).sqrt();
        let role = if target.fitted { "fitted" } else { "check" };
        println!(
            "{:9} {:8.1}% {:6.1}% {:5.1}  {role}, {:+.1} errors",
            target.name,
            100.0 * target.published,
            100.0 * found,
            100.0 * error,
            (found - target.published) / target.error
        );
    }
    let mut order: Vec<u16> = (1..1024).collect();
    order.sort_by(|&a, &b| shares.of_misses[usize::from(b)].total_cmp(&shares.of_misses[usize::from(a)]));
    let names: Vec<String> = order[..24]
        .iter()
        .map(|&m| format!("{} {:.1}%", entries::name(m), 100.0 * shares.of_misses[usize::from(m)]))
        .collect();
    println!("commonest of non-strikes: {}", names.join(", "));
}

/// A small evolution strategy: sample around a mean, move to the better half, narrow or widen each knob by what the
/// better half shows.
fn fit(racks: u64, generations: u64) {
    const BROOD: u64 = 14;
    let mut mean: Point = std::array::from_fn(|k| (START[k] - KNOBS[k].1) / KNOBS[k].2);
    let mut width = [0.4; KNOBS.len()];
    for generation in 0..generations {
        let mut brood: Vec<(f64, Point)> = (0..BROOD)
            .map(|child| {
                let mut draw = Stream::keyed(63, "calibration", generation * BROOD + child);
                let mut at = mean;
                for (x, w) in at.iter_mut().zip(width) {
                    *x += w * draw.normal();
                }
                (misfit(&at, racks), at)
            })
            .collect();
        brood.sort_by(|a, b| a.0.total_cmp(&b.0));
        let best = &brood[..BROOD as usize / 2];
        for k in 0..KNOBS.len() {
            let centre = best.iter().map(|(_, at)| at[k]).sum::<f64>() / best.len() as f64;
            let square = best.iter().map(|(_, at)| (at[k] - mean[k]).powi(2)).sum::<f64>() / best.len() as f64;
            width[k] = (0.7 * width[k] * width[k] + 0.3 * square).sqrt();
            mean[k] = centre;
        }
        let values: Vec<String> =
            (0..KNOBS.len()).map(|k| format!("{:.3}", KNOBS[k].1 + KNOBS[k].2 * mean[k])).collect();
        println!("{generation:3} best {:7.2} worst {:7.2} at {}", brood[0].0, brood[6].0, values.join(" "));
    }
    for ((name, centre, scale), (x, w)) in KNOBS.iter().zip(mean.iter().zip(width)) {
        println!("{name}: {:.4} (last width {:.4}; before {centre} +- {scale})", centre + scale * x, scale * w);
    }
    let (constants, spread) = settings(&mean, Constants::default());
    report(constants, spread, 20 * racks);
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let number = |n: usize, default: f64| arguments.get(n).and_then(|a| a.parse().ok()).unwrap_or(default);
    match arguments.first().map(String::as_str) {
        Some("fit") => fit(number(1, 2000.0) as u64, number(2, 20.0) as u64),
        Some("report") | None => {
            let step_s = number(2, Constants::default().step_s * 1e3) / 1e3;
            report(Constants { step_s, ..Constants::default() }, Spread::default(), number(1, 20_000.0) as u64);
        }
        Some(other) => eprintln!("unknown '{other}': say 'report [racks] [step_ms]' or 'fit [racks] [generations]'"),
    }
}
