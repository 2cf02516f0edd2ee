//! How the rules of thumb come out with some constants.

use crate::typical::rules::{
    after, best_parallel, entry_board, exit_board, half_turn_feet, lines, mean, mean_as_good, miss_by_way_of_three,
    oil_beyond, sharpness, turned,
};
use crate::typical::{ball, dull, pattern, plastic, rev_dominant, shiny, urethane};
use boardwise_ball::{Ball, CoverKind, Surface};
use boardwise_lane::{ContactLaw, Fineness, Lane, Release, TrackForm, throw};
use boardwise_search::Line;
use boardwise_units::{Board, Degrees, Feet};
use std::fmt;
use std::ops::RangeInclusive;

/// One rule as a number: what it is, and at least how much it should be.
#[derive(Clone, Debug)]
struct Rule {
    name: String,
    is: f64,
    least: f64,
}

/// All rules, with means over seeds, and the strikes behind the first of them.
#[derive(Clone, Debug)]
pub struct Outcome {
    rules: Vec<Rule>,
    strikes: Vec<(&'static str, [f64; 3])>,
}

/// Lengths of the flat patterns; the first is the short one, the last the long one.
const FLAT_FT: [f64; 6] = [32.0, 35.0, 38.0, 40.0, 42.0, 45.0];

/// Lines of urethane, dull strong and shiny weak, best first.
type LinesOfAll = [Vec<Line>; 3];

impl Outcome {
    /// The means over seeds.
    pub fn of(seeds: RangeInclusive<u64>) -> Self {
        let count = seeds.clone().count() as f64;
        let mut all = seeds.map(Self::once);
        let mut mean = all.next().expect("at least one seed");
        for other in all {
            for (sum, one) in mean.rules.iter_mut().zip(other.rules) {
                sum.is += one.is;
            }
            for (sum, one) in mean.strikes.iter_mut().zip(other.strikes) {
                sum.1.iter_mut().zip(one.1).for_each(|(sum, one)| *sum += one);
            }
        }
        mean.rules.iter_mut().for_each(|rule| rule.is /= count);
        mean.strikes.iter_mut().flat_map(|(_, balls)| balls).for_each(|sum| *sum /= count);
        mean
    }

    fn once(seed: u64) -> Self {
        let settings = Settings { law: ContactLaw::default(), balls: [urethane(), dull(), shiny()], seed };
        let mut outcome = Self { rules: Vec::new(), strikes: Vec::new() };
        let usual = Release::default();
        let flat = FLAT_FT.map(|feet| settings.lines_of_all(&pattern(feet, 0.8), &usual));
        outcome.ranks(&settings, &flat);
        outcome.exits(&flat);
        outcome.motion(&settings);
        outcome.transition(&settings);
        outcome
    }

    fn add(&mut self, name: impl Into<String>, is: f64, least: f64) {
        self.rules.push(Rule { name: name.into(), is, least });
    }

    /// Which ball strikes most, in points.
    fn ranks(&mut self, settings: &Settings, flat: &[LinesOfAll; 6]) {
        let usual = Release::default();
        let mut strikes = |name, lines: &LinesOfAll| {
            let all = lines.each_ref().map(|lines| 100.0 * lines.first().map_or(0.0, |line| line.worth));
            self.strikes.push((name, all));
            all
        };
        let [u, d, s] = strikes("short, rev-dominant", &settings.lines_of_all(&pattern(32.0, 0.8), &rev_dominant()));
        let [short_u, short_d, short_s] = strikes("short, usual", &flat[0]);
        let [wall_u, wall_d, wall_s] = strikes("walled 40 ft", &settings.lines_of_all(&pattern(40.0, 0.2), &usual));
        let [long_u, long_d, long_s] = strikes("flat 45 ft", &flat[5]);
        self.add("short, rev-dominant: urethane over dull", u - d, 1.0);
        self.add("short, rev-dominant: dull over shiny", d - s, 1.0);
        self.add("short, usual: urethane over the others", short_u - short_d.max(short_s), 1.0);
        self.add("walled 40 ft: shiny over the others", wall_s - wall_u.max(wall_d), 1.0);
        self.add("flat 45 ft: dull over the others", long_d - long_u.max(long_s), 1.0);
    }

    /// The rule of 31 \[S\], and breakpoints on short oil, boards: means over the lines as good as the best.
    fn exits(&mut self, flat: &[LinesOfAll; 6]) {
        for (k, name) in ["urethane", "dull", "shiny"].into_iter().enumerate() {
            let mean_of = |length: usize, of: fn(&Line) -> f64| mean_as_good(&flat[length][k], of);
            let off = |length: usize| (mean_of(length, exit_board) - (FLAT_FT[length] - 31.0)).abs();
            // A length without a line counts as missed.
            let farthest = |a: f64, b: f64| if a > b || a.is_nan() { a } else { b };
            let worst = (1..5).map(off).fold(0.0, farthest);
            self.add(format!("{name}: rule of 31 from 35 to 42 ft, worst"), -worst, -3.0);
            self.add(format!("{name}: rule of 31 at 45 ft"), -off(5), -3.0);
            if name != "shiny" {
                self.add(format!("{name}: breakpoint on 32 ft"), -mean_of(0, |line| line.breakpoint.board.0), -5.0);
            }
        }
    }

