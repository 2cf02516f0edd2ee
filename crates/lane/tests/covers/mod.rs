//! The lanes, balls and measures in which the trade speaks of covers: shared by the checks, the fit and its table.

pub mod measures;

use boardwise_ball::{Ball, BallSpec, Blend, Cover, CoverKind, Layout, Surface};
use boardwise_lane::{Coating, ContactLaw, Direction, Film, Fineness, Lane, Path, Release, Stroke, TrackForm, throw};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Degrees, Feet, Inches, Microlitres};

/// Boards, feet, microlitres and direction of a stroke.
type Laid = ((f64, f64), (f64, f64), f64, Direction);

fn lane(smear_ft: f64, strokes: &[Laid]) -> Lane {
    let strokes: Vec<Stroke> = strokes
        .iter()
        .map(|&(boards, feet, ul, direction)| Stroke { boards, feet, oil: Microlitres(ul), direction })
        .collect();
    Lane::new(Coating::Oil(Film::from_strokes(&strokes, smear_ft).expect("strokes on the lane")))
}

use Direction::{Back, Out};

/// Short and flat, 21 mL over 32 ft.
pub fn short_flat() -> Lane {
    lane(
        2.5,
        &[
            ((2.0, 38.0), (0.0, 32.0), 7000.0, Out),
            ((2.0, 38.0), (0.0, 20.0), 6000.0, Out),
            ((2.0, 38.0), (2.0, 12.0), 5000.0, Back),
            ((8.0, 32.0), (0.0, 26.0), 3000.0, Out),
        ],
    )
}

/// What a league bowler meets: 25 mL over 40 ft, most of it in the middle.
pub fn walled_40() -> Lane {
    lane(
        3.0,
        &[
            ((2.0, 38.0), (0.0, 40.0), 6000.0, Out),
            ((8.0, 32.0), (0.0, 36.0), 8000.0, Out),
            ((10.0, 30.0), (0.0, 26.0), 6000.0, Out),
            ((11.0, 29.0), (2.0, 16.0), 5000.0, Back),
        ],
    )
}

/// A moderate pattern of 41 ft, about 2.5:1.
pub fn moderate_41() -> Lane {
    lane(
        3.0,
        &[
            ((2.0, 38.0), (0.0, 41.0), 8000.0, Out),
            ((8.0, 32.0), (0.0, 35.0), 7000.0, Out),
            ((10.0, 30.0), (0.0, 26.0), 4000.0, Out),
            ((2.0, 38.0), (2.0, 16.0), 5000.0, Back),
        ],
    )
}

/// Long and flat, 26 mL over 45 ft.
pub fn long_flat() -> Lane {
    lane(
        3.5,
        &[
            ((2.0, 38.0), (0.0, 45.0), 10_500.0, Out),
            ((2.0, 38.0), (0.0, 34.0), 7500.0, Out),
            ((2.0, 38.0), (2.0, 16.0), 5000.0, Back),
            ((8.0, 32.0), (0.0, 40.0), 3000.0, Out),
        ],
    )
}

/// A ball by cover, surface, lowest RG, differential and pin-to-axis distance, inches.
pub fn ball(cover: CoverKind, surface: Surface, rg: f64, differential: f64, pin: f64) -> Ball {
    let layout = Layout::Angles {
        pin_to_pap_m: Inches(pin).to_metres(),
        drilling_rad: f64::to_radians(50.0),
        val_rad: f64::to_radians(40.0),
    };
    let spec =
        BallSpec { surface, rg: Inches(rg), differential: Inches(differential), layout, ..BallSpec::new("t", cover) };
    Ball::new(spec).expect("a possible ball").0
}

/// Low RG and much flare.
pub fn strong(cover: CoverKind, surface: Surface) -> Ball {
    ball(cover, surface, 2.48, 0.054, 4.0)
}

pub fn urethane(grit: f64) -> Ball {
    ball(CoverKind::Urethane, Surface::sanded(grit), 2.60, 0.030, 4.5)
}

pub fn plastic() -> Ball {
    ball(CoverKind::Plastic, Surface::polished(), 2.68, 0.010, 3.0)
}

/// 18 mph, 350 rpm, 45 degrees, over `arrows` from `laydown`.
pub fn over(laydown: f64, arrows: f64) -> Release {
    Release { laydown: Board(laydown), ..Release::default() }.aimed_at(Board(arrows), Feet(15.0))
}

/// What one throw did.
#[derive(Clone, Copy, Debug)]
pub struct Seen {
    /// Board at 60 ft.
    pub end: f64,
    /// Heading turned from the foul line, degrees.
    pub turned: f64,
    /// Feet at which it was nearest the gutter.
    pub breakpoint: f64,
    /// Feet from which it rolled; 61 if it never did.
    pub roll: f64,
}

