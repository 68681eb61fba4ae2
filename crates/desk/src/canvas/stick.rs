//! What is dragged sticks to what is near it, and tells to what.

use super::{Read, Sight, hover, is_fine, rulers};
use crate::snap::{Catches, Grid, Snapped};
use egui::{Stroke, Ui};
use knife::PartId;
use kurbo::Point;

/// How near a dragged place must come to stick, points.
const STICKS: f64 = 6.0;

/// Where a dragged place of the knife sticks to, unless Ctrl or Alt is held. A guide is drawn
/// to whatever it sticks to.
pub(crate) fn caught(
    ui: &Ui,
    read: &Read<'_>,
    sight: &Sight,
    moving: &[PartId],
    wanted: Point,
) -> Point {
    let wanted = sight.plane_from_knife * wanted;
    let found = stuck(ui, read, sight, moving, wanted).map_or(wanted, |snapped| {
        guides(ui, read, sight, snapped);
        snapped.at
    });
    sight.plane_from_knife.inverse() * found
}

/// Where a place of an outline that is being drawn sticks to: besides, its other points, each
/// with its number from 1.
pub(crate) fn caught_drawn(
    ui: &Ui,
    read: &Read<'_>,
    sight: &Sight,
    others: impl Iterator<Item = (usize, Point)>,
    wanted: Point,
) -> Point {
    let wanted = sight.plane_from_knife * wanted;
    if is_fine(ui) {
        return sight.plane_from_knife.inverse() * wanted;
    }
    let others = others.map(|(number, at)| (number, sight.plane_from_knife * at));
    let catches = catches(read, sight, &[]).with_points(others);
    let snapped = catches.snap(wanted, sight.mm(STICKS));
    guides(ui, read, sight, snapped);
    sight.plane_from_knife.inverse() * snapped.at
}

/// Where a place of the blank sticks to when the whole blank is dragged, in the bar's plane.
pub(crate) fn caught_blank(ui: &Ui, read: &Read<'_>, sight: &Sight, wanted: Point) -> Point {
    let Some(snapped) = stuck(ui, read, sight, &[PartId::Profile], wanted) else { return wanted };
    guides(ui, read, sight, snapped);
    snapped.at
}

/// Where a line across the knife sticks to when it is dragged along: the grid, when it is shown.
pub(crate) fn caught_along(ui: &Ui, read: &Read<'_>, sight: &Sight, wanted: Point) -> Point {
    let on_plane = sight.plane_from_knife * wanted;
    let Some(found) = stuck(ui, read, sight, &[PartId::Profile], on_plane) else { return wanted };
    let Some(x) = found.x else { return wanted };
    let at = Point::new(found.at.x, on_plane.y);
    guides(ui, read, sight, Snapped { at, x: Some(x), y: None });
    sight.plane_from_knife.inverse() * at
}

/// What a place of the canvas's plane sticks to.
fn stuck(
    ui: &Ui,
    read: &Read<'_>,
    sight: &Sight,
    moving: &[PartId],
    wanted: Point,
) -> Option<Snapped> {
    if is_fine(ui) {
        return None;
    }
    Some(catches(read, sight, moving).snap(wanted, sight.mm(STICKS)))
}

fn catches(read: &Read<'_>, sight: &Sight, moving: &[PartId]) -> Catches {
    let grid = read.settings.grid.then(|| Grid {
        pitch_mm: read.settings.pitch_mm(read.knife.unit),
        origin: rulers::zero(sight, read),
    });
    Catches::of(read.knife, moving, sight.plane, grid)
}

/// Dashed lines to whatever a place has stuck to, and its name.
fn guides(ui: &Ui, read: &Read<'_>, sight: &Sight, snapped: Snapped) {
    let here = sight.view.ui_from_mm(snapped.at);
    for caught in [snapped.x, snapped.y].into_iter().flatten() {
        let there = sight.view.ui_from_mm(caught.from);
        let line = Stroke::new(1.0, read.palette.grip_chosen);
        ui.painter().extend(egui::Shape::dashed_line(&[there, here], line, 4.0, 3.0));
    }
    if let Some(words) = snapped.words() {
        let at = here + egui::vec2(-16.0, 18.0);
        hover::tag(ui, at, egui::Align2::RIGHT_TOP, &words, read.palette);
    }
}
