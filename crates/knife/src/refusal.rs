//! Why an edit was refused; the knife is then unchanged.

use crate::format::{format_against, format_max, format_min};
use crate::{HoleId, NodeId};

/// Why an edit could not be done.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// The edit names a node that is not there.
    #[error("node {} is no longer there", .0.0)]
    NoSuchNode(NodeId),
    /// The edit names a hole that is not there.
    #[error("hole {} is no longer there", .0.0)]
    NoSuchHole(HoleId),
    /// There is no picture under the blank.
    #[error("there is no picture under the blank")]
    NoPicture,
    /// A picture can't lie so.
    #[error("the picture can't lie there; square it up again")]
    PicturePlacement,
    /// A number lies outside what is possible.
    #[error(
        "{what} of {} is not possible; it must lie between {} and {}",
        format_against(*value, &[*min, *max]), format_min(*min), format_max(*max)
    )]
    OutOfRange {
        /// What the number is.
        what: &'static str,
        /// The number.
        value: f64,
        /// Least allowed.
        min: f64,
        /// Most allowed.
        max: f64,
    },
    /// Higher than the blank is wide.
    #[error(
        "{what} of {} mm is more than the whole profile, which is {} mm wide; look for a typing \
         error, or use less",
        format_against(*value_mm, &[*max_mm]), format_max(*max_mm)
    )]
    HigherThanWide {
        /// What is that high.
        what: &'static str,
        /// Its height, mm.
        value_mm: f64,
        /// The profile's width, mm.
        max_mm: f64,
    },
    /// The blank would be too short to be one.
    #[error(
        "the profile would be {} mm long; a blank is at least {min_mm} mm long: look at the \
         drawing's units and scale",
        format_against(*length_mm, &[*min_mm])
    )]
    TooShort {
        /// Its length, mm.
        length_mm: f64,
        /// Least allowed, mm.
        min_mm: f64,
    },
    /// A grind line needs bevels.
    #[error("there are no bevels yet for a grind line; begin the bevels first")]
    NoBevels,
    /// An outline needs at least three nodes.
    #[error("an outline needs at least three nodes; this one can't lose another")]
    TooFewNodes,
    /// There is room for no more.
    #[error("there are already {max} {what}; remove one first")]
    TooMany {
        /// What there are too many of.
        what: &'static str,
        /// The most there may be.
        max: usize,
    },
    /// A node carries a mark that would be lost.
    #[error("this node is marked as the {mark}; mark another node as the {mark} first")]
    Marked {
        /// `tip` or `heel`.
        mark: &'static str,
    },
    /// The node has no handle on that side.
    #[error("the segment on that side of the node is straight; make it curved first")]
    NoHandle,
    /// A node has a straight stretch on a side.
    #[error("one side of the node is straight; make that segment curved first")]
    StraightBeside,
    /// No handles make the curvature the same on both sides.
    #[error(
        "the two sides are too different to share one curvature; make the node smooth and fair it"
    )]
    NoSameCurvature,
    /// Too few parts are selected for what is to be done.
    #[error("select at least {min} nodes or holes")]
    TooFewParts {
        /// How many it takes.
        min: usize,
    },
    /// What is to be pasted spans more than there is.
    #[error("there is no room for the copied outline here; click a longer segment of the outline")]
    NoRoom,
    /// The corner can't be rounded.
    #[error("{0}")]
    Round(#[from] outline::RoundError),
    /// The notch can't be cut.
    #[error("{0}")]
    Notch(#[from] outline::NotchError),
    /// A notch or a round corner would take a marked node away.
    #[error("this would take the {mark} away; make it smaller, or put it farther from there")]
    Swallowed {
        /// `tip` or `heel`.
        mark: &'static str,
    },
    /// Two holes of a row are one, or lie on one another.
    #[error("a row of holes needs two different holes some way apart; choose another")]
    NoRow,
    /// The hole has no outline above and below it.
    #[error("there is no outline on both sides of this hole; move it onto the blank first")]
    NothingAcross,
    /// The profile has no outline yet.
    #[error("there is no outline yet; draw one, start from a starter or import one")]
    NoOutline,
    /// A part that is not there.
    #[error("that part is no longer there")]
    NoSuchPart,
    /// A finding may be set aside only for a reason.
    #[error("a problem is accepted for a reason; write one")]
    NoReason,
    /// A finding without its rule.
    #[error("a problem is accepted by its rule's name; give it one")]
    NoRule,
    /// A text is too long.
    #[error("{what} may have at most {max} characters")]
    TooLong {
        /// What the text is.
        what: &'static str,
        /// The most characters.
        max: usize,
    },
}
