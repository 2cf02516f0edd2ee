//! What is thought of the lanes after the shots logged: the belief, built again from the first shot on.

use book::{Delivery, Felt, Sheet};
use lane::Release;
use measure::Hand;
use pins::carry::Carry;
use play::{Belief, Feel, Hit, Noticed, Prior, Seen};
use score::Roll;

use super::desk::{Desk, Setting};
use super::lines::Lines;
use crate::job::{Failure, event};

/// The belief with what it rests on.
#[derive(Clone)]
pub struct Believed {
    /// The belief.
    pub belief: Belief,
    /// First balls it learned from, oldest first.
    pub seen: Vec<Seen>,
    /// First balls it could not learn from: fouls, pins that were only counted, a ball or lane that is not known.
    pub unread: usize,
    /// What it had been told, in order: from this it follows alone.
    told: Vec<Ball>,
}

/// A first ball as the belief is told of it.
#[derive(Clone, PartialEq)]
struct Ball {
    shot: book::Shot,
    /// Its ball in the hand.
    with: Option<book::BallId>,
    /// Which lane of the pair, if it is known.
    lane: Option<usize>,
    meant: Option<Release>,
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

/// Told of every first ball before it is thrown.
type Told<'a> = &'a mut dyn FnMut(AboutToThrow<'_>) -> Result<(), Failure>;

/// What others throw at the lanes while we bowl.
struct Other {
    ball: ball::Ball,
    /// By lane.
    lines: [Option<Release>; 2],
}

impl Believed {
    /// From the shots of a sheet.
    pub fn of(
        desk: &Desk,
        setting: &Setting,
        sheet: &Sheet,
        lines: &Lines,
        carry: &Carry,
        seed: u64,
    ) -> Result<Self, Failure> {
        Self::replay(desk, setting, sheet, lines, carry, seed, &mut |_| Ok(()))
    }

    /// From the shots of a sheet, telling of each first ball before it is thrown.
    pub fn replay(
        desk: &Desk,
        setting: &Setting,
        sheet: &Sheet,
        lines: &Lines,
        carry: &Carry,
        seed: u64,
        told: Told<'_>,
    ) -> Result<Self, Failure> {
        let seat = &setting.seat;
        let belief =
            Belief::new(setting.fresh.clone(), seat.bowler.clone(), seat.balls.clone(), &Prior::default(), seed);
        let mut all = Self { belief, seen: Vec::new(), unread: 0, told: Vec::new() };
        all.before(desk, setting, sheet, lines, &others(desk, setting))?;
        all.go_on(desk, setting, sheet, lines, carry, told)?;
        Ok(all)
    }

    /// Whether this belief comes about on the way to what the sheet says.
    pub fn leads_to(&self, desk: &Desk, setting: &Setting, sheet: &Sheet, lines: &Lines) -> bool {
        // What was thrown in practice before follows from the first ball: without one it may yet change.
        !self.told.is_empty() && told(desk, setting, sheet, lines).starts_with(&self.told)
    }

    /// Learns what the sheet says beyond what was told already, which must lead to it.
    pub fn learn(
        &mut self,
        desk: &Desk,
        setting: &Setting,
        sheet: &Sheet,
        lines: &Lines,
        carry: &Carry,
    ) -> Result<(), Failure> {
        self.go_on(desk, setting, sheet, lines, carry, &mut |_| Ok(()))
    }

    fn go_on(
        &mut self,
        desk: &Desk,
        setting: &Setting,
        sheet: &Sheet,
        lines: &Lines,
        carry: &Carry,
        tell: Told<'_>,
    ) -> Result<(), Failure> {
        let others = others(desk, setting);
        for ball in told(desk, setting, sheet, lines).into_iter().skip(self.told.len()) {
            tell(AboutToThrow {
                belief: &self.belief,
                lane: ball.lane,
                ball: ball.for_racks(desk, setting),
                meant: ball.meant,
                noticed: noticed(&ball.shot),
            })?;
            self.first_ball(desk, setting, &ball, carry)?;
            // Everybody bowls a frame in turn; neighbours in the order stand on different lanes.
            if let Some(lane) = ball.lane.filter(|_| ball.ends_turn) {
                for (k, other) in others.iter().enumerate() {
                    self.throw(other, (lane + k + 1) % 2)?;
                }
            }
            self.told.push(ball);
        }
        Ok(())
    }

    fn first_ball(&mut self, desk: &Desk, setting: &Setting, told: &Ball, carry: &Carry) -> Result<(), Failure> {
        let (Some(lane), Some(meant)) = (told.lane, told.meant) else {
            self.unread += 1;
            return Ok(());
        };
        if let (Roll::Standing(standing), Some(ball)) = (told.shot.roll, told.for_racks(desk, setting)) {
            let Noticed { hit, arrows, breakpoint, feel } = noticed(&told.shot);
            let seen = Seen { lane, ball, meant, standing, hit, arrows, breakpoint, feel };
            self.belief.saw(&seen, carry)?;
            self.seen.push(seen);
            return Ok(());
        }
        // It tells nothing we could read, but it wears the lane.
        self.unread += 1;
        if let Some(thrown) = told.thrown(desk, setting) {
            self.belief.thrown(lane, thrown, &meant)?;
        }
        Ok(())
    }

    /// What was thrown before our first shot: games that others bowled on this oil, and practice.
    fn before(
        &mut self,
        desk: &Desk,
        setting: &Setting,
        sheet: &Sheet,
        lines: &Lines,
        others: &[Other],
    ) -> Result<(), Failure> {
        const FRAMES: u32 = 10;
        for frame in 0..setting.event.pairs[desk.begun.pair].games_before * FRAMES {
            for (k, other) in others.iter().enumerate() {
                self.throw(other, (frame as usize + k + 1) % 2)?;
            }
        }
        if sheet.block.counting.scoring().is_none() {
            // Practice is what is being logged.
            return Ok(());
        }
        let first = sheet.deliveries.first().map(|first| first.place);
        let in_hand = sheet.deliveries.first().and_then(|first| first.ball.as_ref()).or(sheet.ball.as_ref());
        let in_hand = in_hand.and_then(|ball| desk.begun.balls.iter().position(|one| one == ball));
        let in_hand = in_hand.map(|place| setting.event.seats[0].bag.bag.balls()[place].clone());
        for _ in 0..setting.event.practice_shots {
            for lane in 0..2 {
                if let Some(ball) = &in_hand {
                    let meant = lines.on(lane, first).release(&setting.seat.bowler.release);
                    self.belief.thrown(lane, ball, &meant)?;
                }
                for other in others {
                    self.throw(other, lane)?;
                }
            }
        }
        Ok(())
    }

    fn throw(&mut self, other: &Other, lane: usize) -> Result<(), Failure> {
        if let Some(line) = &other.lines[lane] {
            self.belief.thrown(lane, &other.ball, line)?;
        }
        Ok(())
    }
}

impl Ball {
    /// The ball as the bag has it.
    fn thrown<'a>(&self, desk: &Desk, setting: &'a Setting) -> Option<&'a ball::Ball> {
        let place = desk.begun.balls.iter().position(|one| self.with.as_ref() == Some(one))?;
        setting.event.seats[0].bag.bag.balls().get(place)
    }

