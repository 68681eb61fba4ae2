//! Where the pointer is and what it drags.

use kurbo::Point;

/// The pointer on the canvas.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PointerState {
    /// Where it is in the plane of the canvas, mm; `None` elsewhere.
    pub position: Option<Point>,
    /// Where the menu of a right click was asked for, in the plane of the canvas, mm.
    pub menu_at: Option<Point>,
    /// What is being dragged and where it stood, in the knife's plane, mm.
    pub drag: Option<(egui::Id, Point)>,
    /// Where a rubber band began, in the plane of the canvas, mm.
    pub band: Option<Point>,
    /// Whether a drag pans the view.
    pub panning: bool,
}

impl PointerState {
    /// Where it is, or where the menu of a right click was asked for last, in the plane of the
    /// canvas, mm.
    pub fn at(&self) -> Option<Point> {
        self.position.or(self.menu_at)
    }

    /// Whether something is being dragged.
    pub fn is_dragging(&self) -> bool {
        self.drag.is_some()
    }
}
