//! The next shot, or the spare where something stands.

use boardwise_ball::{CoverKind, Surface};
use boardwise_belief::{
    Advice, Belief, Card, Change, Choice, Estimate, Facts, NextShot, Seen, Situation, Terms, Thrown, Verdict,
    advise_on, headline,
};
use boardwise_lane::{Lane, Release};
use boardwise_pins::carry::Carry;
use boardwise_score::{Deck, Leave, PinSet};

use super::belief_replay::{BeliefReplay, in_hand, others};
use super::block_state::BlockState;
use super::line_meant::{AsRelease, LineMeant};
use super::names::ball_name;
use super::question::Question;
use super::score_view::Upcoming;
use super::spare::SpareAnswer;
use crate::Failure;
use crate::view::{CardAnswer, ChoiceKind, ChoiceView, Form, MeanSd, NextSaid, SurfaceWork, VerdictWord};
use boardwise_files::SurfaceRule;
use boardwise_units::Micrometres;

/// What is said.
pub enum Answer {
    /// With the next ball at a full rack.
    FullRack(Box<FullRack>),
    /// About what stands.
    Spare(SpareAnswer),
}

/// What there is to choose from at a full rack.
pub struct FullRack {
    /// In a bowler's words.
    pub card: Card,
    /// What the reasons rest on.
    pub facts: Facts,
    /// Every choice.
    pub advice: Advice,
    /// Where the bowler stands.
    pub at: Situation,
    /// Names of the balls.
    pub balls: Vec<String>,
    /// Their ids in the bag.
    pub ids: Vec<String>,
    /// First balls the belief learned from.
    pub read: usize,
    /// First balls it could not read.
    pub unread: usize,
}

impl Question<'_> {
    /// The answer; `replay` gives the belief after all shots so far.
    ///
    /// # Errors
    /// If the block is complete, or nobody knows which pins stand.
    pub fn answer(&self, replay: impl FnOnce() -> Result<BeliefReplay, Failure>) -> Result<Answer, Failure> {
        let next = self.state.upcoming().ok_or(Failure::BlockComplete { pins: None, games: None })?;
        match next.deck {
            Deck::Pins(pins) if pins != PinSet::ALL && !next.is_first(&self.state.sheet) => {
                Ok(Answer::Spare(SpareAnswer::of(self, Leave::new(pins)?)?))
            }
            Deck::Count(count) if !next.is_first(&self.state.sheet) => Err(Failure::PinsNotKnown { count }),
            _ => Ok(Answer::FullRack(Box::new(self.full_rack(&replay()?, &next)?))),
        }
    }

    fn full_rack(&self, replay: &BeliefReplay, next: &Upcoming) -> Result<FullRack, Failure> {
        let carry = boardwise_files::carry()?;
        let BeliefReplay { belief, seen, unread, .. } = replay;
        let at = self.situation(belief, seen, carry);
        let surfaces = match belief.balls()[at.ball].cover.kind {
            CoverKind::Plastic => Vec::new(),
            CoverKind::Reactive | CoverKind::Urethane => surfaces(self.state.setting.event.surface_changes, next),
        };
        let end_of_game = self.end_of_game(belief, &at, next)?;
        let advice = advise_on(belief, &at, &Terms { surfaces, end_of_game, ..Terms::default() }, carry);
        let balls: Vec<String> = belief.balls().iter().map(|ball| ball_name(&ball.id)).collect();
        let ids = belief.balls().iter().map(|ball| ball.id.clone()).collect();
        let facts = Facts::new(belief, &at, &advice);
        let card = Card::from_facts(&facts, &advice, &balls.iter().map(String::as_str).collect::<Vec<_>>());
        Ok(FullRack { card, facts, advice, at, balls, ids, read: seen.len(), unread: *unread })
    }

    /// This lane as it will lie at our last first ball of the game on it; none where this ball is that, or nothing is counted yet.
    fn end_of_game(&self, belief: &Belief, at: &Situation, next: &Upcoming) -> Result<Option<Lane>, Failure> {
        if next.game == 0 {
            return Ok(None);
        }
        let others = others(&self.state.desk.begun.others, &self.state.setting);
        let throws: Vec<Thrown<'_>> = others.iter().filter_map(|other| other.on(at.lane)).collect();
        Ok(at.end_of_game(belief, next.frame, &throws)?)
    }

    /// Where the bowler stands: the line on this lane, the ball in hand, and the other balls near the lines they would take on a fresh lane.
    fn situation(&self, belief: &Belief, seen: &[Seen], carry: &Carry) -> Situation {
        let BlockState { desk, setting, lines, .. } = self.state;
        let own = &setting.seat.bowler.release;
        let ball = in_hand(self.state, belief);
        let release = lines.on(self.lane, None).release(own);
        let fresh = |other: usize| Some(desk.begun.forms[self.lane].get(other).copied().flatten()?.release(own));
        let others = (0..belief.balls().len()).filter(|&other| other != ball);
        let known: Vec<(usize, Release)> = others.filter_map(|other| Some((other, fresh(other)?))).collect();
        Situation::new((self.lane, ball, release), seen.to_vec()).with_lines(belief, &known, carry)
    }
}

/// The grits of the pads that are offered.
const SANDED_GRITS: [f64; 2] = [500.0, 1000.0];

