//! Many throws at once.
//!
//! The same rigid body and the same contact law as [`crate::throw()`], arranged for speed: throws stand side by side in
//! arrays, advance together from one line across the lane to the next (equal distances, not equal times), and feel
//! the lane once a row, as an impulse. Friction stops the slip and no more, so rolling needs no small steps. Single
//! precision; plain arithmetic, so every machine and every vector width gives the same bits.
//!
//! Agreement with the reference is measured in `tests/law_batch.rs` and stated in docs/path.md.

use crate::friction::{Contact, ContactLaw, MOST_SWEEP};
use crate::path::{Approach, PinTouch, Place, Side};
use crate::release::Release;
use crate::surface::{Coat, Ground, Lane};
use crate::throw::APPROACH_FT;
use alloc::vec::Vec;
use ball::{Ball, Entry};
use glam::{DQuat, DVec3};
use measure::math::{self, sqrt_f32 as sqrt};
use measure::{Board, Feet, court};

/// Rows from the foul line to the head pin.
pub const ROWS: usize = 600;
/// Length of a row.
const ROW_FT: f64 = court::HEAD_PIN_FT / ROWS as f64;
const ROW_M: f32 = (ROW_FT * 0.3048) as f32;
/// Throws that advance together. A whole number of the widest vectors, and small enough to stay in the nearest cache.
const WIDTH: usize = 32;
/// Steps of track memory: a power of two that holds one revolution down to about 120 rpm.
const MEMORY: usize = 128;
/// Nodes across a row of lane, padded to a power of two.
const NODES: usize = 128;

/// A lane cut into rows for one ball: what the batch engine reads.
#[derive(Clone, Debug)]
pub struct Runway {
    rows: Vec<Row>,
    oiled: bool,
    sloped: bool,
    pattern_end: Option<Feet>,
    contact: Contact,
    ball: Ball,
}

/// The middle of one row, at every node across.
#[derive(Clone, Debug)]
#[repr(align(64))]
struct Row {
    /// Film in metres, or friction where that is given.
    coat: [f32; NODES],
    /// Rise across and along, times gravity.
    pull: [[f32; NODES]; 2],
}

/// What came of one throw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finish {
    /// First touch of a pin, unless the ball left the lane or missed them all.
    pub touch: Option<PinTouch>,
    /// Where it dropped into a gutter.
    pub gutter: Option<(Feet, Side)>,
    /// The place closest to the bowling-hand gutter.
    pub breakpoint: Place,
    /// Where it crossed the end of the pattern, if there is one.
    pub exit: Option<Place>,
    /// Board at 15 ft.
    pub arrows: Board,
    /// Time to 60 ft, s.
    pub time_s: f64,
}

impl Runway {
    /// Cuts a lane for a ball under a contact law.
    pub fn new(lane: &Lane, ball: &Ball, law: &ContactLaw) -> Self {
        let oiled = lane.film().is_some();
        let rows = (0..ROWS)
            .map(|k| {
                let y_m = Feet(ROW_FT * (k as f64 + 0.5)).to_metres();
                let mut row = Row { coat: [0.0; NODES], pull: [[0.0; NODES]; 2] };
                for node in 0..NODES {
                    let x_m = Board(0.5 + 0.5 * node.min(crate::field::ACROSS - 1) as f64).to_metres();
                    let (Coat::Oil(value) | Coat::Friction(value)) = lane.coat(x_m, y_m);
                    row.coat[node] = value as f32;
                    let pull = -court::GRAVITY_M_S2 * lane.slope(x_m, y_m);
                    (row.pull[0][node], row.pull[1][node]) = (pull.x as f32, pull.y as f32);
                }
                row
            })
            .collect();
        Self {
            rows,
            oiled,
            sloped: lane.shape.is_some(),
            pattern_end: lane.pattern_end(),
            contact: law.between(ball, lane.surface_ra_m),
            ball: ball.clone(),
        }
    }

