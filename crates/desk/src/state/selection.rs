//! The parts selected.

use knife::{HoleId, NodeId, PartId};
use std::collections::BTreeSet;

/// The parts selected.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Selection {
    /// Nodes, segments, holes and whatever else a finding names.
    pub parts: BTreeSet<PartId>,
    /// Where on the outline was clicked last: the segment, and where on it from 0 to 1.
    pub on_outline: Option<(NodeId, f64)>,
    /// Which point of the grind line.
    pub grind_point: Option<usize>,
}

impl Selection {
    /// The nodes, in the order of their names.
    pub fn nodes(&self) -> Vec<NodeId> {
        let node = |part: &PartId| if let PartId::Node(id) = part { Some(*id) } else { None };
        self.parts.iter().filter_map(node).collect()
    }

    /// The segments, each by the node it starts from.
    pub fn segments(&self) -> Vec<NodeId> {
        let start = |part: &PartId| if let PartId::Stretch(id) = part { Some(*id) } else { None };
        self.parts.iter().filter_map(start).collect()
    }

    /// The holes.
    pub fn holes(&self) -> Vec<HoleId> {
        let hole = |part: &PartId| if let PartId::Hole(id) = part { Some(*id) } else { None };
        self.parts.iter().filter_map(hole).collect()
    }

    /// The hole, when it is just one.
    pub fn hole(&self) -> Option<HoleId> {
        if let [hole] = self.holes()[..] { Some(hole) } else { None }
    }

    /// Whether a part is selected.
    pub fn contains(&self, part: PartId) -> bool {
        self.parts.contains(&part)
    }

    /// Selects one part, or with `extend` adds it to the selection or takes it out.
    pub fn choose(&mut self, part: PartId, extend: bool) {
        if !extend {
            self.parts.clear();
            self.parts.insert(part);
        } else if !self.parts.remove(&part) {
            self.parts.insert(part);
        }
    }

    /// Selects nothing, but for the point of the grind line.
    pub fn clear(&mut self) {
        self.parts.clear();
    }
}
