//! From row to row: free motion between the rows, the impulse of the lane at the middle of each.

use super::arithmetic::{free_turn, into_core, least, most, one_minus_exp, out_of_core, per_root, turn_matrix};
use super::floor::sample;
use super::pack::{Constants, Pack};
use super::track::{keep, pass, recall, turn_over};
use super::{NODES, PARTS, ROW_FT, ROW_M, ROWS, ROWS_A_FOOT, Runway, WIDTH};
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
    match (runway.oiled, offset || !runway.pull.is_empty()) {
        (true, false) => roll_rows::<true, false>(pack, runway),
        (true, true) => roll_rows::<true, true>(pack, runway),
        (false, false) => roll_rows::<false, false>(pack, runway),
        (false, true) => roll_rows::<false, true>(pack, runway),
    }
}

#[inline(always)]
fn roll_rows<const OILED: bool, const FULL: bool>(pack: &mut Pack, runway: &Runway) {
    let k = Constants::new(runway);
    begin::<OILED, FULL>(pack, &k);
    if OILED {
        pack.track.clear(&pack.turn);
    }
    let exit_row = runway.pattern_end.map_or(usize::MAX, |end| ((end.0 / ROW_FT) as usize).clamp(1, ROWS));
    // One row further than the head pin: what a ball does at a line is read off the row that leads over it.
    for row in 0..=ROWS {
        if pack.landing_rows.contains(&row) {
            land::<OILED>(pack, row, &k);
        }
        if row == ROWS {
            note_spin(pack, &k);
        }
        // Past the oil on the lane only tracks are read.
        let bare = OILED && row >= runway.bare_from;
        if bare {
            look::<OILED, true>(pack, runway, row);
            sample::<FULL, true>(pack, runway, row);
        } else {
            look::<OILED, false>(pack, runway, row);
            sample::<FULL, false>(pack, runway, row);
        }
        if OILED {
            recall(pack, row, &k);
            pass(pack, row);
        }
        if bare {
            advance::<OILED, FULL, true>(pack, row, &k);
        } else {
            advance::<OILED, FULL, false>(pack, row, &k);
        }
        if OILED {
            keep(pack, row);
        }
        let line = row + 1;
        if pack.followed && line.is_multiple_of(ROWS_A_FOOT) && line <= ROWS {
            pack.feet_x[line / ROWS_A_FOOT] = pack.at_line();
        }
        if line == (15.0 / ROW_FT) as usize {
            pack.arrows_x = pack.at_line();
        }
        if line == exit_row {
            let rest = ((runway.pattern_end.map_or(0.0, |end| end.0) - line as f64 * ROW_FT) * 0.3048) as f32;
            let at_line = pack.at_line();
            for i in 0..WIDTH {
                pack.exit_x[i] = at_line[i] + rest * pack.vx[i] * pack.per_vy[i];
            }
        }
        if line == (APPROACH_FT / ROW_FT) as usize {
            pack.approach_x = pack.at_line();
            for i in 0..WIDTH {
                pack.approach_lean[i] = pack.vx[i] * pack.per_vy[i];
            }
        }
        if line == ROWS {
            (pack.end_vx, pack.end_vy) = (pack.vx, pack.vy);
            for i in 0..WIDTH {
                pack.end_time[i] = pack.time[i] - 0.5 * ROW_M * pack.per_vy[i];
            }
        }
    }
}

/// The angular velocity of each ball, lane frame.
fn note_spin(pack: &mut Pack, k: &Constants) {
    for i in 0..WIDTH {
        let a = turn_matrix(pack.qw[i], pack.qx[i], pack.qy[i], pack.qz[i]);
        let b = into_core(&a, pack.lx[i], pack.ly[i], pack.lz[i]);
        let w = [b[0] * k.per_inertia[0], b[1] * k.per_inertia[1], b[2] * k.per_inertia[2]];
        (pack.wx[i], pack.wy[i], pack.wz[i]) = out_of_core(&a, &w);
    }
}

