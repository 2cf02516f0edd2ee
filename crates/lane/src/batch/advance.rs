//! From row to row: free motion between the rows, the impulse of the lane at the middle of each.

use super::arithmetic::{dot, free_turn, into_core, out_of_core, per_root, spin, turn_matrix};
use super::constants::Constants;
use super::cut::Pull;
use super::film::{keep, pass, recall, sample};
use super::glide::{begin, glide};
use super::pack::Pack;
use super::pair::{ByPair, Number, PAIRS, Pair, least, less, most, sqrt};
use super::track::turn_over;
use super::{NODES, PARTS, ROW_FT, ROW_M, ROWS, ROWS_A_FOOT, Runway, WIDTH};
use crate::friction::MOST_SWEEP;
use crate::throw::APPROACH_FT;
use boardwise_units::{FOOT_M, court};
use glam::DVec3;

/// Rolls a pack from the foul line to the head pin with the widest vectors this processor has.
#[multiversion::multiversion(targets(
    "x86_64+avx512f+avx512bw+avx512cd+avx512dq+avx512vl+avx2+fma",
    "x86_64+avx2+fma"
))]
pub(super) fn roll_pack(pack: &mut Pack, runway: &Runway) {
    roll_any(pack, runway);
}

/// The same with the vectors of whichever function this is inlined into.
#[inline(always)]
pub(super) fn roll_any(pack: &mut Pack, runway: &Runway) {
    let offset = runway.ball.cg_offset_m != DVec3::ZERO;
    // A ball off its centre is rare, a lane that slopes is not: only the first takes the long way.
    match (runway.oiled, offset, offset || !matches!(runway.pull, Pull::None)) {
        (true, false, false) => roll_rows::<true, false, false>(pack, runway),
        (true, false, true) => roll_rows::<true, false, true>(pack, runway),
        (true, true, _) => roll_rows::<true, true, true>(pack, runway),
        (false, false, false) => roll_rows::<false, false, false>(pack, runway),
        (false, false, true) => roll_rows::<false, false, true>(pack, runway),
        (false, true, _) => roll_rows::<false, true, true>(pack, runway),
    }
}

