//! Findings: what there is to say about a knife before steel is cut.
//!
//! One rule a file: its document, its check, its remedy where there is one, its tests. To add
//! one, write its file and its row in [`RULES`].

mod aside_unknown;
mod does_not_go_in;
mod drill_mismatch;
mod edge_before_hardening;
mod edge_too_thick;
mod fixing_misfit;
mod ground_out_of_shape;
mod handle_out_of_room;
mod hole_near_bar_edge;
mod hole_off_the_scales;
mod hole_outside;
mod holes_overlap;
mod hollow_too_deep;
mod inside_corner_sharp;
mod inside_too_tight;
mod jimping_falls_short;
mod jimping_near_hole;
mod lies_askew;
mod line_off_the_blank;
mod lines_left_out;
mod marks_missing;
mod no_outline;
mod no_room_to_saw;
mod not_in_stock;
mod notch_out_of_order;
mod off_the_bar;
mod outline_crosses_itself;
mod paper_too_small;
mod pin_gap;
mod pin_near_scale_edge;
mod pin_too_thick;
mod pins_too_few;
mod plunge_out_of_place;
mod room;
mod scallops_fall_short;
mod scallops_overlap;
mod scallops_too_deep;
mod sheath_catches;
mod sheath_edge_near;
mod sheath_holds_little;
mod sheath_no_room;
mod sheath_over_stock;
mod sheath_row_near_rim;
mod tang_weak;
mod temper_brittle;
mod temper_unknown;
mod tip_thin;
mod warp_margin;
mod web_between_holes;
mod web_to_edge;

use crate::heat::HeatFigures;
use crate::shop::{LimitRow, Limits};
use crate::solid::Field;
use crate::tables::Tables;
use crate::{
    BarFigures, BevelFigures, ChainFigures, FitFigures, HoleFigures, InsideReach, JimpingFigures,
    OriginFrame, ProfileFigures, ScaleFigures, ScaleLayoutError, ScallopFigures, SheathError,
    SheathFigures, Shop, SwedgeFigures, TangFigures,
};
pub use knife::Severity;
use knife::{Edit, Knife, Node, PartId, Refusal, SetAside};
use kurbo::Point;
use outline::Outline;
use units::{one_line, show_decimal};

/// A way to mend a finding, as edits.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What it does, as a button says it.
    pub label: String,
    /// The edits, done in their order as one step.
    pub edits: Vec<Edit>,
}

impl Remedy {
    fn new(label: impl Into<String>, edit: Edit) -> Self {
        Self { label: label.into(), edits: vec![edit] }
    }

    /// The knife with the remedy done.
    ///
    /// # Errors
    /// [`Refusal`] with the reason when it can't be done.
    pub fn apply(&self, knife: &Knife) -> Result<Knife, Refusal> {
        self.edits.iter().try_fold(knife.clone(), |knife, edit| edit.apply(&knife))
    }
}

/// On which side of its limit a measure should lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitSide {
    /// The less, the worse.
    AtLeast,
    /// The more, the worse.
    AtMost,
}

