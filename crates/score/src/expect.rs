//! The exact distribution of the final score from any point of a game.

use crate::tally::{CurrentFrame, Owed, Rack, Traditional, add, two_fills};
use crate::{Baker, Error, Form, Game, Mark, Scores, Scoring, Skill};
use alloc::vec;
use alloc::vec::Vec;

/// How a bowler's games end: make it once from a [`Skill`], then ask about any game in either scoring.
///
/// Frames are independent of each other given the skill (and, with [`Form`], given the game). The distribution is exact,
/// by dynamic programming over frames and the bonuses owed.
///
/// ```
/// use boardwise_score::{Forecast, Game, Scoring, Skill};
/// let forecast = Forecast::new(&Skill::nine_or_ten(0.3, 0.5)?);
/// let fresh = forecast.of(&Game::new(Scoring::Traditional));
/// assert!((fresh.mean() - 166.370).abs() < 5e-4); // [C]
///
/// // Struck the first five: what are the chances of 250?
/// let game = Game::from_marks(Scoring::Traditional, "XXXXX")?;
/// let chance = forecast.of(&game).at_least(250);
/// assert!(chance > 0.0 && chance < 0.1);
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Forecast {
    /// Kinds of games; one unless form moves.
    kinds: Vec<Kind>,
    team: Baker,
}

/// One kind of game: how the bowlers strike in it and what follows.
#[derive(Clone, Debug)]
struct Kind {
    weight: f64,
    bowlers: Vec<(Rack<f64>, Skill)>,
    traditional: Traditional<f64>,
    current: CurrentFrame<f64>,
}

impl Kind {
    fn new(weight: f64, skills: impl IntoIterator<Item = Skill>, team: Baker) -> Self {
        let bowlers: Vec<_> = skills.into_iter().map(|skill| (skill.rack(), skill)).collect();
        let racks = core::array::from_fn(|i| &bowlers[team.up(i as u8 + 1)].0);
        let (traditional, current) = (Traditional::new(racks), CurrentFrame::new(racks));
        Self { weight, bowlers, traditional, current }
    }

    /// Adds the distribution of the final score, times `weight`, to `sum`.
    fn add_to(&self, sum: &mut [f64], weight: f64, game: &Game, team: Baker) {
        let next = game.next();
        let least = usize::from(game.minimum());
        if next.is_complete() {
            sum[least] += weight;
            return;
        }
        let frame = next.frame;
        let (rack, skill) = &self.bowlers[team.up(frame)];
        let standing = usize::from(next.deck.len());
        let traditional = game.scoring() == Scoring::Traditional;
        let owed = owed(game, frame);
        let (_, second) = owed.times();

        if next.first_at_rack {
            match next.ball {
                1 if traditional => add(sum, self.traditional.from(frame, owed), least, weight),
                1 => add(sum, self.current.from(frame), least, weight),
                // A fill ball counts twice if the ninth frame's strike still waits for it.
                2 => add(sum, &two_fills(rack, second), least, weight),
                _ => add(sum, &rack.single, least, weight),
            }
            return;
        }
        for (fall, chance) in skill.second_ball(next.deck).into_iter().enumerate().take(standing + 1) {
            let (weight, made) = (weight * chance, fall == standing);
            match (game.scoring(), next.ball) {
                (Scoring::CurrentFrame, _) => {
                    // A spare counts 10 and the first ball again, of which the first ball is counted already.
                    let points = if made { 10 } else { fall };
                    add(sum, self.current.from(frame + 1), least + points, weight);
                }
                (Scoring::Traditional, 2) if frame < 10 => {
                    let owed = if made { Owed::Spare } else { Owed::Nothing };
                    add(sum, self.traditional.from(frame + 1, owed), least + second * fall, weight);
                }
                (Scoring::Traditional, 2) if made => add(sum, &rack.single, least + second * fall, weight),
                (Scoring::Traditional, 2) => sum[least + second * fall] += weight,
                (Scoring::Traditional, _) => sum[least + fall] += weight,
            }
        }
    }
}

/// What is owed at the start of `frame`.
fn owed(game: &Game, frame: u8) -> Owed {
    let marks = game.marks();
    let mark = |back: u8| usize::from(frame).checked_sub(1 + usize::from(back)).and_then(|i| marks[i]);
    match (mark(2), mark(1)) {
        (Some(Mark::Strike), Some(Mark::Strike)) => Owed::Double,
        (_, Some(Mark::Strike)) => Owed::Strike,
        (_, Some(Mark::Spare)) => Owed::Spare,
        _ => Owed::Nothing,
    }
}

