//! Files for shops that cut blanks by water jet, laser or mill: what is cut, checked before it is
//! written, and DXF.
//!
//! The outline goes as it is: no kerf is taken off, as the shop offsets its path by what its own
//! machine cuts, outside the outline and inside the holes. Leads are left to it as well.

mod biarc;
mod check;
mod dxf;

pub use biarc::{Bulged, arcs};
pub use check::{CutFault, CutWarning, check};
pub use dxf::dxf;

use knife::{HoleKind, Knife};
use kurbo::{Affine, Circle, ParamCurve, Point};
use outline::Outline;
use reckon::{Nest, Reckoning};

/// No arc strays farther from the outline than this, mm: a tenth of what a good cutting shop holds
/// (common practice, no source).
pub const CUT_MM: f64 = 0.005;
/// The fit is asked for a little less, as it is compared at some places only, mm.
const FIT_MM: f64 = 0.0045;
/// Bars of a sheet lie so far apart, mm.
const BARS_APART_MM: f64 = 20.0;

/// Which holes are cut along with the outline; the others are drilled later.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CutHoles {
    /// All of them.
    #[default]
    All,
    /// Only relief holes: pin and lanyard holes are drilled to fit.
    Relief,
    /// None.
    None,
}

impl CutHoles {
    fn takes(self, kind: HoleKind) -> bool {
        match self {
            Self::All => true,
            Self::Relief => kind == HoleKind::Relief,
            Self::None => false,
        }
    }
}

/// One blank as it is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutBlank {
    /// Its name.
    pub name: String,
    /// Its outline, mm.
    pub outline: Outline,
    /// Holes that are cut with it, mm.
    pub holes: Vec<Circle>,
    /// How many holes are left to be drilled.
    pub drilled_later: usize,
    /// Thickness of its bar, mm.
    pub thickness_mm: f64,
}

impl CutBlank {
    /// The blank of a knife, in the knife's own plane.
    ///
    /// # Errors
    /// [`CutFault::NoOutline`] without an outline that can be cut.
    pub fn of(knife: &Knife, reckoning: &Reckoning, holes: CutHoles) -> Result<Self, CutFault> {
        // An outline that crosses itself has no field.
        let sound = reckoning.field.as_ref().and(reckoning.outline.clone());
        let outline = sound.ok_or_else(|| CutFault::NoOutline { name: knife.name.clone() })?;
        let (cut, later): (Vec<_>, Vec<_>) =
            knife.holes.iter().partition(|hole| holes.takes(hole.kind));
        Ok(Self {
            name: knife.name.clone(),
            outline,
            holes: cut.iter().map(|hole| hole.circle()).collect(),
            drilled_later: later.len(),
            thickness_mm: knife.bar.thickness_mm,
        })
    }

    /// The same blank laid elsewhere by a motion that keeps lengths.
    fn laid(&self, motion: Affine) -> Self {
        let hole = |hole: &Circle| Circle::new(motion * hole.center, hole.radius);
        let outline = self.outline.transformed(motion);
        Self { outline, holes: self.holes.iter().map(hole).collect(), ..self.clone() }
    }
}

/// What goes to the shop: blanks, and the bars they are laid on where they are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutSheet {
    /// The blanks.
    pub blanks: Vec<CutBlank>,
    /// Outlines of bars, not to be cut, mm.
    pub bars: Vec<Outline>,
}

impl CutSheet {
    /// Blanks laid on bars, one bar above the other.
    pub fn of_nest(blanks: &[CutBlank], nest: &Nest) -> Self {
        let mut sheet = Self::default();
        for (row, bar) in nest.bars.iter().enumerate() {
            let up = Affine::translate((0.0, row as f64 * (nest.width_mm + BARS_APART_MM)));
            let corners = [(0.0, 0.0), (bar.length_mm, 0.0), (bar.length_mm, nest.width_mm)];
            let corners = corners.into_iter().chain([(0.0, nest.width_mm)]);
            let corners: Vec<Point> = corners.map(|p| up * Point::from(p)).collect();
            sheet.bars.extend(Outline::polygon(&corners));
            for laid in &bar.blanks {
                let blank = blanks.get(laid.blank);
                sheet.blanks.extend(blank.map(|blank| blank.laid(up * laid.bar_from_knife)));
            }
        }
        sheet
    }
}

/// A closed outline as corners with bulges, within [`CUT_MM`].
pub fn polyline(outline: &Outline) -> Vec<Bulged> {
    let mut corners: Vec<Bulged> = Vec::new();
    for seg in outline.segs() {
        if seg.start() != seg.end() || !matches!(seg, kurbo::PathSeg::Line(_)) {
            corners.extend(arcs(seg, FIT_MM));
        }
    }
    corners
}
