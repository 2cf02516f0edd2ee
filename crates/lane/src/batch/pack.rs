//! The throws of one pack, side by side, and the numbers of one ball in single precision.

use super::floor::Floor;
use super::track::Track;
use super::{Each, FEET, PARTS, ROW_FT, ROW_M, Runway, WIDTH};
use crate::release::Release;
use crate::surface::{Coat, Ground};
use boardwise_units::{court, math};
use core::ops::Range;
use glam::{DQuat, DVec3};

/// The throws of one pack, side by side. Suffixless names are SI.
#[repr(align(64))]
pub(super) struct Pack {
    pub x: Each,
    /// Across the lane: of the centre of gravity (`x`), and of the centre.
    pub place: Each,
    /// What lies under the ball in each part of the row, and the pull of the slope.
    pub coat: [Each; PARTS],
    pub pull_x: Each,
    pub pull_y: Each,
    pub vx: Each,
    pub vy: Each,
    /// 1/`vy`, and its mean over about the last revolution.
    pub per_vy: Each,
    pub mean_per_vy: Each,
    /// Angular momentum about the centre of gravity, lane frame.
    pub l: [Each; 3],
    /// The same in the core's frame.
    pub core_l: [Each; 3],
    /// Slip and sweep as the last row began.
    pub slip: Each,
    pub sweep: Each,
    /// Attitude, core to lane: w, x, y, z.
    pub q: [Each; 4],
    /// Angular velocity at the head pin, lane frame.
    pub end_spin: [Each; 3],
    /// Angle turned since release, and in a row.
    pub turned: Each,
    pub turn: Each,
    pub time: Each,
    pub loft: Each,
    /// What lies where the ball lands, the time of its flight, and the rows in which one of the pack lands.
    pub landing_coat: Each,
    pub landing_time: Each,
    pub landing_rows: Range<usize>,
    /// Film on the track ahead of the contact, and after it, in each part of the row.
    pub before: [Each; PARTS],
    pub laid: [Each; PARTS],
    /// Contact in the core's frame at this row.
    pub contact: [Each; 3],
    /// Angular velocity in the core's frame half way through what the row gives, and how it changes in a row.
    pub spin: [Each; 3],
    pub spin_change: [Each; 3],
    pub widest_x: Each,
    pub widest_row: Each,
    pub gutter_x: Each,
    pub gutter_row: Each,
    pub arrows_x: Each,
    pub exit_x: Each,
    pub approach_x: Each,
    pub approach_lean: Each,
    /// Velocity and time at the head pin.
    pub end_vx: Each,
    pub end_vy: Each,
    pub end_time: Each,
    /// Whether the places at every foot are kept, and these: the first is the foul line's.
    pub followed: bool,
    pub feet_x: [Each; FEET],
    pub floor: Floor,
    pub track: Track,
}

impl Pack {
    pub fn new() -> alloc::boxed::Box<Self> {
        const ZERO: Each = [0.0; WIDTH];
        alloc::boxed::Box::new(Self {
            x: ZERO,
            place: ZERO,
            coat: [ZERO; PARTS],
            pull_x: ZERO,
            pull_y: ZERO,
            vx: ZERO,
            vy: ZERO,
            per_vy: ZERO,
            mean_per_vy: ZERO,
            l: [ZERO; 3],
            core_l: [ZERO; 3],
            slip: ZERO,
            sweep: ZERO,
            q: [ZERO; 4],
            end_spin: [ZERO; 3],
            turned: ZERO,
            turn: ZERO,
            time: ZERO,
            loft: ZERO,
            landing_coat: ZERO,
            landing_time: ZERO,
            landing_rows: 0..0,
            before: [ZERO; PARTS],
            laid: [ZERO; PARTS],
            contact: [ZERO; 3],
            spin: [ZERO; 3],
            spin_change: [ZERO; 3],
            widest_x: ZERO,
            widest_row: ZERO,
            gutter_x: ZERO,
            gutter_row: ZERO,
            arrows_x: ZERO,
            exit_x: ZERO,
            approach_x: ZERO,
            approach_lean: ZERO,
            end_vx: ZERO,
            end_vy: ZERO,
            end_time: ZERO,
            followed: false,
            feet_x: [ZERO; FEET],
            floor: Floor::new(),
            track: Track::new(),
        })
    }

