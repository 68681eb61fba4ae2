//! Adding and removing nodes.

use crate::nearest::{Nearest, nearest_on};
use crate::outline::Outline;
use crate::segment;
use kurbo::{CubicBez, Line, ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};

/// Places of the two stretches that the joined cubic is drawn towards.
const SAMPLES: usize = 48;
/// Rounds of fitting: each fits the handles, then moves each sample to its nearest place.
const ROUNDS: usize = 40;

impl Outline {
    /// The same shape with one node more, at parameter `t` of a segment: the new node has the
    /// index `segment + 1`. At or beyond the segment's ends, and on a segment there is not,
    /// the outline comes back unchanged.
    #[must_use]
    pub fn split_at(&self, segment: usize, t: f64) -> Self {
        if segment >= self.segs().len() || !(t > 0.0 && t < 1.0) {
            return self.clone();
        }
        let mut segs = self.segs().to_vec();
        let (left, right) = halves(&segs[segment], t);
        segs[segment] = left;
        segs.insert(segment + 1, right);
        self.with_segs(segs)
    }

    /// The outline with one node less: its two stretches become one cubic (or one line, if
    /// both lie on it) with the directions at the far ends kept, as near to the two as can be
    /// in the sense of least squares. An outline of one segment, or a node there is not,
    /// comes back unchanged.
    #[must_use]
    pub fn without_node(&self, node: usize) -> Self {
        let count = self.segs().len();
        if count < 2 || node >= count {
            return self.clone();
        }
        let before = (node + count - 1) % count;
        let joined = join(&self.segs()[before], &self.segs()[node]);
        let mut segs = self.segs().to_vec();
        segs[before] = joined;
        segs.remove(node);
        self.with_segs(segs)
    }

    /// An outline of segments known to be closed and finite; itself if they are not.
    pub(crate) fn with_segs(&self, segs: Vec<PathSeg>) -> Self {
        Self::new(segs).unwrap_or_else(|_| self.clone())
    }
}

/// A segment cut in two at `t` by de Casteljau's scheme.
pub(crate) fn halves(seg: &PathSeg, t: f64) -> (PathSeg, PathSeg) {
    match seg {
        PathSeg::Line(l) => {
            let mid = l.eval(t);
            (PathSeg::Line(Line::new(l.p0, mid)), PathSeg::Line(Line::new(mid, l.p1)))
        }
        other => {
            let c = segment::cubic(other);
            let (a, b, d) = (c.p0.lerp(c.p1, t), c.p1.lerp(c.p2, t), c.p2.lerp(c.p3, t));
            let (ab, bd) = (a.lerp(b, t), b.lerp(d, t));
            let mid = ab.lerp(bd, t);
            (
                PathSeg::Cubic(CubicBez::new(c.p0, a, ab, mid)),
                PathSeg::Cubic(CubicBez::new(mid, bd, d, c.p3)),
            )
        }
    }
}

fn join(first: &PathSeg, second: &PathSeg) -> PathSeg {
    if let Some(line) = one_line(&[*first, *second]) {
        return line;
    }
    let (a, b) = (segment::cubic(first), segment::cubic(second));
    let Some(leave) = segment::start_direction(&a) else { return *second };
    let Some(arrive) = segment::end_direction(&b) else { return *first };
    PathSeg::Cubic(Fit::new(a, b, leave, arrive).best())
}

/// The line that lines in a row make together, if they make one.
fn one_line(segs: &[PathSeg]) -> Option<PathSeg> {
    let ends = |seg: &PathSeg| if let PathSeg::Line(l) = seg { Some((l.p0, l.p1)) } else { None };
    let lines: Vec<(Point, Point)> = segs.iter().map(ends).collect::<Option<_>>()?;
    let (from, to) = (lines.first()?.0, lines.last()?.1);
    let whole = to - from;
    let runs_on = |(a, b): &(Point, Point)| {
        let v = *b - *a;
        v.cross(whole).abs() <= 1e-12 * v.hypot() * whole.hypot() && v.dot(whole) >= 0.0
    };
    lines.iter().all(runs_on).then_some(PathSeg::Line(Line::new(from, to)))
}

