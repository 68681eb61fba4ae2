//! A measured distance: extension lines, dimension line, arrows and its figure.

use kurbo::{BezPath, Point, Vec2};
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign, lettering};

/// Height of a dimension's figure, mm (ISO 3098 series; ASME Y14.2 asks for 3; from memory).
const FIGURE_MM: f64 = 3.0;
/// Gap between the part and its extension line, mm.
const GAP_MM: f64 = 1.0;
/// The extension line goes this far past the dimension line, mm.
const PAST_MM: f64 = 2.0;
/// A figure without room along its level line stands this far beyond it, in two rows, mm.
const BELOW_MM: f64 = 6.0;
/// A level figure stands this far beyond its line, mm.
const BESIDE_MM: f64 = 2.0;
/// Length of an arrow head, mm; its width is a third (ASME Y14.2, from memory).
pub(super) const ARROW_MM: f64 = 3.0;

/// A length as a dimension tells it, in both units, the knife's own first: `8 1/2 in (215.9 mm)`.
pub fn dimension_text(length_mm: f64, unit: units::LengthUnit) -> String {
    units::show_in_both(length_mm, unit)
}

/// The distance from `from` to `to`, its line set off by `off` from both (which must be square
/// to the distance), its figure beyond the line.
pub fn dimension(from: Point, to: Point, off: Vec2, text: &str) -> Drawing {
    let mut drawing = Drawing::new();
    let direction = (to - from).normalize();
    let out = off.normalize();
    let (a, b) = (from + off, to + off);
    for (part, end) in [(from, a), (to, b)] {
        drawing.line(Pen::Dimension, part + out * GAP_MM, end + out * PAST_MM);
    }
    drawing.line(Pen::Dimension, a, b);
    drawing.add(Pen::Dimension, Mark::Fill(arrow(a, -direction)));
    drawing.add(Pen::Dimension, Mark::Fill(arrow(b, direction)));
    for label in figure(a, b, out, text) {
        drawing.text(Pen::Dimension, label);
    }
    drawing
}

/// The figure: along a level line where there is room, else level beyond it, a unit a row.
fn figure(a: Point, b: Point, out: Vec2, text: &str) -> Vec<Label> {
    let direction = b - a;
    let room = direction.hypot() - 2.0 * ARROW_MM - 2.0 * PAST_MM;
    let beside = out.x.abs() > 0.5;
    if lettering::width_mm(text, FontFace::Regular, FIGURE_MM) > room {
        let across = match out.x {
            x if x > 0.5 => HAlign::Start,
            x if x < -0.5 => HAlign::End,
            _ => HAlign::Middle,
        };
        let start = a.midpoint(b) + out * if beside { BESIDE_MM } else { BELOW_MM };
        // A unit a row, the other one in brackets.
        let rows: Vec<&str> = match text.find(" (") {
            Some(at) => vec![&text[..at], &text[at + 1..]],
            None => vec![text],
        };
        let last = if rows.len() > 1 { 1.0 } else { 0.0 };
        return (0u32..)
            .zip(&rows)
            .map(|(i, row)| {
                let down = f64::from(i) - last / 2.0;
                let at = start - Vec2::new(0.0, down * 1.7 * FIGURE_MM);
                Label::new(*row, at, FIGURE_MM).anchored(across, VAlign::Middle)
            })
            .collect();
    }
    // It reads from below or from the right.
    let mut turn_deg = direction.angle().to_degrees();
    if !(-89.999..=90.001).contains(&turn_deg) {
        turn_deg -= 180.0_f64.copysign(turn_deg);
    }
    let above = Vec2::from_angle(turn_deg.to_radians()).turn_90();
    let label = Label::new(text, a.midpoint(b) + above * 1.2, FIGURE_MM);
    vec![label.anchored(HAlign::Middle, VAlign::Base).turned(turn_deg)]
}

/// A filled arrow head with its point at `tip`, pointing along `direction`.
pub(super) fn arrow(tip: Point, direction: Vec2) -> BezPath {
    let (back, side) = (tip - direction * ARROW_MM, direction.turn_90() * (ARROW_MM / 6.0));
    let mut path = BezPath::new();
    path.move_to(tip);
    path.line_to(back + side);
    path.line_to(back - side);
    path.close_path();
    path
}
