//! The single door: from a knife to everything that follows from it.

use crate::findings::{self, Context};
use crate::heat::{self, HeatFigures};
use crate::solid::{Field, Sections, Slices};
use crate::tables::Tables;
use crate::{
    BarFigures, BevelFigures, ChainFigures, FilingFigures, Finding, FingerNotch, FitFigures,
    HoleFigures, InsideReach, JimpingFigures, MassFigures, Missing, OriginFrame, ProfileFigures,
    ScaleFigures, ScallopFigures, Scribe, Severity, ShapingFigures, SharpeningFigures, Shop,
    SwedgeFigures, TangFigures, WholeFigures, bar, bevel, chain, filing, finger, fit, hole, inside,
    jimping, mass, profile, scales, scallops, scribe, shaping, sharpening, swedge, tang, whole,
};
use knife::Knife;
use outline::Outline;
use std::sync::Arc;

/// Everything that follows from a knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Reckoning {
    /// The outline, when there is one.
    pub outline: Option<Outline>,
    /// Figures of the outline, when there is one.
    pub profile: Option<ProfileFigures>,
    /// Where the coordinates that a person reads are counted from.
    pub origin: OriginFrame,
    /// Figures of each hole, in the knife's order; without webs where the outline crosses itself.
    pub holes: Vec<HoleFigures>,
    /// How the blank lies on its bar, when there is an outline.
    pub bar: Option<BarFigures>,
    /// Plunge and grind lines, when decided. (These and all below but findings need an outline
    /// that doesn't cross itself, as far as they need one.)
    pub bevel: Option<BevelFigures>,
    /// The swedge, when there is one.
    pub swedge: Option<SwedgeFigures>,
    /// How thick the knife is everywhere, when there is an outline.
    pub field: Option<Arc<Field>>,
    /// Its sections along the blade, when there is an outline; holes are not taken off.
    pub slices: Option<Slices>,
    /// Centre line and facets for filing the bevels by hand, when decided.
    pub filing: Option<FilingFigures>,
    /// The scales' outline, when decided.
    pub scales: Option<ScaleFigures>,
    /// Pins and glue, when there are scales.
    pub fit: Option<FitFigures>,
    /// The jimping, when it lies on the outline.
    pub jimping: Option<JimpingFigures>,
    /// The scallops, when the scales have room for them.
    pub scallops: Option<ScallopFigures>,
    /// How the handle is shaped, when anything is stated of it.
    pub shaping: Option<ShapingFigures>,
    /// The finger notches of the underside, from the front on.
    pub finger_notches: Vec<FingerNotch>,
    /// The chain of holes by which the blank is cut out, when there is an outline.
    pub chain: Option<ChainFigures>,
    /// Holes and marks as distances from the bar's own edges and ends.
    pub scribe: Scribe,
    /// Which tool reaches into the tightest inside curve, when anything is hollow.
    pub inside: Option<InsideReach>,
    /// The tang's sections, when it has pins.
    pub tang: Option<TangFigures>,
    /// Mass and balance of the steel, when there is an outline.
    pub mass: Option<MassFigures>,
    /// Mass and balance of the whole knife, or what is missing for it, when there are scales.
    pub whole: Option<Result<WholeFigures, Missing>>,
    /// The final edge, when it is stated.
    pub sharpening: Option<SharpeningFigures>,
    /// Heat, temper and finish.
    pub heat: HeatFigures,
    /// What there is to say about it, gravest first.
    pub findings: Vec<Finding>,
}

impl Reckoning {
    /// How many findings say to stop; one that was set aside doesn't.
    pub fn stops(&self) -> usize {
        let stops =
            |finding: &&Finding| finding.severity == Severity::Stop && finding.set_aside.is_none();
        self.findings.iter().filter(stops).count()
    }
}

