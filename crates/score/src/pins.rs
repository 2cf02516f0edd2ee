//! Pins by number and sets of pins.

use crate::Error;
use alloc::boxed::Box;
use boardwise_units::Hand;
use core::fmt;
use core::ops::{BitAnd, BitOr, Sub};
use core::str::FromStr;

/// One pin, by its number from 1 (the head pin) to 10.
///
/// ```
/// use boardwise_score::Pin;
/// assert_eq!(Pin::new(7)?.mirrored(), Pin::new(10)?);
/// assert!(Pin::new(11).is_err());
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pin(u8);

/// Bit patterns of the pins that stand 12 in from each pin, pin 1 first.
const NEIGHBOURS: [u16; 10] = [
    bits(&[2, 3]),
    bits(&[1, 3, 4, 5]),
    bits(&[1, 2, 5, 6]),
    bits(&[2, 5, 7, 8]),
    bits(&[2, 3, 4, 6, 8, 9]),
    bits(&[3, 5, 9, 10]),
    bits(&[4, 8]),
    bits(&[4, 5, 7, 9]),
    bits(&[5, 6, 8, 10]),
    bits(&[6, 9]),
];

/// The pin in each pin's place in the mirror.
const MIRROR: [u8; 10] = [1, 3, 2, 6, 5, 4, 10, 9, 8, 7];

/// The bit pattern of pins known to be right.
pub(crate) const fn bits(pins: &[u8]) -> u16 {
    let (mut all, mut i) = (0, 0);
    while i < pins.len() {
        all |= 1 << (pins[i] - 1);
        i += 1;
    }
    all
}

impl Pin {
    /// The head pin.
    pub const HEAD: Self = Self(1);

    /// The pin of this number.
    ///
    /// # Errors
    /// [`Error::NoSuchPin`] unless the number is 1 to 10.
    pub const fn new(number: u8) -> Result<Self, Error> {
        if number >= 1 && number <= 10 { Ok(Self(number)) } else { Err(Error::NoSuchPin { number }) }
    }

    /// Its number, 1 to 10.
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Its place in a list of ten, 0 to 9.
    pub const fn index(self) -> usize {
        self.0 as usize - 1
    }

    /// The pin in its place in the mirror: 2 and 3, 4 and 6, 7 and 10, 8 and 9 change places.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        Self(MIRROR[self.index()])
    }

    /// The pins that stand 12 in from it.
    ///
    /// ```
    /// assert_eq!(boardwise_score::Pin::new(10)?.neighbours().to_string(), "6-9");
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub const fn neighbours(self) -> PinSet {
        PinSet(NEIGHBOURS[self.index()])
    }
}

impl fmt::Display for Pin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

/// Some of the ten pins, usually those that stand. Ten bits, pin 1 in bit 0; no other bit is ever set.
///
/// Written like `3-10`, or `none`:
///
/// ```
/// use boardwise_score::PinSet;
/// let leave: PinSet = "10-3".parse()?;
/// assert_eq!(leave.to_string(), "3-10");
/// assert_eq!(leave.mirrored(), "2-7".parse()?);
/// assert!("3-3".parse::<PinSet>().is_err());
/// assert!("".parse::<PinSet>().is_err());
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PinSet(u16);

impl PinSet {
    /// No pin.
    pub const NONE: Self = Self(0);
    /// The full rack.
    pub const ALL: Self = Self(0x3ff);

