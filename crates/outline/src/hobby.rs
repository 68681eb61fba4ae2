//! A smooth curve through given points, by Hobby's interpolation.
//!
//! Source: J. D. Hobby, "Smooth, easy to compute interpolating splines", Discrete &
//! Computational Geometry 1 (1986), 123–140; the names θ, φ, ψ and the weights are the paper's,
//! with every tension 1. Directions are chosen so that a first-order estimate of the curvature
//! (the paper's mock curvature) agrees on both sides of each point, which is one linear system;
//! at a loose end the estimate agrees at both ends of the last run (curl 1).

use crate::curvature::turn;
use crate::segment;
use kurbo::{CubicBez, Line, PathSeg, Point, Vec2};

/// Points nearer to one another than this are one: nothing lies between them, mm.
const SAME_MM: f64 = 1e-9;
/// A handle is at most so many chords long: the estimate grows without bound where a curve must
/// turn straight back. The bound is that of METAFONT (D. E. Knuth, 1986, part 9).
const LONGEST: f64 = 4.0;

/// A point that a curve is to pass through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Knot {
    /// Where it is, mm.
    pub at: Point,
    /// Whether the direction may break here.
    pub corner: bool,
    /// The way to the next point.
    pub run: Run,
}

/// The way from a point to the next. A smooth curve beside one that is not leaves along it,
/// unless there is a corner.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Run {
    /// A smooth curve.
    #[default]
    Curve,
    /// A straight line.
    Straight,
    /// An arc of a circle that turns so far to the left from its start to its end, radians.
    Arc(f64),
    /// A cubic with these handles: from its start, and from its end back, mm.
    Handles(Vec2, Vec2),
}

impl Knot {
    /// A point at which the curve is smooth.
    pub fn smooth(at: Point) -> Self {
        Self { at, corner: false, run: Run::Curve }
    }

    /// The same with a straight way to the next point.
    #[must_use]
    pub fn then_straight(self) -> Self {
        Self { run: Run::Straight, ..self }
    }
}

/// An arc that turns further than this is written as several cubics, radians: each then holds the
/// radius to 0.003 %.
const ARC_RAD: f64 = std::f64::consts::FRAC_PI_3;

/// The turn to the left of the arc of a circle from one place through a second to a third,
/// radians; `None` where two of them are one. Three places on a line turn by nothing.
pub fn arc_turn(from: Point, through: Point, to: Point) -> Option<f64> {
    let (a, b) = (through - from, to - through);
    // The chords' directions are those of the arc in the middle of either part.
    (a.hypot() > SAME_MM && b.hypot() > SAME_MM && from.distance(to) > SAME_MM)
        .then(|| 2.0 * turn(a, b))
}

/// The points with more of them on every long arc, so that each cubic holds its radius well.
/// What lies between two given points is no corner.
pub fn arcs_split(knots: &[Knot], closed: bool) -> Vec<Knot> {
    let n = knots.len();
    let mut all = Vec::with_capacity(n);
    for (i, knot) in knots.iter().enumerate() {
        let next = if i + 1 < n || closed { Some(knots[(i + 1) % n]) } else { None };
        let (Run::Arc(turn), Some(next)) = (knot.run, next) else {
            all.push(*knot);
            continue;
        };
        let parts = (turn.abs() / ARC_RAD - 1e-9).ceil().clamp(1.0, 12.0);
        let run = Run::Arc(turn / parts);
        all.push(Knot { run, ..*knot });
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 12")]
        for k in 1..parts as usize {
            let at = on_arc(knot.at, next.at, turn, k as f64 / parts);
            all.push(Knot { at, corner: false, run });
        }
    }
    all
}

