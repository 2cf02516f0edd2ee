//! What the rack's physics takes as given.

use crate::impulse::Surface;

/// Constants of a rack. The defaults are those of docs/pins.md: masses are published, coefficients were fitted to
/// published shares of leaves, and nothing here has been measured on pins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Constants {
    /// Mass of a pin, kg; fitted within the published band.
    pub pin_mass_kg: f64,
    /// Ball against pin.
    pub ball_pin: Surface,
    /// Pin against pin.
    pub pin_pin: Surface,
    /// Pin against deck or gutter.
    pub pin_deck: Surface,
    /// Pin or ball against a kickback.
    pub kickback: Surface,
    /// Pin against the pit cushion.
    pub cushion: Surface,
    /// Ball against deck or gutter.
    pub ball_deck: Surface,
    /// Standard deviation of a pin's place about its spot, in x and in y, metres.
    pub spot_jitter_m: f64,
    /// Standard deviation of each pin's own restitution, as a share of the common value.
    pub restitution_jitter: f64,
    /// Standard deviation of a rack's friction coefficients, as a share of the common value.
    pub friction_jitter: f64,
    /// Time step while something moves fast, seconds; twice that when nothing does.
    pub step_s: f64,
}

impl Default for Constants {
    fn default() -> Self {
        Self {
            pin_mass_kg: 1.602,
            ball_pin: Surface { restitution: 0.695, friction: 0.229 },
            pin_pin: Surface { restitution: 0.625, friction: 0.194 },
            pin_deck: Surface { restitution: 0.584, friction: 0.347 },
            kickback: Surface { restitution: 0.458, friction: 0.3 },
            cushion: Surface { restitution: 0.10, friction: 0.50 },
            ball_deck: Surface { restitution: 0.30, friction: 0.191 },
            spot_jitter_m: 0.0011,
            restitution_jitter: 0.05,
            friction_jitter: 0.10,
            step_s: 0.0015,
        }
    }
}
