//! The throws of one pack, side by side.

use super::floor::Floor;
use super::track::Track;
use super::{Each, FEET, PARTS, ROW_FT, ROW_M, Runway, WIDTH};
use crate::release::Release;
use crate::surface::{Coat, Ground};
use boardwise_units::math;
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
