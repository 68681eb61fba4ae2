//! Tools that work at several stations: arranging what is selected, fairing, copying, measuring.

use super::MeasureTool;
use knife::{Hole, Node, NodeId};
use kurbo::Rect;
use marks::Drawing;
use outline::Outline;
use units::LengthUnit;

/// Tools that work at several stations.
#[derive(Default)]
pub struct Tools {
    /// What is measured.
    pub measuring: MeasureTool,
    /// The segment that is being pulled, and where on it, from 0 to 1.
    pub(crate) pulled: Option<(NodeId, f64)>,
    /// The box around the selection when it began to be turned or scaled, mm.
    pub(crate) framed: Option<Rect>,
    /// What was copied last.
    pub(crate) copied: Option<Clipping>,
    /// Fairing.
    pub fairing: Fairing,
}

impl Tools {
    /// Another knife is open: nothing of the old one stays, but what was copied.
    pub(crate) fn reset(&mut self) {
        let copied = self.copied.take();
        let typed_mm = self.fairing.typed_mm;
        *self = Self { copied, ..Self::default() };
        self.fairing.typed_mm = typed_mm;
    }
}

/// Copied parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Clipping {
    pub(crate) holes: Vec<Hole>,
    /// A run of the outline, in its order.
    pub(crate) nodes: Vec<Node>,
}

impl Clipping {
    pub(crate) fn is_empty(&self) -> bool {
        self.holes.is_empty() && self.nodes.len() < 2
    }
}

/// Fairing: what is typed, and what it would do.
#[derive(Default)]
pub struct Fairing {
    /// Whether what it would do is shown.
    pub active: bool,
    /// How far anything may move, mm, once it was typed.
    pub typed_mm: Option<f64>,
    pub(crate) preview: Option<FairPreview>,
}

impl Fairing {
    /// How far anything may move, mm: as typed, else what a file takes off in a few strokes (this
    /// program's own choice).
    pub fn tolerance_mm(&self, unit: LengthUnit) -> f64 {
        self.typed_mm.unwrap_or(match unit {
            LengthUnit::Millimetre => 0.3,
            LengthUnit::Inch => 0.254,
        })
    }
}

/// What fairing would do to one revision of the knife.
pub(crate) struct FairPreview {
    pub(crate) revision: u64,
    pub(crate) nodes: Vec<NodeId>,
    pub(crate) tolerance_mm: f64,
    pub(crate) result: Result<FairResult, String>,
}

/// A fairer outline beside the one there is.
pub(crate) struct FairResult {
    pub(crate) outline: Outline,
    /// The combs of both, in the knife's plane.
    pub(crate) combs: [Drawing; 2],
    /// The variation of curvature of both.
    pub(crate) variation: [f64; 2],
    /// The furthest that anything moves, mm.
    pub(crate) moved_mm: f64,
}