/// Works everything out.
pub fn reckon(knife: &Knife, shop: &Shop, tables: &Tables) -> Reckoning {
    let outline = knife.profile.outline().ok().filter(has_breadth);
    let profile = outline.as_ref().map(|outline| profile::figures(knife, outline));
    // An outline that crosses itself has no inside: webs, sections, mass and lines laid within it
    // would mean nothing, and with thousands of crossings take minutes.
    let crosses = profile.as_ref().is_some_and(|profile| !profile.contacts.is_empty());
    let sound = outline.as_ref().filter(|_| !crosses);
    let holes = hole::figures(knife, sound, shop, tables);
    let bar = outline.as_ref().map(|outline| bar::figures(&knife.bar, outline));
    let lies = sound.zip(profile.as_ref());
    let bevel = lies.and_then(|(outline, profile)| bevel::figures(knife, outline, profile));
    let swedge = lies.and_then(|(outline, profile)| swedge::figures(knife, outline, profile));
    let field = lies.map(|(_, p)| Arc::new(Field::of(knife, p, bevel.as_ref(), swedge.as_ref())));
    let scales = lies.zip(knife.scales).map(|((outline, profile), stated)| {
        scales::figures(&scales::Context { knife, stated, outline, profile, shop, tables })
    });
    let no_room = scales.as_ref().and_then(|laid| laid.as_ref().err().copied());
    let scales = scales.and_then(Result::ok);
    let jimping = lies.and_then(|(outline, profile)| jimping::figures(knife, outline, profile));
    let scallops = lies.zip(scales.as_ref()).and_then(|((outline, profile), scales)| {
        scallops::figures(knife, outline, profile, scales)
    });
    let shaping = lies.zip(scales.as_ref().zip(field.as_deref()));
    let shaping = shaping.and_then(|((outline, profile), (scales, field))| {
        shaping::figures(knife, outline, profile, scales, field)
    });
    let finger_notches = lies.map_or_else(Vec::new, |(outline, profile)| {
        finger::figures(knife, outline, profile, &holes)
    });
    let chain = sound.and_then(|outline| chain::figures(knife, outline, shop));
    let scribe = scribe::figures(&scribe::Context {
        knife,
        outline: sound,
        profile: profile.as_ref(),
        holes: &holes,
        bevel: bevel.as_ref(),
        scales: scales.as_ref(),
    });
    let inside = profile
        .as_ref()
        .filter(|_| !crosses)
        .and_then(|profile| inside::figures(profile, shop, tables));
    let tang = sound
        .zip(profile.as_ref())
        .and_then(|(outline, profile)| tang::figures(knife, outline, profile));
    let solid = field.as_ref().zip(sound);
    let sections = solid.map(|(field, outline)| Sections::of(field, outline));
    let columns = solid
        .zip(sections.as_ref())
        .map(|((field, outline), sections)| Slices::of(field, outline, sections));
    let density_g_cm3 = shop.density_g_cm3(&knife.bar.grade, tables);
    let mass = lies.zip(field.as_ref().zip(columns.as_ref())).and_then(
        |((outline, profile), (field, columns))| {
            mass::figures(knife, outline, profile, (field, columns), density_g_cm3)
        },
    );
    let laid = scales.as_ref().zip(field.as_deref());
    let fit =
        laid.map(|(scales, field)| fit::figures(fit::Context { knife, scales, field, tables }));
    let whole = lies.zip(laid).zip(fit.as_ref().zip(mass.as_ref()));
    let whole = whole.map(|(((_, profile), (scales, field)), (fit, mass))| {
        whole::figures(&whole::Context { knife, profile, scales, fit, field, mass, tables })
    });
    let sharpening = bevel.as_ref().and_then(|bevel| sharpening::figures(knife, bevel));
    let filing = filing::figures(&filing::Context {
        knife,
        shop,
        tables,
        bevel: bevel.as_ref(),
        field: field.as_deref(),
        sections: sections.as_ref(),
    });
    let heat = heat::figures(&heat::Context {
        knife,
        shop,
        tables,
        lies,
        mass: mass.as_ref(),
        bevel: bevel.as_ref(),
        field: field.as_deref(),
        sharpening: sharpening.as_ref(),
    });
    let origin = OriginFrame::of(knife, profile.as_ref(), bevel.as_ref());
    let findings = findings::all(&Context {
        knife,
        shop,
        tables,
        outline: sound,
        profile: profile.as_ref(),
        origin,
        holes: &holes,
        bar: bar.as_ref(),
        bevel: bevel.as_ref(),
        scales: scales.as_ref(),
        no_room,
        fit: fit.as_ref(),
        jimping: jimping.as_ref(),
        scallops: scallops.as_ref(),
        inside: inside.as_ref(),
        tang: tang.as_ref(),
        swedge: swedge.as_ref(),
        field: field.as_deref(),
        heat: &heat,
    });
    Reckoning {
        outline,
        profile,
        origin,
        holes,
        bar,
        bevel,
        swedge,
        field,
        slices: columns,
        filing,
        scales,
        fit,
        jimping,
        scallops,
        shaping,
        finger_notches,
        chain,
        scribe,
        inside,
        tang,
        mass,
        whole,
        sharpening,
        heat,
        findings,
    }
}

/// Whether an outline is more than a line. (A figure of eight is, though its two loops may
/// cancel to no area: it must be told that it crosses itself.)
fn has_breadth(outline: &Outline) -> bool {
    outline.area() > 0.0 || outline.min_width().width_mm > 1e-9
}