/// One thing to say about a knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Key of its rule.
    pub rule: &'static str,
    /// Which of the rule's findings it is, where the rule tells several of the same parts;
    /// otherwise empty.
    pub case: &'static str,
    /// How grave it is.
    pub severity: Severity,
    /// The same in at most twenty words with one figure, for a list.
    pub short: String,
    /// One or two plain sentences: what is wrong, where, and what to do.
    pub sentence: String,
    /// What was measured, mm, where a length was.
    pub measured_mm: Option<f64>,
    /// Whether more or less of it is worse.
    pub limit_side: LimitSide,
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
    pub fn set_aside_edit(&self, reason: &str) -> Edit {
        Edit::SetAside(SetAside {
            rule: self.key(),
            parts: self.parts.clone(),
            severity: Some(self.severity),
            measured_mm: self.measured_mm,
            limit_mm: self.limit_mm,
            reason: reason.to_owned(),
        })
    }

    /// The edit that takes it up again.
    pub fn restore_edit(&self) -> Edit {
        Edit::TakeUp { rule: self.key(), parts: self.parts.clone() }
    }

    /// The name by which it is set aside: its rule's key, and which of the rule's findings.
    pub fn key(&self) -> String {
        if self.case.is_empty() {
            self.rule.to_owned()
        } else {
            format!("{}: {}", self.rule, self.case)
        }
    }

    /// Its gravity as it counts: what was set aside is only told.
    pub fn label(&self) -> &'static str {
        if self.set_aside.is_some() { "accepted" } else { self.severity.word() }
    }

    /// Its sentence, and the maker's reason where it was set aside.
    pub fn message(&self) -> String {
        match &self.set_aside {
            Some(reason) => {
                let reason = one_line(reason.trim_end_matches('.'));
                format!("{} The reason: {reason}.", self.sentence)
            }
            None => self.sentence.clone(),
        }
    }

    /// With a measure, the limit it was held against and where that comes from.
    fn measured(
        self,
        held: LimitSide,
        measured_mm: f64,
        limit_mm: impl Into<Option<f64>>,
        source: &'static str,
    ) -> Self {
        let (measured_mm, limit_mm) = (Some(measured_mm), limit_mm.into());
        Self { limit_side: held, measured_mm, limit_mm, limit_source: source, ..self }
    }

    /// As one of several findings of its rule.
    fn case(self, case: &'static str) -> Self {
        Self { case, ..self }
    }

    /// With where a limit that is no length comes from.
    fn by(self, limit_source: &'static str) -> Self {
        Self { limit_source, ..self }
    }

    /// With the parts it is about, none of them twice in a row.
    fn about(mut self, parts: impl IntoIterator<Item = PartId>) -> Self {
        self.parts.extend(parts);
        self.parts.dedup();
        self
    }

    /// With where to look.
    fn at(self, place: impl Into<Option<Point>>) -> Self {
        Self { place: place.into(), ..self }
    }

    /// With a way to mend it, where there is one.
    fn mended_by(self, remedy: impl Into<Option<Remedy>>) -> Self {
        Self { remedy: remedy.into(), ..self }
    }

    /// Why it counts again though it was set aside, if it does: it is graver than it was, the
    /// measure is worse, or more of it is lacking. What can't be compared counts again too.
    fn comes_back(&self, aside: &SetAside) -> Option<&'static str> {
        let was = aside.severity.unwrap_or(Severity::Care);
        if self.severity < was {
            return Some(if aside.severity.is_some() { WORSE } else { UNTOLD });
        }
        let (now, then) = match (self.measured_mm, aside.measured_mm) {
            (None, None) => return None,
            (Some(now), Some(then)) => (now, then),
            _ => return Some(UNTOLD),
        };
        let over = |measured: f64, limit: f64| match self.limit_side {
            LimitSide::AtLeast => limit - measured,
            LimitSide::AtMost => measured - limit,
        };
        let lacks_more = self.severity == was
            && self.limit_mm.zip(aside.limit_mm).is_some_and(|(limit, limit_then)| {
                over(now, limit) > over(then, limit_then) + SAME_MEASURE_MM
            });
        (over(now, then) > SAME_MEASURE_MM || lacks_more).then_some(WORSE)
    }
}

/// A finding set aside comes back once it is worse by more than rounding, mm.
const SAME_MEASURE_MM: f64 = 1e-3;
const WORSE: &str = " It was accepted, but has become worse since.";
const UNTOLD: &str = " It was accepted at another severity or figure. Accept it again if that is \
                      still right.";

/// What a rule may look at.
pub(crate) struct FindingContext<'a> {
    pub(crate) knife: &'a Knife,
    pub(crate) shop: &'a Shop,
    pub(crate) tables: &'a Tables,
    /// The outline, unless it crosses itself: its inside then means nothing.
    pub(crate) outline: Option<&'a Outline>,
    pub(crate) profile: Option<&'a ProfileFigures>,
    pub(crate) origin: OriginFrame,
    pub(crate) holes: &'a [HoleFigures],
    pub(crate) bar: Option<&'a BarFigures>,
    pub(crate) bevel: Option<&'a BevelFigures>,
    pub(crate) chain: Option<&'a ChainFigures>,
    pub(crate) scales: Option<&'a ScaleFigures>,
    /// Why the scales' front can't be laid.
    pub(crate) no_room: Option<ScaleLayoutError>,
    pub(crate) fit: Option<&'a FitFigures>,
    pub(crate) jimping: Option<&'a JimpingFigures>,
    pub(crate) scallops: Option<&'a ScallopFigures>,
    pub(crate) inside: Option<&'a InsideReach>,
    pub(crate) tang: Option<&'a TangFigures>,
    pub(crate) swedge: Option<&'a SwedgeFigures>,
    pub(crate) field: Option<&'a Field>,
    pub(crate) heat: &'a HeatFigures,
    /// The sheath, or why there is none.
    pub(crate) sheath: Option<&'a Result<SheathFigures, SheathError>>,
}

impl FindingContext<'_> {
    /// Where a limit comes from that follows from the limits of these keys: from this shop once
    /// one of them isn't the usual.
    fn source(&self, keys: &[&str]) -> &'static str {
        let usual = Limits::default();
        let rows = || keys.iter().filter_map(|key| Limits::row(key));
        let changed =
            |row: &LimitRow| (row.get)(&self.shop.limits).to_bits() != (row.get)(&usual).to_bits();
        if rows().any(changed) { THIS_SHOP } else { rows().next().map_or("", |row| row.source) }
    }

    /// The heel, where tip and heel are marked in order.
    fn heel(&self) -> Option<&Node> {
        let heel = self.knife.profile.node(self.knife.profile.heel?)?;
        marks_missing::in_order(self)?.then_some(heel)
    }

    /// A length as sentences tell it, in the knife's unit.
    fn length(&self, length_mm: f64) -> String {
        units::show_length(length_mm, self.knife.unit)
    }

    /// A length as the short text tells it: decimals alone.
    fn brief(&self, length_mm: f64) -> String {
        show_decimal(length_mm, self.knife.unit, (2, 3))
    }

    /// A place as sentences tell it: `x 12.0 mm, y 3.0 mm from the tip`.
    fn place(&self, place: Point) -> String {
        let Point { x, y } = self.origin.to_local(place);
        let show = |mm: f64| show_decimal(mm, self.knife.unit, (1, 3));
        format!("x {}, y {} {}", show(x), show(y), self.origin.from_phrase())
    }

    /// A place along the knife as sentences tell it: `x 12.00 mm from the tip`.
    fn along(&self, x_mm: f64) -> String {
        format!("x {} {}", self.length(self.origin.to_local_x(x_mm)), self.origin.from_phrase())
    }
}

