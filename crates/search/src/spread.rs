//! How shots meant alike differ: independent normal errors, sampled evenly rather than at random.

use crate::BowlerError;
use boardwise_lane::Release;
use boardwise_units::stream::normal_quantile;
use boardwise_units::{Board, Degrees, Mph, Rpm};

/// Standard deviations of a release around what was meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Boards at the foul line.
    pub laydown_boards: f64,
    /// Launch angle.
    pub launch: Degrees,
    /// Speed.
    pub speed: Mph,
    /// Rev rate.
    pub rev_rate: Rpm,
    /// Axis rotation.
    pub rotation: Degrees,
    /// Axis tilt.
    pub tilt: Degrees,
}

impl Default for Spread {
    /// A good league bowler: about 0.9 board at the arrows in all (220 average and over 0.65, 200 and over 0.97, as
    /// standard deviations \[C from P: USBC magazine 2012\]); the split between the parts is our judgement: 0.6 board of laydown,
    /// 0.22 degrees of launch, 0.3 mph, 10 rpm, 3 degrees of rotation, 1.5 of tilt.
    fn default() -> Self {
        Self {
            laydown_boards: 0.6,
            launch: Degrees(0.22),
            speed: Mph(0.3),
            rev_rate: Rpm(10.0),
            rotation: Degrees(3.0),
            tilt: Degrees(1.5),
        }
    }
}

/// Dimensions of a spread.
const DIMENSIONS: usize = 6;

impl Spread {
    /// Checks that every deviation is a number a person could have.
    ///
    /// # Errors
    /// At the first that is not; the error names it and what is allowed.
    pub fn check(&self) -> Result<(), BowlerError> {
        let bounds = [
            ("laydown_boards", self.laydown_boards, 10.0),
            ("launch_deg", self.launch.0, 5.0),
            ("speed_mph", self.speed.0, 5.0),
            ("rev_rate_rpm", self.rev_rate.0, 150.0),
            ("rotation_deg", self.rotation.0, 40.0),
            ("tilt_deg", self.tilt.0, 30.0),
        ];
        for (key, value, high) in bounds {
            if !(0.0..=high).contains(&value) {
                return Err(BowlerError::Value { key, value, low: 0.0, high });
            }
        }
        Ok(())
    }

    /// Each deviation, in the order of [`Spread::apply`].
    pub const fn each(&self) -> [f64; DIMENSIONS] {
        [self.laydown_boards, self.launch.0, self.speed.0, self.rev_rate.0, self.rotation.0, self.tilt.0]
    }

    /// `count` releases meant alike, spread evenly: the same for the same seed.
    pub fn releases(&self, meant: &Release, count: u32, seed: u64) -> Vec<Release> {
        Self::points(count, seed).iter().map(|z| self.apply(meant, z)).collect()
    }

    /// The spread in units of standard deviation: `count` points, the same for every line (common random numbers), spread
    /// evenly over the six dimensions by a scrambled Sobol sequence.
    pub fn points(count: u32, seed: u64) -> Vec<[f64; DIMENSIONS]> {
        (0..count).map(|index| Self::point(index, seed)).collect()
    }

    /// One of those points.
    pub fn point(index: u32, seed: u64) -> [f64; DIMENSIONS] {
        let seed = seed as u32 ^ (seed >> 32) as u32;
        core::array::from_fn(|dimension| {
            // Half a step of the sequence's 24 bits keeps 0 out.
            let u = f64::from(sobol_burley::sample(index, dimension as u32, seed)) + 0.5 / f64::from(1 << 24);
            normal_quantile(u)
        })
    }

    /// The release that deviations turn an intended one into, each in units of its standard deviation: laydown, launch, speed, rev rate, rotation, tilt.
    pub fn apply(&self, meant: &Release, z: &[f64; 6]) -> Release {
        Release {
            laydown: Board(meant.laydown.0 + self.laydown_boards * z[0]),
            launch: Degrees(meant.launch.0 + self.launch.0 * z[1]),
            speed: Mph(meant.speed.0 + self.speed.0 * z[2]),
            rev_rate: Rpm((meant.rev_rate.0 + self.rev_rate.0 * z[3]).max(0.0)),
            rotation: Degrees(meant.rotation.0 + self.rotation.0 * z[4]),
            tilt: Degrees(meant.tilt.0 + self.tilt.0 * z[5]),
            loft: meant.loft,
        }
    }
}
