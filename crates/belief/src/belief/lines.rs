//! Lines over what is believed: what they come to, and the best of each ball.

use super::ensemble::{Belief, THROWS};
use super::estimate::{Estimate, good_throw};
use boardwise_lane::{Finish, Release};
use boardwise_pins::carry::Carry;
use boardwise_search::{Conditions, Line, Look, Payoff, Search, Site, Spread, Strikes, World, came_in};
use rayon::prelude::*;
use std::collections::BTreeSet;

/// Throws behind a line found, and the worlds they are spread over.
const LINE_THROWS: u32 = 384;
const LINE_WORLDS: usize = 24;

/// Places from which a likely line is looked for.
const LIKELY_PLACES: usize = 2;

/// Lines whose strikes differ by less than this share are level: 96 worlds hardly tell more.
const LEVEL_LINES: f64 = 0.01;

/// What a line comes to over the worlds.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// The chance of a strike.
    pub strike: Estimate,
    /// The board a good throw comes in on (the median over the bowler's shots).
    pub comes_in: Estimate,
    /// The same world by world.
    pub(crate) boards: Vec<f64>,
}

impl Belief {
    /// The best line for a ball on a lane over what is believed, near lines known, or anywhere if none is.
    pub fn line(&self, lane: usize, ball: usize, known: &[Release], carry: &Carry) -> Option<Line> {
        self.best(lane, ball, known, carry, |look, release| look.at(&release))
    }

    /// What to mean on the best line and its worth: of [`Belief::line`], without all else that is said of a line.
    pub fn line_meant(&self, lane: usize, ball: usize, known: &[Release], carry: &Carry) -> Option<(Release, f64)> {
        self.best(lane, ball, known, carry, |look, release| (release, look.worth(&release)))
    }

    /// What somebody whose shots are not ours to advise may mean with a ball: a good line, looked for with about half of the throws.
    pub fn likely_line(&self, lane: usize, ball: usize, carry: &Carry) -> Option<Release> {
        let (conditions, strikes) = (self.conditions(lane, ball, LINE_WORLDS), self.strikes(carry, ball));
        let look = self.look(&conditions, &strikes);
        let mut starts = look.glance();
        starts.truncate(LIKELY_PLACES);
        look.best_of(&look.far_ends(&starts))
    }

    /// What is said of the best line near lines known, or anywhere.
    fn best<T>(
        &self,
        lane: usize,
        ball: usize,
        known: &[Release],
        carry: &Carry,
        say: impl FnOnce(&Look<'_, Strikes<'_>>, Release) -> T,
    ) -> Option<T> {
        let (conditions, strikes) = (self.conditions(lane, ball, LINE_WORLDS), self.strikes(carry, ball));
        let look = self.look(&conditions, &strikes);
        // Near a line that has gone from the pocket there may be none that is in it.
        let near = look.glimpse(known).and_then(|start| look.near_end(start));
        let release = near.or_else(|| self.surest(lane, ball, &look.far_ends(&look.glance()), &strikes))?;
        Some(say(&look, release))
    }

    /// The best of these by all worlds, luck left out: lines far apart are told apart by more worlds than it takes to move one to its best. Of
    /// level ones the straightest (common practice, no source: open up the lane only for something).
    fn surest(&self, lane: usize, ball: usize, lines: &[Release], strikes: &Strikes<'_>) -> Option<Release> {
        let meant: Vec<(usize, Release)> = lines.iter().map(|line| (ball, *line)).collect();
        let worth = |_, finishes: &[Finish], world: &World| {
            let meant = finishes.iter().filter(|finish| strikes.is_meant(finish));
            meant.map(|finish| strikes.worth_in(finish, world.pins())).sum::<f64>()
        };
        let by_world = self.by_world(lane, &meant, worth);
        let mean = |worlds: &Vec<f64>| worlds.iter().sum::<f64>() / (worlds.len() * THROWS as usize).max(1) as f64;
        let worths: Vec<f64> = by_world.iter().map(mean).collect();
        let best = worths.iter().copied().fold(0.0, f64::max);
        let level = lines.iter().zip(worths).filter(|(_, worth)| *worth > best - LEVEL_LINES);
        level.min_by(|(a, _), (b, _)| a.launch.0.abs().total_cmp(&b.launch.0.abs())).map(|(line, _)| *line)
    }

    /// The ball that strikes most on its best line on each lane of the pair, over all worlds. Of level ones the one that reads earliest: it turns most
    /// smoothly (common practice, no source).
    pub fn ball_to_start(&self, best: &[Vec<(usize, Release)>; 2], carry: &Carry) -> Option<usize> {
        let mut strikes = vec![0.0; self.balls().len()];
        for (lane, lines) in best.iter().enumerate() {
            for (&(ball, _), forecast) in lines.iter().zip(self.forecasts(lane, lines, carry)) {
                strikes[ball] += 0.5 * forecast.strike.mean;
            }
        }
        let most = strikes.iter().copied().fold(0.0, f64::max);
        let level = (0..strikes.len()).filter(|&ball| strikes[ball] > most - LEVEL_LINES);
        level.reduce(|a, b| if self.balls()[b].reads_earlier_than(&self.balls()[a]) { b } else { a })
    }

    /// The best line of each of several balls, looked for side by side: near the line known of it, or anywhere if none is.
    pub fn lines(&self, lane: usize, wanted: &[(usize, Option<Release>)], carry: &Carry) -> Vec<Option<Line>> {
        wanted.par_iter().map(|(ball, known)| self.line(lane, *ball, known.as_slice(), carry)).collect()
    }

