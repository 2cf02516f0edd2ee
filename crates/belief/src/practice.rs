//! Practice on a pair: which throws teach most about it, and what each outcome would mean.
//!
//! A throw teaches where the worlds disagree about where it comes in, by more than the bowler's own spread blurs. Throws are chosen one after
//! another, each given what those before it would already tell, by the information of the linear
//! case, ½ ln(1 + C/Γ). Where several teach as much, as far as the worlds can tell, the one that was made least often is chosen: what
//! the worlds leave out shows only where something else is thrown.

use crate::belief::{Belief, Estimate, information_nats};
use boardwise_lane::Release;
use boardwise_pins::carry::Carry;
use boardwise_search::Move;
use boardwise_search::aim;
use boardwise_search::{Progress, Stopped};
use boardwise_units::Board;

/// A throw to make in practice.
#[derive(Clone, Debug, PartialEq)]
pub struct PracticeShot {
    /// Lane of the pair.
    pub lane: usize,
    /// Ball, by its place.
    pub ball: usize,
    /// What to mean.
    pub release: Release,
    /// The board it comes in on, over the worlds as they are before practice.
    pub comes_in: Estimate,
    /// What it teaches beyond those before it, nats.
    pub nats: f64,
    /// The move it asks for if it comes in higher than that, from the line it was thrown on; None where no line is found.
    pub if_high: Option<Move>,
    /// And if it comes in lighter.
    pub if_light: Option<Move>,
}

impl PracticeShot {
    /// The board it is pointed at at the arrows.
    pub fn aim(&self) -> Board {
        aim(&self.release)
    }
}

/// What teaches this share of the most counts as teaching as much: a variance over 96 worlds has a standard error of 15%, and a difference
/// between the variances of two throws that mostly agree (correlation 0.9) still one of 9%.
const LEVEL: f64 = 0.9;

/// Chooses `shots` throws on the pair from each lane's lines (ball and release) and parallel moves of them. The first line of each
/// lane comes first: what somebody means to bowl is thrown before anything else (common practice, no source). The others follow in
/// the order that teaches most first.
///
/// The bowler's spread blurs what one throw shows: its variance is Γ.
///
/// # Errors
/// If `progress` is cancelled.
pub fn plan_practice(
    belief: &Belief,
    lines: &[Vec<(usize, Release)>; 2],
    shots: usize,
    carry: &Carry,
    progress: &Progress,
) -> Result<Vec<PracticeShot>, Stopped> {
    const PARALLEL: [f64; 3] = [-3.0, 0.0, 3.0];
    let open: Vec<(usize, usize, Release)> = (0..2)
        .flat_map(|lane| {
            lines[lane].iter().flat_map(move |(ball, line)| {
                PARALLEL.map(|feet| (lane, *ball, Move { feet_boards: feet, eyes_boards: 0.7 * feet }.of(line)))
            })
        })
        .collect();
    // Where each comes in, world by world, and how much one throw strays about that.
    let pieces = (open.len() + shots).max(1) as f64;
    let mut predicted: Vec<Vec<f64>> = Vec::with_capacity(open.len());
    for here in 0..2 {
        progress.report(predicted.len() as f64, pieces)?;
        let on_lane = open.iter().filter(|(lane, ..)| *lane == here).map(|&(_, ball, line)| (ball, line));
        let forecasts = belief.forecasts(here, &on_lane.collect::<Vec<_>>(), carry);
        predicted.extend(forecasts.into_iter().map(|one| one.boards));
    }
    let strays: Vec<f64> = open.iter().map(|(lane, ball, line)| belief.stray(*lane, *ball, line).powi(2)).collect();
    let mut covariance = covariances(&predicted);
    let mut plan = Vec::new();
    // What each would mean, once it has been worked out: the same for every time it is thrown.
    let mut meant: Vec<Option<(Option<Move>, Option<Move>)>> = vec![None; open.len()];
    // The line that each lane is to be bowled on: the middle one of the first three of its lane.
    let first_on = |lane: usize| open.iter().position(|(on, ..)| *on == lane);
    let mut own: Vec<usize> = (0..2).filter_map(first_on).map(|first| first + PARALLEL.len() / 2).collect();
    // How often each was thrown, on its lane and on either.
    let mut thrown = vec![0_u32; open.len()];
    let same = |a: usize, b: usize| open[a].1 == open[b].1 && open[a].2 == open[b].2;
    for shot in 0..shots {
        progress.report((open.len() + shot) as f64, pieces)?;
        let nats = |k: usize| information_nats(covariance[k][k], strays[k]);
        let most = (0..open.len()).map(nats).fold(0.0, f64::max);
        let on_pair = |k: usize| (0..open.len()).filter(|&one| same(one, k)).map(|one| thrown[one]).sum::<u32>();
        let level = (0..open.len()).filter(|&k| nats(k) >= LEVEL * most);
        let teaches_most = || {
            level.min_by(|&a, &b| {
                (thrown[a], on_pair(a)).cmp(&(thrown[b], on_pair(b))).then(nats(b).total_cmp(&nats(a)))
            })
        };
        let first = (0..own.len()).max_by(|&a, &b| nats(own[a]).total_cmp(&nats(own[b])).then(b.cmp(&a)));
        let Some(best) = first.map(|place| own.remove(place)).or_else(teaches_most) else { break };
        thrown[best] += 1;
        let (lane, ball, release) = open[best];
        let (if_high, if_light) =
            *meant[best].get_or_insert_with(|| meanings(belief, lane, ball, &release, &predicted[best], carry));
        plan.push(PracticeShot {
            lane,
            ball,
            release,
            comes_in: Estimate::of(&predicted[best]),
            nats: nats(best),
            if_high,
            if_light,
        });
        // What is left to learn once this one has been seen.
        seen(&mut covariance, best, strays[best].max(1e-6));
    }
    Ok(plan)
}

