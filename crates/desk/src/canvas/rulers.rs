//! The rulers along the top and the left. They count from the knife's origin, as every coordinate
//! does that is read beside them; at the Bar station, where the origin itself is put in its place,
//! from the bar's end and edge that are scribed from.

use super::origin;
use crate::context::{KnifeView, ViewContext};
use crate::state::Plane;
use crate::theme::figures;
use egui::{Id, Painter, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use knife::{Bar, ReferenceEdge, ReferenceEnd};
use kurbo::Point;
use units::{InchFraction, LengthUnit};

/// Breadth of a ruler, points.
pub(crate) const BREADTH: f32 = 24.0;
/// Marks are no nearer than this, points.
const MIN_GAP: f64 = 5.0;
/// Figures are no nearer than this, points.
const MIN_FIGURES: f64 = 56.0;

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

/// Where both rulers begin and which way they count.
struct Zero {
    at: Point,
    sign_x: f64,
    sign_y: f64,
    /// From what the one along and the one up are counted.
    from: [String; 2],
}

impl Zero {
    fn of(knife_view: &KnifeView, context: &ViewContext<'_>) -> Self {
        match knife_view.plane {
            Plane::Bar => Self::on_bar(&context.knife.bar),
            Plane::Knife => Self {
                at: knife_view.plane_from_knife * context.origin.at,
                sign_x: context.origin.x_sign,
                sign_y: 1.0,
                from: [context.origin.from_phrase(), context.origin.from_phrase()],
            },
        }
    }

    fn on_bar(bar: &Bar) -> Self {
        let (end, sign_x) = match bar.reference.end {
            ReferenceEnd::Left => ("from the bar's left end", 1.0),
            ReferenceEnd::Right => ("from the bar's right end", -1.0),
        };
        let (edge, sign_y) = match bar.reference.edge {
            ReferenceEdge::Lower => ("from the bar's lower edge", 1.0),
            ReferenceEdge::Upper => ("from the bar's upper edge", -1.0),
        };
        Self { at: bar.scribed_from(), sign_x, sign_y, from: [end, edge].map(str::to_owned) }
    }

    /// What the rulers show of a place of the canvas's plane.
    fn read(&self, point: Point) -> Point {
        Point::new((point.x - self.at.x) * self.sign_x, (point.y - self.at.y) * self.sign_y)
    }
}

/// Where the rulers begin, in the plane of the canvas: there the grid does too.
pub(super) fn zero(knife_view: &KnifeView, context: &ViewContext<'_>) -> Point {
    Zero::of(knife_view, context).at
}

/// Paints both rulers around the view, and tells what they count from.
pub(crate) fn show(
    ui: &Ui,
    painter: &Painter,
    knife_view: &KnifeView,
    context: &ViewContext<'_>,
    pointer: Option<Point>,
) {
    let (view, palette, unit) = (&knife_view.view, context.palette, context.unit());
    let zero = Zero::of(knife_view, context);
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
    let Point { x: zero_x, y: zero_y } = zero.at;
    let (sign_x, sign_y) = (zero.sign_x, zero.sign_y);
    let mark = Stroke::new(1.0, palette.rule_mark);
    let seen = view.seen();
    let zoom = view.camera.points_per_mm;
    // What they count from stands at the far end; no figure is cut by it.
    let words = painter.layout_no_wrap(zero.from[0].clone(), figures(11.5), palette.rule_mark);
    let room =
        Rect::from_min_max(pos2(top.max.x - words.size().x - 12.0, top.min.y + 1.0), top.max);
    let across = painter.with_clip_rect(top.with_min_x(outer.min.x));
    each_mark(
        unit,
        zoom,
        ((seen.x0 - zero_x) * sign_x, (seen.x1 - zero_x) * sign_x),
        |at, long, word| {
            let x = snapped(view.ui_from_mm(Point::new(zero_x + at * sign_x, 0.0)).x, painter);
            across.vline(x, (outer.min.y - BREADTH * long)..=outer.min.y, mark);
            if let Some(word) = word {
                let at = pos2(x + 3.0, outer.min.y - BREADTH + 1.0);
                let figure = across.layout_no_wrap(word, figures(11.5), palette.rule_mark);
                if at.x + figure.size().x < room.min.x {
                    across.galley(at, figure, palette.rule_mark);
                }
            }
        },
    );
    let up = painter.with_clip_rect(left.with_min_y(outer.min.y));
    each_mark(
        unit,
        zoom,
        ((seen.y0 - zero_y) * sign_y, (seen.y1 - zero_y) * sign_y),
        |at, long, word| {
            let y = snapped(view.ui_from_mm(Point::new(0.0, zero_y + at * sign_y)).y, painter);
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
    // The mark of what they count from, where they meet.
    let corner = Rect::from_min_max(top.min, left.min + vec2(BREADTH, BREADTH));
    let axes = [vec2(sign_of(sign_x), 0.0), vec2(0.0, -sign_of(sign_y))];
    let small = painter.with_clip_rect(corner.shrink(1.0));
    origin::symbol(&small, corner.center(), axes, Stroke::new(1.2, palette.rule_mark));
    painter.rect_filled(room.with_max_y(room.max.y - 1.0), 0.0, palette.rule);
    painter.galley(room.left_center() + vec2(6.0, -words.size().y / 2.0), words, palette.rule_mark);
    let read_at = pointer.map(|at| zero.read(at));
    let [along, upward] = &zero.from;
    for (name, from, rect, mm) in [
        ("Ruler along", along, top, read_at.map(|p| p.x)),
        ("Ruler up", upward, left, read_at.map(|p| p.y)),
    ] {
        let at = mm.map(|mm| format!(", pointer at {}", units::show_length(mm, unit)));
        let words = format!("{name}, {from}{}", at.unwrap_or_default());
        let response = ui.interact(rect, Id::unique(name), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
        response.on_hover_text(format!("Counts {from}."));
    }
}

/// A sign of ±1 for the screen.
fn sign_of(sign: f64) -> f32 {
    if sign < 0.0 { -1.0 } else { 1.0 }
}

/// Calls for every mark of a stretch: its measure in mm, how long it is (part of the ruler's
/// breadth), and its figure.
fn each_mark(
    unit: LengthUnit,
    points_per_mm: f64,
    (from, to): (f64, f64),
    mut draw: impl FnMut(f64, f32, Option<String>),
) {
    let fine = division_mm(unit, points_per_mm, MIN_GAP);
    let labelled = division_mm(unit, points_per_mm, MIN_FIGURES);
    let middle = division_mm(unit, points_per_mm, MIN_FIGURES / 3.5);
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
        let long = if is(labelled) {
            0.62
        } else if is(middle) {
            0.42
        } else {
            0.24
        };
        draw(at, long, is(labelled).then(|| figure(at, unit)));
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
        let mut labels = Vec::new();
        each_mark(LengthUnit::Inch, 10.0, (0.0, 60.0), |at, _, word| {
            if let Some(word) = word {
                labels.push((at, word));
            }
        });
        let words: Vec<&str> = labels.iter().map(|(_, word)| word.as_str()).collect();
        assert_eq!(words, ["0", "1/4", "1/2", "3/4", "1", "1 1/4", "1 1/2", "1 3/4", "2", "2 1/4"]);
    }

    #[test]
    fn marks_never_crowd() {
        for unit in [LengthUnit::Inch, LengthUnit::Millimetre] {
            for zoom in [0.06, 0.5, 3.0, 20.0, 400.0, 1500.0] {
                assert!(division_mm(unit, zoom, MIN_GAP) * zoom >= MIN_GAP);
            }
        }
    }
}
