//! How a slender tip tapers, by the darkness summed across it.
//!
//! Near a slender tip the two sides lie in one another's blur, so no threshold finds them. What
//! blur leaves as it is, is the darkness summed across the tip and its centre: the sum over the
//! contrast of the thick part is the width. A taper that ends in a point or in a small round, blurred
//! along its axis only, is fitted to the widths: so nothing is carried on beyond what was measured.

use crate::Gray;
use crate::illumination::Illumination;
use crate::least_squares::minimise;
use kurbo::{Point, Vec2};
use nalgebra::{SMatrix, SVector};

/// How far outside a tip cuts across it begin, px.
const OUTSIDE_PX: i32 = 14;
/// Samples to the pixel along a cut.
const PER_PX: i32 = 4;
/// Ground on either side of a cut, px, and the outer part of it that must be nothing else.
const GROUND_PX: f64 = 7.5;
const OUTER_PX: f64 = 2.0;
/// The ground's tone is taken so far beside the tip, px.
const BESIDE_PX: std::ops::RangeInclusive<i32> = 6..=13;
/// The tip is thick, so that its tone is its own, where it is wider than this, px.
const THICK_PX: f64 = 11.0;
/// The least contrast, a part of the ground's tone.
const MIN_CONTRAST: f64 = 0.12;
/// The fewest cuts from which anything is said.
const MIN_CUTS: usize = 8;
/// The slowest that a tip grows wider, px to the px.
const MIN_GROWTH: f64 = 0.03;
/// Of the widths' distances from the taper the root mean square at most, px.
const OFF_PX: f64 = 0.45;
/// A round end explains so much more than a point, in variances, or it is a point.
const SURE: f64 = 16.0;
/// Lengths along the tip are told in these, px, so that all terms are of one size.
const SCALE_PX: f64 = 40.0;

/// Where a tip lies in a picture: places by how far inside it they are and how far to the left.
pub(crate) struct Axis<'a> {
    pub(crate) gray: &'a Gray,
    pub(crate) light: &'a Illumination,
    pub(crate) tip: Point,
    pub(crate) inward: Vec2,
}

impl Axis<'_> {
    pub(crate) fn at(&self, s: f64, x: f64) -> Point {
        self.tip + self.inward * s + self.inward.turn_90() * x
    }

    /// The part of the light that a place gives back.
    fn tone(&self, s: f64, x: f64) -> f64 {
        let p = self.at(s, x);
        self.gray.sample(p) / self.light.at(p.x, p.y)
    }
}

/// A tip that tapers to its end. Lengths are px along its axis from the contour's own tip.
pub(crate) struct Taper {
    width: Width,
    middle: [f64; 4],
    /// Where it is as wide as its sides come out right by themselves.
    pub(crate) inside: f64,
}

impl Taper {
    /// Where it ends.
    pub(crate) fn end(&self) -> f64 {
        self.width.end()
    }

    /// Its sides' distances to the left of the axis.
    pub(crate) fn sides(&self, s: f64) -> [f64; 2] {
        let (middle, half) = (cubic(&self.middle, s), self.width.at(s) / 2.0);
        [middle + half, middle - half]
    }
}

/// The width along a tip: a cubic from where it would be nothing, ended by a circle that touches
/// both sides.
#[derive(Clone, Copy, Debug)]
struct Width {
    /// Where the sides would meet.
    apex: f64,
    slope: [f64; 3],
    /// How far inside that the circle has its centre.
    centre: f64,
}

impl Width {
    fn of(params: &[f64]) -> Self {
        let centre = params.get(4).copied().unwrap_or(0.0);
        Self { apex: params[0], slope: [params[1], params[2], params[3]], centre }
    }

    /// The width between the sides, and how it grows.
    fn between(&self, s: f64) -> (f64, f64) {
        let (u, [a, b, c]) = ((s - self.apex) / SCALE_PX, self.slope);
        (SCALE_PX * u * (a + u * (b + u * c)), a + u * (2.0 * b + u * 3.0 * c))
    }

    /// Centre and radius of the circle, and where the sides touch it.
    fn circle(&self) -> (f64, f64, f64) {
        let centre = self.apex + self.centre;
        let (width, growth) = self.between(centre);
        let slant = (1.0 + growth * growth / 4.0).sqrt();
        let radius = (width / 2.0 / slant).max(0.0);
        (centre, radius, centre - radius * growth / 2.0 / slant)
    }

    fn end(&self) -> f64 {
        let (centre, radius, _) = self.circle();
        centre - radius
    }

    fn at(&self, s: f64) -> f64 {
        let (centre, radius, touches) = self.circle();
        if s >= touches {
            return self.between(s).0.max(0.0);
        }
        2.0 * (radius * radius - (s - centre) * (s - centre)).max(0.0).sqrt()
    }

