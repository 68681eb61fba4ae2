//! The rulers along the top and the left, from the bar's reference end and edge.

use super::View;
use crate::theme::{Palette, figures};
use egui::{Align2, Painter, Rect, Stroke, pos2};
use knife::{Bar, ReferenceEdge, ReferenceEnd};
use kurbo::Point;
use units::{InchFraction, LengthUnit};

/// Breadth of a ruler, points.
pub(crate) const BREADTH: f32 = 24.0;
/// Marks are no nearer than this, points.
const LEAST_GAP: f64 = 5.0;
/// Figures are no nearer than this, points.
const LEAST_FIGURES: f64 = 56.0;

/// Divisions of a ruler, mm: the finest first.
fn divisions(unit: LengthUnit) -> &'static [f64] {
    match unit {
        LengthUnit::Millimetre => &[0.1, 0.5, 1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1000.0],
        LengthUnit::Inch => {
            const IN: f64 = 25.4;
            &[
                IN / 64.0,
                IN / 32.0,
                IN / 16.0,
                IN / 8.0,
                IN / 4.0,
                IN / 2.0,
                IN,
                IN * 2.0,
                IN * 6.0,
                IN * 12.0,
                IN * 60.0,
            ]
        }
    }
}

/// The finest division that keeps its marks apart, mm.
pub(crate) fn division_mm(unit: LengthUnit, points_per_mm: f64, apart: f64) -> f64 {
    let all = divisions(unit);
    let wide = |mm: &&f64| **mm * points_per_mm >= apart;
    all.iter().find(wide).or(all.last()).copied().unwrap_or(1.0)
}

/// Paints both rulers around the view.
pub(crate) fn paint(
    painter: &Painter,
    view: &View,
    bar: &Bar,
    unit: LengthUnit,
    pointer: Option<Point>,
    palette: &Palette,
) {
    let outer = view.rect;
    let top = Rect::from_min_max(
        pos2(outer.min.x - BREADTH, outer.min.y - BREADTH),
        pos2(outer.max.x, outer.min.y),
    );
    let left = Rect::from_min_max(
        pos2(outer.min.x - BREADTH, outer.min.y - BREADTH),
        pos2(outer.min.x, outer.max.y),
    );
    for ruler in [top, left] {
        painter.rect_filled(ruler, 0.0, palette.rule);
    }
    let edge = Stroke::new(1.0, palette.hair);
    painter.hline(outer.x_range(), outer.min.y, edge);
    painter.vline(outer.min.x, outer.y_range(), edge);
    let Point { x: zero_x, y: zero_y } = bar.scribed_from();
    let way_x = if bar.reference.end == ReferenceEnd::Left { 1.0 } else { -1.0 };
    let way_y = if bar.reference.edge == ReferenceEdge::Lower { 1.0 } else { -1.0 };
    let mark = Stroke::new(1.0, palette.rule_mark);
    let seen = view.seen();
    let zoom = view.camera.points_per_mm;
    let across = painter.with_clip_rect(top.with_min_x(outer.min.x));
    each_mark(
        unit,
        zoom,
        ((seen.x0 - zero_x) * way_x, (seen.x1 - zero_x) * way_x),
        |at, long, word| {
            let x = snapped(view.ui_from_mm(Point::new(zero_x + at * way_x, 0.0)).x, painter);
            across.vline(x, (outer.min.y - BREADTH * long)..=outer.min.y, mark);
            if let Some(word) = word {
                let at = pos2(x + 3.0, outer.min.y - BREADTH + 1.0);
                across.text(at, Align2::LEFT_TOP, word, figures(11.5), palette.rule_mark);
            }
        },
    );
    let up = painter.with_clip_rect(left.with_min_y(outer.min.y));
    each_mark(
        unit,
        zoom,
        ((seen.y0 - zero_y) * way_y, (seen.y1 - zero_y) * way_y),
        |at, long, word| {
            let y = snapped(view.ui_from_mm(Point::new(0.0, zero_y + at * way_y)).y, painter);
            up.hline((outer.min.x - BREADTH * long)..=outer.min.x, y, mark);
            if let Some(word) = word {
                let galley = up.layout_no_wrap(word, figures(11.5), palette.rule_mark);
                let mut shape = egui::epaint::TextShape::new(
                    pos2(outer.min.x - BREADTH + 1.0, y - 3.0),
                    galley,
                    palette.rule_mark,
                );
                shape.angle = -std::f32::consts::FRAC_PI_2;
                up.add(shape);
            }
        },
    );
    if let Some(at) = pointer {
        let pos = view.ui_from_mm(at);
        let line = Stroke::new(1.5, palette.accent);
        across.vline(pos.x, top.y_range(), line);
        up.hline(left.x_range(), pos.y, line);
    }
}

/// Calls for every mark of a stretch: its measure in mm, how long it is (part of the ruler's
/// breadth), and its figure.
fn each_mark(
    unit: LengthUnit,
    points_per_mm: f64,
    (from, to): (f64, f64),
    mut draw: impl FnMut(f64, f32, Option<String>),
) {
    let fine = division_mm(unit, points_per_mm, LEAST_GAP);
    let told = division_mm(unit, points_per_mm, LEAST_FIGURES);
    let middle = division_mm(unit, points_per_mm, LEAST_FIGURES / 3.5);
    let (low, high) = (from.min(to), from.max(to));
    #[expect(clippy::cast_possible_truncation, reason = "at most a few hundred marks")]
    let (first, last) = ((low / fine).floor() as i64, (high / fine).ceil() as i64);
    if last - first > 5000 {
        return;
    }
    for i in first..=last {
        #[expect(clippy::cast_precision_loss, reason = "at most a few hundred marks")]
        let at = i as f64 * fine;
        let is = |mm: f64| (at / mm - (at / mm).round()).abs() < 1e-6;
        let long = if is(told) {
            0.62
        } else if is(middle) {
            0.42
        } else {
            0.24
        };
        draw(at, long, is(told).then(|| figure(at, unit)));
    }
}

fn figure(at_mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => {
            let decimals = usize::from((at_mm - at_mm.round()).abs() > 1e-6);
            units::show_number(at_mm, decimals)
        }
        LengthUnit::Inch => InchFraction::nearest(at_mm, 64).text(),
    }
}

/// The middle of the nearest row of dots, for a sharp line.
fn snapped(at: f32, painter: &Painter) -> f32 {
    let dots = painter.pixels_per_point();
    ((at * dots).floor() + 0.5) / dots
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_stand_on_the_division_and_are_told_in_fractions() {
        let mut told = Vec::new();
        each_mark(LengthUnit::Inch, 10.0, (0.0, 60.0), |at, _, word| {
            if let Some(word) = word {
                told.push((at, word));
            }
        });
        let words: Vec<&str> = told.iter().map(|(_, word)| word.as_str()).collect();
        assert_eq!(words, ["0", "1/4", "1/2", "3/4", "1", "1 1/4", "1 1/2", "1 3/4", "2", "2 1/4"]);
    }

    #[test]
    fn marks_never_crowd() {
        for unit in [LengthUnit::Inch, LengthUnit::Millimetre] {
            for zoom in [0.06, 0.5, 3.0, 20.0, 400.0, 1500.0] {
                assert!(division_mm(unit, zoom, LEAST_GAP) * zoom >= LEAST_GAP);
            }
        }
    }
}
