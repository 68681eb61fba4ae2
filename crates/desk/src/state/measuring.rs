//! Measuring: what is measured, what was picked so far, and what was found.

use knife::{Anchor, Boundary, Dimension};

/// What is measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum MeasureKind {
    /// Between two points.
    #[default]
    Distance,
    /// From a point to an edge.
    ToEdge,
    /// Between two edges.
    Gap,
    /// At a point, between two others.
    Angle,
    /// Radius of a hole or of the outline.
    Radius,
    /// Along the outline.
    Along,
}

/// What is picked next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Wanted {
    Point,
    OnOutline,
    Round,
    Edge,
}

/// What was picked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Pick {
    Point(Anchor),
    Edge(Boundary),
}

impl MeasureKind {
    /// Every kind with its name.
    pub(crate) const ALL: [(Self, &'static str); 6] = [
        (Self::Distance, "Two points"),
        (Self::ToEdge, "Point to edge"),
        (Self::Gap, "Edge to edge"),
        (Self::Angle, "Angle"),
        (Self::Radius, "Radius"),
        (Self::Along, "Along the outline"),
    ];

    /// What is picked, in its order.
    pub(crate) fn wanted(self) -> &'static [Wanted] {
        match self {
            Self::Distance => &[Wanted::Point, Wanted::Point],
            Self::ToEdge => &[Wanted::Point, Wanted::Edge],
            Self::Gap => &[Wanted::Edge, Wanted::Edge],
            Self::Angle => &[Wanted::Point, Wanted::Point, Wanted::Point],
            Self::Radius => &[Wanted::Round],
            Self::Along => &[Wanted::OnOutline, Wanted::OnOutline],
        }
    }

    /// What to click next, in one sentence.
    pub(crate) fn hint(self, picked: usize) -> &'static str {
        match (self, picked) {
            (Self::Distance, 0) | (Self::ToEdge, 0) => {
                "Click a point: a node, a hole, the outline or anywhere."
            }
            (Self::Distance, _) => "Click the other point.",
            (Self::ToEdge, _) => "Click the edge: the outline or a hole.",
            (Self::Gap, 0) => "Click an edge: the outline or a hole.",
            (Self::Gap, _) => "Click the other edge.",
            (Self::Angle, 0) => "Click the corner of the angle.",
            (Self::Angle, 1) => "Click a point on one of its sides.",
            (Self::Angle, _) => "Click a point on the other side.",
            (Self::Radius, _) => "Click a hole, or the outline where it is curved.",
            (Self::Along, 0) => "Click where on the outline to begin.",
            (Self::Along, _) => "Click where on the outline to end.",
        }
    }
}

/// The measure tool.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MeasureTool {
    /// Whether clicks measure.
    pub active: bool,
    /// What is measured next.
    pub kind: MeasureKind,
    pub(crate) picks: Vec<Pick>,
    /// What was measured, until it is cleared.
    pub results: Vec<Dimension>,
}

impl MeasureTool {
    /// What is picked next.
    pub(crate) fn wanted(&self) -> Wanted {
        let all = self.kind.wanted();
        all[self.picks.len().min(all.len() - 1)]
    }

    /// The dimension that these picks and one more make, if they are all it takes.
    pub(crate) fn with(&self, last: Pick) -> Option<Dimension> {
        let picks: Vec<Pick> = self.picks.iter().copied().chain([last]).collect();
        Some(match (self.kind, &picks[..]) {
            (MeasureKind::Distance, [Pick::Point(a), Pick::Point(b)]) => {
                Dimension::Distance(*a, *b)
            }
            (MeasureKind::ToEdge, [Pick::Point(a), Pick::Edge(b)]) => Dimension::ToEdge(*a, *b),
            (MeasureKind::Gap, [Pick::Edge(a), Pick::Edge(b)]) => Dimension::Gap(*a, *b),
            (MeasureKind::Angle, [Pick::Point(at), Pick::Point(from), Pick::Point(to)]) => {
                Dimension::Angle { at: *at, from: *from, to: *to }
            }
            (MeasureKind::Radius, [Pick::Point(a)]) => Dimension::Radius(*a),
            (MeasureKind::Along, [Pick::Point(a), Pick::Point(b)]) => Dimension::Along(*a, *b),
            _ => return None,
        })
    }

    /// Takes a pick; what it completes is found.
    pub(crate) fn pick(&mut self, pick: Pick) {
        if self.picks.last() == Some(&pick) {
            return;
        }
        if let Some(found) = self.with(pick) {
            self.picks.clear();
            if !self.results.contains(&found) {
                self.results.push(found);
            }
        } else {
            self.picks.push(pick);
        }
    }

    /// Measures something else from now on.
    pub(crate) fn set_kind(&mut self, kind: MeasureKind) {
        self.kind = kind;
        self.picks.clear();
    }

    /// Takes the last pick back, or else stops measuring; what was found stays.
    pub(crate) fn escape(&mut self) {
        if self.picks.pop().is_none() {
            self.active = false;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{HoleId, NodeId};

    #[test]
    fn picks_make_a_dimension_once_there_are_enough() {
        let mut tool = MeasureTool { active: true, ..MeasureTool::default() };
        let (a, b) = (Anchor::Node(NodeId(1)), Anchor::Hole(HoleId(2)));
        tool.pick(Pick::Point(a));
        tool.pick(Pick::Point(a));
        assert_eq!(tool.picks.len(), 1, "a point has no distance from itself");
        tool.pick(Pick::Point(b));
        assert_eq!((tool.results.len(), tool.picks.len()), (1, 0));
        assert_eq!(tool.results[0], Dimension::Distance(a, b));
        tool.set_kind(MeasureKind::Angle);
        tool.pick(Pick::Point(a));
        assert_eq!(tool.wanted(), Wanted::Point);
        tool.escape();
        assert!(tool.active && tool.picks.is_empty());
        tool.escape();
        assert!(!tool.active && tool.results.len() == 1);
    }
}
