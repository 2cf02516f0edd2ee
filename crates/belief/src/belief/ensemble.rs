//! The guesses, and what they come to.

use super::evidence::{Seen, arrows_likelihood, with_surprise};
use super::foresight::Foreseen;
use super::guess::{Guess, Prior, SIZE};
use super::moving::move_by;
use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Finish, Lane, LaneError, Release, Runway, Side};
use boardwise_pins::carry::Carry;
use boardwise_search::Look;
use boardwise_search::Spread;
use boardwise_search::with_friction;
use boardwise_search::{Bowler, Line, Payoff, Pocket, Search, Strikes};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Feet, math};
use rayon::prelude::*;

/// How many guesses.
const GUESSES: usize = 96;
/// Throws of a guess behind the likelihood of a shot.
pub(super) const THROWS: u32 = 32;
/// Throws behind a line found.
const LINE_THROWS: u32 = 256;
/// Keeps the deviations of balls that wear the lanes apart from those behind likelihoods.
const STRAYS: u64 = 0x5eed;

/// A mean with its spread over the guesses.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Told {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

impl Told {
    /// Of these values.
    pub fn of(values: &[f64]) -> Self {
        let n = values.len().max(1) as f64;
        let mean = values.iter().sum::<f64>() / n;
        let square = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>();
        Self { mean, sd: math::sqrt(square / n) }
    }
}

/// The board a ball comes in on; beyond the edge for one that was lost in a gutter, the lane's edge.
pub(crate) fn came_in(finish: &Finish) -> f64 {
    match (finish.touch, finish.gutter) {
        (Some(touch), _) => touch.board().0,
        (None, Some((_, Side::Away))) => 39.5,
        (None, _) => 0.5,
    }
}

/// A throw as it may come of what was meant: the next of an even spread. One that strays beyond what is possible is thrown as meant.
fn strayed(spread: &Spread, meant: &Release, index: u32, seed: u64) -> Release {
    let release = spread.apply(meant, &Spread::point(index, seed ^ STRAYS));
    if release.check().is_ok() { release } else { *meant }
}

/// A ball of anybody that wears a lane.
#[derive(Clone, Copy, Debug)]
pub struct Thrown<'a> {
    /// Lane of the pair, 0 or 1.
    pub lane: usize,
    /// The ball.
    pub ball: &'a Ball,
    /// What was meant, seen from the hand that throws it.
    pub meant: Release,
    /// Whether that is not the bowler's hand: the ball wears the other side.
    pub other_hand: bool,
}

/// The belief about a pair of lanes and a bowler.
#[derive(Clone, Debug)]
pub struct Belief {
    bowler: Bowler,
    balls: Vec<Ball>,
    pocket: Pocket,
    law: ContactLaw,
    /// Both lanes from the hand's side, fresh and as worn if everything is as told.
    pub(super) fresh: [Lane; 2],
    pub(super) now: [Lane; 2],
    pub(super) guesses: Vec<Guess>,
    pub(super) seed: u64,
    pub(super) shots: u64,
    /// Balls that have worn the lanes, anybody's.
    pub(super) worn: u32,
    /// The next first ball, thrown ahead; it rests on all of the above.
    pub(super) foreseen: Option<Foreseen>,
}

impl Belief {
    /// Before any shot. The lanes are seen from the bowling-hand side.
    pub fn new(fresh: [Lane; 2], bowler: Bowler, balls: Vec<Ball>, prior: &Prior, seed: u64) -> Self {
        let guess = |k: usize| Guess::drawn(prior, &mut Stream::keyed(seed, "guesses", k as u64));
        Self {
            bowler,
            balls,
            pocket: Pocket::default(),
            law: ContactLaw::default(),
            now: fresh.clone(),
            fresh,
            guesses: (0..GUESSES).map(guess).collect(),
            seed,
            shots: 0,
            worn: 0,
            foreseen: None,
        }
    }

    /// A belief without doubt: these lanes as they are and a bowler who throws as told. For the best that could be done with everything known.
    pub fn certain(now: [Lane; 2], bowler: Bowler, balls: Vec<Ball>, law: ContactLaw, seed: u64) -> Self {
        Self {
            bowler,
            balls,
            pocket: Pocket::default(),
            law,
            fresh: now.clone(),
            now,
            guesses: vec![Guess::AS_TOLD],
            seed,
            shots: 0,
            worn: 0,
            foreseen: None,
        }
    }

