//! Ten pins, a ball, and what happens.
//!
//! Fixed steps, fixed order (ball and pins by number, pairs by number, surroundings), no allocation. Two bodies found
//! overlapping are moved back to the instant they met before the blow. Each pair has a timer: it is looked at again only
//! when it could have met. A pin sleeps until something touches it.

use crate::body::{BallBody, BallMotion, PinBody};
use crate::constants::Constants;
use crate::deck::Deck;
use crate::impulse::Surface;
use crate::outcome::{FULL_RACK, Mask, Outcome};
use crate::pressed::Springs;
use crate::profile::Profile;
use crate::scene::{Scene, State, View};
use crate::shape::Shape;
use boardwise_ball::Entry;
use boardwise_units::stream::Stream;
use boardwise_units::{INCH_M, court, math};
use glam::DVec3;

/// Why a throw could not be made.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ThrowError {
    /// A number of the entry or of the ball is not finite, or the ball has no mass or size.
    #[error("the ball's {0} must be a finite number in its range")]
    NotANumber(&'static str),
    /// The ball is not on the lane.
    #[error("the ball enters {x_m:.3} m from the centre line, off the lane (at most 0.527 m)")]
    OffTheLane {
        /// Place across the lane, metres.
        x_m: f64,
    },
    /// The ball does not move toward the pins.
    #[error("the ball moves at {y_m_s} m/s toward the pins; at least 1 m/s is needed")]
    TooSlow {
        /// Speed along the lane, m/s.
        y_m_s: f64,
    },
    /// A set of pins names a pin beyond the tenth.
    #[error("the set of pins {0:#b} has a bit beyond pin 10")]
    NoSuchPin(Mask),
}

/// Pins on a deck, ready to be thrown at.
///
/// ```
/// use boardwise_pins::{Constants, Rack, carry::Approach, units::stream::Stream};
///
/// let rack = Rack::new(Constants::default());
/// let approach = Approach { board: 17.5, angle_deg: 6.0, speed_m_s: 7.2, weight_lb: 15.0, roll: 1.0 };
/// let (entry, ball) = approach.entry();
/// let outcome = rack.throw(&entry, &ball, &mut Stream::keyed(1, "rack", 0))?;
/// assert!(outcome.left().len() < 10);
/// # Ok::<(), boardwise_pins::ThrowError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Rack {
    constants: Constants,
    shape: Shape,
    springs: Springs,
}

/// A standing pin that moved farther than this slid off its spot: half an inch, our judgement.
const SLID_M: f64 = 0.0127;
/// Once the ball has come this far, past the third row, the step doubles: what is left are single blows. Longer steps
/// among the pins change shares of leaves; later they do not (docs/pins.md).
const THROUGH_M: f64 = 0.6;
const LATER_STEPS: f64 = 2.0;
/// Nothing is followed longer than this.
const LONGEST_S: f64 = 6.0;
const LOOK_EVERY: u32 = 8;

impl Rack {
    /// A rack with these constants. Works out the tables of the pin's shape: keep it and throw often.
    pub fn new(constants: Constants) -> Self {
        Self { constants, shape: Shape::new(&Profile::published()), springs: Springs::new() }
    }

    /// The constants it was made with.
    pub fn constants(&self) -> &Constants {
        &self.constants
    }

    /// Throws a ball at ten pins. The stream places the pins and varies their masses, restitution and friction.
    ///
    /// # Errors
    /// If the ball is off the lane, does not come toward the pins, or some number is not finite.
    pub fn throw(&self, entry: &Entry, ball: &BallBody, stream: &mut Stream) -> Result<Outcome, ThrowError> {
        self.throw_at(FULL_RACK, entry, ball, stream)
    }

    /// Throws a ball at some of the pins: a spare.
    ///
    /// # Errors
    /// As [`Rack::throw`], or if the set names a pin beyond the tenth.
    pub fn throw_at(
        &self,
        pins: Mask,
        entry: &Entry,
        ball: &BallBody,
        stream: &mut Stream,
    ) -> Result<Outcome, ThrowError> {
        self.watch(pins, entry, ball, stream, |_| ())
    }

    /// As [`Rack::throw_at`], showing every step to `see`.
    ///
    /// # Errors
    /// As [`Rack::throw_at`].
    pub fn watch(
        &self,
        pins: Mask,
        entry: &Entry,
        ball: &BallBody,
        stream: &mut Stream,
        mut see: impl FnMut(&View),
    ) -> Result<Outcome, ThrowError> {
        check(pins, entry, ball)?;
        let mut scene = self.scene(pins, stream);
        scene.place_ball(entry, ball);
        let spots = scene.pins.map(|pin| pin.centre_m);
        let step = self.constants.step_s;
        let mut steps = 0;
        loop {
            let among_pins = scene.ball.centre_m.y < THROUGH_M;
            scene.advance(if among_pins { step } else { LATER_STEPS * step });
            see(&scene.view());
            steps += 1;
            if steps % LOOK_EVERY == 0 && (scene.is_over() || scene.time_s > LONGEST_S) {
                break;
            }
        }
        let mut outcome =
            Outcome { standing: 0, slid: 0, touched: scene.touched, exit: scene.exit, time_s: scene.time_s, steps };
        for (i, spot) in spots.iter().enumerate() {
            if scene.stands(i) {
                outcome.standing |= 1 << i;
                let moved = scene.pins[i].centre_m - *spot;
                if math::hypot(moved.x, moved.y) > SLID_M {
                    outcome.slid |= 1 << i;
                }
            }
        }
        Ok(outcome)
    }