/// Fetches what lies ahead: first the places of all of it, then all of it, for what is read at once is still on its way to memory.
#[inline(always)]
fn look<const OILED: bool, const BARE: bool>(pack: &mut Pack, runway: &Runway, row: usize) {
    let coat: &[[[f32; PARTS]; ROWS]; NODES] = runway.coat.as_slice().try_into().expect("a column for every node");
    pack.floor.choose(&pack.place);
    if OILED && row.is_multiple_of(2) {
        pack.track.choose(row);
        for i in 0..WIDTH {
            if !BARE {
                pack.floor.look(i, coat, row.min(ROWS - 1));
            }
            pack.track.look(i);
        }
        turn_over(&mut pack.track);
    } else if !BARE {
        for i in 0..WIDTH {
            pack.floor.look(i, coat, row.min(ROWS - 1));
        }
    }
}

/// Friction on what lies under a ball whose track carries `before`.
#[inline(always)]
fn friction<const OILED: bool>(coat: f32, before: f32, slip: f32, k: &Constants) -> f32 {
    if !OILED {
        return coat;
    }
    // A μ_b + (1−A) min(S/h, cap) with A = 1/(1 + λ^1.5), over one denominator.
    let lambda = k.lane_share * coat + k.track_share * before;
    let wet = lambda * sqrt(lambda);
    let film = lambda * k.film_scale + 1e-9;
    (k.dry * film + wet * least(k.shear * slip, k.film_cap * film)) / ((1.0 + wet) * film)
}

/// No more than half, either way: so far the series for the slip's direction holds.
#[inline(always)]
fn within_half(v: f32) -> f32 {
    most(least(v, 0.5), -0.5)
}

/// What a unit of impulse at the contact changes of the slip: across, along, and each by the other.
#[inline(always)]
fn yielding(a: &[f32; 9], arm: f32, k: &Constants) -> [f32; 3] {
    // Rows of a rotation: of unit length and at right angles.
    let ([p, q], r) = (k.per_inertia_more, k.per_inertia[2]);
    let i00 = r + a[0] * a[0] * p + a[1] * a[1] * q;
    let i11 = r + a[3] * a[3] * p + a[4] * a[4] * q;
    let i01 = a[0] * a[3] * p + a[1] * a[4] * q;
    let arm2 = arm * arm;
    [k.per_mass + arm2 * i11, k.per_mass + arm2 * i00, -arm2 * i01]
}

/// The blow of the lane on those that land in this row, on the oil where they land, seen from the middle of the row.
#[inline(always)]
fn land<const OILED: bool>(pack: &mut Pack, row: usize, k: &Constants) {
    let (start, middle) = (row as f32 * ROW_M, (row as f32 + 0.5) * ROW_M);
    for i in 0..WIDTH {
        let loft = pack.loft[i];
        let lands = (loft > 0.0) & (loft >= start) & (loft < start + ROW_M);
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
        let b = into_core(&a, pack.lx[i], pack.ly[i], pack.lz[i]);
        (pack.core_l[0][i], pack.core_l[1][i], pack.core_l[2][i]) = (b[0], b[1], b[2]);
        // It has been under way since the landing.
        let moved = jx * k.per_mass * (middle - pack.loft[i]) / vy;
        pack.x[i] += moved;
        pack.place[i] += moved;
    }
}

