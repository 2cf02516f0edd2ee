//! The belief after the shots logged, built again from the first shot on.

use boardwise_belief::{Belief, Checkpoint, Feel, Figure, Film, Noticed, Seen, Thrown};
use boardwise_lane::Release;
use boardwise_pins::carry::Carry;
use boardwise_record::{Delivery, Felt, Measured, Sheet};
use boardwise_score::Roll;
use boardwise_search::Hit;

use super::block_state::BlockState;
use super::desk::Setting;
use super::line_meant::{AsRelease, LineMeant};
use super::lines::Lines;
use super::surfaces::as_ball_has_it;
use crate::view::NarrowedView;
use crate::{Failure, event};

/// The belief with what it rests on.
#[derive(Clone)]
pub struct BeliefReplay {
    /// The belief.
    pub belief: Belief,
    /// First balls it learned from, oldest first.
    pub seen: Vec<Seen>,
    /// First balls it could not learn from: fouls, pins that were only counted, a ball or lane that is not known.
    pub unread: usize,
    /// How the block opened, and the first balls since, in order. The belief follows from these alone.
    opening: Opening,
    learned: Vec<Ball>,
}

/// What was thrown before the first ball that counts.
#[derive(Clone, Debug, PartialEq)]
struct Opening {
    /// The ball, by its place in the bag.
    ball: Option<usize>,
    /// The line on each lane.
    meant: [Release; 2],
    /// First balls of the practice that was logged.
    practised: Vec<Ball>,
}

/// A first ball, as the belief learns from it.
#[derive(Clone, Debug, PartialEq)]
struct Ball {
    shot: boardwise_record::Shot,
    /// Its ball in the hand.
    with: Option<boardwise_record::BallId>,
    /// Which lane of the pair, if it is known.
    lane: Option<usize>,
    meant: Option<Release>,
    /// The surface that its ball was given in the block; none where it was as the bag has it.
    surface: Option<boardwise_record::Surface>,
    /// Whether the others throw after it.
    ends_turn: bool,
}

/// A first ball that is about to be thrown, with what was thought of the lanes just then.
pub struct AboutToThrow<'a> {
    /// The belief.
    pub belief: &'a Belief,
    /// Which lane of the pair, if it is known.
    pub lane: Option<usize>,
    /// The ball, by its place among those of the belief, if it is one of them.
    pub ball: Option<usize>,
    /// What is meant, where the lane is known.
    pub meant: Option<Release>,
    /// What was to be seen of it.
    pub noticed: Noticed,
}

