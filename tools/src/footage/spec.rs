//! What a clip shows, drawn from its seed.

use boardwise_film::lane::ball::{Ball, BallSpec, Blend, CoverKind, Surface};
use boardwise_film::lane::{
    Coating, ContactLaw, Direction, Film, Fineness, Lane, Path, Release, Stroke, TrackForm, throw,
};
use boardwise_film::{Camera, Mark, Point, Shot};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Degrees, Feet, Hand, Inches, Microlitres, Mph, Pounds, Rpm, court, math};
use glam::{DVec2, DVec3};

/// How the camera is set.
#[derive(Clone, Copy, Debug)]
pub struct Filming {
    /// Pictures a second.
    pub rate_hz: f64,
    /// Exposure of a picture, s.
    pub exposure_s: f64,
    /// How unevenly pictures are taken, as a share of the time between two.
    pub jitter: f64,
}

/// Camera places: right of the lane's middle, behind the foul line (negative), height, metres; and whether the picture lies.
pub const PLACES: [(f64, f64, f64, bool); 10] = [
    (0.0, -5.0, 2.1, false),
    (-0.9, -4.6, 1.8, false),
    (0.9, -4.6, 1.8, false),
    (0.5, -7.0, 2.4, false),
    (-1.6, -3.2, 1.6, false),
    (1.7, -2.8, 1.7, false),
    (0.0, -8.5, 2.8, true),
    (-0.6, -6.0, 1.5, true),
    (2.4, -3.5, 2.2, true),
    (-2.6, -5.5, 1.9, true),
];

/// Brightness of six balls and of their three marks, from 0 to 1.
const BALLS: [(f64, f64); 6] = [(0.05, 0.8), (0.1, 0.55), (0.17, 0.9), (0.26, 0.03), (0.36, 0.9), (0.85, 0.1)];

/// A clip: everything that is drawn, and the truth of the throw.
#[derive(Clone, Debug)]
pub struct Clip {
    /// Its seed.
    pub seed: u64,
    /// How it is filmed.
    pub filming: Filming,
    /// Which of the [`PLACES`].
    pub place: usize,
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// The camera.
    pub camera: Camera,
    /// Time from the first row of a picture to the last, s.
    pub readout_s: f64,
    /// Brightness of something white, levels.
    pub gain: f64,
    /// Noise of a pixel, levels.
    pub noise: f64,
    /// How far the camera shakes, pixels.
    pub shake_px: f64,
    /// Share of light that the oil reflects.
    pub sheen: f64,
    /// People beside the bowler.
    pub people: usize,
    /// The bowling hand.
    pub hand: Hand,
    /// Brightness of the ball and of its marks.
    pub ball_luma: (f64, f64),
    /// Marks on the ball, 0 to 3.
    pub marks: usize,
    /// Radius of the ball, metres.
    pub radius_m: f64,
    /// Length of the pattern, feet.
    pub pattern_ft: f64,
    /// How it was thrown.
    pub release: Release,
    /// Its path.
    pub path: Path,
    /// When the ball crosses the foul line, s.
    pub release_s: f64,
    /// Points that somebody taps.
    pub points: Vec<Point>,
}

