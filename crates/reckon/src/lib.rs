//! Everything worked out from a knife: figures, findings, and later layout and thickness.
//!
//! Pure: the same knife, shop and tables give the same answer. Plain data comes out; nothing
//! here draws, or knows a page or a screen.
//!
//! ```
//! use reckon::{Shop, reckon, tables::Tables};
//!
//! let knife = knife::starter("drop-point").expect("it is shipped").knife();
//! let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
//! let profile = reckoning.profile.as_ref().expect("its outline is closed");
//! assert!(profile.edge.as_ref().is_some_and(|edge| edge.length_mm > 50.0));
//! assert_eq!(reckoning.stops(), 0, "a shipped blank can be cut from its bar");
//! ```

mod bar;
mod bar_plan;
mod bevel;
pub mod card;
mod chain;
mod compare;
mod context;
mod filing;
pub mod findings;
mod finger;
mod fit;
mod grind_line;
mod guide_lines;
mod hand;
pub mod heat;
mod hole;
mod inside;
mod intervals;
mod jigs;
mod jimping;
pub mod json;
mod long_edge;
mod marks;
mod mass;
mod materials;
mod measuring;
mod nest;
mod origin;
mod pin;
mod plunge;
mod profile;
mod reading;
mod reckoning;
mod relief;
#[cfg(test)]
mod sample;
mod scale_thickness;
mod scales;
mod scallops;
pub mod scribe;
mod section;
mod shaping;
mod sharpening;
mod sheath;
pub mod shop;
pub mod solid;
mod swedge;
pub mod tables;
mod tang;
mod whole;

pub use bar::{BarFigures, Margins, first_stock_bar};
pub use bar_plan::{BarPlanFigures, Clash, PlannedBar, bar_plan_figures};
pub use bevel::BevelFigures;
pub use chain::{ChainFigures, ChainRow, SawCut};
pub use compare::{ChangedReading, Comparison, Gap, comparable, compare};
pub use filing::{DEFAULT_FACETS, Facet, FilingFigures, FilingTime, facet_ladder};
pub use findings::{Finding, LimitSide, Remedy, Severity};
pub use finger::FingerNotch;
pub use fit::{FitFigures, GlueFigures, PinFigures, PinKind, RodFigures};
pub use guide_lines::{GuideLine, guide_lines};
pub use hand::{HandFigures, HandFit};
pub use heat::HeatFigures;
pub use hole::{HoleFigures, NearestHole};
pub use inside::{InsideReach, Reach};
pub use jigs::{AngleBlock, BrickChamber, CentringBlock, DrillSupport, FilingGuide, JigFigures};
pub use jimping::{JimpingFigures, JimpingNotch, groove_width_mm};
pub use json::{build_json, check_json, materials_json, nest_json, numbers_json, schemas};
pub use marks::{Marks, guess_marks};
pub use mass::MassFigures;
pub use materials::{MaterialLine, material_csv, material_list};
pub use measuring::{Measured, WayAlong, measure};
pub use nest::{MAX_BLANKS, Nest, NestBar, NestBlank, NestError, NestOptions, StockBarCount, nest};
pub use origin::OriginFrame;
pub use pin::{GapDrill, PinFit, TurnedDown};
pub use plunge::PlungeFrame;
pub use profile::{Edge, ProfileFigures};
pub use reading::{Group, Reading, Value, readings};
pub use reckoning::{Reckoning, reckon, reckon_while};
pub use relief::{ReliefFigures, ReliefOptions, relief_row};
pub use scale_thickness::scale_thickness_mm;
pub use scales::{Block, BookBlock, PiecePart, ScaleFigures, ScaleLayoutError, ScalePiece};
pub use scallops::{ScallopFigures, ScallopPlace, ScallopRow};
pub use scribe::Scribe;
pub use section::{
    FaceOffsets, Section, SectionBevel, SectionPin, SectionScale, SectionSpan, ThicknessBehindEdge,
    section_at,
};
pub use shaping::{GripStation, ShapingFigures};
pub use sharpening::{SharpenedFacet, SharpeningFigures, USES, Use, use_for_angle};
pub use sheath::{
    BeltLoopFigures, Bend, Development, Piece, RowFigures, SheathError, SheathFigures,
    SheathStation, THREAD_TAILS_MM, Welt, fold_lines, show_thread,
};
pub use shop::{Limits, OwnSteel, Shop};
pub use swedge::SwedgeFigures;
pub use tang::{TangFigures, TangSection, tang_section};
pub use whole::{Missing, WholeFigures};
