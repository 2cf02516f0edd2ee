//! What the kernels reckon with: functions, rotations and cubics.

use super::constants::Constants;
use super::pair::{Number, Pair, Product, least, sqrt};

/// Rounds to the nearest whole number by way of the mantissa; also as an integer, which wraps below nothing.
#[inline(always)]
pub(super) fn nearest(v: Pair) -> (Pair, [u32; 2]) {
    const SHIFT: f32 = 12_582_912.0; // 1.5 · 2^23
    let shifted = v + SHIFT;
    (shifted - SHIFT, shifted.bits().map(|bits| bits.wrapping_sub(SHIFT.to_bits())))
}

/// 1/√v for v ≥ 0, and something great for nothing.
#[inline(always)]
pub(super) fn per_root(v: impl Number) -> Pair {
    1.0 / (sqrt(v) + 1e-18)
}

/// 1 − exp(−u) for u ≥ 0, within 1e-4: the eighth power of a short series.
#[inline(always)]
pub(super) fn one_minus_exp(u: impl Number) -> Pair {
    let v = (least(u, 12.0) * (1.0 / 8.0)).rounded();
    let root = 1.0 - v * (1.0 - v * (0.5 - v * ((1.0 / 6.0) - v * (1.0 / 24.0))));
    let p2 = root * root;
    let p4 = p2 * p2;
    1.0 - p4 * p4
}

/// Rotation matrix of a unit quaternion, row by row.
#[inline(always)]
pub(super) fn turn_matrix([w, x, y, z]: [Pair; 4]) -> [Pair; 9] {
    let (x2, y2, z2) = (x + x, y + y, z + z);
    let (xx, yy, zz) = (x * x2, y * y2, z * z2);
    let (xy, xz, yz) = (x * y2, x * z2, y * z2);
    let (wx, wy, wz) = (w * x2, w * y2, w * z2);
    [1.0 - yy - zz, xy - wz, xz + wy, xy + wz, 1.0 - xx - zz, yz - wx, xz - wy, yz + wx, 1.0 - xx - yy]
}

#[inline(always)]
pub(super) fn dot(u: [Pair; 3], v: [Pair; 3]) -> Pair {
    u[0] * v[0] + u[1] * v[1] + u[2] * v[2]
}

#[inline(always)]
pub(super) fn into_core(a: &[Pair; 9], v: [impl Number; 3]) -> [Pair; 3] {
    let [x, y, z] = v.map(Number::rounded);
    [a[0] * x + a[3] * y + a[6] * z, a[1] * x + a[4] * y + a[7] * z, a[2] * x + a[5] * y + a[8] * z]
}

#[inline(always)]
pub(super) fn out_of_core(a: &[Pair; 9], v: [impl Number; 3]) -> [Pair; 3] {
    let [x, y, z] = v.map(Number::rounded);
    [a[0] * x + a[1] * y + a[2] * z, a[3] * x + a[4] * y + a[5] * z, a[6] * x + a[7] * y + a[8] * z]
}

/// The angular velocity that goes with an angular momentum, both in the core's frame.
#[inline(always)]
pub(super) fn spin(b: [Pair; 3], k: &Constants) -> [Pair; 3] {
    let [p, q, r] = k.per_inertia;
    [b[0] * p, b[1] * q, b[2] * r].map(Number::rounded)
}

/// Euler's equations without torque: I⁻¹(L × w), in the core's frame.
#[inline(always)]
pub(super) fn free_turn(b: [Pair; 3], k: &Constants) -> [Product; 3] {
    let [p, q, r] = k.free;
    [b[1] * b[2] * p, b[2] * b[0] * q, b[0] * b[1] * r]
}

/// The cubic through four values at −1, 0, 1 and 2: what multiplies 1, t, t² and t³.
#[inline(always)]
pub(super) fn cubic([p, q, r, s]: [Pair; 4]) -> [Pair; 4] {
    let bend = 0.5 * (p + r) - q;
    let twist = (1.0 / 6.0) * (s - p) + 0.5 * (q - r);
    [q, r - q - bend - twist, bend, twist]
}