/// How the boards of each two throws vary together over the worlds: a row for each throw.
fn covariances(predicted: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let off_mean = |boards: &Vec<f64>| {
        let mean = boards.iter().sum::<f64>() / boards.len().max(1) as f64;
        boards.iter().map(|board| board - mean).collect::<Vec<f64>>()
    };
    let off: Vec<Vec<f64>> = predicted.iter().map(off_mean).collect();
    let together =
        |a: &Vec<f64>, b: &Vec<f64>| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>() / a.len().max(1) as f64;
    off.iter().map(|a| off.iter().map(|b| together(a, b)).collect()).collect()
}

/// What still varies once the throw `shown` was seen with this variance of its own: C − c cᵀ / (c_shown + variance), where c is
/// the column of the throw (conditioning of a Gaussian).
fn seen(covariance: &mut [Vec<f64>], shown: usize, variance: f64) {
    let column: Vec<f64> = covariance.iter().map(|row| row[shown]).collect();
    let total = column[shown] + variance;
    for (row, of_row) in covariance.iter_mut().zip(&column) {
        for (cell, of_cell) in row.iter_mut().zip(&column) {
            *cell -= of_row * of_cell / total;
        }
    }
}

/// The moves that the worlds ask for in which the throw comes in higher, and lighter.
fn meanings(
    belief: &Belief,
    lane: usize,
    ball: usize,
    release: &Release,
    boards: &[f64],
    carry: &Carry,
) -> (Option<Move>, Option<Move>) {
    let mean = boards.iter().sum::<f64>() / boards.len().max(1) as f64;
    let asked = |high: bool| {
        let part = belief.part(boards, |board| (board > mean) == high)?;
        let (line, _) = part.line_meant(lane, ball, &[*release], carry)?;
        Some(Move::between(release, &line))
    };
    (asked(true), asked(false))
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_ball::{Ball, BallSpec, CoverKind};
    use boardwise_lane::{Coating, Direction, Film, Lane, Stroke};
    use boardwise_search::{Bowler, Range, Spread, USUAL_SLIDE_OFFSET_BOARDS, Unknowns};
    use boardwise_units::{Degrees, Hand, Microlitres, Mph};

    fn belief() -> Belief {
        let stroke =
            Stroke { boards: (2.0, 38.0), feet: (0.0, 40.0), oil: Microlitres(22_000.0), direction: Direction::Out };
        let lane = Lane::new(Coating::Oil(Film::from_strokes(&[stroke], 2.0).unwrap()));
        let bowler = Bowler {
            name: "any".into(),
            hand: Hand::Right,
            release: Release::default(),
            spread: Spread::default(),
            range: Range { speed: (Mph(18.0), Mph(18.0)), rotation: (Degrees(45.0), Degrees(45.0)) },
            slide_offset_boards: USUAL_SLIDE_OFFSET_BOARDS,
            spare_release: None,
        };
        let ball = Ball::new(BallSpec::new("any", CoverKind::Reactive)).unwrap().0;
        Belief::new([lane.clone(), lane], bowler, vec![ball], &Unknowns::default(), 3)
    }

    /// Conditioning of a Gaussian (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, eq. A.6) \[M\].
    #[test]
    fn law_what_is_left_to_learn_does_not_depend_on_the_order_of_the_throws() {
        let boards = [vec![17.0, 18.5, 16.0, 19.5], vec![16.0, 18.0, 17.5, 18.5], vec![20.0, 15.0, 18.0, 17.0]];
        let before = covariances(&boards);
        // By hand: the first throw strays by -0.75, 0.75, -1.75 and 1.75 boards from its mean, the second by -1.5, 0.5, 0 and 1.
        assert_eq!((before[0][0], before[0][1], before[1][0], before[1][1]), (1.8125, 0.8125, 0.8125, 0.875));
        let after = |order: [(usize, f64); 2]| {
            let mut left = before.clone();
            for (shown, variance) in order {
                seen(&mut left, shown, variance);
            }
            left
        };
        let (one, other) = (after([(0, 0.4), (2, 1.1)]), after([(2, 1.1), (0, 0.4)]));
        for (a, b) in one.iter().flatten().zip(other.iter().flatten()) {
            assert!((a - b).abs() < 1e-12, "{one:?} {other:?}");
        }
        // One throw seen with variance v leaves c v / (c + v) of its own.
        let mut left = before.clone();
        seen(&mut left, 0, 0.4);
        assert!((left[0][0] - 1.8125 * 0.4 / 2.2125).abs() < 1e-12, "{left:?}");
        assert!((left[1][1] - (0.875 - 0.8125 * 0.8125 / 2.2125)).abs() < 1e-12, "{left:?}");
    }

    #[test]
    fn law_each_throw_teaches_no_more_than_the_one_before_but_for_what_counts_as_level() {
        let carry = Carry::parse(include_bytes!("../../files/data/carry/carry.bin")).unwrap();
        let line = Release { laydown: Board(18.0), launch: Degrees(1.5), ..Release::default() };
        let plan =
            plan_practice(&belief(), &[vec![(0, line)], vec![(0, line)]], 6, &carry, &Progress::default()).unwrap();
        assert_eq!(plan.len(), 6);
        // Both lanes begin with the line that is to be bowled on them.
        assert!(plan[..2].iter().all(|shot| Move::between(&shot.release, &line).feet_boards.abs() < 1e-9), "{plan:?}");
        assert_ne!(plan[0].lane, plan[1].lane);
        assert!(plan[0].nats > 0.05 && plan[2..].is_sorted_by(|a, b| a.nats >= LEVEL * b.nats - 1e-12), "{plan:?}");
        // What comes in higher than thought asks for a line that comes in lower on the lane as thought, what comes in lighter for a higher one.
        let (first, belief) = (&plan[0], belief());
        let there =
            |moved: Option<Move>| belief.comes_in(first.lane, first.ball, &moved.unwrap().of(&first.release)).mean;
        let (high, light) = (there(first.if_high), there(first.if_light));
        assert!(high < light - 0.5, "{high} {light}");
    }
}
