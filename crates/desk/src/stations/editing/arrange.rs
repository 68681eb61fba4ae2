//! Selected nodes and holes moved, turned, scaled, mirrored, lined up and spaced out by what is
//! typed.

use crate::state::Selection;
use crate::widgets::{Field, Form};
use knife::{Alignment, Edit, Knife, PartId};
use kurbo::{Point, Rect, Vec2};

/// The selected nodes and holes, where there are several.
pub(crate) fn parts(knife: &Knife, selection: &Selection) -> Vec<(PartId, Point)> {
    if selection.parts.len() < 2 {
        return Vec::new();
    }
    let nodes = knife.profile.nodes.iter().map(|node| (PartId::Node(node.id), node.at));
    let holes = knife.holes.iter().map(|hole| (PartId::Hole(hole.id), hole.at));
    nodes.chain(holes).filter(|(part, _)| selection.contains(*part)).collect()
}

/// The box around some places.
pub(crate) fn bounds(parts: &[(PartId, Point)]) -> Option<Rect> {
    let (_, first) = parts.first()?;
    let around = Rect::from_points(*first, *first);
    Some(parts.iter().fold(around, |around, (_, at)| around.union_pt(*at)))
}

/// What can be typed for several parts.
pub(crate) fn card(form: &mut Form<'_>, selection: &Selection) {
    let placed = parts(form.context.knife, selection);
    let Some(around) = bounds(&placed).filter(|_| placed.len() > 1) else { return };
    let tooltip = "Move, rotate, scale, mirror, align and space out what is selected.";
    let summary = format!("{} selected", placed.len());
    if !form.section("Arrange", tooltip, &summary) {
        return;
    }
    let parts = || -> Vec<PartId> { placed.iter().map(|(part, _)| *part).collect() };
    let (about, x_sign) = (around.center(), form.context.origin.x_sign);
    let moved = |by: Vec2| Edit::MoveParts { parts: parts(), by };
    form.length(("Move along", "Along the knife, in the direction in which x grows."), None)
        .edit(|mm| moved(Vec2::new(mm * x_sign, 0.0)));
    form.length(("Move up", "Up as the drawing lies."), None).edit(|mm| moved(Vec2::new(0.0, mm)));
    form.angle(("Rotate selection by", "About the middle of its box, counter-clockwise."), None)
        .edit(|by_deg| Edit::TurnParts { parts: parts(), about, by_deg });
    let tooltip = "Percent of its size, about the middle of its box; drills stay as they are.";
    form.field(Field::new(("Scale selection to", tooltip), "100 %"), percent)
        .edit(|by| Edit::ScaleParts { parts: parts(), about, x: by, y: by });
    form.wrapped(|form| {
        let mirror = |x, y| Edit::ScaleParts { parts: parts(), about, x, y };
        form.edit_button(("Mirror along", "Left and right change places."), mirror(-1.0, 1.0));
        form.edit_button(("Mirror across", "Up and down change places."), mirror(1.0, -1.0));
    });
    form.wrapped(|form| {
        for (to, label, tooltip) in [
            (Alignment::Left, "Align left", "All at the leftmost x."),
            (Alignment::MiddleX, "Align on x", "All at the middle x, one above the other."),
            (Alignment::Right, "Align right", "All at the rightmost x."),
            (Alignment::Top, "Align top", "All at the topmost y."),
            (Alignment::MiddleY, "Align on y", "All at the middle y, side by side."),
            (Alignment::Bottom, "Align bottom", "All at the lowest y."),
        ] {
            form.edit_button((label, tooltip), Edit::AlignParts { parts: parts(), to });
        }
    });
    if placed.len() > 2 {
        form.wrapped(|form| {
            let spaced = |up| Edit::DistributeParts { parts: parts(), up };
            let tooltip = "Evenly between the two outermost, along the knife.";
            form.edit_button(("Space along", tooltip), spaced(false));
            let tooltip = "Evenly between the two outermost, up the knife.";
            form.edit_button(("Space up", tooltip), spaced(true));
        });
    }
}

/// A scale as a share, from percent.
fn percent(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches('%').trim().replace(',', ".");
    let share = number.parse::<f64>().ok().filter(|percent| (1.0..=10_000.0).contains(percent));
    share
        .map(|percent| percent / 100.0)
        .ok_or_else(|| format!("\"{text}\" isn't a size; type a percentage from 1 to 10000"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentages_are_read_as_people_type_them() {
        assert_eq!(percent("50 %"), Ok(0.5));
        assert_eq!(percent("112,5"), Ok(1.125));
        for bad in ["", "wide", "-3", "0"] {
            assert!(percent(bad).is_err(), "{bad}");
        }
    }
}
