//! A first ball's throw split from what was believed before it and from what the pins did after it.
//!
//! Means over the throws that it may have been: before it was seen; with the worlds weighed by what was seen of it; with the throws themselves
//! weighed by it. All weights are of one posterior, so that each step averages to nothing over what could have been seen, and luck, which comes
//! after all that was seen, has nothing to do with the steps before it.

use boardwise_units::math;

/// A throw that the shot may have been, and what it is worth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Worthy {
    /// Which world threw it; all worlds throw as often.
    pub world: usize,
    /// The score to expect after it, over what it leaves.
    pub worth: f64,
    /// How far that strays over what it leaves, squared.
    pub variance: f64,
}

/// The steps.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Split {
    /// How the worlds that the throw speaks for differ from all worlds.
    pub lanes: f64,
    /// How the throw, as it seemed, differs from throws by those worlds.
    pub execution: f64,
    /// The score to expect of the throw as it seemed: all of this together.
    pub seemed: f64,
    /// How far execution may be off, for not knowing quite which throw it was.
    pub execution_doubt: f64,
    /// The same of `seemed`, and so of the luck.
    pub luck_doubt: f64,
    /// How far each goes by chance.
    pub lanes_chance: f64,
    pub execution_chance: f64,
    pub luck_chance: f64,
}

impl Split {
    /// Of throws, each with the likelihood of what was seen; None if no throw could have been seen so.
    pub fn of(throws: &[Worthy], likelihood: &[f64]) -> Option<Self> {
        let whole: f64 = likelihood.iter().sum();
        if !whole.is_finite() || whole <= 0.0 {
            return None;
        }
        let n = throws.len() as f64;
        let weights: Vec<f64> = likelihood.iter().map(|one| one / whole).collect();
        let worlds = by_world(throws);
        let over = |weight: &dyn Fn(usize) -> f64, value: &dyn Fn(&Worthy) -> f64| -> f64 {
            throws.iter().enumerate().map(|(k, throw)| weight(k) * value(throw)).sum()
        };
        let (before, after) = (|_: usize| 1.0 / n, |k: usize| weights[k]);
        let (worth, of_guess) = (|t: &Worthy| t.worth, |t: &Worthy| worlds[t.world]);
        let (meant, seemed) = (over(&before, &worth), over(&after, &worth));
        let believed = over(&after, &of_guess);
        let stray = |t: &Worthy| t.worth - worlds[t.world];
        let scatter = over(&before, &|t| stray(t).powi(2));
        // Of few throws that could have been seen so, none may be quite the one.
        let few = scatter * weights.iter().map(|weight| weight * weight).sum::<f64>();
        let doubt = |value: &dyn Fn(&Worthy) -> f64| {
            let mean = over(&after, value);
            math::sqrt(over(&after, &|t| (value(t) - mean).powi(2)) + few)
        };
        Some(Self {
            lanes: believed - meant,
            execution: seemed - believed,
            seemed,
            execution_doubt: doubt(&stray),
            luck_doubt: doubt(&worth),
            lanes_chance: math::sqrt(over(&before, &|t| (worlds[t.world] - meant).powi(2))),
            execution_chance: math::sqrt(scatter),
            luck_chance: math::sqrt(over(&before, &|t| t.variance)),
        })
    }
}

