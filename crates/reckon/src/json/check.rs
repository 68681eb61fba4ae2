//! Findings in the stable JSON of `check`.

use super::{Finding, Xy, xy};
use crate::Reckoning;
use knife::Knife;
use schemars::JsonSchema;
use serde::Serialize;

/// Every finding of one blank (`blankwright check --json`).
#[derive(Debug, Serialize, JsonSchema)]
pub struct Check {
    /// Always `blankwright-check`.
    format: &'static str,
    /// Always 1: fields are added, never renamed.
    version: u32,
    /// The blank's name.
    name: String,
    /// How many findings say stop.
    stops: usize,
    /// The findings, gravest first.
    findings: Vec<FindingRow>,
}

/// One finding.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Finding")]
struct FindingRow {
    /// The rule's key.
    rule: &'static str,
    /// Which of the rule's findings, where it tells several of the same parts; else empty.
    case: &'static str,
    /// `stop`, `take care` or `note`.
    severity: &'static str,
    /// The finding in at most twenty words.
    short: String,
    /// What is wrong, where, and what to do.
    sentence: String,
    /// What was measured.
    measured_mm: Option<f64>,
    /// What it should be at least or at most; of a stiffness, the widths of whole tangs that are
    /// as stiff.
    limit_mm: Option<f64>,
    /// Where the limit comes from.
    limit_source: &'static str,
    /// Where it is, if it has a place.
    at_mm: Option<Xy>,
    /// The key under which it is set aside.
    set_aside_as: String,
    /// The parts concerned, in words such as `hole 2`.
    parts: Vec<String>,
    /// The reason for which it was set aside.
    set_aside: Option<String>,
    /// What would mend it, in words.
    remedy: Option<String>,
}

impl Check {
    /// All of it.
    pub fn of(knife: &Knife, reckoning: &Reckoning) -> Self {
        Self {
            format: "blankwright-check",
            version: 1,
            name: knife.name.clone(),
            stops: reckoning.stops(),
            findings: reckoning.findings.iter().map(FindingRow::of).collect(),
        }
    }
}

impl FindingRow {
    fn of(finding: &Finding) -> Self {
        Self {
            rule: finding.rule,
            case: finding.case,
            severity: finding.severity.label(),
            short: finding.short.clone(),
            sentence: finding.sentence.clone(),
            measured_mm: finding.measured_mm,
            limit_mm: finding.limit_mm,
            limit_source: finding.limit_source,
            at_mm: finding.place.map(xy),
            set_aside_as: finding.key(),
            parts: knife::file::part_keys(&finding.parts),
            set_aside: finding.set_aside.clone(),
            remedy: finding.remedy.as_ref().map(|remedy| remedy.label.clone()),
        }
    }
}
