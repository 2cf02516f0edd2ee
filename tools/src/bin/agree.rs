//! The special engine beside a general one: the same constants, the same entries, racks of their own.
//!
//! ```text
//! agree here STEP_MS ENTRY FROM TO          racks FROM..TO of an entry (1 to 8) in the special engine
//! agree there BODIES_HZ RATIO ENTRY FROM TO the same in the general one
//! agree compare FILES                       the test, on the counts that those printed
//! ```
//!
//! The general engine resolves every blow as a spring (tests/shared/resolved.rs): of `BODIES_HZ` between ball and pins,
//! `RATIO` times softer on the deck. A share of racks is one line of raw counts, so shares can be thrown anywhere, in any
//! order, and put into one file. `compare` adds up what belongs together and holds every setting here against every
//! setting there by the test of tools/src/shared/sampling.rs. Ten racks here to one there is what has been compared so far.

use boardwise_pins::{BallBody, Constants, Rack};
use boardwise_units::stream::Stream;
use std::collections::BTreeMap;
use std::ops::Range;

#[path = "../../../crates/pins/tests/shared/entries.rs"]
mod entries;
#[path = "../../../crates/pins/tests/shared/general.rs"]
mod general;
#[path = "../../../crates/pins/tests/shared/resolved.rs"]
mod resolved;
#[path = "../shared/sampling.rs"]
mod sampling;
#[path = "../../../crates/pins/tests/shared/smooth.rs"]
mod smooth;

use sampling::{Sample, Verdict};

/// Board and angle of the entries compared.
const ENTRIES: [(f64, f64); 8] =
    [(17.5, 6.0), (17.5, 4.0), (16.5, 7.0), (15.5, 4.0), (18.5, 5.0), (19.0, 5.0), (14.5, 6.0), (16.0, 2.0)];

/// The general engine's racks are numbered from here, so that the two samples have none in common.
const APART: u64 = 1_000_000;

fn main() -> Result<(), String> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        ["here", step_ms, entry, from, to] => {
            let rack = Rack::new(constants(number::<f64>(step_ms)? / 1e3));
            let share = Share { entry: number(entry)?, racks: number(from)?..number(to)? };
            let counts =
                share.throw(|entry, ball, stream| rack.throw(entry, ball, stream).expect("a legal throw").standing)?;
            share.show(&words[..2], &counts);
        }
        ["there", bodies_hz, ratio, entry, from, to] => {
            let (bodies_hz, ratio): (f64, f64) = (number(bodies_hz)?, number(ratio)?);
            let surroundings_hz = bodies_hz / ratio;
            let step_s = 1.0 / (32.0 * bodies_hz.max(surroundings_hz));
            let springs = resolved::Springs { step_s, bodies_hz, surroundings_hz };
            let peer = resolved::Resolved::new(constants(Constants::default().step_s), springs);
            let (from, to): (u64, u64) = (number(from)?, number(to)?);
            let share = Share { entry: number(entry)?, racks: APART + from..APART + to };
            let counts = share.throw(|entry, ball, stream| peer.throw(entry, ball, stream).0)?;
            share.show(&words[..3], &counts);
        }
        ["compare", ref files @ ..] => compare(files)?,
        _ => return Err("say here, there or compare: see the top of tools/src/bin/agree.rs".into()),
    }
    Ok(())
}

fn number<T: std::str::FromStr>(word: &str) -> Result<T, String> {
    word.parse().map_err(|_| format!("'{word}' is no number that fits here"))
}

/// The constants in use, without the jitter that the general engine does not have.
fn constants(step_s: f64) -> Constants {
    Constants { restitution_jitter: 0.0, friction_jitter: 0.0, pin_mass_spread_kg: 0.0, step_s, ..Constants::default() }
}

/// Some of the racks of an entry, counted from one.
struct Share {
    entry: usize,
    racks: Range<u64>,
}

impl Share {
    fn throw(&self, leave: impl Fn(&boardwise_ball::Entry, &BallBody, &mut Stream) -> u16) -> Result<Sample, String> {
        let &(board, degrees) =
            ENTRIES.get(self.entry.wrapping_sub(1)).ok_or_else(|| format!("there is no entry {}", self.entry))?;
        let ball = BallBody::of_pounds(15.0);
        let mut sample = Sample::default();
        for index in self.racks.clone() {
            let mut stream = entries::stream(index);
            let entry = entries::rolling(board + 0.5 * (stream.uniform() - 0.5), degrees, 7.3, &ball);
            sample.add(leave(&entry, &ball, &mut stream));
        }
        Ok(sample)
    }

    /// One line: the setting, the entry, the racks, and how often which pins stood, as bits.
    fn show(&self, setting: &[&str], sample: &Sample) {
        let counts = sample.0.iter().enumerate().filter(|&(_, &n)| n > 0).map(|(mask, n)| format!(" {mask}:{n}"));
        let Range { start, end } = self.racks;
        println!("{} | {} {start} {end} |{}", setting.join(" "), self.entry, counts.collect::<String>());
    }