/// One curve in place of segments in a row, the directions at its ends kept, and how far it
/// strays from them, mm (from places on them, to rounding).
pub(crate) fn joined(segs: &[PathSeg]) -> (PathSeg, f64) {
    if let [only] = segs {
        return (*only, 0.0);
    }
    if let Some(line) = one_line(segs) {
        return (line, 0.0);
    }
    let cubics: Vec<CubicBez> = segs.iter().map(segment::cubic).collect();
    let leave = cubics.iter().find_map(segment::start_direction);
    let arrive = cubics.iter().rev().find_map(segment::end_direction);
    let ends = (segs.first(), leave.zip(arrive));
    let (Some(first), Some((leave, arrive))) = ends else {
        return (PathSeg::Line(Line::new(Point::ORIGIN, Point::ORIGIN)), f64::INFINITY);
    };
    let fit = match cubics[..] {
        [a, b] => Fit::new(a, b, leave, arrive),
        _ => Fit::through(&cubics, leave, arrive),
    };
    let targets = fit.targets.clone();
    let curve = PathSeg::Cubic(fit.best());
    let off_mm = targets.iter().map(|p| distance_mm(&curve, *p)).fold(0.0, f64::max);
    if off_mm.is_finite() { (curve, off_mm) } else { (*first, f64::INFINITY) }
}

/// How much of a parameter each cubic in a row takes: as the speeds on both sides of each joint
/// tell, which is exact for parts of one cubic; by their lengths where those are far from it.
fn shares(cubics: &[CubicBez]) -> Vec<f64> {
    let lengths: Vec<f64> = cubics.iter().map(|c| c.arclen(1e-3).max(1e-12)).collect();
    let mut shares = vec![1.0];
    for (i, pair) in cubics.windows(2).enumerate() {
        let by_length = lengths[i + 1] / lengths[i];
        let by_speed = (pair[1].p1 - pair[1].p0).hypot() / (pair[0].p3 - pair[0].p2).hypot();
        let off = by_speed / by_length;
        let is_near = off.is_finite() && (0.2..5.0).contains(&off);
        shares.push(shares[i] * if is_near { by_speed } else { by_length });
    }
    let whole: f64 = shares.iter().sum();
    shares.iter().map(|share| (share / whole).max(1e-9)).collect()
}

fn distance_mm(seg: &PathSeg, p: Point) -> f64 {
    let mut best = Nearest { at: p, distance_mm: f64::INFINITY, segment: 0, t: 0.0 };
    nearest_on(seg, 0, p, &mut best);
    best.distance_mm
}

/// A cubic with fixed ends and end directions, fitted to two cubics in a row.
struct Fit {
    start: Point,
    end: Point,
    leave: Vec2,
    arrive: Vec2,
    targets: Vec<Point>,
    params: Vec<f64>,
    handles: (f64, f64),
}

impl Fit {
    fn new(a: CubicBez, b: CubicBez, leave: Vec2, arrive: Vec2) -> Self {
        // If the two are halves of one cubic, the speeds on both sides of the cut tell where
        // it was cut, and the first guess is already that cubic.
        let (speed_in, speed_out) = ((a.p3 - a.p2).hypot(), (b.p1 - b.p0).hypot());
        let lengths = (a.p0.distance(a.p3), b.p0.distance(b.p3));
        let guess = speed_in / (speed_in + speed_out);
        let chords = lengths.0 / (lengths.0 + lengths.1);
        let cut = if guess > 1e-6 && guess < 1.0 - 1e-6 { guess } else { chords.clamp(0.01, 0.99) };
        let half = SAMPLES / 2;
        let at = |i: usize| (i as f64 + 0.5) / half as f64;
        let targets = (0..half).map(|i| a.eval(at(i))).chain((0..half).map(|i| b.eval(at(i))));
        let params = (0..half).map(|i| cut * at(i));
        let params = params.chain((0..half).map(|i| cut + (1.0 - cut) * at(i)));
        Self {
            start: a.p0,
            end: b.p3,
            leave,
            arrive,
            targets: targets.collect(),
            params: params.collect(),
            handles: ((a.p1 - a.p0).hypot() / cut, (b.p3 - b.p2).hypot() / (1.0 - cut)),
        }
    }

    /// To many cubics in a row.
    fn through(cubics: &[CubicBez], leave: Vec2, arrive: Vec2) -> Self {
        let shares = shares(cubics);
        let each = (SAMPLES / cubics.len()).max(8);
        let (mut targets, mut params, mut run) = (Vec::new(), Vec::new(), 0.0);
        for (c, share) in cubics.iter().zip(&shares) {
            for i in 0..each {
                let at = (i as f64 + 0.5) / each as f64;
                targets.push(c.eval(at));
                params.push(run + at * share);
            }
            run += share;
        }
        let last = cubics.len() - 1;
        let handles = (
            (cubics[0].p1 - cubics[0].p0).hypot() / shares[0],
            (cubics[last].p3 - cubics[last].p2).hypot() / shares[last],
        );
        let (start, end) = (cubics[0].p0, cubics[last].p3);
        Self { start, end, leave, arrive, targets, params, handles }
    }

