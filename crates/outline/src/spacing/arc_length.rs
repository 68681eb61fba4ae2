//! Walking a polyline by straight steps of one length.

use kurbo::Point;

/// A polyline with the length of way at each of its points. A ring ends where it starts.
pub(super) struct ArcLengthPolyline<'a> {
    points: &'a [Point],
    lengths_mm: Vec<f64>,
}

/// Where a walk stands: on the side behind this point.
#[derive(Clone, Copy)]
struct Cursor {
    side: usize,
    at: Point,
}

impl<'a> ArcLengthPolyline<'a> {
    pub(super) fn new(points: &'a [Point]) -> Self {
        let mut ways_mm = Vec::with_capacity(points.len());
        let mut delta = 0.0;
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                delta += p.distance(points[i - 1]);
            }
            ways_mm.push(delta);
        }
        Self { points, lengths_mm: ways_mm }
    }

    pub(super) fn length_mm(&self) -> f64 {
        self.lengths_mm.last().copied().unwrap_or(0.0)
    }

    /// The place at a length of way.
    pub(super) fn at(&self, way_mm: f64) -> Point {
        let side = self.side(way_mm);
        let (a, b) = (self.points[side], self.points[(side + 1).min(self.points.len() - 1)]);
        let (from, to) =
            (self.lengths_mm[side], self.lengths_mm[(side + 1).min(self.points.len() - 1)]);
        if to > from { a.lerp(b, ((way_mm - from) / (to - from)).clamp(0.0, 1.0)) } else { a }
    }

    fn side(&self, way_mm: f64) -> usize {
        let behind = self.lengths_mm.partition_point(|w| *w <= way_mm);
        behind.saturating_sub(1).min(self.points.len().saturating_sub(2))
    }

    fn length_at(&self, cursor: Cursor) -> f64 {
        self.lengths_mm[cursor.side] + cursor.at.distance(self.points[cursor.side])
    }

    /// The first place further on whose straight distance from here is `step_mm`.
    fn step(&self, from: Cursor, step_mm: f64) -> Option<Cursor> {
        let reach = step_mm * step_mm;
        let mut start = from.at;
        for side in from.side..self.points.len() - 1 {
            let end = self.points[side + 1];
            if end.distance_squared(from.at) >= reach {
                // |start + t·way − from| = step, with start inside the circle and end not.
                let (delta, back) = (end - start, start - from.at);
                let (a, b, c) = (delta.hypot2(), delta.dot(back), back.hypot2() - reach);
                let root = (b * b - a * c).max(0.0).sqrt();
                let t = if b > 0.0 { -c / (root + b) } else { (root - b) / a };
                return Some(Cursor { side, at: start.lerp(end, t.clamp(0.0, 1.0)) });
            }
            start = end;
        }
        None
    }

    /// The places of a walk from a length of way on, to the end or `max` steps.
    pub(super) fn equal_steps(&self, from_mm: f64, step_mm: f64, max: usize) -> Vec<Point> {
        let mut cursor = Cursor { side: self.side(from_mm), at: self.at(from_mm) };
        let mut places = vec![cursor.at];
        while places.len() <= max
            && let Some(next) = self.step(cursor, step_mm)
        {
            places.push(next.at);
            cursor = next;
        }
        places
    }

    /// The way covered by some steps from the start; `None` if they run past the end.
    fn length_after_mm(&self, steps: usize, step_mm: f64) -> Option<f64> {
        let mut cursor = Cursor { side: 0, at: *self.points.first()? };
        for _ in 0..steps {
            cursor = self.step(cursor, step_mm)?;
        }
        Some(self.length_at(cursor))
    }

    /// The length of step by which so many steps lead from the start to the end, and by how
    /// much way they miss it. Where a curve turns back sharply the next place leaps across as
    /// the step grows, so that there may be none that leads to the end.
    pub(super) fn even_step_mm(&self, steps: usize) -> (f64, f64) {
        if steps == 1 {
            return match self.points {
                [first, .., last] => (first.distance(*last), 0.0),
                _ => (0.0, 0.0),
            };
        }
        // No step is longer than its way along the curve.
        #[expect(clippy::cast_precision_loss, reason = "a few thousand steps")]
        let longest = self.length_mm() / steps as f64;
        let short = |step_mm: f64| self.length_after_mm(steps, step_mm).is_some();
        let (mut low, mut high) = (0.8 * longest, longest * (1.0 + 1e-12));
        if !short(low) {
            (low, high) = (0.0, low);
        }
        while high - low > 1e-12 * longest.max(1e-6) {
            let mid = 0.5 * (low + high);
            if mid <= low || mid >= high {
                break;
            }
            if short(mid) { low = mid } else { high = mid }
        }
        let delta = self.length_after_mm(steps, low).unwrap_or(0.0);
        (low, self.length_mm() - delta)
    }
}
