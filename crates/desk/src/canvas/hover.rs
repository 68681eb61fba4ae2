//! Live figures of what is under the pointer: in the status line, and in small tags while something
//! is dragged.

use crate::context::CanvasContext;
use crate::figures::{Figure, at_pointer};
use crate::theme::{Palette, figures};
use egui::{Align2, Color32, Id, Pos2, Rect, Stroke, Ui, pos2, vec2};
use outline::Nearest;

/// How near the pointer must come to the outline, points.
const REACH: f64 = 10.0;

/// Below the pointer, from where a tag hangs above and right of it, points.
const BELOW: f32 = 36.0;

impl CanvasContext<'_> {
    /// Shows the figures under the pointer: a dot on the outline, a hairline across, a tag. Gives
    /// the place of the outline.
    pub(crate) fn show_figures(&self) -> Option<Nearest> {
        let (context, knife_view, p) = (self.context, self.knife_view, self.context.palette);
        let pointer = knife_view.knife_from_plane(self.pointer.position?);
        let lengths = context.derived.lengths.as_ref()?;
        let reach_mm = knife_view.mm(REACH);
        let found = at_pointer(context.knife, context.reckoning(), lengths, pointer, reach_mm)?;
        let here = knife_view.ui_from_knife(found.place.at);
        for (from, to) in found.figures.iter().filter_map(|figure| figure.span) {
            measure(self.ui, knife_view.ui_from_knife(from), knife_view.ui_from_knife(to), p);
        }
        self.ui.painter().circle(here, 3.5, p.grip_chosen, Stroke::new(1.5, p.steel_low));
        let lines = std::iter::once(context.point(found.place.at));
        let lines: Vec<String> = lines.chain(found.figures.iter().map(Figure::describe)).collect();
        self.tag(here + vec2(16.0, -16.0), Align2::LEFT_BOTTOM, &lines.join("\n"));
        Some(found.place)
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
struct Occupied {
    panel: Option<Rect>,
    tags: Vec<Rect>,
    status: Vec<String>,
}

fn occupied_id() -> Id {
    Id::unique("taken by tags")
}

/// Begins a frame without tags, of which none is to stand under the panel.
pub(crate) fn clear(ui: &Ui, panel: Option<Rect>) {
    let nothing = Occupied { panel, ..Occupied::default() };
    ui.data_mut(|data| data.insert_temp(occupied_id(), nothing));
}

/// Tells figures in the status line.
pub(crate) fn tell(ui: &Ui, text: &str) {
    ui.data_mut(|data| {
        let occupied: &mut Occupied = data.get_temp_mut_or_default(occupied_id());
        occupied.status.extend(text.lines().map(str::to_owned));
    });
}

/// What this frame has to tell in the status line.
pub(crate) fn status_text(ui: &Ui) -> String {
    let occupied: Occupied = ui.data(|data| data.get_temp(occupied_id())).unwrap_or_default();
    occupied.status.join("  ·  ")
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
pub(crate) fn tag(ui: &Ui, at: Pos2, align: Align2, text: &str, palette: &Palette) {
    let painter = ui.painter();
    let galley = painter.layout_no_wrap(text.to_owned(), figures(13.5), Color32::PLACEHOLDER);
    let size = galley.size() + vec2(14.0, 8.0);
    let room = painter.clip_rect().shrink(4.0);
    let mut rect = align.anchor_size(at, size);
    let push = vec2(
        (room.min.x - rect.min.x).max(0.0) - (rect.max.x - room.max.x).max(0.0),
        (room.min.y - rect.min.y).max(0.0) - (rect.max.y - room.max.y).max(0.0),
    );
    rect = rect.translate(push);
    let mut occupied: Occupied = ui.data(|data| data.get_temp(occupied_id())).unwrap_or_default();
    if let Some(panel) = occupied.panel {
        let moved = beside(rect, panel);
        // Not over what the pointer is at, left of and below where a tag hangs.
        let covers = moved.min.y > rect.min.y && align == Align2::LEFT_BOTTOM && moved.contains(at);
        rect = if covers { moved.translate(vec2(0.0, at.y + BELOW - moved.min.y)) } else { moved };
    }
    while let Some(other) = occupied.tags.iter().find(|other| other.intersects(rect)) {
        rect = rect.translate(vec2(0.0, other.max.y + 3.0 - rect.min.y));
    }
    painter.rect_filled(rect, 5.0, palette.tag);
    painter.galley(pos2(rect.min.x + 7.0, rect.min.y + 4.0), galley, palette.tag_text);
    occupied.tags.push(rect);
    ui.data_mut(|data| data.insert_temp(occupied_id(), occupied));
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
