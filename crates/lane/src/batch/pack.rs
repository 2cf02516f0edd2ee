//! The throws of one pack, side by side, and the numbers of one ball in single precision.

use super::{MEMORY, ROW_FT, ROW_M, Runway, WIDTH};
use crate::release::Release;
use crate::surface::{Coat, Ground, Lane};
use ball::Ball;
use core::ops::Range;
use glam::DQuat;
use measure::court;

/// The throws of one pack, side by side. Suffixless names are SI.
#[repr(align(64))]
pub(super) struct Pack {
    pub x: [f32; WIDTH],
    /// Across the lane: of the centre of gravity (`x`), and of the centre.
    pub place: [f32; WIDTH],
    /// What lies under the ball, and the pull of the slope.
    pub coat: [f32; WIDTH],
    pub pull_x: [f32; WIDTH],
    pub pull_y: [f32; WIDTH],
    pub vx: [f32; WIDTH],
    pub vy: [f32; WIDTH],
    /// Angular momentum about the centre of gravity, lane frame.
    pub lx: [f32; WIDTH],
    pub ly: [f32; WIDTH],
    pub lz: [f32; WIDTH],
    /// Angular momentum gained in the last row.
    pub gained_x: [f32; WIDTH],
    pub gained_y: [f32; WIDTH],
    pub gained_z: [f32; WIDTH],
    /// Core to lane.
    pub qw: [f32; WIDTH],
    pub qx: [f32; WIDTH],
    pub qy: [f32; WIDTH],
    pub qz: [f32; WIDTH],
    /// Angular velocity at the last row, lane frame.
    pub wx: [f32; WIDTH],
    pub wy: [f32; WIDTH],
    pub wz: [f32; WIDTH],
    /// Angle turned since release, and in the last row.
    pub turned: [f32; WIDTH],
    pub turn: [f32; WIDTH],
    pub time: [f32; WIDTH],
    pub loft: [f32; WIDTH],
    /// What lies where the ball lands, the time of its flight, and the rows in which one of the pack lands.
    pub landing_coat: [f32; WIDTH],
    pub landing_time: [f32; WIDTH],
    pub landing_rows: Range<usize>,
    /// Film on the track ahead of the contact, and after this row.
    pub before: [f32; WIDTH],
    pub laid: [f32; WIDTH],
    /// Contact in the core's frame at this row.
    pub cx: [f32; WIDTH],
    pub cy: [f32; WIDTH],
    pub cz: [f32; WIDTH],
    /// Rotation axis in the core's frame.
    pub ax: [f32; WIDTH],
    pub ay: [f32; WIDTH],
    pub az: [f32; WIDTH],
    pub widest_x: [f32; WIDTH],
    pub widest_row: [f32; WIDTH],
    pub gutter_x: [f32; WIDTH],
    pub gutter_row: [f32; WIDTH],
    pub arrows_x: [f32; WIDTH],
    pub exit_x: [f32; WIDTH],
    pub approach_x: [f32; WIDTH],
    pub approach_lean: [f32; WIDTH],
    pub memory: Memory,
}

/// What the track remembers: the last `MEMORY` rows of each throw.
pub(super) struct Memory {
    pub turned: [f32; MEMORY * WIDTH],
    pub time: [f32; MEMORY * WIDTH],
    pub cx: [f32; MEMORY * WIDTH],
    pub cy: [f32; MEMORY * WIDTH],
    pub cz: [f32; MEMORY * WIDTH],
    pub film: [f32; MEMORY * WIDTH],
}

impl Pack {
    pub fn new() -> alloc::boxed::Box<Self> {
        const ZERO: [f32; WIDTH] = [0.0; WIDTH];
        static NONE: [f32; MEMORY * WIDTH] = [0.0; MEMORY * WIDTH];
        alloc::boxed::Box::new(Self {
            x: ZERO,
            place: ZERO,
            coat: ZERO,
            pull_x: ZERO,
            pull_y: ZERO,
            vx: ZERO,
            vy: ZERO,
            lx: ZERO,
            ly: ZERO,
            lz: ZERO,
            gained_x: ZERO,
            gained_y: ZERO,
            gained_z: ZERO,
            qw: ZERO,
            qx: ZERO,
            qy: ZERO,
            qz: ZERO,
            wx: ZERO,
            wy: ZERO,
            wz: ZERO,
            turned: ZERO,
            turn: ZERO,
            time: ZERO,
            loft: ZERO,
            landing_coat: ZERO,
            landing_time: ZERO,
            landing_rows: 0..0,
            before: ZERO,
            laid: ZERO,
            cx: ZERO,
            cy: ZERO,
            cz: ZERO,
            ax: ZERO,
            ay: ZERO,
            az: ZERO,
            widest_x: ZERO,
            widest_row: ZERO,
            gutter_x: ZERO,
            gutter_row: ZERO,
            arrows_x: ZERO,
            exit_x: ZERO,
            approach_x: ZERO,
            approach_lean: ZERO,
            memory: Memory { turned: NONE, time: NONE, cx: NONE, cy: NONE, cz: NONE, film: NONE },
        })
    }

