//! Where pins were won and lost: the sheet replayed, each first ball with the belief from just before it.

use std::cell::RefCell;
use std::collections::HashMap;

use boardwise_belief::{Account, Belief, Delivery, GameAccount, Par, Played, Shot, Stray};
use boardwise_lane::Release;
use boardwise_pins::carry::Carry;
use boardwise_pins::spare::Second;
use boardwise_record::{Key, Sheet};
use boardwise_score::{Leave, LeaveKind};
use boardwise_search::{Conditions, Search, SpareGame};

use super::super::belief_replay::{AboutToThrow, BeliefReplay, first_balls};
use super::super::block_state::{BlockState, Practice};
use super::super::desk::{Desk, Setting};
use super::super::line_meant::{AsRelease, LineMeant};
use super::super::lines::Lines;
use super::super::surfaces::Surfaces;
use super::Story;
use super::finding::Finding;
use super::follow::Followed;
use super::practise::WhatToPractise;
use crate::Failure;
use crate::leaves::kind_word;
use crate::view::{
    AccountView, DrillView, FindingView, GameTerms, MeanSd, PractiseView, PractiseWait, SpareCount, StrayView,
    TermView, TermsView,
};

/// Seed of all that is random: the same block gets the same account.
const SEED: u64 = 1;
/// First balls on a lane from one look for better lines to the next: what is known in between is what was found last.
const LOOK_EVERY: usize = 4;
/// Balls looked at each time beside the one in hand: those that did best the last time.
const BEST_BALLS: usize = 2;

/// An account of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct Reckoned {
    /// The account.
    pub account: Account,
    /// The balls it names by their place.
    pub balls: Vec<String>,
}

/// What an account follows from: while this stays, so does the account. A block's beginning, with its event and bag, is a fact that never
/// changes; practice before the block may be put right after it.
#[derive(Clone, Debug, PartialEq)]
pub struct Replayed {
    /// The last fact before the block began: a record that took the place of another has another.
    since: Key,
    sheet: Sheet,
    lines: Lines,
    surfaces: Surfaces,
    practice: Option<Practice>,
}

impl Replayed {
    /// Of a block.
    pub fn of(state: &BlockState) -> Self {
        let BlockState { desk, sheet, lines, surfaces, practice, .. } = state;
        Self {
            since: desk.begun.since.clone(),
            sheet: sheet.clone(),
            lines: lines.clone(),
            surfaces: surfaces.clone(),
            practice: practice.clone(),
        }
    }
}

/// A first ball with what was known just before it.
struct Before {
    belief: Belief,
    lane: Option<usize>,
    ball: Option<usize>,
    meant: Option<Release>,
    noticed: boardwise_belief::Noticed,
    lines: Vec<(usize, Release)>,
}

/// The best lines found so far, by lane and ball, and first balls since anybody looked.
struct Known {
    best: [Vec<Option<Found>>; 2],
    since: [usize; 2],
}

/// A line with its worth when it was looked at last.
#[derive(Clone, Copy)]
struct Found {
    release: Release,
    worth: f64,
}

impl Known {
    /// The best lines on the fresh lanes, as they were found when the block began; none was looked at yet.
    fn fresh(desk: &Desk, own: &Release) -> Self {
        let found =
            |meant: &Option<LineMeant>| meant.map(|meant| Found { release: meant.release(own), worth: f64::INFINITY });
        let best = desk.begun.forms.each_ref().map(|lane| lane.iter().map(found).collect());
        Self { best, since: [LOOK_EVERY; 2] }
    }