/// One row: the lane's impulse, given at its middle, and free motion to the middle of the next. `BARE` where no oil lies on the lane.
#[inline(always)]
fn advance<const OILED: bool, const FULL: bool, const BARE: bool>(pack: &mut Pack, row: usize, k: &Constants) {
    const EDGE: f32 = (0.5 * court::WIDTH_M) as f32;
    let start = (row * PARTS) as f32;
    for i in 0..WIDTH {
        let (vx, vy, per_vy) = (pack.vx[i], pack.vy[i], pack.per_vy[i]);
        let a = turn_matrix(pack.qw[i], pack.qx[i], pack.qy[i], pack.qz[i]);
        let b = [pack.core_l[0][i], pack.core_l[1][i], pack.core_l[2][i]];
        let w = [b[0] * k.per_inertia[0], b[1] * k.per_inertia[1], b[2] * k.per_inertia[2]];
        let free = free_turn(&b, k);
        let (wx, wy, wz) = out_of_core(&a, &w);
        let (fx, fy, fz) = out_of_core(&a, &free);
        // Centre of gravity from the centre.
        let (dx, dy, dz) = if FULL { out_of_core(&a, &k.offset) } else { (0.0, 0.0, 0.0) };
        let arm = k.radius + dz;
        let sx = vx - wy * arm + wz * dy;
        let sy = vy + wx * arm - wz * dx;
        let slip2 = sx * sx + sy * sy;
        let per_slip = per_root(slip2);
        let slip = slip2 * per_slip;
        // Half way through the row, if it slows as in the last.
        let felt = most(1.5 * slip - 0.5 * pack.slip[i], 0.0);
        pack.slip[i] = slip;
        // Each part of the row counts as far as it lies behind the landing.
        let loft = pack.loft[i] * (PARTS as f32 / ROW_M);
        let (mut mu, mut share) = (0.0, 0.0);
        let mut shares = [0.0; PARTS];
        for part in 0..PARTS {
            shares[part] = least(most(start + (part + 1) as f32 - loft, 0.0), 1.0);
            share += shares[part];
            let coat = if BARE { 0.0 } else { pack.coat[part][i] };
            mu += shares[part] * friction::<OILED>(coat, pack.before[part][i], felt, k);
        }
        let (mu, share) = (mu * (1.0 / PARTS as f32), share * (1.0 / PARTS as f32));
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
        let spell = ROW_M * per_vy;
        let spell = spell * (1.0 + 0.5 * mu * normal * k.per_mass * sy * per_slip * spell * per_vy);
        let load = normal * spell;
        let grip = mu * load;
        let [kxx, kyy, kxy] = yielding(&a, arm, k);
        let twist = k.patch * wz;
        // Two quotients for one division.
        let det = kxx * kyy - kxy * kxy;
        let fading = twist.abs() + (15.0 * core::f32::consts::PI / 16.0) * slip + 0.05 * k.patch;
        let per_both = 1.0 / (det * fading);
        let pivot = k.pivot_arm * grip * twist * (per_both * det);
        // What would stop the slip by the middle of the next drift.
        let per_det = per_both * fading;
        // (The change f of the angular velocity turns with the ball: w × f.)
        let (half, eighth) = (0.5 * spell * arm, 0.125 * spell * spell * arm);
        let (ex, ey) = (-eighth * (wz * fx - wx * fz), eighth * (wy * fz - wz * fy));
        let (px, py) = (sx - half * fy + ex, sy + half * fx + ey);
        let (stop_x, stop_y) = ((kyy * px - kxy * py) * per_det, (kxx * py - kxy * px) * per_det);
        let holds = stop_x * stop_x + stop_y * stop_y <= grip * grip;
        // Sliding, along the slip as it is on average: half the blow and half the row's free motion change it by q to both sides of
        // the middle, in parts of itself `ahead` and `aside`.
        let (ux, uy) = (sx * per_slip, sy * per_slip);
        let (blow_x, blow_y) = (-0.5 * grip * (kxx * ux + kxy * uy), -0.5 * grip * (kxy * ux + kyy * uy));
        let (qx, qy) = (blow_x - half * fy, blow_y + half * fx);
        let ahead = within_half((ux * qx + uy * qy) * per_slip);
        let aside = within_half((ux * qy - uy * qx) * per_slip);
        let (bent_x, bent_y) = (blow_x + ex * (1.0 / 3.0), blow_y + ey * (1.0 / 3.0));
        let swing = within_half((ux * bent_y - uy * bent_x) * per_slip) - (1.0 / 3.0) * ahead * aside;
        let slide = grip * (1.0 - (1.0 / 6.0) * aside * aside);
        let jx = -(if holds { stop_x } else { slide * (ux - swing * uy) });
        let jy = -(if holds { stop_y } else { slide * (uy + swing * ux) });
        let per_flat = per_root(most(wx * wx + wy * wy, 1e-6));
        // Against rolling, w/(w + 0.05 rad/s) of the full torque.
        let rolling = share * k.rolling_torque * spell * per_flat * most(1.0 - 0.05 * per_flat, 0.0);
        let mut gain = [arm * jy - rolling * wx, -arm * jx - rolling * wy, -pivot];
        let (mut nvx, mut nvy) = (vx + jx * k.per_mass, vy + jy * k.per_mass);
        if FULL {
            // Torque of the load about the centre of gravity, and of the friction about its upright.
            gain[0] -= dy * load * share;
            gain[1] += dx * load * share;
            gain[2] += dy * jx - dx * jy;
            nvx += pack.pull_x[i] * spell;
            nvy += pack.pull_y[i] * spell;
        }
        if OILED {
            let lean = vx * per_vy;
            let lean2 = lean * lean;
            let speed = vy * (1.0 + 0.5 * lean2 * (1.0 - 0.25 * lean2 * (1.0 - 0.5 * lean2)));
            let sweep = least(speed * per_flat * k.per_radius, MOST_SWEEP as f32);
            let last = if row == 0 { sweep } else { pack.sweep[i] };
            pack.sweep[i] = sweep;
            let sweep = 1.5 * sweep - 0.5 * last;
            for part in 0..PARTS {
                let (coat, before) = (if BARE { 0.0 } else { pack.coat[part][i] }, pack.before[part][i]);
                let taken = if BARE { 0.0 } else { k.take * one_minus_exp(coat * k.per_take_film) * coat };
                let gain = (taken - k.give * before) * sweep;
                pack.laid[part][i] = shares[part] * most(before + gain, 0.0);
            }
        }
        pack.vx[i] = nvx;
        pack.vy[i] = most(nvy, 0.5);
        pack.lx[i] += gain[0];
        pack.ly[i] += gain[1];
        pack.lz[i] += gain[2];
        // Sign bits and places are kept even while a ball is off the lane; only the first departure counts.
        let x = pack.place[i];
        let row_number = row as f32;
        let (widest_x, widest_row) = (pack.widest_x[i], pack.widest_row[i]);
        let (gutter_x, gutter_row) = (pack.gutter_x[i], pack.gutter_row[i]);
        let wider = (x > widest_x) & (gutter_row < 0.0) & (row < ROWS);
        pack.widest_x[i] = if wider { x } else { widest_x };
        pack.widest_row[i] = if wider { row_number } else { widest_row };
        let leaves = (x.abs() > EDGE) & (gutter_row < 0.0) & (row < ROWS);
        pack.gutter_x[i] = if leaves { x } else { gutter_x };
        pack.gutter_row[i] = if leaves { row_number } else { gutter_row };
        let g = into_core(&a, gain[0], gain[1], gain[2]);
        glide::<OILED, FULL>(pack, i, k, &[b[0] + g[0], b[1] + g[1], b[2] + g[2]], &g, &gain, 1.0);
    }
}