    /// The guesses, all alike in weight.
    pub fn guesses(&self) -> &[Guess] {
        &self.guesses
    }

    /// The bowler it is about.
    pub fn bowler(&self) -> &Bowler {
        &self.bowler
    }

    /// The balls, by their place.
    pub fn balls(&self) -> &[Ball] {
        &self.balls
    }

    /// The mean of a quantity over the guesses, with its spread.
    pub fn told(&self, value: impl Fn(&Guess) -> f64) -> Told {
        Told::of(&self.guesses.iter().map(value).collect::<Vec<_>>())
    }

    /// The mean guess.
    pub fn mean_guess(&self) -> Guess {
        let mut numbers = [0.0; SIZE];
        for guess in &self.guesses {
            for (sum, number) in numbers.iter_mut().zip(guess.numbers) {
                *sum += number / self.guesses.len() as f64;
            }
        }
        Guess { numbers }
    }

    /// A lane as a guess has it now.
    pub fn lane(&self, lane: usize, guess: &Guess) -> Lane {
        guess.lane(lane, &self.fresh[lane], &self.now[lane])
    }

    /// A ball as it grips a lane by a guess.
    pub fn ball(&self, ball: usize, lane: usize, guess: &Guess) -> Ball {
        with_friction(&self.balls[ball], guess.friction(lane))
    }

    /// The lane by a guess, cut for a ball.
    pub fn runway(&self, lane: usize, ball: usize, guess: &Guess) -> Runway {
        self.runway_on(&self.lane(lane, guess), &self.ball(ball, lane, guess))
    }

    /// A lane as it is guessed, cut for a ball as it grips there.
    pub(crate) fn runway_on(&self, ground: &Lane, gripping: &Ball) -> Runway {
        Runway::new(ground, gripping, &self.law)
    }

    /// Releases a bowler makes today when meaning this, by a guess, at these deviations.
    pub(crate) fn releases(&self, guess: &Guess, meant: &Release, offs: &[[f64; 6]]) -> Vec<Release> {
        let (today, spread) = (guess.today(meant), guess.spread());
        offs.iter().map(|off| self.bowler.spread.apply(&today, &off.map(|z| z * spread))).collect()
    }