/// A place on an arc from one point to another, at a share of its turn.
fn on_arc(from: Point, to: Point, turn: f64, share: f64) -> Point {
    let chord = to - from;
    let whole = (turn / 2.0).sin();
    if whole.abs() < 1e-12 {
        return from.lerp(to, share);
    }
    // A chord of a part is to the whole chord as the sines of half their turns.
    let length = (turn * share / 2.0).sin() / whole;
    from + turned(chord, turn * (share - 1.0) / 2.0) * length
}

/// A vector turned to the left by an angle, radians.
pub(crate) fn turned(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

/// The smooth curve from the first point to the last: one segment between each two, none for
/// fewer than two points. What lies between two corners without a point between is a line.
pub fn curve_through(knots: &[Knot]) -> Vec<PathSeg> {
    if knots.len() < 2 { Vec::new() } else { Ring { knots, closed: false }.segments() }
}

/// The smooth closed curve through the points, its segment `i` starting at point `i`; none for
/// fewer than two points.
pub fn closed_curve_through(knots: &[Knot]) -> Vec<PathSeg> {
    if knots.len() < 2 { Vec::new() } else { Ring { knots, closed: true }.segments() }
}

/// The points in order, and whether the last is joined to the first.
struct Ring<'a> {
    knots: &'a [Knot],
    closed: bool,
}

impl Ring<'_> {
    fn at(&self, i: usize) -> Point {
        self.knots[i % self.knots.len()].at
    }

    /// How many segments there are.
    fn runs(&self) -> usize {
        if self.closed { self.knots.len() } else { self.knots.len() - 1 }
    }

    /// Segment `i`, where it does not follow from its neighbours.
    fn given(&self, i: usize) -> Option<PathSeg> {
        let (from, to) = (self.at(i), self.at(i + 1));
        if from.distance(to) <= SAME_MM {
            return Some(PathSeg::Line(Line::new(from, to)));
        }
        match self.knots[i].run {
            Run::Curve => None,
            Run::Straight => Some(PathSeg::Line(Line::new(from, to))),
            Run::Arc(turn) => Some(arc(from, to, turn)),
            Run::Handles(leave, arrive) => {
                Some(PathSeg::Cubic(CubicBez::new(from, from + leave, to + arrive, to)))
            }
        }
    }

    /// The segment that ends at a point, and the one that starts there.
    fn beside(&self, knot: usize) -> (Option<usize>, Option<usize>) {
        let n = self.knots.len();
        let before = if self.closed { Some((knot + n - 1) % n) } else { knot.checked_sub(1) };
        (before, Some(knot).filter(|i| *i < self.runs()))
    }

    /// Whether the curves on the two sides of a point don't depend on one another.
    fn breaks(&self, knot: usize) -> bool {
        match self.beside(knot) {
            (Some(before), Some(behind)) => {
                let given = |i: usize| self.given(i).is_some();
                self.knots[knot].corner || given(before) || given(behind)
            }
            _ => true,
        }
    }

    /// The direction that a given segment beside a point prescribes there: that in which it
    /// arrives, or leaves.
    fn prescribed(&self, knot: usize, beside: Option<usize>, arrives: bool) -> Option<Vec2> {
        let beside = beside.filter(|_| !self.knots[knot].corner)?;
        let seg = segment::cubic(&self.given(beside)?);
        if seg.p0.distance(seg.p3) <= SAME_MM {
            return None;
        }
        if arrives { segment::end_direction(&seg) } else { segment::start_direction(&seg) }
    }

    fn segments(&self) -> Vec<PathSeg> {
        let (n, runs) = (self.knots.len(), self.runs());
        let Some(first) = (0..n).find(|knot| self.breaks(*knot)) else {
            let points: Vec<Point> = self.knots.iter().map(|knot| knot.at).collect();
            return smooth_ring(&points);
        };
        let mut segs = vec![PathSeg::Line(Line::new(Point::ORIGIN, Point::ORIGIN)); runs];
        let mut done = 0;
        while done < runs {
            let from = (first + done) % n;
            if let Some(seg) = self.given(from) {
                segs[from] = seg;
                done += 1;
                continue;
            }
            let mut count = 1;
            while done + count < runs && !self.breaks((from + count) % n) {
                count += 1;
            }
            let to = (from + count) % n;
            let points: Vec<Point> = (0..=count).map(|k| self.at(from + k)).collect();
            let start = self.prescribed(from, self.beside(from).0, true);
            let end = self.prescribed(to, self.beside(to).1, false);
            for (k, seg) in smooth_run(&points, start, end).into_iter().enumerate() {
                segs[(from + k) % n] = seg;
            }
            done += count;
        }
        segs
    }
}