#[inline(always)]
fn roll_rows<const OILED: bool, const OFFSET: bool, const SLOPED: bool>(pack: &mut Pack, runway: &Runway) {
    let k = Constants::new(runway);
    begin::<OILED, OFFSET>(pack, &k);
    if OILED {
        pack.track.clear(&pack.turn);
        pack.mean_per_vy = pack.per_vy;
        pack.before = [[0.0; WIDTH]; PARTS];
    }
    if SLOPED {
        let [x, y] = if let Pull::Even(pull) = runway.pull { pull } else { [0.0; 2] };
        (pack.pull_x, pack.pull_y) = ([x; WIDTH], [y; WIDTH]);
    }
    let mut met = false;
    let exit_row = runway.pattern_end.map_or(usize::MAX, |end| ((end.0 / ROW_FT) as usize).clamp(1, ROWS));
    // One row further than the head pin: what a ball does at a line is read off the row that leads over it.
    for row in 0..=ROWS {
        if pack.landing_rows.contains(&row) {
            land::<OILED>(pack, row, &k);
        }
        if row == ROWS {
            note_spin(pack, &k);
        }
        // In the first revolution no track is met; past the oil on the lane only tracks are read.
        if OILED && !met && row.is_multiple_of(2) {
            met = pack.track.meet(&pack.turned, &pack.turn);
        }
        let bare = OILED && row >= runway.bare_from;
        match (met, bare) {
            (false, false) => look::<SLOPED, false, false>(pack, runway, row),
            (false, true) => look::<SLOPED, false, true>(pack, runway, row),
            (true, false) => look::<SLOPED, true, false>(pack, runway, row),
            (true, true) => look::<SLOPED, true, true>(pack, runway, row),
        }
        if met {
            if row.is_multiple_of(2) {
                recall::<0>(pack, row, &k);
            } else {
                recall::<1>(pack, row, &k);
            }
        }
        if OILED {
            pass(pack, row);
        }
        match (bare, row >= pack.landing_rows.end) {
            (true, true) => advance::<OILED, OFFSET, SLOPED, true, true>(pack, row, &k),
            (true, false) => advance::<OILED, OFFSET, SLOPED, true, false>(pack, row, &k),
            (false, true) => advance::<OILED, OFFSET, SLOPED, false, true>(pack, row, &k),
            (false, false) => advance::<OILED, OFFSET, SLOPED, false, false>(pack, row, &k),
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
            let rest = ((runway.pattern_end.map_or(0.0, |end| end.0) - line as f64 * ROW_FT) * FOOT_M) as f32;
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
#[inline(always)]
fn note_spin(pack: &mut Pack, k: &Constants) {
    for i in 0..PAIRS {
        let a = turn_matrix(pack.q.of(i));
        pack.end_spin.set(i, out_of_core(&a, spin(into_core(&a, pack.l.of(i)), k)));
    }
}

/// Fetches what lies ahead: first the places of all of it, then all of it, for what is read at once is still on its way to memory.
#[inline(always)]
fn look<const SLOPED: bool, const MET: bool, const BARE: bool>(pack: &mut Pack, runway: &Runway, row: usize) {
    let coat: &[[[f32; PARTS]; ROWS]; NODES] = runway.coat.as_slice().try_into().expect("a column for every node");
    pack.floor.choose(&pack.place);
    if MET && row.is_multiple_of(2) {
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
    sample::<SLOPED, BARE>(pack, runway, row);
}

/// Friction on what lies under a ball whose track carries `before`.
#[inline(always)]
fn friction<const OILED: bool>(coat: Pair, before: Pair, slip: Pair, k: &Constants) -> Pair {
    if !OILED {
        return coat;
    }
    // A μ_b + (1−A) μ_f with A = 1/(1 + w λ + (1−w) λ²), over one denominator; h in units of the film's scale, so that it is λ.
    let lambda = k.per_scale * coat + k.track_per_scale * before;
    let wet = (lambda * (k.thin + k.thick * lambda)).rounded();
    let film = lambda + k.least_film;
    let sheared = most(least(k.shear * slip, k.film_cap * film), k.film_friction * film);
    (k.dry * film + wet * sheared) / (film + wet * film)
}

/// Film gained by the track in a pass, as [`crate::Contact::gain_m`]: both halves over one denominator.
#[inline(always)]
fn gained<const BARE: bool>(lane: Pair, track: Pair, sweep: Pair, k: &Constants) -> Pair {
    let held = |film: Pair| ((1.0 + k.per_kept * film) * (1.0 + k.per_split * film)).rounded();
    let split = if BARE {
        -(track * track * k.per_kept / held(track))
    } else {
        let free = lane + track + lane * track * k.per_either;
        (lane - track) * free * k.per_kept / (held(lane) * held(track)).rounded()
    };
    most(0.5 * sweep * split, -track)
}

/// No more than half, either way: so far the series for the slip's direction holds.
#[inline(always)]
fn within_half(v: impl Number) -> Pair {
    most(least(v, 0.5), -0.5)
}

/// What a unit of impulse at the contact changes of the slip: across, along, and each by the other.
#[inline(always)]
fn yielding(a: &[Pair; 9], arm: Pair, k: &Constants) -> [Pair; 3] {
    // Rows of a rotation: of unit length and at right angles.
    let ([p, q], r) = (k.per_inertia_more, k.per_inertia[2]);
    let (ap, bq) = (a[0] * p, a[1] * q);
    let i00 = r + a[0] * ap + a[1] * bq;
    let i11 = r + a[3] * a[3] * p + a[4] * a[4] * q;
    let i01 = a[3] * ap + a[4] * bq;
    let arm2 = arm * arm;
    [k.per_mass + arm2 * i11, k.per_mass + arm2 * i00, -(arm2 * i01).rounded()]
}

/// The blow of the lane on those that land in this row, on the oil where they land, seen from the middle of the row.
#[inline(always)]
fn land<const OILED: bool>(pack: &mut Pack, row: usize, k: &Constants) {
    // Lines by their number, so that a ball which lands on one lands in one row.
    let (start, middle, end) = (row as f32 * ROW_M, (row as f32 + 0.5) * ROW_M, (row + 1) as f32 * ROW_M);
    for i in 0..PAIRS {
        let loft = pack.loft.of(i);
        let lands = less(0.0, loft) & !less(loft, start) & less(loft, end);
        let a = turn_matrix(pack.q.of(i));
        let [wx, wy, wz] = out_of_core(&a, spin(into_core(&a, pack.l.of(i)), k));
        let (vx, vy) = (pack.vx.of(i), pack.vy.of(i));
        let (sx, sy) = (vx - wy * k.radius, vy + wx * k.radius);
        let slip = sqrt(sx * sx + sy * sy) + 1e-9;
        let (ux, uy) = (sx / slip, sy / slip);
        let [kxx, kyy, kxy] = yielding(&a, k.radius.rounded(), k);
        let stop = slip / (kxx * ux * ux + kyy * uy * uy + 2.0 * kxy * ux * uy);
        let mu = friction::<OILED>(pack.landing_coat.of(i), Pair::ZERO, slip, k);
        let blow = lands.pick(least(mu * k.weight * pack.landing_time.of(i), stop), 0.0);
        let (jx, jy) = (-blow * ux, -blow * uy);
        pack.vx.set(i, vx + jx * k.per_mass);
        pack.vy.set(i, vy + jy * k.per_mass);
        let [lx, ly, lz] = pack.l.of(i);
        let l = [lx + k.radius * jy, ly - k.radius * jx, lz];
        pack.l.set(i, l);
        // It has been under way, and turning, since the landing.
        let under_way = ((middle - loft) / vy).rounded();
        let moved = jx * k.per_mass * under_way;
        let turn = out_of_core(
            &a,
            spin(into_core(&a, [(k.radius * jy).rounded(), -(k.radius * jx).rounded(), Pair::ZERO]), k),
        );
        let half = (0.5 * under_way).rounded();
        let [hx, hy, hz] = turn.map(|rate| (half * rate).rounded());
        let [qw, qx, qy, qz] = pack.q.of(i);
        let q = [
            qw - qx * hx - qy * hy - qz * hz,
            qx + qw * hx + qz * hy - qy * hz,
            qy + qw * hy + qx * hz - qz * hx,
            qz + qw * hz + qy * hx - qx * hy,
        ];
        let per_length = per_root(q[0] * q[0] + q[1] * q[1] + q[2] * q[2] + q[3] * q[3]);
        let was = pack.q.of(i);
        let q = core::array::from_fn(|part| lands.pick(q[part] * per_length, was[part]));
        pack.q.set(i, q);
        let a = turn_matrix(q);
        pack.core_l.set(i, into_core(&a, l));
        if OILED {
            pack.contact.set(i, [-a[6], -a[7], -a[8]]);
            let along = dot([wx, wy, wz], turn) * per_root(wx * wx + wy * wy + wz * wz);
            pack.turned.set(i, pack.turned.of(i) + along * under_way);
            let (now, was) = (spin(pack.core_l.of(i), k), pack.spin.of(i));
            pack.spin.set(i, core::array::from_fn(|axis| lands.pick(now[axis], was[axis])));
        }
        pack.x.set(i, pack.x.of(i) + moved);
        pack.place.set(i, pack.place.of(i) + moved);
    }
}

/// One row: the lane's impulse, given at its middle, and free motion to the middle of the next. `BARE` where no oil lies on the lane,
/// `LANDED` once all have.
#[inline(always)]
fn advance<const OILED: bool, const OFFSET: bool, const SLOPED: bool, const BARE: bool, const LANDED: bool>(
    pack: &mut Pack,
    row: usize,
    k: &Constants,
) {
    const EDGE: f32 = (0.5 * court::WIDTH_M) as f32;
    let start = (row * PARTS) as f32;
    for i in 0..PAIRS {
        let (vx, vy, per_vy) = (pack.vx.of(i), pack.vy.of(i), pack.per_vy.of(i));
        let a = turn_matrix(pack.q.of(i));
        let b = pack.core_l.of(i);
        let [wx, wy, wz] = out_of_core(&a, spin(b, k));
        let [fx, fy, fz] = out_of_core(&a, free_turn(b, k));
        // Centre of gravity from the centre.
        let [dx, dy, dz] = if OFFSET { out_of_core(&a, k.offset) } else { [Pair::ZERO; 3] };
        let arm = if OFFSET { k.radius + dz } else { k.radius.rounded() };
        let (mut sx, mut sy) = (vx - wy * arm, vy + wx * arm);
        if OFFSET {
            sx += wz * dy;
            sy -= wz * dx;
        }
        let slip2 = sx * sx + sy * sy;
        let slip = sqrt(slip2);
        let per_slip = 1.0 / (slip + 1e-18);
        // Half way through the row, if it slows as in the last.
        let felt = most(1.5 * slip - 0.5 * pack.slip.of(i), 0.0);
        pack.slip.set(i, slip);
        // Each part of the row counts as far as it lies behind the landing.
        let loft = pack.loft.of(i) * (PARTS as f32 / ROW_M);
        let coat = if BARE { [Pair::ZERO; PARTS] } else { pack.coat.of(i) };
        let before = pack.before.of(i);
        let mut shares = [Pair::ZERO; PARTS];
        let mut mus = [Pair::ZERO; PARTS];
        for part in 0..PARTS {
            mus[part] = friction::<OILED>(coat[part], before[part], felt, k);
            if !LANDED {
                shares[part] = least(most(start + (part + 1) as f32 - loft, 0.0), 1.0);
                mus[part] = (shares[part] * mus[part]).rounded();
            }
        }
        let mean =
            |parts: [Pair; PARTS]| ((parts[0] + parts[1] + (parts[2] + parts[3])) * (1.0 / PARTS as f32)).rounded();
        let mu = mean(mus);
        let share = if LANDED { 1.0.rounded() } else { mean(shares) };
        let normal = if OFFSET {
            // N = [g − n·(gy×d) + n·(w×(w×d))] / [1/m − n·((I⁻¹(ρ×e))×d)], with the last term for a round ball.
            let spin = wx * dx + wy * dy + wz * dz;
            let about = wz * spin - (wx * wx + wy * wy + wz * wz) * dz;
            let precess = fx * dy - fy * dx;
            let tilt = (sx * dx + sy * dy) * per_slip * mu * arm * k.per_inertia[1];
            most((k.weight * k.per_mass + precess + about) / (k.per_mass + tilt), 0.0)
        } else {
            k.weight.rounded()
        };
        // The row lasts from half a row before to half a row after, at the two speeds.
        let spell = ROW_M * per_vy;
        let spell = (spell * (1.0 + 0.5 * mu * normal * k.per_mass * sy * per_slip * spell * per_vy)).rounded();
        let load = normal * spell;
        let grip = (mu * load).rounded();
        let [kxx, kyy, kxy] = yielding(&a, arm, k);
        let twist = (k.patch * wz).rounded();
        // Two quotients for one division.
        let det = kxx * kyy - kxy * kxy;
        let fading = twist.abs() + (15.0 * core::f32::consts::PI / 16.0) * slip + 0.05 * k.patch;
        let per_both = 1.0 / (det * fading);
        let pivot = k.pivot_arm * grip * twist * (per_both * det);
        // What would stop the slip by the middle of the next drift.
        let per_det = per_both * fading;
        // (The change f of the angular velocity turns with the ball: w × f.)
        let (half, eighth) = (0.5 * spell * arm, 0.125 * spell * spell * arm);
        let (ex, ey) = (-(eighth * (wz * fx - wx * fz)).rounded(), (eighth * (wy * fz - wz * fy)).rounded());
        let (px, py) = (sx - half * fy + ex, sy + half * fx + ey);
        let (stop_x, stop_y) = ((kyy * px - kxy * py) * per_det, (kxx * py - kxy * px) * per_det);
        let slips = less(grip * grip, stop_x * stop_x + stop_y * stop_y);
        // Sliding, along the slip as it is on average: half the blow and half the row's free motion change it by q to both sides of
        // the middle, in parts of itself `ahead` and `aside`.
        let (ux, uy) = ((sx * per_slip).rounded(), (sy * per_slip).rounded());
        let half_blow = -0.5 * grip;
        let (blow_x, blow_y) = (half_blow * (kxx * ux + kxy * uy), half_blow * (kxy * ux + kyy * uy));
        let (qx, qy) = (blow_x - half * fy, blow_y + half * fx);
        let ahead = within_half((ux * qx + uy * qy) * per_slip);
        let aside = within_half((ux * qy - uy * qx) * per_slip);
        let (bent_x, bent_y) = (blow_x + ex * (1.0 / 3.0), blow_y + ey * (1.0 / 3.0));
        let swing = within_half((ux * bent_y - uy * bent_x) * per_slip) - (1.0 / 3.0) * ahead * aside;
        let slide = grip * (1.0 - (1.0 / 6.0) * aside * aside);
        let jx = -slips.pick(slide * (ux - swing * uy), stop_x);
        let jy = -slips.pick(slide * (uy + swing * ux), stop_y);
        let per_flat = per_root(most(wx * wx + wy * wy, 1e-6));
        // Against rolling, w/(w + 0.05 rad/s) of the full torque.
        let rolling = share * k.rolling_torque * spell * per_flat * most(1.0 - 0.05 * per_flat, 0.0);
        let mut gain = [arm * jy - rolling * wx, -(arm * jx) - rolling * wy, -pivot.rounded()];
        let (mut nvx, mut nvy) = (vx + jx * k.per_mass, vy + jy * k.per_mass);
        if OFFSET {
            // Torque of the load about the centre of gravity, and of the friction about its upright.
            gain[0] -= dy * load * share;
            gain[1] += dx * load * share;
            gain[2] += dy * jx - dx * jy;
        }
        if SLOPED {
            nvx += pack.pull_x.of(i) * spell;
            nvy += pack.pull_y.of(i) * spell;
        }
        if OILED {
            let lean = (vx * per_vy).rounded();
            let lean2 = (lean * lean).rounded();
            let speed = vy * (1.0 + 0.5 * lean2 * (1.0 - 0.25 * lean2));
            let sweep = least(speed * per_flat * k.per_radius, MOST_SWEEP as f32);
            let last = if row == 0 { sweep } else { pack.sweep.of(i) };
            pack.sweep.set(i, sweep);
            let sweep = 1.5 * sweep - 0.5 * last;
            for part in 0..PARTS {
                let laid = before[part] + gained::<BARE>(coat[part], before[part], sweep, k);
                pack.laid[part].set(i, if LANDED { laid } else { (shares[part] * laid).rounded() });
            }
        }
        pack.vx.set(i, nvx);
        pack.vy.set(i, most(nvy, 0.5));
        let [lx, ly, lz] = pack.l.of(i);
        pack.l.set(i, [lx + gain[0], ly + gain[1], lz + gain[2]]);
        if row < ROWS {
            // Sign bits and places are kept even while a ball is off the lane; only the first departure counts.
            let x = pack.place.of(i);
            let row_number = row as f32;
            let (widest_x, widest_row) = (pack.widest_x.of(i), pack.widest_row.of(i));
            let (gutter_x, gutter_row) = (pack.gutter_x.of(i), pack.gutter_row.of(i));
            let on_lane = less(gutter_row, 0.0);
            let wider = less(widest_x, x) & on_lane;
            pack.widest_x.set(i, wider.pick(x, widest_x));
            pack.widest_row.set(i, wider.pick(row_number, widest_row));
            let leaves = less(EDGE, x.abs()) & on_lane;
            pack.gutter_x.set(i, leaves.pick(x, gutter_x));
            pack.gutter_row.set(i, leaves.pick(row_number, gutter_row));
        }
        let g = into_core(&a, gain);
        glide::<OILED, OFFSET>(pack, i, k, [b[0] + g[0], b[1] + g[1], b[2] + g[2]], g, gain, 1.0);
    }
}
