//! The grid, counted as the rulers beside it are, thinned where its lines would crowd.

use super::rulers;
use crate::context::CanvasContext;
use egui::Stroke;
use kurbo::Point;
use units::LengthUnit;

/// Lines are no nearer than this, points.
const MIN_GAP: f64 = 8.0;

/// Paints the grid over all that is seen. `steel` are the corners of the bar.
pub(crate) fn paint(cx: &CanvasContext<'_>, steel: [Point; 4]) {
    let (context, view, painter) = (cx.context, &cx.knife_view.view, cx.ui.painter());
    let (unit, zoom) = (context.unit(), view.camera.points_per_mm);
    let step_mm = drawn_mm(context.settings.pitch_mm(unit), unit, zoom);
    let seen = view.seen();
    let from = rulers::zero(cx.knife_view, context);
    let turned = |p: Point| Point::new(p.y, p.x);
    let [bench, steel_ink] = [context.palette.grid, context.palette.centre.gamma_multiply(0.11)];
    let line = |a: Point, b: Point, i: i64, colour| {
        let width = if i % every(unit) == 0 { 1.6 } else { 1.0 };
        let ends = [view.ui_from_mm(a), view.ui_from_mm(b)];
        painter.line_segment(ends, Stroke::new(width, colour));
    };
    // On the bench, then as faint scribed lines on the painted steel.
    for (i, x) in lines(from.x, step_mm, (seen.x0, seen.x1)) {
        line(Point::new(x, seen.y0), Point::new(x, seen.y1), i, bench);
        if let Some((low, high)) = within(steel, x) {
            line(Point::new(x, low), Point::new(x, high), i, steel_ink);
        }
    }
    for (i, y) in lines(from.y, step_mm, (seen.y0, seen.y1)) {
        line(Point::new(seen.x0, y), Point::new(seen.x1, y), i, bench);
        if let Some((left, right)) = within(steel.map(turned), y) {
            line(Point::new(left, y), Point::new(right, y), i, steel_ink);
        }
    }
}

/// The stretch of an upright line that lies within four corners in their order.
fn within(corners: [Point; 4], x: f64) -> Option<(f64, f64)> {
    let sides = corners.into_iter().zip(corners.into_iter().cycle().skip(1));
    let ys = sides.filter_map(|(a, b)| {
        let share = (x - a.x) / (b.x - a.x);
        (0.0..=1.0).contains(&share).then_some(a.y + (b.y - a.y) * share)
    });
    let (low, high) = ys.fold((f64::MAX, f64::MIN), |(low, high), y| (low.min(y), high.max(y)));
    (low < high).then_some((low, high))
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
        if drawn * points_per_mm >= MIN_GAP {
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
                    assert!(drawn * zoom >= MIN_GAP && (times - times.round()).abs() < 1e-9);
                }
            }
        }
        assert_eq!(drawn_mm(1.0, LengthUnit::Millimetre, 1.0), 10.0);
        assert_eq!(drawn_mm(1.0, LengthUnit::Millimetre, 2.0), 5.0);
    }

    #[test]
    fn lines_on_the_steel_end_at_its_sides() {
        let square = [(0.0, 0.0), (8.0, 0.0), (8.0, 3.0), (0.0, 3.0)].map(Point::from);
        assert_eq!(within(square, 5.0), Some((0.0, 3.0)));
        assert_eq!(within(square, 9.0), None);
        let turned = [(0.0, 0.0), (4.0, 4.0), (0.0, 8.0), (-4.0, 4.0)].map(Point::from);
        assert_eq!(within(turned, 1.0), Some((1.0, 7.0)));
    }

    #[test]
    fn lines_are_counted_from_where_it_begins() {
        let found: Vec<_> = lines(38.0, 5.0, (20.0, 40.0)).collect();
        assert_eq!(found, [(-3, 23.0), (-2, 28.0), (-1, 33.0), (0, 38.0)]);
    }
}
