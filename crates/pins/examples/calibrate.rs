//! Fits restitution, friction and the spread of entries to published shares of leaves.
//!
//! `cargo run --release -p boardwise-pins --example calibrate -- report [racks] [step_ms]` shows what the constants in use give;
//! `... -- fit [racks] [generations]` searches for better ones. Both repeat to the last digit.
//!
//! The figures fitted and those kept out as a check are in `TARGETS`; docs/pins.md tells how well it went.

use boardwise_pins::{BallBody, Constants, Rack, mirrored};
use boardwise_units::stream::Stream;

#[path = "shared/entries.rs"]
mod entries;
use entries::Spread;

/// Share of left-handers among televised professionals, whose leaves are mirrored: a guess, then fitted.
const LEFT_SHARE: f64 = 0.14;

/// A share to compare with.
struct Target {
    name: &'static str,
    published: f64,
    /// Binomial error of the published share, and one point (or a fifth, if less) that we do not trust the model to beat.
    error: f64,
    fitted: bool,
    found: fn(&Shares) -> f64,
}

/// facts.md "Carry" [S]: strikes of 447,000 frames, leaves of 2,781 televised non-strikes. And \[P\]: the perfect hit
/// touches 1-3-5-9 and no others; that it does so oftener than it touches 1-3-5, by so much, is our reading.
const TARGETS: [Target; 8] = [
    Target { name: "strikes", published: 0.61, error: 0.012, fitted: true, found: |s| s.strikes },
    Target { name: "10", published: 0.255, error: 0.013, fitted: true, found: |s| s.leave(&[10]) },
    Target { name: "7", published: 0.120, error: 0.012, fitted: true, found: |s| s.leave(&[7]) },
    Target { name: "9", published: 0.032, error: 0.0073, fitted: true, found: |s| s.leave(&[9]) },
    Target { name: "7-10", published: 0.019, error: 0.0046, fitted: true, found: |s| s.leave(&[7, 10]) },
    Target { name: "flush", published: 0.15, error: 0.05, fitted: true, found: |s| s.flush },
    Target { name: "3-10", published: 0.013, error: 0.0034, fitted: false, found: |s| s.leave(&[3, 10]) },
    Target { name: "4-6-7-10", published: 0.011, error: 0.0030, fitted: false, found: |s| s.leave(&[4, 6, 7, 10]) },
];

/// Shares of leaves among non-strikes, both hands together.
struct Shares {
    strikes: f64,
    of_misses: Vec<f64>,
    /// How much oftener a strike that leaves near board 19 touched 1-3-5-9 than 1-3-5.
    flush: f64,
}

impl Shares {
    fn of(counts: &[u32; 1024], left_share: f64, flush: f64) -> Self {
        let total = f64::from(counts.iter().sum::<u32>());
        let misses = total - f64::from(counts[0]);
        let share = |mask: u16| {
            let of = |m: u16| f64::from(counts[usize::from(m)]) / misses;
            (1.0 - left_share) * of(mask) + left_share * of(mirrored(mask))
        };
        Self { strikes: 1.0 - misses / total, of_misses: (0..1024).map(share).collect(), flush }
    }

    fn leave(&self, pins: &[u32]) -> f64 {
        self.of_misses[pins.iter().map(|pin| 1usize << (pin - 1)).sum::<usize>()]
    }
}

/// All that a search may change.
#[derive(Clone, Copy)]
struct Setting {
    constants: Constants,
    spread: Spread,
    left_share: f64,
}

impl Default for Setting {
    fn default() -> Self {
        Self { constants: Constants::default(), spread: Spread::default(), left_share: LEFT_SHARE }
    }
}

/// One number searched over, with where our judgement puts it and how far it may stray.
struct Knob {
    name: &'static str,
    middle: f64,
    width: f64,
    of: fn(&mut Setting) -> &mut f64,
}

/// e 0.6 to 0.75, ball-pin friction 0.1 to 0.3, deck friction 0.2 to 0.4 \[M: physics.md section 6\]; mass of a pin 3 lb 6
/// oz to 3 lb 10 oz \[P\]; speed 18.61 mph less 2 to 2.5 \[S: facts.md "People"\]; the rest is wider.
const KNOBS: [Knob; 16] = [
    Knob { name: "ball-pin restitution", middle: 0.68, width: 0.05, of: |s| &mut s.constants.ball_pin.restitution },
    Knob { name: "pin-pin restitution", middle: 0.65, width: 0.07, of: |s| &mut s.constants.pin_pin.restitution },
    Knob { name: "pin-deck restitution", middle: 0.40, width: 0.12, of: |s| &mut s.constants.pin_deck.restitution },
    Knob { name: "kickback restitution", middle: 0.50, width: 0.12, of: |s| &mut s.constants.kickback.restitution },
    Knob { name: "ball-pin friction", middle: 0.18, width: 0.06, of: |s| &mut s.constants.ball_pin.friction },
    Knob { name: "pin-pin friction", middle: 0.20, width: 0.07, of: |s| &mut s.constants.pin_pin.friction },
    Knob { name: "pin-deck friction", middle: 0.30, width: 0.06, of: |s| &mut s.constants.pin_deck.friction },
    Knob { name: "ball-deck friction", middle: 0.20, width: 0.06, of: |s| &mut s.constants.ball_deck.friction },
    Knob { name: "mass of a pin, kg", middle: 1.588, width: 0.03, of: |s| &mut s.constants.pin_mass_kg },
    Knob { name: "mean board", middle: 17.5, width: 0.35, of: |s| &mut s.spread.board.0 },
    Knob { name: "deviation of boards", middle: 1.5, width: 0.40, of: |s| &mut s.spread.board.1 },
    Knob { name: "mean angle", middle: 5.5, width: 0.30, of: |s| &mut s.spread.degrees.0 },
    Knob { name: "deviation of angles", middle: 0.8, width: 0.25, of: |s| &mut s.spread.degrees.1 },
    Knob { name: "mean speed, m/s", middle: 7.31, width: 0.15, of: |s| &mut s.spread.speed_m_s.0 },
    Knob { name: "spot jitter, m", middle: 0.001, width: 0.0004, of: |s| &mut s.constants.spot_jitter_m },
    Knob { name: "share of left-handers", middle: 0.15, width: 0.05, of: |s| &mut s.left_share },
];

