//! Elementary functions that give the same bits on every machine.
//!
//! IEEE 754 rounds addition, multiplication, division and square root correctly, so these agree everywhere. The rest comes
//! from `libm`, which is plain Rust, and never from the platform's C library, whose last digits differ.

/// Square root, correctly rounded.
#[inline]
pub fn sqrt(x: f64) -> f64 {
    #[cfg(feature = "std")]
    return x.sqrt();
    #[cfg(not(feature = "std"))]
    libm::sqrt(x)
}

/// Single-precision square root, correctly rounded.
#[inline]
pub fn sqrt_f32(x: f32) -> f32 {
    #[cfg(feature = "std")]
    return x.sqrt();
    #[cfg(not(feature = "std"))]
    libm::sqrtf(x)
}

/// `a · b + c`, rounded once, as IEEE 754 defines it. One instruction where the code is compiled for a processor that has it
/// (x86-64 with FMA, 64-bit Arm); slow elsewhere.
///
/// WebAssembly has no such instruction, and its emulation takes most of the time of a path. There the product is rounded before it is
/// added, so that a path ends a little elsewhere: `docs/phone.md` says how little.
#[inline]
pub fn fused_f32(a: f32, b: f32, c: f32) -> f32 {
    #[cfg(target_family = "wasm")]
    return a * b + c;
    #[cfg(all(not(target_family = "wasm"), feature = "std"))]
    return a.mul_add(b, c);
    #[cfg(all(not(target_family = "wasm"), not(feature = "std")))]
    libm::fmaf(a, b, c)
}

pub use libm::{acos, asin, atan, atan2, cbrt, cos, erfc, exp, expm1, hypot, log, log10, pow, sin, tan, tanh};

/// The exponential function for the vectoriser: no branches and no tables, and the same bits on every machine. Within two units in the last place
/// of the true value from -700 to 700; beyond, the value at that end.
///
/// Two parts of ln 2 are taken off (Cody and Waite 1980), and Taylor's series does the rest: after its 13th term, on half of ln 2, it is off by
/// less than 10⁻¹⁷ of the value.
#[inline(always)]
#[allow(clippy::inline_always, reason = "only what is inlined is compiled for each processor's vectors")]
pub fn exp_even(x: f64) -> f64 {
    /// Added to a number below 2⁵¹, it leaves the nearest whole number in the last bits.
    const TO_WHOLE: f64 = 6_755_399_441_055_744.0;
    const LN_2: [f64; 2] = [6.931_471_803_691_238e-1, 1.908_214_929_270_587_7e-10];
    const MOST: f64 = 700.0;
    let x = x.clamp(-MOST, MOST);
    let shifted = x * core::f64::consts::LOG2_E + TO_WHOLE;
    let twos = shifted - TO_WHOLE;
    let r = (x - twos * LN_2[0]) - twos * LN_2[1];
    let mut sum = PER_FACTORIAL[TERMS - 1];
    let mut k = TERMS - 1;
    while k > 0 {
        k -= 1;
        sum = sum * r + PER_FACTORIAL[k];
    }
    // The whole number is in the last bits: shifted to the exponent's place, it is added there.
    f64::from_bits(sum.to_bits().wrapping_add(shifted.to_bits() << 52))
}

/// Terms of the exponential series.
const TERMS: usize = 14;
/// One over the factorials of 0, 1, 2 and so on.
const PER_FACTORIAL: [f64; TERMS] = {
    let (mut all, mut k, mut factorial) = ([1.0; TERMS], 1, 1.0);
    while k < TERMS {
        factorial *= k as f64;
        all[k] = 1.0 / factorial;
        k += 1;
    }
    all
};

/// The natural logarithm of a normal positive number for the vectoriser, as [`exp_even`]: within 10⁻¹⁵ of the true value, or of it where it is
/// above 1.
///
/// The number is a power of two times one between √½ and √2, whose logarithm is twice the area tangent of (m − 1)/(m + 1), by its series.
#[inline(always)]
#[allow(clippy::inline_always, reason = "only what is inlined is compiled for each processor's vectors")]
pub fn log_even(x: f64) -> f64 {
    /// The bits of √½: what lies above it goes to the next power of two.
    const ROOT_HALF: u64 = 0x3fe6_a09e_667f_3bcd;
    const ONE: u64 = 0x3ff0_0000_0000_0000;
    /// 2⁵² + 1023 as a number: a biased exponent written in its last bits is the exponent once this is taken off.
    const TO_EXPONENT: f64 = 4_503_599_627_371_519.0;
    let shifted = x.to_bits().wrapping_add(ONE - ROOT_HALF);
    let twos = f64::from_bits((shifted >> 52) | 0x4330_0000_0000_0000) - TO_EXPONENT;
    let m = f64::from_bits((shifted & 0x000f_ffff_ffff_ffff).wrapping_add(ROOT_HALF));
    let s = (m - 1.0) / (m + 1.0);
    let s2 = s * s;
    let mut sum = 0.0;
    let mut k = 11;
    while k > 0 {
        sum = sum * s2 + 1.0 / f64::from(2 * k + 1);
        k -= 1;
    }
    twos * core::f64::consts::LN_2 + 2.0 * (s + s * (s2 * sum))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn truth_what_the_vectoriser_likes_agrees_with_libm() {
        // Reference: libm, whose own error is below one unit in the last place.
        let mut worst = 0.0_f64;
        for k in -70_000..70_000 {
            let x = f64::from(k) * 0.009_99;
            worst = worst.max((exp_even(x) / exp(x) - 1.0).abs());
        }
        assert!(worst < 4.5e-16, "exp: {worst:e}");
        let mut worst = 0.0_f64;
        for k in 1..200_000 {
            let x = exp(f64::from(k - 100_000) * 0.007);
            let off = (log_even(x) - log(x)).abs() / log(x).abs().max(1.0);
            worst = worst.max(off);
        }
        assert!(worst < 1e-15, "ln: {worst:e}");
        assert_eq!((exp_even(0.0), log_even(1.0)), (1.0, 0.0));
        // A number slightly off 1, where a logarithm loses most.
        let near = 1.0 - 1e-9;
        assert!((log_even(near) / log(near) - 1.0).abs() < 1e-15);
    }
}