impl Clip {
    /// The clip of a seed. None where the throw goes into a gutter: then the seed gives no clip.
    pub fn of(seed: u64, filming: Filming) -> Option<Self> {
        let mut draw = Stream::keyed(seed, "clip", 0);
        let place = (seed % 10) as usize;
        let (right_m, behind_m, height_m, lying) = PLACES[place];
        let (width, height) = if lying { (1920, 1080) } else { (1080, 1920) };
        let spot =
            DVec3::new(right_m + 0.15 * draw.normal(), behind_m + 0.2 * draw.normal(), height_m + 0.1 * draw.normal());
        let focal_px = 1920.0 * 0.74 * (1.0 + 0.05 * draw.normal());
        // Between the foul line, or the nearest place in view, and the pins.
        let pitch = |y: f64| math::atan2(spot.z, y - spot.y);
        let tall = 2.0 * math::atan(0.5 * height as f64 / focal_px);
        let pitch_rad = f64::min(0.5 * (pitch(-0.2) + pitch(19.0)), pitch(19.0) + 0.5 * tall - 0.1);
        let camera = Camera {
            place_m: spot,
            yaw_rad: math::atan2(-spot.x * 1.0, 9.0 - spot.y) + 0.01 * draw.normal(),
            pitch_rad: pitch_rad + 0.01 * draw.normal(),
            roll_rad: 0.015 * draw.normal(),
            focal_px,
            distortion: 0.03 * draw.normal(),
            middle_px: DVec2::new(0.5 * (width as f64 - 1.0), 0.5 * (height as f64 - 1.0)),
        };
        let dark = draw.uniform();
        let hand = if draw.uniform() < 0.3 { Hand::Left } else { Hand::Right };
        let which = (seed / 10 % 6) as usize;
        let mut clip = Self {
            seed,
            filming,
            place,
            width,
            height,
            camera,
            readout_s: (0.004 + 0.012 * draw.uniform()).min(0.9 / filming.rate_hz),
            gain: 230.0 - 130.0 * dark,
            noise: 1.5 + 2.5 * dark,
            shake_px: if draw.uniform() < 0.3 { 1.5 + 1.5 * draw.uniform() } else { 0.3 * draw.uniform() },
            sheen: 0.08 + 0.2 * draw.uniform(),
            people: (3.0 * draw.uniform()) as usize,
            hand,
            ball_luma: BALLS[which],
            marks: 3,
            radius_m: 0.5 * Inches(8.5 + 0.09 * draw.uniform()).to_metres(),
            pattern_ft: 34.0 + 10.0 * draw.uniform(),
            release: Release::default(),
            path: Path {
                rows: Vec::new(),
                touch: None,
                gutter: None,
                breakpoint: boardwise_film::lane::Place { board: Board(0.0), feet: Feet(0.0) },
                exit: None,
                arrows: None,
                roll: None,
                time_s: 0.0,
            },
            release_s: 0.55 + 0.2 * draw.uniform(),
            points: Vec::new(),
        };
        clip.throw(which, &mut draw)?;
        clip.points = clip.taps(&mut draw);
        Some(clip)
    }

    /// A throw by somebody, with one of six balls, on some oil, that comes to the pins. Two dozen tries.
    fn throw(&mut self, which: usize, draw: &mut Stream) -> Option<()> {
        let lane = Lane::new(Coating::Oil(pattern(self.pattern_ft, draw)?));
        let ball = thrown(which, self.radius_m)?;
        for _ in 0..24 {
            let release = Release {
                laydown: Board(14.0 + 16.0 * draw.uniform()),
                speed: Mph(17.3 + 1.6 * draw.normal()),
                rev_rate: Rpm((340.0 + 85.0 * draw.normal()).clamp(150.0, 560.0)),
                rotation: Degrees((45.0 + 14.0 * draw.normal()).clamp(5.0, 85.0)),
                tilt: Degrees((13.0 + 5.0 * draw.normal()).clamp(0.0, 30.0)),
                loft: Feet((0.7 + 0.4 * draw.normal()).clamp(0.1, 2.0)),
                launch: Degrees(0.0),
            };
            let arrows = release.laydown.0 - 2.0 - 7.0 * draw.uniform();
            let release = release.aimed_at(Board(arrows), Feet(15.0));
            let fineness = Fineness { step_s: 1e-3, track: TrackForm::Ring };
            let Ok(path) = throw(&lane, &ball, &release, &ContactLaw::default(), fineness) else { continue };
            let hits = path.touch.as_ref().is_some_and(|touch| (10.0..=28.0).contains(&touch.board().0));
            if path.gutter.is_none() && hits {
                (self.release, self.path) = (release, path);
                return Some(());
            }
        }
        None
    }

    /// Points for as many of eight marks as the picture shows.
    fn taps(&self, draw: &mut Stream) -> Vec<Point> {
        let view = self.camera.view();
        let marks = [
            Mark::FoulLeft,
            Mark::FoulRight,
            Mark::Arrow(1),
            Mark::Arrow(4),
            Mark::Arrow(7),
            Mark::Pin(1),
            Mark::Pin(7),
            Mark::Pin(10),
        ];
        marks
            .into_iter()
            .filter_map(|mark| {
                let unsteady = DVec2::new(draw.normal(), draw.normal()) * 3.0;
                let seen_px = view.project(mark.place_m())?;
                let inside = seen_px.min_element() > 8.0
                    && seen_px.x < self.width as f64 - 8.0
                    && seen_px.y < self.height as f64 - 8.0;
                inside.then_some(Point { mark, seen_px: seen_px + unsteady })
            })
            .collect()
    }