    /// What reads early and turns sharply; what a cover gone smooth does; nine to three.
    fn motion(&mut self, settings: &Settings) {
        let lane = pattern(40.0, 0.8);
        let path = |ball: &Ball| {
            let fineness = Fineness { step_s: 1e-3, track: TrackForm::Ring };
            let release = Release { laydown: Board(14.0), launch: Degrees(1.0), ..Release::default() };
            throw(&lane, ball, &release, &settings.law, fineness).expect("a possible release")
        };
        let paths = settings.balls.each_ref().map(path);
        let early = paths.each_ref().map(|path| 100.0 * turned(path, 0, 30) / turned(path, 0, 60));
        let half = paths.each_ref().map(half_turn_feet);
        let sharp = paths.each_ref().map(|path| sharpness(path, 40));
        for (k, pair) in ["urethane, dull", "dull, shiny"].into_iter().enumerate() {
            self.add(format!("{pair}: turn by 30 ft, points earlier"), early[k] - early[k + 1], 0.5);
            self.add(format!("{pair}: feet to half the turn"), half[k + 1] - half[k], 0.25);
            self.add(format!("{pair}: sharpness"), sharp[k + 1] - sharp[k], 0.05);
        }
        let of_grit = |grit| path(&ball(CoverKind::Reactive, Surface::sanded(grit), 2.50, 0.045));
        let (rough, smooth) = (of_grit(500.0), of_grit(3000.0));
        self.add("rough over smooth: turn by 30 ft, degrees", turned(&rough, 0, 30) - turned(&smooth, 0, 30), 0.05);
        self.add("smooth over rough: turn from 45 ft, degrees", turned(&smooth, 45, 60) - turned(&rough, 45, 60), 0.05);

        let flat = pattern(40.0, 0.85);
        let dull = &settings.balls[1];
        let gone = dull.resurfaced(Surface::polished());
        let entry =
            |ball: &Ball, line: &Line| entry_board(&flat, ball, &settings.law, &line.release).unwrap_or(f64::NAN);
        let lines = settings.lines(&flat, dull, &Release::default());
        let lighter = mean(lines.iter().map(|line| entry(dull, line) - entry(&gone, line)));
        self.add("gone shiny: boards lighter", lighter, 1.0);

        let short = pattern(32.0, 0.8);
        for (ball, name) in settings.balls.iter().zip(["urethane", "dull"]) {
            let miss = |arrows| miss_by_way_of_three(&short, ball, &settings.law, arrows).unwrap_or(f64::NAN);
            let (nine, twenty) = (miss(9.0), miss(20.0));
            self.add(format!("{name}: nine to three comes within, boards"), -nine, -4.5);
            self.add(format!("{name}: twenty to three misses by more"), twenty - nine, 3.0);
        }
    }

    /// What urethane leaves for reactive balls, and who carries oil down.
    fn transition(&mut self, settings: &Settings) {
        let fresh = pattern(32.0, 0.85);
        let [urethane, dull, shiny] = &settings.balls;
        let best = |lane, ball| settings.lines(lane, ball, &Release::default()).into_iter().next();
        let worn = best(&fresh, urethane).map(|line| after(18, &fresh, urethane, &settings.law, &line.release));
        for (ball, name) in [(dull, "dull"), (shiny, "shiny")] {
            let lines = worn.as_ref().and_then(|worn| Some((worn, best(&fresh, ball)?, best(worn, ball)?)));
            let (moved, found) = lines.map_or((f64::NAN, f64::NAN), |(worn, before, now)| {
                let place = |lane| best_parallel(lane, ball, &settings.law, &before.release);
                (place(worn) - place(&fresh), 100.0 * (now.pocket - before.pocket))
            });
            self.add(format!("{name} after urethane: boards in"), moved, 0.25);
            self.add(format!("{name} after urethane: points of pocket"), found, 0.7);
        }
        let line = Release { laydown: Board(14.0), launch: Degrees(1.2), ..Release::default() };
        let carried = |ball: &Ball| oil_beyond(&after(20, &fresh, ball, &settings.law, &line), Feet(33.0));
        let reactive = carried(dull);
        self.add("urethane's carrydown over reactive's", carried(urethane) / reactive, 1.2);
        self.add("plastic's carrydown over reactive's", carried(&plastic()) / reactive, 1.2);
    }
}

/// What the lines are searched with.
struct Settings {
    law: ContactLaw,
    balls: [Ball; 3],
    seed: u64,
}

impl Settings {
    fn lines_of_all(&self, lane: &Lane, release: &Release) -> LinesOfAll {
        self.balls.each_ref().map(|ball| self.lines(lane, ball, release))
    }

    fn lines(&self, lane: &Lane, ball: &Ball, release: &Release) -> Vec<Line> {
        lines(lane, ball, release, self.law, self.seed)
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (name, [urethane, dull, shiny]) in &self.strikes {
            writeln!(f, "{name:44} urethane {urethane:.1} dull {dull:.1} shiny {shiny:.1}")?;
        }
        for rule in &self.rules {
            let mark = if rule.is >= rule.least { "" } else { "  missed" };
            writeln!(f, "{:44} {:7.2}, at least {:.2}{mark}", rule.name, rule.is, rule.least)?;
        }
        Ok(())
    }
}
