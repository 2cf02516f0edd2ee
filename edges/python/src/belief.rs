//! The belief: what shots say about lane, covers and bowler, and what to do next.

use boardwise_belief::{self as believed, Feel, Noticed, Seen, Situation, advise};
use boardwise_files::search::Hit;
use boardwise_files::search::lane::Release;
use boardwise_files::units::{Board, Feet};
use pyo3::prelude::*;

use crate::kit::{Bag, Bowler, Lane};
use crate::refused;

/// A choice before the next shot, and what it is worth against staying.
#[pyclass(frozen, get_all, module = "boardwise")]
pub struct NextShot {
    /// Id of the ball.
    ball: String,
    /// The board to slide on.
    slide: f64,
    /// The board to look at, at the arrows.
    look: f64,
    /// Board of laydown that goes with it.
    laydown: f64,
    /// Speed meant.
    speed_mph: f64,
    /// Axis rotation meant.
    rotation_deg: f64,
    /// Chance of a strike, 0 to 1: mean over the worlds.
    strike: f64,
    /// Pins a game more than by staying: mean over the worlds.
    pins_gain: f64,
    /// Its standard deviation over the worlds.
    pins_gain_sd: f64,
    /// Share of the belief in which it is better than staying, 0 to 1.
    better: f64,
}

#[pymethods]
impl NextShot {
    fn __repr__(&self) -> String {
        format!(
            "NextShot(ball={:?}, slide={:.1}, look={:.1}, pins_gain={:+.1})",
            self.ball, self.slide, self.look, self.pins_gain
        )
    }
}

/// What is believed of a pair of lanes, a bag and a bowler. It starts from what the files say and all that they cannot.
#[pyclass(module = "boardwise")]
pub struct Belief {
    belief: believed::Belief,
    seen: Vec<Seen>,
}

/// The word among these that was given.
fn word<T: Copy>(name: &str, given: Option<&str>, words: &[(&str, T)]) -> PyResult<Option<T>> {
    let Some(given) = given else { return Ok(None) };
    let found = words.iter().find(|(word, _)| *word == given).map(|&(_, value)| value);
    let all: Vec<&str> = words.iter().map(|&(word, _)| word).collect();
    found.map(Some).ok_or_else(|| refused(format!("{name} = \"{given}\": must be one of {}", all.join(", "))))
}

impl Belief {
    fn place(&self, ball: &str) -> PyResult<usize> {
        let place = self.belief.balls().iter().position(|one| one.id == ball);
        place.ok_or_else(|| refused(format!("no ball \"{ball}\" in the bag of this belief")))
    }

    /// A shot of the bowler's own speed and hand, from a board, looking at another.
    fn meant(&self, lane: usize, laydown: f64, look: f64) -> PyResult<Release> {
        if lane > 1 {
            return Err(refused(format!("lane = {lane}: must be 0 or 1, a lane of the pair")));
        }
        let usual = self.belief.bowler().release;
        let release = Release { laydown: Board(laydown), ..usual }.aimed_at(Board(look), Feet(15.0));
        release.check().map_err(refused)?;
        Ok(release)
    }
}

#[pymethods]
impl Belief {
    /// A belief of two lanes before the first shot; with one lane given, both are like it.
    #[new]
    #[pyo3(signature = (lane, bag, bowler, *, right_lane=None, seed=1))]
    fn new(py: Python<'_>, lane: &Lane, bag: &Bag, bowler: &Bowler, right_lane: Option<&Lane>, seed: u64) -> Self {
        let right = right_lane.unwrap_or(lane);
        let hand = bowler.0.hand;
        let balls = bag.balls().iter().map(|ball| ball.body().clone()).collect();
        let belief = py.detach(|| {
            let lanes = [lane.seen_by(hand), right.seen_by(hand)];
            believed::Belief::new(lanes, bowler.0.clone(), balls, &Lane::unknowns(&[lane, right]), seed)
        });
        Self { belief, seen: Vec::new() }
    }