    /// Throws them all and says what came of each, in order.
    pub fn throw_many(&self, releases: &[Release]) -> Vec<Finish> {
        let mut finishes = Vec::with_capacity(releases.len());
        let mut pack = Pack::new();
        for chunk in releases.chunks(WIDTH) {
            pack.load(chunk, &self.ball);
            roll_pack(&mut pack, self);
            finishes.extend((0..chunk.len()).map(|i| self.finish(&pack, i)));
        }
        finishes
    }

    fn finish(&self, pack: &Pack, i: usize) -> Finish {
        let gutter = (pack.gutter_row[i] >= 0.0).then(|| {
            let side = if pack.gutter_x[i] > 0.0 { Side::Hand } else { Side::Away };
            (Feet(f64::from(pack.gutter_row[i]) * ROW_FT + 0.5 * ROW_FT), side)
        });
        let speed_m_s = math::hypot(f64::from(pack.vx[i]), f64::from(pack.vy[i]));
        let lean_end = f64::from(pack.vx[i] / pack.vy[i]);
        let y_m = Feet(APPROACH_FT).to_metres();
        let lean = f64::from(pack.approach_lean[i]);
        let approach = Approach {
            x_m: f64::from(pack.approach_x[i]),
            y_m,
            lean,
            // Leans are means over rows: the first half a row before its line, the last half a row before the end.
            bend_per_m: (lean_end - lean) / (court::HEAD_PIN_M - y_m),
        };
        let touch =
            gutter.is_none().then(|| approach.first_touch(self.ball.radius_m)).flatten().map(|(pin, x_m, y)| {
                let lean = lean + (y - y_m) * approach.bend_per_m;
                let along = speed_m_s / math::sqrt(1.0 + lean * lean);
                let spin_rad_s = DVec3::new(pack.wx[i].into(), pack.wy[i].into(), pack.wz[i].into());
                let velocity_m_s = DVec3::new(along * lean, along, 0.0);
                PinTouch { pin, entry: Entry { x_m, y_m: y, velocity_m_s, spin_rad_s } }
            });
        let board = |x_m: f32| Board::from_metres(x_m.into());
        let reached = |feet: Feet| gutter.is_none_or(|(left, _)| left.0 > feet.0);
        Finish {
            touch,
            gutter,
            breakpoint: Place {
                board: Board(board(pack.widest_x[i]).0.max(0.5)),
                feet: Feet((f64::from(pack.widest_row[i]) + 0.5) * ROW_FT),
            },
            exit: self.pattern_end.filter(|&end| reached(end)).map(|feet| Place { board: board(pack.exit_x[i]), feet }),
            arrows: board(pack.arrows_x[i]),
            time_s: pack.time[i].into(),
        }
    }
}

/// The throws of one pack, side by side. Suffixless names are SI.
#[repr(align(64))]
struct Pack {
    x: [f32; WIDTH],
    /// Across the lane: of the centre of gravity (`x`), and of the centre.
    place: [f32; WIDTH],
    /// What lies under the ball, and the pull of the slope.
    coat: [f32; WIDTH],
    pull_x: [f32; WIDTH],
    pull_y: [f32; WIDTH],
    vx: [f32; WIDTH],
    vy: [f32; WIDTH],
    /// Angular momentum about the centre of gravity, lane frame.
    lx: [f32; WIDTH],
    ly: [f32; WIDTH],
    lz: [f32; WIDTH],
    /// Angular momentum gained in the last row.
    gained_x: [f32; WIDTH],
    gained_y: [f32; WIDTH],
    gained_z: [f32; WIDTH],
    /// Core to lane.
    qw: [f32; WIDTH],
    qx: [f32; WIDTH],
    qy: [f32; WIDTH],
    qz: [f32; WIDTH],
    /// Angular velocity at the last row, lane frame.
    wx: [f32; WIDTH],
    wy: [f32; WIDTH],
    wz: [f32; WIDTH],
    /// Angle turned since release, and in the last row.
    turned: [f32; WIDTH],
    turn: [f32; WIDTH],
    time: [f32; WIDTH],
    loft: [f32; WIDTH],
    /// Film on the track ahead of the contact, and after this row.
    before: [f32; WIDTH],
    laid: [f32; WIDTH],
    /// Contact in the core's frame at this row.
    cx: [f32; WIDTH],
    cy: [f32; WIDTH],
    cz: [f32; WIDTH],
    /// Rotation axis in the core's frame.
    ax: [f32; WIDTH],
    ay: [f32; WIDTH],
    az: [f32; WIDTH],
    widest_x: [f32; WIDTH],
    widest_row: [f32; WIDTH],
    gutter_x: [f32; WIDTH],
    gutter_row: [f32; WIDTH],
    arrows_x: [f32; WIDTH],
    exit_x: [f32; WIDTH],
    approach_x: [f32; WIDTH],
    approach_lean: [f32; WIDTH],
    memory: Memory,
}

