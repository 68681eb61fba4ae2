//! What the canvas and the Paper station look at.

use super::Camera;
use crate::shaded::{ShadeRequest, Texture};
use kurbo::{Affine, Point, Rect};
use reckon::OriginFrame;

/// So long after its last move the camera is taken to be at rest, seconds: longer than from one
/// notch of the wheel to the next.
pub(crate) const SETTLED_S: f64 = 0.2;

/// Where the view is to go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ViewRequest {
    /// Fit whatever the station works on.
    Fit,
    /// True size on this screen.
    TrueSize,
    /// So many times true size.
    ZoomTo(f64),
    /// Fit what is selected.
    FitSelection,
    /// Nearer or farther by a factor.
    Zoom(f64),
    /// A point of the knife's plane, mm, brought into the middle.
    CentreOn(Point),
}

impl ViewRequest {
    /// The same with its point in another plane.
    pub(crate) fn on_plane(self, plane_from_knife: Affine) -> Self {
        match self {
            Self::CentreOn(point) => Self::CentreOn(plane_from_knife * point),
            other => other,
        }
    }
}

/// What is looked at, and how.
#[derive(Default)]
pub struct ViewState {
    /// What the canvas looks at; `None` before the first frame.
    pub camera: Option<Camera>,
    /// What the canvas looks at on the other kind of station: the Bar station sees the whole
    /// bar, the others the blank.
    other_camera: Option<Camera>,
    /// Whether `camera` is the Bar station's.
    shows_bar: bool,
    /// Where the canvas lay when it was last shown.
    pub canvas: Option<egui::Rect>,
    /// What the strip with the knife on edge looks at.
    pub(crate) edge_camera: Option<Camera>,
    /// What the Paper station looks at.
    pub paper_camera: Option<Camera>,
    /// The box of the pages as they lay there, mm.
    pub(crate) paper_bounds: Option<Rect>,
    /// Where to look next.
    pub request: Option<ViewRequest>,
    /// Where coordinates count from: as it was when the drag began, while there is one.
    pub origin: OriginFrame,
    /// Whether the curvature comb is shown.
    pub comb: bool,
    /// Whether radii are written on the comb.
    pub comb_radii: bool,
    /// Whether the chain of holes is shown at the Bar station.
    pub chain: bool,
    /// When the camera moved last, seconds of the window's own time.
    moved_s: f64,
    /// What the canvas wants lit from the side, when it is shown so.
    pub(crate) shade_request: Option<ShadeRequest>,
    /// The lit picture as the graphics driver has it.
    pub(crate) texture: Option<Texture>,
}

impl ViewState {
    /// Looks at the whole bar or at the blank, each as it was looked at last.
    pub(crate) fn show_bar(&mut self, bar: bool) {
        if self.shows_bar != bar {
            self.shows_bar = bar;
            std::mem::swap(&mut self.camera, &mut self.other_camera);
        }
    }

    /// Whether the camera moves: it moved just now, or a moment ago.
    pub(crate) fn is_moving(&mut self, moved: bool, now_s: f64) -> bool {
        if moved {
            self.moved_s = now_s;
        }
        moved || (0.0..SETTLED_S).contains(&(now_s - self.moved_s))
    }

    /// The stretch of the plane that the strip with the knife on edge shows there, mm.
    pub fn edge_view(&self, strip: egui::Rect) -> Rect {
        let seen = self.edge_camera.map(|camera| super::View { rect: strip, camera }.seen());
        seen.unwrap_or_default()
    }

    /// Forgets every camera, as another blank is opened.
    pub(crate) fn reset(&mut self) {
        self.camera = None;
        self.other_camera = None;
        self.paper_camera = None;
        self.edge_camera = None;
    }
}

/// Where the knife is cut through, x of the knife, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SectionState {
    /// Where it is pinned; else it follows the pointer.
    pub pinned_mm: Option<f64>,
    /// Where the pointer last asked for it.
    pub hovered_mm: Option<f64>,
    /// Whether the canvas has room for the panel that shows it.
    pub(crate) panel_fits: bool,
}
