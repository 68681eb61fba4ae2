//! The upper side of the convex hull.

use kurbo::Point;

/// The corners of the upper side of the hull of points that come from left to right (Andrew's
/// monotone chain, 1979).
pub(super) fn upper_side(points: impl IntoIterator<Item = Point>) -> Vec<Point> {
    let mut hull: Vec<Point> = Vec::new();
    for p in points {
        while hull.len() > 1 {
            let (a, b) = (hull[hull.len() - 2], hull[hull.len() - 1]);
            if (b - a).cross(p - a) < 0.0 {
                break;
            }
            hull.pop();
        }
        hull.push(p);
    }
    hull
}
