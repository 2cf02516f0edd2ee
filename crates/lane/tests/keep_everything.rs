//! Golden hashes over all that lane computes: a change here needs a line in the changelog that says why.

use boardwise_ball::{Ball, BallSpec, CoverKind, Entry, Surface};
use boardwise_lane::{
    ContactLaw, Field, Fineness, Finish, Path, Place, Release, Runway, Shape, Side, TrackForm, throw,
};
use boardwise_units::{Board, Degrees, Feet, Inches, Mph, Rpm};
use glam::DVec3;

use crate::oiled::oil;

/// Folds numbers, in order, into one (FNV-1a over their bits).
struct Hash(u64);

impl Hash {
    fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn number(&mut self, value: f64) {
        self.0 = (self.0 ^ value.to_bits()).wrapping_mul(0x0100_0000_01b3);
    }

    fn place(&mut self, place: Place) {
        self.number(place.board.0);
        self.number(place.feet.0);
    }

    fn entry(&mut self, entry: &Entry) {
        self.number(entry.x_m);
        self.number(entry.y_m);
        entry.velocity_m_s.to_array().into_iter().chain(entry.spin_rad_s.to_array()).for_each(|v| self.number(v));
    }

    fn finish(&mut self, finish: &Finish) {
        let Finish { touch, gutter, breakpoint, exit, arrows, time_s } = finish;
        match touch {
            Some(touch) => {
                self.number(touch.pin.into());
                self.entry(&touch.entry);
            }
            None => self.number(-1.0),
        }
        match gutter {
            Some((feet, side)) => {
                self.number(feet.0);
                self.number(if *side == Side::Hand { 1.0 } else { 2.0 });
            }
            None => self.number(-2.0),
        }
        self.place(*breakpoint);
        match exit {
            Some(place) => self.place(*place),
            None => self.number(-3.0),
        }
        self.number(arrows.0);
        self.number(*time_s);
    }

    fn path(&mut self, path: &Path) {
        for row in &path.rows {
            self.number(row.board);
            self.number(row.slip_m_s);
            self.number(row.friction);
            self.number(row.time_s);
            row.velocity_m_s.to_array().into_iter().for_each(|v| self.number(v));
            row.spin_rad_s.to_array().into_iter().for_each(|v| self.number(v));
        }
        self.finish(&Finish::from(path));
        self.number(path.roll.map_or(-4.0, |feet| feet.0));
    }
}

fn ball(offset_m: f64) -> Ball {
    let spec = BallSpec {
        differential: Inches(0.05),
        intermediate: Inches(0.015),
        surface: Surface::sanded(1000.0),
        cg_offset_m: DVec3::new(offset_m, 0.0, 0.0),
        ..BallSpec::new("any", CoverKind::Reactive)
    };
    Ball::new(spec).unwrap().0
}

/// Throws of all kinds: into the pocket and far from it, into both gutters, lofted, without flare and with much.
fn spread() -> Vec<Release> {
    let release = |k: u32| Release {
        laydown: Board(4.0 + f64::from(k % 33)),
        launch: Degrees(f64::from(k % 9) - 2.0),
        speed: Mph(12.0 + f64::from(k % 10)),
        rev_rate: Rpm(100.0 + 45.0 * f64::from(k % 11)),
        rotation: Degrees(10.0 * f64::from(k % 10)),
        tilt: Degrees(5.0 * f64::from(k % 6)),
        loft: Feet(0.5 * f64::from(k % 4)),
    };
    (0..400).map(release).collect()
}

#[test]
fn keep_every_finish_of_the_batch() {
    let (law, mut hash) = (ContactLaw::default(), Hash::new());
    let (mut touched, mut lost) = (0, 0);
    let mut sloping = oil();
    sloping.shape = Some(Shape { across: Field::constant(4e-4), along: Field::constant(-1e-4) });
    for runway in [
        Runway::new(&oil(), &ball(0.0), &law),
        Runway::new(&oil(), &ball(0.0004), &law),
        Runway::new(&sloping, &ball(0.0), &law),
    ] {
        for finish in runway.throw_many(&spread()) {
            touched += u32::from(finish.touch.is_some());
            lost += u32::from(finish.gutter.is_some());
            hash.finish(&finish);
        }
    }
    assert!(touched > 300 && lost > 100, "both ends are hashed: {touched} touched, {lost} lost");
    assert_eq!(hash.0, FINISHES, "{:#x}", hash.0);
}
const FINISHES: u64 = 0x9c8a_0fec_1093_0be9;

#[test]
fn keep_the_reference_path() {
    let mut hash = Hash::new();
    let releases = spread();
    let meant = [&releases[14], &releases[121], &releases[233]];
    for track in [TrackForm::Ring, TrackForm::Grid] {
        // Coarse steps, so that it takes moments: the bits are kept, not the physics.
        let fineness = Fineness { step_s: 0.004, track };
        for release in meant {
            hash.path(&throw(&oil(), &ball(0.0), release, &ContactLaw::default(), fineness).unwrap());
        }
    }
    assert_eq!(hash.0, PATHS, "{:#x}", hash.0);
}
const PATHS: u64 = 0x1ade_0fc4_71e2_ec2e;

#[test]
fn keep_a_worn_film() {
    let (mut lane, mut hash) = (oil(), Hash::new());
    for release in spread().iter().step_by(40) {
        let (_, taken) = lane.wear(&ball(0.0), release, &ContactLaw::default()).unwrap();
        hash.number(taken.on_cover.0);
        hash.number(taken.soaked.0);
    }
    lane.film().unwrap().thickness_m.values().iter().for_each(|&film_m| hash.number(film_m));
    assert_eq!(hash.0, FILM, "{:#x}", hash.0);
}
const FILM: u64 = 0xbb75_52ee_cf35_eded;
