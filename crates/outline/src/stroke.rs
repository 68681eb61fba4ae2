//! A stroke drawn by hand as few smooth cubics.

use kurbo::{
    CubicBez, CurveFitSample, ParamCurveFit, PathEl, PathSeg, Point, Vec2, fit_to_bezpath_opt,
};
use std::ops::Range;

/// Half the width of the window over which the stroke is smoothed, in tolerances.
const WINDOW: f64 = 8.0;
/// Samples of the smoothed stroke, in tolerances.
const STEP: f64 = 1.0;
/// No stroke has more samples.
const MAX_SAMPLES: usize = 2_000;

/// The stroke through places as the pointer went, as few cubics within about a tolerance of it,
/// smooth where they join: first smoothed by local quadratics (W. S. Cleveland, "Robust locally
/// weighted regression and smoothing scatterplots", J. Am. Stat. Assoc. 74 (1979), 829–836), then
/// fitted by `kurbo` (R. Levien, "Fitting cubic Bézier curves", 2021). It begins and ends where the
/// pointer did. None for a stroke without length.
pub fn stroke_through(places: &[Point], tolerance_mm: f64) -> Vec<CubicBez> {
    let Some(stroke) = Stroke::new(places, tolerance_mm) else { return Vec::new() };
    let path = fit_to_bezpath_opt(&stroke, tolerance_mm);
    let mut cubics: Vec<CubicBez> = path
        .segments()
        .map(|seg| match seg {
            PathSeg::Line(l) => {
                CubicBez::new(l.p0, l.p0.lerp(l.p1, 1.0 / 3.0), l.p1.lerp(l.p0, 1.0 / 3.0), l.p1)
            }
            other => other.to_cubic(),
        })
        .filter(|c| c.p0.distance(c.p3) > 1e-9)
        .collect();
    debug_assert!(path.elements().iter().all(|el| !matches!(el, PathEl::ClosePath)));
    if let (Some(first), Some(last)) = (places.first(), places.last()) {
        if let Some(c) = cubics.first_mut() {
            c.p0 = *first;
        }
        if let Some(c) = cubics.last_mut() {
            c.p3 = *last;
        }
    }
    cubics
}

/// A smoothed stroke: Hermite cubics between even samples.
struct Stroke {
    samples: Vec<(Point, Vec2)>,
    step: f64,
}

impl Stroke {
    fn new(places: &[Point], tolerance_mm: f64) -> Option<Self> {
        let mut line: Vec<(f64, Point)> = Vec::with_capacity(places.len());
        for p in places {
            match line.last() {
                None => line.push((0.0, *p)),
                Some((run, last)) if last.distance(*p) > 1e-9 => {
                    line.push((run + last.distance(*p), *p));
                }
                Some(_) => {}
            }
        }
        let length = line.last()?.0;
        if !(length.is_finite() && length > tolerance_mm && tolerance_mm > 0.0) {
            return None;
        }
        let wanted = (length / (STEP * tolerance_mm)).clamp(8.0, MAX_SAMPLES as f64);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "8 to 2000")]
        let count = wanted.ceil() as usize;
        let step = length / count as f64;
        let half = WINDOW * tolerance_mm.max(step / WINDOW * 3.0);
        let samples: Vec<(Point, Vec2)> =
            (0..=count).map(|i| local(&line, i as f64 * step, half.min(length / 2.0))).collect();
        let mut samples = samples;
        let last = samples.len() - 1;
        samples[0].0 = line[0].1;
        samples[last].0 = line[line.len() - 1].1;
        Some(Self { samples, step })
    }

    fn at(&self, t: f64) -> (Point, Vec2) {
        let pieces = self.samples.len() - 1;
        let place = (t * pieces as f64).clamp(0.0, pieces as f64);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "in the list")]
        let i = (place as usize).min(pieces - 1);
        let u = place - i as f64;
        let ((a, da), (b, db)) = (self.samples[i], self.samples[i + 1]);
        let (da, db, d) = (da * self.step, db * self.step, b - a);
        let (u2, u3) = (u * u, u * u * u);
        let at = a + d * (3.0 * u2 - 2.0 * u3) + da * (u - 2.0 * u2 + u3) + db * (u3 - u2);
        let slope =
            d * (6.0 * u - 6.0 * u2) + da * (1.0 - 4.0 * u + 3.0 * u2) + db * (3.0 * u2 - 2.0 * u);
        (at, slope * pieces as f64)
    }
}

