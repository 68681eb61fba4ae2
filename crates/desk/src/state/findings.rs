//! Which findings are told at length.

use reckon::Finding;
use std::collections::BTreeSet;

/// How the findings are shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FindingsState {
    /// Those told at length, each by its rule and its parts.
    expanded: BTreeSet<String>,
}

impl FindingsState {
    /// Whether a finding is told at length.
    pub fn is_expanded(&self, finding: &Finding) -> bool {
        self.expanded.contains(&name_of(finding))
    }

    /// Tells a finding at length, or in short again.
    pub fn toggle(&mut self, finding: &Finding) {
        let name = name_of(finding);
        if !self.expanded.remove(&name) {
            self.expanded.insert(name);
        }
    }
}

/// A name that stays while the measure changes.
fn name_of(finding: &Finding) -> String {
    format!("{} {:?}", finding.key(), finding.parts)
}