    /// +1 where boards count from the right, −1 where they count from the left.
    pub fn sign(&self) -> f64 {
        if self.hand == Hand::Left { -1.0 } else { 1.0 }
    }

    /// Length of the clip, s.
    pub fn length_s(&self) -> f64 {
        self.release_s + self.path.time_s + 0.4
    }

    /// What is to be measured.
    pub fn truth(&self) -> Shot {
        Shot::of(&self.path, Some(self.pattern_ft))
    }

    /// How the camera is moved at a moment, pixels: a slow wander and a tremor.
    pub fn shake(&self, time_s: f64) -> DVec2 {
        let phase = |k: u64| std::f64::consts::TAU * Stream::keyed(self.seed, "shake", k).uniform();
        let wave = |hz: f64, k: u64| math::sin(std::f64::consts::TAU * hz * time_s + phase(k));
        let across = 0.7 * wave(0.7, 0) + 0.3 * wave(6.1, 1);
        let down = 0.7 * wave(0.9, 2) + 0.3 * wave(7.3, 3);
        DVec2::new(across, down) * self.shake_px
    }

    /// Middle and radius of the ball's true outline in a row (a share of the picture's height) of a picture, pixels without shake.
    pub fn outline(&self, time_s: f64, row: f64) -> Option<(DVec2, f64)> {
        let place = super::flight::place_at(&self.path, time_s + row * self.readout_s - self.release_s);
        self.camera.view().ball(DVec3::new(self.sign() * place.x, place.y, self.radius_m), self.radius_m)
    }

    /// Where the oil ends.
    pub fn pattern_m(&self) -> f64 {
        Feet(self.pattern_ft).to_metres().min(court::HEAD_PIN_M)
    }
}

/// Some oil: flat, walled or in between, of some length and volume.
fn pattern(length_ft: f64, draw: &mut Stream) -> Option<Film> {
    let stroke = |boards: (f64, f64), feet: (f64, f64), oil: f64, direction| Stroke {
        boards,
        feet,
        oil: Microlitres(oil),
        direction,
    };
    let wall = draw.uniform();
    let volume = 18_000.0 + 9000.0 * draw.uniform();
    let inner = 7.0 + 5.0 * draw.uniform();
    let strokes = [
        stroke((2.0, 38.0), (0.0, length_ft), volume * (1.0 - 0.75 * wall), Direction::Out),
        stroke((inner, 40.0 - inner), (0.0, length_ft - 3.0), volume * 0.45 * wall, Direction::Out),
        stroke((inner + 3.0, 37.0 - inner), (2.0, length_ft - 9.0), volume * 0.3 * wall, Direction::Back),
    ];
    Film::from_strokes(&strokes, 2.5).ok()
}

/// One of six balls.
fn thrown(which: usize, radius_m: f64) -> Option<Ball> {
    let (kind, blend, grit, rg, differential) = [
        (CoverKind::Reactive, Blend::Solid, 1000.0, 2.48, 0.052),
        (CoverKind::Reactive, Blend::Pearl, 4000.0, 2.53, 0.04),
        (CoverKind::Reactive, Blend::Hybrid, 2000.0, 2.50, 0.048),
        (CoverKind::Urethane, Blend::Solid, 800.0, 2.57, 0.025),
        (CoverKind::Reactive, Blend::Solid, 3000.0, 2.55, 0.03),
        (CoverKind::Plastic, Blend::Solid, 4000.0, 2.66, 0.01),
    ][which];
    let spec = BallSpec {
        blend,
        surface: Surface::sanded(grit),
        rg: Inches(rg),
        differential: Inches(differential),
        diameter: Inches(2.0 * radius_m / boardwise_units::INCH_M),
        weight: Pounds(14.0 + (which % 3) as f64 * 0.5),
        ..BallSpec::new("thrown", kind)
    };
    Ball::new(spec).ok().map(|(ball, _)| ball)
}