    /// Those on a lane of the ball in hand and of those others that did best, looked for again near what was known where it is time to. A
    /// ball that was well behind at the last look is no better choice by now.
    fn on(&mut self, lane: usize, in_hand: Option<usize>, belief: &Belief, carry: &Carry) -> Vec<(usize, Release)> {
        if self.since[lane] >= LOOK_EVERY {
            self.since[lane] = 0;
            for ball in self.worth_a_look(lane, in_hand) {
                // A ball with no line on fresh lanes is not looked at: that would take a search of the whole lane.
                let Some(known) = self.best[lane][ball] else { continue };
                if let Some((release, worth)) = belief.line_meant(lane, ball, &[known.release], carry) {
                    self.best[lane][ball] = Some(Found { release, worth });
                }
            }
        }
        self.since[lane] += 1;
        let known = |ball: usize| Some((ball, self.best[lane][ball]?.release));
        self.worth_a_look(lane, in_hand).into_iter().filter_map(known).collect()
    }

    fn worth_a_look(&self, lane: usize, in_hand: Option<usize>) -> Vec<usize> {
        let worth = |ball: usize| self.best[lane][ball].map_or(0.0, |found| found.worth);
        let mut balls: Vec<usize> = (0..self.best[lane].len()).collect();
        balls.sort_by(|&a, &b| worth(b).total_cmp(&worth(a)));
        let never = balls.iter().take_while(|&&ball| worth(ball).is_infinite()).count();
        let mut looked: Vec<usize> = balls.into_iter().take(never.max(BEST_BALLS)).collect();
        looked.extend(in_hand.filter(|ball| *ball < self.best[lane].len() && !looked.contains(ball)));
        looked
    }
}

impl Reckoned {
    /// Replays the block. Some seconds of work.
    ///
    /// # Errors
    /// If a table built in cannot be read.
    pub fn of(state: &BlockState) -> Result<Self, Failure> {
        let carry = boardwise_files::carry()?;
        let BlockState { desk, setting, sheet, lines, .. } = state;
        let mut known = Known::fresh(desk, &setting.seat.bowler.release);
        let mut before = Vec::new();
        let mut par_lines = [Vec::new(), Vec::new()];
        BeliefReplay::watched(state, carry, SEED, &mut |throw: AboutToThrow<'_>| {
            if before.is_empty() {
                par_lines = [0, 1].map(|lane| known.on(lane, throw.ball, throw.belief, carry));
                known.since = [1; 2];
            }
            let AboutToThrow { belief, lane, ball, meant, noticed, .. } = throw;
            let lines = lane.map(|lane| known.on(lane, ball, belief, carry)).unwrap_or_default();
            before.push(Before { belief: belief.clone(), lane, ball, meant, noticed, lines });
            Ok(())
        })?;
        let Some(first) = before.first() else { return Ok(Self { account: Account::default(), balls: Vec::new() }) };
        // The line meant at first is among those known, so that each lane has one.
        let start = first_balls(sheet).next().map(|(_, one)| one.place);
        for (lane, known) in par_lines.iter_mut().enumerate() {
            let own = lines.on(lane, start).release(&setting.seat.bowler.release);
            known.push((first.ball.unwrap_or_default(), own));
        }
        let rates = Rates::of(setting, sheet)?;
        let second = |leave: Leave| rates.second(leave);
        let par = Par::of(&first.belief, &par_lines, &second, carry)?;
        let account = Account::of(&par, &played(desk, sheet, &before), &second, carry)?;
        Ok(Self { account, balls: first.belief.balls().iter().map(|ball| ball.id.clone()).collect() })
    }

    /// As a view.
    pub fn view(&self, story: &Story) -> AccountView {
        let account = &self.account;
        let numbers = story.event.as_ref().ok().map(|state| state.setting.numbers);
        let stray = |stray: &Stray| StrayView {
            lane: stray.lane.and_then(|lane| Some(numbers?[lane])),
            ball: stray.ball.and_then(|ball| self.balls.get(ball)).cloned(),
            shots: stray.shots,
            off_boards: stray.off_boards,
            off_se_boards: stray.off_error,
            sd_boards: stray.sd_boards,
            sd_low_boards: stray.sd_between.0,
            sd_high_boards: stray.sd_between.1,
            sd_told_boards: stray.sd_told,
        };
        let spares = account.spares.iter().map(|one| SpareCount {
            kind: kind_word(one.kind),
            tried: one.tried,
            made: one.made,
            expected: one.expected,
            pins: one.pins,
            chance: one.chance,
        });
        let practise = WhatToPractise::of(story, account);
        let finding = Finding::of(&account.whole, !story.is_complete());
        AccountView {
            finding: FindingView { headline: finding.headline, doubt: finding.doubt },
            whole: (&account.whole).into(),
            games: account.games.iter().map(GameTerms::from).collect(),
            spares: spares.collect(),
            strays: account.strays.iter().map(stray).collect(),
            spread: account.spread.map(MeanSd::from),
            practise: practise.advice.iter().map(|one| PractiseView { say: one.words(), pins: one.pins }).collect(),
            drills: Followed::of(story, account).iter().map(DrillView::from).collect(),
            practise_waits: practise.waits.iter().map(PractiseWait::from).collect(),
        }
    }
}

