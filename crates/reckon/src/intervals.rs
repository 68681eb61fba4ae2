//! Sections square to the knife's length: where there is steel.

use knife::Hole;
use kurbo::{Line, Point};
use outline::Outline;

/// Heights between which the outline's inside lies at a station, upward; holes not taken off.
pub(crate) fn spans(outline: &Outline, x_mm: f64) -> Vec<(f64, f64)> {
    let line = Line::new(Point::new(x_mm, 0.0), Point::new(x_mm, 1.0));
    outline.inside_intervals(line).into_iter().map(|(a, b)| (a.y, b.y)).collect()
}

/// Heights between which a hole is cut at a station; `None` where it isn't.
pub(crate) fn cut(hole: &Hole, x_mm: f64) -> Option<(f64, f64)> {
    let (off, radius) = (x_mm - hole.at.x, hole.diameter_mm / 2.0);
    (off.abs() < radius).then(|| {
        let half = (radius * radius - off * off).sqrt();
        (hole.at.y - half, hole.at.y + half)
    })
}

/// What the cuts leave of the spans.
pub(crate) fn less(mut spans: Vec<(f64, f64)>, cuts: &[(f64, f64)]) -> Vec<(f64, f64)> {
    for &(low, high) in cuts {
        spans = spans
            .into_iter()
            .flat_map(|(from, to)| [(from, to.min(low)), (from.max(high), to)])
            .filter(|(from, to)| to > from)
            .collect();
    }
    spans
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::drilled;

    #[test]
    fn a_hole_parts_the_steel_of_its_stations() {
        let knife = drilled(&[(150.0, 2.0, 10.0)]);
        let outline = knife.profile.outline().unwrap();
        let at = |x: f64| {
            let cuts: Vec<_> = knife.holes.iter().filter_map(|hole| cut(hole, x)).collect();
            less(spans(&outline, x), &cuts)
        };
        assert_eq!(at(100.0), [(-15.0, 15.0)]);
        assert_eq!(at(150.0), [(-15.0, -3.0), (7.0, 15.0)]);
        assert_eq!(at(153.0), [(-15.0, -2.0), (6.0, 15.0)]);
        assert!(at(201.0).is_empty());
    }
}
