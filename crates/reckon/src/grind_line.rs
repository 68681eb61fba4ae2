//! The line up to which a bevel goes, where it isn't the parallel of the edge.

use crate::ProfileFigures;
use crate::profile::end_tangent;
use kurbo::{BezPath, Line, ParamCurve, ParamCurveExtrema as _, PathSeg, Point, Rect, Vec2};
use outline::Polyline;

/// So often a segment is halved to find what of it lies near the blade: one of 20 km, the longest
/// between two places, is a hundredth of a millimetre long then.
const HALVINGS: usize = 30;

/// A smooth curve through points, in the order from the tip to the plunge: between two points a
/// cubic whose slopes at both are those of the parabolas through them and their neighbours.
/// `None` with fewer than two places.
pub(crate) fn through(points: &[Point], towards_butt: f64) -> Option<BezPath> {
    let mut points = points.to_vec();
    points.sort_by(|a, b| (a.x * towards_butt).total_cmp(&(b.x * towards_butt)));
    points.dedup_by(|a, b| a.distance(*b) < 1e-6);
    if points.len() < 2 {
        return None;
    }
    let slopes: Vec<Vec2> = (0..points.len()).map(|i| slope(&points, i)).collect();
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for i in 1..points.len() {
        let third = points[i - 1].distance(points[i]) / 3.0;
        let (out, into) = (slopes[i - 1] * third, slopes[i] * third);
        path.curve_to(points[i - 1] + out, points[i] - into, points[i]);
    }
    Some(path)
}

/// Way along the curve at a point for each mm of chord: that of the parabola through it and its
/// neighbours, at the ends towards the one neighbour.
fn slope(points: &[Point], i: usize) -> Vec2 {
    let step = |from: usize| {
        let direction = points[from + 1] - points[from];
        (direction / direction.hypot(), direction.hypot())
    };
    match (i, points.len() - 1) {
        (0, _) => step(0).0,
        (i, last) if i == last => step(last - 1).0,
        (i, _) => {
            let ((before, a), (after, b)) = (step(i - 1), step(i));
            (before * b + after * a) / (a + b)
        }
    }
}

/// The curve as a run that goes straight on past both ends, along its tangents there, so that
/// every place of the blade has its nearest place on it. What of the curve lies farther than
/// `past_mm` from the blade is straight.
pub(crate) fn run_past(
    path: &BezPath,
    blade: Rect,
    past_mm: f64,
    near_mm: f64,
) -> Option<Polyline> {
    let near_blade = blade.inflate(past_mm, past_mm);
    let segs = path.segments().flat_map(|seg| straight_outside(seg, near_blade, HALVINGS));
    let segs: Vec<PathSeg> = segs.collect();
    let (first, last) = (*segs.first()?, *segs.last()?);
    let front = first.start() + end_tangent(first.reverse()) * past_mm;
    let back = last.end() + end_tangent(last) * past_mm;
    let before = PathSeg::Line(Line::new(front, first.start()));
    let after = PathSeg::Line(Line::new(last.end(), back));
    let all: Vec<PathSeg> = std::iter::once(before).chain(segs).chain([after]).collect();
    Polyline::new(&all, near_mm)
}

/// The segment, its parts outside a window as straight lines, however far they go.
fn straight_outside(seg: PathSeg, window: Rect, halvings: usize) -> Vec<PathSeg> {
    let bounds = seg.bounding_box();
    if !bounds.overlaps(window) {
        return vec![PathSeg::Line(Line::new(seg.start(), seg.end()))];
    }
    let is_short = bounds.width().max(bounds.height()) < 4.0 * window.width().max(window.height());
    if is_short || halvings == 0 {
        return vec![seg];
    }
    let (front, back) = seg.subdivide();
    let mut parts = straight_outside(front, window, halvings - 1);
    parts.extend(straight_outside(back, window, halvings - 1));
    parts
}

