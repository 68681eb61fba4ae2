//! The edges of a picture as they lie in the knife's plane, to snap to.

use kurbo::{Line, ParamCurve as _, ParamCurveNearest as _, Point, Rect};
use trace::Edges;

/// Points of an edge that share one box.
const PIECE: usize = 48;

/// Edges in short pieces, each with its box, so that a near place is found quickly.
#[derive(Debug, Default)]
pub(crate) struct PictureEdges {
    lines: Vec<Piece>,
    sides: Vec<Piece>,
}

type Piece = (Rect, Vec<Point>);

impl PictureEdges {
    /// Edges, each point taken to the knife's plane.
    pub(crate) fn new(edges: &Edges, to_knife: impl Fn(Point) -> Point) -> Self {
        let pieces = |edges: &[Vec<Point>]| {
            let each = edges.iter().map(|edge| edge.iter().map(|p| to_knife(*p)).collect());
            each.flat_map(cut).collect()
        };
        Self { lines: pieces(&edges.lines), sides: pieces(&edges.sides) }
    }

    /// The nearest place within reach: on a drawn line, else where dark meets light.
    pub(crate) fn nearest(&self, at: Point, reach_mm: f64) -> Option<Point> {
        nearest(&self.lines, at, reach_mm).or_else(|| nearest(&self.sides, at, reach_mm))
    }
}

/// A closed edge in pieces.
fn cut(mut points: Vec<Point>) -> Vec<Piece> {
    points.extend(points.first().copied());
    let starts = (0..points.len().saturating_sub(1)).step_by(PIECE);
    let piece = |from: usize| {
        let piece = &points[from..(from + PIECE + 1).min(points.len())];
        let first = Rect::from_points(piece[0], piece[0]);
        (piece.iter().fold(first, |bounds, p| bounds.union_pt(*p)), piece.to_vec())
    };
    starts.map(piece).collect()
}

fn nearest(pieces: &[Piece], at: Point, reach_mm: f64) -> Option<Point> {
    let near = pieces.iter().filter(|(b, _)| b.inflate(reach_mm, reach_mm).contains(at));
    let feet = near.flat_map(|(_, points)| {
        points.windows(2).map(|ends| {
            let line = Line::new(ends[0], ends[1]);
            line.eval(line.nearest(at, 1e-6).t)
        })
    });
    let within = feet.filter(|foot| foot.is_finite() && foot.distance(at) <= reach_mm);
    within.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))
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
        let to_mm = |p: Point| (p.to_vec2() / 10.0).to_point();
        let edges = Edges { sides: vec![edge.clone()], lines: Vec::new() };
        let edges = PictureEdges::new(&edges, to_mm);
        for i in 0..400 {
            let (sin, cos) = (f64::from(i) / 400.0 * std::f64::consts::TAU).sin_cos();
            let at = Point::new(10.0 + 5.3 * cos, 8.0 + 5.3 * sin);
            let found = edges.nearest(at, 0.5).unwrap();
            assert!((found.distance(Point::new(10.0, 8.0)) - 5.0).abs() < 2e-3, "{found}");
            assert_eq!(edges.nearest(at, 0.2), None);
        }
        let empty = Edges { sides: vec![Vec::new()], lines: Vec::new() };
        assert_eq!(PictureEdges::new(&empty, to_mm).nearest(Point::ORIGIN, 1.0), None);
        // A line's centre goes before its nearer side.
        let inner = edge.iter().map(|p| (p.to_vec2() * 0.99).to_point()).collect();
        let drawn = PictureEdges::new(&Edges { lines: vec![inner], sides: vec![edge] }, to_mm);
        let found = drawn.nearest(Point::new(15.0, 8.0), 0.5).unwrap();
        assert!((found.x - 14.85).abs() < 0.02, "{found}");
    }
}
