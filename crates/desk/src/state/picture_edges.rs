//! The edges of a picture as they lie in the knife's plane, to snap to.

use kurbo::{Line, ParamCurve as _, ParamCurveNearest as _, Point, Rect};

/// Points of an edge that share one box.
const PIECE: usize = 48;

/// Edges in short pieces, each with its box, so that a near place is found quickly.
#[derive(Debug, Default)]
pub(crate) struct PictureEdges {
    pieces: Vec<(Rect, Vec<Point>)>,
}

impl PictureEdges {
    /// Closed edges, each point taken to the knife's plane.
    pub(crate) fn new(edges: &[Vec<Point>], to_knife: impl Fn(Point) -> Point) -> Self {
        let mut pieces = Vec::new();
        for edge in edges {
            let mut points: Vec<Point> = edge.iter().map(|p| to_knife(*p)).collect();
            points.extend(points.first().copied());
            for from in (0..points.len().saturating_sub(1)).step_by(PIECE) {
                let piece = &points[from..(from + PIECE + 1).min(points.len())];
                let first = Rect::from_points(piece[0], piece[0]);
                let bounds = piece.iter().fold(first, |bounds, p| bounds.union_pt(*p));
                pieces.push((bounds, piece.to_vec()));
            }
        }
        Self { pieces }
    }

    /// The place on an edge nearest to `at`, within reach.
    pub(crate) fn nearest(&self, at: Point, reach_mm: f64) -> Option<Point> {
        let near = self.pieces.iter().filter(|(b, _)| b.inflate(reach_mm, reach_mm).contains(at));
        let feet = near.flat_map(|(_, points)| {
            points.windows(2).map(|ends| {
                let line = Line::new(ends[0], ends[1]);
                line.eval(line.nearest(at, 1e-6).t)
            })
        });
        let within = feet.filter(|foot| foot.is_finite() && foot.distance(at) <= reach_mm);
        within.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_place_lies_on_the_edge_all_round() {
        let circle = |i: usize| {
            let (sin, cos) = (i as f64 / 200.0 * std::f64::consts::TAU).sin_cos();
            Point::new(100.0 + 50.0 * cos, 80.0 + 50.0 * sin)
        };
        let edge: Vec<Point> = (0..200).map(circle).collect();
        let edges = PictureEdges::new(&[edge], |p| (p.to_vec2() / 10.0).to_point());
        for i in 0..400 {
            let (sin, cos) = (f64::from(i) / 400.0 * std::f64::consts::TAU).sin_cos();
            let at = Point::new(10.0 + 5.3 * cos, 8.0 + 5.3 * sin);
            let found = edges.nearest(at, 0.5).unwrap();
            assert!((found.distance(Point::new(10.0, 8.0)) - 5.0).abs() < 2e-3, "{found}");
            assert_eq!(edges.nearest(at, 0.2), None);
        }
        assert_eq!(PictureEdges::new(&[Vec::new()], |p| p).nearest(Point::ORIGIN, 1.0), None);
    }
}
