//! Findings that the maker has set aside, each with a reason.

use crate::PartId;

/// A finding set aside: the maker has seen it and goes on, for a reason.
///
/// It stands for one rule at the same parts. It is kept in the file and told with its reason
/// wherever findings are told; it goes when one of its parts goes.
#[derive(Clone, Debug, PartialEq)]
pub struct SetAside {
    /// Key of the rule, such as `web-to-edge`. A rule this version doesn't know is kept.
    pub rule: String,
    /// The parts the finding is about, in ascending order; empty for one about the whole knife.
    pub parts: Vec<PartId>,
    /// What was measured when it was set aside, mm, where a length was: it comes back when the
    /// measure has become worse.
    pub measured_mm: Option<f64>,
    /// Why it may be so.
    pub reason: String,
}

impl SetAside {
    /// Whether it is about this rule at these parts, in whatever order they are given.
    pub fn is_about(&self, rule: &str, parts: &[PartId]) -> bool {
        self.rule == rule && self.parts == ordered(parts)
    }
}

/// Parts in ascending order, each once.
pub(crate) fn ordered(parts: &[PartId]) -> Vec<PartId> {
    let mut parts = parts.to_vec();
    parts.sort_unstable();
    parts.dedup();
    parts
}