impl From<&GameAccount> for GameTerms {
    fn from(told: &GameAccount) -> Self {
        let (pins, doubts, chance) = (&told.terms, &told.doubts, &told.chance);
        macro_rules! term {
            ($name:ident) => {
                TermView { pins: pins.$name, doubt: doubts.$name, chance: chance.$name }
            };
        }
        let terms = TermsView {
            lanes: term!(lanes),
            ball: term!(ball),
            line: term!(line),
            execution: term!(execution),
            luck: term!(luck),
            spares: term!(spares),
            untold: term!(untold),
        };
        Self { par: told.par, expected_score: told.score, terms }
    }
}

/// The games with what was known before each first ball.
fn played<'a>(desk: &Desk, sheet: &Sheet, before: &'a [Before]) -> Vec<Played<'a>> {
    let mut before = before.iter();
    let mut games: Vec<Played<'a>> =
        sheet.games.iter().map(|game| Played { scoring: game.scoring(), deliveries: Vec::new() }).collect();
    for one in &sheet.deliveries {
        let known = if one.thrown.is_none_or(|thrown| thrown.first_at_rack) { before.next() } else { None };
        let shot = known.and_then(|known| {
            let (_, ball, meant) = (known.lane?, known.ball?, known.meant?);
            Some(Shot { belief: &known.belief, ball, meant, lines: known.lines.clone(), noticed: known.noticed })
        });
        let lane = one.lane.as_ref().and_then(|lane| desk.begun.on_pair(lane));
        if let Some(game) = usize::from(one.game).checked_sub(1).and_then(|game| games.get_mut(game)) {
            game.deliveries.push(Delivery { roll: one.shot.roll, lane, shot });
        }
    }
    games
}

/// How often this bowler makes what is left: closely for what was left in this block and for single pins, by a glance for the rest.
struct Rates<'a> {
    game: SpareGame<'a>,
    left: Vec<Leave>,
    known: RefCell<HashMap<Leave, Second>>,
}

impl<'a> Rates<'a> {
    fn of(setting: &'a Setting, sheet: &Sheet) -> Result<Self, Failure> {
        let seat = &setting.seat;
        let ball = seat.spare_ball.as_ref().unwrap_or(&seat.balls[0]);
        let search = Search { seed: SEED, ..Search::default() };
        // A ball for spares hardly feels the oil, still less what was worn off: one lane stands for both.
        let conditions = Conditions::fresh(&setting.fresh[0], ball, &setting.unknowns, SEED);
        let game = SpareGame::new(boardwise_files::spares()?, conditions, ball, &seat.bowler, &search);
        let left = sheet.deliveries.iter().filter_map(|one| one.thrown?.leave()).collect();
        Ok(Self { game, left, known: RefCell::default() })
    }

    fn second(&self, leave: Leave) -> Second {
        if let Some(known) = self.known.borrow().get(&leave) {
            return *known;
        }
        let closely = leave.kind() == LeaveKind::Single || self.left.contains(&leave);
        let second = if closely { self.game.second(leave) } else { self.game.glance(leave) };
        self.known.borrow_mut().insert(leave, second);
        second
    }
}
