//! What a film measured of a throw, and how likely a world's throw would be measured so.
//!
//! An eye sees where a ball went, and the bowler's spread says how far the throw was from the one meant. A film measures the throw itself.
//! So a world does not throw the line meant with the bowler's spread, but what is left of that spread once the film has told the release.
//! What then still differs between worlds is the lane, not the bowler's hand.

use boardwise_lane::{Finish, Release};
use boardwise_search::{Bowler, World};
use boardwise_units::math;

/// A measured value with its standard error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// Its standard error, in the unit of the value.
    pub error: f64,
}

/// What a film measured of a throw. All may be missing. Boards count from the bowling-hand side.
///
/// ```
/// use boardwise_belief::{Figure, Film, Noticed};
/// let entry = Some(Figure { value: 17.4, error: 0.2 });
/// let noticed = Noticed { film: Some(Film { entry_board: entry, ..Film::default() }), ..Noticed::default() };
/// assert!(!noticed.is_nothing());
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Film {
    /// Board at the foul line.
    pub laydown_board: Option<Figure>,
    /// Launch angle, degrees toward the hand.
    pub launch_deg: Option<Figure>,
    /// Speed at release, mph.
    pub release_mph: Option<Figure>,
    /// Rev rate of this ball at release, rpm.
    pub rev_rate_rpm: Option<Figure>,
    /// Axis rotation, degrees.
    pub rotation_deg: Option<Figure>,
    /// Axis tilt, degrees.
    pub tilt_deg: Option<Figure>,
    /// Board at 15 ft.
    pub arrows_board: Option<Figure>,
    /// Board of the breakpoint.
    pub breakpoint_board: Option<Figure>,
    /// Distance of the breakpoint, feet.
    pub breakpoint_feet: Option<Figure>,
    /// Board at the head pin's row.
    pub entry_board: Option<Figure>,
    /// Entry angle, degrees.
    pub entry_deg: Option<Figure>,
}

/// How far the path of a world that has everything right would still be off, as standard deviations: what no world has numbers for
/// (our judgement). It adds to the film's own error, so a perfect film is not believed to the last digit.
const OFF_BREAKPOINT_BOARDS: f64 = 0.3;
const OFF_BREAKPOINT_FEET: f64 = 1.5;
const OFF_ENTRY_BOARDS: f64 = 0.5;
const OFF_ENTRY_DEG: f64 = 0.3;

/// The bowler's day as far as a world has numbers for it: places of speed, launch and rev rate among the deviations of a release.
const DAY: [usize; 3] = [2, 1, 3];

/// How likely a figure is measured so where the value is another, but for a factor that is the same for all values.
fn near(figure: Option<Figure>, is: f64, off: f64) -> f64 {
    figure.map_or(1.0, |Figure { value, error }| {
        math::exp(-0.5 * (value - is).powi(2) / (error * error + off * off).max(f64::MIN_POSITIVE))
    })
}

impl Film {
    /// Figures of the release, in the order of a spread. A bowler's rev rate is told for a middling ball; `rev_share` is this ball's over it.
    fn release(&self, rev_share: f64) -> [Option<Figure>; 6] {
        let rev_rate = self
            .rev_rate_rpm
            .map(|Figure { value, error }| Figure { value: value / rev_share, error: error / rev_share });
        [self.laydown_board, self.launch_deg, self.release_mph, rev_rate, self.rotation_deg, self.tilt_deg]
    }

    /// Deviations of the throw from what a world means today, once the film has told the release: where film and spread agree best, spread
    /// as far as both leave open. Without figures they are the bowler's own.
    pub(super) fn left_open(&self, of: &Thrower<'_>, world: &World, offs: &[[f64; 6]]) -> Vec<[f64; 6]> {
        let (figures, today, spread) = (self.release(of.rev_share), of.today(world), of.spread(world));
        let open: [(f64, f64); 6] = core::array::from_fn(|k| match figures[k] {
            Some(Figure { value, error }) if spread[k] > 0.0 => {
                let error = (error / spread[k]).powi(2);
                ((value - today[k]) / spread[k] / (1.0 + error), math::sqrt(error / (1.0 + error)))
            }
            _ => (0.0, 1.0),
        });
        offs.iter().map(|off| core::array::from_fn(|k| open[k].0 + open[k].1 * off[k])).collect()
    }

    /// What the film says of the bowler's day: for speed, launch and rev rate what each world throws today, and how likely it is measured so.
    pub(super) fn of_day(&self, of: &Thrower<'_>, worlds: &[World]) -> Vec<(Vec<f64>, Vec<f64>)> {
        let figures = self.release(of.rev_share);
        let told = DAY.iter().filter_map(|&k| Some((k, figures[k]?)));
        told.map(|(k, figure)| {
            worlds
                .iter()
                .map(|world| {
                    let (today, spread) = (of.today(world)[k], of.spread(world)[k]);
                    let wide = math::sqrt(figure.error * figure.error + spread * spread).max(f64::MIN_POSITIVE);
                    // What is spread wider makes each value less likely.
                    (today, near(Some(figure), today, spread) / wide)
                })
                .unzip()
        })
        .collect()
    }

    /// The part of the board at the arrows.
    pub(super) fn of_arrows(&self, finish: &Finish) -> f64 {
        near(self.arrows_board, finish.arrows.0, 0.0)
    }

    /// The part of the breakpoint's board and of where it came in.
    pub(super) fn of_boards(&self, finish: &Finish) -> f64 {
        let came_in = boardwise_search::came_in(finish);
        near(self.breakpoint_board, finish.breakpoint.board.0, OFF_BREAKPOINT_BOARDS)
            * near(self.entry_board, came_in, OFF_ENTRY_BOARDS)
    }

    /// The part of the breakpoint's distance.
    pub(super) fn of_length(&self, finish: &Finish) -> f64 {
        near(self.breakpoint_feet, finish.breakpoint.feet.0, OFF_BREAKPOINT_FEET)
    }

    /// The part of the entry angle; a ball that met no pin has none.
    pub(super) fn of_angle(&self, finish: &Finish) -> f64 {
        finish.touch.map_or(0.0, |touch| near(self.entry_deg, touch.angle().0, OFF_ENTRY_DEG))
    }
}

/// Who threw, and what was meant.
pub(super) struct Thrower<'a> {
    pub bowler: &'a Bowler,
    pub meant: &'a Release,
    /// This ball's rev rate over that of a middling ball from the same hand.
    pub rev_share: f64,
}

impl Thrower<'_> {
    /// What a world throws today, in the order of a spread.
    fn today(&self, world: &World) -> [f64; 6] {
        let today = world.today(self.meant);
        [today.laydown.0, today.launch.0, today.speed.0, today.rev_rate.0, today.rotation.0, today.tilt.0]
    }

    /// How far it strays, in the same order.
    fn spread(&self, world: &World) -> [f64; 6] {
        let wide = world.spread() * self.bowler.looseness(self.meant);
        self.bowler.spread.each().map(|sd| sd * wide)
    }
}
