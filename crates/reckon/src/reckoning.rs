//! The single door: from a knife to everything that follows from it.

use crate::findings::{self, Given};
use crate::tables::Tables;
use crate::{
    BarFigures, BevelFigures, ChainFigures, FilingFigures, Finding, HoleFigures, InsideReach,
    MassFigures, ProfileFigures, ScaleFigures, Scribe, Severity, Shop, TangFigures, bar, bevel,
    chain, filing, hole, inside, mass, profile, scales, scribe, tang,
};
use knife::Knife;
use outline::Outline;

/// Everything that follows from a knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Reckoning {
    /// The outline, when there is one.
    pub outline: Option<Outline>,
    /// Figures of the outline, when there is one.
    pub profile: Option<ProfileFigures>,
    /// Figures of each hole, in the knife's order.
    pub holes: Vec<HoleFigures>,
    /// How the blank lies on its bar, when there is an outline.
    pub bar: Option<BarFigures>,
    /// Plunge and grind lines, when decided.
    pub bevel: Option<BevelFigures>,
    /// Centre line and facets for filing the bevels by hand, when decided.
    pub filing: Option<FilingFigures>,
    /// The scales' outline, when decided.
    pub scales: Option<ScaleFigures>,
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
    let holes = hole::figures(knife, outline.as_ref(), shop, tables);
    let bar = outline.as_ref().map(|outline| bar::figures(&knife.bar, outline));
    let bevel = outline.as_ref().zip(profile.as_ref()).and_then(|(outline, profile)| {
        knife.bevel.map(|stated| bevel::figures(&stated, knife.bar.thickness_mm, outline, profile))
    });
    let scales = outline.as_ref().zip(profile.as_ref()).and_then(|(outline, profile)| {
        knife.scales.and_then(|stated| scales::figures(&stated, outline, profile))
    });
    let chain = outline.as_ref().and_then(|outline| chain::figures(knife, outline, shop));
    let scribe = scribe::figures(&scribe::Given {
        knife,
        outline: outline.as_ref(),
        profile: profile.as_ref(),
        holes: &holes,
        bevel: bevel.as_ref(),
    });
    let inside = profile.as_ref().and_then(|profile| inside::figures(profile, shop, tables));
    let tang = outline
        .as_ref()
        .zip(profile.as_ref())
        .and_then(|(outline, profile)| tang::figures(knife, outline, profile));
    let mass = outline.as_ref().zip(profile.as_ref()).and_then(|(outline, profile)| {
        mass::figures(knife, outline, profile, bevel.as_ref(), tables)
    });
    let findings = findings::all(&Given {
        knife,
        shop,
        tables,
        outline: outline.as_ref(),
        profile: profile.as_ref(),
        holes: &holes,
        bar: bar.as_ref(),
        bevel: bevel.as_ref(),
        scales: scales.as_ref(),
        inside: inside.as_ref(),
        tang: tang.as_ref(),
    });
    Reckoning {
        outline,
        profile,
        holes,
        bar,
        bevel,
        filing: filing::figures(knife, shop, tables),
        scales,
        chain,
        scribe,
        inside,
        tang,
        mass,
        findings,
    }
}

/// Whether an outline is more than a line. (A figure of eight is, though its two loops may
/// cancel to no area: it must be told that it crosses itself.)
fn has_breadth(outline: &Outline) -> bool {
    outline.area() > 0.0 || outline.least_width().width_mm > 1e-9
}