/// What the track remembers: the last `MEMORY` rows of each throw.
struct Memory {
    turned: [f32; MEMORY * WIDTH],
    cx: [f32; MEMORY * WIDTH],
    cy: [f32; MEMORY * WIDTH],
    cz: [f32; MEMORY * WIDTH],
    film: [f32; MEMORY * WIDTH],
}

impl Pack {
    fn new() -> alloc::boxed::Box<Self> {
        const ZERO: [f32; WIDTH] = [0.0; WIDTH];
        const NONE: [f32; MEMORY * WIDTH] = [0.0; MEMORY * WIDTH];
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
            memory: Memory { turned: NONE, cx: NONE, cy: NONE, cz: NONE, film: NONE },
        })
    }

    /// Puts these throws at the foul line; spare places repeat the last.
    fn load(&mut self, releases: &[Release], ball: &Ball) {
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
            self.widest_x[i] = release.laydown.to_metres() as f32;
        }
        (self.gained_x, self.gained_y, self.gained_z) = ([0.0; WIDTH], [0.0; WIDTH], [0.0; WIDTH]);
        self.turned = [0.0; WIDTH];
        self.turn = [0.0; WIDTH];
        self.time = [0.0; WIDTH];
        self.widest_row = [-0.5; WIDTH];
        self.gutter_row = [-1.0; WIDTH];
    }

    /// Adds half the last move to each place: from the middle of a row to its far line.
    fn at_line(&self) -> [f32; WIDTH] {
        core::array::from_fn(|i| self.x[i] + 0.5 * ROW_M * self.vx[i] / self.vy[i])
    }
}

/// Rolls a pack from the foul line to the head pin with the widest vectors this processor has.
#[multiversion::multiversion(targets(
    "x86_64+avx512f+avx512bw+avx512cd+avx512dq+avx512vl+avx2+fma",
    "x86_64+avx2+fma"
))]
fn roll_pack(pack: &mut Pack, runway: &Runway) {
    let offset = runway.ball.cg_offset_m != DVec3::ZERO;
    match (runway.oiled, runway.sloped || offset) {
        (true, false) => roll_rows::<true, false>(pack, runway),
        (true, true) => roll_rows::<true, true>(pack, runway),
        (false, false) => roll_rows::<false, false>(pack, runway),
        (false, true) => roll_rows::<false, true>(pack, runway),
    }
}