/// Called before every first ball.
type BeforeEach<'a> = &'a mut dyn FnMut(AboutToThrow<'_>) -> Result<(), Failure>;

/// What others throw at the lanes while we bowl.
pub(crate) struct Other {
    ball: boardwise_ball::Ball,
    /// By lane, seen from their hand.
    lines: [Option<Release>; 2],
    mirrored: bool,
}

impl BeliefReplay {
    /// From all shots so far.
    ///
    /// # Errors
    /// If a shot cannot be thrown: a fault of the program.
    pub fn of(state: &BlockState, carry: &Carry, seed: u64) -> Result<Self, Failure> {
        Self::watched(state, carry, seed, &mut |_| Ok(()))
    }

    /// From all shots so far, calling `watch` before each first ball is thrown.
    ///
    /// # Errors
    /// As [`BeliefReplay::of`]; what `watch` fails with.
    pub fn watched(state: &BlockState, carry: &Carry, seed: u64, watch: BeforeEach<'_>) -> Result<Self, Failure> {
        let mut all = Self::begun(state, seed);
        all.before(state, carry)?;
        all.go_on(state, carry, watch)?;
        Ok(all)
    }

    /// Before anything was thrown.
    fn begun(state: &BlockState, seed: u64) -> Self {
        let Setting { seat, fresh, unknowns, .. } = &state.setting;
        let belief = Belief::new(fresh.clone(), seat.bowler.clone(), seat.balls.clone(), unknowns, seed);
        let opening = Opening::of(state);
        Self { belief, seen: Vec::new(), unread: 0, opening, learned: Vec::new() }
    }

    /// As it was when a checkpoint was taken of it; none where that does not lead to what the sheet says.
    pub fn resumed(state: &BlockState, seed: u64, known: &[String], checkpoint: &Checkpoint) -> Option<Self> {
        let mut all = Self::begun(state, seed);
        all.learned = first_of(state);
        if known.is_empty() || !all.words().starts_with(known) {
            return None;
        }
        all.learned.truncate(known.len() - 1);
        all.belief = all.belief.resumed(checkpoint).ok()?;
        all.as_balls_are_now(state);
        for ball in all.opening.practised.iter().chain(&all.learned) {
            match ball.seen(state) {
                Some(seen) => all.seen.push(seen),
                None => all.unread += 1,
            }
        }
        Some(all)
    }

    /// What it learned from, in words that are the same only if that is.
    pub fn words(&self) -> Vec<String> {
        let balls = self.learned.iter().map(|ball| format!("{ball:?}"));
        std::iter::once(format!("{:?}", self.opening)).chain(balls).collect()
    }

    /// Whether this belief comes about on the way to what the sheet says.
    pub fn leads_to(&self, state: &BlockState) -> bool {
        self.opening == Opening::of(state) && first_of(state).starts_with(&self.learned)
    }

    /// Learns what the sheet says beyond what it learned already, which must lead to it; gives whether there was anything.
    ///
    /// # Errors
    /// As [`BeliefReplay::of`].
    pub fn learn(&mut self, state: &BlockState, carry: &Carry) -> Result<bool, Failure> {
        let known = self.learned.len();
        self.go_on(state, carry, &mut |_| Ok(()))?;
        Ok(self.learned.len() > known)
    }

    /// How sure it has become of where the line of the last first ball comes in; none where there was no such ball.
    pub fn narrowed(&self, state: &BlockState, seed: u64) -> Option<NarrowedView> {
        /// A normal number lies so many standard deviations from the mean 8 times in 10.
        const IN_80: f64 = 1.2816;
        let Seen { lane, ball, meant, .. } = *self.seen.last()?;
        let half = |belief: &Belief| IN_80 * belief.comes_in(lane, ball, &meant).sd;
        Some(NarrowedView {
            before_boards: half(&Self::begun(state, seed).belief),
            now_boards: half(&self.belief),
            shots: self.seen.len(),
            measured: self.seen.iter().filter(|seen| seen.noticed.film.is_some()).count(),
        })
    }

    /// Where a first ball comes next, throws it ahead as it is meant now, so that little is left to do once it is known what came of it.
    ///
    /// # Errors
    /// As [`BeliefReplay::of`].
    pub fn look_ahead(&mut self, state: &BlockState) -> Result<(), Failure> {
        if state.upcoming().is_some_and(|next| next.is_first(&state.sheet)) {
            let lane = state.lane_up();
            let meant = state.lines.on(lane, None).release(&state.setting.seat.bowler.release);
            self.belief.foresee(lane, in_hand(state, &self.belief), &meant)?;
        }
        Ok(())
    }

    fn go_on(&mut self, state: &BlockState, carry: &Carry, watch: BeforeEach<'_>) -> Result<(), Failure> {
        let others = others(&state.desk.begun.others, &state.setting);
        for ball in first_of(state).into_iter().skip(self.learned.len()) {
            self.take_in_hand(state, &ball);
            watch(AboutToThrow {
                belief: &self.belief,
                lane: ball.lane,
                ball: ball.for_racks(state),
                meant: ball.meant,
                noticed: noticed(&ball.shot),
            })?;
            self.first_ball(state, &ball, carry)?;
            // Everybody bowls a frame in turn; neighbours in the order stand on different lanes.
            if let Some(lane) = ball.lane.filter(|_| ball.ends_turn) {
                let throws = others.iter().enumerate().filter_map(|(k, other)| other.on((lane + k + 1) % 2));
                self.belief.thrown_all(&throws.collect::<Vec<_>>())?;
            }
            self.learned.push(ball);
        }
        self.as_balls_are_now(state);
        Ok(())
    }

    /// Its ball with the surface that it was thrown with.
    fn take_in_hand(&mut self, state: &BlockState, ball: &Ball) {
        if let (Some(place), Some(thrown)) = (ball.for_racks(state), ball.thrown(state)) {
            self.belief.take_ball(place, thrown);
        }
    }

    /// Every ball with the surface that it has by now.
    fn as_balls_are_now(&mut self, state: &BlockState) {
        let bag = state.setting.event.seats[0].bag.bag.balls();
        for (place, ball) in state.setting.seat.balls.iter().enumerate() {
            if let Some(in_bag) = bag.iter().position(|one| one.id == ball.id) {
                self.belief.take_ball(place, state.surfaces.ball(&state.setting, in_bag, None));
            }
        }
    }

    fn first_ball(&mut self, state: &BlockState, ball: &Ball, carry: &Carry) -> Result<(), Failure> {
        if let Some(seen) = ball.seen(state) {
            self.belief.saw(&seen, carry)?;
            self.seen.push(seen);
            return Ok(());
        }
        // Nothing of it can be read, but it wears the lane.
        self.unread += 1;
        if let (Some(lane), Some(meant), Some(thrown)) = (ball.lane, ball.meant, ball.thrown(state)) {
            self.belief.thrown(lane, &thrown, &meant)?;
        }
        Ok(())
    }

    /// What was thrown before our first shot: games that others bowled on this oil, and practice, ours as it was logged or as the event has it.
    fn before(&mut self, state: &BlockState, carry: &Carry) -> Result<(), Failure> {
        const FRAMES: u32 = 10;
        let BlockState { desk, setting, sheet, .. } = state;
        let others = others(&desk.begun.others, setting);
        let mut throws = Vec::new();
        for frame in 0..setting.event.pairs[setting.pair].games_before * FRAMES {
            throws.extend(others.iter().enumerate().filter_map(|(k, other)| other.on((frame as usize + k + 1) % 2)));
        }
        // Where nothing is counted, practice is what is being logged.
        if sheet.block.counting.scoring().is_some() {
            let in_hand = self.opening.ball.filter(|_| self.opening.practised.is_empty());
            let in_hand = in_hand.map(|place| &setting.event.seats[0].bag.bag.balls()[place]);
            for lane in 0..2 {
                for _ in 0..setting.event.practice_shots {
                    let own = |ball| Thrown { lane, ball, meant: self.opening.meant[lane], other_hand: false };
                    throws.extend(in_hand.map(own));
                    throws.extend(others.iter().filter_map(|other| other.on(lane)));
                }
            }
        }
        self.belief.thrown_all(&throws)?;
        for ball in self.opening.practised.clone() {
            self.first_ball(state, &ball, carry)?;
        }
        Ok(())
    }
}

impl Opening {
    fn of(state: &BlockState) -> Self {
        let BlockState { desk, setting, sheet, lines, .. } = state;
        let first = sheet.deliveries.first();
        let ball = first.and_then(|first| first.ball.as_ref()).or(sheet.ball.as_ref());
        let ball = ball.and_then(|ball| desk.begun.in_bag(ball));
        let place = first.map(|first| first.place);
        let meant = [0, 1].map(|lane| lines.on(lane, place).release(&setting.seat.bowler.release));
        let practised = state.practice.as_ref().map(|practice| balls(state, &practice.sheet, &practice.lines));
        Self { ball, meant, practised: practised.unwrap_or_default() }
    }
}

impl Other {
    /// Their throw on a lane, if they play there.
    pub fn on(&self, lane: usize) -> Option<Thrown<'_>> {
        self.lines[lane].map(|meant| Thrown { lane, ball: &self.ball, meant, other_hand: self.mirrored })
    }
}