    /// The set with these bits, pin 1 in bit 0; `None` if any bit above the tenth is set.
    ///
    /// ```
    /// use boardwise_score::PinSet;
    /// assert_eq!(PinSet::from_bits(0b10_0000_0100), Some("3-10".parse()?));
    /// assert_eq!(PinSet::from_bits(1 << 10), None);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub const fn from_bits(bits: u16) -> Option<Self> {
        if bits <= Self::ALL.0 { Some(Self(bits)) } else { None }
    }

    /// The set of the pins with these numbers.
    ///
    /// ```
    /// assert_eq!(boardwise_score::PinSet::of(&[7, 10])?.to_string(), "7-10");
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::NoSuchPin`] or [`Error::PinTwice`]. No numbers make the empty set.
    pub fn of(numbers: &[u8]) -> Result<Self, Error> {
        numbers.iter().try_fold(Self::NONE, |set, &number| {
            let pin = Pin::new(number)?;
            if set.contains(pin) { Err(Error::PinTwice { pin: number }) } else { Ok(set.with(pin)) }
        })
    }

    /// Its ten bits, pin 1 in bit 0: a number below 1024 to look tables up with.
    pub const fn bits(self) -> u16 {
        self.0
    }

    /// How many pins.
    pub const fn len(self) -> u8 {
        self.0.count_ones() as u8
    }

    /// Whether it has no pin.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether `pin` is one of them.
    pub const fn contains(self, pin: Pin) -> bool {
        self.0 >> pin.index() & 1 == 1
    }

    /// Whether all of them are also in `other`.
    pub const fn is_within(self, other: Self) -> bool {
        self.0 & !other.0 == 0
    }

    /// These and `pin`.
    #[must_use]
    pub const fn with(self, pin: Pin) -> Self {
        Self(self.0 | 1 << pin.index())
    }

    /// These without `pin`.
    #[must_use]
    pub const fn without(self, pin: Pin) -> Self {
        Self(self.0 & !(1 << pin.index()))
    }

    /// The same pins in the mirror, as a left-hander's are to a right-hander's.
    #[must_use]
    pub fn mirrored(self) -> Self {
        self.iter().map(Pin::mirrored).collect()
    }

    /// Turns real pins into those that a right-hander would see, and back. It mirrors a left-hander's pins and leaves a
    /// right-hander's alone.
    ///
    /// ```
    /// use boardwise_units::Hand;
    /// use boardwise_score::PinSet;
    /// let ringing_seven = PinSet::of(&[7])?;
    /// assert_eq!(ringing_seven.for_hand(Hand::Left), PinSet::of(&[10])?);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    #[must_use]
    pub fn for_hand(self, hand: Hand) -> Self {
        match hand {
            Hand::Right => self,
            Hand::Left => self.mirrored(),
        }
    }

    /// The pins in order of their numbers.
    ///
    /// ```
    /// let numbers: Vec<u8> = boardwise_score::PinSet::of(&[10, 3])?.iter().map(|pin| pin.number()).collect();
    /// assert_eq!(numbers, [3, 10]);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub const fn iter(self) -> Pins {
        Pins(self.0)
    }
}

/// The pins of a [`PinSet`] in order of their numbers.
#[derive(Clone, Debug)]
pub struct Pins(u16);

impl Iterator for Pins {
    type Item = Pin;

    fn next(&mut self) -> Option<Pin> {
        let index = self.0.trailing_zeros() as u8;
        if index >= 10 {
            return None;
        }
        self.0 &= self.0 - 1;
        Some(Pin(index + 1))
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let len = self.0.count_ones() as usize;
        (len, Some(len))
    }
}

impl ExactSizeIterator for Pins {}

impl IntoIterator for PinSet {
    type Item = Pin;
    type IntoIter = Pins;

    fn into_iter(self) -> Pins {
        self.iter()
    }
}

impl FromIterator<Pin> for PinSet {
    fn from_iter<I: IntoIterator<Item = Pin>>(pins: I) -> Self {
        pins.into_iter().fold(Self::NONE, Self::with)
    }
}

impl From<Pin> for PinSet {
    fn from(pin: Pin) -> Self {
        Self::NONE.with(pin)
    }
}

impl BitOr for PinSet {
    type Output = Self;
    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl BitAnd for PinSet {
    type Output = Self;
    fn bitand(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }
}

impl Sub for PinSet {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }
}

impl fmt::Display for PinSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_empty() {
            return f.pad("none");
        }
        for (i, pin) in self.iter().enumerate() {
            if i > 0 {
                f.write_str("-")?;
            }
            write!(f, "{pin}")?;
        }
        Ok(())
    }
}

