//! The robot throws and what is fitted to them: shared by the fit and by the check of its result.

use boardwise_ball::{Ball, BallSpec, CoverKind, Surface};
use boardwise_lane::{Coating, ContactLaw, Direction, Film, Finish, Lane, Release, Runway, Stroke};
use boardwise_units::{Board, Degrees, Feet, Inches, Microlitres, Micrometres, Mph, Rpm};

/// One measured throw.
#[derive(Clone, Copy, Debug)]
pub struct Throw {
    pub laydown: f64,
    pub launch_deg: f64,
    pub speed_mph: f64,
    pub entry_board: f64,
    pub entry_deg: f64,
}

impl Throw {
    /// The rows of truth/robot/throws.csv.
    pub fn read() -> Vec<Self> {
        include_str!("../../../../truth/robot/throws.csv")
            .lines()
            .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
            .map(|line| {
                let v: Vec<f64> = line.split(',').map(|word| word.parse().expect("a number")).collect();
                Self { laydown: v[0], launch_deg: v[1], speed_mph: v[2], entry_board: v[3], entry_deg: v[4] }
            })
            .collect()
    }
}

/// What the source does not state, each with the range searched.
pub const LIMITS: [(&str, f64, f64); 12] = [
    ("length_ft", 34.0, 48.0),
    ("middle_ml", 6.0, 30.0),
    ("outside_share", 0.02, 0.8),
    ("inner_edge_board", 7.0, 14.0),
    ("taper", 0.3, 1.0),
    ("rev_rate_rpm", 250.0, 500.0),
    ("rotation_deg", 30.0, 75.0),
    ("tilt_deg", 5.0, 20.0),
    ("ra_um", 0.15, 1.5),
    ("dry_friction", 0.14, 0.30),
    ("rg_in", 2.46, 2.60),
    // How the machine's rev rate rises with its speed: power, 0 not at all, 1 in proportion.
    ("rev_power", 0.0, 1.0),
];

/// A value for each of [`LIMITS`].
#[derive(Clone, Copy, Debug)]
pub struct Setting(pub [f64; LIMITS.len()]);

/// How far a setting is from the measurements.
#[derive(Clone, Copy, Debug)]
pub struct Misfit {
    pub board_rms: f64,
    pub angle_rms: f64,
}

impl Misfit {
    /// Boards, with degrees as a lesser witness: repeats of one throw differ by up to 1.2 degrees.
    pub fn total(&self) -> f64 {
        self.board_rms + 0.6 * self.angle_rms
    }
}

impl Setting {
    pub fn from_unit(unit: &[f64; LIMITS.len()]) -> Self {
        Self(std::array::from_fn(|k| LIMITS[k].1 + unit[k] * (LIMITS[k].2 - LIMITS[k].1)))
    }

    pub fn map_unit(&self) -> [f64; LIMITS.len()] {
        std::array::from_fn(|k| (self.0[k] - LIMITS[k].1) / (LIMITS[k].2 - LIMITS[k].1))
    }

    /// Throws the robot's throws with this ball on this oil.
    pub fn throw_all(&self, throws: &[Throw]) -> Vec<Finish> {
        let [length, middle_ml, outside, edge, taper, revs, rotation, tilt, ra_um, dry, rg, rev_power] = self.0;
        let stroke = |boards, end: f64, ml: f64| Stroke {
            boards,
            feet: (0.0, end),
            oil: Microlitres(1000.0 * ml),
            direction: Direction::Out,
        };
        let strokes = [
            stroke((1.0, 39.0), length, middle_ml * outside),
            stroke((edge, 40.0 - edge), length, middle_ml * (1.0 - outside) * taper),
            stroke((edge + 3.0, 37.0 - edge), 0.6 * length, middle_ml * (1.0 - outside) * (1.0 - taper)),
        ];
        let film = Film::from_strokes(&strokes, 2.0).expect("strokes on the lane");
        let spec = BallSpec {
            surface: Surface::measured(Micrometres(ra_um).to_metres()),
            dry_friction: Some(dry),
            rg: Inches(rg),
            ..BallSpec::new("robot", CoverKind::Reactive)
        };
        let ball = Ball::new(spec).expect("a possible ball").0;
        let releases: Vec<Release> = throws
            .iter()
            .map(|t| Release {
                laydown: Board(t.laydown),
                launch: Degrees(t.launch_deg),
                speed: Mph(t.speed_mph),
                rev_rate: Rpm(revs * (t.speed_mph / 18.0).powf(rev_power)),
                rotation: Degrees(rotation),
                tilt: Degrees(tilt),
                loft: Feet(0.5),
            })
            .collect();
        // A machine turns every ball alike.
        let law = ContactLaw { hand_power: 0.0, ..ContactLaw::default() };
        Runway::new(&Lane::new(Coating::Oil(film)), &ball, &law).throw_many(&releases)
    }
}

/// Root mean squares over all throws; a throw that reaches no pin counts as ten boards off.
pub fn misfit(setting: &Setting, throws: &[Throw]) -> Misfit {
    let (mut board, mut angle) = (0.0, 0.0);
    for (throw, finish) in throws.iter().zip(setting.throw_all(throws)) {
        if let Some(touch) = finish.touch {
            board += (touch.board().0 - throw.entry_board).powi(2);
            angle += (touch.angle().0 - throw.entry_deg).powi(2);
        } else {
            board += 100.0;
            angle += 25.0;
        }
    }
    let n = throws.len() as f64;
    Misfit { board_rms: (board / n).sqrt(), angle_rms: (angle / n).sqrt() }
}
