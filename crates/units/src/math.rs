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
