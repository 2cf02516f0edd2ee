//! Arithmetic of the kernels: plain operations that every vector width rounds alike.

use super::pack::Constants;
use measure::math::sqrt_f32;

// In the kernels below `if` on values compiles to a select; f32::min and max would add NaN handling to every lane.
#[inline(always)]
pub(super) fn least(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

#[inline(always)]
pub(super) fn most(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// Rounds to the nearest whole number by way of the mantissa; also as an integer, which wraps below nothing.
#[inline(always)]
pub(super) fn nearest(v: f32) -> (f32, u32) {
    const SHIFT: f32 = 12_582_912.0; // 1.5 · 2^23
    let shifted = v + SHIFT;
    (shifted - SHIFT, shifted.to_bits().wrapping_sub(SHIFT.to_bits()))
}

/// 1/√v for v ≥ 0, and something great for nothing.
#[inline(always)]
pub(super) fn per_root(v: f32) -> f32 {
    1.0 / (sqrt_f32(v) + 1e-18)
}

/// 1 − exp(−u) for u ≥ 0, within 1e-5: the sixteenth power of a short series.
#[inline(always)]
pub(super) fn one_minus_exp(u: f32) -> f32 {
    let v = least(u, 12.0) * (1.0 / 16.0);
    let root = 1.0 - v * (1.0 - v * (0.5 - v * ((1.0 / 6.0) - v * (1.0 / 24.0))));
    let p4 = root * root * (root * root);
    let p8 = p4 * p4;
    1.0 - p8 * p8
}

/// Rotation matrix of a unit quaternion, row by row.
#[inline(always)]
pub(super) fn turn_matrix(w: f32, x: f32, y: f32, z: f32) -> [f32; 9] {
    let (x2, y2, z2) = (x + x, y + y, z + z);
    let (xx, yy, zz) = (x * x2, y * y2, z * z2);
    let (xy, xz, yz) = (x * y2, x * z2, y * z2);
    let (wx, wy, wz) = (w * x2, w * y2, w * z2);
    [1.0 - yy - zz, xy - wz, xz + wy, xy + wz, 1.0 - xx - zz, yz - wx, xz - wy, yz + wx, 1.0 - xx - yy]
}

#[inline(always)]
pub(super) fn into_core(a: &[f32; 9], x: f32, y: f32, z: f32) -> [f32; 3] {
    [a[0] * x + a[3] * y + a[6] * z, a[1] * x + a[4] * y + a[7] * z, a[2] * x + a[5] * y + a[8] * z]
}

#[inline(always)]
pub(super) fn out_of_core(a: &[f32; 9], v: &[f32; 3]) -> (f32, f32, f32) {
    (
        a[0] * v[0] + a[1] * v[1] + a[2] * v[2],
        a[3] * v[0] + a[4] * v[1] + a[5] * v[2],
        a[6] * v[0] + a[7] * v[1] + a[8] * v[2],
    )
}

/// Euler's equations without torque: I⁻¹(L × w), in the core's frame.
#[inline(always)]
pub(super) fn free_turn(b: &[f32; 3], k: &Constants) -> [f32; 3] {
    let [p, q, r] = k.free;
    [b[1] * b[2] * p, b[2] * b[0] * q, b[0] * b[1] * r]
}

/// The cubic through four values at −1, 0, 1 and 2: what multiplies 1, t, t² and t³.
#[inline(always)]
pub(super) fn cubic(p: f32, q: f32, r: f32, s: f32) -> [f32; 4] {
    let bend = 0.5 * (p + r) - q;
    let twist = (1.0 / 6.0) * (s - p) + 0.5 * (q - r);
    [q, r - q - bend - twist, bend, twist]
}