impl Ball {
    /// What the belief can read of it.
    fn seen(&self, state: &BlockState) -> Option<Seen> {
        let (lane, meant, ball) = (self.lane?, self.meant?, self.for_racks(state)?);
        let Roll::Standing(standing) = self.shot.roll else { return None };
        Some(Seen { lane, ball, meant, standing, noticed: noticed(&self.shot) })
    }

    /// The ball of the bag with the surface that it had then.
    fn thrown(&self, state: &BlockState) -> Option<boardwise_ball::Ball> {
        let place = state.desk.begun.in_bag(self.with.as_ref()?)?;
        let ball = state.setting.event.seats[0].bag.bag.balls().get(place)?;
        let surface = self.surface.map(as_ball_has_it);
        Some(surface.map_or_else(|| ball.clone(), |surface| ball.resurfaced(surface)))
    }

    /// Its place among those for full racks.
    fn for_racks(&self, state: &BlockState) -> Option<usize> {
        let thrown = self.thrown(state)?;
        state.setting.seat.balls.iter().position(|one| one.id == thrown.id)
    }
}

/// The first balls of a sheet, each with its place among all of them.
pub fn first_balls(sheet: &Sheet) -> impl Iterator<Item = (usize, &Delivery)> {
    let first = |(_, one): &(usize, &Delivery)| one.thrown.is_none_or(|thrown| thrown.first_at_rack);
    sheet.deliveries.iter().enumerate().filter(first)
}

