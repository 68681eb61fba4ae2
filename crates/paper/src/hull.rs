//! What a drawing takes up: points all around its marks, and their convex hull.

use kurbo::{
    BezPath, CubicBez, Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point, Rect, Shape,
    Vec2, flatten,
};
use marks::{Drawing, Mark, lettering};

/// Half the widest line plus the flattening error, mm: marks lie no further outside their points.
pub(crate) const PAD_MM: f64 = 0.3;

/// How far a flattened curve may be off, mm.
const FLAT_MM: f64 = 0.05;

/// Points whose convex hull, widened by [`PAD_MM`], holds every mark and label box. Of very many
/// marks those that lie well inside the others' hull are left out.
pub(crate) fn points(drawing: &Drawing) -> Vec<Point> {
    let marks = drawing.items.iter().map(|item| &item.mark);
    let mut points = Vec::new();
    if drawing.items.len() <= MANY {
        marks.for_each(|mark| of_mark(mark, &mut points));
        return points;
    }
    let on: Vec<Point> = marks.clone().filter_map(any_point).collect();
    let inner = Inner::of(&on);
    for mark in marks {
        let corners = mark_bounds(mark)
            .map(|own| [(own.x0, own.y0), (own.x0, own.y1), (own.x1, own.y0), (own.x1, own.y1)]);
        if !corners.is_some_and(|all| all.into_iter().all(|p| inner.holds(p.into()))) {
            of_mark(mark, &mut points);
        }
    }
    points.extend(inner.corners);
    points
}

/// A point in the hull of a mark; `None` where it shows nothing.
fn any_point(mark: &Mark) -> Option<Point> {
    match mark {
        Mark::Path(path) | Mark::Fill(path) => path.elements().first()?.end_point(),
        Mark::Circle(circle) => Some(circle.center),
        Mark::Text(label) => lettering::corners(label).into_iter().next(),
    }
}

/// The box of a drawing's points; `None` where it shows nothing.
pub(crate) fn drawing_bounds(drawing: &Drawing) -> Option<Rect> {
    drawing.items.iter().filter_map(|item| mark_bounds(&item.mark)).reduce(|a, b| a.union(b))
}

/// The upright box that holds all of a drawing's ink and its labels, mm; `None` for an empty
/// drawing. With some white around it this is the window for [`svg`](crate::svg()) and
/// [`png`](crate::png()).
pub fn extent(drawing: &Drawing) -> Option<Rect> {
    drawing_bounds(drawing).map(|own| own.inflate(PAD_MM, PAD_MM))
}

/// The box of one mark or label: that of its points, for which only curves that reach out of the
/// others' box are flattened.
pub(crate) fn mark_bounds(mark: &Mark) -> Option<Rect> {
    let path = match mark {
        Mark::Circle(circle) => return Some(circle.bounding_box()),
        Mark::Text(label) => return bounds(&lettering::corners(label)),
        Mark::Path(path) | Mark::Fill(path) => path,
    };
    let mut ends = path.elements().iter().filter_map(PathEl::end_point);
    let first = ends.next()?;
    let mut all = ends.fold(Rect::from_points(first, first), |all, p| all.union_pt(p));
    for seg in path.segments() {
        let bends: &[Point] = match &seg {
            PathSeg::Line(_) => &[],
            PathSeg::Quad(quad) => &[quad.p1],
            PathSeg::Cubic(cubic) => &[cubic.p1, cubic.p2],
        };
        if bends.iter().all(|p| all.contains(*p)) || all.contains_rect(seg.bounding_box()) {
            continue;
        }
        let mut points = Vec::new();
        along(&seg.to_path(FLAT_MM), &mut points);
        all = points.into_iter().fold(all, |all, p| all.union_pt(p));
    }
    Some(all)
}

fn of_mark(mark: &Mark, points: &mut Vec<Point>) {
    match mark {
        Mark::Path(path) | Mark::Fill(path) if path.elements().len() > MANY => {
            outermost(path, points);
        }
        Mark::Path(path) | Mark::Fill(path) => along(path, points),
        Mark::Circle(circle) => {
            // The square-cornered ring of 16 tangents lies outside the circle.
            let radius = circle.radius / (std::f64::consts::PI / 16.0).cos();
            points.extend((0..16).map(|k| {
                let turn = std::f64::consts::PI * (f64::from(k) + 0.5) / 8.0;
                circle.center + radius * Vec2::from_angle(turn)
            }));
        }
        Mark::Text(label) => points.extend(lettering::corners(label)),
    }
}

