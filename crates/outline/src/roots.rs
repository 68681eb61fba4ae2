//! Roots of polynomials in Bernstein form on the unit interval.
//!
//! The sign changes of the coefficients bound the number of roots from above and have its
//! parity (variation diminishing), so that halving isolates them without guessing.

/// Halvings after which an interval is a root of even order, or none.
const DEEPEST: u32 = 44;

/// Calls `found` with every root strictly inside (0, 1) of the polynomial whose Bernstein
/// coefficients are given, in rising order. A root of even order may be given once, twice or
/// not at all; a polynomial that is zero throughout gives none.
pub(crate) fn each_root<const N: usize>(coef: [f64; N], found: &mut impl FnMut(f64)) {
    isolate(coef, 0.0, 1.0, DEEPEST, found);
}

fn isolate<const N: usize>(
    coef: [f64; N],
    from: f64,
    to: f64,
    depth: u32,
    found: &mut impl FnMut(f64),
) {
    match sign_changes(&coef) {
        0 => {}
        1 if coef[0] * coef[N - 1] < 0.0 => found(from + bracketed(&coef) * (to - from)),
        _ if depth == 0 => found(0.5 * (from + to)),
        _ => {
            let (left, right) = cut(coef, 0.5);
            let mid = 0.5 * (from + to);
            isolate(left, from, mid, depth - 1, found);
            if right[0] == 0.0 && coef.iter().any(|c| *c != 0.0) {
                found(mid);
            }
            isolate(right, mid, to, depth - 1, found);
        }
    }
}

fn sign_changes(coef: &[f64]) -> u32 {
    let mut changes = 0;
    let mut last = 0.0;
    for &c in coef {
        if c != 0.0 {
            if c * last < 0.0 {
                changes += 1;
            }
            last = c.signum();
        }
    }
    changes
}

/// Value of the polynomial at `t`, by de Casteljau's scheme.
pub(crate) fn value<const N: usize>(coef: &[f64; N], t: f64) -> f64 {
    value_and_slope(coef, t).0
}

fn value_and_slope<const N: usize>(coef: &[f64; N], t: f64) -> (f64, f64) {
    let mut row = *coef;
    for step in 1..N - 1 {
        for i in 0..N - step {
            row[i] += t * (row[i + 1] - row[i]);
        }
    }
    let rise = row[1] - row[0];
    (row[0] + t * rise, (N - 1) as f64 * rise)
}

/// Bernstein coefficients of the polynomial's part between two parameters.
pub(crate) fn part<const N: usize>(coef: &[f64; N], from: f64, to: f64) -> [f64; N] {
    let (_, right) = cut(*coef, from);
    let rest = 1.0 - from;
    if rest <= 0.0 { right } else { cut(right, (to - from) / rest).0 }
}

/// Both parts of the polynomial, before and after `t`.
fn cut<const N: usize>(coef: [f64; N], t: f64) -> ([f64; N], [f64; N]) {
    let (mut row, mut left) = (coef, coef);
    for (step, kept) in left.iter_mut().enumerate().skip(1) {
        for i in 0..N - step {
            row[i] += t * (row[i + 1] - row[i]);
        }
        *kept = row[0];
    }
    (left, row)
}

/// The one root of a polynomial whose end coefficients differ in sign, or the end at which one
/// is 0: Newton's method, held in its bracket and backed by bisection.
pub(crate) fn bracketed<const N: usize>(coef: &[f64; N]) -> f64 {
    let (mut a, mut b) = (0.0, 1.0);
    let (fa, fb) = (coef[0], coef[N - 1]);
    if fa == 0.0 || fb == 0.0 {
        return if fb == 0.0 { b } else { a };
    }
    // Not right at an end, where a value near 0 may round to 0 far from the root.
    let mut t = (fa / (fa - fb)).clamp(0.05, 0.95);
    let mut stride = 1.0;
    for _ in 0..80 {
        let (f, slope) = value_and_slope(coef, t);
        if f == 0.0 {
            return t;
        }
        if (f > 0.0) == (fb > 0.0) {
            b = t
        } else {
            a = t
        }
        let newton = t - f / slope;
        // Newton only while it stays inside and at least halves its stride.
        let good = newton > a && newton < b && (newton - t).abs() < 0.5 * stride;
        let next = if good { newton } else { 0.5 * (a + b) };
        stride = if good { (next - t).abs() } else { b - a };
        if (next - t).abs() <= 2.0 * f64::EPSILON * t.max(f64::EPSILON) || next <= a || next >= b {
            return next;
        }
        t = next;
    }
    t
}

/// The product of two polynomials in Bernstein form; `out` has one coefficient more than the
/// sum of their degrees.
pub(crate) fn multiply(a: &[f64], b: &[f64], out: &mut [f64]) {
    let (m, n) = (a.len() - 1, b.len() - 1);
    out.fill(0.0);
    for (i, ai) in a.iter().enumerate() {
        for (j, bj) in b.iter().enumerate() {
            out[i + j] += binomial(m, i) * binomial(n, j) * ai * bj;
        }
    }
    for (k, c) in out.iter_mut().enumerate() {
        *c /= binomial(m + n, k);
    }
}

pub(crate) fn binomial(n: usize, k: usize) -> f64 {
    const ROWS: [[f64; 7]; 7] = [
        [1., 0., 0., 0., 0., 0., 0.],
        [1., 1., 0., 0., 0., 0., 0.],
        [1., 2., 1., 0., 0., 0., 0.],
        [1., 3., 3., 1., 0., 0., 0.],
        [1., 4., 6., 4., 1., 0., 0.],
        [1., 5., 10., 10., 5., 1., 0.],
        [1., 6., 15., 20., 15., 6., 1.],
    ];
    ROWS[n][k]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn roots<const N: usize>(coef: [f64; N]) -> Vec<f64> {
        let mut all = vec![];
        each_root(coef, &mut |t| all.push(t));
        all
    }

    /// Bernstein coefficients of the product of (t - r) over the given roots.
    fn with_roots(at: [f64; 3]) -> [f64; 4] {
        let mut two = [0.0; 3];
        multiply(&[-at[0], 1.0 - at[0]], &[-at[1], 1.0 - at[1]], &mut two);
        let mut three = [0.0; 4];
        multiply(&two, &[-at[2], 1.0 - at[2]], &mut three);
        three
    }

    #[test]
    fn roots_come_back_in_order() {
        for at in [[0.1, 0.5, 0.9], [0.25, 0.5, 0.75], [0.3, 0.300_001, 0.9]] {
            let found = roots(with_roots(at));
            assert_eq!(found.len(), 3, "{at:?} {found:?}");
            for (f, a) in found.iter().zip(at) {
                assert!((f - a).abs() < 1e-9, "{found:?}");
            }
        }
        assert!(roots(with_roots([-0.5, 1.5, 2.0])).is_empty());
        assert!(roots([0.0; 4]).is_empty());
    }
}
