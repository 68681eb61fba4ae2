//! The largest circle that lies inside an outline.

use crate::box_tree::{BoxTree, ray_meets};
use crate::crossing::{each_passage, windings};
use crate::nearest::{Nearest, nearest_on};
use crate::outline::Outline;
use crate::segment::{box_distance_sq, control_box};
use crate::tolerance::CIRCLE_MM;
use kurbo::{Circle, ParamCurve, Point, Vec2};
use std::cell::Cell;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// No more segments than this are looked at in all: hundreds of times what an outline of ten
/// thousand nodes takes, and an end in about a second for one that crosses itself everywhere.
const MAX_EVALUATIONS: usize = 3_000_000;

impl Outline {
    /// The largest circle that lies inside, its radius within 1e-3 mm of the greatest possible
    /// (never beyond it). Where several are as large, one of them; an outline without area
    /// gives radius 0. One that crosses itself thousands of times may be given up on early,
    /// with a circle that lies inside but might grow.
    ///
    /// Squares are halved where they promise most. What a square promises follows from the
    /// outline's places around it: their distances, weighted so that the first-order terms
    /// cancel, bound the distance to the outline from every point of the square to second
    /// order in its size.
    pub fn largest_circle(&self) -> Circle {
        let field = DistanceField::new(self);
        let bounds = self.bounds();
        let side = bounds.width().min(bounds.height());
        let mut best = Circle::new(self.segs()[0].start(), 0.0);
        let half = 0.25 * side.max(bounds.width().max(bounds.height()) / 64.0);
        if side <= 0.0 || !half.is_finite() {
            return best;
        }
        let mut heap = BinaryHeap::new();
        let (nx, ny) = (
            (bounds.width() / (2.0 * half)).ceil() as usize,
            (bounds.height() / (2.0 * half)).ceil() as usize,
        );
        for i in 0..nx * ny {
            let step = Vec2::new((2 * (i % nx) + 1) as f64, (2 * (i / nx) + 1) as f64);
            let at = bounds.origin() + half * step;
            heap.extend(field.square(at, half, None, &mut best));
        }
        while let Some(top) = heap.pop() {
            if field.evaluations.get() > MAX_EVALUATIONS || top.promise <= best.radius + CIRCLE_MM {
                break;
            }
            let h = 0.5 * top.half;
            for (dx, dy) in [(-h, -h), (h, -h), (-h, h), (h, h)] {
                let next = field.square(top.at + Vec2::new(dx, dy), h, Some(&top), &mut best);
                heap.extend(next.filter(|s| s.promise > best.radius + CIRCLE_MM));
            }
        }
        best
    }
}

/// A square and the most that a circle centred in it can have as radius.
struct SearchCell {
    at: Point,
    half: f64,
    promise: f64,
    inside: bool,
    distance_mm: f64,
    places: Vec<Point>,
}

/// The outline's distance field.
struct DistanceField<'a> {
    outline: &'a Outline,
    tree: BoxTree,
    evaluations: Cell<usize>,
}

impl<'a> DistanceField<'a> {
    fn new(outline: &'a Outline) -> Self {
        let tree = BoxTree::new(outline.segs().iter().map(control_box));
        Self { outline, tree, evaluations: Cell::new(0) }
    }

    /// The square of half side `half` around `at`, part of `whole` if that is given, unless no
    /// centre in it can be any good.
    fn square(
        &self,
        at: Point,
        half: f64,
        whole: Option<&SearchCell>,
        best: &mut Circle,
    ) -> Option<SearchCell> {
        let known = whole.map_or(&[][..], |w| &w.places);
        let near = self.nearest(at, known);
        let distance_mm = near.distance(at);
        let rho = half * std::f64::consts::SQRT_2;
        // Where the outline is farther off than the square's middle, nothing has changed.
        let same = whole.filter(|w| w.at.distance(at) < w.distance_mm);
        let inside = same.map_or_else(|| self.contains(at), |w| w.inside);
        if !inside {
            let (promise, places) = (rho - distance_mm, known.to_vec());
            return (promise > 0.0).then_some(SearchCell {
                at,
                half,
                promise,
                inside,
                distance_mm,
                places,
            });
        }
        if distance_mm > best.radius {
            *best = Circle::new(at, distance_mm);
        }
        let mut places = vec![near];
        if let Some(far) = self.opposite(at, near) {
            places.push(far);
            self.climb(near.midpoint(far), 0.5 * near.distance(far), best);
        }
        places.extend(known.iter().take(4).filter(|p| **p != near));
        Some(SearchCell {
            at,
            half,
            promise: promise(at, rho, &places),
            inside,
            distance_mm,
            places,
        })
    }

    /// Tries the middle of a chord, which can't do better than half the chord.
    fn climb(&self, at: Point, half_chord: f64, best: &mut Circle) {
        if half_chord > best.radius {
            let distance_mm = self.nearest(at, &[]).distance(at);
            if distance_mm > best.radius && self.contains(at) {
                *best = Circle::new(at, distance_mm);
            }
        }
    }

