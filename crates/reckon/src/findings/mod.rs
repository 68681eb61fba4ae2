//! Findings: what there is to say about a knife before steel is cut.
//!
//! One rule a file: its document, its check, its remedy where there is one, its tests. To add
//! one, write its file and its row in [`RULES`].

mod does_not_go_in;
mod drill_mismatch;
mod edge_before_hardening;
mod edge_too_thick;
mod ground_out_of_shape;
mod hole_near_bar_edge;
mod hole_off_the_scales;
mod hole_outside;
mod holes_overlap;
mod hollow_too_deep;
mod inside_corner_sharp;
mod inside_too_tight;
mod lies_askew;
mod line_off_the_blank;
mod marks_missing;
mod no_outline;
mod no_room_to_saw;
mod notch_out_of_order;
mod off_the_bar;
mod outline_crosses_itself;
mod paper_too_small;
mod pin_gap;
mod pin_too_thick;
mod plunge_out_of_place;
mod tang_weak;
mod temper_unknown;
mod tip_thin;
mod warp_margin;
mod web_between_holes;
mod web_to_edge;

use crate::heat::HeatFigures;
use crate::shop::Limits;
use crate::solid::Field;
use crate::tables::Tables;
use crate::{
    BarFigures, BevelFigures, HoleFigures, InsideReach, ProfileFigures, ScaleFigures, Shop,
    SwedgeFigures, TangFigures,
};
use knife::{Edit, Knife, PartId, SetAside};
use kurbo::Point;
use outline::Outline;
use units::{LengthUnit, show_length, show_mm};

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
    /// The word a person reads.
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Care => "take care",
            Self::Note => "note",
        }
    }
}

/// A way to mend a finding, as an edit.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What it does, as a button says it.
    pub words: String,
    /// The edit.
    pub edit: Edit,
}

/// One thing to say about a knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Key of its rule.
    pub rule: &'static str,
    /// How grave it is.
    pub severity: Severity,
    /// One or two plain sentences: what is wrong, where, and what to do.
    pub sentence: String,
    /// What was measured, mm, where a length was.
    pub measured_mm: Option<f64>,
    /// The limit it was held against, mm.
    pub limit_mm: Option<f64>,
    /// Where the limit comes from.
    pub limit_source: &'static str,
    /// The parts it is about.
    pub parts: Vec<PartId>,
    /// Where to look, in the knife's plane.
    pub place: Option<Point>,
    /// A way to mend it, where there is one.
    pub remedy: Option<Remedy>,
    /// The maker's reason, when it was set aside and has not become worse since.
    pub set_aside: Option<String>,
}

impl Finding {
    /// The edit that sets it aside for a reason.
    pub fn aside(&self, reason: &str) -> Edit {
        Edit::SetAside(SetAside {
            rule: self.rule.to_owned(),
            parts: self.parts.clone(),
            measured_mm: self.measured_mm,
            reason: reason.to_owned(),
        })
    }

    /// The edit that takes it up again.
    pub fn taken_up(&self) -> Edit {
        Edit::TakeUp { rule: self.rule.to_owned(), parts: self.parts.clone() }
    }

    /// Its gravity as it counts: what was set aside is only told.
    pub fn word(&self) -> &'static str {
        if self.set_aside.is_some() { "set aside" } else { self.severity.word() }
    }

    /// Its sentence, and the maker's reason where it was set aside.
    pub fn told(&self) -> String {
        match &self.set_aside {
            Some(reason) => {
                format!("{} The reason: {}.", self.sentence, reason.trim_end_matches('.'))
            }
            None => self.sentence.clone(),
        }
    }

    /// Whether it is further from its limit than it was when it was set aside.
    fn is_worse_than(&self, aside: &SetAside) -> bool {
        let (Some(now), Some(then)) = (self.measured_mm, aside.measured_mm) else { return false };
        let limit = self.limit_mm.unwrap_or(now);
        (now - limit).abs() > (then - limit).abs() + SAME_MEASURE_MM
    }
}

/// A finding set aside comes back once it is worse by more than this, mm.
const SAME_MEASURE_MM: f64 = 0.05;

/// What a rule may look at.
pub(crate) struct Given<'a> {
    pub(crate) knife: &'a Knife,
    pub(crate) shop: &'a Shop,
    pub(crate) tables: &'a Tables,
    pub(crate) outline: Option<&'a Outline>,
    pub(crate) profile: Option<&'a ProfileFigures>,
    pub(crate) holes: &'a [HoleFigures],
    pub(crate) bar: Option<&'a BarFigures>,
    pub(crate) bevel: Option<&'a BevelFigures>,
    pub(crate) scales: Option<&'a ScaleFigures>,
    pub(crate) inside: Option<&'a InsideReach>,
    pub(crate) tang: Option<&'a TangFigures>,
    pub(crate) swedge: Option<&'a SwedgeFigures>,
    pub(crate) field: Option<&'a Field>,
    pub(crate) heat: &'a HeatFigures,
}

