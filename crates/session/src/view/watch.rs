//! A throw measured from film.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Form, PlaceView, SideWord};

/// What a film says of a throw. Each key of an estimate carries its unit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WatchAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// Key under which `log --measured` logs the shot: the same for the same film.
    pub key: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// Board under the ball at the foul line; null where the ball was seen too late to say.
    pub laydown_board: Option<EstimateView>,
    /// Launch angle, degrees, positive toward the bowling-hand gutter; null as above.
    pub launch_deg: Option<EstimateView>,
    /// Board at 15 ft; null as above.
    pub arrows_board: Option<EstimateView>,
    /// Board closest to the bowling-hand gutter.
    pub breakpoint_board: EstimateView,
    /// Distance of the breakpoint, feet.
    pub breakpoint_feet: EstimateView,
    /// Board where the pattern ends; null where its length is not known.
    pub exit_board: Option<EstimateView>,
    /// Board at which the line of entry crosses the head pin's row; null for a ball that left the lane.
    pub entry_board: Option<EstimateView>,
    /// Entry angle, degrees; null for a ball that left the lane.
    pub entry_deg: Option<EstimateView>,
    /// Speed at release, mph.
    pub release_mph: EstimateView,
    /// Speed at the head pin's row, mph; null for a ball that left the lane.
    pub pins_mph: Option<EstimateView>,
    /// Rev rate at release, rpm; null where no mark on the ball tells it.
    pub rev_rate_rpm: Option<EstimateView>,
    /// Axis rotation at release, degrees; null as above.
    pub rotation_deg: Option<EstimateView>,
    /// Axis tilt at release, degrees; null as above.
    pub tilt_deg: Option<EstimateView>,
    /// The fitted path, foot by foot.
    pub path: Vec<PlaceView>,
    /// Pictures of the film that were read.
    pub pictures: usize,
    /// Pictures in which the ball was seen.
    pub sightings: usize,
    /// Where the ball was seen first and last, feet.
    pub seen_feet: [f64; 2],
    /// How well the lane is known in the picture.
    pub lane_error: LaneSeen,
    /// How far the fitted path misses what was seen, over the stated error; near 1 in a good film.
    pub misfit: f64,
}

/// A value from film with its error.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct EstimateView {
    /// The value.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
    /// The true value lies above this nine times in ten.
    pub low: f64,
    /// The true value lies below this nine times in ten.
    pub high: f64,
}

/// Standard error of the lane's own place in the picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LaneSeen {
    /// Across the lane at the arrows, boards.
    pub arrows_boards: f64,
    /// Across the lane at 60 ft, boards.
    pub pins_boards: f64,
}
