//! How much a look at something would teach.

use boardwise_units::math;

/// What a look would teach, in nats: ½ ln(1 + C/Γ), where the worlds differ by the variance C and one look is blurred by the
/// variance Γ. It is exact for a linear quantity and normal numbers.
pub(crate) fn information_nats(variance: f64, blur: f64) -> f64 {
    const LEAST_BLUR: f64 = 1e-6;
    0.5 * math::log(1.0 + variance.max(0.0) / blur.max(LEAST_BLUR))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn truth_the_linear_normal_case_teaches_what_textbooks_say() {
        // Unknown N(1, 4), seen doubled with noise of variance 1: 1.416607 nats [C from textbook formulas].
        assert!((information_nats(16.0, 1.0) - 1.416_607).abs() < 1e-6);
        assert_eq!(information_nats(0.0, 1.0), 0.0);
    }
}
