//! From row to row: free motion between the rows, the impulse of the lane at the middle of each.

use super::arithmetic::{free_turn, into_core, least, most, nearest, one_minus_exp, out_of_core, turn_matrix};
use super::pack::{Constants, Pack};
use super::track::{recall, remember};
use super::{NODES, ROW_FT, ROW_M, ROWS, Row, Runway, WIDTH};
use crate::friction::MOST_SWEEP;
use crate::throw::APPROACH_FT;
use glam::DVec3;
use measure::court;
use measure::math::sqrt_f32 as sqrt;

/// Rolls a pack from the foul line to the head pin with the widest vectors this processor has.
#[multiversion::multiversion(targets(
    "x86_64+avx512f+avx512bw+avx512cd+avx512dq+avx512vl+avx2+fma",
    "x86_64+avx2+fma"
))]
pub(super) fn roll_pack(pack: &mut Pack, runway: &Runway) {
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
        if pack.landing_rows.contains(&index) {
            land::<OILED>(pack, index, &k);
        }
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

/// Friction on what lies under a ball whose track carries `before`.
#[inline(always)]
fn friction<const OILED: bool>(coat: f32, before: f32, slip: f32, k: &Constants) -> f32 {
    if !OILED {
        return coat;
    }
    let lambda = k.lane_share * coat + k.track_share * before;
    let dry = 1.0 / (1.0 + lambda * sqrt(lambda));
    let film = least(k.shear * slip / (lambda * k.film_scale + 1e-9), k.film_cap);
    dry * k.dry + (1.0 - dry) * film
}

/// What a unit of impulse at the contact changes of the slip: across, along, and each by the other.
#[inline(always)]
fn yielding(a: &[f32; 9], arm: f32, k: &Constants) -> [f32; 3] {
    let [p, q, r] = k.per_inertia;
    let i00 = a[0] * a[0] * p + a[1] * a[1] * q + a[2] * a[2] * r;
    let i11 = a[3] * a[3] * p + a[4] * a[4] * q + a[5] * a[5] * r;
    let i01 = a[0] * a[3] * p + a[1] * a[4] * q + a[2] * a[5] * r;
    let arm2 = arm * arm;
    [k.per_mass + arm2 * i11, k.per_mass + arm2 * i00, -arm2 * i01]
}

/// How much of a row lies behind the landing, for those that land in it.
#[inline(always)]
fn landing(middle: f32, loft: f32) -> (bool, f32) {
    ((middle >= loft) & (middle - ROW_M < loft) & (loft > 0.0), 0.5 + (middle - loft) * (1.0 / ROW_M))
}

/// The blow of the lane on those that land in this row, on the oil where they land, seen from the middle of the row.
#[inline(always)]
fn land<const OILED: bool>(pack: &mut Pack, index: usize, k: &Constants) {
    let middle = (index as f32 + 0.5) * ROW_M;
    for i in 0..WIDTH {
        let (lands, _) = landing(middle, pack.loft[i]);
        let a = turn_matrix(pack.qw[i], pack.qx[i], pack.qy[i], pack.qz[i]);
        let b = into_core(&a, pack.lx[i], pack.ly[i], pack.lz[i]);
        let w = [b[0] * k.per_inertia[0], b[1] * k.per_inertia[1], b[2] * k.per_inertia[2]];
        let (wx, wy, _) = out_of_core(&a, &w);
        let (vx, vy) = (pack.vx[i], pack.vy[i]);
        let (sx, sy) = (vx - wy * k.radius, vy + wx * k.radius);
        let slip = sqrt(sx * sx + sy * sy) + 1e-9;
        let (ux, uy) = (sx / slip, sy / slip);
        let [kxx, kyy, kxy] = yielding(&a, k.radius, k);
        let stop = slip / (kxx * ux * ux + kyy * uy * uy + 2.0 * kxy * ux * uy);
        let blow = friction::<OILED>(pack.landing_coat[i], 0.0, slip, k) * k.weight * pack.landing_time[i];
        let blow = if lands { least(blow, stop) } else { 0.0 };
        let (jx, jy) = (-blow * ux, -blow * uy);
        pack.vx[i] = vx + jx * k.per_mass;
        pack.vy[i] = vy + jy * k.per_mass;
        pack.lx[i] += k.radius * jy;
        pack.ly[i] -= k.radius * jx;
        // It has been under way since the landing.
        let moved = jx * k.per_mass * (middle - pack.loft[i]) / vy;
        pack.x[i] += moved;
        pack.place[i] += moved;
    }
}

/// The lane's impulse of one row, given at its middle.
#[inline(always)]
fn kick<const OILED: bool, const FULL: bool>(pack: &mut Pack, index: usize, k: &Constants) {
    const EDGE: f32 = (0.5 * court::WIDTH_M) as f32;
    let middle = (index as f32 + 0.5) * ROW_M;
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
        let mu = friction::<OILED>(coat, before, slip, k);
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
        let flying = middle < pack.loft[i];
        let (lands, behind) = landing(middle, pack.loft[i]);
        let share = if lands { behind } else { 1.0 };
        let load = if flying { 0.0 } else { normal * spell * share };
        // What would stop the slip by the middle of the next drift.
        let (px, py) = (sx - 0.5 * spell * arm * fy, sy + 0.5 * spell * arm * fx);
        let [kxx, kyy, kxy] = yielding(&a, arm, k);
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
            // The stripe begins where the ball lands, not at the row's middle: its first row stands for what is missing.
            pack.laid[i] = if flying { 0.0 } else { share * most(before + gain, 0.0) };
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
        let gi = [g[0] * k.per_inertia[0], g[1] * k.per_inertia[1], g[2] * k.per_inertia[2]];
        let d = [gi[0] + span * free[0], gi[1] + span * free[1], gi[2] + span * free[2]];
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
        pack.turn[i] = rate * span;
        pack.turned[i] += rate * span;
        let e = [
            w[0] + span * free[0] + 0.5 * gi[0],
            w[1] + span * free[1] + 0.5 * gi[1],
            w[2] + span * free[2] + 0.5 * gi[2],
        ];
        let per_rate = 1.0 / (sqrt(e[0] * e[0] + e[1] * e[1] + e[2] * e[2]) + 1e-9);
        pack.ax[i] = e[0] * per_rate;
        pack.ay[i] = e[1] * per_rate;
        pack.az[i] = e[2] * per_rate;
        // The contact is straight down: minus the last row of the new attitude.
        pack.cx[i] = -2.0 * (nx * nz - nw * ny);
        pack.cy[i] = -2.0 * (ny * nz + nw * nx);
        pack.cz[i] = 2.0 * (nx * nx + ny * ny) - 1.0;
    }
}