/// The curve through points of which no two neighbours are one, its directions at the ends
/// prescribed or free.
fn smooth_run(points: &[Point], start: Option<Vec2>, end: Option<Vec2>) -> Vec<PathSeg> {
    let chords: Vec<Vec2> = points.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let m = chords.len();
    if let (1, None, None) = (m, start, end) {
        return vec![PathSeg::Line(Line::new(points[0], points[1]))];
    }
    let mut psi = vec![0.0; m + 1];
    for k in 1..m {
        psi[k] = turning(chords[k - 1], chords[k]);
    }
    let mut system = Tridiagonal::new(m + 1);
    match start {
        Some(start) => system.row(0, (0.0, 1.0, 0.0), turn(chords[0], start)),
        None => system.row(0, (0.0, 1.0, 1.0), -psi[1]),
    }
    for k in 1..m {
        let (weights, right) = mock_curvature_row(chords[k - 1], chords[k], psi[k], psi[k + 1]);
        system.row(k, weights, right);
    }
    match end {
        Some(end) => system.row(m, (0.0, 1.0, 0.0), turn(chords[m - 1], end)),
        None => system.row(m, (1.0, 1.0, 0.0), 0.0),
    }
    let theta = system.solved();
    let seg = |k: usize| cubic(points[k], chords[k], theta[k], -psi[k + 1] - theta[k + 1]);
    (0..m).map(seg).collect()
}

/// The closed curve through points of which no two neighbours are one.
fn smooth_ring(points: &[Point]) -> Vec<PathSeg> {
    let n = points.len();
    if n == 2 {
        // Taken twice round, the two neighbours of a point are two.
        let twice: Vec<Point> = points.iter().chain(points).copied().collect();
        let mut segs = smooth_ring(&twice);
        segs.truncate(2);
        return segs;
    }
    let chords: Vec<Vec2> = (0..n).map(|k| points[(k + 1) % n] - points[k]).collect();
    let psi: Vec<f64> = (0..n).map(|k| turning(chords[(k + n - 1) % n], chords[k])).collect();
    let mut system = Tridiagonal::new(n);
    for k in 0..n {
        let (weights, right) =
            mock_curvature_row(chords[(k + n - 1) % n], chords[k], psi[k], psi[(k + 1) % n]);
        system.row(k, weights, right);
    }
    let theta = system.solved_round();
    let seg = |k: usize| {
        let next = (k + 1) % n;
        cubic(points[k], chords[k], theta[k], -psi[next] - theta[next])
    };
    (0..n).map(seg).collect()
}

/// The turn ψ from one chord to the next. Straight back is a turn to the left, whichever way
/// the last digit fell.
fn turning(before: Vec2, behind: Vec2) -> f64 {
    let angle = turn(before, behind);
    if angle < -std::f64::consts::PI + 1e-9 { angle + std::f64::consts::TAU } else { angle }
}

/// The equation by which the mock curvature agrees on both sides of a point: the weights of
/// the θ before, here and after, and the right side.
fn mock_curvature_row(
    before: Vec2,
    behind: Vec2,
    psi: f64,
    psi_next: f64,
) -> ((f64, f64, f64), f64) {
    let (a, b) = (before.hypot().recip(), behind.hypot().recip());
    ((a, 2.0 * (a + b), b), -2.0 * a * psi - b * psi_next)
}