    /// Lets pins go from given poses without a ball and with none asleep, for a time. For tests of standing and tipping.
    pub fn release(&self, poses: &[PinBody; 10], present: Mask, time_s: f64, mut see: impl FnMut(&View)) {
        let mut scene = self.scene(present & FULL_RACK, &mut Stream::keyed(0, "release", 0));
        scene.pins = *poses;
        for i in 0..10 {
            if scene.state[i] == State::Asleep {
                scene.state[i] = State::Awake;
                scene.sweep_m_s[i] = scene.pins[i].sweep_m_s(self.shape.reach_m);
            }
        }
        scene.ball_gone = true;
        while scene.time_s < time_s {
            scene.advance(self.constants.step_s);
            see(&scene.view());
        }
    }

    /// A pin standing on its spot, or anywhere else: for [`Rack::release`].
    pub fn upright(&self, x_m: f64, y_m: f64) -> PinBody {
        self.pin_of(self.constants.pin_mass_kg, x_m, y_m)
    }

    fn pin_of(&self, mass_kg: f64, x_m: f64, y_m: f64) -> PinBody {
        let solid = &self.shape.solid;
        let centre = DVec3::new(x_m, y_m, solid.cg_height_m);
        PinBody::at_rest(centre, mass_kg, solid.transverse_gyration_m, solid.axial_gyration_m)
    }

    fn scene(&self, pins: Mask, stream: &mut Stream) -> Scene<'_> {
        let c = &self.constants;
        let mut upright = [self.upright(0.0, 0.0); 10];
        let mut pin_share = [1.0; 10];
        for (i, (x_in, y_in)) in court::PIN_SPOTS_IN.into_iter().enumerate() {
            let (dx, dy) = (stream.normal() * c.spot_jitter_m, stream.normal() * c.spot_jitter_m);
            pin_share[i] = (1.0 + c.restitution_jitter * stream.normal()).max(0.0);
            let mass_kg = c.pin_mass_kg + c.pin_mass_spread_kg * (2.0 * stream.uniform() - 1.0);
            upright[i] = self.pin_of(mass_kg, x_in * INCH_M + dx, y_in * INCH_M + dy);
        }
        let mut rough = |surface: Surface| Surface {
            friction: surface.friction * (1.0 + c.friction_jitter * stream.normal()).max(0.0),
            ..surface
        };
        let ball_pin = rough(c.ball_pin);
        let scaled = |share: f64| Surface { restitution: (ball_pin.restitution * share).min(1.0), ..ball_pin };
        let mut state = [State::Gone; 10];
        for (i, state) in state.iter_mut().enumerate() {
            if pins >> i & 1 == 1 {
                *state = State::Asleep;
            }
        }
        Scene {
            shape: &self.shape,
            springs: &self.springs,
            pin_pin: rough(c.pin_pin),
            deck: Deck {
                pin_floor: rough(c.pin_deck),
                kickback: rough(c.kickback),
                cushion: c.cushion,
                ball_floor: rough(c.ball_deck),
            },
            ball_pin: pin_share.map(scaled),
            pin_share,
            pins: upright,
            state,
            sweep_m_s: [0.0; 10],
            ball: BallMotion {
                centre_m: DVec3::ZERO,
                velocity_m_s: DVec3::ZERO,
                spin_rad_s: DVec3::ZERO,
                per_mass: 1.0,
                per_inertia: 1.0,
            },
            ball_radius_m: 0.0,
            ball_gone: false,
            ball_due_s: [0.0; 10],
            pair_due_s: [[0.0; 10]; 10],
            row_due_s: [0.0; 9],
            deck_due_s: [0.0; 10],
            time_s: 0.0,
            touched: 0,
            exit: None,
        }
    }
}

fn check(pins: Mask, entry: &Entry, ball: &BallBody) -> Result<(), ThrowError> {
    let sizes = [("mass", ball.mass_kg), ("radius", ball.radius_m), ("radius of gyration", ball.gyration_m)];
    for (name, size) in sizes {
        if !(size.is_finite() && size > 0.0) {
            return Err(ThrowError::NotANumber(name));
        }
    }
    let numbers = [
        ("place", entry.x_m.is_finite() && entry.y_m.is_finite()),
        ("velocity", entry.velocity_m_s.is_finite()),
        ("spin", entry.spin_rad_s.is_finite()),
    ];
    for (name, finite) in numbers {
        if !finite {
            return Err(ThrowError::NotANumber(name));
        }
    }
    if entry.x_m.abs() > court::WIDTH_M / 2.0 {
        return Err(ThrowError::OffTheLane { x_m: entry.x_m });
    }
    if entry.velocity_m_s.y < 1.0 {
        return Err(ThrowError::TooSlow { y_m_s: entry.velocity_m_s.y });
    }
    if pins & !FULL_RACK != 0 {
        return Err(ThrowError::NoSuchPin(pins));
    }
    Ok(())
}
