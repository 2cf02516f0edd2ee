//! When a rack is decided: which pins stand for good, which are down, and which could still fall.
//!
//! Most of a rack's time would go to pins that roll about after everything is decided. The rules here end it sooner;
//! docs/pins.md says how many leaves they change.

use crate::body::{PinBody, Rigid};
use crate::profile::{BASE_RADIUS_M, BELLY_RADIUS_M};
use crate::scene::{Scene, State};
use boardwise_units::{court, math};

/// Tilt of 9.93 degrees: beyond it a pin falls.
const STANDING_COSINE: f64 = 0.985;
/// Tilt of 8.9 degrees: a pin that leans less and has too little energy to get over its edge is kept by it.
const SETTLED_COSINE: f64 = 0.988;
/// Share of the energy that would tip a pin, below which it stands for good. Not one, because at a coarse step a rocking
/// pin can gain a few hundredths.
const SETTLED_SHARE: f64 = 0.9;
/// Tilt of 16 degrees: a pin that leans farther and goes on falling is down.
const FALLING_COSINE: f64 = 0.96;
/// Tilt of 53 degrees: beyond it no pin comes back.
const DOWN_COSINE: f64 = 0.6;
/// A centre of gravity lower than a standing pin's by this much is in the gutter or lies.
const SUNK_M: f64 = 0.022;
/// A fallen pin slower than this topples nothing. Toppling takes 0.38 N s at the centre of gravity,
/// 0.9 N s at the height of a lying pin's belly; a pin of 1.5 kg gives that at 0.7 m/s and more.
const HARMLESS_M_S: f64 = 0.4;
/// A fallen pin slower than this that is farther than `FAR_M` from every standing pin, or moves away from it, topples
/// nothing either: measured, since nothing in the model slows a rolling pin.
const HARMLESS_AFAR_M_S: f64 = 2.0;
const FAR_M: f64 = 0.3;

#[derive(Clone, Copy, PartialEq)]
enum Fate {
    Stands,
    Down,
    Open,
}

impl Scene<'_> {
    /// Whether a pin stands: in place, upright within what it can right itself from, and not in flight.
    pub fn stands(&self, i: usize) -> bool {
        match self.state[i] {
            State::Asleep => true,
            State::Gone => false,
            State::Awake => {
                let pin = &self.pins[i];
                pin.axis.z > STANDING_COSINE && (pin.centre_m.z - self.shape.solid.cg_height_m).abs() < 0.01
            }
        }
    }

    /// Whether nothing more can fall.
    pub fn is_over(&self) -> bool {
        if !self.ball_gone && self.ball.velocity_m_s.y > 0.3 {
            return false;
        }
        let mut fates = [Fate::Down; 10];
        for (i, fate) in fates.iter_mut().enumerate() {
            *fate = self.fate(i);
            if *fate == Fate::Open {
                return false;
            }
        }
        if !fates.contains(&Fate::Stands) {
            return true;
        }
        (0..10).all(|i| fates[i] == Fate::Stands || self.state[i] == State::Gone || self.is_harmless(i, &fates))
    }

    fn fate(&self, i: usize) -> Fate {
        match self.state[i] {
            State::Asleep => return Fate::Stands,
            State::Gone => return Fate::Down,
            State::Awake => {}
        }
        let pin = &self.pins[i];
        let rise_m = pin.centre_m.z - self.shape.solid.cg_height_m;
        let falls = || pin.spin_rad_s().cross(pin.axis).z < 0.0;
        if pin.axis.z < DOWN_COSINE || rise_m < -SUNK_M || (pin.axis.z < FALLING_COSINE && rise_m < 0.01 && falls()) {
            Fate::Down
        } else if self.is_settled(pin) {
            Fate::Stands
        } else {
            Fate::Open
        }
    }

    /// Whether a pin upright on the floor has so little energy that it cannot tip over.
    fn is_settled(&self, pin: &PinBody) -> bool {
        let solid = &self.shape.solid;
        let weight_n = court::GRAVITY_M_S2 / pin.per_mass;
        let rise_m = pin.centre_m.z - solid.cg_height_m;
        // Standing to balanced on its edge: 0.0336 J for a pin of 1.53 kg.
        let barrier_j = weight_n * (math::hypot(solid.cg_height_m, BASE_RADIUS_M) - solid.cg_height_m);
        pin.axis.z > SETTLED_COSINE
            && rise_m.abs() < 0.01
            && pin.energy_j() + weight_n * rise_m < SETTLED_SHARE * barrier_j
    }

    /// Whether a fallen pin can no longer topple any that stands.
    fn is_harmless(&self, i: usize, fates: &[Fate; 10]) -> bool {
        let sweep_m_s = self.sweep_m_s[i];
        if !(HARMLESS_M_S..=HARMLESS_AFAR_M_S).contains(&sweep_m_s) {
            return sweep_m_s < HARMLESS_M_S;
        }
        let pin = &self.pins[i];
        (0..10).filter(|&j| fates[j] == Fate::Stands).all(|j| {
            let toward = (self.pins[j].centre_m - pin.centre_m).truncate();
            let gap_m = math::sqrt(toward.length_squared()) - self.shape.reach_m - BELLY_RADIUS_M;
            gap_m > FAR_M || (gap_m > 0.0 && pin.velocity_m_s.truncate().dot(toward) < 0.0)
        })
    }
}