    fn curve(&self) -> CubicBez {
        let (out, back) = self.handles;
        CubicBez::new(
            self.start,
            self.start + out * self.leave,
            self.end - back * self.arrive,
            self.end,
        )
    }

    /// Mean squared distance of the samples from the curve at their parameters.
    fn mean_square_error(&self) -> f64 {
        let c = self.curve();
        let all = self.targets.iter().zip(&self.params);
        all.map(|(p, t)| c.eval(*t).distance_squared(*p)).sum::<f64>() / self.targets.len() as f64
    }

    fn best(mut self) -> CubicBez {
        let mut best = (self.mean_square_error(), self.curve());
        for _ in 0..ROUNDS {
            if best.0 < 1e-24 {
                break;
            }
            self.reparametrize();
            let kept = self.handles;
            self.fit_handles();
            if !(self.handles.0 >= 0.0 && self.handles.1 >= 0.0) {
                self.handles = kept;
            }
            let miss = self.mean_square_error();
            if miss < best.0 {
                best = (miss, self.curve());
            }
        }
        best.1
    }

    /// One Newton step of each sample's parameter towards its nearest place.
    fn reparametrize(&mut self) {
        let c = self.curve();
        for (p, t) in self.targets.iter().zip(&mut self.params) {
            let arm = c.eval(*t) - *p;
            let (d1, d2) = segment::derivatives(&c, *t);
            let slope = d1.hypot2() + arm.dot(d2);
            if slope > 0.0 {
                *t = (*t - arm.dot(d1) / slope).clamp(0.0, 1.0);
            }
        }
    }

    /// Both handle lengths by least squares at the present parameters.
    fn fit_handles(&mut self) {
        let (mut aa, mut ab, mut bb, mut ar, mut br) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (p, &t) in self.targets.iter().zip(&self.params) {
            let s = 1.0 - t;
            let (w1, w2) = (3.0 * s * s * t, 3.0 * s * t * t);
            let base =
                (s * s * s + w1) * self.start.to_vec2() + (t * t * t + w2) * self.end.to_vec2();
            let rest = p.to_vec2() - base;
            let (u, v) = (w1 * self.leave, -w2 * self.arrive);
            aa += u.dot(u);
            ab += u.dot(v);
            bb += v.dot(v);
            ar += u.dot(rest);
            br += v.dot(rest);
        }
        let det = aa * bb - ab * ab;
        if det.abs() > 1e-14 * aa * bb {
            self.handles = ((ar * bb - br * ab) / det, (br * aa - ar * ab) / det);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leaf() -> Outline {
        Outline::new(vec![
            PathSeg::Cubic(CubicBez::new((0., 0.), (10., -12.), (30., -8.), (50., 0.))),
            PathSeg::Cubic(CubicBez::new((50., 0.), (30., 14.), (12., 6.), (0., 0.))),
        ])
        .unwrap()
    }

    #[test]
    fn splitting_and_joining_gives_the_curve_back() {
        for t in [0.02, 0.3, 0.5, 0.97] {
            let split = leaf().split_at(0, t);
            assert_eq!(split.segs().len(), 3);
            let back = split.without_node(1);
            for (a, b) in back.segs().iter().zip(leaf().segs()) {
                let (a, b) = (segment::cubic(a), segment::cubic(b));
                assert!(a.p1.distance(b.p1) < 1e-6 && a.p2.distance(b.p2) < 1e-6, "{t}");
            }
        }
        assert_eq!(leaf().split_at(0, 0.0), leaf());
        assert_eq!(leaf().split_at(7, 0.5), leaf());
    }

    #[test]
    fn joining_arcs_stays_near() {
        let disc =
            Outline::from_path(&kurbo::Shape::to_path(&kurbo::Circle::new((0., 0.), 10.), 1e-9))
                .unwrap();
        let count = disc.segs().len();
        for node in 0..count {
            let fewer = disc.without_node(node);
            assert_eq!(fewer.segs().len(), count - 1);
            let worst = disc.nodes().map(|p| fewer.nearest(p).distance_mm).fold(0.0, f64::max);
            assert!(worst < 0.01, "{worst}");
        }
    }
}
