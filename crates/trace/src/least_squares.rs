//! Least squares over a few parameters: Levenberg–Marquardt with derivatives by differences.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{DMatrix, DVector, Dyn};

struct Problem<F> {
    params: DVector<f64>,
    residuals: F,
}

impl<F: Fn(&[f64]) -> Vec<f64>> LeastSquaresProblem<f64, Dyn, Dyn> for Problem<F> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, params: &DVector<f64>) {
        self.params.copy_from(params);
    }

    fn params(&self) -> DVector<f64> {
        self.params.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let all = (self.residuals)(self.params.as_slice());
        all.iter().all(|r| r.is_finite()).then(|| DVector::from_vec(all))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let mut params = self.params.as_slice().to_vec();
        let mut columns = Vec::with_capacity(params.len());
        for i in 0..params.len() {
            let at = params[i];
            let step = 1e-6 * at.abs().max(1e-2);
            params[i] = at + step;
            let more = (self.residuals)(&params);
            params[i] = at - step;
            let less = (self.residuals)(&params);
            params[i] = at;
            let slope = more.iter().zip(&less).map(|(m, l)| (m - l) / (2.0 * step));
            columns.push(DVector::from_iterator(more.len(), slope));
        }
        Some(DMatrix::from_columns(&columns))
    }
}

/// The parameters near `start` at which the sum of the squared residuals is least. There must be
/// at least as many residuals as parameters; where the search fails, it is as far as it came.
pub(crate) fn minimise(start: &[f64], residuals: impl Fn(&[f64]) -> Vec<f64>) -> Vec<f64> {
    let problem = Problem { params: DVector::from_column_slice(start), residuals };
    let (problem, _) = LevenbergMarquardt::new().with_patience(30).minimize(problem);
    problem.params.as_slice().to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decaying_exponential_is_found_again() {
        let truth = [3.0, -0.7];
        let model = |p: &[f64], t: f64| p[0] * (p[1] * t).exp();
        let times = || (0..20).map(|i| f64::from(i) * 0.2);
        let found =
            minimise(&[1.0, -0.1], |p| times().map(|t| model(p, t) - model(&truth, t)).collect());
        assert!((found[0] - 3.0).abs() < 1e-7 && (found[1] + 0.7).abs() < 1e-7, "{found:?}");
    }
}