/// More findings of one rule than this are only counted.
const MAX_LISTED: usize = 50;

/// More findings of pairs than this are not even gathered: a thousand holes on one spot make half a
/// million pairs.
const MAX_GATHERED: usize = 20_000;

/// Where a limit comes from that the maker changed.
const THIS_SHOP: &str = "set in this shop";

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
    pub rationale: &'static str,
    /// What to do.
    pub remedy: &'static str,
    check: fn(&FindingContext<'_>, &mut Vec<Finding>),
}

impl Rule {
    /// A finding of this rule without measure, place or remedy yet. Names in its sentences may come
    /// from a file and have any characters.
    fn finding(
        &self,
        severity: Severity,
        short: impl AsRef<str>,
        sentence: impl AsRef<str>,
    ) -> Finding {
        Finding {
            rule: self.key,
            case: "",
            severity,
            short: one_line(short.as_ref()),
            sentence: one_line(sentence.as_ref()),
            measured_mm: None,
            limit_side: LimitSide::AtLeast,
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
    &handle_out_of_room::RULE,
    &pins_too_few::RULE,
    &jimping_falls_short::RULE,
    &jimping_near_hole::RULE,
    &scallops_fall_short::RULE,
    &scallops_overlap::RULE,
    &scallops_too_deep::RULE,
    &tang_weak::RULE,
    &drill_mismatch::RULE,
    &pin_too_thick::RULE,
    &pin_gap::RULE,
    &pin_near_scale_edge::RULE,
    &fixing_misfit::RULE,
    &not_in_stock::RULE,
    &edge_too_thick::RULE,
    &edge_before_hardening::RULE,
    &hollow_too_deep::RULE,
    &ground_out_of_shape::RULE,
    &line_off_the_blank::RULE,
    &lines_left_out::RULE,
    &plunge_out_of_place::RULE,
    &notch_out_of_order::RULE,
    &does_not_go_in::RULE,
    &warp_margin::RULE,
    &temper_unknown::RULE,
    &temper_brittle::RULE,
    &sheath_no_room::RULE,
    &sheath_edge_near::RULE,
    &sheath_row_near_rim::RULE,
    &sheath_catches::RULE,
    &sheath_holds_little::RULE,
    &sheath_over_stock::RULE,
    &aside_unknown::RULE,
];

/// Runs every rule; the gravest findings first, each gravity in the order of the work, and what
/// was set aside last.
pub(crate) fn all(ctx: &FindingContext<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for rule in RULES {
        let mut own = Vec::new();
        (rule.check)(ctx, &mut own);
        own.iter_mut().for_each(|finding| apply_asides(finding, &ctx.knife.set_aside));
        // What was set aside is told whole; of the rest, what is too much is only counted.
        own.sort_by_key(|finding| finding.set_aside.is_none());
        let asides = own.iter().filter(|finding| finding.set_aside.is_some()).count();
        let max = MAX_LISTED + asides;
        let gathered = own.len();
        let more = gathered.saturating_sub(max);
        if let Some(gravest) = own[asides..].iter().map(|finding| finding.severity).min()
            && more > 0
        {
            own.truncate(max);
            let at_least = if gathered < MAX_GATHERED { "" } else { "at least " };
            let sentence = format!("And {at_least}{more} more of this kind: {}", rule.remedy);
            own.push(rule.finding(gravest, format!("{more} more of this kind."), sentence));
        }
        // A button never offers what would be refused.
        for finding in &mut own {
            finding.remedy = finding.remedy.take().filter(|remedy| remedy.apply(ctx.knife).is_ok());
        }
        findings.append(&mut own);
    }
    findings.sort_by_key(|finding| (finding.set_aside.is_some(), finding.severity));
    findings
}

/// Gives a finding the reason it was set aside for, or says that it has become worse since.
fn apply_asides(finding: &mut Finding, asides: &[SetAside]) {
    let Some(aside) = asides.iter().find(|aside| aside.applies_to(&finding.key(), &finding.parts))
    else {
        return;
    };
    match finding.comes_back(aside) {
        Some(why) => {
            finding.short += " Worse than accepted.";
            finding.sentence += why;
        }
        None => finding.set_aside = Some(aside.reason.clone()),
    }
}

#[cfg(test)]
mod tests;