/// Surfaces that the ball in hand may be given before this ball, by the event's rule. Nothing is offered where the
/// rule leaves it open only before the block.
fn surfaces(rule: SurfaceRule, next: &Upcoming) -> Vec<Surface> {
    let may = match rule {
        SurfaceRule::AnyTime => true,
        SurfaceRule::BetweenGames => next.frame <= 1 && next.ball <= 1,
        SurfaceRule::BeforePractice | SurfaceRule::UntilPracticeEnds => false,
    };
    if !may {
        return Vec::new();
    }
    SANDED_GRITS.map(Surface::sanded).into_iter().chain([Surface::polished()]).collect()
}

impl FullRack {
    fn names(&self) -> Vec<&str> {
        self.balls.iter().map(String::as_str).collect()
    }

    /// The second and third choice in words, with what each is worth: those the card does not say.
    pub fn rest(&self) -> impl Iterator<Item = (String, &NextShot)> {
        let balls = self.names();
        self.advice.further().map(move |one| (headline(one, &balls), one))
    }

    /// The card as a view.
    pub fn view(&self, question: &Question<'_>) -> CardAnswer {
        let balls = self.names();
        let begun = &question.state.desk.begun;
        CardAnswer {
            schema: Form,
            block: begun.block.to_string(),
            bowler: begun.bowler.to_string(),
            lane: question.number(),
            ball: self.ids[self.at.ball].clone(),
            line: LineMeant::of(&self.at.release).into(),
            say: self.card.say.clone(),
            detail: self.card.detail.clone(),
            caution: self.card.caution,
            reason: self.card.reason.clone(),
            worth: self.card.worth.clone(),
            comes_in_board: self.facts.comes_in.into(),
            verdict: self.advice.verdict.into(),
            choices: self.advice.choices.iter().map(|one| self.choice(one, &balls)).collect(),
            shots_read: self.read,
            shots_unread: self.unread,
        }
    }
}

impl FullRack {
    /// A choice as a view.
    fn choice(&self, one: &NextShot, balls: &[&str]) -> ChoiceView {
        let pct = |estimate: Estimate| MeanSd::pct((estimate.mean, estimate.sd));
        let Choice { ball, surface, slide, look, speed, rotation, release } = one.choice;
        let shown = self.advice.advised().into_iter().chain(self.advice.further());
        ChoiceView {
            kind: one.change.into(),
            on_card: (1..).zip(shown).find(|(_, shown)| shown.choice == one.choice).map(|(place, _)| place),
            say: headline(one, balls),
            ball: self.ids[ball].clone(),
            surface_ra_um: surface.map(|surface| Micrometres::from_metres(surface.ra_m).0),
            surface: surface.map(as_worked_on).map(SurfaceWork::from),
            slide_board: slide.0,
            look_board: look.0,
            speed_mph: speed.0,
            rotation_deg: rotation.0,
            line: LineMeant::of(&release).into(),
            caution: one.caution(),
            strike_pct: pct(one.strike),
            gain_pct: pct(one.gain),
            gain_pins: one.pins_gain.into(),
            gain_pins_at_least: one.pins_gain_at_least,
            better_pct: 100.0 * one.better,
            net_pins: one.net,
        }
    }
}

/// A surface of a choice as the record has it.
fn as_worked_on(surface: Surface) -> boardwise_record::Surface {
    if surface == Surface::polished() {
        return boardwise_record::Surface::Polished;
    }
    let sanded = SANDED_GRITS.into_iter().find(|&grit| surface == Surface::sanded(grit));
    sanded
        .map_or(boardwise_record::Surface::Ra(Micrometres::from_metres(surface.ra_m)), boardwise_record::Surface::Grit)
}

impl Answer {
    /// As a view.
    pub fn view(&self, question: &Question<'_>) -> NextSaid {
        match self {
            Self::FullRack(said) => NextSaid::Card(Box::new(said.view(question))),
            Self::Spare(said) => NextSaid::Spare(Box::new(said.view(question))),
        }
    }
}

impl From<Verdict> for VerdictWord {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Stay => Self::Stay,
            Verdict::Change => Self::Change,
            Verdict::Try => Self::Try,
            Verdict::TooClose => Self::TooClose,
        }
    }
}

impl From<Estimate> for MeanSd {
    fn from(estimate: Estimate) -> Self {
        Self { mean: estimate.mean, sd: estimate.sd }
    }
}

impl From<Change> for ChoiceKind {
    fn from(change: Change) -> Self {
        match change {
            Change::Stay => Self::Stay,
            Change::Move(_) => Self::Move,
            Change::OwnHand(_) => Self::UsualHand,
            Change::Ball => Self::Ball,
            Change::Surface(_) => Self::Surface,
            Change::Hand(..) => Self::Hand,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_surfaces_are_offered_only_where_the_event_lets_them_be_changed() {
        let at = |frame, ball| Upcoming { game: 1, frame, ball, lane: None, deck: Deck::FULL };
        let offered = |rule, frame, ball| !surfaces(rule, &at(frame, ball)).is_empty();
        assert!(offered(SurfaceRule::AnyTime, 4, 1) && offered(SurfaceRule::BetweenGames, 1, 1));
        assert!(!offered(SurfaceRule::BetweenGames, 2, 1) && !offered(SurfaceRule::BetweenGames, 10, 2));
        assert!(!offered(SurfaceRule::BeforePractice, 1, 1) && !offered(SurfaceRule::UntilPracticeEnds, 1, 1));
    }
}
