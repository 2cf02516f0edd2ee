//! The line a bowler is on, and how the record keeps it: as a note in fixed words, one for each lane.

use boardwise_lane::Release;
use boardwise_search::Move;
use boardwise_units::{Board, Degrees, Feet, Mph};
use serde::{Deserialize, Serialize};

use crate::ARROWS_FT;

/// What a bowler means to throw; the rest of the release is their own.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Meant {
    /// Board of laydown.
    pub laydown: f64,
    /// Board pointed at, 15 ft down.
    pub arrows: f64,
    /// Speed.
    pub speed_mph: f64,
    /// Axis rotation.
    pub rotation_deg: f64,
}

/// Boards and the rest are kept to this many parts of one: no bowler means less.
const PARTS: f64 = 100.0;

impl Meant {
    /// Of a release.
    pub fn of(release: &Release) -> Self {
        let straight = Release { launch: Degrees(0.0), ..*release };
        let kept = |value: f64| (PARTS * value).round() / PARTS;
        Self {
            laydown: kept(release.laydown.0),
            arrows: kept(release.laydown.0 + Move::between(&straight, release).eyes_boards),
            speed_mph: kept(release.speed.0),
            rotation_deg: kept(release.rotation.0),
        }
    }

    /// As a release of a bowler whose usual one is this.
    pub fn release(&self, own: &Release) -> Release {
        let meant = Release {
            laydown: Board(self.laydown),
            speed: Mph(self.speed_mph),
            rotation: Degrees(self.rotation_deg),
            ..*own
        };
        meant.aimed_at(Board(self.arrows), Feet(ARROWS_FT))
    }

    /// In words.
    pub fn words(&self) -> String {
        let Self { laydown, arrows, speed_mph, rotation_deg } = self;
        format!("laydown {laydown}, arrows {arrows}, {speed_mph} mph, {rotation_deg} degrees of rotation")
    }

    /// The note of it for a lane.
    pub fn note(&self, lane: u32) -> String {
        format!("line on lane {lane}: {}", self.words())
    }

    /// What a note says, if it is one of a line: the lane's number and the line.
    pub fn read(note: &str) -> Option<(u32, Self)> {
        let (lane, rest) = note.strip_prefix("line on lane ")?.split_once(": laydown ")?;
        let (laydown, rest) = rest.split_once(", arrows ")?;
        let (arrows, rest) = rest.split_once(", ")?;
        let (speed, rest) = rest.split_once(" mph, ")?;
        let rotation = rest.strip_suffix(" degrees of rotation")?;
        let number = |text: &str| text.parse::<f64>().ok();
        let meant = Self {
            laydown: number(laydown)?,
            arrows: number(arrows)?,
            speed_mph: number(speed)?,
            rotation_deg: number(rotation)?,
        };
        // Anybody may write a remark in these words: what cannot be thrown is none of ours.
        meant.release(&Release::default()).check().ok()?;
        Some((lane.parse().ok()?, meant))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_line_comes_back_from_its_note() {
        for (laydown, launch) in [(25.333, 2.5), (8.0, -0.75), (39.5, 0.0)] {
            let own = Release::default();
            let release = Release { laydown: Board(laydown), launch: Degrees(launch), ..own };
            let meant = Meant::of(&release);
            assert_eq!(Meant::read(&meant.note(12)), Some((12, meant)));
            let back = meant.release(&own);
            assert!((back.laydown.0 - laydown).abs() < 0.006 && (back.launch.0 - launch).abs() < 0.006, "{back:?}");
        }
        assert_eq!(Meant::read("line on lane 7: feet in, I think"), None);
        assert_eq!(Meant::read("line on lane 7: laydown 900, arrows 3, 17 mph, 40 degrees of rotation"), None);
        assert_eq!(Meant::read("line on lane 7: laydown nan, arrows 3, 17 mph, 40 degrees of rotation"), None);
    }
}
