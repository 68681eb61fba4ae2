//! What the maker is at just now: lost on leaving, never undone.

use crate::asking::Ask;
use crate::canvas::Camera;
use crate::field::Drafts;
use crate::notices::Notices;
use crate::recovery::Recoverable;
use crate::shaded::Wanted;
use crate::{Aside, Proofed, ReliefWish, ShopPage};
use knife::{HoleId, HoleKind, NodeId, PartId};
use kurbo::{Affine, Point};
use reckon::OriginFrame;
use sheets::Sharing;
use std::collections::BTreeSet;
use std::sync::Arc;

/// One of the six stations, in the order of the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Station {
    /// The bar of steel and the blank's place on it.
    Bar,
    /// The outline.
    #[default]
    Profile,
    /// Pin, relief and thong holes.
    Holes,
    /// Plunge and grind lines.
    Bevels,
    /// The scales.
    Handle,
    /// The pages to print.
    Paper,
}

impl Station {
    /// Every station, in the order of the work.
    pub const ALL: [Self; 6] =
        [Self::Bar, Self::Profile, Self::Holes, Self::Bevels, Self::Handle, Self::Paper];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bar => "Bar",
            Self::Profile => "Profile",
            Self::Holes => "Holes",
            Self::Bevels => "Bevels",
            Self::Handle => "Handle",
            Self::Paper => "Paper",
        }
    }

    /// What is done there, in one line.
    pub fn about(self) -> &'static str {
        match self {
            Self::Bar => "The steel, and where the blank lies on it.",
            Self::Profile => "The outline to be cut.",
            Self::Holes => "For pins, for lightness and for a lanyard.",
            Self::Bevels => "Ground, filed and sharpened.",
            Self::Handle => "The pair of scales on the tang.",
            Self::Paper => "The pages as they will print, full size.",
        }
    }

    /// Whether a part is worked on here.
    pub fn works_on(self, part: PartId) -> bool {
        match self {
            Self::Bar => part == PartId::Bar || part == PartId::Profile,
            Self::Profile => {
                matches!(part, PartId::Profile | PartId::Node(_) | PartId::Stretch(_))
            }
            Self::Holes => matches!(part, PartId::Hole(_)),
            Self::Bevels => matches!(part, PartId::Plunge | PartId::GrindLine),
            Self::Handle => part == PartId::Scales,
            Self::Paper => false,
        }
    }

    /// The station where a part is worked on.
    pub fn of(part: PartId) -> Self {
        let works = |station: &Self| station.works_on(part);
        // The outline is drawn at Profile; Bar only lays it.
        let order = [Self::Profile, Self::Holes, Self::Bevels, Self::Handle, Self::Bar];
        order.into_iter().find(works).unwrap_or(Self::Bar)
    }
}

/// What the next hole will be like.
#[derive(Clone, Debug, PartialEq)]
pub struct NextHole {
    /// What it is for.
    pub kind: HoleKind,
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// The drill's designation.
    pub drill: Option<String>,
    /// Pin stock, mm.
    pub pin_mm: Option<f64>,
}

impl Default for NextHole {
    /// A 1/8 in pin in a #30 hole (ASME B94.11M drill sizes; the pairing is common practice).
    fn default() -> Self {
        Self {
            kind: HoleKind::Pin,
            diameter_mm: 3.2639,
            drill: Some("#30".to_owned()),
            pin_mm: Some(3.175),
        }
    }
}

/// What is to be fitted into the view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Aim {
    /// Whatever the station works on.
    Fit,
    /// True size on this screen.
    TrueSize,
    /// Nearer or farther by a factor.
    Zoom(f64),
    /// A place of the knife's plane, mm, brought into the middle.
    Place(Point),
}

impl Aim {
    /// The same with its place in another plane.
    pub(crate) fn on_plane(self, plane_from_knife: Affine) -> Self {
        if let Self::Place(place) = self { Self::Place(plane_from_knife * place) } else { self }
    }
}

