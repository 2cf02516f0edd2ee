//! Any bytes give a bag of possible balls, or an error that can be shown, and never a panic.
#![no_main]

use boardwise::Failure;
use boardwise_files as kit;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match kit::parse_bag("fuzzed", bytes) {
        Ok(loaded) => {
            for one in loaded.value.balls() {
                let (ball, inertia) = (&one.ball, one.ball.inertia_kg_m2);
                for value in [ball.mass_kg, ball.radius_m, inertia.x, inertia.y, inertia.z] {
                    assert!(value.is_finite() && value > 0.0, "{ball:?}");
                }
                assert!(ball.core_axes.is_finite() && (ball.core_axes.determinant().abs() - 1.0).abs() < 1e-6);
            }
        }
        Err(fault) => assert!(Failure::from(fault).shown(false).starts_with("error:")),
    }
});
