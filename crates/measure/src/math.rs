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

pub use libm::{acos, asin, atan, atan2, cbrt, cos, erfc, exp, expm1, hypot, log, log10, pow, sin, tan, tanh};
