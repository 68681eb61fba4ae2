//! Plane geometry of closed outlines: measures, distances, offsets, contacts, spacing, packing, smooth curves through points.
//!
//! One plane, millimetres, y up, `f64`. Outlines are closed paths of straight lines and
//! cubic Béziers ([`Outline`]). This crate knows no word of the trade: it would serve a
//! leather pattern as well as a blank.
//!
//! ```
//! use outline::{Outline, kurbo::Point};
//!
//! let bar = [(0.0, 0.0), (200.0, 0.0), (200.0, 38.1), (0.0, 38.1)].map(Point::from);
//! let outline = Outline::polygon(&bar)?;
//! assert_eq!(outline.area(), 200.0 * 38.1);
//! let inside = outline.offset(-5.0);
//! assert!((inside[0].bounds().width() - 190.0).abs() < 0.01);
//! # Ok::<(), outline::OutlineError>(())
//! ```

mod along;
mod box_tree;
mod circle;
mod clip;
mod contact;
mod convex_hull;
mod crossing;
mod curvature;
mod fair;
mod hobby;
mod joint;
mod measure;
mod min_width;
mod nearest;
mod notch;
mod offset;
mod outline;
pub mod packing;
mod polyline;
mod roots;
mod round;
mod segment;
mod simplify;
mod spacing;
mod split;
mod stroke;
mod subpath;
mod thin;
mod tolerance;

pub use along::OutlinePoint;
pub use contact::{Contact, ContactKind};
pub use convex_hull::Concavity;
pub use crossing::LineCrossing;
pub use curvature::{Corner, InsideCorner, InsideRadius};
pub use fair::{FairOptions, Faired};
pub use hobby::{Knot, Run, arc_turn, arcs_split, closed_curve_through, curve_through};
pub use joint::{curvature_jump, curvature_matched, pulled};
pub use kurbo;
pub use measure::SecondMoments;
pub use min_width::MinWidth;
pub use nearest::{Nearest, circle_gap};
pub use notch::{Notch, NotchError};
pub use offset::{FURTHEST_OFFSET_MM, MAX_SIDES, OFFSET_TOLERANCE_MM, open_offset};
pub use outline::{Outline, OutlineError};
pub use polyline::{Polyline, PolylinePoint};
pub use round::RoundError;
pub use simplify::{simplify_polyline, simplify_to};
pub use spacing::{SpacedPoints, SpacedRow, SpacingOptions, space_evenly};
pub use stroke::stroke_through;
pub use tolerance::MAX_CONTACTS;
