//! Live figures near the pointer: what is under it, said in a small tag.

use super::{Read, Sight};
use crate::session::Session;
use crate::theme::{Palette, figures};
use egui::{Align2, Color32, Pos2, Rect, Stroke, Ui, pos2, vec2};
use kurbo::{Line, ParamCurveArclen as _, Point};
use outline::Outline;
use units::LengthUnit;

/// How near the pointer must come to the outline, points.
const REACH: f64 = 10.0;

/// What there is to say about a place of the outline.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Figures {
    /// The place itself.
    pub(crate) at: Point,
    /// Index of its stretch.
    pub(crate) segment: usize,
    /// Where on it.
    pub(crate) t: f64,
    /// Length of the stretch, mm.
    pub(crate) stretch_mm: f64,
    /// The other side, straight across the knife there.
    pub(crate) across: Option<Point>,
    /// Radius of curvature, mm, negative where hollow; `None` on a straight.
    pub(crate) radius_mm: Option<f64>,
}

/// The figures of the outline where it is nearest to a place, within reach.
pub(crate) fn at(outline: &Outline, near: Point, reach_mm: f64) -> Option<Figures> {
    let nearest = outline.nearest(near);
    if nearest.distance_mm > reach_mm {
        return None;
    }
    let curvature = outline.curvature_at(nearest.segment, nearest.t);
    let radius_mm = 1.0 / curvature;
    Some(Figures {
        at: nearest.at,
        segment: nearest.segment,
        t: nearest.t,
        stretch_mm: outline.segs()[nearest.segment].arclen(1e-4),
        across: across(outline, nearest.at),
        radius_mm: (radius_mm.is_finite() && radius_mm.abs() < 5000.0).then_some(radius_mm),
    })
}

/// The far side of the material above or below a place of the outline.
fn across(outline: &Outline, at: Point) -> Option<Point> {
    let line = Line::new(at, Point::new(at.x, at.y + 1.0));
    let crossings = outline.crossings_with(line);
    let others = crossings.iter().filter(|c| (c.at.y - at.y).abs() > 1e-3);
    let inside = |c: &&outline::LineCrossing| outline.contains(c.at.midpoint(at));
    others
        .filter(inside)
        .min_by(|a, b| (a.at.y - at.y).abs().total_cmp(&(b.at.y - at.y).abs()))
        .map(|c| c.at)
}

/// Shows the figures under the pointer: a dot on the outline, a hairline across, a tag.
pub(crate) fn show(ui: &Ui, read: &Read<'_>, sight: &Sight, session: &Session) -> Option<Figures> {
    let outline = read.derived.reckoning.outline.as_ref()?;
    let pointer = sight.bar_from_knife.inverse() * session.pointer?;
    let found = at(outline, pointer, sight.mm(REACH))?;
    let here = sight.ui_from_knife(found.at);
    let p = read.palette;
    if let Some(across) = found.across {
        let there = sight.ui_from_knife(across);
        measure(ui, here, there, p);
    }
    ui.painter().circle(here, 3.5, p.grip_chosen, Stroke::new(1.5, p.steel_low));
    let unit = read.knife.unit;
    let mut lines = vec![format!("stretch {}", length(found.stretch_mm, unit))];
    if let Some(across) = found.across {
        lines.push(format!("width here {}", length(across.distance(found.at), unit)));
    }
    lines.push(match found.radius_mm {
        Some(r) if r < 0.0 => format!("hollow, radius {}", length(-r, unit)),
        Some(r) => format!("radius {}", length(r, unit)),
        None => "straight".to_owned(),
    });
    tag(ui, here + vec2(16.0, -16.0), Align2::LEFT_BOTTOM, &lines.join("\n"), p);
    Some(found)
}

/// A length as a tag tells it, short.
pub(crate) fn length(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_mm(mm, 2),
        LengthUnit::Inch => units::show_length(mm, unit),
    }
}

/// A length as briefly as it is measured: without its nearest fraction.
pub(crate) fn short(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_mm(mm, 2),
        LengthUnit::Inch => units::show_inch(mm, 3),
    }
}

/// A measured distance on the canvas: a line with small stops.
pub(crate) fn measure(ui: &Ui, from: Pos2, to: Pos2, palette: &Palette) {
    if from.distance(to) < 1.0 {
        return;
    }
    let painter = ui.painter();
    let stop = (to - from).normalized().rot90() * 4.0;
    for (width, colour) in [(3.5, palette.halo), (1.2, palette.grip_chosen)] {
        let stroke = Stroke::new(width, colour);
        painter.line_segment([from, to], stroke);
        painter.line_segment([from - stop, from + stop], stroke);
        painter.line_segment([to - stop, to + stop], stroke);
    }
}

/// A small tag with figures, kept on the canvas. Tells where it stands.
pub(crate) fn tag(ui: &Ui, at: Pos2, align: Align2, words: &str, palette: &Palette) -> Rect {
    tag_clear_of(ui, at, align, words, palette, &[])
}

/// A tag that goes below those which are there already.
pub(crate) fn tag_clear_of(
    ui: &Ui,
    at: Pos2,
    align: Align2,
    words: &str,
    palette: &Palette,
    others: &[Rect],
) -> Rect {
    let painter = ui.painter();
    let galley = painter.layout_no_wrap(words.to_owned(), figures(13.5), Color32::PLACEHOLDER);
    let size = galley.size() + vec2(14.0, 8.0);
    let room = painter.clip_rect().shrink(4.0);
    let mut rect = align.anchor_size(at, size);
    let push = vec2(
        (room.min.x - rect.min.x).max(0.0) - (rect.max.x - room.max.x).max(0.0),
        (room.min.y - rect.min.y).max(0.0) - (rect.max.y - room.max.y).max(0.0),
    );
    rect = rect.translate(push);
    while let Some(other) = others.iter().find(|other| other.intersects(rect)) {
        rect = rect.translate(vec2(0.0, other.max.y + 3.0 - rect.min.y));
    }
    painter.rect_filled(rect, 5.0, palette.tag);
    painter.galley(pos2(rect.min.x + 7.0, rect.min.y + 4.0), galley, palette.tag_text);
    rect
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rectangle 100 × 30: everything is known.
    #[test]
    fn a_plain_rectangle() {
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (0.0, 30.0)].map(Point::from);
        let outline = Outline::polygon(&corners).unwrap();
        let figures = at(&outline, Point::new(40.0, 30.5), 1.0).unwrap();
        assert_eq!(figures.at, Point::new(40.0, 30.0));
        assert_eq!(figures.across, Some(Point::new(40.0, 0.0)));
        assert!((figures.stretch_mm - 100.0).abs() < 1e-9);
        assert_eq!(figures.radius_mm, None);
        assert_eq!(at(&outline, Point::new(40.0, 32.0), 1.0), None);
    }
}
