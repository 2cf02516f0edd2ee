//! When a shot was made that a device tells of, perhaps long after.

use jiff::{SignedDuration, Timestamp};

/// What a device's own clock said of a shot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DeviceTime {
    /// When it was made.
    pub made: Timestamp,
    /// When the device sent it.
    pub sent: Timestamp,
}

/// A device whose clock is off by as much is not believed.
const FAR_OFF: SignedDuration = SignedDuration::from_hours(24);
/// By as much a shot may seem to be older than the one before it: what it takes on its way through the network is not always the same.
const JITTER: SignedDuration = SignedDuration::from_mins(1);

impl DeviceTime {
    /// From the words of a device; none where they say no time, since no shot is refused for its clock.
    pub fn read(made: Option<&str>, sent: Option<&str>) -> Option<Self> {
        Some(Self { made: made?.parse().ok()?, sent: sent?.parse().ok()? })
    }

    /// When the shot was made, by our clock, on which it `arrived`: the device's clock only tells how long it waited there, so that it need
    /// not be right. It is the time of arrival where that clock is a day or more off, was set back while the shot waited, or would have the
    /// shot made before the `earliest` that can be: when the block began, or the shot before it was made.
    pub fn by_ours(self, arrived: Timestamp, earliest: Timestamp) -> Timestamp {
        let (off, waited) = (arrived.duration_since(self.sent), self.sent.duration_since(self.made));
        if off.abs() >= FAR_OFF || waited.is_negative() {
            return arrived;
        }
        match arrived.checked_sub(waited) {
            Ok(made) if made >= earliest => made,
            Ok(made) if earliest.duration_since(made) <= JITTER => earliest.min(arrived),
            _ => arrived,
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn at(minutes: i64) -> Timestamp {
        Timestamp::from_second(1_775_000_000 + 60 * minutes).unwrap()
    }

    /// Of a shot that arrived after 100 minutes, in minutes; the one before it was made after 30.
    fn minutes(made: i64, sent: i64) -> i64 {
        let ours = DeviceTime { made: at(made), sent: at(sent) }.by_ours(at(100), at(30));
        ours.duration_since(at(0)).as_mins()
    }

    #[test]
    fn law_a_late_shot_has_the_time_at_which_it_was_made() {
        assert_eq!(minutes(40, 100), 40, "a clock that is right");
        assert_eq!(minutes(40 - 25, 100 - 25), 40, "a clock that is slow");
        assert_eq!(minutes(40 + 600, 100 + 600), 40, "a clock ten hours fast");
        assert_eq!(minutes(100, 100), 100, "sent at once");
    }

    #[test]
    fn law_a_clock_that_cannot_be_right_is_not_believed() {
        const DAYS: i64 = 3 * 24 * 60;
        assert_eq!(minutes(40 - DAYS, 100 - DAYS), 100, "days slow");
        assert_eq!(minutes(40 + DAYS, 100 + DAYS), 100, "days fast");
        assert_eq!(minutes(40, 100 - 70), 100, "set back by 70 minutes while the shot waited");
        assert_eq!(minutes(40 - DAYS, 100), 100, "put right by days while the shot waited");
        assert_eq!(minutes(20, 100), 100, "before the shot before it");
        assert_eq!(minutes(29, 100), 30, "hardly before it: just after it");
    }

    #[test]
    fn law_words_that_are_no_time_say_nothing() {
        let time = "2026-04-11T09:30:00.123Z";
        assert!(DeviceTime::read(Some(time), Some(time)).is_some());
        for (made, sent) in
            [(None, Some(time)), (Some(time), None), (Some("yesterday"), Some(time)), (Some(time), Some(""))]
        {
            assert_eq!(DeviceTime::read(made, sent), None);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn law_no_shot_is_from_the_future_or_from_before_the_one_before_it(
            made in -377_705_023_200_i64..=253_402_207_200, sent in -377_705_023_200_i64..=253_402_207_200,
            near in -100_000_i64..100_000, earliest in 0_i64..200_000
        ) {
            let second = |second: i64| Timestamp::from_second(second).unwrap();
            let arrived = second(1_775_000_000);
            let earliest = second(1_775_000_000 - earliest);
            for (made, sent) in [(made, sent), (1_775_000_000 + near, 1_775_000_000), (made, made + near.abs())] {
                let Ok(sent) = Timestamp::from_second(sent) else { continue };
                let ours = DeviceTime { made: second(made), sent }.by_ours(arrived, earliest);
                prop_assert!(ours <= arrived && ours >= earliest, "{ours}");
            }
        }
    }
}
