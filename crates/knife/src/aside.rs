//! Findings that the maker has set aside, each with a reason.

use crate::PartId;

/// How grave a finding is; the gravest comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Don't cut steel by this.
    Stop,
    /// Think before going on.
    Care,
    /// Good to know.
    Note,
}

impl Severity {
    /// All of them, the gravest first.
    pub const ALL: [Self; 3] = [Self::Stop, Self::Care, Self::Note];
    /// The words a person reads, in the same order.
    pub const LABELS: &'static [&'static str] = &["stop", "take care", "note"];

    /// The word in files and JSON.
    pub fn label(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Care => "take care",
            Self::Note => "note",
        }
    }

    /// The word a person reads.
    pub fn word(self) -> &'static str {
        if self == Self::Care { "caution" } else { self.label() }
    }
}

/// A finding set aside: the maker has seen it and goes on, for a reason.
///
/// It stands for one rule at the same parts. It is kept in the file and told with its reason
/// wherever findings are told; it goes when one of its parts goes.
#[derive(Clone, Debug, PartialEq)]
pub struct SetAside {
    /// Key of the rule, such as `web-to-edge`; where a rule tells several things of the same
    /// parts, with the one meant: `does-not-go-in: oven`. A rule this version doesn't know is
    /// kept.
    pub rule: String,
    /// The parts the finding is about, in ascending order; empty for one about the whole knife.
    pub parts: Vec<PartId>,
    /// How grave it was when it was set aside: it comes back when it is graver. Files of earlier
    /// programs don't say; what says stop then comes back.
    pub severity: Option<Severity>,
    /// What was measured when it was set aside, mm, where a length was: it comes back when the
    /// measure has become worse.
    pub measured_mm: Option<f64>,
    /// The limit it was held against, mm: it comes back when more is lacking.
    pub limit_mm: Option<f64>,
    /// Why it may be so.
    pub reason: String,
}

impl SetAside {
    /// Whether it is about this rule at these parts, in whatever order they are given.
    pub fn applies_to(&self, rule: &str, parts: &[PartId]) -> bool {
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
