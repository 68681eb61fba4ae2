//! Writing a drawing as SVG in millimetres.

use crate::curves::curved;
use crate::font;
use crate::number_format::number;
use crate::pens::{id, phase_mm, stroke};
use kurbo::{Affine, BezPath, PathEl, Point, Rect};
use marks::{Drawing, Item, Label, Mark, Pen, lettering};
use std::fmt::Write;

/// The part of a drawing in `window`, as an SVG whose lengths are millimetres: `width` and
/// `height` carry the unit, and one unit of the view box is one millimetre. Every pen is a group
/// with a readable id; circles stay circles, curves stay curves, text becomes outlines.
///
/// Give a page's own size as the window to write a page, or a drawing's bounds with some white
/// around them to write the drawing alone.
pub fn svg(drawing: &Drawing, window: Rect, title: &str) -> String {
    let (width, height) = (number(window.width()), number(window.height()));
    let mut out = String::new();
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\">"
    );
    if !title.is_empty() {
        let _ = writeln!(out, "<title>{}</title>", escaped(title));
    }
    for pen in Pen::ALL {
        let items: Vec<&Item> = drawing.items.iter().filter(|item| item.pen == pen).collect();
        if !items.is_empty() {
            group(&mut out, pen, &items, window);
        }
    }
    out.push_str("</svg>\n");
    out
}

fn group(out: &mut String, pen: Pen, items: &[&Item], window: Rect) {
    let stroke = stroke(pen);
    let grey = format!("#{}", format!("{:02x}", grey_byte(stroke.grey)).repeat(3));
    let _ = write!(
        out,
        "<g id=\"{}\" fill=\"none\" stroke=\"{grey}\" stroke-width=\"{}\" \
         stroke-linejoin=\"round\"",
        id(pen),
        number(stroke.width_mm)
    );
    if !stroke.dashes_mm.is_empty() {
        let dashes: Vec<String> = stroke.dashes_mm.iter().map(|mm| number(*mm)).collect();
        let _ = write!(out, " stroke-dasharray=\"{}\"", dashes.join(" "));
    }
    let _ = writeln!(out, ">\n<title>{}</title>", pen.name());
    for item in items {
        match &item.mark {
            Mark::Path(line) => {
                let phase = phase_mm(pen, line);
                // Lines of the grind are worked out point by point.
                let is_worked = matches!(pen, Pen::Bevel | Pen::Guide);
                let curves = is_worked.then(|| curved(line));
                let data = path_data(curves.as_ref().unwrap_or(line), window);
                let offset = if phase > 0.0 {
                    format!(" stroke-dashoffset=\"{}\"", number(phase))
                } else {
                    String::new()
                };
                let _ = writeln!(out, "<path{offset} d=\"{data}\"/>");
            }
            Mark::Fill(area) => {
                let data = path_data(area, window);
                let _ = writeln!(out, "<path fill=\"{grey}\" stroke=\"none\" d=\"{data}\"/>");
            }
            Mark::Circle(circle) => {
                let centre = down(circle.center, window);
                let _ = writeln!(
                    out,
                    "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                    number(centre.x),
                    number(centre.y),
                    number(circle.radius)
                );
            }
            Mark::Text(label) => text(out, label, &grey, window),
        }
    }
    out.push_str("</g>\n");
}

/// Text as the outlines of its letters, so that it looks the same in any reader; what it says
/// stands in `aria-label`.
fn text(out: &mut String, label: &Label, ink: &str, window: Rect) {
    let said = lettering::with_fallbacks(&label.text);
    let Ok(face) = font::open(label.face) else { return };
    if said.trim().is_empty() {
        return;
    }
    let (x, y) = lettering::start_mm(label);
    let size = lettering::type_size_mm(label.height_mm) / lettering::UNITS_PER_EM;
    let start = Affine::translate(label.at.to_vec2())
        * Affine::rotate(label.turn_deg.to_radians())
        * Affine::translate((x, y))
        * Affine::scale(size);
    let data = path_data(&(start * font::outline(&face, &said)), window);
    let said = escaped(&said);
    let _ =
        writeln!(out, "<path aria-label=\"{said}\" fill=\"{ink}\" stroke=\"none\" d=\"{data}\"/>");
}

fn path_data(path: &BezPath, window: Rect) -> String {
    let mut data = String::new();
    let mut put = |operator: &str, points: &[Point]| {
        data.push_str(operator);
        for (k, p) in points.iter().enumerate() {
            let p = down(*p, window);
            let space = if k == 0 { "" } else { " " };
            let _ = write!(data, "{space}{} {}", number(p.x), number(p.y));
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => put("M", &[p]),
            PathEl::LineTo(p) => put("L", &[p]),
            PathEl::QuadTo(a, p) => put("Q", &[a, p]),
            PathEl::CurveTo(a, b, p) => put("C", &[a, b, p]),
            PathEl::ClosePath => put("Z", &[]),
        }
    }
    data
}

/// From the drawing's plane (y up) to the picture's (y down, origin at the upper left).
fn down(p: Point, window: Rect) -> Point {
    Point::new(p.x - window.x0, window.y1 - p.y)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a byte")]
fn grey_byte(grey: f64) -> u8 {
    (grey * 255.0).round().clamp(0.0, 255.0) as u8
}

/// Text as XML holds it; control signs, which XML can't hold, left out.
fn escaped(text: &str) -> String {
    let plain: String = text.chars().filter(|sign| !sign.is_control()).collect();
    plain.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
