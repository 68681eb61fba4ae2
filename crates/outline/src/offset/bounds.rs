//! Upright boxes on the grid.

use super::chain::GridPoint;

/// An upright box, its edges included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bounds {
    x0: i32,
    y0: i32,
    x1: i32,
    y1: i32,
}

impl Bounds {
    pub(super) fn of(a: GridPoint, b: GridPoint) -> Self {
        Self { x0: a.x.min(b.x), y0: a.y.min(b.y), x1: a.x.max(b.x), y1: a.y.max(b.y) }
    }

    /// The box around two boxes.
    pub(super) fn with(self, o: Self) -> Self {
        Self {
            x0: self.x0.min(o.x0),
            y0: self.y0.min(o.y0),
            x1: self.x1.max(o.x1),
            y1: self.y1.max(o.y1),
        }
    }

    /// What two boxes that meet have in common.
    pub(super) fn within(self, o: Self) -> Self {
        Self {
            x0: self.x0.max(o.x0),
            y0: self.y0.max(o.y0),
            x1: self.x1.min(o.x1),
            y1: self.y1.min(o.y1),
        }
    }

    /// The box grown on all sides; frames leave room for that.
    pub(super) fn grown(self, by: i32) -> Self {
        Self {
            x0: self.x0.saturating_sub(by),
            y0: self.y0.saturating_sub(by),
            x1: self.x1.saturating_add(by),
            y1: self.y1.saturating_add(by),
        }
    }

    pub(super) fn meets(self, o: Self) -> bool {
        // Not short-circuit: four comparisons cost less than a branch guessed wrong.
        (self.x0 <= o.x1) & (o.x0 <= self.x1) & (self.y0 <= o.y1) & (o.y0 <= self.y1)
    }

    /// Square of the distance from a point, 0 inside.
    pub(super) fn distance2(self, x: f64, y: f64) -> f64 {
        let dx = (f64::from(self.x0) - x).max(x - f64::from(self.x1)).max(0.0);
        let dy = (f64::from(self.y0) - y).max(y - f64::from(self.y1)).max(0.0);
        dx * dx + dy * dy
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bounds(x0: i32, y0: i32, x1: i32, y1: i32) -> Bounds {
        Bounds::of(GridPoint::new(x0, y0), GridPoint::new(x1, y1))
    }

    #[test]
    fn boxes_meet_at_their_edges_and_not_beyond() {
        let one = bounds(10, 0, 0, 10);
        assert_eq!(one, bounds(0, 10, 10, 0));
        assert!(one.meets(bounds(10, 10, 20, 20)) && one.meets(bounds(3, 4, 5, 6)));
        assert!(!one.meets(bounds(11, 0, 20, 10)) && !one.meets(bounds(0, -9, 10, -1)));
        assert!(one.grown(1).meets(bounds(11, 0, 20, 10)));
        assert_eq!(one.with(bounds(20, 5, 30, 6)), bounds(0, 0, 30, 10));
        assert_eq!(one.within(bounds(5, 5, 30, 6)), bounds(5, 5, 10, 6));
    }

    #[test]
    fn distance_is_nought_inside_and_round_the_corners() {
        let one = bounds(0, 0, 10, 10);
        assert_eq!(one.distance2(5.0, 9.0), 0.0);
        assert_eq!(one.distance2(13.0, 14.0), 25.0);
        assert_eq!(one.distance2(-2.0, 3.0), 4.0);
    }
}
