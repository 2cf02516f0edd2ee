//! Arithmetic of two throws at a time.
//!
//! A processor waits for roots and quotients longer than it looks ahead in one throw's row; written for two, the row gives it the
//! other to go on with. And a product that meets a sum is rounded once, with it: one fused operation for two. IEEE 754 gives
//! its result exactly, so every machine gives the same bits.

use super::{Each, WIDTH};
use boardwise_units::math::{fused_f32, sqrt_f32};
use core::ops::{Add, AddAssign, BitAnd, Div, Mul, Neg, Not, Sub, SubAssign};

/// The pairs of a pack: each throw of its first half with one of its second.
pub(super) const PAIRS: usize = WIDTH / 2;

/// One number of two throws.
#[derive(Clone, Copy)]
pub(super) struct Pair {
    one: f32,
    other: f32,
}

/// A product of two numbers, not rounded until it is used.
#[derive(Clone, Copy)]
pub(super) struct Product(Pair, Pair);

/// What arithmetic can be done with: a pair, a product, or a number that both throws share.
pub(super) trait Number: Copy {
    /// Its value.
    fn rounded(self) -> Pair;
    /// Its sum with `addend`, rounded once.
    fn plus(self, addend: Pair) -> Pair;
    /// With the other sign.
    fn negative(self) -> Self;
}

impl Pair {
    pub const ZERO: Self = Self { one: 0.0, other: 0.0 };

    #[inline(always)]
    fn each(self, f: impl Fn(f32) -> f32) -> Self {
        Self { one: f(self.one), other: f(self.other) }
    }

    #[inline(always)]
    fn with(self, b: Self, f: impl Fn(f32, f32) -> f32) -> Self {
        Self { one: f(self.one, b.one), other: f(self.other, b.other) }
    }

    #[inline(always)]
    pub fn abs(self) -> Self {
        self.each(f32::abs)
    }

    #[inline(always)]
    pub fn bits(self) -> [u32; 2] {
        [self.one.to_bits(), self.other.to_bits()]
    }
}

impl Number for Pair {
    #[inline(always)]
    fn rounded(self) -> Pair {
        self
    }
    #[inline(always)]
    fn plus(self, addend: Pair) -> Pair {
        self.with(addend, |a, b| a + b)
    }
    #[inline(always)]
    fn negative(self) -> Self {
        self.each(|a| -a)
    }
}

impl Number for f32 {
    #[inline(always)]
    fn rounded(self) -> Pair {
        Pair { one: self, other: self }
    }
    #[inline(always)]
    fn plus(self, addend: Pair) -> Pair {
        self.rounded().plus(addend)
    }
    #[inline(always)]
    fn negative(self) -> Self {
        -self
    }
}

impl Number for Product {
    #[inline(always)]
    fn rounded(self) -> Pair {
        self.0.with(self.1, |a, b| a * b)
    }
    #[inline(always)]
    fn plus(self, addend: Pair) -> Pair {
        let Self(a, b) = self;
        Pair { one: fused_f32(a.one, b.one, addend.one), other: fused_f32(a.other, b.other, addend.other) }
    }
    #[inline(always)]
    fn negative(self) -> Self {
        Self(self.0.negative(), self.1)
    }
}

/// The four operations of `$left` with `$right`: products wait for their sum, and of two of them in a sum the left one does.
macro_rules! operations {
    ($left:ty, $right:ty, $a:ident + $b:ident: $sum:expr, $a2:ident - $b2:ident: $difference:expr $(, $number:ident)?) => {
        impl$(<$number: Number>)? Mul<$right> for $left {
            type Output = Product;
            #[inline(always)]
            fn mul(self, b: $right) -> Product {
                Product(self.rounded(), b.rounded())
            }
        }

        impl$(<$number: Number>)? Div<$right> for $left {
            type Output = Pair;
            #[inline(always)]
            fn div(self, b: $right) -> Pair {
                self.rounded().with(b.rounded(), |a, b| a / b)
            }
        }

        impl$(<$number: Number>)? Add<$right> for $left {
            type Output = Pair;
            #[inline(always)]
            fn add(self, $b: $right) -> Pair {
                let $a = self;
                $sum
            }
        }

        impl$(<$number: Number>)? Sub<$right> for $left {
            type Output = Pair;
            #[inline(always)]
            fn sub(self, $b2: $right) -> Pair {
                let $a2 = self;
                $difference
            }
        }
    };
}

operations!(Product, N, a + b: a.plus(b.rounded()), a - b: a.plus(b.rounded().negative()), N);
operations!(Pair, N, a + b: b.plus(a), a - b: b.negative().plus(a), N);
operations!(f32, Pair, a + b: b.plus(a.rounded()), a - b: b.negative().plus(a.rounded()));
operations!(f32, Product, a + b: b.plus(a.rounded()), a - b: b.negative().plus(a.rounded()));