/// The spine from the tip back to a station.
pub(crate) fn spine(profile: &ProfileFigures, until_x_mm: f64) -> Vec<PathSeg> {
    let Some(edge) = &profile.edge else { return Vec::new() };
    let mut spine = Vec::new();
    for seg in &edge.away {
        match first_at(*seg, until_x_mm) {
            Some(t) => {
                spine.push(seg.subsegment(0.0..t));
                break;
            }
            None => spine.push(*seg),
        }
    }
    spine.retain(|seg| seg.start() != seg.end());
    spine
}

/// The first parameter at which a segment crosses a station.
fn first_at(seg: PathSeg, x_mm: f64) -> Option<f64> {
    let far = 1e8;
    let line = Line::new((x_mm, -far), (x_mm, far));
    seg.intersect_line(line).iter().map(|hit| hit.segment_t).min_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, reckoned};
    use kurbo::ParamCurveNearest as _;

    #[test]
    fn the_curve_goes_through_its_points_without_a_corner() {
        let points = [(0.0, 0.0), (10.0, 4.0), (30.0, 6.0), (40.0, 2.0)].map(Point::from);
        let path = through(&points, 1.0).unwrap();
        let segs: Vec<PathSeg> = path.segments().collect();
        assert_eq!(segs.len(), 3);
        for pair in segs.windows(2) {
            let before = (pair[0].end() - pair[0].eval(0.9999)).normalize();
            let after = (pair[1].eval(0.0001) - pair[1].start()).normalize();
            assert!((before - after).hypot() < 1e-3);
        }
        for p in points {
            let off = segs.iter().map(|seg| seg.nearest(p, 1e-9).distance_sq);
            assert!(off.fold(f64::INFINITY, f64::min) < 1e-18);
        }
        // Given the other way round it is the same curve; on a knife lying the other way, too.
        let back: Vec<Point> = points.iter().rev().copied().collect();
        assert_eq!(through(&back, 1.0).unwrap(), path);
        assert!(through(&points[..1], 1.0).is_none());
    }

    /// On a straight line of points the curve is that line.
    #[test]
    fn points_on_a_line_give_the_line() {
        let points = [(0.0, 0.0), (3.0, 1.5), (20.0, 10.0)].map(Point::from);
        let path = through(&points, 1.0).unwrap();
        for seg in path.segments() {
            for i in 0..=8 {
                let p = seg.eval(f64::from(i) / 8.0);
                assert!((p.y - p.x / 2.0).abs() < 1e-12);
            }
        }
    }

    /// A line with points kilometres away took gigabytes; near the blade it is the same line.
    #[test]
    fn what_lies_far_from_the_blade_is_straight() {
        let blade = Rect::new(0.0, -20.0, 200.0, 20.0);
        let far = [(50.0, -5.0), (1e7, 1e7), (100.0, -5.0)].map(Point::from);
        let path = through(&far, 1.0).unwrap();
        let run = run_past(&path, blade, 200.0, 0.01).unwrap();
        assert!(run.points().len() < 5000, "{}", run.points().len());
        for seg in path.segments() {
            for i in 0..=2000 {
                let p = seg.eval((f64::from(i) / 2000.0).powi(8));
                if blade.inflate(100.0, 100.0).contains(p) {
                    assert!(run.distance(p) < 0.011, "{p} {}", run.distance(p));
                }
            }
        }
        let near = through(&[(0.0, 0.0), (60.0, 9.0), (90.0, 12.0)].map(Point::from), 1.0).unwrap();
        let all: Vec<PathSeg> = near.segments().collect();
        let whole = Polyline::new(&all, 0.01).unwrap();
        let run = run_past(&near, blade, 200.0, 0.01).unwrap();
        assert_eq!(run.points()[1..run.points().len() - 1], *whole.points());
    }

    /// The sample blank: 200 × 30 mm, tip at the lower left, spine at y = 15.
    #[test]
    fn the_spine_goes_from_the_tip_to_the_station() {
        let reckoning = reckoned(&blank());
        let spine = spine(reckoning.profile.as_ref().unwrap(), 60.0);
        assert_eq!(spine.first().unwrap().start(), Point::new(0.0, -15.0));
        let end = spine.last().unwrap().end();
        assert!((end - Point::new(60.0, 15.0)).hypot() < 1e-9, "{end:?}");
    }
}