/// The cubic over one chord that leaves it by θ to the left and arrives by φ from the left.
fn cubic(from: Point, chord: Vec2, theta: f64, phi: f64) -> PathSeg {
    let to = from + chord;
    let leave = turned(chord, theta) * velocity(theta, phi);
    let arrive = turned(chord, -phi) * velocity(phi, theta);
    PathSeg::Cubic(CubicBez::new(from, from + leave, to - arrive, to))
}

/// The cubic nearest to an arc of a circle (the handles at 4/3 · tan(turn / 4) of the radius).
fn arc(from: Point, to: Point, turn: f64) -> PathSeg {
    if turn.abs() < 1e-9 {
        return PathSeg::Line(Line::new(from, to));
    }
    let chord = to - from;
    let arm = 2.0 / 3.0 * (turn / 4.0).tan() / (turn / 2.0).sin();
    let leave = turned(chord, -turn / 2.0) * arm;
    let arrive = turned(chord, turn / 2.0) * arm;
    PathSeg::Cubic(CubicBez::new(from, from + leave, to - arrive, to))
}

/// Length of a handle in chords: the paper's ρ(θ, φ) / 3.
fn velocity(theta: f64, phi: f64) -> f64 {
    let ((st, ct), (sp, cp)) = (theta.sin_cos(), phi.sin_cos());
    let over = 2.0 + std::f64::consts::SQRT_2 * (st - sp / 16.0) * (sp - st / 16.0) * (ct - cp);
    let root = 5.0_f64.sqrt();
    let under = 3.0 * (1.0 + 0.5 * (root - 1.0) * ct + 0.5 * (3.0 - root) * cp);
    (over / under).min(LONGEST)
}

/// Equations of which each holds an unknown and its two neighbours.
struct Tridiagonal {
    rows: Vec<(f64, f64, f64)>,
    right: Vec<f64>,
}

impl Tridiagonal {
    fn new(n: usize) -> Self {
        Self { rows: vec![(0.0, 0.0, 0.0); n], right: vec![0.0; n] }
    }

    fn row(&mut self, i: usize, weights: (f64, f64, f64), right: f64) {
        self.rows[i] = weights;
        self.right[i] = right;
    }

    /// Solved by elimination; what stands before the first and after the last is passed over.
    fn solved(&self) -> Vec<f64> {
        let n = self.rows.len();
        let mut after = vec![0.0; n];
        let mut x = vec![0.0; n];
        for i in 0..n {
            let (a, b, c) = self.rows[i];
            let (carried, known) = if i > 0 { (after[i - 1], x[i - 1]) } else { (0.0, 0.0) };
            let pivot = if i > 0 { b - a * carried } else { b };
            after[i] = c / pivot;
            x[i] = (self.right[i] - if i > 0 { a * known } else { 0.0 }) / pivot;
        }
        for i in (0..n - 1).rev() {
            x[i] -= after[i] * x[i + 1];
        }
        x
    }

    /// Solved where the first and the last unknown are neighbours too (Sherman and Morrison's
    /// formula for a matrix changed by one product); for three unknowns or more.
    fn solved_round(mut self) -> Vec<f64> {
        let n = self.rows.len();
        let (corner_up, corner_down) = (self.rows[0].0, self.rows[n - 1].2);
        let gamma = -self.rows[0].1;
        self.rows[0].1 -= gamma;
        self.rows[n - 1].1 -= corner_up * corner_down / gamma;
        let x = self.solved();
        self.right = vec![0.0; n];
        self.right[0] = gamma;
        self.right[n - 1] = corner_down;
        let z = self.solved();
        let last = corner_up / gamma;
        let by = (x[0] + last * x[n - 1]) / (1.0 + z[0] + last * z[n - 1]);
        x.iter().zip(&z).map(|(x, z)| x - by * z).collect()
    }
}

#[cfg(test)]
mod tests;