    /// Hears of a first ball: what was meant, and what stood after it ("none" for a strike, else as "4-9").
    #[pyo3(signature = (lane, ball, laydown, look, standing, *, hit=None, feel=None, arrows=None, breakpoint=None))]
    fn saw(
        &mut self,
        py: Python<'_>,
        lane: usize,
        ball: &str,
        laydown: f64,
        look: f64,
        standing: &str,
        hit: Option<&str>,
        feel: Option<&str>,
        arrows: Option<f64>,
        breakpoint: Option<f64>,
    ) -> PyResult<()> {
        const HITS: [(&str, Hit); 5] = [
            ("pocket", Hit::Pocket),
            ("high", Hit::High),
            ("light", Hit::Light),
            ("other side", Hit::OtherSide),
            ("gutter", Hit::Gutter),
        ];
        const FEELS: [(&str, Feel); 6] = [
            ("good", Feel::Good),
            ("fast", Feel::Fast),
            ("slow", Feel::Slow),
            ("in", Feel::In),
            ("out", Feel::Out),
            ("hand late", Feel::HandLate),
        ];
        let noticed = Noticed {
            hit: word("hit", hit, &HITS)?,
            feel: word("feel", feel, &FEELS)?,
            arrows: arrows.map(Board),
            breakpoint: breakpoint.map(Board),
        };
        let meant = self.meant(lane, laydown, look)?;
        let ball = self.place(ball)?;
        let seen = Seen { lane, ball, meant, standing: standing.parse().map_err(refused)?, noticed };
        let carry = boardwise_files::carry().map_err(refused)?;
        py.detach(|| self.belief.saw(&seen, carry)).map_err(refused)?;
        self.seen.push(seen);
        Ok(())
    }

    /// The board that a line comes in on, over the worlds: mean and standard deviation.
    fn comes_in(&self, py: Python<'_>, lane: usize, ball: &str, laydown: f64, look: f64) -> PyResult<(f64, f64)> {
        let (meant, ball) = (self.meant(lane, laydown, look)?, self.place(ball)?);
        let estimate = py.detach(|| self.belief.comes_in(lane, ball, &meant));
        Ok((estimate.mean, estimate.sd))
    }

    /// The chance of a strike of a line, over the worlds: mean and standard deviation, 0 to 1.
    fn strike(&self, py: Python<'_>, lane: usize, ball: &str, laydown: f64, look: f64) -> PyResult<(f64, f64)> {
        let (meant, ball) = (self.meant(lane, laydown, look)?, self.place(ball)?);
        let carry = boardwise_files::carry().map_err(refused)?;
        let estimate = py.detach(|| self.belief.strike(lane, ball, &meant, carry));
        Ok((estimate.mean, estimate.sd))
    }

    /// What to do next for somebody who means this line: the verdict ("stay", "change", "try" or "too close"), and the choices,
    /// best first.
    fn advise(
        &self,
        py: Python<'_>,
        lane: usize,
        ball: &str,
        laydown: f64,
        look: f64,
    ) -> PyResult<(&'static str, Vec<NextShot>)> {
        let (meant, ball) = (self.meant(lane, laydown, look)?, self.place(ball)?);
        let carry = boardwise_files::carry().map_err(refused)?;
        let advice = py.detach(|| {
            let at = Situation::new((lane, ball, meant), self.seen.clone()).with_lines(&self.belief, &[], carry);
            advise(&self.belief, &at, carry)
        });
        let verdict = match advice.verdict {
            believed::Verdict::Stay => "stay",
            believed::Verdict::Change => "change",
            believed::Verdict::Try => "try",
            believed::Verdict::TooClose => "too close",
        };
        let choices = advice.choices.iter().map(|one| NextShot {
            ball: self.belief.balls()[one.choice.ball].id.clone(),
            slide: one.choice.slide.0,
            look: one.choice.look.0,
            laydown: one.choice.release.laydown.0,
            speed_mph: one.choice.speed.0,
            rotation_deg: one.choice.rotation.0,
            strike: one.strike.mean,
            pins_gain: one.pins_gain.mean,
            pins_gain_sd: one.pins_gain.sd,
            better: one.better,
        });
        Ok((verdict, choices.collect()))
    }
}