impl Given<'_> {
    /// A length as sentences tell it, in the knife's unit.
    fn length(&self, length_mm: f64) -> String {
        match self.knife.unit {
            LengthUnit::Millimetre => show_mm(length_mm, 2),
            LengthUnit::Inch => show_length(length_mm, LengthUnit::Inch),
        }
    }

    /// A place as sentences tell it.
    fn place(&self, p: Point) -> String {
        match self.knife.unit {
            LengthUnit::Millimetre => {
                format!("x {}, y {}", show_mm(p.x, 1), show_mm(p.y, 1))
            }
            LengthUnit::Inch => {
                format!("x {}, y {}", units::show_inch(p.x, 3), units::show_inch(p.y, 3))
            }
        }
    }
}

/// More findings of one rule than this are only counted.
const MOST_TOLD: usize = 50;

/// Where the limit of this key comes from.
fn limit_source(key: &str) -> &'static str {
    Limits::row(key).map_or("", |row| row.source)
}

/// Every pair of holes with the web between them, mm.
fn pairs(holes: &[HoleFigures]) -> impl Iterator<Item = (&HoleFigures, &HoleFigures, f64)> {
    holes.iter().enumerate().flat_map(|(i, a)| {
        holes[i + 1..].iter().map(move |b| {
            let reach_mm = (a.diameter_mm + b.diameter_mm) / 2.0;
            (a, b, a.at.distance(b.at) - reach_mm)
        })
    })
}

/// One rule: its documents for people, and its check.
pub struct Rule {
    /// Its key in JSON and on the command line.
    pub key: &'static str,
    /// What it checks.
    pub checks: &'static str,
    /// Why it matters.
    pub matters: &'static str,
    /// What to do.
    pub cure: &'static str,
    check: fn(&Given<'_>, &mut Vec<Finding>),
}

impl Rule {
    /// A finding of this rule without measure, place or remedy yet.
    fn finding(&self, severity: Severity, sentence: String) -> Finding {
        Finding {
            rule: self.key,
            severity,
            sentence,
            measured_mm: None,
            limit_mm: None,
            limit_source: "",
            parts: Vec::new(),
            place: None,
            remedy: None,
            set_aside: None,
        }
    }
}

/// Every rule, in the order of the work.
pub static RULES: &[&Rule] = &[
    &no_outline::RULE,
    &outline_crosses_itself::RULE,
    &marks_missing::RULE,
    &lies_askew::RULE,
    &off_the_bar::RULE,
    &no_room_to_saw::RULE,
    &paper_too_small::RULE,
    &inside_too_tight::RULE,
    &inside_corner_sharp::RULE,
    &tip_thin::RULE,
    &hole_outside::RULE,
    &holes_overlap::RULE,
    &web_to_edge::RULE,
    &web_between_holes::RULE,
    &hole_near_bar_edge::RULE,
    &hole_off_the_scales::RULE,
    &tang_weak::RULE,
    &drill_mismatch::RULE,
    &pin_too_thick::RULE,
    &pin_gap::RULE,
    &edge_too_thick::RULE,
    &edge_before_hardening::RULE,
    &hollow_too_deep::RULE,
    &ground_out_of_shape::RULE,
    &line_off_the_blank::RULE,
    &plunge_out_of_place::RULE,
    &notch_out_of_order::RULE,
    &does_not_go_in::RULE,
    &warp_margin::RULE,
    &temper_unknown::RULE,
];

/// Runs every rule; the gravest findings first, each gravity in the order of the work, and what
/// was set aside last.
pub(crate) fn all(given: &Given<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for rule in RULES {
        let mut own = Vec::new();
        (rule.check)(given, &mut own);
        own.iter_mut().for_each(|finding| apply_asides(finding, &given.knife.set_aside));
        // What was set aside is told whole; of the rest, what is too much is only counted.
        own.sort_by_key(|finding| finding.set_aside.is_none());
        let asides = own.iter().filter(|finding| finding.set_aside.is_some()).count();
        let most = MOST_TOLD + asides;
        let more = own.len().saturating_sub(most);
        if let Some(gravest) = own[asides..].iter().map(|finding| finding.severity).min()
            && more > 0
        {
            own.truncate(most);
            let sentence = format!("And {more} more of this kind: {}", rule.cure);
            own.push(rule.finding(gravest, sentence));
        }
        findings.append(&mut own);
    }
    findings.sort_by_key(|finding| (finding.set_aside.is_some(), finding.severity));
    findings
}

/// Gives a finding the reason it was set aside for, or says that it has become worse since.
fn apply_asides(finding: &mut Finding, asides: &[SetAside]) {
    let Some(aside) = asides.iter().find(|aside| aside.is_about(finding.rule, &finding.parts))
    else {
        return;
    };
    if finding.is_worse_than(aside) {
        finding.sentence += " It was set aside, but has become worse since.";
    } else {
        finding.set_aside = Some(aside.reason.clone());
    }
}

#[cfg(test)]
mod tests;
