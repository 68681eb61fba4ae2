//! Polylines with fewer corners.

use kurbo::{Line, ParamCurveNearest, Point};

/// A polyline with fewer corners, its ends kept, none of the old ones further from it than
/// `off_mm`: it is halved at its farthest corner as long as that lies further off.
pub fn simplify_polyline(points: &[Point], off_mm: f64) -> Vec<Point> {
    match points.len() {
        0 => Vec::new(),
        n => kept_indices(points, 0, n - 1, off_mm).into_iter().map(|i| points[i]).collect(),
    }
}

/// Indices of the corners that [`simplify_polyline`] keeps between two of them, ascending, both told.
pub(crate) fn kept_indices(points: &[Point], from: usize, to: usize, off_mm: f64) -> Vec<usize> {
    let mut kept = vec![from, to];
    let mut todo = vec![(from, to)];
    while let Some((from, to)) = todo.pop() {
        let chord = Line::new(points[from], points[to]);
        let worst = (from + 1..to)
            .map(|i| (chord.nearest(points[i], 0.0).distance_sq, i))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, i)) = worst.filter(|(off, _)| off.sqrt() > off_mm) {
            kept.push(i);
            todo.extend([(from, i), (i, to)]);
        }
    }
    kept.sort_unstable();
    kept.dedup();
    kept
}

/// A closed polygon with fewer corners, none of the old ones further from it than `off_mm`.
pub(crate) fn thinned_ring(ring: &[Point], off_mm: f64) -> Vec<Point> {
    let n = ring.len();
    if n < 4 {
        return ring.to_vec();
    }
    let far = |from: usize| {
        let nearer = |a: &usize, b: &usize| {
            ring[from].distance_squared(ring[*a]).total_cmp(&ring[from].distance_squared(ring[*b]))
        };
        (0..n).max_by(nearer).unwrap_or(0)
    };
    let a = far(0);
    let b = far(a);
    let (a, b) = (a.min(b), a.max(b));
    // Opened at these two, each half is thinned with both kept.
    let open: Vec<Point> = (a..=a + n).map(|i| ring[i % n]).collect();
    let halves = [kept_indices(&open, 0, b - a, off_mm), kept_indices(&open, b - a, n, off_mm)];
    let mut corners: Vec<usize> = halves.concat().into_iter().map(|i| (a + i) % n).collect();
    corners.sort_unstable();
    corners.dedup();
    corners.into_iter().map(|i| ring[i]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_off_the_line_stay_and_others_go() {
        let points = [(0.0, 0.0), (1.0, 0.05), (2.0, 0.0), (3.0, 1.0), (4.0, 0.0)].map(Point::from);
        assert_eq!(simplify_polyline(&points, 0.1), [points[0], points[2], points[3], points[4]]);
        assert_eq!(simplify_polyline(&points, 2.0), [points[0], points[4]]);
        assert_eq!(simplify_polyline(&points, 0.01), points);
    }

    #[test]
    fn one_point_none_and_a_closed_way_are_thinned_too() {
        assert_eq!(simplify_polyline(&[], 1.0), []);
        assert_eq!(simplify_polyline(&[Point::ORIGIN], 1.0), [Point::ORIGIN]);
        let there_and_back = [(0.0, 0.0), (5.0, 0.0), (0.0, 0.0)].map(Point::from);
        assert_eq!(simplify_polyline(&there_and_back, 1.0), there_and_back);
    }
}
