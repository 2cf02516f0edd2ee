//! Everything on the deck in motion: one step, and when it is over.

use crate::body::{BallBody, BallMotion, PinBody, Rigid};
use crate::deck::{Deck, EDGE_M, PIT_M};
use crate::impulse::Surface;
use crate::outcome::{Exit, Mask};
use crate::pressed::Springs;
use crate::shape::Shape;
use crate::touch::{pin_and_pin, sphere_and_pin};
use boardwise_ball::Entry;
use boardwise_units::{court, math};
use glam::DVec3;

/// The ball starts this far before the place the entry names, clear of pins that stand a little off their spots.
const RUN_UP_M: f64 = 0.03;
/// The longest time for which a pair is not looked at, seconds, and what gravity can add to a speed in it, m/s; once more
/// because the speed itself may be as old.
const LONGEST_WAIT_S: f64 = 0.02;
const SLACK_M_S: f64 = 2.0 * LONGEST_WAIT_S * court::GRAVITY_M_S2;

/// Everything that moves, at one instant; see [`Rack::watch`](crate::Rack::watch).
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    /// Time since the ball was let go, seconds.
    pub time_s: f64,
    /// The ball. Origin at the head pin's spot, y toward the pit.
    pub ball: &'a BallMotion,
    /// The ten pins, those of the set and not.
    pub pins: &'a [PinBody; 10],
    /// Pins that are still in play: not in the pit.
    pub present: Mask,
}

#[derive(Clone, Copy, PartialEq)]
pub(crate) enum State {
    Asleep,
    Awake,
    Gone,
}

pub(crate) struct Scene<'a> {
    pub shape: &'a Shape,
    pub springs: &'a Springs,
    pub deck: Deck,
    pub ball_pin: [Surface; 10],
    pub pin_pin: Surface,
    pub pin_share: [f64; 10],
    pub pins: [PinBody; 10],
    pub state: [State; 10],
    pub sweep_m_s: [f64; 10],
    pub ball: BallMotion,
    pub ball_radius_m: f64,
    pub ball_gone: bool,
    pub ball_due_s: [f64; 10],
    pub pair_due_s: [[f64; 10]; 10],
    /// The soonest of each row of pairs.
    pub row_due_s: [f64; 9],
    /// When each pin could meet floor or wall.
    pub deck_due_s: [f64; 10],
    pub time_s: f64,
    pub touched: Mask,
    pub exit: Option<Exit>,
}