#[inline(always)]
fn roll_rows<const OILED: bool, const FULL: bool>(pack: &mut Pack, runway: &Runway) {
    let k = Constants::new(runway);
    drift::<FULL>(pack, &k, 0.5);
    let exit_row = runway.pattern_end.map_or(usize::MAX, |end| ((end.0 / ROW_FT) as usize).clamp(1, ROWS));
    for (index, row) in runway.rows.iter().enumerate() {
        if OILED {
            recall(pack, index, &k);
        }
        sample::<FULL>(pack, row);
        kick::<OILED, FULL>(pack, index, &k);
        if OILED {
            remember(pack, index);
        }
        let line = index + 1;
        if line == (15.0 / ROW_FT) as usize {
            pack.arrows_x = pack.at_line();
        }
        if line == exit_row {
            let rest = ((runway.pattern_end.map_or(0.0, |end| end.0) - line as f64 * ROW_FT) * 0.3048) as f32;
            let at_line = pack.at_line();
            for i in 0..WIDTH {
                pack.exit_x[i] = at_line[i] + rest * pack.vx[i] / pack.vy[i];
            }
        }
        if line == (APPROACH_FT / ROW_FT) as usize {
            pack.approach_x = pack.at_line();
            for i in 0..WIDTH {
                pack.approach_lean[i] = pack.vx[i] / pack.vy[i];
            }
        }
        drift::<FULL>(pack, &k, if line == ROWS { 0.5 } else { 1.0 });
    }
}

/// Per-ball numbers in single precision.
struct Constants {
    radius: f32,
    per_mass: f32,
    weight: f32,
    per_inertia: [f32; 3],
    offset: [f32; 3],
    dry: f32,
    lane_share: f32,
    track_share: f32,
    film_scale: f32,
    shear: f32,
    film_cap: f32,
    take: f32,
    per_take_film: f32,
    give: f32,
    per_stripe: f32,
    per_absorption: f32,
    pivot_arm: f32,
    patch: f32,
    rolling: f32,
}