    /// The nearest place of the outline to `p`, given some of its places.
    fn nearest(&self, p: Point, known: &[Point]) -> Point {
        let start = self.outline.segs()[0].start();
        let nearer = |a: Point, b: &Point| if a.distance(p) <= b.distance(p) { a } else { *b };
        let at = known.iter().fold(start, nearer);
        let mut best = Nearest { at, distance_mm: at.distance(p), segment: 0, t: 0.0 };
        let min = -best.distance_mm * best.distance_mm;
        let visit = |i: usize| {
            self.evaluations.set(self.evaluations.get() + 1);
            nearest_on(&self.outline.segs()[i], i, p, &mut best);
            -best.distance_mm * best.distance_mm
        };
        self.tree.visit_best_first(min, |r| -box_distance_sq(r, p), visit);
        best.at
    }

    fn contains(&self, p: Point) -> bool {
        let mut turns = 0;
        let test = |r: &kurbo::Rect| r.y0 <= p.y && r.y1 >= p.y && r.x1 >= p.x;
        self.tree.each(test, |i| {
            self.evaluations.set(self.evaluations.get() + 1);
            turns += windings(&self.outline.segs()[i], p);
        });
        turns != 0
    }

    /// The first place of the outline from `p` straight away from `from`.
    fn opposite(&self, p: Point, from: Point) -> Option<Point> {
        let along = (p - from).normalize();
        if !along.is_finite() {
            return None;
        }
        let mut first: Option<(f64, Point)> = None;
        self.tree.each(
            |r| ray_meets(r, p, along),
            |i| {
                self.evaluations.set(self.evaluations.get() + 1);
                let seg = &self.outline.segs()[i];
                each_passage(seg, p, along, &mut |t, _| {
                    let at = seg.eval(t);
                    let delta = along.dot(at - p);
                    if delta > 0.0 && first.is_none_or(|f| delta < f.0) {
                        first = Some((delta, at));
                    }
                });
            },
        );
        first.map(|f| f.1)
    }
}

/// The most that the distance to all of `places` can be anywhere within `rho` of `at`.
///
/// For weights w summing to 1, least |x − f|² ≤ Σ w|x − f|² ≤ Σ w d² + 2ρ|Σ w v| + ρ² with
/// v = at − f, d = |v|.
fn promise(at: Point, rho: f64, places: &[Point]) -> f64 {
    let arms: Vec<Vec2> = places.iter().map(|f| at - *f).collect();
    let bound = |weighted: Vec2, squares: f64| squares + 2.0 * rho * weighted.hypot() + rho * rho;
    let mut min = f64::INFINITY;
    for (i, a) in arms.iter().enumerate() {
        min = min.min(bound(*a, a.hypot2()));
        for (j, b) in arms.iter().enumerate().skip(i + 1) {
            let delta = *b - *a;
            let w = (-a.dot(delta) / delta.hypot2()).clamp(0.0, 1.0);
            if w.is_finite() {
                min = min.min(bound(*a + w * delta, (1.0 - w) * a.hypot2() + w * b.hypot2()));
            }
            for c in arms.iter().skip(j + 1) {
                let whole = a.cross(*b) + b.cross(*c) + c.cross(*a);
                let w = [b.cross(*c) / whole, c.cross(*a) / whole, a.cross(*b) / whole];
                if w.iter().all(|w| *w >= 0.0) {
                    let squares = w[0] * a.hypot2() + w[1] * b.hypot2() + w[2] * c.hypot2();
                    min = min.min(bound(Vec2::ZERO, squares));
                }
            }
        }
    }
    min.sqrt()
}

impl PartialEq for SearchCell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for SearchCell {}

impl PartialOrd for SearchCell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for SearchCell {
    fn cmp(&self, other: &Self) -> Ordering {
        self.promise.total_cmp(&other.promise)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_circles() {
        let plate =
            Outline::polygon(&[(0., 0.), (200., 0.), (200., 25.), (0., 25.)].map(Point::from))
                .unwrap();
        assert!((plate.largest_circle().radius - 12.5).abs() <= CIRCLE_MM);
        // Incircle of the 3-4-5 triangle: radius 1, centre (1, 1).
        let tri = Outline::polygon(&[(0., 0.), (4., 0.), (0., 3.)].map(Point::from)).unwrap();
        let c = tri.largest_circle();
        assert!((c.radius - 1.0).abs() <= CIRCLE_MM, "{c:?}");
        assert!(c.center.distance(Point::new(1., 1.)) < 0.01);
        let line = Outline::polygon(&[(0., 0.), (3., 4.)].map(Point::from)).unwrap();
        assert!(line.largest_circle().radius < 1e-9);
    }
}
