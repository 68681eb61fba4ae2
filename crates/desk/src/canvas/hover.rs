//! Live figures near the pointer: what is under it, said in a small tag.

use super::{Read, Sight};
use crate::Derived;
use crate::figures::{Figure, at_pointer};
use crate::session::Session;
use crate::theme::{Palette, figures};
use egui::{Align2, Color32, Id, Pos2, Rect, Stroke, Ui, pos2, vec2};
use kurbo::Point;
use outline::Nearest;
use units::LengthUnit;

/// How near the pointer must come to the outline, points.
const REACH: f64 = 10.0;

/// Below the pointer, from where a tag hangs above and right of it, points.
const BELOW: f32 = 36.0;

/// Shows the figures under the pointer: a dot on the outline, a hairline across, a tag. Gives
/// the place of the outline.
pub(crate) fn show(ui: &Ui, read: &Read<'_>, sight: &Sight, session: &Session) -> Option<Nearest> {
    let Derived { reckoning, lengths, .. } = read.derived;
    let reach_mm = sight.mm(REACH);
    let pointer = sight.plane_from_knife.inverse() * session.pointer?;
    let found = at_pointer(read.knife, reckoning, lengths.as_ref()?, pointer, reach_mm)?;
    let here = sight.ui_from_knife(found.place.at);
    let p = read.palette;
    for (from, to) in found.figures.iter().filter_map(|figure| figure.span) {
        measure(ui, sight.ui_from_knife(from), sight.ui_from_knife(to), p);
    }
    ui.painter().circle(here, 3.5, p.grip_chosen, Stroke::new(1.5, p.steel_low));
    let lines = std::iter::once(place(read, found.place.at));
    let lines: Vec<String> = lines.chain(found.figures.iter().map(Figure::words)).collect();
    tag(ui, here + vec2(16.0, -16.0), Align2::LEFT_BOTTOM, &lines.join("\n"), p);
    Some(found.place)
}

/// A place's coordinates as a tag tells them.
pub(crate) fn place(read: &Read<'_>, place: Point) -> String {
    let (at, unit) = (read.origin.to_local(place), read.knife.unit);
    format!("x {}, y {}", short(at.x, unit), short(at.y, unit))
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

/// Where the tags of this frame stand, and what lies over the canvas.
#[derive(Clone, Default)]
struct Taken {
    panel: Option<Rect>,
    tags: Vec<Rect>,
}

fn taken_id() -> Id {
    Id::unique("taken by tags")
}

/// Begins a frame without tags, of which none is to stand under the panel.
pub(crate) fn clear(ui: &Ui, panel: Option<Rect>) {
    ui.data_mut(|data| data.insert_temp(taken_id(), Taken { panel, tags: Vec::new() }));
}

/// The box beside or below a panel in the upper right corner, whichever is nearer.
fn beside(rect: Rect, panel: Rect) -> Rect {
    if !rect.intersects(panel) {
        return rect;
    }
    let (left, down) = (rect.max.x + 4.0 - panel.min.x, panel.max.y + 4.0 - rect.min.y);
    rect.translate(if left < down { vec2(-left, 0.0) } else { vec2(0.0, down) })
}

/// A small tag with figures, kept on the canvas, clear of its panel and of every tag that is there
/// already.
pub(crate) fn tag(ui: &Ui, at: Pos2, align: Align2, words: &str, palette: &Palette) {
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
    let mut taken: Taken = ui.data(|data| data.get_temp(taken_id())).unwrap_or_default();
    if let Some(panel) = taken.panel {
        let moved = beside(rect, panel);
        // Not over what the pointer is at, left of and below where a tag hangs.
        let covers = moved.min.y > rect.min.y && align == Align2::LEFT_BOTTOM && moved.contains(at);
        rect = if covers { moved.translate(vec2(0.0, at.y + BELOW - moved.min.y)) } else { moved };
    }
    while let Some(other) = taken.tags.iter().find(|other| other.intersects(rect)) {
        rect = rect.translate(vec2(0.0, other.max.y + 3.0 - rect.min.y));
    }
    painter.rect_filled(rect, 5.0, palette.tag);
    painter.galley(pos2(rect.min.x + 7.0, rect.min.y + 4.0), galley, palette.tag_text);
    taken.tags.push(rect);
    ui.data_mut(|data| data.insert_temp(taken_id(), taken));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tag_goes_the_nearer_way_out_of_a_panel() {
        let panel = Rect::from_min_size(pos2(600.0, 100.0), vec2(300.0, 190.0));
        let tag = |x, y| Rect::from_min_size(pos2(x, y), vec2(120.0, 60.0));
        assert_eq!(beside(tag(100.0, 100.0), panel), tag(100.0, 100.0));
        assert_eq!(beside(tag(500.0, 120.0), panel), tag(476.0, 120.0));
        assert_eq!(beside(tag(700.0, 260.0), panel), tag(700.0, 294.0));
    }
}