impl<N: Number> AddAssign<N> for Pair {
    #[inline(always)]
    fn add_assign(&mut self, b: N) {
        *self = *self + b;
    }
}

impl<N: Number> SubAssign<N> for Pair {
    #[inline(always)]
    fn sub_assign(&mut self, b: N) {
        *self = *self - b;
    }
}

impl Neg for Pair {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.negative()
    }
}

impl Neg for Product {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.negative()
    }
}

// `if` on values compiles to a select; f32::min and max would add NaN handling to every lane.
#[inline(always)]
pub(super) fn least(a: impl Number, b: impl Number) -> Pair {
    a.rounded().with(b.rounded(), |a, b| if a < b { a } else { b })
}

#[inline(always)]
pub(super) fn most(a: impl Number, b: impl Number) -> Pair {
    a.rounded().with(b.rounded(), |a, b| if a > b { a } else { b })
}

#[inline(always)]
pub(super) fn sqrt(v: impl Number) -> Pair {
    v.rounded().each(sqrt_f32)
}

/// For which of two throws something is so.
#[derive(Clone, Copy)]
pub(super) struct PairMask {
    one: bool,
    other: bool,
}

impl PairMask {
    /// `yes` where it is so, `no` where not.
    #[inline(always)]
    pub fn pick(self, yes: impl Number, no: impl Number) -> Pair {
        let (yes, no) = (yes.rounded(), no.rounded());
        Pair { one: if self.one { yes.one } else { no.one }, other: if self.other { yes.other } else { no.other } }
    }
}

impl Not for PairMask {
    type Output = Self;
    #[inline(always)]
    fn not(self) -> Self {
        Self { one: !self.one, other: !self.other }
    }
}

impl BitAnd for PairMask {
    type Output = Self;
    #[inline(always)]
    fn bitand(self, b: Self) -> Self {
        Self { one: self.one & b.one, other: self.other & b.other }
    }
}

/// Where `a` < `b`.
#[inline(always)]
pub(super) fn less(a: impl Number, b: impl Number) -> PairMask {
    let (a, b) = (a.rounded(), b.rounded());
    PairMask { one: a.one < b.one, other: a.other < b.other }
}

/// Numbers of each throw of a pack, taken two throws at a time.
pub(super) trait ByPair {
    type Value;
    /// Of the pair `i`.
    fn of(&self, i: usize) -> Self::Value;
    fn set(&mut self, i: usize, value: Self::Value);
}

impl ByPair for Each {
    type Value = Pair;
    #[inline(always)]
    fn of(&self, i: usize) -> Pair {
        Pair { one: self[i], other: self[i + PAIRS] }
    }
    #[inline(always)]
    fn set(&mut self, i: usize, value: Pair) {
        (self[i], self[i + PAIRS]) = (value.one, value.other);
    }
}

impl<const N: usize> ByPair for [Each; N] {
    type Value = [Pair; N];
    #[inline(always)]
    fn of(&self, i: usize) -> [Pair; N] {
        self.each_ref().map(|each| each.of(i))
    }
    #[inline(always)]
    fn set(&mut self, i: usize, value: [Pair; N]) {
        for (each, value) in self.iter_mut().zip(value) {
            each.set(i, value);
        }
    }
}

impl ByPair for [u32; WIDTH] {
    type Value = [u32; 2];
    #[inline(always)]
    fn of(&self, i: usize) -> [u32; 2] {
        [self[i], self[i + PAIRS]]
    }
    #[inline(always)]
    fn set(&mut self, i: usize, value: [u32; 2]) {
        [self[i], self[i + PAIRS]] = value;
    }
}

#[cfg(test)]
mod tests {
    use super::{Number, Pair};

    #[test]
    fn law_a_product_is_rounded_once_with_its_sum() {
        // (1 + 2⁻¹²)² = 1 + 2⁻¹¹ + 2⁻²⁴, whose last term is lost where the product is rounded by itself.
        let a = (1.0_f32 + 1.0 / 4096.0).rounded();
        let (big, small) = (1.0_f32 / 2048.0, 1.0_f32 / 16_777_216.0);
        let is = |sum: Pair, value: f32| assert_eq!(sum.bits(), [value.to_bits(); 2]);
        is((a * a).rounded() - 1.0, big);
        is(a * a - 1.0, big + small);
        is(1.0 - a * a, -(big + small));
        is(-1.0_f32.rounded() + a * a, big + small);
        is(1.0_f32.rounded() - a * a, -(big + small));
        is(a * a + -(a * 1.0), big + small - 0.5 * big);
        // Of two products in a sum the right one is rounded first.
        is(a * a - a * a, small);
        is(a * 2.0 / a, 2.0);
    }
}
