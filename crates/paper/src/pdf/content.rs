//! A page's content stream: its marks, pen by pen.

use super::PT_PER_MM;
use super::type0::Faces;
use crate::Page;
use crate::number::rounded;
use crate::pens::{Stroke, phase_mm, stroke};
use drawing::{Item, Label, Mark, Pen, lettering};
use kurbo::{Affine, BezPath, Circle, PathEl, Point, Vec2};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Arcs to a circle: eight cubics are off by 4·10⁻⁶ of its radius at most.
const ARCS: u32 = 8;

/// A written page.
pub(super) struct Content {
    pub(super) bytes: Vec<u8>,
    /// Pens used, by their place in [`Pen::ALL`].
    pub(super) pens: BTreeSet<usize>,
}

/// The name of a pen's layer in a page's resources.
pub(super) fn layer_name(place: usize) -> String {
    format!("L{place}")
}

pub(super) fn write(page: &Page, faces: &mut Faces) -> Content {
    let drawing = &page.drawing;
    let mut out = page.trim.map(trimmed).unwrap_or_default();
    let mut pens = BTreeSet::new();
    for (place, pen) in Pen::ALL.into_iter().enumerate() {
        let items: Vec<&Item> = drawing.items.iter().filter(|item| item.pen == pen).collect();
        if items.is_empty() {
            continue;
        }
        pens.insert(place);
        let _ = writeln!(out, "/OC /{} BDC", layer_name(place));
        out.push_str("q\n");
        set_stroke(&mut out, stroke(pen));
        items.iter().for_each(|item| mark(&mut out, item, faces));
        out.push_str("Q\nEMC\n");
    }
    Content { bytes: out.into_bytes(), pens }
}

/// All that follows goes through the printer's trim; the figures themselves stay true.
fn trimmed(trim: Affine) -> String {
    let [a, b, c, d, e, f] = trim.as_coeffs();
    let turn = [a, b, c, d].map(|n| rounded(n, 8)).join(" ");
    format!("{turn} {} {} cm\n", pt(e), pt(f))
}

fn set_stroke(out: &mut String, stroke: Stroke) {
    let grey = rounded(stroke.grey, 2);
    let _ = writeln!(out, "{} w 0 J 1 j {grey} G {grey} g", pt(stroke.width_mm));
    set_dashes(out, stroke, 0.0);
}

fn set_dashes(out: &mut String, stroke: Stroke, phase_mm: f64) {
    let dashes: Vec<String> = stroke.dashes_mm.iter().map(|mm| pt(*mm)).collect();
    let _ = writeln!(out, "[{}] {} d", dashes.join(" "), pt(phase_mm));
}

fn mark(out: &mut String, item: &Item, faces: &mut Faces) {
    match &item.mark {
        Mark::Path(line) => {
            let phase = phase_mm(item.pen, line);
            if phase > 0.0 {
                set_dashes(out, stroke(item.pen), phase);
            }
            path(out, line);
            out.push_str("S\n");
        }
        Mark::Fill(area) => {
            path(out, area);
            out.push_str("f\n");
        }
        Mark::Circle(line) => {
            path(out, &circle(*line));
            out.push_str("S\n");
        }
        Mark::Text(label) => text(out, label, faces),
    }
}

fn path(out: &mut String, path: &BezPath) {
    let mut last = Point::ORIGIN;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => points(out, &[p], "m"),
            PathEl::LineTo(p) => points(out, &[p], "l"),
            PathEl::QuadTo(a, p) => {
                // The same curve one degree up.
                points(out, &[last.lerp(a, 2.0 / 3.0), p.lerp(a, 2.0 / 3.0), p], "c");
            }
            PathEl::CurveTo(a, b, p) => points(out, &[a, b, p], "c"),
            PathEl::ClosePath => out.push_str("h "),
        }
        last = element.end_point().unwrap_or(last);
    }
}

/// A circle as cubics. A cubic of control length 4/3·tan(α/4) meets an arc of α at both ends and
/// its middle.
fn circle(circle: Circle) -> BezPath {
    let turn = std::f64::consts::TAU / f64::from(ARCS);
    let reach = 4.0 / 3.0 * (turn / 4.0).tan();
    let at = |k: u32| circle.radius * Vec2::from_angle(f64::from(k % ARCS) * turn);
    let quarter = |v: Vec2| Vec2::new(-v.y, v.x) * reach;
    let mut path = BezPath::new();
    path.move_to(circle.center + at(0));
    for k in 0..ARCS {
        let (a, b) = (at(k), at(k + 1));
        let centre = circle.center;
        path.curve_to(centre + a + quarter(a), centre + b - quarter(b), centre + b);
    }
    path.close_path();
    path
}

fn text(out: &mut String, label: &Label, faces: &mut Faces) {
    if label.text.is_empty() {
        return;
    }
    let (x, y) = lettering::start_mm(label);
    let (sin, cos) = label.turn_deg.to_radians().sin_cos();
    let at = label.at + Vec2::new(x * cos - y * sin, x * sin + y * cos);
    let size = pt(lettering::type_size_mm(label.height_mm));
    let turn = [cos, sin, -sin, cos].map(|n| rounded(n, 6)).join(" ");
    let glyphs: String =
        faces.glyphs(label.face, &label.text).map(|g| format!("{g:04X}")).collect();
    let name = super::type0::resource(label.face);
    let _ =
        writeln!(out, "BT /{name} {size} Tf {turn} {} {} Tm <{glyphs}> Tj ET", pt(at.x), pt(at.y));
}

fn points(out: &mut String, points: &[Point], operator: &str) {
    for p in points {
        let _ = write!(out, "{} {} ", pt(p.x), pt(p.y));
    }
    out.push_str(operator);
    out.push(' ');
}

/// Millimetres in points, to 0.0001 pt (0.00004 mm).
fn pt(mm: f64) -> String {
    rounded(mm * PT_PER_MM, 4)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::ParamCurve;

    #[test]
    fn a_circle_is_round() {
        let circle_mm = Circle::new((100.0, 50.0), 210.0);
        for segment in circle(circle_mm).segments() {
            for k in 0..=50 {
                let p = segment.eval(f64::from(k) / 50.0);
                assert!((p.distance(circle_mm.center) - 210.0).abs() < 0.001);
            }
        }
    }
}
