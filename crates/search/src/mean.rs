//! Mean and standard deviation.

/// Mean and standard deviation; zeros of nothing.
pub fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let count = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / count;
    let square = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
    (mean, (square / (count - 1.0).max(1.0)).sqrt())
}