    /// What to mean with the balls that promise most near the line known of each, so many at most, the best first. Only those are looked for in
    /// earnest.
    pub fn promising(
        &self,
        lane: usize,
        known: &[(usize, Release)],
        most: usize,
        carry: &Carry,
    ) -> Vec<(usize, Release)> {
        let sites: Vec<Site<'_>> = known.iter().map(|(ball, _)| self.site(lane, *ball)).collect();
        let conditions = Conditions::on_one_lane(&sites, &self.sample(LINE_WORLDS), &self.law);
        let strikes: Vec<Strikes<'_>> = known.iter().map(|(ball, _)| self.strikes(carry, *ball)).collect();
        let glimpse = |((&(ball, line), conditions), strikes)| {
            let look = self.look(conditions, strikes);
            Some((ball, look.glimpse(&[line])?, look))
        };
        let mut starts: Vec<_> = known.par_iter().zip(&conditions).zip(&strikes).filter_map(glimpse).collect();
        starts.sort_by(|a, b| b.1.worth.total_cmp(&a.1.worth));
        starts.truncate(most);
        let climb = |(ball, start, look): (usize, _, Look<'_, _>)| {
            let release = look.near_end(start)?;
            Some((ball, release, look.worth(&release)))
        };
        let mut lines: Vec<(usize, Release, f64)> = starts.into_par_iter().filter_map(climb).collect();
        lines.sort_by(|a, b| b.2.total_cmp(&a.2));
        lines.into_iter().map(|(ball, release, _)| (ball, release)).collect()
    }

    /// Looks for lines of a ball in its conditions.
    fn look<'a>(&'a self, conditions: &'a Conditions, strikes: &'a Strikes<'a>) -> Look<'a, Strikes<'a>> {
        let search = Search { seed: self.seed, throws_a_line: LINE_THROWS, ..Search::default() };
        Look::new(conditions, self.bowler(), strikes, &search)
    }

    /// What several lines on a lane, each a ball and a release, come to now over the worlds: the lane of a world is worked out once for all of them,
    /// and cut once for each ball.
    pub fn forecasts(&self, lane: usize, lines: &[(usize, Release)], carry: &Carry) -> Vec<Forecast> {
        let strikes: Vec<Strikes<'_>> = (0..self.balls().len()).map(|ball| self.strikes(carry, ball)).collect();
        let value = |ball: usize, finishes: &[Finish], world: &World| {
            let worths = finishes.iter().map(|finish| strikes[ball].worth_in(finish, world.pins()));
            (worths.sum::<f64>() / finishes.len().max(1) as f64, good_throw(finishes))
        };
        let by_line = self.by_world(lane, lines, value).into_iter();
        by_line
            .map(|values| {
                let (strikes, boards): (Vec<f64>, Vec<f64>) = values.into_iter().unzip();
                Forecast { strike: Estimate::of(&strikes), comes_in: Estimate::of(&boards), boards }
            })
            .collect()
    }

    /// The chance of a strike for a line now, over the worlds.
    pub fn strike(&self, lane: usize, ball: usize, meant: &Release, carry: &Carry) -> Estimate {
        self.forecasts(lane, &[(ball, *meant)], carry).pop().map(|one| one.strike).unwrap_or_default()
    }

    /// The board a good throw of a line comes in on now (the median over the bowler's shots), over the worlds.
    pub fn comes_in(&self, lane: usize, ball: usize, meant: &Release) -> Estimate {
        let boards = self.by_world(lane, &[(ball, *meant)], |_, finishes, _| good_throw(finishes)).pop();
        Estimate::of(&boards.unwrap_or_default())
    }

    /// How far one shot strays about that, boards, by the mean world.
    pub(crate) fn stray(&self, lane: usize, ball: usize, meant: &Release) -> f64 {
        let world = self.mean_world();
        let releases = self.releases(&world, meant, &Spread::points(THROWS, self.seed));
        let finishes = self.runway(lane, ball, &world).throw_many(&releases);
        Estimate::of(&finishes.iter().map(came_in).collect::<Vec<_>>()).sd
    }

    /// What throws of several lines on a lane come to, line by line, world by world.
    fn by_world<T: Send>(
        &self,
        lane: usize,
        lines: &[(usize, Release)],
        value: impl Fn(usize, &[Finish], &World) -> T + Sync,
    ) -> Vec<Vec<T>> {
        let offs = Spread::points(THROWS, self.seed);
        let balls: BTreeSet<usize> = lines.iter().map(|(ball, _)| *ball).collect();
        let in_world = |world: &World| {
            let ground = self.lane(lane, world);
            let mut values: Vec<(usize, T)> = Vec::with_capacity(lines.len());
            for &ball in &balls {
                let runway = self.runway_of(&ground, lane, ball, world);
                let thrown: Vec<usize> = (0..lines.len()).filter(|&k| lines[k].0 == ball).collect();
                let releases: Vec<Release> =
                    thrown.iter().flat_map(|&k| self.releases(world, &lines[k].1, &offs)).collect();
                let finishes = runway.throw_many(&releases);
                values.extend(
                    thrown.iter().zip(finishes.chunks(offs.len())).map(|(&k, all)| (k, value(ball, all, world))),
                );
            }
            values.sort_by_key(|(k, _)| *k);
            values.into_iter().map(|(_, value)| value).collect()
        };
        let by_world: Vec<Vec<T>> = self.worlds.par_iter().map(in_world).collect();
        let mut by_line: Vec<Vec<T>> = lines.iter().map(|_| Vec::with_capacity(by_world.len())).collect();
        for values in by_world {
            for (line, value) in by_line.iter_mut().zip(values) {
                line.push(value);
            }
        }
        by_line
    }
}
