//! Dimensions that the maker measured and keeps: their lines, arrows and figures.

use super::dimension::{ARROW_MM, arrow};
use kurbo::{Arc, BezPath, Point, Shape, Vec2};
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign, lettering};
use reckon::{Measured, Value, WayAlong};
use units::LengthUnit;

/// Height of a figure, mm (ISO 3098 series, from memory).
const FIGURE_MM: f64 = 2.5;
/// A figure stands this far off its line, mm.
const OFF_MM: f64 = 1.2;
/// A figure along the outline stands this far off it, mm: clear of its curve.
const OFF_CURVE_MM: f64 = 3.2;
/// Arrows that have no room between point from outside, with tails of this length, mm.
const TAIL_MM: f64 = 6.0;
/// Radius of the line of an angle, mm, where its sides are as long.
const ANGLE_MM: f64 = 14.0;

/// A measured value as a person reads it: `R 8 mm`, `35.0°`.
pub fn measured_text(measured: &Measured, unit: LengthUnit) -> String {
    let text = match &measured.value {
        Value::Length(mm) => units::show_in_both(*mm, unit),
        Value::Angle(deg) => units::show_angle(*deg, 1),
        other => {
            let Value::Text(text) = other else { return String::new() };
            text.clone()
        }
    };
    if measured.name == "Radius" { format!("R {text}") } else { text }
}

/// One measured dimension, in the knife's plane.
pub fn measured(measured: &Measured, unit: LengthUnit) -> Drawing {
    let text = measured_text(measured, unit);
    let mut drawing = Drawing::new();
    if let Some(vertex) = measured.vertex {
        angle(&mut drawing, vertex, measured.from, measured.to, &text);
    } else if let Some(along) = measured.along {
        way(&mut drawing, measured, along, &text);
    } else if measured.name == "Radius" {
        radius(&mut drawing, measured.from, measured.to, &text);
    } else {
        span(&mut drawing, measured.from, measured.to, &text);
    }
    drawing
}

fn width_mm(text: &str) -> f64 {
    lettering::width_mm(text, FontFace::Regular, FIGURE_MM)
}

/// A figure beside a line, so turned that it reads from below or from the right.
fn along_line(drawing: &mut Drawing, at: Point, direction: Vec2, off_mm: f64, text: &str) {
    let mut turn_deg = direction.angle().to_degrees();
    if !(-89.999..=90.001).contains(&turn_deg) {
        turn_deg -= 180.0_f64.copysign(turn_deg);
    }
    let above = Vec2::from_angle(turn_deg.to_radians()).turn_90();
    let label = Label::new(text, at + above * off_mm, FIGURE_MM);
    drawing.text(Pen::Dimension, label.anchored(HAlign::Middle, VAlign::Base).turned(turn_deg));
}

/// A figure at the end of a line that runs in a direction.
fn beyond(drawing: &mut Drawing, at: Point, direction: Vec2, text: &str) {
    let across = match direction.x {
        x if x > 0.35 => HAlign::Start,
        x if x < -0.35 => HAlign::End,
        _ => HAlign::Middle,
    };
    let upright = match direction.y {
        y if y > 0.8 => VAlign::Base,
        y if y < -0.8 => VAlign::Top,
        _ => VAlign::Middle,
    };
    let label = Label::new(text, at + direction * OFF_MM, FIGURE_MM);
    drawing.text(Pen::Dimension, label.anchored(across, upright));
}

/// Between two places.
fn span(drawing: &mut Drawing, from: Point, to: Point, text: &str) {
    let way = to - from;
    let length = way.hypot();
    if length < 1e-6 {
        return beyond(drawing, from, Vec2::new(0.0, 1.0), text);
    }
    let direction = way / length;
    let inside = length >= 2.5 * ARROW_MM;
    let (out, tail) = if inside { (1.0, 0.0) } else { (-1.0, TAIL_MM) };
    drawing.line(Pen::Dimension, from - direction * tail, to + direction * tail);
    drawing.add(Pen::Dimension, Mark::Fill(arrow(from, -direction * out)));
    drawing.add(Pen::Dimension, Mark::Fill(arrow(to, direction * out)));
    if length >= width_mm(text) + 2.0 * ARROW_MM {
        along_line(drawing, from.midpoint(to), direction, OFF_MM, text);
    } else {
        beyond(drawing, to + direction * tail.max(OFF_MM), direction, text);
    }
}