/// The mean worth of each world's throws.
pub(super) fn by_world(throws: &[Worthy]) -> Vec<f64> {
    let count = throws.iter().map(|throw| throw.world + 1).max().unwrap_or_default();
    let mut sums = vec![(0.0, 0.0); count];
    for throw in throws {
        let (sum, many) = &mut sums[throw.world];
        *sum += throw.worth;
        *many += 1.0;
    }
    sums.into_iter().map(|(sum, many)| if many > 0.0 { sum / many } else { 0.0 }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_units::stream::Stream;

    /// Two worlds, two throws each; a throw is seen as one of two hits with chances of its own, and then strikes or not.
    struct Toy {
        strike: [f64; 4],
        called: [f64; 4],
        worth: (f64, f64),
    }

    impl Toy {
        fn throws(&self) -> Vec<Worthy> {
            let (made, missed) = self.worth;
            let of = |(k, strike): (usize, &f64)| Worthy {
                world: k / 2,
                worth: missed + strike * (made - missed),
                variance: strike * (1.0 - strike) * (made - missed).powi(2),
            };
            self.strike.iter().enumerate().map(of).collect()
        }

        /// Lanes, execution and luck, and the chance of it, over everything that can happen.
        fn everything(&self) -> Vec<(f64, [f64; 3])> {
            let throws = self.throws();
            let mut all = Vec::new();
            for high in [true, false] {
                let seen = self.called.map(|chance| if high { chance } else { 1.0 - chance });
                let split = Split::of(&throws, &seen).expect("it can be seen");
                for strikes in [true, false] {
                    let end = if strikes { self.worth.0 } else { self.worth.1 };
                    let chances = self.strike.iter().zip(seen);
                    let chance = chances.map(|(s, seen)| 0.25 * seen * if strikes { *s } else { 1.0 - s }).sum();
                    all.push((chance, [split.lanes, split.execution, end - split.seemed]));
                }
            }
            all
        }
    }

    const TOY: Toy = Toy { strike: [0.9, 0.4, 0.6, 0.1], called: [0.05, 0.5, 0.3, 0.8], worth: (200.0, 180.0) };

    #[test]
    fn law_each_step_averages_to_nothing_over_all_that_can_happen() {
        let mut draw = Stream::keyed(3, "toys", 0);
        let random = || Toy {
            strike: core::array::from_fn(|_| draw.uniform()),
            called: core::array::from_fn(|_| draw.uniform()),
            worth: (200.0 + 20.0 * draw.uniform(), 170.0),
        };
        for toy in core::iter::once(TOY).chain(core::iter::repeat_with(random).take(200)) {
            let all = toy.everything();
            assert!((all.iter().map(|one| one.0).sum::<f64>() - 1.0).abs() < 1e-12);
            for step in 0..3 {
                let mean: f64 = all.iter().map(|(chance, steps)| chance * steps[step]).sum();
                assert!(mean.abs() < 1e-11, "step {step}: {mean}");
            }
            // And luck has nothing to do with what was seen, so that the squares of both add up to that of the whole.
            let meant = toy.throws().iter().map(|t| t.worth).sum::<f64>() / 4.0;
            let of = |value: &dyn Fn(&[f64; 3]) -> f64| all.iter().map(|(c, steps)| c * value(steps)).sum::<f64>();
            let whole = of(&|steps| steps.iter().sum::<f64>().powi(2));
            let apart = of(&|[lanes, execution, luck]| (lanes + execution).powi(2) + luck * luck);
            assert!((whole - apart).abs() < 1e-9 * whole);
            let strike: f64 = toy.strike.iter().sum::<f64>() / 4.0;
            let square = strike * (toy.worth.0 - meant).powi(2) + (1.0 - strike) * (toy.worth.1 - meant).powi(2);
            assert!((whole - square).abs() < 1e-9 * whole);
        }
    }

    #[test]
    fn truth_the_steps_of_two_guesses_by_hand() {
        // Worths 198, 188; 192, 182. Called high: weights 1, 10, 6, 16 of 33. World means 193 and 187 [C by hand].
        let throws = TOY.throws();
        let split = Split::of(&throws, &TOY.called).expect("it can be seen");
        let seemed = (198.0 + 10.0 * 188.0 + 6.0 * 192.0 + 16.0 * 182.0) / 33.0;
        let believed = (11.0 * 193.0 + 22.0 * 187.0) / 33.0;
        assert!((split.seemed - seemed).abs() < 1e-9);
        assert!((split.lanes - (believed - 190.0)).abs() < 1e-9 && (split.lanes + 1.0).abs() < 1e-9);
        assert!((split.execution - (seemed - believed)).abs() < 1e-9);
        // Each throw lies 5 from the mean of its world, each world 3 from the mean of both.
        assert!((split.execution_chance - 5.0).abs() < 1e-9 && (split.lanes_chance - 3.0).abs() < 1e-9);
        assert!(Split::of(&throws, &[0.0; 4]).is_none(), "what cannot be seen says nothing");
    }

    #[test]
    fn law_luck_averages_to_nothing_in_simulation() {
        const SHOTS: u32 = 40_000;
        let throws = TOY.throws();
        let splits = [true, false].map(|high| {
            Split::of(&throws, &TOY.called.map(|chance| if high { chance } else { 1.0 - chance })).expect("seen")
        });
        let mut draw = Stream::keyed(7, "shots", 0);
        let (mut sum, mut square) = (0.0, 0.0);
        for _ in 0..SHOTS {
            let throw = (4.0 * draw.uniform()) as usize;
            let split = splits[usize::from(draw.uniform() >= TOY.called[throw])];
            let end = if draw.uniform() < TOY.strike[throw] { TOY.worth.0 } else { TOY.worth.1 };
            sum += end - split.seemed;
            square += (end - split.seemed).powi(2);
        }
        let n = f64::from(SHOTS);
        let error = (square / n / n).sqrt();
        // Three standard errors; each is about 0.05 pins.
        assert!(error < 0.06 && (sum / n).abs() < 3.0 * error, "{} ± {error}", sum / n);
    }
}
