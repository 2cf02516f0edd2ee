//! Elementary functions that give the same bits on every machine.
//!
//! Add, multiply, divide and square root are exact by IEEE 754. The rest comes from `libm`, a fixed piece of Rust, and
//! never from the platform's C library, whose last digits differ.

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

/// `a · b + c`, rounded once: exact by IEEE 754 as the others are. One operation where the processor has it (every x86-64 with
/// AVX2 here, every 64-bit Arm), slow elsewhere.
#[inline]
pub fn fused_f32(a: f32, b: f32, c: f32) -> f32 {
    #[cfg(feature = "std")]
    return a.mul_add(b, c);
    #[cfg(not(feature = "std"))]
    libm::fmaf(a, b, c)
}

pub use libm::{acos, asin, atan, atan2, cbrt, cos, erfc, exp, expm1, hypot, log, log10, pow, sin, tan, tanh};