    /// Strikes of one of the balls.
    pub(crate) fn strikes<'a>(&self, carry: &'a Carry, ball: usize) -> Strikes<'a> {
        Strikes::new(carry, &self.balls[ball], self.bowler.hand, self.pocket)
    }

    /// Learns from a first ball, and wears the lane by it.
    ///
    /// # Errors
    /// If the release meant is not possible; the belief is then as it was.
    pub fn saw(&mut self, seen: &Seen, carry: &Carry) -> Result<(), LaneError> {
        seen.meant.check()?;
        let (offs, finishes) = (self.deviations(), self.finishes_of(seen.lane, seen.ball, &seen.meant));
        let strikes = self.strikes(carry, seen.ball);
        // By guess: where the throws come in and pass the arrows in the mean, and how likely they show what was seen.
        let looked: Vec<(f64, f64, f64)> = finishes
            .par_iter()
            .map(|finishes| {
                let n = finishes.len() as f64;
                let likely = finishes.iter().zip(&offs).map(|(finish, off)| seen.likelihood(&strikes, finish, off));
                let likely = likely.sum::<f64>() / n;
                (
                    finishes.iter().map(came_in).sum::<f64>() / n,
                    finishes.iter().map(|f| f.arrows.0).sum::<f64>() / n,
                    likely,
                )
            })
            .collect();
        let came_in: Vec<f64> = looked.iter().map(|one| one.0).collect();
        let likely: Vec<f64> = looked.iter().map(|one| one.2).collect();
        let typical = likely.iter().sum::<f64>() / likely.len() as f64;
        let likely: Vec<f64> = likely.iter().map(|one| with_surprise(*one, typical)).collect();
        let mut numbers: Vec<[f64; SIZE]> = self.guesses.iter().map(|guess| guess.numbers).collect();
        move_by(&mut numbers, &came_in, &likely);
        if let Some(arrows) = seen.arrows {
            let passed: Vec<f64> = looked.iter().map(|one| one.1).collect();
            let likely: Vec<f64> =
                passed.iter().map(|is| arrows_likelihood(arrows, *is, &self.bowler.spread)).collect();
            move_by(&mut numbers, &passed, &likely);
        }
        for (guess, numbers) in self.guesses.iter_mut().zip(numbers) {
            guess.numbers = numbers;
        }
        (self.shots, self.foreseen) = (self.shots + 1, None);
        let (ball, today) = (self.balls[seen.ball].clone(), self.mean_guess().today(&seen.meant));
        let release = strayed(&self.bowler.spread, &today, self.worn, self.seed);
        self.worn += 1;
        self.now[seen.lane].wear(&ball, &release, &self.law).map(|_| ())
    }

    /// Wears a lane by a ball of anybody, as meant and as seen from our hand. Nobody throws twice alike: what wears is a throw strayed as a good league
    /// bowler's do, another with every ball; without that the wear would lie in a groove deeper and narrower than any lane's.
    ///
    /// # Errors
    /// If the release is not possible.
    pub fn thrown(&mut self, lane: usize, ball: &Ball, meant: &Release) -> Result<(), LaneError> {
        self.thrown_all(&[Thrown { lane, ball, meant: *meant, other_hand: false }])
    }

    /// Wears the pair by balls of anybody, as [`Belief::thrown`], each on its lane, in their order on each. The two lanes are worn side by side.
    ///
    /// # Errors
    /// If a release is not possible; the belief is then as it was.
    pub fn thrown_all(&mut self, throws: &[Thrown<'_>]) -> Result<(), LaneError> {
        let (law, usual, first, seed) = (self.law, Spread::default(), self.worn, self.seed);
        let worn = |lane: usize, now: &Lane| {
            let mut now = now.clone();
            for (k, one) in throws.iter().enumerate().filter(|(_, one)| one.lane == lane) {
                one.meant.check()?;
                let release = strayed(&usual, &one.meant, first + k as u32, seed);
                if one.other_hand {
                    let mut seen = now.mirrored();
                    seen.wear(one.ball, &release, &law)?;
                    now = seen.mirrored();
                } else {
                    now.wear(one.ball, &release, &law)?;
                }
            }
            Ok(now)
        };
        let (left, right) = rayon::join(|| worn(0, &self.now[0]), || worn(1, &self.now[1]));
        self.now = [left?, right?];
        self.worn += throws.len() as u32;
        self.foreseen.take_if(|foreseen| throws.iter().any(|one| foreseen.is_on(one.lane)));
        Ok(())
    }

    /// So many of the guesses, spread over all.
    pub fn sample(&self, count: usize) -> Vec<Guess> {
        self.spread_over(count).into_iter().map(|place| self.guesses[place]).collect()
    }

    /// Their places.
    pub(crate) fn spread_over(&self, count: usize) -> Vec<usize> {
        let all = self.guesses.len();
        (0..count).map(|k| (2 * k + 1) * all / (2 * count) % all).collect()
    }

    /// The best line for a ball on a lane as the mean guess has it, near lines known, or anywhere if none is.
    pub fn line(&self, lane: usize, ball: usize, known: &[Release], carry: &Carry) -> Option<Line> {
        let (guess, strikes) = (self.mean_guess(), self.strikes(carry, ball));
        let look = self.look(&guess, &self.lane(lane, &guess), (lane, ball), &strikes);
        if known.is_empty() { look.anywhere() } else { look.near(known) }
    }

    /// The best line of each of several balls, looked for side by side: near the line known of it, or anywhere if none is.
    pub fn lines(&self, lane: usize, wanted: &[(usize, Option<Release>)], carry: &Carry) -> Vec<Option<Line>> {
        wanted.par_iter().map(|(ball, known)| self.line(lane, *ball, known.as_slice(), carry)).collect()
    }

    /// Lines of the balls that promise most near the line known of each, so many at most, the best first. Only those are looked for in earnest.
    pub fn promising(&self, lane: usize, known: &[(usize, Release)], most: usize, carry: &Carry) -> Vec<(usize, Line)> {
        let (guess, strikes) = (self.mean_guess(), known.iter().map(|(ball, _)| self.strikes(carry, *ball)));
        let (ground, strikes) = (self.lane(lane, &guess), strikes.collect::<Vec<_>>());
        let glimpse = |(&(ball, line), strikes)| {
            let look = self.look(&guess, &ground, (lane, ball), strikes);
            Some((ball, look.glimpse(&[line])?, look))
        };
        let mut starts: Vec<_> = known.par_iter().zip(&strikes).filter_map(glimpse).collect();
        starts.sort_by(|a, b| b.1.worth.total_cmp(&a.1.worth));
        starts.truncate(most);
        let climb = |(ball, start, look): (usize, _, Look<'_, _>)| Some((ball, look.climb(&[start])?));
        let mut lines: Vec<(usize, Line)> = starts.into_par_iter().filter_map(climb).collect();
        lines.sort_by(|a, b| b.1.worth.total_cmp(&a.1.worth));
        lines
    }

    /// Looks for lines of a ball on a lane as the mean guess has it.
    fn look<'a>(
        &self,
        guess: &Guess,
        ground: &Lane,
        (lane, ball): (usize, usize),
        strikes: &'a Strikes<'a>,
    ) -> Look<'a, Strikes<'a>> {
        let today = guess.today(&self.bowler.release);
        let bowler = Bowler { release: today, spread: self.bowler.spread, ..self.bowler.clone() };
        let search = Search { seed: self.seed, throws_a_line: LINE_THROWS, law: self.law, ..Search::default() };
        Look::new(ground, &self.ball(ball, lane, guess), &bowler, strikes, &search)
    }

    /// The chance of a strike for a line now, over the guesses.
    pub fn strike(&self, lane: usize, ball: usize, meant: &Release, carry: &Carry) -> Told {
        let strikes = self.strikes(carry, ball);
        Told::of(&self.of_each(lane, ball, meant, |finish| strikes.worth(finish)))
    }

    /// The board a line comes in on now, mean over the bowler's shots, over the guesses.
    pub fn comes_in(&self, lane: usize, ball: usize, meant: &Release) -> Told {
        Told::of(&self.boards(lane, ball, meant))
    }

    /// The board a line comes in on now, mean over the bowler's shots, guess by guess.
    pub(crate) fn boards(&self, lane: usize, ball: usize, meant: &Release) -> Vec<f64> {
        self.of_each(lane, ball, meant, came_in)
    }

    /// How far one shot strays about that, boards, by the mean guess.
    pub(crate) fn stray(&self, lane: usize, ball: usize, meant: &Release) -> f64 {
        let guess = self.mean_guess();
        let releases = self.releases(&guess, meant, &Spread::points(THROWS, self.seed));
        let finishes = self.runway(lane, ball, &guess).throw_many(&releases);
        Told::of(&finishes.iter().map(came_in).collect::<Vec<_>>()).sd
    }

    /// The belief left if only those guesses are kept whose value is; None if none is.
    pub(crate) fn part(&self, values: &[f64], keep: impl Fn(f64) -> bool) -> Option<Self> {
        let kept = self.guesses.iter().zip(values).filter(|(_, value)| keep(**value));
        let guesses: Vec<Guess> = kept.map(|(guess, _)| *guess).collect();
        (!guesses.is_empty()).then(|| Self { guesses, foreseen: None, ..self.clone() })
    }

    /// Mean over a guess's throws of a line, guess by guess.
    pub(crate) fn of_each(
        &self,
        lane: usize,
        ball: usize,
        meant: &Release,
        value: impl Fn(&Finish) -> f64 + Sync,
    ) -> Vec<f64> {
        let offs = Spread::points(THROWS, self.seed);
        self.guesses
            .par_iter()
            .map(|guess| {
                let finishes = self.runway(lane, ball, guess).throw_many(&self.releases(guess, meant, &offs));
                finishes.iter().map(&value).sum::<f64>() / f64::from(THROWS)
            })
            .collect()
    }

    /// Oil left at a place of what the pattern says, over the guesses: wear, and how the lane differs from what was told. None where
    /// friction is given or there was no oil.
    pub fn oil_left(&self, lane: usize, board: Board, feet: Feet) -> Option<Told> {
        let (x_m, y_m) = (board.to_metres(), feet.to_metres());
        let fresh = self.fresh[lane].film()?.thickness_m.at(x_m, y_m);
        let now = self.now[lane].film()?.thickness_m.at(x_m, y_m);
        (fresh > 1e-9).then(|| {
            self.told(|guess| math::pow((now / fresh).min(1.0), guess.wear(lane)) * guess.oil(lane, board.0, feet.0))
        })
    }
}
