//! Least squares with a prior: Levenberg's and Marquardt's method over a numeric Jacobian.

use nalgebra::{DMatrix, DVector};

/// What is fitted. Residuals are in units of their own standard deviation.
pub trait Problem {
    /// Number of residuals, the prior's among them.
    fn residuals(&self) -> usize;
    /// Step of each parameter for differences.
    fn steps(&self) -> &[f64];
    /// Fills `out`; false where the parameters are impossible.
    fn evaluate(&mut self, parameters: &[f64], out: &mut [f64]) -> bool;
}

/// What a fit found.
#[derive(Clone, Debug)]
pub struct Fit {
    /// The parameters.
    pub parameters: Vec<f64>,
    /// Their covariance, if all residuals are as they say.
    pub covariance: DMatrix<f64>,
    /// Residuals there.
    pub residuals: Vec<f64>,
    /// Sum of their squares.
    pub cost: f64,
}

/// Fits from `start`. None where `start` itself is impossible or the normal equations have no solution.
pub fn fit(problem: &mut impl Problem, start: &[f64], rounds: usize) -> Option<Fit> {
    let (rows, columns) = (problem.residuals(), start.len());
    let mut at = start.to_vec();
    let mut residuals = vec![0.0; rows];
    if !problem.evaluate(&at, &mut residuals) {
        return None;
    }
    let mut cost = sum_of_squares(&residuals);
    let (mut damping, mut moved, mut shifted) = (1e-3, vec![0.0; rows], at.clone());
    let mut jacobian = DMatrix::zeros(rows, columns);
    for _ in 0..rounds {
        differentiate(problem, &at, &residuals, &mut moved, &mut jacobian);
        let normal = jacobian.tr_mul(&jacobian);
        let gradient = jacobian.tr_mul(&DVector::from_column_slice(&residuals));
        let before = cost;
        for _ in 0..8 {
            let mut damped = normal.clone();
            for k in 0..columns {
                damped[(k, k)] += damping * normal[(k, k)] + 1e-12;
            }
            let Some(step) = damped.cholesky().map(|factor| factor.solve(&gradient)) else {
                damping *= 10.0;
                continue;
            };
            for k in 0..columns {
                shifted[k] = at[k] - step[k];
            }
            let possible = problem.evaluate(&shifted, &mut moved);
            let new = if possible { sum_of_squares(&moved) } else { f64::INFINITY };
            if new < cost {
                at.copy_from_slice(&shifted);
                residuals.copy_from_slice(&moved);
                cost = new;
                damping = (damping * 0.2).max(1e-9);
                break;
            }
            damping *= 10.0;
        }
        if before - cost < 1e-4 * (1e-3 + cost / rows as f64) {
            break;
        }
    }
    differentiate(problem, &at, &residuals, &mut moved, &mut jacobian);
    let mut normal = jacobian.tr_mul(&jacobian);
    for k in 0..columns {
        normal[(k, k)] += 1e-12 * (1.0 + normal[(k, k)]);
    }
    let covariance = normal.cholesky()?.inverse();
    Some(Fit { parameters: at, covariance, residuals, cost })
}

fn sum_of_squares(values: &[f64]) -> f64 {
    values.iter().map(|r| r * r).sum()
}

fn differentiate(
    problem: &mut impl Problem,
    at: &[f64],
    here: &[f64],
    scratch: &mut [f64],
    jacobian: &mut DMatrix<f64>,
) {
    let steps = problem.steps().to_vec();
    let mut moved = at.to_vec();
    for (column, step) in steps.iter().enumerate() {
        moved[column] = at[column] + step;
        let mut sign = 1.0;
        if !problem.evaluate(&moved, scratch) {
            moved[column] = at[column] - step;
            sign = if problem.evaluate(&moved, scratch) { -1.0 } else { 0.0 };
        }
        moved[column] = at[column];
        for (row, (there, here)) in scratch.iter().zip(here).enumerate() {
            jacobian[(row, column)] = sign * (there - here) / step;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A straight line through three points, each with an error of one.
    struct Line;

    impl Problem for Line {
        fn residuals(&self) -> usize {
            3
        }
        fn steps(&self) -> &[f64] {
            &[1e-5, 1e-5]
        }
        fn evaluate(&mut self, p: &[f64], out: &mut [f64]) -> bool {
            for (k, (x, y)) in [(-1.0, 1.0), (0.0, 2.0), (1.0, 6.0)].into_iter().enumerate() {
                out[k] = p[0] + p[1] * x - y;
            }
            true
        }
    }

    /// The mean of the points, half the difference of the outer ones, and their variances: 1/3 and 1/2 (any text on regression).
    #[test]
    fn truth_a_line_through_three_points_has_its_known_slope_and_errors() {
        let fit = fit(&mut Line, &[0.0, 0.0], 20).unwrap();
        assert!((fit.parameters[0] - 3.0).abs() < 1e-6 && (fit.parameters[1] - 2.5).abs() < 1e-6);
        assert!((fit.covariance[(0, 0)] - 1.0 / 3.0).abs() < 1e-6 && (fit.covariance[(1, 1)] - 0.5).abs() < 1e-6);
    }
}
