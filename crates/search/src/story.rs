//! One rack told instant by instant, for pictures.

use crate::carry::body_of;
use boardwise_ball::{Ball, Entry};
use boardwise_pins::{Rack, ThrowError, View, mirrored};
use boardwise_score::{Pin, PinSet};
use boardwise_units::Hand;
use boardwise_units::stream::Stream;

/// A pin in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Its centre of gravity: metres to the right of the centre line as the bowler sees it, behind the head pin's spot
    /// and above the deck.
    pub centre_m: [f64; 3],
    /// Unit vector from base to head, in the same frame.
    pub axis: [f64; 3],
}

/// Everything at one instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Instant {
    /// Seconds since the ball was let go just before the pins.
    pub time_s: f64,
    /// The ball's centre: metres to the right, behind the head pin's spot, above the deck.
    pub ball_m: [f64; 3],
    /// Poses of pins 1 to 10; None for those that are not there or have gone.
    pub pins: [Option<Pose>; 10],
}

/// One rack: a ball comes, and some pins fall. As chance has it; another seed tells another story.
#[derive(Clone, Debug, PartialEq)]
pub struct Story {
    /// Instants at even times, the first before anything is touched.
    pub instants: Vec<Instant>,
    /// The pins that stood before.
    pub before: PinSet,
    /// The pins that stand afterwards.
    pub after: PinSet,
    /// When each of pins 1 to 10 went down, seconds; None for those that stand or were not there.
    pub fell_s: [Option<f64>; 10],
    /// Radius of the ball, metres.
    pub ball_radius_m: f64,
}

/// Cosine of the tilt from which a pin counts as going down in a story: 25 degrees, well past any recovery (9.93 degrees,
/// \[C\] from a pin's balance).
const GOING_COSINE: f64 = 0.906;

impl Story {
    /// Throws one rack and writes it down, an instant every `interval_s`. Entry and ball are in the hand's frame, as a
    /// finish gives them; pins are numbered as they are.
    ///
    /// # Errors
    /// As [`Rack::throw_at`].
    pub fn of(
        rack: &Rack,
        before: PinSet,
        entry: &Entry,
        ball: &Ball,
        hand: Hand,
        seed: u64,
        interval_s: f64,
    ) -> Result<Self, ThrowError> {
        let left = hand == Hand::Left;
        let seen = |pins: u16| if left { mirrored(pins) } else { pins };
        let body = body_of(ball);
        let (mut instants, mut fell_s): (Vec<Instant>, _) = (Vec::new(), [None; 10]);
        let mut stream = Stream::keyed(seed, "story", 0);
        let outcome = rack.watch(seen(before.bits()), entry, &body, &mut stream, |view| {
            for (i, fell) in fell_s.iter_mut().enumerate() {
                let number = place(i, left);
                let stood = before.bits() >> i & 1 == 1;
                let gone = view.present >> number & 1 == 0;
                if stood && fell.is_none() && (gone || view.pins[number].axis.z < GOING_COSINE) {
                    *fell = Some(view.time_s);
                }
            }
            if instants.last().is_none_or(|last| view.time_s >= last.time_s + interval_s) {
                instants.push(instant(view, before, left));
            }
        })?;
        let after = PinSet::from_bits(seen(outcome.standing)).unwrap_or_default();
        for pin in PinSet::ALL {
            // What rocked and stood up again did not go down; what went too gently to be seen went at the end.
            let fell = &mut fell_s[pin.index()];
            let down = before.contains(pin) && !after.contains(pin);
            *fell = if down { fell.or(Some(outcome.time_s)) } else { None };
        }
        Ok(Self { instants, before, after, fell_s, ball_radius_m: ball.radius_m })
    }

    /// The pins that went down, in the order in which they did.
    pub fn order(&self) -> Vec<Pin> {
        let mut down: Vec<(f64, Pin)> =
            PinSet::ALL.iter().filter_map(|pin| Some((self.fell_s[pin.index()]?, pin))).collect();
        down.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        down.into_iter().map(|(_, pin)| pin).collect()
    }
}

/// Where in the rack's own list a pin of the lane is found.
fn place(index: usize, left: bool) -> usize {
    if left { mirrored(1 << index).trailing_zeros() as usize } else { index }
}

fn instant(view: &View, before: PinSet, left: bool) -> Instant {
    let side = if left { -1.0 } else { 1.0 };
    let pins = core::array::from_fn(|i| {
        let number = place(i, left);
        let here = before.bits() >> i & 1 == 1 && view.present >> number & 1 == 1;
        here.then(|| {
            let (centre, axis) = (view.pins[number].centre_m, view.pins[number].axis);
            Pose { centre_m: [side * centre.x, centre.y, centre.z], axis: [side * axis.x, axis.y, axis.z] }
        })
    });
    let ball = view.ball.centre_m;
    Instant { time_s: view.time_s, ball_m: [side * ball.x, ball.y, ball.z], pins }
}
