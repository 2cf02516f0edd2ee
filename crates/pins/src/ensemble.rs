//! The constants in use: not one set but several, each of which gives what is published.
//!
//! Few shares are published, so many sets of constants give them. Each of these is where a search of its own ended
//! (`tools/src/bin/calibrate.rs`), and gives the fitted shares within their errors (docs/pins.md lists what each gives). Tables
//! are the mean over them; how far they differ is the error that no number of racks removes.

use crate::body::BallBody;
use crate::constants::Constants;
use crate::impulse::Surface;
use crate::profile::MASS_KG;
use crate::rack::Rack;
use crate::{carry::Approach, constants};
use alloc::vec::Vec;
use boardwise_ball::Entry;
use boardwise_units::Pounds;
use boardwise_units::stream::Stream;

/// How professionals' balls come in: mean and standard deviation over bowlers and shots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Professionals {
    /// Entry board, at the head pin's row.
    pub board: (f64, f64),
    /// Entry angle, degrees.
    pub angle_deg: (f64, f64),
    /// Speed at the pins, m/s.
    pub speed_m_s: (f64, f64),
    /// Spin about the vertical that is left, rad/s: 436 rpm at 13 degrees of tilt \[S for the rate, M for the tilt\].
    pub upright_spin_rad_s: (f64, f64),
}

impl Professionals {
    /// One ball of theirs: it rolls.
    pub fn draw(&self, ball: &BallBody, stream: &mut Stream) -> Entry {
        let mut normal = |(mean, deviation): (f64, f64)| mean + deviation * stream.normal();
        let approach = Approach {
            board: normal(self.board).clamp(2.0, 38.0),
            angle_deg: normal(self.angle_deg),
            speed_m_s: normal(self.speed_m_s),
            weight_lb: Pounds::from_kilograms(ball.mass_kg).0,
            roll: 1.0,
        };
        let mut entry = approach.entry().0;
        entry.spin_rad_s.z = normal(self.upright_spin_rad_s);
        entry
    }
}

/// A set of constants that gives the published shares, with the entries for which it does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// Number of the search that ended here.
    pub search: u32,
    /// The rack's constants.
    pub constants: Constants,
    /// How professionals come in. Nobody measured it; it was fitted with the constants.
    pub professionals: Professionals,
}

impl Fitted {
    /// Columns: ball on pin, pin on pin and pin on deck, restitution and friction each; kickback's restitution; ball on deck's
    /// friction; spread of spots, of restitution, of friction; entry board's mean and deviation, entry angle's; mean speed.
    const fn new(search: u32, v: [f64; 16]) -> Self {
        let constants = Constants {
            pin_mass_kg: 0.5 * (MASS_KG.0 + MASS_KG.1),
            pin_mass_spread_kg: 0.5 * (MASS_KG.1 - MASS_KG.0),
            ball_pin: Surface { restitution: v[0], friction: v[1] },
            pin_pin: Surface { restitution: v[2], friction: v[3] },
            pin_deck: Surface { restitution: v[4], friction: v[5] },
            kickback: Surface { restitution: v[6], friction: 0.3 },
            cushion: Surface { restitution: 0.10, friction: 0.50 },
            ball_deck: Surface { restitution: 0.30, friction: v[7] },
            spot_jitter_m: v[8],
            restitution_jitter: v[9],
            friction_jitter: v[10],
            step_s: constants::STEP_S,
        };
        let professionals = Professionals {
            board: (v[11], v[12]),
            angle_deg: (v[13], v[14]),
            speed_m_s: (v[15], 0.30),
            upright_spin_rad_s: (10.0, 4.0),
        };
        Self { search, constants, professionals }
    }
}

/// Number of sets.
pub const SETS: usize = 20;

