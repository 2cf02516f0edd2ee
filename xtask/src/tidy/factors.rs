//! Conversion belongs to the crate of units: nobody else writes the size of a foot, an inch, a mile an hour or a pound.

use std::path::Path;

use super::Finding;

/// The factors, as digits without separators, and what to write instead.
const FACTORS: [(&str, &str); 5] = [
    ("0.3048", "boardwise_units::FOOT_M or Feet"),
    ("0.0254", "boardwise_units::INCH_M or Inches"),
    ("2.54e-8", "boardwise_units::Microinches"),
    ("0.44704", "boardwise_units::Mph"),
    ("0.45359237", "boardwise_units::Pounds"),
];

/// Whether a path is Rust outside the crate of units. Tests, examples and tools count as well; this file names the factors.
pub fn covers(path: &str) -> bool {
    let rust = Path::new(path).extension().is_some_and(|end| end == "rs");
    rust && !path.starts_with("crates/units/") && path != "xtask/src/tidy/factors.rs"
}

/// Every factor written out in the code, or in an example of the documentation, of one file.
pub fn check(path: &str, content: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (number, line) in content.lines().enumerate() {
        let digits = line.replace('_', "");
        let found = |factor: &str| {
            let longer = |at: usize| digits[at + factor.len()..].starts_with(|c: char| c.is_ascii_digit());
            digits.match_indices(factor).any(|(at, _)| !longer(at))
        };
        for (_, instead) in FACTORS.iter().filter(|(factor, _)| found(factor)) {
            let what = format!("conversion belongs to the crate of units: use {instead}");
            findings.push(Finding::error(format!("{path}:{}", number + 1), what));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_factor_outside_the_crate_of_units_is_found() {
        for line in ["let x_m = x_in * 0.0254;", "    /// assert_eq!(4.0 * 0.3048, x);", "3.375 * 0.453_592_37"] {
            assert_eq!(check("crates/pins/src/deck.rs", line).len(), 1, "{line}");
        }
        assert_eq!(check("a.rs", "(2.0 * 0.0254, 3.0 * 0.3048)").len(), 2);
    }

    #[test]
    fn law_other_numbers_pass() {
        for line in ["let x_m = x_in * INCH_M;", "0.025_41", "10.30481", "let mid = 2.54;"] {
            assert_eq!(check("a.rs", line).len(), 0, "{line}");
        }
        assert!(!covers("crates/units/src/unit.rs") && !covers("truth/racks.py"));
        assert!(covers("crates/pins/tests/law_impulse.rs") && covers("tools/src/lib.rs"));
    }
}
