//! A throw measured from film.

mod over;

pub use boardwise_film::Measured;
use boardwise_film::{Estimate, Reel, Settings, measure, parse_points};
use boardwise_units::{FOOT_M, Feet, Hand};

use super::Failure;
use super::view::{EstimateView, Form, LaneSeen, PlaceView, WatchAnswer};

/// What is asked of a film.
#[derive(Clone, Copy, Debug)]
pub struct Watch<'a> {
    /// The bytes of an MP4 or MOV file.
    pub film: &'a [u8],
    /// Points at which marks of the lane are seen, as [`parse_points`] reads them.
    pub points: &'a str,
    /// The bowling hand.
    pub hand: Hand,
    /// Where the oil ends, if that is known.
    pub pattern: Option<Feet>,
    /// How many times slower the film shows what happened than it was; 1 for most.
    pub slowed: f64,
}

impl Watch<'_> {
    /// Measures the throw.
    ///
    /// # Errors
    /// If the film or the points cannot be read, or the lane or the ball is not found.
    pub fn measured(&self) -> Result<Measured, Failure> {
        let points = parse_points(self.points)?;
        let pattern_ft = self.pattern.map(|feet| feet.to_metres() / FOOT_M);
        let settings = Settings { hand: self.hand, pattern_ft, slowed: self.slowed };
        Ok(measure(&mut Reel::open(self.film)?, &points, &settings)?)
    }

    /// The answer as a plain value.
    pub fn view(&self, measured: &Measured) -> WatchAnswer {
        let (arrows_boards, pins_boards) = measured.lane_boards;
        WatchAnswer {
            schema: Form,
            key: boardwise_record::Measured::key_of_film(self.film).to_string(),
            boards_from: self.hand.into(),
            laydown_board: measured.laydown.as_ref().map(EstimateView::from),
            launch_deg: measured.launch.as_ref().map(EstimateView::from),
            arrows_board: measured.arrows.as_ref().map(EstimateView::from),
            breakpoint_board: (&measured.breakpoint_board).into(),
            breakpoint_feet: (&measured.breakpoint_ft).into(),
            exit_board: measured.exit.as_ref().map(EstimateView::from),
            entry_board: measured.entry.as_ref().map(EstimateView::from),
            entry_deg: measured.entry_angle.as_ref().map(EstimateView::from),
            release_mph: (&measured.release_speed).into(),
            pins_mph: measured.pins_speed.as_ref().map(EstimateView::from),
            rev_rate_rpm: measured.spin.as_ref().map(|spin| EstimateView::from(&spin.rev_rate)),
            rotation_deg: measured.spin.and_then(|spin| spin.rotation).as_ref().map(EstimateView::from),
            tilt_deg: measured.spin.and_then(|spin| spin.tilt).as_ref().map(EstimateView::from),
            path: measured.path.rows.iter().map(|row| PlaceView { board: row.board, feet: row.feet }).collect(),
            pictures: measured.pictures,
            sightings: measured.sightings.len(),
            seen_feet: [measured.seen_ft.0, measured.seen_ft.1],
            lane_error: LaneSeen { arrows_boards, pins_boards },
            misfit: measured.misfit,
        }
    }
}

impl From<&Estimate> for EstimateView {
    fn from(estimate: &Estimate) -> Self {
        Self { value: estimate.value, error: estimate.error, low: estimate.low, high: estimate.high }
    }
}
