//! What is handed to whoever shows the knife: what may be read, and how the canvas maps it.

use crate::action::ActionQueue;
use crate::derived::Derived;
use crate::settings::Settings;
use crate::state::{
    DrawTool, HoleTool, PictureState, Plane, PointerState, Selection, Station, Tools, View,
};
use crate::text::short_length;
use crate::theme::Palette;
use egui::{Pos2, Response, Ui};
use knife::Knife;
use kurbo::{Affine, Point, Vec2};
use reckon::{OriginFrame, Reckoning, Shop};
use units::LengthUnit;

/// What may be read while the desk is shown.
#[derive(Clone, Copy)]
pub(crate) struct ViewContext<'a> {
    pub(crate) knife: &'a Knife,
    pub(crate) derived: &'a Derived,
    pub(crate) settings: &'a Settings,
    pub(crate) palette: &'a Palette,
    pub(crate) station: Station,
    /// Where coordinates count from: it holds still while anything is dragged.
    pub(crate) origin: OriginFrame,
}

impl<'a> ViewContext<'a> {
    /// Everything worked out from the knife.
    pub(crate) fn reckoning(&self) -> &'a Reckoning {
        &self.derived.reckoning
    }

    /// The shop.
    pub(crate) fn shop(&self) -> &'a Shop {
        self.derived.shop()
    }

    /// The unit that lengths are shown and typed in.
    pub(crate) fn unit(&self) -> LengthUnit {
        self.knife.unit
    }

    /// A length as briefly as it is measured: decimals alone.
    pub(crate) fn short(&self, mm: f64) -> String {
        short_length(mm, self.unit())
    }

    /// A length with its nearest fraction where that is usual.
    pub(crate) fn length(&self, mm: f64) -> String {
        match self.unit() {
            LengthUnit::Millimetre => units::show_mm(mm, 2),
            LengthUnit::Inch => self.full_length(mm),
        }
    }

    /// A length as sheets show it.
    pub(crate) fn full_length(&self, mm: f64) -> String {
        units::show_length(mm, self.unit())
    }

    /// A length as it is typed: reading it again gives the same.
    pub(crate) fn typed_length(&self, mm: f64) -> String {
        units::write_length(mm, self.unit())
    }

    /// A point's coordinates, short, counted from the origin.
    pub(crate) fn point(&self, point: Point) -> String {
        let at = self.origin.to_local(point);
        format!("x {}, y {}", self.short(at.x), self.short(at.y))
    }
}

/// The knife's plane as it is seen: in the plane of the canvas, then through the camera.
#[derive(Clone, Copy, Debug)]
pub(crate) struct KnifeView {
    pub(crate) view: View,
    pub(crate) plane: Plane,
    pub(crate) plane_from_knife: Affine,
    pub(crate) plane_from_bar: Affine,
}

impl KnifeView {
    /// A knife seen in a plane.
    pub(crate) fn new(view: View, plane: Plane, knife: &Knife) -> Self {
        let (plane_from_knife, plane_from_bar) =
            (plane.plane_from_knife(knife), plane.plane_from_bar(knife));
        Self { view, plane, plane_from_knife, plane_from_bar }
    }

    /// Where a point of the knife is on the screen.
    pub(crate) fn ui_from_knife(&self, p: Point) -> Pos2 {
        self.view.ui_from_mm(self.plane_from_knife * p)
    }

    /// Which point of the knife a point of the screen is.
    pub(crate) fn knife_from_ui(&self, pos: Pos2) -> Point {
        self.knife_from_plane(self.view.mm_from_ui(pos))
    }

    /// Which point of the knife a point of the canvas's plane is.
    pub(crate) fn knife_from_plane(&self, p: Point) -> Point {
        self.plane_from_knife.inverse() * p
    }

    /// Which delta of the knife a delta on the screen is, mm.
    pub(crate) fn knife_from_ui_vec(&self, by: egui::Vec2) -> Vec2 {
        let inverse = self.plane_from_knife.inverse();
        inverse * self.view.mm_from_ui_vec(by).to_point() - inverse * Point::ORIGIN
    }

    /// A length on the screen as one of the plane, mm.
    pub(crate) fn mm(&self, points: f64) -> f64 {
        points / self.view.camera.points_per_mm
    }
}

/// What a station works with on the canvas.
pub(crate) struct CanvasContext<'a> {
    pub(crate) ui: &'a Ui,
    pub(crate) context: &'a ViewContext<'a>,
    pub(crate) knife_view: &'a KnifeView,
    /// What lies under everything: the canvas, or the strip below it.
    pub(crate) background: &'a Response,
    pub(crate) pointer: &'a mut PointerState,
    pub(crate) selection: &'a mut Selection,
    pub(crate) holes: &'a mut HoleTool,
    pub(crate) drawing: &'a mut DrawTool,
    /// The picture under the blank.
    pub(crate) picture: &'a PictureState,
    pub(crate) tools: &'a mut Tools,
    pub(crate) actions: &'a mut ActionQueue,
}