/// The stroke at a run of its length: a quadratic by weighted least squares through what lies in
/// the window, evened out between its places; and its slope.
fn local(line: &[(f64, Point)], run: f64, half: f64) -> (Point, Vec2) {
    const TRIES: usize = 24;
    // Even places of the window, so that a pointer that lingered counts no more.
    let mut sums = [0.0; 5];
    let mut rights = [Vec2::ZERO; 3];
    let whole = line[line.len() - 1].0;
    let reach = half.max(1e-9);
    for i in 0..=TRIES {
        let off = (i as f64 / TRIES as f64 * 2.0 - 1.0) * reach;
        let at = run + off;
        if !(0.0..=whole).contains(&at) {
            continue;
        }
        let share = (off / reach).abs();
        let weight = (1.0 - share.powi(3)).powi(3).max(1e-6);
        let p = on(line, at).to_vec2();
        let x = off / reach;
        let mut power = weight;
        for (k, sum) in sums.iter_mut().enumerate() {
            *sum += power;
            if k < 3 {
                rights[k] += p * power;
            }
            power *= x;
        }
    }
    let [s0, s1, s2, s3, s4] = sums;
    let det = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s3 * s2) + s2 * (s1 * s3 - s2 * s2);
    if det.abs() < 1e-12 {
        return (on(line, run), Vec2::ZERO);
    }
    let [r0, r1, r2] = rights;
    let place =
        (r0 * (s2 * s4 - s3 * s3) - r1 * (s1 * s4 - s2 * s3) + r2 * (s1 * s3 - s2 * s2)) / det;
    let slope =
        (r1 * (s0 * s4 - s2 * s2) - r0 * (s1 * s4 - s3 * s2) - r2 * (s0 * s3 - s1 * s2)) / det;
    (place.to_point(), slope / reach)
}

/// The place of a polyline at a run of its length.
fn on(line: &[(f64, Point)], run: f64) -> Point {
    let behind = line.partition_point(|(at, _)| *at < run).clamp(1, line.len() - 1);
    let ((a, p), (b, q)) = (line[behind - 1], line[behind]);
    p.lerp(q, ((run - a) / (b - a)).clamp(0.0, 1.0))
}

impl ParamCurveFit for Stroke {
    fn sample_pt_tangent(&self, t: f64, _: f64) -> CurveFitSample {
        let (p, tangent) = self.at(t);
        CurveFitSample { p, tangent }
    }

    fn sample_pt_deriv(&self, t: f64) -> (Point, Vec2) {
        self.at(t)
    }

    fn break_cusp(&self, _: Range<f64>) -> Option<f64> {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::ParamCurve;

    /// A long bow with the shake of a hand: whole pixels at four to the millimetre.
    fn shaky() -> Vec<Point> {
        (0..400)
            .map(|i| {
                let x = f64::from(i) * 0.4;
                let y = 12.0 * (x / 160.0 * std::f64::consts::PI).sin();
                let shake = |k: f64| ((f64::from(i) * k).sin() * 43_758.5).fract() * 0.25;
                Point::new(x + shake(12.9), y + shake(78.2))
            })
            .collect()
    }

    #[test]
    fn a_shaky_bow_takes_few_nodes_and_stays_near() {
        let places = shaky();
        let cubics = stroke_through(&places, 0.5);
        assert!((1..=4).contains(&cubics.len()), "{}", cubics.len());
        assert_eq!(cubics[0].p0, places[0]);
        assert_eq!(cubics[cubics.len() - 1].p3, places[places.len() - 1]);
        for c in &cubics {
            for i in 0..=20 {
                let p = c.eval(f64::from(i) / 20.0);
                let wanted = 12.0 * (p.x / 160.0 * std::f64::consts::PI).sin();
                assert!((p.y - wanted).abs() < 0.8, "{p:?}");
            }
        }
        for pair in cubics.windows(2) {
            let (arrive, leave) = (pair[0].p3 - pair[0].p2, pair[1].p1 - pair[1].p0);
            let turn = arrive.cross(leave).atan2(arrive.dot(leave));
            assert!(turn.abs() < 0.02, "{turn}");
        }
    }

    #[test]
    fn no_stroke_has_no_cubics() {
        assert!(stroke_through(&[], 0.5).is_empty());
        assert!(stroke_through(&[Point::ORIGIN; 9], 0.5).is_empty());
        let straight = [Point::ORIGIN, Point::new(30.0, 0.0)];
        let line = stroke_through(&straight, 0.5);
        assert_eq!(line.len(), 1);
        assert!(line[0].eval(0.5).y.abs() < 1e-6);
    }
}