impl FromStr for PinSet {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let text = text.trim();
        if text.is_empty() {
            return Err(Error::NoPins);
        }
        if text == "none" {
            return Ok(Self::NONE);
        }
        text.split('-').map(str::trim).enumerate().try_fold(Self::NONE, |set, (i, piece)| {
            // Digits only: the number parser alone would let `+3` through.
            let number = if piece.bytes().all(|b| b.is_ascii_digit()) { piece.parse().ok() } else { None };
            let pin = number
                .and_then(|n| Pin::new(n).ok())
                .ok_or_else(|| Error::NotAPin { found: Box::from(piece), place: i + 1 })?;
            if set.contains(pin) { Err(Error::PinTwice { pin: pin.0 }) } else { Ok(set.with(pin)) }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use alloc::string::ToString;
    use boardwise_units::court::PIN_SPOTS_IN;
    use proptest::prelude::*;

    fn distance_in(a: Pin, b: Pin) -> f64 {
        let ((ax, ay), (bx, by)) = (PIN_SPOTS_IN[a.index()], PIN_SPOTS_IN[b.index()]);
        ((ax - bx).powi(2) + (ay - by).powi(2)).sqrt()
    }

    #[test]
    fn law_neighbours_stand_twelve_inches_apart() {
        // Spots on a 12 in triangle [C from the published triangle].
        for a in PinSet::ALL {
            let by_distance: PinSet = PinSet::ALL.iter().filter(|&b| (distance_in(a, b) - 12.0).abs() < 1e-9).collect();
            assert_eq!(a.neighbours(), by_distance, "pin {a}");
        }
    }

    #[test]
    fn law_mirror_changes_the_side_only() {
        for pin in PinSet::ALL {
            let ((x, y), (mx, my)) = (PIN_SPOTS_IN[pin.index()], PIN_SPOTS_IN[pin.mirrored().index()]);
            assert!((x + mx).abs() < 1e-12 && (y - my).abs() < 1e-12, "pin {pin}");
        }
    }

    #[test]
    fn law_bad_text_is_refused_with_the_reason() {
        let why = |text: &str| text.parse::<PinSet>().unwrap_err();
        assert_eq!(why(""), Error::NoPins);
        assert_eq!(why("  "), Error::NoPins);
        assert_eq!(why("3-11"), Error::NotAPin { found: "11".into(), place: 2 });
        assert_eq!(why("0"), Error::NotAPin { found: "0".into(), place: 1 });
        assert_eq!(why("3--10"), Error::NotAPin { found: "".into(), place: 2 });
        assert_eq!(why("-3"), Error::NotAPin { found: "".into(), place: 1 });
        assert_eq!(why("+3"), Error::NotAPin { found: "+3".into(), place: 1 });
        assert_eq!(why("3 10"), Error::NotAPin { found: "3 10".into(), place: 1 });
        assert_eq!(why("99999999999999999999"), Error::NotAPin { found: "99999999999999999999".into(), place: 1 });
        assert_eq!(why("10-3-10"), Error::PinTwice { pin: 10 });
        assert_eq!(PinSet::of(&[4, 11]), Err(Error::NoSuchPin { number: 11 }));
        assert_eq!(PinSet::of(&[4, 4]), Err(Error::PinTwice { pin: 4 }));
    }

    proptest! {
        #[test]
        fn law_written_and_read_again_is_the_same(bits in 0u16..1024) {
            let set = PinSet::from_bits(bits).unwrap();
            prop_assert_eq!(set.to_string().parse::<PinSet>(), Ok(set));
        }

        #[test]
        fn law_mirroring_twice_is_no_change(bits in 0u16..1024) {
            let set = PinSet::from_bits(bits).unwrap();
            prop_assert_eq!(set.mirrored().mirrored(), set);
            prop_assert_eq!(set.mirrored().len(), set.len());
        }

        #[test]
        fn law_no_text_makes_the_reader_panic(text in ".*") {
            let _ = text.parse::<PinSet>();
        }
    }
}
