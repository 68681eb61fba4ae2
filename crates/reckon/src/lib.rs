//! Everything worked out from a knife: figures, findings, and later layout and thickness.
//!
//! Pure: the same knife, shop and tables give the same answer. Plain data comes out; nothing
//! here draws, or knows a page or a screen.

mod across;
mod bar;
mod bevel;
pub mod card;
mod chain;
mod filing;
pub mod findings;
mod finger;
mod fit;
mod grind_line;
mod guide;
pub mod heat;
mod hole;
mod inside;
mod jimping;
mod json;
mod long_edge;
mod marks;
mod mass;
mod materials;
mod nest;
mod pin;
mod profile;
mod reading;
mod reckoning;
mod relief;
#[cfg(test)]
mod sample;
mod scales;
mod scallops;
pub mod scribe;
mod section;
mod shaping;
mod sharpening;
pub mod shop;
pub mod solid;
mod swedge;
pub mod tables;
mod tang;
mod whole;

pub use bar::{BarFigures, Margins, usual_bar};
pub use bevel::{BevelFigures, Stand};
pub use chain::{ChainFigures, ChainRow, SawCut};
pub use filing::{Facet, FilingFigures, USUAL_FACETS, facet_ladder};
pub use findings::{Finding, Held, Remedy, Severity};
pub use finger::FingerNotch;
pub use fit::{FitFigures, GlueFigures, PinFigures, PinKind, RodFigures};
pub use guide::{GuideLine, guide_lines};
pub use heat::HeatFigures;
pub use hole::{HoleFigures, NearestHole};
pub use inside::{InsideReach, Reach};
pub use jimping::{JimpingFigures, JimpingNotch, groove_width_mm};
pub use json::{check_json, nest_json, numbers_json};
pub use marks::{Marks, usual_marks};
pub use mass::MassFigures;
pub use materials::{MaterialLine, material_csv, material_list};
pub use nest::{MOST_BLANKS, Nest, NestBar, NestBlank, NestFault, NestWish, UsualBars, nest};
pub use pin::{GapDrill, PinFit, TurnedDown};
pub use profile::{Edge, ProfileFigures};
pub use reading::{Group, Reading, Value, readings};
pub use reckoning::{Reckoning, reckon};
pub use relief::{ReliefAsk, ReliefFigures, relief_row};
pub use scales::{Block, BookBlock, NoRoom, PiecePart, ScaleFigures, ScalePiece};
pub use scallops::{ScallopFigures, ScallopPlace, ScallopRow};
pub use scribe::Scribe;
pub use section::{Behind, Section, SectionBevel, SectionScale, Stretch, Thick, section_at};
pub use shaping::{GripStation, ShapingFigures, scale_thickness_mm};
pub use sharpening::{SharpeningFigures, USES, Use, usual_for};
pub use shop::{Limits, Shop};
pub use swedge::SwedgeFigures;
pub use tang::{TangFigures, TangSection, tang_section};
pub use whole::{Missing, WholeFigures};