/// The judged constants by name, so that others than those in use can be tried.
#[derive(Clone, Debug)]
pub struct Constants(pub Vec<(&'static str, f64)>);

impl Default for Constants {
    /// Those in use, read off the library.
    fn default() -> Self {
        let law = ContactLaw::default();
        let of = |kind, ra_um: f64| Cover::of(kind, Blend::Solid, Surface::measured(ra_um * 1e-6));
        // Dullness is one half at 0.3 micrometre.
        let (middling, dull) = (of(CoverKind::Reactive, 0.3), of(CoverKind::Reactive, 0.9));
        let (urethane, plastic) = (of(CoverKind::Urethane, 0.3), of(CoverKind::Plastic, 0.3));
        Self(vec![
            ("thin", law.thin_weight),
            ("power", law.roughness_power),
            ("cap", law.film_cap),
            ("viscosity", law.viscosity_pa_s),
            ("kept_um", law.kept_film_m * 1e6),
            ("split_um", law.split_film_m * 1e6),
            ("stripe_mm", law.stripe_m * 1e3),
            ("swath_mm", law.swath_m * 1e3),
            ("hand", law.hand_power),
            ("r_dry", middling.dry_friction),
            ("r_dull", 4.0 * (middling.dry_friction - dull.dry_friction)),
            ("r_reach", middling.film_reach_m * 1e6),
            ("r_film", middling.film_friction),
            ("r_soak", middling.absorption_s),
            ("u_dry", urethane.dry_friction),
            ("u_reach", urethane.film_reach_m * 1e6),
            ("u_film", urethane.film_friction),
            ("u_soak", urethane.absorption_s),
            ("p_dry", plastic.dry_friction),
            ("p_reach", plastic.film_reach_m * 1e6),
            ("p_film", plastic.film_friction),
            ("p_soak", plastic.absorption_s),
        ])
    }
}

impl Constants {
    /// The value of this name.
    pub fn get(&self, name: &str) -> f64 {
        self.0.iter().find(|(key, _)| *key == name).expect("a constant").1
    }

    /// Changes the value of this name; false if there is none.
    pub fn set(&mut self, name: &str, value: f64) -> bool {
        self.0.iter_mut().find(|(key, _)| *key == name).map(|entry| entry.1 = value).is_some()
    }

    /// The law of contact with them.
    pub fn law(&self) -> ContactLaw {
        ContactLaw {
            thin_weight: self.get("thin"),
            roughness_power: self.get("power"),
            film_cap: self.get("cap"),
            viscosity_pa_s: self.get("viscosity"),
            kept_film_m: self.get("kept_um") * 1e-6,
            split_film_m: self.get("split_um") * 1e-6,
            stripe_m: self.get("stripe_mm") * 1e-3,
            swath_m: self.get("swath_mm") * 1e-3,
            hand_power: self.get("hand"),
            ..ContactLaw::default()
        }
    }

    /// A ball with them in its cover; the blend keeps its ratio.
    pub fn on(&self, ball: &Ball) -> Ball {
        let mut ball = ball.clone();
        let [dry, reach, film, soak] = match ball.cover.kind {
            CoverKind::Reactive => [
                self.get("r_dry") - self.get("r_dull") * (ball.surface.dullness() - 0.5),
                self.get("r_reach"),
                self.get("r_film"),
                self.get("r_soak"),
            ],
            CoverKind::Urethane => ["u_dry", "u_reach", "u_film", "u_soak"].map(|key| self.get(key)),
            CoverKind::Plastic => ["p_dry", "p_reach", "p_film", "p_soak"].map(|key| self.get(key)),
        };
        let solid = Cover::of(ball.cover.kind, Blend::Solid, ball.surface);
        ball.cover.dry_friction += dry - solid.dry_friction;
        ball.cover.film_reach_m *= reach * 1e-6 / solid.film_reach_m;
        ball.cover.film_friction *= film / solid.film_friction;
        ball.cover.absorption_s *= soak / solid.absorption_s;
        ball
    }

    /// Follows one throw.
    pub fn path(&self, lane: &Lane, ball: &Ball, release: &Release) -> Path {
        let fineness = Fineness { step_s: 1e-3, track: TrackForm::Ring };
        throw(lane, &self.on(ball), release, &self.law(), fineness).expect("a possible release")
    }

    /// What one throw does.
    pub fn seen(&self, lane: &Lane, ball: &Ball, release: &Release) -> Seen {
        let path = self.path(lane, ball, release);
        let (first, last) = (path.rows[0], path.rows[path.rows.len() - 1]);
        Seen {
            end: last.board,
            turned: last.angle.0 - first.angle.0,
            breakpoint: path.breakpoint.feet.0,
            roll: path.roll.map_or(61.0, |feet| feet.0),
        }
    }

    /// The lane after this many shots of a bowler of about 200 average over one line (0.97 board at the arrows [C from P]).
    pub fn worn(&self, lane: &Lane, ball: &Ball, meant: &Release, shots: u64) -> Lane {
        let (mut worn, ball, law) = (lane.clone(), self.on(ball), self.law());
        for index in 0..shots {
            let mut off = Stream::keyed(5, "wear", index);
            let laydown = Board(meant.laydown.0 + 0.7 * off.normal());
            let launch = Degrees(meant.launch.0 + 0.24 * off.normal());
            worn.wear(&ball, &Release { laydown, launch, ..*meant }, &law).expect("a possible release");
        }
        worn
    }
}

/// Heading gained between two distances, feet; degrees.
pub fn turned(path: &Path, from: usize, to: usize) -> f64 {
    path.rows[to].angle.0 - path.rows[from].angle.0
}
