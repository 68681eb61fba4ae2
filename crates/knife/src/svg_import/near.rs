//! Brings an outline that was drawn far from its origin to it.

use super::{ImportWarning, ImportedOutline, NEAR_MM, guess_marks};
use kurbo::{Affine, Point, Rect, Shape};

impl ImportedOutline {
    /// The same with its tip at (0, 0), or where no tip can be guessed the lower left corner of
    /// its box, if all of it lies farther from the origin than anyone measures from.
    pub(super) fn recentred(mut self) -> Self {
        let bounds = self.outline.to_path().bounding_box();
        if distance_mm(bounds) <= NEAR_MM {
            return self;
        }
        let tip = guess_marks(&self.outline).tip.and_then(|at| self.outline.segs().get(at));
        let (what, from) = match tip {
            Some(seg) => ("tip", kurbo::ParamCurve::start(seg)),
            None => ("lower left corner", Point::new(bounds.x0, bounds.y0)),
        };
        let by = -from.to_vec2();
        self.outline = self.outline.transformed(Affine::translate(by));
        for hole in &mut self.holes {
            hole.center += by;
        }
        // First, as the desk shows no more than the first.
        self.warnings.insert(0, ImportWarning::BroughtNear { what, from });
        self
    }
}

/// How far the nearest point of a box is from the origin, mm.
fn distance_mm(bounds: Rect) -> f64 {
    let nearest = |low: f64, high: f64| 0.0_f64.clamp(low.min(high), low.max(high));
    Point::new(nearest(bounds.x0, bounds.x1), nearest(bounds.y0, bounds.y1)).to_vec2().hypot()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_distance_is_that_of_the_nearest_side() {
        assert_eq!(distance_mm(Rect::new(-5.0, -5.0, 2000.0, 5.0)), 0.0);
        assert_eq!(distance_mm(Rect::new(3.0, -8.0, 2000.0, -4.0)), 5.0);
    }
}