type Point = [f64; KNOBS.len()];

/// Where the constants in use lie on the knobs: a search starts there.
fn start() -> Point {
    let mut now = Setting::default();
    std::array::from_fn(|k| (*(KNOBS[k].of)(&mut now) - KNOBS[k].middle) / KNOBS[k].width)
}

fn value(at: &Point, k: usize) -> f64 {
    (KNOBS[k].middle + KNOBS[k].width * at[k]).max(0.02 * KNOBS[k].middle)
}

fn setting(at: &Point) -> Setting {
    let mut setting = Setting::default();
    for (k, knob) in KNOBS.iter().enumerate() {
        *(knob.of)(&mut setting) = value(at, k);
    }
    setting
}

fn throw_many(setting: &Setting, racks: u64) -> [u32; 1024] {
    let (rack, spread) = (Rack::new(setting.constants), setting.spread);
    let ball = BallBody::of_pounds(15.0);
    // Counts add up to the same whatever the number.
    let threads = std::thread::available_parallelism().map_or(1, |n| n.get() as u64);
    let part = |k: u64| (racks * k / threads, racks * (k + 1) / threads);
    let mut counts = [0; 1024];
    std::thread::scope(|scope| {
        let (rack, ball, spread) = (&rack, &ball, &spread);
        let work: Vec<_> = (0..threads)
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

/// What the ball touched in strikes that leave the deck on boards 18 to 20, having come in at 5.5 degrees: the share of
/// 1-3-5-9 less that of 1-3-5.
fn flush(setting: &Setting) -> f64 {
    const RACKS: u64 = 500;
    let (rack, ball) = (Rack::new(setting.constants), BallBody::of_pounds(15.0));
    let (mut strikes, mut ahead) = (0, 0);
    for index in 0..RACKS {
        let mut stream = Stream::keyed(64, "flush racks", index);
        let board = 17.3 + 0.4 * (stream.uniform() - 0.5);
        let entry = entries::rolling(board, 5.5, 7.3, &ball);
        let outcome = rack.throw(&entry, &ball, &mut stream).expect("a legal throw");
        if outcome.is_strike() && outcome.exit.is_some_and(|exit| (18.0..20.0).contains(&exit.board().0)) {
            strikes += 1;
            ahead += i32::from(outcome.touched == 0b1_0001_0101) - i32::from(outcome.touched == 0b1_0101);
        }
    }
    f64::from(ahead) / f64::from(strikes.max(1))
}

/// Squared misfit to the fitted shares, plus how far the knobs were turned.
fn misfit(at: &Point, racks: u64) -> f64 {
    let setting = setting(at);
    let shares = Shares::of(&throw_many(&setting, racks), setting.left_share, flush(&setting));
    let fit: f64 = TARGETS
        .iter()
        .filter(|target| target.fitted)
        .map(|target| (((target.found)(&shares) - target.published) / target.error).powi(2))
        .sum();
    fit + at.iter().map(|x| x * x).sum::<f64>()
}

fn report(setting: &Setting, racks: u64) {
    let Setting { constants, spread, left_share } = setting;
    let shares = Shares::of(&throw_many(setting, racks), *left_share, flush(setting));
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
    const BROOD: u64 = 16;
    let mut mean = start();
    let mut width = [0.35; KNOBS.len()];
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
        let values: Vec<String> = (0..KNOBS.len()).map(|k| format!("{:.4}", value(&mean, k))).collect();
        println!(
            "{generation:3} best {:7.2} worst {:7.2} at {}",
            brood[0].0,
            brood[BROOD as usize / 2 - 1].0,
            values.join(" ")
        );
    }
    for (k, Knob { name, middle, width: prior, .. }) in KNOBS.iter().enumerate() {
        println!("{name}: {:.4} (last width {:.4}; before {middle} +- {prior})", value(&mean, k), prior * width[k]);
    }
    report(&setting(&mean), 20 * racks);
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let number = |n: usize, default: f64| arguments.get(n).and_then(|a| a.parse().ok()).unwrap_or(default);
    match arguments.first().map(String::as_str) {
        Some("fit") => fit(number(1, 2000.0) as u64, number(2, 20.0) as u64),
        Some("report") | None => {
            let step_s = number(2, Constants::default().step_s * 1e3) / 1e3;
            let mut setting = Setting::default();
            setting.constants.step_s = step_s;
            report(&setting, number(1, 20_000.0) as u64);
        }
        Some(other) => eprintln!("unknown '{other}': say 'report [racks] [step_ms]' or 'fit [racks] [generations]'"),
    }
}