/// From the centre to the curve; a centre far off is only pointed to.
fn radius(drawing: &mut Drawing, centre: Point, on: Point, text: &str) {
    let way = on - centre;
    let length = way.hypot();
    let direction = if length < 1e-6 { Vec2::new(0.0, 1.0) } else { way / length };
    let from = on - direction * length.min(12.0);
    let end = on + direction * TAIL_MM;
    if length > 1e-6 {
        drawing.line(Pen::Dimension, from, end);
        drawing.add(Pen::Dimension, Mark::Fill(arrow(on, direction)));
    }
    beyond(drawing, end, direction, text);
}

fn angle(drawing: &mut Drawing, vertex: Point, from: Point, to: Point, text: &str) {
    let (u, v) = (from - vertex, to - vertex);
    let radius = ANGLE_MM.min(u.hypot().max(v.hypot()));
    let start = u.angle();
    let sweep = u.cross(v).atan2(u.dot(v));
    for side in [u, v] {
        let end = vertex + side.normalize() * (radius + 2.0);
        drawing.line(Pen::Dimension, vertex, end);
    }
    let arc = Arc::new(vertex, (radius, radius), start, sweep, 0.0);
    drawing.add(Pen::Dimension, Mark::Path(arc.to_path(1e-3)));
    let sense = if sweep < 0.0 { -1.0 } else { 1.0 };
    if radius * sweep.abs() > 2.5 * ARROW_MM {
        for (angle, sense) in [(start, -sense), (start + sweep, sense)] {
            let ray = Vec2::from_angle(angle);
            drawing.add(
                Pen::Dimension,
                Mark::Fill(arrow(vertex + ray * radius, ray.turn_90() * sense)),
            );
        }
    }
    let middle = Vec2::from_angle(start + sweep / 2.0);
    beyond(drawing, vertex + middle * radius, middle, text);
}

/// Along the outline. A line of its own beside the cut line would be off true size: only its ends
/// are marked.
fn way(drawing: &mut Drawing, measured: &Measured, way: WayAlong, text: &str) {
    let mut ends = BezPath::new();
    for (at, along) in [(measured.from, way.begins), (measured.to, way.ends)] {
        let across = along.turn_90() * ARROW_MM;
        ends.move_to(at - across);
        ends.line_to(at + across);
    }
    drawing.add(Pen::Dimension, Mark::Path(ends));
    let text = format!("{text} along the line");
    along_line(drawing, way.middle, way.at_middle, OFF_CURVE_MM, &text);
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{Anchor, Dimension};

    fn distance(to: (f64, f64)) -> Measured {
        Measured {
            dimension: Dimension::Radius(Anchor::Place(Point::ORIGIN)),
            name: "Distance",
            value: Value::Length(Point::ORIGIN.distance(to.into())),
            from: Point::ORIGIN,
            to: to.into(),
            vertex: None,
            along: None,
        }
    }

    fn texts(drawing: &Drawing) -> Vec<String> {
        let text = |item: &marks::Item| match &item.mark {
            Mark::Text(label) => Some(label.text.clone()),
            _ => None,
        };
        drawing.items.iter().filter_map(text).collect()
    }

    #[test]
    fn every_kind_tells_its_figure_once_and_stays_near() {
        let mm = LengthUnit::Millimetre;
        let wide = distance((60.0, -80.0));
        assert_eq!(texts(&measured(&wide, mm)), ["100.0 mm (3.937 in)"]);
        for to in [(0.5, 0.0), (0.0, -6.0), (-30.0, 0.0), (0.0, 0.0)] {
            let drawing = measured(&distance(to), mm);
            assert_eq!(texts(&drawing).len(), 1, "{to:?}");
        }
        let right = Measured {
            value: Value::Angle(90.0),
            name: "Angle",
            vertex: Some(Point::new(5.0, 5.0)),
            from: Point::new(25.0, 5.0),
            to: Point::new(5.0, 25.0),
            ..wide.clone()
        };
        let drawing = measured(&right, mm);
        assert_eq!(texts(&drawing), ["90.0°"]);
        assert!(drawing.bounds().is_some_and(|bounds| bounds.x1 < 25.0 && bounds.y0 > -5.0));
        let round = Measured { name: "Radius", value: Value::Length(100.0), ..wide.clone() };
        assert!(texts(&measured(&round, mm))[0].starts_with("R 100.0 mm"));
        let along = WayAlong {
            begins: Vec2::new(1.0, 0.0),
            ends: Vec2::new(0.0, 1.0),
            middle: Point::new(40.0, 10.0),
            at_middle: Vec2::new(0.0, 1.0),
        };
        let along = Measured { along: Some(along), ..wide };
        assert!(texts(&measured(&along, mm))[0].ends_with("along the line"));
    }
}
