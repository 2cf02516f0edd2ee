//! What a throw leaves.

use boardwise_score::PinSet;
use boardwise_units::Board;
use glam::DVec3;

/// Pins as bits: bit 0 is pin 1, bit 9 is pin 10.
pub type Mask = u16;

/// All ten pins.
pub const FULL_RACK: Mask = 0x3ff;

/// Pin numbers of the mirror image, bit for bit: 2 and 3 change places, 4 and 6, 7 and 10, 8 and 9.
const MIRROR: [u8; 10] = [0, 2, 1, 5, 4, 3, 9, 8, 7, 6];

/// The same pins seen from a left-hander's side.
///
/// ```
/// // A left-hander's flat corner pin is the 7.
/// assert_eq!(boardwise_pins::mirrored(1 << 9), 1 << 6);
/// ```
pub const fn mirrored(mask: Mask) -> Mask {
    let (mut out, mut i) = (0, 0);
    while i < 10 {
        out |= (mask >> i & 1) << MIRROR[i];
        i += 1;
    }
    out
}

/// How the ball left the deck.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exit {
    /// Where its centre crossed the end of the deck: metres from the centre line toward the bowling-hand side.
    pub x_m: f64,
    /// Its velocity there, m/s.
    pub velocity_m_s: DVec3,
}

impl Exit {
    /// The board on which it left.
    pub fn board(&self) -> Board {
        Board::from_metres(self.x_m)
    }
}

/// What a throw leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// Pins that stand at the end; the rest of those that stood before are down.
    pub standing: Mask,
    /// Standing pins that moved more than half an inch from where they stood.
    pub slid: Mask,
    /// Pins that the ball itself touched.
    pub touched: Mask,
    /// How the ball left the deck; none if it stayed on it or ran into a gutter and stopped.
    pub exit: Option<Exit>,
    /// Time until nothing more could fall, seconds.
    pub time_s: f64,
    /// Steps taken.
    pub steps: u32,
}

impl Outcome {
    /// Whether no pin stands.
    pub const fn is_strike(&self) -> bool {
        self.standing == 0
    }

    /// The pins that stand at the end, as a set that prints itself and knows splits. Sets have an order and a hash, so that
    /// a map counts them.
    ///
    /// ```
    /// use boardwise_pins::{Constants, Rack, carry::Approach, units::stream::Stream};
    /// use std::collections::BTreeMap;
    ///
    /// let (entry, ball) = Approach { board: 14.0, angle_deg: 2.0, speed_m_s: 7.2, weight_lb: 15.0, roll: 1.0 }.entry();
    /// let rack = Rack::new(Constants::default());
    /// let mut leaves = BTreeMap::new();
    /// for number in 0..20 {
    ///     let outcome = rack.throw(&entry, &ball, &mut Stream::keyed(1, "rack", number))?;
    ///     *leaves.entry(outcome.left()).or_insert(0) += 1;
    /// }
    /// for (pins, count) in leaves {
    ///     println!("{pins} stood {count} times");
    /// }
    /// # Ok::<(), boardwise_pins::ThrowError>(())
    /// ```
    pub fn left(&self) -> PinSet {
        PinSet::from_bits(self.standing & FULL_RACK).unwrap_or_default()
    }

    /// The same throw seen in a mirror: a left-hander's.
    #[must_use]
    pub fn mirrored(self) -> Self {
        let exit = self.exit.map(|exit| Exit {
            x_m: -exit.x_m,
            velocity_m_s: DVec3::new(-exit.velocity_m_s.x, exit.velocity_m_s.y, exit.velocity_m_s.z),
        });
        Self {
            standing: mirrored(self.standing),
            slid: mirrored(self.slid),
            touched: mirrored(self.touched),
            exit,
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_mirroring_twice_changes_nothing() {
        for mask in 0..=FULL_RACK {
            assert_eq!(mirrored(mirrored(mask)), mask);
            assert_eq!(mirrored(mask).count_ones(), mask.count_ones());
        }
        assert_eq!(mirrored(0b1), 0b1, "the head pin stays");
        assert_eq!(mirrored(0b10), 0b100, "2 becomes 3");
    }
}
