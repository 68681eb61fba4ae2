//! The convex hull, and the hollows between an outline and its hull.

use crate::Outline;
use kurbo::Point;

/// The tolerance of the polygon by which hulls are found, mm.
const HULL_MM: f64 = 0.005;

/// A hollow: what lies between an outline and one side of its hull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concavity {
    /// Where its mouth begins, going round the hull counter-clockwise.
    pub from: Point,
    /// Where its mouth ends.
    pub to: Point,
    /// The place of the outline that lies deepest.
    pub deepest: Point,
    /// How deep that is, square to the mouth, mm.
    pub depth_mm: f64,
}

impl Outline {
    /// The points of the convex hull, counter-clockwise, within 0.005 mm; those along a straight
    /// side of it are told too.
    pub fn hull(&self) -> Vec<Point> {
        let points = self.polyline(HULL_MM);
        hull_of(&points).into_iter().map(|i| points[i]).collect()
    }

    /// The hollows deeper than `min_mm`, counter-clockwise round the hull.
    pub fn concavities(&self, min_mm: f64) -> Vec<Concavity> {
        let mut points = self.polyline(HULL_MM);
        if self.signed_area() < 0.0 {
            points.reverse();
        }
        let n = points.len();
        let mut corners = hull_of(&points);
        // In the order of the outline; for a plain ring that is the hull's own.
        corners.sort_unstable();
        let mut hollows = Vec::new();
        for (k, &a) in corners.iter().enumerate() {
            let b = corners[(k + 1) % corners.len()];
            let (from, to) = (points[a], points[b]);
            let delta = to - from;
            if delta.hypot() <= 0.0 {
                continue;
            }
            let inward = delta.normalize().turn_90();
            let between = (1..(b + n - a) % n).map(|i| points[(a + i) % n]);
            let depth = |p: Point| (p - from).dot(inward);
            if let Some(deepest) = between.max_by(|p, q| depth(*p).total_cmp(&depth(*q)))
                && depth(deepest) > min_mm
            {
                hollows.push(Concavity { from, to, deepest, depth_mm: depth(deepest) });
            }
        }
        hollows
    }

    /// The outline as a polygon: corners on it, sides within `tolerance_mm` of it, the first
    /// not told again at the end.
    pub fn polyline(&self, tolerance_mm: f64) -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        kurbo::flatten(self.to_path().iter(), tolerance_mm, |el| {
            if let Some(p) = el.end_point()
                && points.last() != Some(&p)
            {
                points.push(p);
            }
        });
        if points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        points
    }
}

/// Indices of the points on the convex hull, counter-clockwise from the leftmost.
pub(crate) fn hull_of(points: &[Point]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    let key = |i: &usize| points[*i];
    order.sort_by(|a, b| {
        key(a).x.total_cmp(&key(b).x).then(key(a).y.total_cmp(&key(b).y)).then(a.cmp(b))
    });
    order.dedup_by(|a, b| points[*a] == points[*b]);
    let half = |order: &mut dyn Iterator<Item = &usize>| {
        let mut chain: Vec<usize> = Vec::new();
        for &i in order {
            while let [.., a, b] = chain[..]
                && (points[b] - points[a]).cross(points[i] - points[a]) < 0.0
            {
                chain.pop();
            }
            chain.push(i);
        }
        chain
    };
    let mut hull = half(&mut order.iter());
    let mut upper = half(&mut order.iter().rev());
    hull.pop();
    upper.pop();
    hull.extend(upper);
    hull
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bite_out_of_a_plate_is_a_hollow() {
        let path = kurbo::BezPath::from_svg(
            "M0 0 L20 0 C 20 4 24 8 30 8 C 36 8 40 4 40 0 L60 0 L60 20 L0 20 Z",
        );
        let plate = Outline::from_path(&path.unwrap()).unwrap();
        for plate in [plate.clone(), plate.reversed()] {
            let hollows = plate.concavities(1.0);
            assert_eq!(hollows.len(), 1);
            assert!((hollows[0].depth_mm - 8.0).abs() < 0.01);
            assert!(hollows[0].deepest.distance(Point::new(30.0, 8.0)) < 0.5);
            assert_eq!((hollows[0].from, hollows[0].to), ((20., 0.).into(), (40., 0.).into()));
            assert_eq!(plate.hull().len(), 6);
        }
    }
}