    /// Puts these throws at the foul line; spare places repeat the last.
    pub fn load(&mut self, releases: &[Release], runway: &Runway) {
        let (ball, lane) = (&runway.ball, &runway.lane);
        self.landing_rows = 0..0;
        for i in 0..WIDTH {
            let release = &releases[i.min(releases.len() - 1)];
            let (hand, direction) = (release.velocity_m_s(), release.spin_direction());
            let core = Release::core_about(direction, ball);
            let q = DQuat::from_mat3(&core);
            let spin = direction * (release.rev_rate.to_radians_per_second() * runway.contact.rev_share);
            let momentum = core * (ball.inertia_kg_m2 * (core.transpose() * spin));
            let offset = core * ball.cg_offset_m;
            // The centre of gravity is what moves freely; the hand carries the centre at the release's velocity.
            let velocity = hand + spin.cross(offset);
            let laydown_m = release.laydown.to_metres();
            self.x[i] = (laydown_m + offset.x) as f32;
            (self.vx[i], self.vy[i]) = (velocity.x as f32, velocity.y as f32);
            for (l, value) in self.l.iter_mut().zip(momentum.to_array()) {
                l[i] = value as f32;
            }
            for (part, value) in self.q.iter_mut().zip([q.w, q.x, q.y, q.z]) {
                part[i] = value as f32;
            }
            let slip = hand + ball.radius_m * DVec3::new(-spin.y, spin.x, 0.0);
            self.slip[i] = math::sqrt(slip.length_squared()) as f32;
            self.loft[i] = release.loft.to_metres() as f32;
            if release.loft.0 > 0.0 {
                let y_m = release.loft.to_metres();
                let time_s = y_m / hand.y;
                let (Coat::Oil(value) | Coat::Friction(value)) = lane.coat(laydown_m + hand.x * time_s, y_m);
                (self.landing_coat[i], self.landing_time[i]) = (value as f32, time_s as f32);
                // One to spare for rounding.
                let row = (release.loft.0 / ROW_FT) as usize;
                let rows = &self.landing_rows;
                self.landing_rows = if rows.is_empty() {
                    row.saturating_sub(1)..row + 2
                } else {
                    rows.start.min(row.saturating_sub(1))..rows.end.max(row + 2)
                };
            }
            self.widest_x[i] = laydown_m as f32;
        }
        (self.approach_lean, self.end_vx, self.end_vy) = ([0.0; WIDTH], [0.0; WIDTH], [0.0; WIDTH]);
        self.turned = [0.0; WIDTH];
        self.turn = [0.0; WIDTH];
        self.time = [0.0; WIDTH];
        self.widest_row = [-0.5; WIDTH];
        self.gutter_row = [-1.0; WIDTH];
    }

    /// Where each centre crossed the line that the pack has just moved over, from the middle of one row to that of the next.
    pub fn at_line(&self) -> Each {
        core::array::from_fn(|i| self.place[i] - 0.5 * ROW_M * self.vx[i] / self.vy[i])
    }
}

/// Per-ball numbers in single precision.
pub(super) struct Constants {
    pub radius: f32,
    pub per_radius: f32,
    pub per_mass: f32,
    pub weight: f32,
    pub per_inertia: [f32; 3],
    /// How much more than the third the first two are.
    pub per_inertia_more: [f32; 2],
    /// What two components of the angular momentum give the rate of the third.
    pub free: [f32; 3],
    pub offset: [f32; 3],
    pub dry: f32,
    /// One over the film's scale, for the lane's film and for the track's.
    pub per_scale: f32,
    pub track_per_scale: f32,
    /// Weights of the thickness ratio and of its square.
    pub thin: f32,
    pub thick: f32,
    /// The least film and what a slip shears, in units of the film's scale.
    pub least_film: f32,
    pub shear: f32,
    pub film_friction: f32,
    pub film_cap: f32,
    /// One over the film that stays in the roughness, over the most that splits, and both together.
    pub per_kept: f32,
    pub per_split: f32,
    pub per_either: f32,
    pub per_stripe: f32,
    pub per_absorption: f32,
    pub pivot_arm: f32,
    pub patch: f32,
    pub rolling_torque: f32,
}

impl Constants {
    pub fn new(runway: &Runway) -> Self {
        let (ball, c) = (&runway.ball, &runway.contact);
        let per = ball.inertia_kg_m2.recip();
        let d = ball.cg_offset_m;
        Self {
            radius: ball.radius_m as f32,
            per_radius: (1.0 / ball.radius_m) as f32,
            per_mass: (1.0 / ball.mass_kg) as f32,
            weight: (ball.mass_kg * court::GRAVITY_M_S2) as f32,
            per_inertia: [per.x as f32, per.y as f32, per.z as f32],
            per_inertia_more: [(per.x - per.z) as f32, (per.y - per.z) as f32],
            free: [(per.z - per.y) * per.x, (per.x - per.z) * per.y, (per.y - per.x) * per.z].map(|v| v as f32),
            offset: [d.x as f32, d.y as f32, d.z as f32],
            dry: c.dry_friction as f32,
            per_scale: (1.0 / c.film_scale_m) as f32,
            track_per_scale: (c.track_share / c.film_scale_m) as f32,
            thin: c.thin_weight as f32,
            thick: (1.0 - c.thin_weight) as f32,
            least_film: (1e-9 / c.film_scale_m) as f32,
            shear: (c.shear_s / c.film_scale_m) as f32,
            film_friction: c.film_friction as f32,
            film_cap: c.film_cap as f32,
            per_kept: (1.0 / c.kept_film_m) as f32,
            per_split: (1.0 / c.split_film_m) as f32,
            per_either: (1.0 / c.kept_film_m + 1.0 / c.split_film_m) as f32,
            per_stripe: (1.0 / c.stripe_m) as f32,
            per_absorption: (1.0 / c.absorption_s) as f32,
            pivot_arm: c.pivot_arm_m as f32,
            patch: c.patch_radius_m as f32,
            rolling_torque: (c.rolling_resistance * ball.mass_kg * court::GRAVITY_M_S2 * ball.radius_m) as f32,
        }
    }
}