impl Forecast {
    /// The games of a bowler whose games are all alike.
    pub fn new(skill: &Skill) -> Self {
        Self::with_form(skill, Form::default())
    }

    /// The games of a bowler with good and bad games. Balls already thrown say which kind this game is, so that a run of
    /// strikes raises the chance of the next.
    pub fn with_form(skill: &Skill, form: Form) -> Self {
        let team = Baker::ALONE;
        let kind = |(weight, strike)| Kind::new(weight, [skill.striking(strike)], team);
        Self { kinds: form.games(skill.strike()).into_iter().map(kind).collect(), team }
    }

    /// The games of a team that shares them in turn.
    ///
    /// ```
    /// use boardwise_score::{Forecast, Game, Scoring, Skill};
    /// let (steady, wild) = (Skill::nine_or_ten(0.4, 0.9)?, Skill::nine_or_ten(0.6, 0.5)?);
    /// let new_game = Game::new(Scoring::Traditional);
    /// // The last in the line-up bowls the tenth frame with its fill balls: best the one who strikes.
    /// let striker_last = Forecast::baker(&[steady.clone(), wild.clone()])?.of(&new_game).mean();
    /// let striker_first = Forecast::baker(&[wild, steady])?.of(&new_game).mean();
    /// assert!(striker_last > striker_first);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::UnevenTeam`] unless the team has 1, 2, 5 or 10 members.
    pub fn baker(skills: &[Skill]) -> Result<Self, Error> {
        let team = Baker::new(skills.len())?;
        Ok(Self { kinds: vec![Kind::new(1.0, skills.iter().cloned(), team)], team })
    }

    /// The distribution of the game's final score.
    pub fn of(&self, game: &Game) -> Scores {
        let mut chances = vec![0.0; 301];
        for (kind, weight) in self.weighed(game) {
            kind.add_to(&mut chances, weight, game, self.team);
        }
        Scores::from_chances(chances)
    }

    /// The distribution of the total of a game and `more` new ones after it.
    ///
    /// ```
    /// use boardwise_score::{Forecast, Game, Scoring, Skill};
    /// let forecast = Forecast::new(&Skill::nine_or_ten(0.5, 0.8)?);
    /// let three = forecast.of_games(&Game::new(Scoring::Traditional), 2);
    /// assert!((three.mean() - 3.0 * 210.25).abs() < 1e-9);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub fn of_games(&self, game: &Game, more: usize) -> Scores {
        let fresh = self.of(&Game::new(game.scoring()));
        (0..more).fold(self.of(game), |total, _| total.plus(&fresh))
    }

    /// The chance that the next first ball in this game strikes. It differs from the skill's only if form moves, or
    /// between the members of a team; 0 when the game is complete.
    pub fn strike_chance(&self, game: &Game) -> f64 {
        let Some((frame, _)) = game.up_next() else { return 0.0 };
        self.weighed(game).map(|(kind, weight)| weight * kind.bowlers[self.team.up(frame)].1.strike()).sum()
    }

    /// The kinds of games with their weights given the first balls of this one.
    fn weighed(&self, game: &Game) -> impl Iterator<Item = (&Kind, f64)> {
        // A foul says nothing about carry.
        let firsts = || game.thrown().filter(|b| b.first_at_rack && b.roll != crate::Roll::Foul);
        let (struck, all) = (firsts().filter(crate::Thrown::is_strike).count(), firsts().count());
        let likely = move |kind: &Kind| {
            let strike = kind.bowlers[0].1.strike();
            let power = |chance: f64, times: usize| (0..times).fold(1.0, |product, _| product * chance);
            kind.weight * power(strike, struck) * power(1.0 - strike, all - struck)
        };
        let sum: f64 = self.kinds.iter().map(likely).sum();
        // A single kind needs no weighing. If what fell is nearly impossible for every kind, their weights stay as they were.
        let known = self.kinds.len() > 1 && sum > f64::MIN_POSITIVE;
        self.kinds.iter().map(move |kind| (kind, if known { likely(kind) / sum } else { kind.weight }))
    }
}