/// What the maker is at just now.
#[derive(Default)]
pub struct Session {
    /// The station chosen.
    pub station: Station,
    /// The parts chosen.
    pub selection: BTreeSet<PartId>,
    /// What the canvas looks at; `None` before the first frame.
    pub camera: Option<Camera>,
    /// What the canvas looks at where the rest of the work is done: the Bar station sees the
    /// whole bar, the others the blank.
    pub(crate) aside_camera: Option<Camera>,
    /// Whether `camera` is the Bar station's.
    pub(crate) sees_bar: bool,
    /// Where the canvas lay when it was last shown.
    pub canvas: Option<egui::Rect>,
    /// What the Paper station looks at.
    pub paper_camera: Option<Camera>,
    /// The box of the pages as they lay there, mm.
    pub(crate) paper_bounds: Option<kurbo::Rect>,
    /// Where to look next.
    pub aim: Option<Aim>,
    /// Where the pointer is in the plane of the canvas, mm.
    pub pointer: Option<Point>,
    /// Where a rubber band began, in the plane of the canvas, mm.
    pub band: Option<Point>,
    /// What is being dragged and where it stood, in the knife's plane.
    pub grip: Option<(egui::Id, Point)>,
    /// Where coordinates are counted from: as it was when the drag began, while there is one.
    pub origin: OriginFrame,
    /// Whether a drag pulls the whole view along.
    pub panning: bool,
    /// Whether the next click puts a hole.
    pub placing: bool,
    /// What the next hole will be like.
    pub next_hole: NextHole,
    /// Whether the curvature comb is shown.
    pub comb: bool,
    /// Whether the chain of holes is shown at the Bar station.
    pub chain: bool,
    /// Where on the outline was clicked last: the stretch, and where on it from 0 to 1.
    pub on_line: Option<(NodeId, f64)>,
    /// Whether the sheet of keys is open.
    pub keys: bool,
    /// The page of the manual that is open, if one is.
    pub manual: Option<&'static manual::Page>,
    /// Whether the starters are offered.
    pub starters: bool,
    /// The bar that is being chosen for a drawing of one's own.
    pub new_bar: Option<knife::Bar>,
    /// The drawing of an outline under way.
    pub draw: crate::DrawTool,
    /// Whether something was being typed when the last frame ended.
    pub(crate) typing: bool,
    /// Whether the screen is being matched against a card.
    pub matching: bool,
    /// Whether the welcome has been put away.
    pub greeted: bool,
    /// The paper chosen at the Paper station, if any.
    pub paper: Option<String>,
    /// The border in which nothing is printed, mm, when it isn't the usual one.
    pub margin_mm: Option<f64>,
    /// The printer whose trim is used, by its name. It is never kept: another printer may stand
    /// there the next time.
    pub printer: Option<String>,
    /// The PDF that was written last, if any.
    pub printed: Option<std::path::PathBuf>,
    /// What was read on a printer's proof so far.
    pub proof: Proofed,
    /// The sheets that are not to be printed, by their keys.
    pub left_out: BTreeSet<String>,
    /// Which sheets share a page.
    pub sharing: Sharing,
    /// What was said of sheets that found no room where they were arranged to be.
    pub(crate) apart: Vec<String>,
    /// The date to print on every sheet, if any.
    pub date: Option<String>,
    /// Where the cross-section is pinned, x of the knife, mm; else it follows the pointer.
    pub pinned_mm: Option<f64>,
    /// Where the pointer last asked for a cross-section, x of the knife, mm.
    pub section_mm: Option<f64>,
    /// What the canvas wants lit from the side, when it is shown so.
    pub(crate) shaded: Option<Wanted>,
    /// The lit picture as the window's driver has it, and of which it is.
    pub(crate) texture: Option<(Arc<egui::ColorImage>, egui::TextureHandle)>,
    /// Which point of the grind line is chosen.
    pub(crate) grind_point: Option<usize>,
    /// For how long filing was timed, minutes, until what it did is typed too.
    pub(crate) filed_min: Option<f64>,
    /// The page of the shop card that is open, if it is.
    pub shop: Option<ShopPage>,
    /// Whether the card of heat and finish is open.
    pub heat: bool,
    /// The finding that is being set aside, if one is.
    pub aside: Option<Aside>,
    /// The parts that were chosen when the card was last shown.
    pub(crate) told: BTreeSet<PartId>,
    /// The parts of cards that are unfolded.
    pub(crate) unfolded: BTreeSet<&'static str>,
    /// What a row of relief holes is to be like.
    pub relief: ReliefWish,
    /// What is being asked of the maker.
    pub ask: Option<Ask>,
    /// Whether the window has dialogs for choosing files.
    pub native_dialogs: bool,
    /// Whether the window may close.
    pub leave: bool,
    /// What an earlier run left unsaved.
    pub found: Vec<Recoverable>,
    /// When that was looked for, milliseconds since 1970.
    pub found_ms: u64,
    /// What is being typed.
    pub drafts: Drafts,
    /// Short messages.
    pub notices: Notices,
    /// Whether fonts and colours were given, and for which room.
    pub(crate) dressed: Option<crate::Room>,
}

impl Session {
    /// Looks at the whole bar or at the blank, each as it was looked at last.
    pub(crate) fn see(&mut self, bar: bool) {
        if self.sees_bar != bar {
            self.sees_bar = bar;
            std::mem::swap(&mut self.camera, &mut self.aside_camera);
        }
    }

    /// Looks at everything anew, as another blank is opened.
    pub(crate) fn look_anew(&mut self) {
        self.camera = None;
        self.aside_camera = None;
        self.paper_camera = None;
    }

    /// The nodes chosen, in the order of their names.
    pub fn nodes(&self) -> Vec<NodeId> {
        let node = |part: &PartId| if let PartId::Node(id) = part { Some(*id) } else { None };
        self.selection.iter().filter_map(node).collect()
    }

    /// The stretches chosen.
    pub fn stretches(&self) -> Vec<NodeId> {
        let start = |part: &PartId| if let PartId::Stretch(id) = part { Some(*id) } else { None };
        self.selection.iter().filter_map(start).collect()
    }

    /// The hole chosen, when it is just one.
    pub fn hole(&self) -> Option<HoleId> {
        let mut holes = self.holes().into_iter();
        holes.next().filter(|_| holes.next().is_none())
    }

    /// The holes chosen.
    pub fn holes(&self) -> Vec<HoleId> {
        let hole = |part: &PartId| if let PartId::Hole(id) = part { Some(*id) } else { None };
        self.selection.iter().filter_map(hole).collect()
    }

    /// Chooses one part, or adds it to or takes it from what is chosen.
    pub fn choose(&mut self, part: PartId, more: bool) {
        if !more {
            self.selection.clear();
            self.selection.insert(part);
        } else if !self.selection.remove(&part) {
            self.selection.insert(part);
        }
    }
}
