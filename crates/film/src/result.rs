//! What a film says of a throw.

use boardwise_lane::Path;
use boardwise_units::Hand;

use crate::{Camera, Sighting};

/// Values of a throw as people compare them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shot {
    /// Board under the ball at the foul line.
    pub laydown_board: f64,
    /// Launch angle, degrees, positive toward the bowling-hand gutter.
    pub launch_deg: f64,
    /// Board at 15 ft.
    pub arrows_board: f64,
    /// Board closest to the bowling-hand gutter.
    pub breakpoint_board: f64,
    /// Where that is, feet.
    pub breakpoint_ft: f64,
    /// Board where the pattern ends; not a number where its length is not known.
    pub exit_board: f64,
    /// Board at which the line of entry crosses the head pin's row; not a number where the ball left the lane.
    pub entry_board: f64,
    /// Entry angle, degrees.
    pub entry_deg: f64,
    /// Speed at release, mph.
    pub release_mph: f64,
    /// Speed at the pins, mph.
    pub pins_mph: f64,
}

/// Values of a [`Shot`].
pub const VALUES: usize = 10;

impl Shot {
    /// What a path comes to; `pattern_ft` is where its oil ends, if anybody knows.
    pub fn of(path: &Path, pattern_ft: Option<f64>) -> Self {
        let first = &path.rows[0];
        let board_at = |feet: f64| {
            let k = feet as usize;
            let (a, b) = (path.rows.get(k)?, path.rows.get(k + 1));
            let t = feet - k as f64;
            Some(b.map_or(a.board, |b| a.board * (1.0 - t) + b.board * t))
        };
        let end = path.rows.get(60).filter(|_| path.gutter.is_none());
        let touch = path.touch.as_ref();
        Self {
            laydown_board: first.board,
            launch_deg: -first.angle.0,
            arrows_board: board_at(15.0).unwrap_or(f64::NAN),
            breakpoint_board: path.breakpoint.board.0,
            breakpoint_ft: path.breakpoint.feet.0,
            exit_board: pattern_ft.and_then(board_at).unwrap_or(f64::NAN),
            entry_board: touch.map(|t| t.board().0).or(end.map(|row| row.board)).unwrap_or(f64::NAN),
            entry_deg: touch.map(|t| t.angle().0).or(end.map(|row| row.angle.0)).unwrap_or(f64::NAN),
            release_mph: first.speed.0,
            pins_mph: end.map_or(f64::NAN, |row| row.speed.0),
        }
    }

    /// The values in a row.
    pub fn values(&self) -> [f64; VALUES] {
        [
            self.laydown_board,
            self.launch_deg,
            self.arrows_board,
            self.breakpoint_board,
            self.breakpoint_ft,
            self.exit_board,
            self.entry_board,
            self.entry_deg,
            self.release_mph,
            self.pins_mph,
        ]
    }
}

/// A value with what is known of its error.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
    /// Nine in ten times the true value is above this.
    pub low: f64,
    /// Nine in ten times it is below this.
    pub high: f64,
}

/// How the ball turns at release.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spin {
    /// Rev rate, rpm.
    pub rev_rate: Estimate,
    /// Axis rotation, degrees; none where the marks leave it open.
    pub rotation: Option<Estimate>,
    /// Axis tilt, degrees; none as above.
    pub tilt: Option<Estimate>,
    /// Marks that were followed.
    pub marks: usize,
}

/// A measured throw.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Board under the ball at the foul line; none where the ball was seen too late to say.
    pub laydown: Option<Estimate>,
    /// Launch angle, degrees; none as above.
    pub launch: Option<Estimate>,
    /// Board at 15 ft; none as above.
    pub arrows: Option<Estimate>,
    /// Board closest to the bowling-hand gutter.
    pub breakpoint_board: Estimate,
    /// Its distance, feet.
    pub breakpoint_ft: Estimate,
    /// Board where the pattern ends, if its length was given.
    pub exit: Option<Estimate>,
    /// Board at the head pin's row; none of a ball that left the lane.
    pub entry: Option<Estimate>,
    /// Entry angle, degrees.
    pub entry_angle: Option<Estimate>,
    /// Speed at release, mph.
    pub release_speed: Estimate,
    /// Speed at the pins, mph.
    pub pins_speed: Option<Estimate>,
    /// Pictures of the film that were read.
    pub pictures: usize,
    /// The ball, picture by picture.
    pub sightings: Vec<Sighting>,
    /// Where the ball was seen first and last, feet.
    pub seen_ft: (f64, f64),
    /// Error of the lane across it at the arrows and at 60 ft, boards.
    pub lane_boards: (f64, f64),
    /// Root mean square miss of the fitted path over its stated error.
    pub misfit: f64,
    /// The camera, as fitted to the lane and the throw together.
    pub camera: Camera,
    /// The bowling hand.
    pub hand: Hand,
    /// The fitted path.
    pub path: Path,
    /// When the ball passed the foul line, seconds of the film.
    pub start_s: f64,
    /// Time from a picture's first row to its last, s.
    pub readout_s: f64,
    /// How the ball turns at release; none where no mark on it tells.
    pub spin: Option<Spin>,
}

impl Measured {
    /// The estimates in the order of [`Shot::values`].
    pub fn estimates(&self) -> [Option<Estimate>; VALUES] {
        [
            self.laydown,
            self.launch,
            self.arrows,
            Some(self.breakpoint_board),
            Some(self.breakpoint_ft),
            self.exit,
            self.entry,
            self.entry_angle,
            Some(self.release_speed),
            self.pins_speed,
        ]
    }
}