impl Constants {
    fn new(runway: &Runway) -> Self {
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

// In the kernels below `if` on values compiles to a select; f32::min and max would add NaN handling to every lane.
#[inline(always)]
fn least(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

#[inline(always)]
fn most(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// Rounds to the nearest whole number by way of the mantissa: the number and its low bits.
#[inline(always)]
fn nearest(v: f32) -> (f32, u32) {
    const SHIFT: f32 = 12_582_912.0; // 1.5 · 2^23
    let shifted = v + SHIFT;
    (shifted - SHIFT, shifted.to_bits())
}

/// 1 − exp(−u) for u ≥ 0, within 3e-5: the sixteenth power of a short series.
#[inline(always)]
fn one_minus_exp(u: f32) -> f32 {
    let v = u * (1.0 / 16.0);
    let root = 1.0 / (1.0 + v * (1.0 + v * (0.5 + v * (1.0 / 6.0))));
    let p4 = root * root * (root * root);
    let p8 = p4 * p4;
    1.0 - p8 * p8
}

/// Reads the row under each ball. A loop of its own: reads from scattered places would keep the arithmetic scalar.
#[inline(always)]
fn sample<const FULL: bool>(pack: &mut Pack, row: &Row) {
    const PER_NODE: f32 = (2.0 / court::BOARD_M) as f32;
    let (mut nodes, mut shares) = ([0u32; WIDTH], [0.0f32; WIDTH]);
    for i in 0..WIDTH {
        let across = least(most(39.0 - pack.place[i] * PER_NODE, 0.0), 77.999);
        let (below, bits) = nearest(across - 0.5);
        (nodes[i], shares[i]) = (bits, across - below);
    }
    for i in 0..WIDTH {
        let node = nodes[i] as usize & (NODES / 2 * 2 - 1);
        let next = (node + 1) & (NODES - 1);
        let read = |values: &[f32; NODES]| values[node] + shares[i] * (values[next] - values[node]);
        pack.coat[i] = read(&row.coat);
        if FULL {
            (pack.pull_x[i], pack.pull_y[i]) = (read(&row.pull[0]), read(&row.pull[1]));
        }
    }
}

/// Finds the film each track carries ahead of its contact: what was left there one revolution ago, as far as the ring of
/// then and the ring of now overlap.
#[inline(always)]
fn recall(pack: &mut Pack, index: usize, k: &Constants) {
    const TURN: f32 = core::f32::consts::TAU;
    let m = &pack.memory;
    let longest = least(index as f32, (MEMORY - 2) as f32);
    let slot = |bits: u32| (index as u32).wrapping_sub(bits & (MEMORY as u32 - 1)) & (MEMORY as u32 - 1);
    let (mut guess, mut slots, mut then) = ([0.0f32; WIDTH], [0u32; WIDTH], [0.0f32; WIDTH]);
    for i in 0..WIDTH {
        let (rows, bits) = nearest(least(most(TURN / most(pack.turn[i], 1e-6), 1.0), longest));
        (guess[i], slots[i]) = (rows, slot(bits));
    }
    for i in 0..WIDTH {
        then[i] = m.turned[(slots[i] as usize & (MEMORY - 1)) * WIDTH + i];
    }
    let mut shares = [0.0f32; WIDTH];
    for i in 0..WIDTH {
        // The ball turned a little slower then: one secant step, to a fraction of a row.
        let since = most(pack.turned[i] - then[i], 1e-6);
        let rows = least(most(guess[i] * TURN / since, 1.0), longest);
        let (whole, bits) = nearest(rows - 0.5);
        (slots[i], shares[i]) = (slot(bits), rows - whole);
    }
    let (mut lx, mut ly, mut lz, mut film) = ([0.0f32; WIDTH], [0.0f32; WIDTH], [0.0f32; WIDTH], [0.0f32; WIDTH]);
    for i in 0..WIDTH {
        let near = (slots[i] as usize & (MEMORY - 1)) * WIDTH + i;
        let far = ((slots[i] as usize).wrapping_sub(1) & (MEMORY - 1)) * WIDTH + i;
        let between = |values: &[f32; MEMORY * WIDTH]| values[near] + shares[i] * (values[far] - values[near]);
        (lx[i], ly[i], lz[i], film[i]) = (between(&m.cx), between(&m.cy), between(&m.cz), between(&m.film));
    }
    for i in 0..WIDTH {
        let (cx, cy, cz) = (pack.cx[i], pack.cy[i], pack.cz[i]);
        let (ax, ay, az) = (pack.ax[i], pack.ay[i], pack.az[i]);
        let slant = ax * cx + ay * cy + az * cz;
        let ring = sqrt(most(1.0 - slant * slant, 1e-12));
        let moved = ax * lx[i] + ay * ly[i] + az * lz[i] - slant;
        let shift = k.radius * moved.abs() / ring;
        let overlap = most(1.0 - shift * k.per_stripe, 0.0);
        // exp(−age/τ), where a revolution is far shorter than τ.
        let turned = pack.turned[i];
        let age = pack.time[i] * (TURN / most(turned, TURN)) * k.per_absorption;
        let kept = 1.0 / (1.0 + age * (1.0 + 0.5 * age));
        let full_turn = (turned >= TURN) & (TURN < 0.9 * pack.turn[i] * (MEMORY - 2) as f32);
        pack.before[i] = if full_turn { overlap * film[i] * kept } else { 0.0 };
    }
}

/// Writes this row into the track's memory.
#[inline(always)]
fn remember(pack: &mut Pack, index: usize) {
    let at = (index & (MEMORY - 1)) * WIDTH;
    let m = &mut pack.memory;
    m.turned[at..at + WIDTH].copy_from_slice(&pack.turned);
    m.cx[at..at + WIDTH].copy_from_slice(&pack.cx);
    m.cy[at..at + WIDTH].copy_from_slice(&pack.cy);
    m.cz[at..at + WIDTH].copy_from_slice(&pack.cz);
    m.film[at..at + WIDTH].copy_from_slice(&pack.laid);
}

/// The lane's impulse of one row, given at its middle.
#[inline(always)]
fn kick<const OILED: bool, const FULL: bool>(pack: &mut Pack, index: usize, k: &Constants) {
    let middle = (index as f32 + 0.5) * ROW_M;
    const EDGE: f32 = (0.5 * court::WIDTH_M) as f32;
    for i in 0..WIDTH {
        let (vx, vy) = (pack.vx[i], pack.vy[i]);
        let a = turn_matrix(pack.qw[i], pack.qx[i], pack.qy[i], pack.qz[i]);
        let (lx, ly, lz) = (pack.lx[i], pack.ly[i], pack.lz[i]);
        let b = into_core(&a, lx, ly, lz);
        let w = [b[0] * k.per_inertia[0], b[1] * k.per_inertia[1], b[2] * k.per_inertia[2]];
        let free = free_turn(&b, &w, k);
        let (wx, wy, wz) = out_of_core(&a, &w);
        let (fx, fy, _) = out_of_core(&a, &free);
        // Centre of gravity from the centre.
        let (dx, dy, dz) = if FULL { out_of_core(&a, &k.offset) } else { (0.0, 0.0, 0.0) };
        let x = pack.place[i];
        let arm = k.radius + dz;
        let sx = vx - wy * arm + wz * dy;
        let sy = vy + wx * arm - wz * dx;
        let slip = sqrt(sx * sx + sy * sy) + 1e-9;
        let coat = pack.coat[i];
        let before = pack.before[i];
        let mu = if OILED {
            let lambda = k.lane_share * coat + k.track_share * before;
            let dry = 1.0 / (1.0 + lambda * sqrt(lambda));
            let film = least(k.shear * slip / (lambda * k.film_scale + 1e-9), k.film_cap);
            dry * k.dry + (1.0 - dry) * film
        } else {
            coat
        };
        let per_slip = 1.0 / slip;
        let per_vy = 1.0 / vy;
        let spell = ROW_M * per_vy;
        let normal = if FULL {
            // N = [g − n·(gy×d) + n·(w×(w×d))] / [1/m − n·((I⁻¹(ρ×e))×d)], with the last term for a round ball.
            let spin = wx * dx + wy * dy + wz * dz;
            let about = wz * spin - (wx * wx + wy * wy + wz * wz) * dz;
            let precess = fx * dy - fy * dx;
            let tilt = (sx * dx + sy * dy) * per_slip * mu * arm * k.per_inertia[1];
            most((k.weight * k.per_mass + precess + about) / (k.per_mass + tilt), 0.0)
        } else {
            k.weight
        };
        // The row lasts from half a row before to half a row after, at the two speeds.
        let spell = spell * (1.0 + 0.5 * mu * normal * k.per_mass * sy * per_slip * spell * per_vy);
        let (loft, time) = (pack.loft[i], pack.time[i]);
        let flying = middle < loft;
        let lands = !flying & (middle - ROW_M < loft) & (loft > 0.0);
        let landing = if lands { k.weight * (time - 0.5 * spell) } else { 0.0 };
        let load = if flying { 0.0 } else { normal * spell + landing };
        // What would stop the slip by the middle of the next drift.
        let (px, py) = (sx - 0.5 * spell * arm * fy, sy + 0.5 * spell * arm * fx);
        let i00 = a[0] * a[0] * k.per_inertia[0] + a[1] * a[1] * k.per_inertia[1] + a[2] * a[2] * k.per_inertia[2];
        let i11 = a[3] * a[3] * k.per_inertia[0] + a[4] * a[4] * k.per_inertia[1] + a[5] * a[5] * k.per_inertia[2];
        let i01 = a[0] * a[3] * k.per_inertia[0] + a[1] * a[4] * k.per_inertia[1] + a[2] * a[5] * k.per_inertia[2];
        let arm2 = arm * arm;
        let (kxx, kyy, kxy) = (k.per_mass + arm2 * i11, k.per_mass + arm2 * i00, -arm2 * i01);
        let per_det = 1.0 / (kxx * kyy - kxy * kxy);
        let (stop_x, stop_y) = ((kyy * px - kxy * py) * per_det, (kxx * py - kxy * px) * per_det);
        let grip = mu * load;
        let holds = stop_x * stop_x + stop_y * stop_y <= grip * grip;
        let slide = grip * per_slip;
        let jx = -(if holds { stop_x } else { slide * sx });
        let jy = -(if holds { stop_y } else { slide * sy });
        let speed2 = vx * vx + vy * vy;
        let flat2 = wx * wx + wy * wy;
        let flat = sqrt(flat2);
        let twist = k.patch * wz;
        let pivot =
            k.pivot_arm * grip * twist / (twist.abs() + (15.0 * core::f32::consts::PI / 16.0) * slip + 0.05 * k.patch);
        let rolling = if flying { 0.0 } else { k.rolling * k.weight * k.radius * spell } / (flat + 0.05);
        let (mut nvx, mut nvy) = (vx + jx * k.per_mass, vy + jy * k.per_mass);
        let mut nlx = lx + arm * jy - rolling * wx;
        let mut nly = ly - arm * jx - rolling * wy;
        let mut nlz = lz - pivot;
        if FULL {
            // Torque of the load about the centre of gravity, and of the friction about its upright.
            nlx -= dy * load;
            nly += dx * load;
            nlz += dy * jx - dx * jy;
            nvx += pack.pull_x[i] * spell;
            nvy += pack.pull_y[i] * spell;
        }
        if OILED {
            let sweep = least(sqrt(speed2) / (k.radius * most(flat, 1e-3)), MOST_SWEEP as f32);
            let take = k.take * one_minus_exp(coat * k.per_take_film);
            let gain = (take * coat - k.give * before) * sweep;
            pack.laid[i] = if flying { 0.0 } else { most(before + gain, 0.0) };
        }
        pack.vx[i] = nvx;
        pack.vy[i] = most(nvy, 0.5);
        (pack.gained_x[i], pack.gained_y[i], pack.gained_z[i]) = (nlx - lx, nly - ly, nlz - lz);
        pack.lx[i] = nlx;
        pack.ly[i] = nly;
        pack.lz[i] = nlz;
        pack.wx[i] = wx;
        pack.wy[i] = wy;
        pack.wz[i] = wz;
        // Sign bits and places are kept even while a ball is off the lane; only the first departure counts.
        let row_number = index as f32;
        let (widest_x, widest_row) = (pack.widest_x[i], pack.widest_row[i]);
        let (gutter_x, gutter_row) = (pack.gutter_x[i], pack.gutter_row[i]);
        let wider = (x > widest_x) & (gutter_row < 0.0);
        pack.widest_x[i] = if wider { x } else { widest_x };
        pack.widest_row[i] = if wider { row_number } else { widest_row };
        let leaves = (x.abs() > EDGE) & (gutter_row < 0.0);
        pack.gutter_x[i] = if leaves { x } else { gutter_x };
        pack.gutter_row[i] = if leaves { row_number } else { gutter_row };
    }
}

/// Free motion for `rows` rows: straight flight and a torque-free top.
#[inline(always)]
fn drift<const FULL: bool>(pack: &mut Pack, k: &Constants, rows: f32) {
    for i in 0..WIDTH {
        let span = rows * ROW_M / pack.vy[i];
        let (qw, qx, qy, qz) = (pack.qw[i], pack.qx[i], pack.qy[i], pack.qz[i]);
        let a = turn_matrix(qw, qx, qy, qz);
        let b = into_core(&a, pack.lx[i], pack.ly[i], pack.lz[i]);
        let w = [b[0] * k.per_inertia[0], b[1] * k.per_inertia[1], b[2] * k.per_inertia[2]];
        let free = free_turn(&b, &w, k);
        let half = 0.5 * span;
        // Half the rotation vector: the rate at the middle of the drift, and Magnus' next term, (h²/12) w × hw', for the
        // turning of the axis itself, which would else shift the track a tenth of a millimetre a revolution.
        let g = into_core(&a, pack.gained_x[i], pack.gained_y[i], pack.gained_z[i]);
        let m = [w[0] + half * free[0], w[1] + half * free[1], w[2] + half * free[2]];
        let d = [
            g[0] * k.per_inertia[0] + span * free[0],
            g[1] * k.per_inertia[1] + span * free[1],
            g[2] * k.per_inertia[2] + span * free[2],
        ];
        let twelfth = span * (1.0 / 12.0);
        let hx = (m[0] + twelfth * (m[1] * d[2] - m[2] * d[1])) * half;
        let hy = (m[1] + twelfth * (m[2] * d[0] - m[0] * d[2])) * half;
        let hz = (m[2] + twelfth * (m[0] * d[1] - m[1] * d[0])) * half;
        let t2 = hx * hx + hy * hy + hz * hz;
        let cos = 1.0 - t2 * (0.5 - t2 * ((1.0 / 24.0) - t2 * (1.0 / 720.0)));
        let sinc = 1.0 - t2 * ((1.0 / 6.0) - t2 * ((1.0 / 120.0) - t2 * (1.0 / 5040.0)));
        let (ex, ey, ez) = (hx * sinc, hy * sinc, hz * sinc);
        let nw = qw * cos - qx * ex - qy * ey - qz * ez;
        let nx = qx * cos + qw * ex + qy * ez - qz * ey;
        let ny = qy * cos + qw * ey + qz * ex - qx * ez;
        let nz = qz * cos + qw * ez + qx * ey - qy * ex;
        pack.qw[i] = nw;
        pack.qx[i] = nx;
        pack.qy[i] = ny;
        pack.qz[i] = nz;
        let x = pack.x[i] + pack.vx[i] * span;
        pack.x[i] = x;
        pack.place[i] = if FULL { x - out_of_core(&turn_matrix(nw, nx, ny, nz), &k.offset).0 } else { x };
        pack.time[i] += span;
        let rate = sqrt(w[0] * w[0] + w[1] * w[1] + w[2] * w[2]) + 1e-9;
        let per_rate = 1.0 / rate;
        pack.turn[i] = rate * span;
        pack.turned[i] += rate * span;
        pack.ax[i] = w[0] * per_rate;
        pack.ay[i] = w[1] * per_rate;
        pack.az[i] = w[2] * per_rate;
        // The contact is straight down: minus the last row of the new attitude.
        pack.cx[i] = -2.0 * (nx * nz - nw * ny);
        pack.cy[i] = -2.0 * (ny * nz + nw * nx);
        pack.cz[i] = 2.0 * (nx * nx + ny * ny) - 1.0;
    }
}

/// Rotation matrix of a unit quaternion, row by row.
#[inline(always)]
fn turn_matrix(w: f32, x: f32, y: f32, z: f32) -> [f32; 9] {
    let (x2, y2, z2) = (x + x, y + y, z + z);
    let (xx, yy, zz) = (x * x2, y * y2, z * z2);
    let (xy, xz, yz) = (x * y2, x * z2, y * z2);
    let (wx, wy, wz) = (w * x2, w * y2, w * z2);
    [1.0 - yy - zz, xy - wz, xz + wy, xy + wz, 1.0 - xx - zz, yz - wx, xz - wy, yz + wx, 1.0 - xx - yy]
}

#[inline(always)]
fn into_core(a: &[f32; 9], x: f32, y: f32, z: f32) -> [f32; 3] {
    [a[0] * x + a[3] * y + a[6] * z, a[1] * x + a[4] * y + a[7] * z, a[2] * x + a[5] * y + a[8] * z]
}

#[inline(always)]
fn out_of_core(a: &[f32; 9], v: &[f32; 3]) -> (f32, f32, f32) {
    (
        a[0] * v[0] + a[1] * v[1] + a[2] * v[2],
        a[3] * v[0] + a[4] * v[1] + a[5] * v[2],
        a[6] * v[0] + a[7] * v[1] + a[8] * v[2],
    )
}

/// Euler's equations without torque: I⁻¹(L × w), in the core's frame.
#[inline(always)]
fn free_turn(b: &[f32; 3], w: &[f32; 3], k: &Constants) -> [f32; 3] {
    [
        (b[1] * w[2] - b[2] * w[1]) * k.per_inertia[0],
        (b[2] * w[0] - b[0] * w[2]) * k.per_inertia[1],
        (b[0] * w[1] - b[1] * w[0]) * k.per_inertia[2],
    ]
}
