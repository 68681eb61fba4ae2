//! Symmetric equations in which each unknown meets only its near neighbours.

/// A positive definite matrix with few diagonals, its lower half row by row.
pub(super) struct Banded {
    width: usize,
    rows: Vec<f64>,
    size: usize,
}

impl Banded {
    /// Zero throughout; `width` diagonals below the main one.
    pub(super) fn new(size: usize, width: usize) -> Self {
        Self { width, rows: vec![0.0; size * (width + 1)], size }
    }

    /// The place of row `i`, column `j ≤ i`.
    fn place(&self, i: usize, j: usize) -> usize {
        i * (self.width + 1) + (j + self.width - i)
    }

    /// Adds to a value of the lower half.
    pub(super) fn add(&mut self, i: usize, j: usize, value: f64) {
        let (i, j) = if i >= j { (i, j) } else { (j, i) };
        let place = self.place(i, j);
        self.rows[place] += value;
    }

    /// A value of the main diagonal.
    pub(super) fn diagonal(&self, i: usize) -> f64 {
        self.rows[self.place(i, i)]
    }

    /// Takes all values of another of the same size.
    pub(super) fn clone_from_band(&mut self, other: &Self) {
        self.rows.clone_from(&other.rows);
    }

    /// Solves by Cholesky's decomposition; `None` when the matrix is not positive definite.
    pub(super) fn solve(mut self, right: &[f64]) -> Option<Vec<f64>> {
        for i in 0..self.size {
            let from = i.saturating_sub(self.width);
            for j in from..=i {
                let mut sum = self.rows[self.place(i, j)];
                for k in from.max(j.saturating_sub(self.width))..j {
                    sum -= self.rows[self.place(i, k)] * self.rows[self.place(j, k)];
                }
                let place = self.place(i, j);
                if i == j {
                    if !(sum.is_finite() && sum > 0.0) {
                        return None;
                    }
                    self.rows[place] = sum.sqrt();
                } else {
                    self.rows[place] = sum / self.rows[self.place(j, j)];
                }
            }
        }
        let mut x = right.to_vec();
        for i in 0..self.size {
            for k in i.saturating_sub(self.width)..i {
                x[i] -= self.rows[self.place(i, k)] * x[k];
            }
            x[i] /= self.rows[self.place(i, i)];
        }
        for i in (0..self.size).rev() {
            for k in i + 1..(i + self.width + 1).min(self.size) {
                x[i] -= self.rows[self.place(k, i)] * x[k];
            }
            x[i] /= self.rows[self.place(i, i)];
        }
        Some(x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_solved_fulfils_the_equations() {
        let (size, width) = (9, 3);
        let value = |i: usize, j: usize| if i == j { 8.0 } else { 1.0 / (i + j + 1) as f64 };
        let mut matrix = Banded::new(size, width);
        for i in 0..size {
            for j in i.saturating_sub(width)..=i {
                matrix.add(i, j, value(i, j));
            }
        }
        let right: Vec<f64> = (0..size).map(|i| (i as f64).sin() + 2.0).collect();
        let x = matrix.solve(&right).unwrap();
        for (i, right) in right.iter().enumerate() {
            let near = (0..size).filter(|j| i.abs_diff(*j) <= width);
            let sum: f64 = near.map(|j| value(i.max(j), i.min(j)) * x[j]).sum();
            assert!((sum - right).abs() < 1e-12);
        }
        let mut bad = Banded::new(2, 1);
        bad.add(0, 0, -1.0);
        assert!(bad.solve(&[1.0, 1.0]).is_none());
    }
}