impl Scene<'_> {
    pub fn place_ball(&mut self, entry: &Entry, ball: &BallBody) {
        let velocity = DVec3::new(entry.velocity_m_s.x, entry.velocity_m_s.y, 0.0);
        let place = DVec3::new(entry.x_m, entry.y_m - court::HEAD_PIN_M, ball.radius_m);
        self.ball = BallMotion {
            centre_m: place - velocity * (RUN_UP_M / math::sqrt(velocity.length_squared())),
            velocity_m_s: velocity,
            spin_rad_s: entry.spin_rad_s,
            per_mass: 1.0 / ball.mass_kg,
            per_inertia: 1.0 / (ball.mass_kg * ball.gyration_m * ball.gyration_m),
        };
        self.ball_radius_m = ball.radius_m;
    }

    pub fn view(&self) -> View<'_> {
        let present = (0..10).filter(|&i| self.state[i] != State::Gone).fold(0, |mask, i| mask | 1 << i);
        View { time_s: self.time_s, ball: &self.ball, pins: &self.pins, present }
    }

    pub fn advance(&mut self, step_s: f64) {
        self.time_s += step_s;
        for i in 0..10 {
            if self.state[i] == State::Awake {
                self.pins[i].fly(step_s);
            }
        }
        if !self.ball_gone {
            self.ball.fly(step_s);
            for i in 0..10 {
                if self.state[i] != State::Gone && self.ball_due_s[i] <= self.time_s {
                    self.meet_ball(i, step_s);
                }
            }
        }
        for i in 0..9 {
            if self.row_due_s[i] <= self.time_s {
                for j in i + 1..10 {
                    if self.pair_due_s[i][j] <= self.time_s {
                        self.meet_pair(i, j, step_s);
                    }
                }
                self.row_due_s[i] = self.pair_due_s[i][i + 1..].iter().copied().fold(f64::INFINITY, f64::min);
            }
        }
        for i in 0..10 {
            if self.state[i] == State::Awake {
                let pin = &mut self.pins[i];
                let looks = self.deck_due_s[i] <= self.time_s;
                let clear_m = if looks { self.deck.hold_pin(self.shape, pin, step_s) } else { 0.0 };
                if looks {
                    self.sweep_m_s[i] = pin.sweep_m_s(self.shape.reach_m);
                    self.deck_due_s[i] = self.time_s + wait_s(clear_m, self.sweep_m_s[i]);
                }
                if is_lost(pin, self.sweep_m_s[i]) {
                    self.state[i] = State::Gone;
                    self.sweep_m_s[i] = 0.0;
                }
            }
        }
        if !self.ball_gone {
            self.deck.hold_ball(&mut self.ball, self.ball_radius_m, step_s);
            let past = self.ball.centre_m.y - PIT_M;
            if past > 0.0 && self.exit.is_none() {
                let velocity_m_s = self.ball.velocity_m_s;
                self.exit =
                    Some(Exit { x_m: self.ball.centre_m.x - velocity_m_s.x * past / velocity_m_s.y, velocity_m_s });
            }
            self.ball_gone = past > 2.0 * self.ball_radius_m;
        }
    }

    fn meet_ball(&mut self, i: usize, step_s: f64) {
        let (shape, radius) = (self.shape, self.ball_radius_m);
        let touch = sphere_and_pin(shape, &self.pins[i], self.ball.centre_m, radius);
        if touch.gap_m >= 0.0 {
            let speed = math::sqrt(self.ball.velocity_m_s.length_squared()) + self.sweep_m_s[i];
            self.ball_due_s[i] = self.time_s + wait_s(touch.gap_m, speed);
            return;
        }
        let (ball, pin) = (&mut self.ball, &mut self.pins[i]);
        let point = touch.point_m;
        let approach =
            (ball.velocity_at(point - ball.centre_m) - pin.velocity_at(point - pin.centre_m)).dot(touch.normal);
        if approach < 0.0 {
            let back = (touch.gap_m / approach).min(step_s);
            ball.coast(-back);
            pin.coast(-back);
            let touch = sphere_and_pin(shape, pin, ball.centre_m, radius);
            let (mut over, mut under) =
                (self.springs.pin_feet(shape, &self.deck, pin), self.springs.ball_feet(&self.deck, ball, radius));
            let took = self.springs.collide(shape, (ball, &mut under), (pin, &mut over), &touch, self.ball_pin[i]);
            ball.coast(back - took);
            pin.coast(back - took);
            self.touched |= 1 << i;
            self.ball_due_s = [0.0; 10];
            self.disturb(i);
        } else if touch.gap_m < -TOLERATED_M {
            pin.centre_m += touch.normal * (touch.gap_m + TOLERATED_M);
            self.deck_due_s[i] = 0.0;
        }
    }

    fn meet_pair(&mut self, i: usize, j: usize, step_s: f64) {
        if self.state[i] == State::Gone
            || self.state[j] == State::Gone
            || (self.state[i] == State::Asleep && self.state[j] == State::Asleep)
        {
            // Waking either one makes the pair due again.
            self.pair_due_s[i][j] = f64::INFINITY;
            return;
        }
        let shape = self.shape;
        let touch = pin_and_pin(shape, &self.pins[i], &self.pins[j]);
        if touch.gap_m >= 0.0 {
            let speed = self.sweep_m_s[i] + self.sweep_m_s[j];
            self.pair_due_s[i][j] = self.time_s + wait_s(touch.gap_m, speed);
            return;
        }
        let (low, high) = self.pins.split_at_mut(j);
        let (a, b) = (&mut low[i], &mut high[0]);
        let point = touch.point_m;
        let approach = (a.velocity_at(point - a.centre_m) - b.velocity_at(point - b.centre_m)).dot(touch.normal);
        if approach < 0.0 {
            let back = (touch.gap_m / approach).min(step_s);
            a.coast(-back);
            b.coast(-back);
            let touch = pin_and_pin(shape, a, b);
            let mut surface = self.pin_pin;
            surface.restitution = (surface.restitution * 0.5 * (self.pin_share[i] + self.pin_share[j])).min(1.0);
            let feet_of = |pin: &PinBody| self.springs.pin_feet(shape, &self.deck, pin);
            let (mut under_a, mut under_b) = (feet_of(a), feet_of(b));
            let took = self.springs.collide(shape, (a, &mut under_a), (b, &mut under_b), &touch, surface);
            a.coast(back - took);
            b.coast(back - took);
            self.disturb(i);
            self.disturb(j);
        } else if touch.gap_m < -TOLERATED_M {
            let apart = touch.normal * f64::midpoint(touch.gap_m, TOLERATED_M);
            a.centre_m -= apart;
            b.centre_m += apart;
            (self.deck_due_s[i], self.deck_due_s[j]) = (0.0, 0.0);
        }
    }

    /// Pin `i` was struck: it is awake, and all its pairs are to be looked at.
    fn disturb(&mut self, i: usize) {
        self.state[i] = State::Awake;
        self.sweep_m_s[i] = self.pins[i].sweep_m_s(self.shape.reach_m);
        self.ball_due_s[i] = 0.0;
        self.deck_due_s[i] = 0.0;
        for j in 0..i {
            self.pair_due_s[j][i] = 0.0;
            self.row_due_s[j] = 0.0;
        }
        for j in i + 1..10 {
            self.pair_due_s[i][j] = 0.0;
            self.row_due_s[i] = 0.0;
        }
    }
}

/// Whether a pin is in the pit or rests in the gutter, so that it will not come back to the deck.
#[inline]
fn is_lost(pin: &PinBody, sweep_m_s: f64) -> bool {
    let DVec3 { x, y, z } = pin.centre_m;
    let past = y - PIT_M;
    let in_pit = (past > 0.05 && z < -0.05) || (past > 0.2 && pin.velocity_m_s.y > 0.0) || past > 0.5 || z < -0.5;
    in_pit || (x.abs() > EDGE_M + 0.1 && z < 0.05 && sweep_m_s < 1.0)
}

/// How long bodies this far apart that close at no more than this speed need not be looked at.
#[inline]
fn wait_s(gap_m: f64, speed_m_s: f64) -> f64 {
    (gap_m / (speed_m_s + SLACK_M_S)).min(LONGEST_WAIT_S)
}

/// Overlap that is left alone when two bodies part or rest, metres.
const TOLERATED_M: f64 = 0.0005;
