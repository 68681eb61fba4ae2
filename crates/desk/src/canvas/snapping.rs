//! What is dragged snaps to what is near it, and a guide says to what.

use super::input::is_fine;
use super::picture::moves_nodes;
use super::rulers;
use super::snap::{Grid, SnapTargets, Snapped};
use crate::context::CanvasContext;
use egui::{Align2, Shape, Stroke, vec2};
use knife::PartId;
use kurbo::Point;

/// How near a dragged point must come to snap, points.
const REACH: f64 = 6.0;

impl CanvasContext<'_> {
    /// Where a dragged point of the knife snaps to, unless Ctrl or Alt is held. A guide is drawn
    /// to whatever it snaps to.
    pub(crate) fn snap(&self, moving: &[PartId], wanted: Point) -> Point {
        let wanted = self.knife_view.plane_from_knife * wanted;
        self.knife_view.knife_from_plane(self.snap_on_plane(moving, wanted))
    }

    /// Where a point of the blank snaps to when the whole blank is dragged, in the bar's plane.
    pub(crate) fn snap_blank(&self, wanted: Point) -> Point {
        self.snap_on_plane(&[PartId::Profile], wanted)
    }

    fn snap_on_plane(&self, moving: &[PartId], wanted: Point) -> Point {
        let Some(snapped) = self.snapped(moving, wanted) else { return wanted };
        self.show_guides(snapped);
        snapped.at
    }

    /// Where a line across the knife snaps to when it is dragged along: the grid, when it is shown.
    pub(crate) fn snap_along(&self, wanted: Point) -> Point {
        let on_plane = self.knife_view.plane_from_knife * wanted;
        let Some(found) = self.snapped(&[PartId::Profile], on_plane) else { return wanted };
        let Some(x) = found.x else { return wanted };
        let at = Point::new(found.at.x, on_plane.y);
        self.show_guides(Snapped { at, x: Some(x), y: None });
        self.knife_view.knife_from_plane(at)
    }

    /// Where a point of an outline that is being drawn snaps to: besides, its other points, each
    /// with its number from 1.
    pub(crate) fn snap_drawn(
        &self,
        others: impl Iterator<Item = (usize, Point)>,
        wanted: Point,
    ) -> Point {
        if is_fine(self.ui) {
            return wanted;
        }
        let plane_from_knife = self.knife_view.plane_from_knife;
        let others = others.map(|(number, at)| (number, plane_from_knife * at));
        let targets = self.targets(&[]).with_points(others);
        let (wanted, reach_mm) = (plane_from_knife * wanted, self.knife_view.mm(REACH));
        let snapped = self.on_picture_edge(targets.snap(wanted, reach_mm), wanted, reach_mm);
        self.show_guides(snapped);
        self.knife_view.knife_from_plane(snapped.at)
    }

    /// What a point of the canvas's plane snaps to.
    fn snapped(&self, moving: &[PartId], wanted: Point) -> Option<Snapped> {
        let reach_mm = self.knife_view.mm(REACH);
        let snapped = (!is_fine(self.ui)).then(|| self.targets(moving).snap(wanted, reach_mm))?;
        if !moves_nodes(moving) {
            return Some(snapped);
        }
        Some(self.on_picture_edge(snapped, wanted, reach_mm))
    }

    fn targets(&self, moving: &[PartId]) -> SnapTargets {
        let context = self.context;
        let grid = context.settings.grid.then(|| Grid {
            pitch_mm: context.settings.pitch_mm(context.unit()),
            origin: rulers::zero(self.knife_view, context),
        });
        SnapTargets::of(context.knife, moving, self.knife_view.plane, grid)
    }

    /// Dashed lines to whatever a point has snapped to, and its name.
    fn show_guides(&self, snapped: Snapped) {
        let here = self.knife_view.view.ui_from_mm(snapped.at);
        for hit in [snapped.x, snapped.y].into_iter().flatten() {
            let there = self.knife_view.view.ui_from_mm(hit.from);
            let line = Stroke::new(1.0, self.context.palette.grip_chosen);
            self.ui.painter().extend(Shape::dashed_line(&[there, here], line, 4.0, 3.0));
        }
        if let Some(label) = snapped.describe() {
            self.tag(here + vec2(-16.0, 18.0), Align2::RIGHT_TOP, &label);
        }
    }
}