/// Free motion from the foul line to the middle of the first row.
#[inline(always)]
fn begin<const OILED: bool, const FULL: bool>(pack: &mut Pack, k: &Constants) {
    for i in 0..WIDTH {
        let a = turn_matrix(pack.qw[i], pack.qx[i], pack.qy[i], pack.qz[i]);
        let b = into_core(&a, pack.lx[i], pack.ly[i], pack.lz[i]);
        glide::<OILED, FULL>(pack, i, k, &b, &[0.0; 3], &[0.0; 3], 0.5);
    }
}

/// Free motion for `rows` rows: straight flight and a torque-free top. `b` is the angular momentum in the core's frame, `g` and
/// `gain` what it gained in the last row, there and in the lane's.
#[inline(always)]
fn glide<const OILED: bool, const FULL: bool>(
    pack: &mut Pack,
    i: usize,
    k: &Constants,
    b: &[f32; 3],
    g: &[f32; 3],
    gain: &[f32; 3],
    rows: f32,
) {
    let per_vy = 1.0 / pack.vy[i];
    let span = rows * ROW_M * per_vy;
    let w = [b[0] * k.per_inertia[0], b[1] * k.per_inertia[1], b[2] * k.per_inertia[2]];
    let free = free_turn(b, k);
    // Half the rotation vector: the rate at the middle of the drift, and Magnus' next term, (h²/12) w × hw', for the turning of
    // the axis itself: in the core's frame for the free part, in the lane's, and so of the other sign, for the lane's push.
    let half = 0.5 * span;
    let m = [w[0] + half * free[0], w[1] + half * free[1], w[2] + half * free[2]];
    let d = [
        span * free[0] - g[0] * k.per_inertia[0],
        span * free[1] - g[1] * k.per_inertia[1],
        span * free[2] - g[2] * k.per_inertia[2],
    ];
    let twelfth = span * (1.0 / 12.0);
    let hx = (m[0] + twelfth * (m[1] * d[2] - m[2] * d[1])) * half;
    let hy = (m[1] + twelfth * (m[2] * d[0] - m[0] * d[2])) * half;
    let hz = (m[2] + twelfth * (m[0] * d[1] - m[1] * d[0])) * half;
    let t2 = hx * hx + hy * hy + hz * hz;
    let per_t = per_root(t2);
    let turned = 2.0 * t2 * per_t;
    // The series below hold for half a turn in a row; a ball that spins on the spot turns faster, and has long lost its way.
    let within = least(1.5 * per_t, 1.0);
    let (hx, hy, hz, t2) = (hx * within, hy * within, hz * within, t2 * (within * within));
    let cos = 1.0 - t2 * (0.5 - t2 * ((1.0 / 24.0) - t2 * (1.0 / 720.0)));
    let sinc = 1.0 - t2 * ((1.0 / 6.0) - t2 * ((1.0 / 120.0) - t2 * (1.0 / 5040.0)));
    let (ex, ey, ez) = (hx * sinc, hy * sinc, hz * sinc);
    let (qw, qx, qy, qz) = (pack.qw[i], pack.qx[i], pack.qy[i], pack.qz[i]);
    let nw = qw * cos - qx * ex - qy * ey - qz * ez;
    let nx = qx * cos + qw * ex + qy * ez - qz * ey;
    let ny = qy * cos + qw * ey + qz * ex - qx * ez;
    let nz = qz * cos + qw * ez + qx * ey - qy * ex;
    (pack.qw[i], pack.qx[i], pack.qy[i], pack.qz[i]) = (nw, nx, ny, nz);
    let x = pack.x[i] + pack.vx[i] * span;
    let a = turn_matrix(nw, nx, ny, nz);
    pack.x[i] = x;
    pack.place[i] = if FULL { x - out_of_core(&a, &k.offset).0 } else { x };
    pack.time[i] += span;
    pack.per_vy[i] = per_vy;
    pack.turned[i] += turned;
    pack.turn[i] = turned * (1.0 / rows);
    let b = into_core(&a, pack.lx[i], pack.ly[i], pack.lz[i]);
    (pack.core_l[0][i], pack.core_l[1][i], pack.core_l[2][i]) = (b[0], b[1], b[2]);
    if !OILED {
        return;
    }
    // Where the contact and the rotation axis lie in the core's frame, half way through what the next row will give, taken to be
    // what the last one gave; and how the axis turns in a row.
    let g = into_core(&a, gain[0], gain[1], gain[2]);
    let b = [b[0] + 0.5 * g[0], b[1] + 0.5 * g[1], b[2] + 0.5 * g[2]];
    let e = [b[0] * k.per_inertia[0], b[1] * k.per_inertia[1], b[2] * k.per_inertia[2]];
    let per_rate = per_root(e[0] * e[0] + e[1] * e[1] + e[2] * e[2]);
    let axis = [e[0] * per_rate, e[1] * per_rate, e[2] * per_rate];
    let free = free_turn(&b, k);
    let spell = ROW_M * per_vy;
    let d = [
        (g[0] * k.per_inertia[0] + free[0] * spell) * per_rate,
        (g[1] * k.per_inertia[1] + free[1] * spell) * per_rate,
        (g[2] * k.per_inertia[2] + free[2] * spell) * per_rate,
    ];
    let along = axis[0] * d[0] + axis[1] * d[1] + axis[2] * d[2];
    pack.axis_turn[0][i] = d[0] - along * axis[0];
    pack.axis_turn[1][i] = d[1] - along * axis[1];
    pack.axis_turn[2][i] = d[2] - along * axis[2];
    (pack.ax[i], pack.ay[i], pack.az[i]) = (axis[0], axis[1], axis[2]);
    // The contact is straight down: minus the last row of the attitude.
    (pack.cx[i], pack.cy[i], pack.cz[i]) = (-a[6], -a[7], -a[8]);
}
