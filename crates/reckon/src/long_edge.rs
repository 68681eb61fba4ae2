//! The two long edges of an outline, spine and underside, by their true arc length.

use kurbo::{Point, Vec2};
use outline::Outline;

/// The curves are flattened within this, mm: arc lengths are then right to about 1e-6 of
/// themselves.
const FLAT_MM: f64 = 1e-5;
/// A stretch of the scales' outline that lies no farther from the blank's lies on it, mm.
const ON_MM: f64 = 1e-4;

/// One long edge, from its front end to the butt.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LongEdge {
    points: Vec<Point>,
    lengths_mm: Vec<f64>,
    /// +1 when the inside lies to the left of the way, −1 when to the right.
    left: f64,
    /// +1 for the edge on the +y side, −1 for the other.
    up: f64,
}

/// Both long edges of an outline.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LongEdges {
    /// On the +y side.
    pub(crate) high: LongEdge,
    /// On the −y side.
    pub(crate) low: LongEdge,
    /// The outline's hindmost x, where they meet, mm.
    pub(crate) butt_x_mm: f64,
}

/// A place on a long edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct EdgePoint {
    pub(crate) at: Point,
    /// Unit vector square to the edge, into the steel.
    pub(crate) inward: Vec2,
}

impl LongEdge {
    fn new(points: Vec<Point>, left: f64, up: f64) -> Option<Self> {
        let mut ways_mm = Vec::with_capacity(points.len());
        let mut length = 0.0;
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                length += p.distance(points[i - 1]);
            }
            ways_mm.push(length);
        }
        (points.len() > 1 && length.is_finite() && length > 0.0).then_some(Self {
            points,
            lengths_mm: ways_mm,
            left,
            up,
        })
    }

    /// Its whole length, mm.
    pub(crate) fn length_mm(&self) -> f64 {
        self.lengths_mm.last().copied().unwrap_or(0.0)
    }

    /// +1 for the edge on the +y side, −1 for the other.
    pub(crate) fn up(&self) -> f64 {
        self.up
    }

    /// The place at an arc length from the front end.
    pub(crate) fn at(&self, way_mm: f64) -> EdgePoint {
        let side = self.lengths_mm.partition_point(|w| *w <= way_mm);
        let side = side.saturating_sub(1).min(self.points.len() - 2);
        let (a, b) = (self.points[side], self.points[side + 1]);
        let share =
            (way_mm - self.lengths_mm[side]) / (self.lengths_mm[side + 1] - self.lengths_mm[side]);
        let along = (b - a).normalize();
        EdgePoint { at: a.lerp(b, share.clamp(0.0, 1.0)), inward: along.turn_90() * self.left }
    }

    /// Where the edge passes a station: its arc length from the front end. Of several places the
    /// outermost; `None` when there is none.
    pub(crate) fn length_at_x(&self, x_mm: f64) -> Option<f64> {
        let mut found: Option<(f64, f64)> = None;
        for (i, pair) in self.points.windows(2).enumerate() {
            let (a, b) = (pair[0], pair[1]);
            if (x_mm - a.x) * (x_mm - b.x) > 0.0 {
                continue;
            }
            let share = if a.x == b.x { 0.0 } else { (x_mm - a.x) / (b.x - a.x) };
            let shares = if a.x == b.x { [0.0, 1.0] } else { [share; 2] };
            for share in shares {
                let out = self.up * a.lerp(b, share).y;
                if found.is_none_or(|(max, _)| out > max) {
                    let length =
                        self.lengths_mm[i] + share * (self.lengths_mm[i + 1] - self.lengths_mm[i]);
                    found = Some((out, length));
                }
            }
        }
        found.map(|(_, length)| length)
    }
}

impl LongEdges {
    /// Of a blank, from its tip (else its foremost point) to its hindmost.
    pub(crate) fn of_blank(
        outline: &Outline,
        tip: Option<Point>,
        towards_butt: f64,
    ) -> Option<Self> {
        let ring = ring(&turned_left(outline));
        let gap = |p: &Point| match tip {
            Some(tip) => p.distance_squared(tip),
            None => p.x * towards_butt,
        };
        let front = (0..ring.len()).min_by(|a, b| gap(&ring[*a]).total_cmp(&gap(&ring[*b])))?;
        Self::between(&ring, front, front, towards_butt)
    }

