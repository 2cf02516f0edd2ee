//! The linear case: the Kalman update of an ensemble, and how much a look at something would teach.

use nalgebra::{DMatrix, DVector};

/// Moves an ensemble by what was seen: member k predicts `predicted` column k, `seen` is what came with noise of covariance `noise`; `draws` are
/// standard normal, one column a member (perturbed observations).
///
/// For a linear prediction and a normal prior the moved ensemble has the exact posterior's mean and covariance, but for sampling:
/// th + C (C_GG + Γ)⁻¹ (y + Γ^½ ξ − G(th)) \[Evensen's ensemble Kalman update, textbook form\].
///
/// Returns None if the shapes differ or the covariances cannot be inverted.
pub fn kalman_update(
    members: &DMatrix<f64>,
    predicted: &DMatrix<f64>,
    seen: &DVector<f64>,
    noise: &DMatrix<f64>,
    draws: &DMatrix<f64>,
) -> Option<DMatrix<f64>> {
    let count = members.ncols();
    if predicted.ncols() != count || draws.shape() != predicted.shape() || seen.len() != predicted.nrows() || count < 2
    {
        return None;
    }
    let centred = |m: &DMatrix<f64>| {
        let mean = m.column_mean();
        let mut centred = m.clone();
        centred.column_iter_mut().for_each(|mut column| column -= &mean);
        centred
    };
    let (off, off_predicted) = (centred(members), centred(predicted));
    let scale = 1.0 / (count as f64 - 1.0);
    let cross = scale * &off * off_predicted.transpose();
    let own = scale * &off_predicted * off_predicted.transpose() + noise;
    let root = noise.clone().cholesky()?.l();
    let mut surprise = root * draws - predicted;
    surprise.column_iter_mut().for_each(|mut column| column += seen);
    Some(members + cross * own.cholesky()?.solve(&surprise))
}

/// What a look would teach about a linear quantity, nats: ½ log det(1 + Γ⁻¹ C_GG).
///
/// Returns None if the noise cannot be inverted.
pub fn information_nats(predicted_covariance: &DMatrix<f64>, noise: &DMatrix<f64>) -> Option<f64> {
    let ratio = noise.clone().cholesky()?.solve(predicted_covariance);
    let identity = DMatrix::identity(ratio.nrows(), ratio.ncols());
    Some(0.5 * (identity + ratio).determinant().ln())
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_units::stream::Stream;

    #[test]
    fn truth_the_kalman_vector_of_the_design() {
        // Unknowns N(1, 4), G = 2 th, noise 1, seen 3: mean 25/17, variance 4/17, 1.416607 nats [C from textbook formulas].
        let one = DMatrix::from_element(1, 1, 1.0);
        let gain = information_nats(&DMatrix::from_element(1, 1, 16.0), &one).unwrap();
        assert!((gain - 1.416_607).abs() < 1e-6, "{gain}");
        // An ensemble spread evenly over the prior's quantiles, paired with draws in a scrambled order.
        let count = 20_000;
        let mut stream = Stream::keyed(1, "kalman vector", 0);
        let members = DMatrix::from_fn(1, count, |_, _| 1.0 + 2.0 * stream.normal());
        let draws = DMatrix::from_fn(1, count, |_, _| stream.normal());
        let seen = DVector::from_element(1, 3.0);
        let moved = kalman_update(&members, &(2.0 * &members), &seen, &one, &draws).unwrap();
        let mean = moved.mean();
        let variance = moved.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count as f64 - 1.0);
        // Four standard errors of 20,000 draws.
        assert!((mean - 25.0 / 17.0).abs() < 4.0 * (4.0 / 17.0_f64 / count as f64).sqrt(), "{mean}");
        assert!((variance - 4.0 / 17.0).abs() < 4.0 * (4.0 / 17.0) * (2.0 / count as f64).sqrt(), "{variance}");
        assert!(kalman_update(&members, &members, &DVector::from_element(2, 0.0), &one, &draws).is_none());
    }
}
