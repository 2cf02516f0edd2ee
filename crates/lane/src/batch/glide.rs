//! Free motion: straight flight and a torque-free top.

use super::ROW_M;
use super::arithmetic::{free_turn, into_core, out_of_core, spin, turn_matrix};
use super::constants::Constants;
use super::pack::Pack;
use super::pair::{ByPair, Number, PAIRS, Pair, less, sqrt};

/// Share of the newest row in the mean of 1/`vy`: so the mean is as old as half a revolution of fifteen rows.
const NEWEST: f32 = 1.0 / 8.0;

/// Free motion from the foul line to the middle of the first row.
#[inline(always)]
pub(super) fn begin<const OILED: bool, const OFFSET: bool>(pack: &mut Pack, k: &Constants) {
    for i in 0..PAIRS {
        let b = into_core(&turn_matrix(pack.q.of(i)), pack.l.of(i));
        glide::<OILED, OFFSET>(pack, i, k, b, [Pair::ZERO; 3], [Pair::ZERO; 3], 0.5);
    }
}

/// Free motion for `rows` rows. `b` is the angular momentum in the core's frame, `g` and `gain` what it gained in the last row,
/// there and in the lane's.
#[inline(always)]
pub(super) fn glide<const OILED: bool, const OFFSET: bool>(
    pack: &mut Pack,
    i: usize,
    k: &Constants,
    b: [Pair; 3],
    g: [Pair; 3],
    gain: [Pair; 3],
    rows: f32,
) {
    let per_vy = 1.0 / pack.vy.of(i);
    let span = (rows * ROW_M * per_vy).rounded();
    let w = spin(b, k);
    let free = free_turn(b, k);
    // Half the rotation vector: the rate at the middle of the drift, and Magnus' next term, (h²/12) w × hw', for the turning of
    // the axis itself: in the core's frame for the free part, in the lane's, and so of the other sign, for the lane's push.
    let half = (0.5 * span).rounded();
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
    let turned = (2.0 * sqrt(t2)).rounded();
    // The series below hold for half a turn in a row; a ball that spins on the spot turns faster, and has long lost its way: it
    // keeps its attitude.
    let holds = less(t2, 2.25);
    let t2 = holds.pick(t2, 0.0);
    let cos = 1.0 - t2 * (0.5 - t2 * ((1.0 / 24.0) - t2 * (1.0 / 720.0)));
    let sinc = holds.pick(1.0 - t2 * ((1.0 / 6.0) - t2 * ((1.0 / 120.0) - t2 * (1.0 / 5040.0))), 0.0);
    let (ex, ey, ez) = ((hx * sinc).rounded(), (hy * sinc).rounded(), (hz * sinc).rounded());
    let [qw, qx, qy, qz] = pack.q.of(i);
    let q = [
        qw * cos - qx * ex - qy * ey - qz * ez,
        qx * cos + qw * ex + qy * ez - qz * ey,
        qy * cos + qw * ey + qz * ex - qx * ez,
        qz * cos + qw * ez + qx * ey - qy * ex,
    ];
    pack.q.set(i, q);
    let x = pack.x.of(i) + pack.vx.of(i) * span;
    let a = turn_matrix(q);
    pack.x.set(i, x);
    pack.place.set(i, if OFFSET { x - out_of_core(&a, k.offset)[0] } else { x });
    pack.time.set(i, pack.time.of(i) + span);
    pack.per_vy.set(i, per_vy);
    pack.turned.set(i, pack.turned.of(i) + turned);
    pack.turn.set(i, (turned * (1.0 / rows)).rounded());
    let b = into_core(&a, pack.l.of(i));
    pack.core_l.set(i, b);
    if !OILED {
        return;
    }
    let mean = pack.mean_per_vy.of(i);
    pack.mean_per_vy.set(i, mean + NEWEST * (per_vy - mean));
    // Where the contact lies in the core's frame, and the angular velocity half way through what the next row will give, taken to be
    // what the last one gave; and how that changes in a row.
    let g = into_core(&a, gain);
    let b = [b[0] + 0.5 * g[0], b[1] + 0.5 * g[1], b[2] + 0.5 * g[2]];
    let free = free_turn(b, k);
    let spell = ROW_M * per_vy;
    pack.spin.set(i, spin(b, k));
    let change = [
        g[0] * k.per_inertia[0] + free[0] * spell,
        g[1] * k.per_inertia[1] + free[1] * spell,
        g[2] * k.per_inertia[2] + free[2] * spell,
    ];
    pack.spin_change.set(i, change);
    // The contact is straight down: minus the last row of the attitude.
    pack.contact.set(i, [-a[6], -a[7], -a[8]]);
}