    /// Of a scale on its blank: from where its front leaves the blank's outline to its hindmost
    /// point.
    pub(crate) fn of_scale(scale: &Outline, blank: &Outline, towards_butt: f64) -> Option<Self> {
        let scale = turned_left(scale);
        let blank = outline::Polyline::from_path(&blank.to_path(), FLAT_MM)?;
        let on = |p: Point| blank.distance(p) <= ON_MM;
        let segs = scale.segs();
        let count = segs.len();
        let off: Vec<bool> = segs
            .iter()
            .map(|seg| [0.37, 0.5].iter().any(|t| !on(kurbo::ParamCurve::eval(seg, *t))))
            .collect();
        // Runs of the ring off the blank's outline: the front, and behind it perhaps a rear
        // bolster's line. The front lies foremost.
        let starts = (0..count).filter(|i| off[*i] && !off[(i + count - 1) % count]);
        let runs = starts.map(|from| {
            let length = (0..count).take_while(|k| off[(from + k) % count]).count();
            let (a, b) = (segs[from], segs[(from + length - 1) % count]);
            (kurbo::ParamCurve::start(&a), kurbo::ParamCurve::end(&b))
        });
        let middle = |(a, b): &(Point, Point)| a.midpoint(*b).x * towards_butt;
        let front = runs.min_by(|a, b| middle(a).total_cmp(&middle(b)));
        let ring = ring(&scale);
        let index = |p: Point| ring.iter().position(|q| q.distance(p) < 1e-9);
        let (before, behind) = match front {
            Some((from, to)) => (index(from)?, index(to)?),
            None => {
                let gap = |i: &usize| ring[*i].x * towards_butt;
                let first = (0..ring.len()).min_by(|a, b| gap(a).total_cmp(&gap(b)))?;
                (first, first)
            }
        };
        Self::between(&ring, behind, before, towards_butt)
    }

    /// From a place of a ring that turns left onward to its hindmost point, and from another one
    /// back to it.
    fn between(ring: &[Point], onward: usize, back: usize, towards_butt: f64) -> Option<Self> {
        let count = ring.len();
        let far = |i: &usize| ring[*i].x * towards_butt;
        let butt = (0..count).max_by(|a, b| far(a).total_cmp(&far(b)))?;
        let steps = (butt + count - onward) % count;
        let ahead = (0..=steps).map(|k| ring[(onward + k) % count]).collect();
        let steps = (back + count - butt) % count;
        let behind = (0..=steps).map(|k| ring[(back + count - k) % count]).collect();
        // With the tip to the left a ring that turns left runs along its lower side to the butt.
        let ahead = LongEdge::new(ahead, 1.0, -towards_butt)?;
        let behind = LongEdge::new(behind, -1.0, towards_butt)?;
        let (high, low) = if towards_butt > 0.0 { (behind, ahead) } else { (ahead, behind) };
        Some(Self { high, low, butt_x_mm: ring[butt].x })
    }

    /// The edge on the side of the spine, then that on the side of the cutting edge.
    pub(crate) fn spine_first(self, edge_is_up: bool) -> [LongEdge; 2] {
        if edge_is_up { [self.low, self.high] } else { [self.high, self.low] }
    }
}

fn turned_left(outline: &Outline) -> Outline {
    if outline.signed_area() < 0.0 { outline.reversed() } else { outline.clone() }
}

/// The corners of the flattened outline, each once.
fn ring(outline: &Outline) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    kurbo::flatten(outline.to_path(), FLAT_MM, |el| points.extend(el.end_point()));
    points.dedup();
    while points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::blank;

    // By hand: a rectangle 200 × 30 with its tip at (0, −15) and the scales from x = 120.
    #[test]
    fn edges_of_a_rectangle_are_its_sides() {
        let outline = blank().profile.outline().unwrap();
        let edges = LongEdges::of_blank(&outline, Some(Point::new(0.0, -15.0)), 1.0).unwrap();
        assert_eq!(edges.butt_x_mm, 200.0);
        assert!((edges.high.length_at_x(50.0).unwrap() - 80.0).abs() < 1e-9);
        assert!((edges.low.length_at_x(50.0).unwrap() - 50.0).abs() < 1e-9);
        assert_eq!(edges.high.at(80.0).inward, Vec2::new(0.0, -1.0));
        assert_eq!(edges.low.at(50.0).inward, Vec2::new(0.0, 1.0));
        assert!(edges.low.length_at_x(201.0).is_none());
        let scale =
            outline.clipped_to_half_plane(Point::new(120.0, 0.0), Vec2::new(1.0, 0.0)).unwrap();
        let edges = LongEdges::of_scale(&scale, &outline, 1.0).unwrap();
        for edge in [&edges.high, &edges.low] {
            assert!((edge.length_at_x(150.0).unwrap() - 30.0).abs() < 1e-9);
            assert_eq!(edge.at(30.0).at, Point::new(150.0, 15.0 * edge.up()));
        }
    }

    // By hand: the same with the tip to the right and the ring turned the other way.
    #[test]
    fn a_knife_lying_the_other_way_has_the_same_edges() {
        let outline = blank().profile.outline().unwrap();
        let turned = outline.transformed(kurbo::Affine::FLIP_X);
        let edges = LongEdges::of_blank(&turned, Some(Point::new(0.0, -15.0)), -1.0).unwrap();
        assert!((edges.high.length_at_x(-50.0).unwrap() - 80.0).abs() < 1e-9);
        assert_eq!(edges.high.at(80.0).inward, Vec2::new(0.0, -1.0));
        let scale =
            turned.clipped_to_half_plane(Point::new(-120.0, 0.0), Vec2::new(-1.0, 0.0)).unwrap();
        let edges = LongEdges::of_scale(&scale, &turned, -1.0).unwrap();
        assert!((edges.high.length_at_x(-150.0).unwrap() - 30.0).abs() < 1e-9);
        assert!((edges.low.length_at_x(-150.0).unwrap() - 30.0).abs() < 1e-9);
    }
}
