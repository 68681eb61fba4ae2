//! Plane geometry of closed outlines: measures, distances, offsets, contacts, spacing, packing, smooth curves through points.
//!
//! One plane, millimetres, y up, `f64`. Outlines are closed paths of straight lines and
//! cubic Béziers ([`Outline`]). This crate knows no word of the trade: it would serve a
//! leather pattern as well as a blank.

mod circle;
mod clip;
mod closed;
mod contact;
mod crossing;
mod curvature;
mod hobby;
mod hollow;
mod index;
mod measure;
mod nearest;
mod notch;
mod offset;
pub mod packing;
mod roots;
mod round;
mod run;
mod segment;
mod spacing;
mod split;
mod stretch;
mod thin;
mod tolerance;
mod walk;
mod width;

pub use closed::{Outline, OutlineFault};
pub use contact::{Contact, ContactKind};
pub use crossing::LineCrossing;
pub use curvature::{Corner, InsideCorner, InsideRadius};
pub use hobby::{Knot, curve_through, ring_through};
pub use hollow::Hollow;
pub use kurbo;
pub use measure::SecondMoments;
pub use nearest::{Nearest, circle_gap};
pub use notch::{Notch, NotchFault};
pub use offset::{FURTHEST_OFFSET_MM, OFFSET_TOLERANCE_MM, open_offset};
pub use round::RoundFault;
pub use run::{OnRun, Run};
pub use spacing::{Row, Spaced, Spacing, even_places};
pub use thin::thinned;
pub use tolerance::MOST_CONTACTS;
pub use walk::Place;
pub use width::LeastWidth;
