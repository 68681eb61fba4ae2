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

/// The same, given up on as soon as more than so many corners stay: with what comes out the work is
/// counted too, which grows with their number times that of the corners there were.
pub fn simplify_to(points: &[Point], off_mm: f64, max_corners: usize) -> Option<Vec<Point>> {
    let last = points.len().checked_sub(1)?;
    let kept = kept_up_to(points, (0, last), off_mm, max_corners)?;
    Some(kept.into_iter().map(|i| points[i]).collect())
}

/// Indices of the corners that [`simplify_polyline`] keeps between two of them, ascending, both told.
pub(crate) fn kept_indices(points: &[Point], from: usize, to: usize, off_mm: f64) -> Vec<usize> {
    kept_up_to(points, (from, to), off_mm, usize::MAX).unwrap_or_default()
}

/// The same, `None` as soon as they are more than so many.
fn kept_up_to(
    points: &[Point],
    (from, to): (usize, usize),
    off_mm: f64,
    max: usize,
) -> Option<Vec<usize>> {
    // Teeth tell at a glance: all of three neighbours lie so near to one chord only where the middle
    // one lies at most twice as far off the outer two, so that each such three keep a corner.
    let is_tooth = |three: &&[Point]| {
        let chord = three[2] - three[0];
        chord.cross(three[1] - three[0]).abs() > 2.001 * off_mm * chord.hypot()
    };
    if max < usize::MAX && points[from..=to].chunks_exact(3).filter(is_tooth).count() > max {
        return None;
    }
    let mut kept = vec![from, to];
    let mut todo = vec![(from, to)];
    while let Some((from, to)) = todo.pop() {
        let chord = Line::new(points[from], points[to]);
        let worst = (from + 1..to)
            .map(|i| (chord.nearest(points[i], 0.0).distance_sq, i))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, i)) = worst.filter(|(off, _)| off.sqrt() > off_mm) {
            if kept.len() >= max {
                return None;
            }
            kept.push(i);
            todo.extend([(from, i), (i, to)]);
        }
    }
    kept.sort_unstable();
    kept.dedup();
    Some(kept)
}

/// A closed polygon with fewer corners, none of the old ones further from it than `off_mm`.
pub(crate) fn thinned_ring(ring: &[Point], off_mm: f64) -> Vec<Point> {
    thinned_ring_to(ring, off_mm, usize::MAX).unwrap_or_default()
}

/// The same, given up on as soon as more than so many corners stay; see [`simplify_to`].
pub(crate) fn thinned_ring_to(
    ring: &[Point],
    off_mm: f64,
    max_corners: usize,
) -> Option<Vec<Point>> {
    let n = ring.len();
    if n < 4 {
        return Some(ring.to_vec());
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
    let half = |from, to| kept_up_to(&open, (from, to), off_mm, max_corners);
    let halves = [half(0, b - a)?, half(b - a, n)?];
    let mut corners: Vec<usize> = halves.concat().into_iter().map(|i| (a + i) % n).collect();
    corners.sort_unstable();
    corners.dedup();
    (corners.len() <= max_corners).then(|| corners.into_iter().map(|i| ring[i]).collect())
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

    #[test]
    fn too_many_corners_are_given_up_on() {
        let zigzag: Vec<Point> =
            (0..2_000).map(|i| Point::new(f64::from(i), f64::from(i % 2))).collect();
        assert_eq!(simplify_to(&zigzag, 0.01, 1_999), None);
        assert_eq!(simplify_to(&zigzag, 0.01, 600), None);
        assert_eq!(simplify_to(&zigzag, 0.01, 2_000), Some(zigzag.clone()));
        assert_eq!(simplify_to(&zigzag, 2.0, 2).map(|few| few.len()), Some(2));
        assert_eq!(simplify_to(&[], 1.0, 5), None);
        let ring: Vec<Point> = (0..400)
            .map(|i| Point::ORIGIN + kurbo::Vec2::from_angle(f64::from(i) / 64.0) * 50.0)
            .collect();
        let all = thinned_ring(&ring, 0.01);
        assert_eq!(thinned_ring_to(&ring, 0.01, all.len()).as_ref(), Some(&all));
        assert_eq!(thinned_ring_to(&ring, 0.01, all.len() - 1), None);
    }
}
