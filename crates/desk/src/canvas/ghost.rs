//! Another knife under this one: its lines, and where the two part most.

use super::{hover, paint};
use crate::context::CanvasContext;
use crate::theme::Ink;
use egui::{Align2, vec2};

/// Its outline and holes, under whatever is worked on.
pub(crate) fn lines(cx: &CanvasContext<'_>) {
    let p = cx.context.palette;
    let ink = Ink { colour: p.ghost, width: 1.6, dashes: vec![6.0, 3.0] };
    for path in cx.context.derived.ghost.paths() {
        let path = cx.knife_view.plane_from_knife * path;
        paint::path_line(cx.ui.painter(), &cx.knife_view.view, &path, &Ink::solid(p.halo, 3.5));
        paint::path_line(cx.ui.painter(), &cx.knife_view.view, &path, &ink);
    }
}

/// How far the two part where they do so most.
pub(crate) fn gaps(cx: &CanvasContext<'_>) {
    let Some(comparison) = cx.context.derived.ghost.comparison() else { return };
    for gap in &comparison.gaps {
        let (this, other) =
            (cx.knife_view.ui_from_knife(gap.this), cx.knife_view.ui_from_knife(gap.other));
        hover::measure(cx.ui, this, other, cx.context.palette);
        let centre = cx.knife_view.view.rect.center();
        let (align, off) = if this.y < centre.y {
            (Align2::CENTER_BOTTOM, vec2(0.0, this.y.min(other.y) - this.y - 8.0))
        } else {
            (Align2::CENTER_TOP, vec2(0.0, this.y.max(other.y) - this.y + 8.0))
        };
        let text = units::show_mm(gap.mm, 2);
        hover::tag(cx.ui, this + off, align, &text, cx.context.palette);
    }
}
