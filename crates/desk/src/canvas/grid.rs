//! The grid, from the corner of the bar that is scribed from, thinned where its lines would crowd.

use super::{Read, View};
use egui::{Rect, Stroke};
use kurbo::Point;
use units::LengthUnit;

/// Lines are no nearer than this, points.
const LEAST_GAP: f64 = 8.0;

/// Paints the grid over all that is seen.
pub(super) fn paint(painter: &egui::Painter, view: &View, steel: Rect, read: &Read<'_>) {
    let (unit, zoom) = (read.knife.unit, view.camera.points_per_mm);
    let step_mm = drawn_mm(read.settings.pitch_mm(unit), unit, zoom);
    let seen = view.seen();
    let from = read.knife.bar.scribed_from();
    // On the bench, then as faint scribed lines on the painted steel.
    for (clip, colour) in
        [(view.rect, read.palette.grid), (steel, read.palette.centre.gamma_multiply(0.11))]
    {
        let painter = painter.with_clip_rect(clip.intersect(painter.clip_rect()));
        let fine = Stroke::new(1.0, colour);
        let strong = Stroke::new(1.6, colour);
        let stroke = |i: i64| if i % every(unit) == 0 { strong } else { fine };
        for (i, x) in lines(from.x, step_mm, (seen.x0, seen.x1)) {
            painter.vline(view.ui_from_mm(Point::new(x, 0.0)).x, view.rect.y_range(), stroke(i));
        }
        for (i, y) in lines(from.y, step_mm, (seen.y0, seen.y1)) {
            painter.hline(view.rect.x_range(), view.ui_from_mm(Point::new(0.0, y)).y, stroke(i));
        }
    }
}

/// Which lines are drawn stronger: as a maker counts, by tens or by halving.
fn every(unit: LengthUnit) -> i64 {
    match unit {
        LengthUnit::Millimetre => 10,
        LengthUnit::Inch => 8,
    }
}

/// The pitch that is drawn: the typed one, or a round multiple of it whose lines don't crowd.
fn drawn_mm(pitch_mm: f64, unit: LengthUnit, points_per_mm: f64) -> f64 {
    let steps: &[f64] = match unit {
        LengthUnit::Millimetre => &[2.0, 2.5, 2.0],
        LengthUnit::Inch => &[2.0],
    };
    let mut drawn = pitch_mm;
    for step in steps.iter().cycle().take(40) {
        if drawn * points_per_mm >= LEAST_GAP {
            break;
        }
        drawn *= step;
    }
    drawn
}

/// The lines of a stretch, counted from where the grid begins.
fn lines(from: f64, step_mm: f64, (low, high): (f64, f64)) -> impl Iterator<Item = (i64, f64)> {
    #[expect(clippy::cast_possible_truncation, reason = "at most a few hundred lines")]
    let index = |at: f64| ((at - from) / step_mm) as i64;
    #[expect(clippy::cast_precision_loss, reason = "at most a few hundred lines")]
    let at = move |i: i64| (i, from + i as f64 * step_mm);
    (index(low) - 1..=index(high) + 1).map(at).filter(move |(_, at)| (low..=high).contains(at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_never_crowd_and_stay_on_the_typed_pitch() {
        for unit in [LengthUnit::Inch, LengthUnit::Millimetre] {
            for pitch_mm in [0.1, 1.0, 3.175, 100.0] {
                for zoom in [0.05, 0.7, 4.0, 90.0, 1500.0] {
                    let drawn = drawn_mm(pitch_mm, unit, zoom);
                    let times = drawn / pitch_mm;
                    assert!(drawn * zoom >= LEAST_GAP && (times - times.round()).abs() < 1e-9);
                }
            }
        }
        assert_eq!(drawn_mm(1.0, LengthUnit::Millimetre, 1.0), 10.0);
        assert_eq!(drawn_mm(1.0, LengthUnit::Millimetre, 2.0), 5.0);
    }

    #[test]
    fn lines_are_counted_from_where_it_begins() {
        let found: Vec<_> = lines(38.0, 5.0, (20.0, 40.0)).collect();
        assert_eq!(found, [(-3, 23.0), (-2, 28.0), (-1, 33.0), (0, 38.0)]);
    }
}
