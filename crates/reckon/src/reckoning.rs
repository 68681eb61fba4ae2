//! The single door: from a knife to everything that follows from it.

use crate::context::{FigureContext, Inputs, Solid};
use crate::findings::{self, FindingContext};
use crate::heat::{self, HeatFigures};
use crate::solid::{Field, Slices};
use crate::tables::Tables;
use crate::{
    BarFigures, BevelFigures, ChainFigures, FilingFigures, Finding, FingerNotch, FitFigures,
    HandFigures, HoleFigures, InsideReach, JigFigures, JimpingFigures, MassFigures, Measured,
    Missing, OriginFrame, ProfileFigures, ScaleFigures, ScallopFigures, Scribe, Severity,
    ShapingFigures, SharpeningFigures, SheathError, SheathFigures, Shop, SwedgeFigures,
    TangFigures, WholeFigures, bar, chain, filing, finger, fit, hand, hole, inside, jigs, jimping,
    mass, measuring, profile, scales, scallops, scribe, shaping, sharpening, sheath, tang, whole,
};
use knife::{Knife, PartId};
use outline::Outline;
use std::convert::Infallible;
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
    /// How the handle fills the hand, when there are scales.
    pub hand: Option<HandFigures>,
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
    /// The sheath, or why there is none, when one is stated.
    pub sheath: Option<Result<SheathFigures, SheathError>>,
    /// What the bench makes once for this knife, when there is an outline.
    pub jigs: Option<JigFigures>,
    /// Heat, temper and finish.
    pub heat: HeatFigures,
    /// The dimensions that are kept, in their order; `None` where nothing can be measured.
    pub dimensions: Vec<Option<Measured>>,
    /// What there is to say about it, gravest first.
    pub findings: Vec<Finding>,
}

impl Reckoning {
    /// Findings that say to stop or to take care, but for those that were set aside, gravest first.
    pub fn open_findings(&self) -> impl Iterator<Item = &Finding> {
        let is_open = |own: &&Finding| own.severity <= Severity::Care && own.set_aside.is_none();
        self.findings.iter().filter(is_open)
    }

    /// How many findings say to stop; one that was set aside doesn't.
    pub fn stops(&self) -> usize {
        self.open_findings().filter(|own| own.severity == Severity::Stop).count()
    }

    /// Findings about holes that are to be seen before they are drilled.
    pub fn hole_findings(&self) -> impl Iterator<Item = &Finding> {
        let is_hole = |part: &PartId| matches!(part, PartId::Hole(_));
        self.open_findings().filter(move |own| own.parts.iter().any(is_hole))
    }
}

/// Works everything out.
pub fn reckon(knife: &Knife, shop: &Shop, tables: &Tables) -> Reckoning {
    let Ok(reckoning) = in_stages(knife, shop, tables, &|| Ok::<(), Infallible>(()));
    reckoning
}

/// The same for somebody who may change his mind: `None` as soon as it is no longer wanted, which
/// is asked between two stages.
pub fn reckon_while(
    knife: &Knife,
    shop: &Shop,
    tables: &Tables,
    wanted: &dyn Fn() -> bool,
) -> Option<Reckoning> {
    in_stages(knife, shop, tables, &|| if wanted() { Ok(()) } else { Err(()) }).ok()
}