/// The first balls of the block so far, as the belief learns from them.
fn first_of(state: &BlockState) -> Vec<Ball> {
    balls(state, &state.sheet, &state.lines)
}

/// The first balls of a sheet on the block's pair.
fn balls(state: &BlockState, sheet: &Sheet, lines: &Lines) -> Vec<Ball> {
    let BlockState { desk, setting, surfaces, .. } = state;
    let own = &setting.seat.bowler.release;
    let with = |one: &Delivery| one.ball.as_ref().and_then(|ball| desk.begun.in_bag(ball));
    let ball = |one: &Delivery| {
        let lane = one.lane.as_ref().and_then(|lane| desk.begun.on_pair(lane));
        Ball {
            shot: one.shot.clone(),
            with: one.ball.clone(),
            lane,
            meant: lane.map(|lane| lines.on(lane, Some(one.place)).release(own)),
            surface: with(one).and_then(|place| surfaces.on(place, Some(one.place))),
            ends_turn: one.thrown.is_none_or(|thrown| thrown.ball == 1),
        }
    };
    first_balls(sheet).map(|(_, one)| ball(one)).collect()
}

/// Everybody else on the pair, with these lines.
pub(crate) fn others(lines: &[[Option<LineMeant>; 2]], setting: &Setting) -> Vec<Other> {
    let rest = setting.event.seats.iter().skip(1).zip(lines);
    rest.map(|(other, lines)| {
        let seat = event::seat(other);
        let ball = seat.balls[seat.starts_with.unwrap_or_default()].clone();
        let lines = lines.map(|line| line.map(|line| line.release(&other.bowler.release)));
        Other { ball, lines, mirrored: other.bowler.hand != setting.seat.bowler.hand }
    })
    .collect()
}

/// What was seen of a shot but the pins.
fn noticed(shot: &boardwise_record::Shot) -> Noticed {
    let (hit, feel, film) = (shot.hit.map(hit), shot.felt.map(feel), shot.measured.as_deref().map(film));
    Noticed { hit, arrows: shot.arrows, breakpoint: shot.breakpoint, feel, film }
}

/// What a film measured of a shot, as the belief hears it.
fn film(measured: &Measured) -> Film {
    let figure = |one: Option<boardwise_record::Figure>| one.map(|one| Figure { value: one.value, error: one.error });
    Film {
        laydown_board: figure(measured.laydown_board),
        launch_deg: figure(measured.launch_deg),
        release_mph: figure(measured.release_mph),
        rev_rate_rpm: figure(measured.rev_rate_rpm),
        rotation_deg: figure(measured.rotation_deg),
        tilt_deg: figure(measured.tilt_deg),
        arrows_board: figure(measured.arrows_board),
        breakpoint_board: figure(measured.breakpoint_board),
        breakpoint_feet: figure(measured.breakpoint_feet),
        entry_board: figure(measured.entry_board),
        entry_deg: figure(measured.entry_deg),
    }
}

/// A hit as the belief knows it: square on the head pin is high.
pub fn hit(hit: boardwise_record::Hit) -> Hit {
    match hit {
        boardwise_record::Hit::Pocket => Hit::Pocket,
        boardwise_record::Hit::High | boardwise_record::Hit::Nose => Hit::High,
        boardwise_record::Hit::Light => Hit::Light,
        boardwise_record::Hit::OtherSide => Hit::OtherSide,
    }
}

fn feel(felt: Felt) -> Feel {
    match felt {
        Felt::Good => Feel::Good,
        Felt::Fast => Feel::Fast,
        Felt::Slow => Feel::Slow,
        Felt::In => Feel::In,
        Felt::Out => Feel::Out,
        Felt::HandLate => Feel::HandLate,
    }
}

/// The ball in hand, by its place among those of the belief.
pub fn in_hand(state: &BlockState, belief: &Belief) -> usize {
    let BlockState { desk, setting, sheet, .. } = state;
    let bag = setting.event.seats[0].bag.bag.balls();
    let known = sheet.ball.as_ref().and_then(|ball| desk.begun.in_bag(ball));
    let place = known.and_then(|place| belief.balls().iter().position(|ball| ball.id == bag[place].id));
    place.unwrap_or_default()
}