    /// The same under a blur along the axis.
    fn blurred(&self, s: f64, blur: f64) -> f64 {
        const STEPS: i32 = 12;
        let (_, _, touches) = self.circle();
        if s > touches + 3.0 * blur {
            return self.at(s);
        }
        let (mut sum, mut weights) = (0.0, 0.0);
        for k in -STEPS..=STEPS {
            let z = 3.0 * f64::from(k) / f64::from(STEPS);
            let weight = (-z * z / 2.0).exp();
            sum += weight * self.at(s + z * blur);
            weights += weight;
        }
        sum / weights
    }
}

/// A cut across a tip.
struct Cut {
    s: f64,
    /// The darkness summed across it, its middle, and its spread about that, px².
    sum: f64,
    middle: f64,
    spread: f64,
    /// The darkness in its middle and the most on its ground.
    depth: f64,
    beside: f64,
}

/// The taper of the tip whose sides by one threshold lie at these distances to the left of the axis,
/// one pair for each pixel inward, from where it is narrower than `fitted_px`; where it is `sound_px`
/// wide its sides need no mending. `None` unless it is one tone on another and tapers evenly.
pub(crate) fn taper(
    axis: &Axis<'_>,
    sides: &[[f64; 2]],
    (sound_px, fitted_px): (f64, f64),
) -> Option<Taper> {
    let ground = ground(axis, sides)?;
    let mut cuts = cuts(axis, sides, &ground);
    let deep = |cut: &&Cut| cut.s >= 0.0 && width_at(sides, cut.s) >= THICK_PX;
    let contrast = median(cuts.iter().filter(deep).map(|cut| cut.depth).collect())?;
    // Light between dark sides tapers too.
    let sign = contrast.signum();
    if contrast.abs() < MIN_CONTRAST {
        return None;
    }
    let clear = |cut: &Cut| cut.beside < 0.2 * contrast.abs();
    // Beyond where something else comes near nothing is known.
    let last = cuts.iter().position(|cut| !clear(cut) && cut.s > 0.0).unwrap_or(cuts.len());
    cuts.truncate(last);
    cuts.retain(|cut| clear(cut) && cut.sum * sign < fitted_px * contrast.abs());
    let width = |cut: &Cut| cut.sum / contrast;
    let thin = |cut: &&Cut| (3.0..10.0).contains(&width(cut));
    let blurs = cuts.iter().filter(thin).map(|cut| cut.spread - width(cut).powi(2) / 12.0);
    let blur = median(blurs.collect())?.clamp(0.2, 16.0).sqrt();
    let points: Vec<(f64, f64)> = cuts.iter().map(|cut| (cut.s, width(cut))).collect();
    let shape = fitted(&points, blur)?;
    let end = shape.end();
    let weighted = cuts.iter().filter(|cut| cut.s > end).map(|cut| {
        let wide = shape.at(cut.s);
        (powers(cut.s), cut.middle, wide * wide)
    });
    let middle = solved(weighted)?;
    let reach = points.last()?.0;
    let inside = (0..).map(f64::from).find(|s| *s > reach || shape.at(*s) >= sound_px)?;
    (inside <= reach).then_some(Taper { width: shape, middle, inside })
}

/// How wide the tip is by one threshold.
fn width_at(sides: &[[f64; 2]], s: f64) -> f64 {
    sides.get(s as usize).map_or(0.0, |[a, b]| (a - b).abs())
}

/// The lower and the upper side at a cut; outside the tip both are on the axis.
fn extent(sides: &[[f64; 2]], s: i32) -> (f64, f64) {
    let [a, b] = usize::try_from(s).ok().and_then(|s| sides.get(s).copied()).unwrap_or_default();
    (a.min(b), a.max(b))
}

/// The tone of the ground beside a tip as a plane over its length and width; what is something else
/// is left out by residual.
fn ground(axis: &Axis<'_>, sides: &[[f64; 2]]) -> Option<[f64; 3]> {
    let mut samples = Vec::new();
    for s in -OUTSIDE_PX..sides.len() as i32 {
        let (low, high) = extent(sides, s);
        for beside in BESIDE_PX {
            for x in [low - f64::from(beside), high + f64::from(beside)] {
                let row = [1.0, f64::from(s) / SCALE_PX, x / SCALE_PX];
                samples.push((row, axis.tone(f64::from(s), x)));
            }
        }
    }
    let mut plane = [median(samples.iter().map(|(_, tone)| *tone).collect())?, 0.0, 0.0];
    for _ in 0..4 {
        let off = |sample: &([f64; 3], f64)| (sample.1 - on_plane(&plane, sample.0)).abs();
        let spread = median(samples.iter().map(off).collect())?.max(0.004);
        let kept: Vec<_> = samples.iter().filter(|sample| off(sample) < 5.0 * spread).collect();
        plane = solved(kept.into_iter().map(|(row, tone)| (*row, *tone, 1.0)))?;
    }
    Some(plane)
}