    /// Reads such a line.
    fn read(line: &str) -> Option<(&str, Self, Sample)> {
        let [setting, share, counts] = line.split('|').collect::<Vec<_>>().try_into().ok()?;
        let [entry, from, to] = share.split_whitespace().collect::<Vec<_>>().try_into().ok()?;
        let share = Self { entry: entry.parse().ok()?, racks: from.parse().ok()?..to.parse().ok()? };
        let mut sample = Sample::default();
        for count in counts.split_whitespace() {
            let (mask, n) = count.split_once(':')?;
            *sample.0.get_mut(mask.parse::<usize>().ok()?)? += n.parse::<u32>().ok()?;
        }
        let whole = u64::from(sample.racks()) == share.racks.end.checked_sub(share.racks.start)?;
        whole.then_some((setting.trim(), share, sample))
    }
}

/// What the lines of all these files hold, by setting and entry. A line given twice counts once; racks that two different
/// lines claim are refused.
fn gather(files: &[&str]) -> Result<BTreeMap<(String, usize), Sample>, String> {
    let mut lines = BTreeMap::new();
    for file in files {
        let text = std::fs::read_to_string(file).map_err(|e| format!("{file}: {e}"))?;
        for line in text.lines() {
            let (setting, share, sample) = Share::read(line).ok_or_else(|| format!("{file}: damaged line: {line}"))?;
            lines.insert((setting.to_owned(), share.entry, share.racks.start), (share.racks.end, sample));
        }
    }
    let mut sums: BTreeMap<(String, usize), Sample> = BTreeMap::new();
    let mut thrown: BTreeMap<(String, usize), u64> = BTreeMap::new();
    for ((setting, entry, start), (end, sample)) in lines {
        let key = (setting, entry);
        if thrown.insert(key.clone(), end).is_some_and(|before| start < before) {
            return Err(format!("racks from {start} on of {key:?} are there twice"));
        }
        let sum = sums.entry(key).or_default();
        sum.0.iter_mut().zip(sample.0).for_each(|(sum, n)| *sum += n);
    }
    Ok(sums)
}

fn compare(files: &[&str]) -> Result<(), String> {
    let sums = gather(files)?;
    let settings = |side: &str| -> Vec<String> {
        let all: std::collections::BTreeSet<_> = sums.keys().map(|(setting, _)| setting.clone()).collect();
        all.into_iter().filter(|setting| setting.starts_with(side)).collect()
    };
    for there in settings("there") {
        for here in settings("here") {
            println!("== {here} ms against {there}");
            let mut agreeing = 0;
            for (number, entry) in ENTRIES.iter().enumerate() {
                let of = |setting: &String| sums.get(&(setting.clone(), number + 1));
                let (Some(ours), Some(theirs)) = (of(&here), of(&there)) else { continue };
                let verdict = Verdict::of(ours, theirs);
                agreeing += u32::from(verdict.agrees());
                show(*entry, ours, theirs, &verdict);
            }
            println!("{agreeing} agree");
        }
    }
    Ok(())
}

fn show((board, degrees): (f64, f64), ours: &Sample, theirs: &Sample, verdict: &Verdict) {
    let share = |part: u32, sample: &Sample| 100.0 * f64::from(part) / f64::from(sample.racks());
    println!(
        "{board} at {degrees}, {} racks here, {} there: {}, least chance {:.5}; strikes {:.1} {:.1} (p {:.4}); left {:.3} {:.3} (p {:.4})",
        ours.racks(),
        theirs.racks(),
        if verdict.agrees() { "agrees" } else { "DIFFERS" },
        verdict.least(),
        share(ours.strikes(), ours),
        share(theirs.strikes(), theirs),
        verdict.strikes,
        ours.left().0,
        theirs.left().0,
        verdict.left,
    );
    let pins: Vec<String> = (0..10)
        .map(|pin| {
            let (here, there) = (share(ours.standing(pin), ours), share(theirs.standing(pin), theirs));
            format!("{} {here:.1}/{there:.1} (p {:.4})", pin + 1, verdict.pins[pin])
        })
        .collect();
    println!("  standing: {}", pins.join(", "));
    let mut leaves: Vec<u16> = (0..1024).filter(|&mask| ours.0[mask as usize] + theirs.0[mask as usize] > 0).collect();
    leaves.sort_by_key(|&mask| std::cmp::Reverse(ours.0[mask as usize] + 10 * theirs.0[mask as usize]));
    let named: Vec<String> = leaves
        .iter()
        .take(8)
        .map(|&mask| {
            let (here, there) = (share(ours.0[mask as usize], ours), share(theirs.0[mask as usize], theirs));
            format!("{} {here:.1}/{there:.1}", entries::name(mask))
        })
        .collect();
    println!("  leaves: {}", named.join(", "));
}