    /// Its place among those for full racks.
    fn for_racks(&self, desk: &Desk, setting: &Setting) -> Option<usize> {
        let thrown = self.thrown(desk, setting)?;
        setting.seat.balls.iter().position(|one| one.id == thrown.id)
    }
}

/// The first balls of a sheet, each with its place among all of them.
pub fn first_balls(sheet: &Sheet) -> impl Iterator<Item = (usize, &Delivery)> {
    let first = |(_, one): &(usize, &Delivery)| one.thrown.is_none_or(|thrown| thrown.first_at_rack);
    sheet.deliveries.iter().enumerate().filter(first)
}

/// The first balls of a sheet as the belief is told of them.
fn told(desk: &Desk, setting: &Setting, sheet: &Sheet, lines: &Lines) -> Vec<Ball> {
    let own = &setting.seat.bowler.release;
    let ball = |one: &Delivery| {
        let lane = one.lane.as_ref().and_then(|lane| desk.begun.lanes.iter().position(|known| known == lane));
        Ball {
            shot: one.shot.clone(),
            with: one.ball.clone(),
            lane,
            meant: lane.map(|lane| lines.on(lane, Some(one.place)).release(own)),
            ends_turn: one.thrown.is_none_or(|thrown| thrown.ball == 1),
        }
    };
    first_balls(sheet).map(|(_, one)| ball(one)).collect()
}

/// Everybody else who bowls with our hand. The other hand's track lies across the lane: it is left out.
fn others(desk: &Desk, setting: &Setting) -> Vec<Other> {
    let hand: Hand = setting.seat.bowler.hand;
    let rest = setting.event.seats.iter().skip(1).zip(&desk.begun.others);
    rest.map(|(other, lines)| {
        let seat = event::seat(other);
        let ball = seat.balls[seat.starts_with.unwrap_or_default()].clone();
        let same = other.bowler.hand == hand;
        let lines = lines.map(|line| line.filter(|_| same).map(|line| line.release(&other.bowler.release)));
        Other { ball, lines }
    })
    .collect()
}

/// What was seen of a shot but the pins.
fn noticed(shot: &book::Shot) -> Noticed {
    Noticed { hit: shot.hit.map(hit), arrows: shot.arrows, breakpoint: shot.breakpoint, feel: shot.felt.map(feel) }
}

/// A hit as the belief knows it: square on the head pin is high.
pub fn hit(hit: book::Hit) -> Hit {
    match hit {
        book::Hit::Pocket => Hit::Pocket,
        book::Hit::High | book::Hit::Nose => Hit::High,
        book::Hit::Light => Hit::Light,
        book::Hit::OtherSide => Hit::OtherSide,
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
