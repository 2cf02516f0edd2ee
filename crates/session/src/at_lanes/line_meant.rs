//! The line a bowler means, as the record keeps it and as the engines throw it.

use boardwise_lane::Release;
pub use boardwise_record::LineMeant;
use boardwise_search::Move;
use boardwise_units::{Board, Degrees, Feet, Mph};

use crate::ARROWS_FT;

/// Boards and the rest are kept to this many parts of one: no bowler means less.
const PARTS: f64 = 100.0;

/// What a bowler means, as a release and in words.
pub trait AsRelease: Sized {
    /// Of a release.
    fn of(release: &Release) -> Self;

    /// As a release of a bowler whose usual one is this.
    fn release(&self, own: &Release) -> Release;

    /// In words.
    fn words(&self) -> String;
}

impl AsRelease for LineMeant {
    fn of(release: &Release) -> Self {
        let straight = Release { launch: Degrees(0.0), ..*release };
        let kept = |value: f64| (PARTS * value).round() / PARTS;
        Self {
            laydown: kept(release.laydown.0),
            arrows: kept(release.laydown.0 + Move::between(&straight, release).eyes_boards),
            speed_mph: kept(release.speed.0),
            rotation_deg: kept(release.rotation.0),
        }
    }

    fn release(&self, own: &Release) -> Release {
        let meant = Release {
            laydown: Board(self.laydown),
            speed: Mph(self.speed_mph),
            rotation: Degrees(self.rotation_deg),
            ..*own
        };
        meant.aimed_at(Board(self.arrows), Feet(ARROWS_FT))
    }

    fn words(&self) -> String {
        let Self { laydown, arrows, speed_mph, rotation_deg } = self;
        format!("laydown {laydown}, arrows {arrows}, {speed_mph} mph, {rotation_deg} degrees of rotation")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_line_comes_back_from_what_is_kept_of_it() {
        for (laydown, launch) in [(25.333, 2.5), (8.0, -0.75), (39.5, 0.0)] {
            let own = Release::default();
            let release = Release { laydown: Board(laydown), launch: Degrees(launch), ..own };
            let back = LineMeant::of(&release).release(&own);
            assert!((back.laydown.0 - laydown).abs() < 0.006 && (back.launch.0 - launch).abs() < 0.006, "{back:?}");
        }
    }
}
