//! The profile: a closed ring of nodes with handles.

use crate::NodeId;
use kurbo::{CubicBez, Line, PathSeg, Point, Size, Vec2};
use outline::{Outline, OutlineError};

/// How the two handles of a node go together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum NodeKind {
    /// Each points its own way.
    #[default]
    Corner,
    /// They stay in line.
    Smooth,
    /// They stay in line and equally long.
    Symmetric,
    /// They stay in line, and the curvature is the same on both sides.
    CurvatureContinuous,
}

impl NodeKind {
    /// All there are.
    pub const ALL: [Self; 4] =
        [Self::Corner, Self::Smooth, Self::Symmetric, Self::CurvatureContinuous];

    /// Whether the outline runs smoothly through such a node.
    pub fn is_smooth(self) -> bool {
        self != Self::Corner
    }

    /// What a person calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Corner => "corner",
            Self::Smooth => "smooth",
            Self::Symmetric => "symmetric",
            Self::CurvatureContinuous => "continuous curvature",
        }
    }
}

/// A point of the outline, with the handles that shape the curve before and after it.
///
/// The stretch from a node to the next is a straight line when neither has a handle on that
/// stretch; otherwise a cubic Bézier, a missing handle lying on its node.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Its stable name.
    pub id: NodeId,
    /// Where it is, mm.
    pub at: Point,
    /// End of the handle towards the node before, mm, absolute.
    pub handle_in: Option<Point>,
    /// End of the handle towards the next node, mm, absolute.
    pub handle_out: Option<Point>,
    /// How the two handles go together.
    pub kind: NodeKind,
}

/// The outline of the blank as the maker drew it.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// The nodes in order around the outline; the last is joined to the first.
    pub nodes: Vec<Node>,
    /// The marked tip.
    pub tip: Option<NodeId>,
    /// The marked heel, where the edge ends.
    pub heel: Option<NodeId>,
}

impl Profile {
    /// The node of this name.
    pub fn node(&self, id: NodeId) -> Option<&Node> {
        self.nodes.iter().find(|node| node.id == id)
    }

    /// Place of the node in the ring, from 0.
    pub fn index_of(&self, id: NodeId) -> Option<usize> {
        self.nodes.iter().position(|node| node.id == id)
    }

    /// The outline; its segment `i` starts at node `i` of [`Profile::nodes`].
    ///
    /// # Errors
    /// [`OutlineError`] if there are no nodes or a coordinate is not finite.
    pub fn outline(&self) -> Result<Outline, OutlineError> {
        let n = self.nodes.len();
        Outline::new((0..n).map(|i| self.stretch(i, (i + 1) % n)).collect())
    }

    /// The stretch from one node of the ring to the next.
    pub(crate) fn stretch(&self, from: usize, to: usize) -> PathSeg {
        stretch(&self.nodes[from], &self.nodes[to])
    }

    /// The box around it; `None` with fewer than two nodes, or when a coordinate is not finite.
    pub fn size_mm(&self) -> Option<Size> {
        if self.nodes.len() < 2 {
            return None;
        }
        Some(self.outline().ok()?.bounds().size()).filter(|size| size.is_finite())
    }

    /// Takes an outline as a profile, without tip or heel; nodes are named 1, 2, 3, …
    /// A node is smooth when the tangents on its two sides agree within a tenth of a degree.
    pub fn from_outline(outline: &Outline) -> Self {
        let segs = outline.segs();
        let n = segs.len();
        let nodes = (0..n)
            .map(|i| {
                let (before, after) = (&segs[(i + n - 1) % n], &segs[i]);
                Node {
                    id: NodeId(u32::try_from(i + 1).unwrap_or(u32::MAX)),
                    at: start(after),
                    handle_in: if let PathSeg::Cubic(c) = before { Some(c.p2) } else { None },
                    handle_out: if let PathSeg::Cubic(c) = after { Some(c.p1) } else { None },
                    kind: if runs_on(before, after) { NodeKind::Smooth } else { NodeKind::Corner },
                }
            })
            .collect();
        Self { nodes, tip: None, heel: None }
    }
}

/// The stretch from one node to another.
pub(crate) fn stretch(a: &Node, b: &Node) -> PathSeg {
    match (a.handle_out, b.handle_in) {
        (None, None) => PathSeg::Line(Line::new(a.at, b.at)),
        (out, into) => {
            PathSeg::Cubic(CubicBez::new(a.at, out.unwrap_or(a.at), into.unwrap_or(b.at), b.at))
        }
    }
}

fn start(seg: &PathSeg) -> Point {
    match seg {
        PathSeg::Line(l) => l.p0,
        PathSeg::Quad(q) => q.p0,
        PathSeg::Cubic(c) => c.p0,
    }
}

fn runs_on(before: &PathSeg, after: &PathSeg) -> bool {
    let (arriving, leaving) = (-heading(&before.reverse()), heading(after));
    let limit = 0.1_f64.to_radians().sin();
    arriving.hypot() > 0.0
        && leaving.hypot() > 0.0
        && arriving.normalize().cross(leaving.normalize()).abs() < limit
        && arriving.dot(leaving) > 0.0
}

/// Towards the first defining point that lies apart from the start.
fn heading(seg: &PathSeg) -> Vec2 {
    let c = seg.to_cubic();
    [c.p1, c.p2, c.p3]
        .into_iter()
        .map(|p| p - c.p0)
        .find(|v| v.hypot() > 1e-9)
        .unwrap_or(Vec2::ZERO)
}