/// The sets: the first twenty searches that ended within the errors and near enough to where searches start.
#[rustfmt::skip]
pub static ENSEMBLE: [Fitted; SETS] = [
Fitted::new(1, [0.58590, 0.06114, 0.63416, 0.04823, 0.60880, 0.25968, 0.49685, 0.16890, 0.00342, 0.13264, 0.07026, 17.81185, 1.38958, 5.62336, 0.71761, 7.28381]),
    Fitted::new(2, [0.64545, 0.04715, 0.66785, 0.04358, 0.65861, 0.31128, 0.53410, 0.16154, 0.00411, 0.10013, 0.10876, 17.48846, 1.47367, 5.52418, 0.59812, 7.10807]),
    Fitted::new(3, [0.61020, 0.05176, 0.68871, 0.04607, 0.64128, 0.24941, 0.46952, 0.17457, 0.00289, 0.10017, 0.09447, 17.33866, 1.53366, 5.77689, 0.76854, 7.24061]),
    Fitted::new(4, [0.59737, 0.06047, 0.64400, 0.03931, 0.64247, 0.26256, 0.51629, 0.15190, 0.00392, 0.04787, 0.06431, 17.83476, 1.34155, 5.12000, 0.68306, 7.22115]),
    Fitted::new(5, [0.60668, 0.03687, 0.62660, 0.01606, 0.64965, 0.24023, 0.44496, 0.25234, 0.00303, 0.09457, 0.12908, 17.93590, 1.30462, 5.79579, 0.65830, 7.36973]),
    Fitted::new(6, [0.64396, 0.06234, 0.60914, 0.05224, 0.68440, 0.26178, 0.51126, 0.23783, 0.00337, 0.06694, 0.05585, 17.55416, 1.48575, 5.55701, 0.68678, 7.20523]),
    Fitted::new(7, [0.59585, 0.06445, 0.68358, 0.03835, 0.53175, 0.28663, 0.44210, 0.18585, 0.00411, 0.08478, 0.11144, 17.84966, 1.31327, 5.78340, 0.59318, 7.16673]),
    Fitted::new(8, [0.66206, 0.05498, 0.68487, 0.03569, 0.61068, 0.28089, 0.48217, 0.12909, 0.00289, 0.09568, 0.07588, 17.70504, 1.40333, 5.18733, 0.72161, 7.36549]),
    Fitted::new(9, [0.62643, 0.07816, 0.67259, 0.04437, 0.57435, 0.18908, 0.46130, 0.18772, 0.00326, 0.06566, 0.06869, 17.80431, 1.48412, 5.50821, 0.46665, 7.31352]),
    Fitted::new(10, [0.67007, 0.05359, 0.58819, 0.04152, 0.65068, 0.35714, 0.50729, 0.24857, 0.00395, 0.07964, 0.11506, 17.84215, 1.21803, 5.35236, 0.84039, 7.21367]),
    Fitted::new(11, [0.65523, 0.06427, 0.57332, 0.05310, 0.62289, 0.25837, 0.51398, 0.16207, 0.00329, 0.12054, 0.05488, 17.82286, 1.37067, 5.80287, 0.87470, 7.18574]),
    Fitted::new(12, [0.59273, 0.06778, 0.62511, 0.04536, 0.63648, 0.23841, 0.46420, 0.29117, 0.00355, 0.06594, 0.09288, 17.87753, 1.33180, 5.39850, 0.64422, 7.22389]),
    Fitted::new(14, [0.63361, 0.06415, 0.68384, 0.03680, 0.54505, 0.30612, 0.44683, 0.20996, 0.00313, 0.05010, 0.03844, 17.67002, 1.37349, 5.24358, 0.61647, 7.29920]),
    Fitted::new(15, [0.70692, 0.04659, 0.68546, 0.03548, 0.58289, 0.37022, 0.55470, 0.15776, 0.00224, 0.09645, 0.04526, 17.65662, 1.43148, 5.28550, 0.74060, 7.15921]),
    Fitted::new(17, [0.65822, 0.05729, 0.68851, 0.04359, 0.64800, 0.26214, 0.54176, 0.18298, 0.00243, 0.05328, 0.07900, 17.10464, 1.60280, 5.62560, 0.74627, 7.13944]),
    Fitted::new(18, [0.61793, 0.05427, 0.65490, 0.04555, 0.63220, 0.29994, 0.47947, 0.19074, 0.00250, 0.11034, 0.16774, 17.84245, 1.33149, 5.14835, 0.62254, 7.21004]),
    Fitted::new(19, [0.62838, 0.07228, 0.64533, 0.06592, 0.63365, 0.22977, 0.53837, 0.17234, 0.00311, 0.05428, 0.06111, 17.17598, 1.61888, 5.38103, 0.79664, 7.14180]),
    Fitted::new(20, [0.65905, 0.06155, 0.69414, 0.05157, 0.63120, 0.23690, 0.47322, 0.24388, 0.00307, 0.06315, 0.06777, 17.39962, 1.55155, 4.94134, 0.76182, 7.26639]),
    Fitted::new(21, [0.62571, 0.07456, 0.70696, 0.04601, 0.54019, 0.19629, 0.45579, 0.21427, 0.00413, 0.08879, 0.12262, 17.48470, 1.54613, 5.83057, 0.61210, 7.23437]),
    Fitted::new(22, [0.56973, 0.04691, 0.66314, 0.04225, 0.68976, 0.26646, 0.45044, 0.17300, 0.00322, 0.07637, 0.05601, 17.68374, 1.40177, 5.22803, 0.65208, 7.36305]),
];

/// The set nearest to the mean of all, by the knobs of its rack.
const CENTRAL: usize = 2;

impl Default for Constants {
    fn default() -> Self {
        ENSEMBLE[CENTRAL].constants
    }
}

/// Racks of all sets, in order, to throw at.
pub fn racks() -> Vec<Rack> {
    ENSEMBLE.iter().map(|fitted| Rack::new(fitted.constants)).collect()
}