/// The corners of a path flattened, a closing line's end among them.
pub(crate) fn along(path: &BezPath, points: &mut Vec<Point>) {
    let mut start = None;
    flatten(path, FLAT_MM, |element| match element {
        PathEl::MoveTo(p) => {
            start = Some(p);
            points.push(p);
        }
        PathEl::LineTo(p) => points.push(p),
        PathEl::ClosePath => points.extend(start),
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
}

/// Of paths of more elements than this only what reaches outermost is looked at closely: a drawing
/// is looked at for every layout that is tried.
const MANY: usize = 1_000;
/// The hull of the points that lie farthest in so many directions tells what can't be outermost.
const DIRECTIONS: u32 = 32;
/// About so many points are looked at for it.
const SAMPLES: usize = 1_000;
/// A curve is halved so often before what still reaches out of that hull is flattened.
const HALVINGS: u32 = 3;

/// As [`along`], less what lies inside the convex hull of the rest.
fn outermost(path: &BezPath, points: &mut Vec<Point>) {
    // A path's lone points are no segments.
    let mut on: Vec<Point> = path.elements().iter().filter_map(PathEl::end_point).collect();
    let bends = |seg: PathSeg| match seg {
        PathSeg::Line(_) => None,
        curve => Some(curve.to_cubic()).filter(|curve| !is_flat(curve)),
    };
    for curve in path.segments().filter_map(bends) {
        on.extend([0.25, 0.5, 0.75].map(|t| curve.eval(t)));
    }
    let inner = Inner::of(&on);
    let within = |p: &Point| inner.holds(*p);
    points.extend(on.into_iter().filter(|p| !within(p)));
    points.extend(&inner.corners);
    let mut curves: Vec<(CubicBez, u32)> =
        path.segments().filter_map(bends).map(|curve| (curve, 0)).collect();
    while let Some((curve, halvings)) = curves.pop() {
        if [curve.p0, curve.p1, curve.p2, curve.p3].iter().all(within) {
            continue;
        }
        if is_flat(&curve) {
            points.extend([curve.p0, curve.p3]);
        } else if halvings < HALVINGS {
            let (first, second) = curve.subdivide();
            curves.extend([(first, halvings + 1), (second, halvings + 1)]);
        } else {
            along(&PathSeg::Cubic(curve).to_path(FLAT_MM), points);
        }
    }
}

/// Whether a curve lies no farther than a flattened one from the line between its ends.
fn is_flat(curve: &CubicBez) -> bool {
    let chord = Line::new(curve.p0, curve.p3);
    [curve.p1, curve.p2].iter().all(|p| chord.nearest(*p, 0.0).distance_sq <= FLAT_MM * FLAT_MM)
}

/// The hull of those of some points that lie farthest in each of [`DIRECTIONS`]: what lies in it is
/// never outermost.
struct Inner {
    corners: Vec<Point>,
    /// The largest circle around the middle of its corners that lies in it: middle, and radius
    /// squared.
    disc: (Point, f64),
}

impl Inner {
    /// Of very many points one in so many tells as well what lies far inside.
    fn of(points: &[Point]) -> Self {
        let stride = (points.len() / SAMPLES) | 1;
        let Some(first) = points.first() else {
            return Self { corners: Vec::new(), disc: (Point::ORIGIN, 0.0) };
        };
        let turn = |k| f64::from(k) * std::f64::consts::TAU / f64::from(DIRECTIONS);
        // Half of the directions are the other half's opposites.
        let farthest = |k| {
            let along = Vec2::from_angle(turn(k));
            let (mut near, mut far) = ((f64::MAX, *first), (f64::MIN, *first));
            for p in points.iter().step_by(stride) {
                let at = along.dot(p.to_vec2());
                if at < near.0 {
                    near = (at, *p);
                }
                if at > far.0 {
                    far = (at, *p);
                }
            }
            [near.1, far.1]
        };
        let corners = hull((0..DIRECTIONS / 2).flat_map(farthest).collect());
        let sides = corners.iter().zip(corners.iter().cycle().skip(1));
        let middle = corners.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
        let middle = (middle / corners.len() as f64).to_point();
        let reach = |(a, b): (&Point, &Point)| (*b - *a).cross(middle - *a) / a.distance(*b);
        let radius = sides.map(reach).fold(f64::INFINITY, f64::min);
        let is_round = corners.len() > 2 && radius.is_finite();
        let disc = (middle, if is_round { radius.max(0.0).powi(2) } else { 0.0 });
        Self { corners, disc }
    }

    /// Whether a point lies in it. Nothing lies in a line.
    fn holds(&self, p: Point) -> bool {
        if (p - self.disc.0).hypot2() < self.disc.1 {
            return true;
        }
        let [first, fan @ ..] = &self.corners[..] else { return false };
        let left = |from: &Point, to: &Point| (*to - *from).cross(p - *from) >= 0.0;
        // Between which two of the lines from the first corner, then on which side of their ends'.
        let at = fan.partition_point(|corner| left(first, corner));
        let ends = at.checked_sub(1).map(|low| &fan[low]).zip(fan.get(at));
        ends.is_some_and(|(low, high)| left(low, high))
    }
}

/// More points than this are thinned before they are sorted.
const MANY_POINTS: usize = 20_000;

/// The convex hull, counter-clockwise (Andrew's monotone chain).
pub(crate) fn hull(mut points: Vec<Point>) -> Vec<Point> {
    if points.len() > MANY_POINTS {
        let inner = Inner::of(&points);
        points.retain(|p| !inner.holds(*p));
        points.extend(inner.corners);
    }
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut lower = chain(points.iter());
    let mut upper = chain(points.iter().rev());
    lower.pop();
    upper.pop();
    lower.extend(upper);
    lower
}

fn chain<'a>(points: impl Iterator<Item = &'a Point>) -> Vec<Point> {
    let mut chain: Vec<Point> = Vec::new();
    for &p in points {
        while let [.., a, b] = chain[..]
            && (b - a).cross(p - b) <= 0.0
        {
            chain.pop();
        }
        chain.push(p);
    }
    chain
}

/// The upright box around points; `None` for none.
pub(crate) fn bounds(points: &[Point]) -> Option<Rect> {
    let first = *points.first()?;
    Some(points.iter().fold(Rect::from_points(first, first), |all, p| all.union_pt(*p)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, ParamCurve, Shape};
    use marks::Pen;
    use proptest::prelude::*;

    #[test]
    fn a_circle_and_a_curve_lie_in_their_points_hull() {
        let mut drawing = Drawing::new();
        let circle = Circle::new((3.0, 4.0), 20.0);
        drawing.add(Pen::Hole, Mark::Circle(circle));
        let hull = hull(points(&drawing));
        for p in circle.to_path(1e-6).segments().map(|s| s.start()) {
            for (a, b) in hull.iter().zip(hull.iter().cycle().skip(1)) {
                assert!((*b - *a).cross(p - *a) > -1e-9);
            }
        }
    }

    #[test]
    fn an_extent_holds_labels_too() {
        let mut drawing = Drawing::new();
        assert_eq!(extent(&drawing), None);
        drawing.line(Pen::Cut, Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        drawing.text(Pen::Lettering, marks::Label::new("wide", Point::new(9.0, 0.0), 5.0));
        let rect = extent(&drawing).unwrap();
        assert!(rect.x1 > 20.0 && rect.y1 > 5.0 && rect.x0 < 0.0 && rect.x0 > -1.0);
    }

    // Flattening every curve is the reference.
    #[test]
    fn of_a_long_path_the_outermost_points_have_the_same_hull() {
        for handle in [0.0, 3.0, 60.0] {
            let mut path = BezPath::new();
            path.move_to((50.0, 0.0));
            for i in 1..=2_000_u32 {
                let at = |turn: f64| Point::ORIGIN + 50.0 * Vec2::from_angle(turn / 318.0);
                let off = |turn: f64| handle * Vec2::from_angle(turn);
                let (i, to) = (f64::from(i), at(f64::from(i)));
                path.curve_to(at(i - 1.0) + off(i * i), to + off(i * 7.0), to);
            }
            let mut every = Vec::new();
            along(&path, &mut every);
            let mut drawing = Drawing::new();
            drawing.add(Pen::Cut, Mark::Path(path));
            let few = points(&drawing);
            let count = every.len();
            let (few_hull, all) = (hull(few.clone()), hull(every));
            // Of a ring every corner is outermost, and its small bumps are halved.
            let max = if handle > 50.0 { count } else { 3 * count };
            assert!(few.len() <= max, "{handle}: {} of {count}", few.len());
            for (hull, other) in [(&few_hull, &all), (&all, &few_hull)] {
                for (a, b) in hull.iter().zip(hull.iter().cycle().skip(1)) {
                    let side = (*b - *a).normalize();
                    let off = other.iter().map(|p| -side.cross(*p - *a)).fold(0.0, f64::max);
                    // Each is flattened, and kurbo's estimate of how far off that is isn't strict.
                    assert!(off < 2.0 * FLAT_MM, "{handle}: {off} mm");
                }
            }
        }
    }

    proptest! {
        #[test]
        fn every_point_lies_in_the_hull(
            raw in proptest::collection::vec((-50.0..50.0f64, -50.0..50.0f64), 3..40)
        ) {
            let points: Vec<Point> = raw.into_iter().map(Point::from).collect();
            let hull = hull(points.clone());
            for p in points {
                for (a, b) in hull.iter().zip(hull.iter().cycle().skip(1)) {
                    prop_assert!((*b - *a).cross(p - *a) > -1e-6);
                }
            }
        }
    }

    proptest! {
        /// What is asked by halves is what every side says.
        #[test]
        fn a_point_lies_in_the_inner_hull_when_it_lies_left_of_every_side(
            points in prop::collection::vec((-9.0..9.0f64, -9.0..9.0f64), 0..40),
            asked in prop::collection::vec((-12.0..12.0f64, -12.0..12.0f64), 1..40),
        ) {
            let points: Vec<Point> = points.into_iter().map(Point::from).collect();
            let inner = Inner::of(&points);
            let corners = &inner.corners;
            for p in asked.into_iter().map(Point::from).chain(points.iter().copied()) {
                let mut sides = corners.iter().zip(corners.iter().cycle().skip(1));
                let depth = |(a, b): (&Point, &Point)| (*b - *a).cross(p - *a);
                let min_depth = sides.clone().map(depth).fold(f64::INFINITY, f64::min);
                if corners.len() < 3 {
                    prop_assert!(!inner.holds(p));
                } else if min_depth.abs() > 1e-9 {
                    prop_assert_eq!(inner.holds(p), sides.all(|side| depth(side) >= 0.0));
                }
            }
        }
    }
}