fn in_stages<E>(
    knife: &Knife,
    shop: &Shop,
    tables: &Tables,
    go_on: &dyn Fn() -> Result<(), E>,
) -> Result<Reckoning, E> {
    let inputs = Inputs { knife, shop, tables };
    let outline = knife.profile.outline().ok().filter(has_breadth);
    let profile = outline.as_ref().map(|outline| profile::figures(knife, outline));
    go_on()?;
    // An outline that crosses itself has no inside: webs, sections, mass and lines laid within it
    // would mean nothing, and with thousands of crossings take minutes.
    let sound = outline.as_ref().zip(profile.as_ref()).filter(|(_, p)| p.contacts.is_empty());
    let solid = sound.map(|(outline, profile)| Solid::of(knife, outline, profile));
    go_on()?;
    let ctx =
        sound.zip(solid.as_ref()).map(|(sound, solid)| FigureContext::new(inputs, sound, solid));
    let ctx = ctx.as_ref();

    let holes = hole::figures(knife, ctx.map(|ctx| ctx.outline), shop, tables);
    let bar = outline.as_ref().map(|outline| bar::figures(&knife.bar, outline));
    let scales = ctx.zip(knife.scales).map(|(ctx, stated)| scales::figures(ctx, stated));
    let no_room = scales.as_ref().and_then(|laid| laid.as_ref().err().copied());
    let scales = scales.and_then(Result::ok);
    go_on()?;
    let handle = ctx.zip(scales.as_ref());
    let scallops = handle.and_then(|(ctx, scales)| scallops::figures(ctx, scales));
    let shaping = handle.and_then(|(ctx, scales)| shaping::figures(ctx, scales));
    let hand = handle.and_then(|(ctx, scales)| hand::figures(ctx, scales));
    let fit = handle.map(|(ctx, scales)| fit::figures(ctx, scales));
    go_on()?;
    let jimping = ctx.and_then(|ctx| jimping::figures(knife, ctx.outline, ctx.profile));
    let finger_notches =
        ctx.map_or_else(Vec::new, |ctx| finger::figures(knife, ctx.outline, ctx.profile, &holes));
    let chain = ctx.and_then(|ctx| chain::figures(knife, ctx.outline, shop));
    go_on()?;
    let scribe = scribe::figures(knife, profile.as_ref(), &holes, ctx, scales.as_ref());
    let inside = ctx.and_then(|ctx| inside::figures(ctx.profile, shop, tables));
    let tang = ctx.and_then(|ctx| tang::figures(knife, ctx.outline, ctx.profile));
    let slices = ctx.map(|ctx| Slices::of(ctx.field, ctx.outline, ctx.sections));
    go_on()?;
    let density_g_cm3 = shop.density_g_cm3(&knife.bar.grade, tables);
    let mass = ctx.zip(slices.as_ref());
    let mass = mass.and_then(|(ctx, slices)| mass::figures(ctx, slices, density_g_cm3));
    let whole = handle.zip(fit.as_ref().zip(mass.as_ref()));
    let whole = whole.map(|((ctx, scales), (fit, mass))| whole::figures(ctx, scales, fit, mass));
    let sharpening = ctx.and_then(|ctx| sharpening::figures(knife, ctx.bevel?));
    let filing = ctx.and_then(filing::figures);
    let heat = heat::figures(inputs, ctx, mass.as_ref(), sharpening.as_ref());
    go_on()?;

    let sheath = ctx.and_then(|ctx| sheath::figures(ctx, scales.as_ref()));
    let jigs =
        ctx.map(|ctx| jigs::figures(ctx, scales.as_ref(), &holes, sharpening.as_ref(), &heat));

    let measured = |dimension| measuring::measure(knife, outline.as_ref(), dimension);
    let dimensions = knife.dimensions.iter().map(measured).collect();
    let bevel = ctx.and_then(|ctx| ctx.bevel);
    let origin = OriginFrame::of(knife, profile.as_ref(), bevel);
    let findings = findings::all(&FindingContext {
        knife,
        shop,
        tables,
        outline: ctx.map(|ctx| ctx.outline),
        profile: profile.as_ref(),
        origin,
        holes: &holes,
        bar: bar.as_ref(),
        bevel,
        chain: chain.as_ref(),
        scales: scales.as_ref(),
        no_room,
        fit: fit.as_ref(),
        jimping: jimping.as_ref(),
        scallops: scallops.as_ref(),
        inside: inside.as_ref(),
        tang: tang.as_ref(),
        swedge: solid.as_ref().and_then(|solid| solid.swedge.as_ref()),
        field: ctx.map(|ctx| ctx.field),
        heat: &heat,
        sheath: sheath.as_ref(),
    });
    let (bevel, swedge, field) =
        solid.map_or((None, None, None), |solid| (solid.bevel, solid.swedge, Some(solid.field)));
    Ok(Reckoning {
        outline,
        profile,
        origin,
        holes,
        bar,
        bevel,
        swedge,
        field,
        slices,
        filing,
        scales,
        fit,
        jimping,
        scallops,
        shaping,
        hand,
        finger_notches,
        chain,
        scribe,
        inside,
        tang,
        mass,
        whole,
        sharpening,
        sheath,
        jigs,
        heat,
        dimensions,
        findings,
    })
}

/// Whether an outline is more than a line. (A figure of eight is, though its two loops may
/// cancel to no area: it must be told that it crosses itself.)
fn has_breadth(outline: &Outline) -> bool {
    outline.area() > 0.0 || outline.min_width().width_mm > 1e-9
}