fn on_plane(plane: &[f64; 3], row: [f64; 3]) -> f64 {
    plane.iter().zip(row).map(|(a, b)| a * b).sum()
}

/// The cuts across a tip, from outside it inward.
fn cuts(axis: &Axis<'_>, sides: &[[f64; 2]], ground: &[f64; 3]) -> Vec<Cut> {
    let step = 1.0 / f64::from(PER_PX);
    let cut = |s: i32| {
        let (low, high) = extent(sides, s);
        let (from, to) = (low - GROUND_PX, high + GROUND_PX);
        let s = f64::from(s);
        let count = ((to - from) / step).round() as i32;
        let dark: Vec<(f64, f64)> = (0..=count)
            .map(|k| {
                let x = from + (to - from) * f64::from(k) / f64::from(count);
                let light = on_plane(ground, [1.0, s / SCALE_PX, x / SCALE_PX]);
                (x, light - axis.tone(s, x))
            })
            .collect();
        let mean = |range: std::ops::RangeInclusive<f64>| {
            let part = dark.iter().filter(|(x, _)| range.contains(x));
            part.clone().map(|(_, d)| d).sum::<f64>() / part.count().max(1) as f64
        };
        let step = (to - from) / f64::from(count);
        let sum = dark.iter().map(|(_, d)| d).sum::<f64>() * step;
        let middle = dark.iter().map(|(x, d)| d * x).sum::<f64>() * step / sum;
        let spread = dark.iter().map(|(x, d)| d * (x - middle).powi(2)).sum::<f64>() * step / sum;
        let centre = (low + high) / 2.0;
        let depth = mean(centre - 1.0..=centre + 1.0);
        let beside = mean(from..=from + OUTER_PX).abs().max(mean(to - OUTER_PX..=to).abs());
        Cut { s, sum, middle, spread, depth, beside }
    };
    (-OUTSIDE_PX..sides.len() as i32).map(cut).collect()
}

/// The taper through these widths, with a round end where that explains them better than a point.
fn fitted(widths: &[(f64, f64)], blur: f64) -> Option<Width> {
    let to = widths.last()?;
    let inner = widths.iter().filter(|(_, width)| *width > 2.0).count();
    // Where it is wide no round end is in the way.
    let from = widths.iter().find(|(_, width)| *width > 0.5 * to.1)?;
    let growth = (to.1 - from.1) / (to.0 - from.0);
    if inner < MIN_CUTS || growth < MIN_GROWTH || !growth.is_finite() {
        return None;
    }
    let start = [to.0 - to.1 / growth, growth, 0.0, 0.0];
    let residuals = |params: &[f64]| -> Vec<f64> {
        let shape = Width::of(params);
        widths.iter().map(|(s, width)| shape.blurred(*s, blur) - width).collect()
    };
    let squares = |params: &[f64]| residuals(params).iter().map(|r| r * r).sum::<f64>();
    let sharp = minimise(&start, residuals);
    let mut best = (squares(&sharp), sharp.clone());
    let starts = widths.iter().find(|(_, width)| *width > 1.0)?.0;
    let slant = (1.0 + growth * growth / 4.0).sqrt();
    // A circle that ends there, and smaller ones.
    let found = (starts - start[0]) / (1.0 - growth / 2.0 / slant);
    let guesses =
        [(&start[..], found.max(1.0)), (&sharp[..], 2.0 / growth), (&sharp[..], 6.0 / growth)];
    for (shape, centre) in guesses {
        let round = minimise(&[shape, &[centre]].concat(), residuals);
        let square = squares(&round);
        let variance = square / widths.len() as f64;
        let is_round = Width::of(&round).centre > 0.0 && round[1] > 0.0;
        if is_round && best.0 - square > SURE * variance {
            best = (square, round);
        }
    }
    let shape = Width::of(&best.1);
    let off = (best.0 / widths.len() as f64).sqrt();
    let sound = off < OFF_PX && shape.slope[0] > 0.0 && shape.centre >= 0.0;
    sound.then_some(shape)
}

fn powers(s: f64) -> [f64; 4] {
    let u = s / SCALE_PX;
    [1.0, u, u * u, u * u * u]
}

fn cubic(terms: &[f64; 4], s: f64) -> f64 {
    terms.iter().zip(powers(s)).map(|(a, b)| a * b).sum()
}

/// The terms of rows that come nearest to their values, each with its weight.
fn solved<const N: usize>(rows: impl Iterator<Item = ([f64; N], f64, f64)>) -> Option<[f64; N]> {
    let mut a = SMatrix::<f64, N, N>::zeros();
    let mut b = SVector::<f64, N>::zeros();
    for (row, value, weight) in rows {
        let row = SVector::from(row);
        a += row * row.transpose() * weight;
        b += row * (value * weight);
    }
    Some(a.cholesky()?.solve(&b).into())
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    let middle = values.len() / 2;
    values.sort_by(f64::total_cmp);
    values.get(middle).copied()
}
