//! Many blanks on bars: the stable JSON of `bar`.

use super::{Range, Xy, cutting::SawCut, xy};
use crate::{Nest, NestBar, NestBlank};
use knife::Knife;
use schemars::JsonSchema;
use serde::Serialize;

/// Many blanks laid on bars (`blankwright bar --json`).
#[derive(Debug, Serialize, JsonSchema)]
pub struct Bars {
    /// Always `blankwright-bar`.
    format: &'static str,
    /// Always 1: fields are added, never renamed.
    version: u32,
    /// The grade of steel.
    grade: String,
    /// Width of the bars.
    width_mm: f64,
    /// Thickness of the bars.
    thickness_mm: f64,
    /// Between two blanks.
    gap_mm: f64,
    /// Clear steel along edges and ends.
    margin_mm: f64,
    /// How many blanks are laid.
    count: usize,
    /// The bars.
    bars: Vec<LaidBar>,
    /// How many bars of usual lengths would do.
    usual_bars: Vec<UsualBar>,
    /// The steps searched.
    steps: u64,
    /// Whether intricate outlines were laid by their hulls.
    coarse: bool,
    /// Whether as many were laid as are at once: a bar to be filled may take more.
    limited: bool,
}

impl Bars {
    pub(super) fn of(knives: &[&Knife], nest: &Nest) -> Self {
        let usual = nest.stock_counts.iter().map(|usual| UsualBar {
            name: usual.name.to_string(),
            length_mm: usual.length_mm,
            bars: usual.bars,
            offcut_mm: usual.offcut_mm,
        });
        Self {
            format: "blankwright-bar",
            version: 1,
            grade: nest.grade.clone(),
            width_mm: nest.width_mm,
            thickness_mm: nest.thickness_mm,
            gap_mm: nest.gap_mm,
            margin_mm: nest.margin_mm,
            count: nest.count(),
            bars: nest.bars.iter().map(|bar| LaidBar::of(knives, bar)).collect(),
            usual_bars: usual.collect(),
            steps: nest.steps,
            coarse: nest.coarse,
            limited: nest.limited,
        }
    }
}

/// One bar and what lies on it.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct LaidBar {
    /// Its length.
    length_mm: f64,
    /// How many blanks lie on it.
    count: usize,
    /// The length that they take.
    taken_mm: f64,
    /// What is left at its end.
    offcut_mm: f64,
    /// The share of that steel that becomes blanks.
    used_share: f64,
    /// The blanks.
    blanks: Vec<LaidBlank>,
}

impl LaidBar {
    pub(super) fn of(knives: &[&Knife], bar: &NestBar) -> Self {
        Self {
            length_mm: bar.length_mm,
            count: bar.blanks.len(),
            taken_mm: bar.used_mm,
            offcut_mm: bar.offcut_mm,
            used_share: bar.used_share,
            blanks: bar.blanks.iter().map(|blank| LaidBlank::of(knives, blank)).collect(),
        }
    }
}

/// One blank on its bar.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct LaidBlank {
    /// Which of the files named, from 0.
    file: usize,
    /// Its name.
    name: Option<String>,
    /// By how much it is turned.
    turn_deg: f64,
    /// Whether it lies on its other face.
    flipped: bool,
    /// a, b, c, d, e, f, taking (x, y) of the knife to (a x + c y + e, b x + d y + f) of the
    /// bar.
    bar_from_knife: [f64; 6],
    /// From where to where along the bar.
    along_mm: Range,
    /// From where to where across the bar.
    across_mm: Range,
    /// The holes that drill it out.
    chain_centres_mm: Option<Vec<Xy>>,
    /// Its saw cuts.
    saw_cuts: Option<Vec<SawCut>>,
}

impl LaidBlank {
    pub(super) fn of(knives: &[&Knife], blank: &NestBlank) -> Self {
        let chain = blank.chain.as_ref();
        Self {
            file: blank.blank,
            name: knives.get(blank.blank).map(|knife| knife.name.clone()),
            turn_deg: blank.turn_deg,
            flipped: blank.flipped,
            bar_from_knife: blank.bar_from_knife.as_coeffs(),
            along_mm: blank.along_mm.into(),
            across_mm: blank.across_mm.into(),
            chain_centres_mm: chain.map(|c| c.holes.iter().map(|p| xy(*p)).collect()),
            saw_cuts: chain.map(|c| c.cuts.iter().map(SawCut::of).collect()),
        }
    }
}

/// Bars of a usual length.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct UsualBar {
    /// What the length is called.
    name: String,
    /// The length.
    length_mm: f64,
    /// How many are needed.
    bars: usize,
    /// What is left in all.
    offcut_mm: f64,
}
