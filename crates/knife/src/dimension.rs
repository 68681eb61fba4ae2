//! What the maker measured and keeps on the plan: from where to where, never how much.

use crate::{HoleId, NodeId};
use kurbo::Point;

/// A place that a dimension is taken from; it goes along with what it lies on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Anchor {
    /// A place of the plane, mm.
    Place(Point),
    /// A node.
    Node(NodeId),
    /// The centre of a hole.
    Hole(HoleId),
    /// A place on the outline.
    Outline {
        /// The node at which the stretch starts.
        stretch: NodeId,
        /// Where on it, from 0 to 1.
        t: f64,
    },
}

/// An edge that a dimension is taken to, wherever it is nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Boundary {
    /// The stretch of the outline that starts at this node.
    Stretch(NodeId),
    /// The edge of a hole.
    Hole(HoleId),
}

/// A dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Dimension {
    /// Between two places.
    Distance(Anchor, Anchor),
    /// From a place to the nearest place of an edge.
    ToEdge(Anchor, Boundary),
    /// Between two edges where they are nearest to one another.
    Gap(Boundary, Boundary),
    /// At a place, between the directions to two others.
    Angle {
        /// Where the angle lies.
        at: Anchor,
        /// In the direction of its one side.
        from: Anchor,
        /// In the direction of its other side.
        to: Anchor,
    },
    /// Radius of a hole, or of the outline's curve at a place.
    Radius(Anchor),
    /// Between two places along the outline, the shorter way.
    Along(Anchor, Anchor),
}

impl Anchor {
    fn node(self) -> Option<NodeId> {
        match self {
            Self::Node(id) | Self::Outline { stretch: id, .. } => Some(id),
            _ => None,
        }
    }

    fn hole(self) -> Option<HoleId> {
        if let Self::Hole(id) = self { Some(id) } else { None }
    }
}

impl Dimension {
    /// The places it is taken from.
    pub fn anchors(&self) -> Vec<Anchor> {
        match *self {
            Self::Distance(a, b) | Self::Along(a, b) => vec![a, b],
            Self::ToEdge(a, _) | Self::Radius(a) => vec![a],
            Self::Gap(..) => Vec::new(),
            Self::Angle { at, from, to } => vec![at, from, to],
        }
    }

    /// The places it is taken from, to be changed.
    pub(crate) fn anchors_mut(&mut self) -> Vec<&mut Anchor> {
        match self {
            Self::Distance(a, b) | Self::Along(a, b) => vec![a, b],
            Self::ToEdge(a, _) | Self::Radius(a) => vec![a],
            Self::Gap(..) => Vec::new(),
            Self::Angle { at, from, to } => vec![at, from, to],
        }
    }

    /// The edges it is taken to.
    pub fn boundaries(&self) -> Vec<Boundary> {
        match *self {
            Self::ToEdge(_, edge) => vec![edge],
            Self::Gap(a, b) => vec![a, b],
            _ => Vec::new(),
        }
    }

    /// The nodes it depends on.
    pub fn nodes(&self) -> Vec<NodeId> {
        let edges = self.boundaries().into_iter().filter_map(|edge| match edge {
            Boundary::Stretch(id) => Some(id),
            Boundary::Hole(_) => None,
        });
        self.anchors().into_iter().filter_map(Anchor::node).chain(edges).collect()
    }

    /// The holes it depends on.
    pub fn holes(&self) -> Vec<HoleId> {
        let edges = self.boundaries().into_iter().filter_map(|edge| match edge {
            Boundary::Hole(id) => Some(id),
            Boundary::Stretch(_) => None,
        });
        self.anchors().into_iter().filter_map(Anchor::hole).chain(edges).collect()
    }
}