    /// Puts these throws at the foul line; spare places repeat the last.
    pub fn load(&mut self, releases: &[Release], ball: &Ball, lane: &Lane) {
        self.landing_rows = 0..0;
        // Nothing lay there before the first row; the film's cubic reads two rows further back than the track.
        self.memory.film[(MEMORY - 2) * WIDTH..].fill(0.0);
        for i in 0..WIDTH {
            let release = &releases[i.min(releases.len() - 1)];
            let core = release.core_in_lane(ball);
            let q = DQuat::from_mat3(&core);
            let spin = release.spin_rad_s();
            let momentum = core * (ball.inertia_kg_m2 * (core.transpose() * spin));
            let offset = core * ball.cg_offset_m;
            // The centre of gravity is what moves freely; the hand carries the centre at the release's velocity.
            let velocity = release.velocity_m_s() + spin.cross(offset);
            self.x[i] = (release.laydown.to_metres() + offset.x) as f32;
            (self.vx[i], self.vy[i]) = (velocity.x as f32, velocity.y as f32);
            (self.lx[i], self.ly[i], self.lz[i]) = (momentum.x as f32, momentum.y as f32, momentum.z as f32);
            (self.qw[i], self.qx[i], self.qy[i], self.qz[i]) = (q.w as f32, q.x as f32, q.y as f32, q.z as f32);
            self.loft[i] = release.loft.to_metres() as f32;
            if release.loft.0 > 0.0 {
                let (y_m, hand) = (release.loft.to_metres(), release.velocity_m_s());
                let time_s = y_m / hand.y;
                let (Coat::Oil(value) | Coat::Friction(value)) =
                    lane.coat(release.laydown.to_metres() + hand.x * time_s, y_m);
                (self.landing_coat[i], self.landing_time[i]) = (value as f32, time_s as f32);
                // The row whose middle is the first behind the landing; one to spare for rounding.
                let row = (release.loft.0 / ROW_FT + 0.5) as usize;
                let rows = &self.landing_rows;
                self.landing_rows = if rows.is_empty() {
                    row.saturating_sub(1)..row + 2
                } else {
                    rows.start.min(row.saturating_sub(1))..rows.end.max(row + 2)
                };
            }
            self.widest_x[i] = release.laydown.to_metres() as f32;
        }
        (self.gained_x, self.gained_y, self.gained_z) = ([0.0; WIDTH], [0.0; WIDTH], [0.0; WIDTH]);
        self.turned = [0.0; WIDTH];
        self.turn = [0.0; WIDTH];
        self.time = [0.0; WIDTH];
        self.widest_row = [-0.5; WIDTH];
        self.gutter_row = [-1.0; WIDTH];
    }

    /// Adds half the last move to the place of each centre: from the middle of a row to its far line.
    pub fn at_line(&self) -> [f32; WIDTH] {
        core::array::from_fn(|i| self.place[i] + 0.5 * ROW_M * self.vx[i] / self.vy[i])
    }
}

/// Per-ball numbers in single precision.
pub(super) struct Constants {
    pub radius: f32,
    pub per_mass: f32,
    pub weight: f32,
    pub per_inertia: [f32; 3],
    pub offset: [f32; 3],
    pub dry: f32,
    pub lane_share: f32,
    pub track_share: f32,
    pub film_scale: f32,
    pub shear: f32,
    pub film_cap: f32,
    pub take: f32,
    pub per_take_film: f32,
    pub give: f32,
    pub per_stripe: f32,
    pub per_absorption: f32,
    pub pivot_arm: f32,
    pub patch: f32,
    pub rolling: f32,
}

impl Constants {
    pub fn new(runway: &Runway) -> Self {
        let (ball, c) = (&runway.ball, &runway.contact);
        let per = ball.inertia_kg_m2.recip();
        let d = ball.cg_offset_m;
        Self {
            radius: ball.radius_m as f32,
            per_mass: (1.0 / ball.mass_kg) as f32,
            weight: (ball.mass_kg * court::GRAVITY_M_S2) as f32,
            per_inertia: [per.x as f32, per.y as f32, per.z as f32],
            offset: [d.x as f32, d.y as f32, d.z as f32],
            dry: c.dry_friction as f32,
            lane_share: c.lane_share_per_m as f32,
            track_share: c.track_share_per_m as f32,
            film_scale: c.film_scale_m as f32,
            shear: c.shear_s as f32,
            film_cap: c.film_cap as f32,
            take: c.take as f32,
            per_take_film: (1.0 / c.take_film_m) as f32,
            give: c.give as f32,
            per_stripe: (1.0 / c.stripe_m) as f32,
            per_absorption: (1.0 / c.absorption_s) as f32,
            pivot_arm: c.pivot_arm_m as f32,
            patch: c.patch_radius_m as f32,
            rolling: c.rolling_resistance as f32,
        }
    }
}
