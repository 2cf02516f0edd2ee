//! What the rack's physics takes as given.

use crate::impulse::Surface;

/// The time step in use, seconds (docs/pins.md: halving it changes no share by more than its error).
pub(crate) const STEP_S: f64 = 0.0015;

/// Constants of a rack. Masses are published; coefficients were fitted to published shares of leaves, and nothing here has
/// been measured on pins. The default is one of the [`ENSEMBLE`](crate::ensemble::ENSEMBLE), to throw single racks with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Constants {
    /// Mean mass of a pin, kg.
    pub pin_mass_kg: f64,
    /// Each pin's own mass lies evenly within this of the mean, kg. Mean and spread stay within the published band.
    pub pin_mass_spread_kg: f64,
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
