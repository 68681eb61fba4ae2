//! The tang's sections across the blade axis, whole and at its holes.

use crate::ProfileFigures;
use crate::intervals::{cut, less, spans};
use knife::{Hole, HoleId, HoleKind, Knife};
use outline::Outline;
use std::cell::RefCell;
use std::collections::HashMap;

/// Steps over the tang in search of its narrowest whole section.
const STEPS: u32 = 200;
/// Steps over one hole, an even number, in search of the weakest section through it.
const HOLE_STEPS: u32 = 16;
/// The weakest section's place is sought to within this, mm: its figures are then exact to far
/// less, being flat there, or to about this where it is a kink.
const PLACE_MM: f64 = 1e-5;
/// A section beside a hole lies this far from its side, mm.
const BESIDE_MM: f64 = 1e-6;
/// Of all valleys seen in the samples, so many of the deepest are sounded.
const MAX_VALLEYS: usize = 4;
/// With more nodes times holes than this, only the largest holes are looked at.
const MAX_WORK: usize = 400_000;

/// A section across the blade axis.
#[derive(Clone, Debug, PartialEq)]
pub struct TangSection {
    /// Where it lies, x in mm.
    pub x_mm: f64,
    /// Its width with the holes taken as filled, mm.
    pub full_mm: f64,
    /// Its width less the holes, mm.
    pub net_mm: f64,
    /// Second moment of area of what is left, about the axis through its own centroid and
    /// square to the blade's faces, mm⁴: it tells how stiff the tang is against bending in the
    /// plane of the blade. (Sideways the stiffness goes with the net width.)
    pub second_moment_mm4: f64,
    /// The holes it goes through.
    pub holes: Vec<HoleId>,
}

/// The tang from where the handle begins to the rearmost pin; behind that it carries no load.
#[derive(Clone, Debug, PartialEq)]
pub struct TangFigures {
    /// Where the handle begins, x in mm: the scales' front, else the plunge line, else the heel.
    pub from_x_mm: f64,
    /// The centre of the rearmost pin, x in mm.
    pub to_x_mm: f64,
    /// The section through a hole with the least net width.
    pub min_width: TangSection,
    /// The section with the least second moment, as drilled, wherever it lies.
    pub min_stiffness: TangSection,
    /// The section of the same tang undrilled with the least second moment, wherever it lies.
    pub min_undrilled: TangSection,
    /// The narrowest section that goes through no hole; of the whole tang with its holes taken
    /// as filled when every section goes through one.
    pub narrowest_whole: TangSection,
}

impl TangFigures {
    /// The net width at the weakest section as a share of the full width there.
    pub fn width_share(&self) -> f64 {
        self.min_width.net_mm / self.min_width.full_mm
    }

    /// The least second moment as drilled over the least of the same tang undrilled, each wherever
    /// it lies: never above 1, as drilling makes no section stiffer.
    pub fn stiffness_share(&self) -> f64 {
        self.min_stiffness.second_moment_mm4 / self.min_undrilled.second_moment_mm4
    }
}

/// `None` without pins behind the handle's front, or where no section can be taken.
pub(crate) fn figures(
    knife: &Knife,
    outline: &Outline,
    profile: &ProfileFigures,
) -> Option<TangFigures> {
    let sense = profile.towards_butt;
    let heel = knife.profile.heel.and_then(|id| knife.profile.node(id)).map(|node| node.at.x);
    let front = (knife.scales.map(|scales| scales.front_x_mm))
        .or(knife.bevel.map(|bevel| bevel.plunge_x_mm))
        .or(heel)?;
    let pins = knife.holes.iter().filter(|hole| hole.kind == HoleKind::Pin);
    let rear = pins
        .map(|hole| hole.at.x)
        .filter(|x| (x - front) * sense > 0.0)
        .max_by(|a, b| (a * sense).total_cmp(&(b * sense)))?;
    let range = if front < rear { front..=rear } else { rear..=front };
    // The same stations are looked at for each of the four.
    let known: RefCell<HashMap<u64, Vec<(f64, f64)>>> = RefCell::default();
    let steel =
        |x: f64| known.borrow_mut().entry(x.to_bits()).or_insert_with(|| spans(outline, x)).clone();
    let at = |x: f64| section(knife, &steel(x), x);
    let runs: Vec<Vec<f64>> = largest_holes(knife, outline)
        .into_iter()
        .map(|hole| {
            let reach = hole.diameter_mm / 2.0;
            let (from, to) = (hole.at.x - reach, hole.at.x + reach);
            stations(from.max(*range.start()), to.min(*range.end()), HOLE_STEPS)
        })
        .collect();
    let pierced = |x: f64| at(x).filter(|section| !section.holes.is_empty());
    let min_width = min_section(&runs, pierced, |s| s.net_mm)?;
    // The holes' sides are stations too: next to one may be the narrowest whole section.
    let mut all = stations(*range.start(), *range.end(), STEPS);
    let sides = largest_holes(knife, outline).into_iter().flat_map(|hole| {
        [-1.0, 1.0].map(|side| hole.at.x + side * (hole.diameter_mm / 2.0 + BESIDE_MM))
    });
    all.extend(sides.filter(|x| range.contains(x)));
    all.sort_by(f64::total_cmp);
    let all = [all];
    let everywhere: Vec<Vec<f64>> = runs.iter().chain(&all).cloned().collect();
    let unpierced = |x: f64| at(x).filter(|section| section.holes.is_empty());
    let filled = |x: f64| measured(x, &steel(x), &[], knife.bar.thickness_mm, Vec::new());
    let narrowest_whole = min_section(&all, unpierced, |s| s.full_mm)
        .or_else(|| min_section(&all, filled, |s| s.full_mm))?;
    let moment = |section: &TangSection| section.second_moment_mm4;
    let min_undrilled = min_section(&all, filled, moment)?;
    // What is drilled away where the undrilled tang is weakest counts too.
    let there = at(min_undrilled.x_mm);
    let min_stiffness = min_section(&everywhere, at, moment)
        .into_iter()
        .chain(there)
        .min_by(|a, b| a.second_moment_mm4.total_cmp(&b.second_moment_mm4))?;
    let (from_x_mm, to_x_mm) = (front, rear);
    Some(TangFigures {
        from_x_mm,
        to_x_mm,
        min_width,
        min_stiffness,
        min_undrilled,
        narrowest_whole,
    })
}

/// Evenly spaced stations from one to another, both included; none when they are the wrong way
/// round.
fn stations(from: f64, to: f64, steps: u32) -> Vec<f64> {
    let place = |i: u32| from + (to - from) * f64::from(i) / f64::from(steps);
    if from <= to { (0..=steps).map(place).collect() } else { Vec::new() }
}

/// The least section by `key` along runs of stations. Between the neighbours of each station that
/// is least so far or nearly so the search goes on by golden section (Kiefer 1953), until it
/// knows the place to [`PLACE_MM`].
fn min_section(
    runs: &[Vec<f64>],
    at: impl Fn(f64) -> Option<TangSection>,
    key: fn(&TangSection) -> f64,
) -> Option<TangSection> {
    let worth = |x: f64| at(x).map_or(f64::INFINITY, |section| key(&section));
    let sampled: Vec<Vec<(f64, f64)>> =
        runs.iter().map(|run| run.iter().map(|x| (*x, worth(*x))).collect()).collect();
    let best = sampled.iter().flatten().min_by(|a, b| a.1.total_cmp(&b.1)).copied()?;
    if !best.1.is_finite() {
        return None;
    }
    let mut min = best;
    // Every valley that the samples show, the deepest first: the true bottom of one may lie lower
    // than the lowest sample of another.
    let mut valleys: Vec<(f64, f64, f64)> = Vec::new();
    for run in &sampled {
        for (i, (x, own)) in run.iter().enumerate() {
            let before = i.checked_sub(1).and_then(|i| run.get(i)).copied().unwrap_or((*x, *own));
            let after = run.get(i + 1).copied().unwrap_or((*x, *own));
            if own.is_finite() && *own <= before.1 && *own <= after.1 {
                valleys.push((*own, before.0, after.0));
            }
        }
    }
    valleys.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (_, from, to) in valleys.into_iter().take(MAX_VALLEYS) {
        let found = golden(from, to, worth);
        if found.1 < min.1 {
            min = found;
        }
    }
    at(min.0)
}

/// The least of a function that has one valley between two places: where, and how low.
fn golden(mut from: f64, mut to: f64, worth: impl Fn(f64) -> f64) -> (f64, f64) {
    const SHARE: f64 = 0.618_033_988_749_894_9;
    let evaluate = |x: f64| (x, worth(x));
    let (mut low, mut high) =
        (evaluate(to - SHARE * (to - from)), evaluate(from + SHARE * (to - from)));
    while to - from > PLACE_MM {
        if low.1 <= high.1 {
            (to, high) = (high.0, low);
            low = evaluate(to - SHARE * (to - from));
        } else {
            (from, low) = (low.0, high);
            high = evaluate(from + SHARE * (to - from));
        }
    }
    if low.1 <= high.1 { low } else { high }
}

/// The holes, the largest first; of very many in an outline of very many nodes, the largest only.
fn largest_holes<'k>(knife: &'k Knife, outline: &Outline) -> Vec<&'k Hole> {
    let mut holes: Vec<&Hole> = knife.holes.iter().collect();
    holes.sort_by(|a, b| b.diameter_mm.total_cmp(&a.diameter_mm));
    holes.truncate((MAX_WORK / outline.segs().len()).max(8));
    holes
}

/// The section across the blade axis at `x_mm`, less the holes there; `None` where there is no
/// material.
pub fn tang_section(knife: &Knife, outline: &Outline, x_mm: f64) -> Option<TangSection> {
    section(knife, &spans(outline, x_mm), x_mm)
}

/// The same where the outline's inside is known.
fn section(knife: &Knife, spans: &[(f64, f64)], x_mm: f64) -> Option<TangSection> {
    let pierced = knife.holes.iter().filter_map(|hole| Some((hole.id, cut(hole, x_mm)?)));
    let (holes, cuts): (Vec<HoleId>, Vec<(f64, f64)>) = pierced.unzip();
    measured(x_mm, spans, &cuts, knife.bar.thickness_mm, holes)
}

/// The width and second moment of spans less cuts.
fn measured(
    x_mm: f64,
    spans: &[(f64, f64)],
    cuts: &[(f64, f64)],
    thickness_mm: f64,
    holes: Vec<HoleId>,
) -> Option<TangSection> {
    let width = |spans: &[(f64, f64)]| spans.iter().map(|(a, b)| b - a).sum::<f64>();
    let net = less(spans.to_vec(), cuts);
    let (full_mm, net_mm) = (width(spans), width(&net));
    if full_mm <= 0.0 || !full_mm.is_finite() {
        return None;
    }
    let centre = net.iter().map(|(a, b)| (b * b - a * a) / 2.0).sum::<f64>() / net_mm.max(1e-12);
    let cubes = |(a, b): &(f64, f64)| ((b - centre).powi(3) - (a - centre).powi(3)) / 3.0;
    let second_moment_mm4 = thickness_mm * net.iter().map(cubes).sum::<f64>();
    Some(TangSection { x_mm, full_mm, net_mm, second_moment_mm4, holes })
}

#[cfg(test)]
mod tests {
    use super::tang_section;
    use crate::sample::{drilled, reckoned};
    use knife::{Bevel, HoleKind, Profile, Scales};
    use kurbo::Point;
    use outline::Outline;

    /// By the closed forms for a rectangle, b·h³/12, less the hole's (Machinery's Handbook,
    /// "Moment of Inertia"): a tang of 30 mm, 3.175 thick, with a hole of 10 mm in its middle.
    #[test]
    fn a_hole_in_the_middle_takes_its_own_second_moment() {
        let mut knife = drilled(&[(150.0, 0.0, 10.0), (180.0, 0.0, 4.0)]);
        knife.scales = Some(Scales { front_x_mm: 110.0, thickness_mm: 6.35 });
        let tang = reckoned(&knife).tang.unwrap();
        let block = |h: f64| 3.175 * h.powi(3) / 12.0;
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9 * b.max(1.0), "{a} {b}");
        near(tang.min_width.net_mm, 20.0);
        near(tang.width_share(), 20.0 / 30.0);
        near(tang.min_stiffness.second_moment_mm4, block(30.0) - block(10.0));
        near(tang.narrowest_whole.second_moment_mm4, block(30.0));
        near(tang.stiffness_share(), 1.0 - 1.0 / 27.0);
        near(tang.min_width.x_mm, 150.0);
        assert_eq!((tang.from_x_mm, tang.to_x_mm), (110.0, 180.0));
    }

    /// A hole off the middle: I = Σ t·h³/12 + t·h·d² about the net section's own centroid
    /// (parallel axes).
    #[test]
    fn a_hole_off_the_middle_moves_the_axis() {
        let mut knife = drilled(&[(150.0, 8.0, 6.0), (180.0, 0.0, 1.0)]);
        knife.bevel = Some(Bevel {
            plunge_x_mm: 100.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        let tang = reckoned(&knife).tang.unwrap();
        // Left are −15…5 (20 mm, centre −5) and 11…15 (4 mm, centre 13).
        let centre = (20.0 * -5.0 + 4.0 * 13.0) / 24.0;
        let part = |h: f64, c: f64| h.powi(3) / 12.0 + h * (c - centre) * (c - centre);
        let expected = 3.175 * (part(20.0, -5.0) + part(4.0, 13.0));
        assert!((tang.min_stiffness.second_moment_mm4 - expected).abs() < 1e-6 * expected);
    }

    /// A tang that narrows evenly from 40 mm at x 100 to 20 at 200, with these holes.
    fn tapered(holes: &[(f64, f64, f64)]) -> crate::TangFigures {
        let corners = [
            (0.0, 20.0),
            (0.0, -20.0),
            (100.0, -20.0),
            (200.0, -10.0),
            (200.0, 10.0),
            (100.0, 20.0),
        ];
        let mut knife = drilled(holes);
        let outline = Outline::polygon(&corners.map(Point::from)).unwrap();
        knife.profile = Profile::from_outline(&outline);
        knife.scales = Some(Scales { front_x_mm: 105.0, thickness_mm: 6.35 });
        reckoned(&knife).tang.unwrap()
    }

    /// A tang that narrows towards the butt, 40 mm at the handle's front and 20 at the end, its
    /// belly level: half width by y = ±(20 − x/10) has a net width of w(x) − 2·√(r² − (x − c)²).
    /// That is least where its slope is nil: with slope −s of the width, (x − c) = r·s/√(s² + 4).
    #[test]
    fn the_weakest_section_of_a_tapered_tang_lies_where_calculus_says() {
        let taper = 0.2;
        let tang = tapered(&[(150.3, 0.0, 11.0), (185.0, 0.0, 1.0)]);
        let (r, c) = (5.5_f64, 150.3_f64);
        let off = r * taper / (taper * taper + 4.0_f64).sqrt();
        let wide = |x: f64| 40.0 - taper * (x - 100.0);
        let expected = wide(c + off) - 2.0 * (r * r - off * off).sqrt();
        assert!((tang.min_width.net_mm - expected).abs() < 1e-9, "{}", tang.min_width.net_mm);
        assert!((tang.min_width.x_mm - (c + off)).abs() < 1e-3);
        // Just ahead of the last pin's hole the whole tang is narrowest.
        assert!((tang.narrowest_whole.full_mm - wide(184.5)).abs() < 1e-5);
    }

    /// Against twenty thousand looks: no section is weaker than the one told.
    #[test]
    fn no_section_is_weaker_than_the_weakest() {
        for starter in knife::STARTERS {
            let mut knife = starter.knife();
            for hole in &mut knife.holes {
                hole.diameter_mm *= 1.3;
            }
            let figures = reckoned(&knife);
            let (Some(tang), Some(outline)) = (figures.tang, figures.outline) else { continue };
            let (from, to) = (tang.from_x_mm.min(tang.to_x_mm), tang.from_x_mm.max(tang.to_x_mm));
            let (mut width, mut stiff) = (f64::INFINITY, f64::INFINITY);
            for i in 0..=20_000 {
                let x = from + (to - from) * f64::from(i) / 20_000.0;
                let Some(section) = tang_section(&knife, &outline, x) else { continue };
                if !section.holes.is_empty() {
                    width = width.min(section.net_mm);
                }
                stiff = stiff.min(section.second_moment_mm4);
            }
            assert!(tang.min_width.net_mm <= width + 1e-6, "{}: {width}", starter.key);
            let moment = tang.min_stiffness.second_moment_mm4;
            assert!(moment <= stiff * (1.0 + 1e-7), "{}: {moment} {stiff}", starter.key);
            assert!(width - tang.min_width.net_mm < 0.01 && moment > 0.999 * stiff);
        }
    }

    #[test]
    fn without_a_pin_there_is_no_tang_to_judge() {
        let mut knife = drilled(&[(150.0, 0.0, 10.0)]);
        knife.holes[0].kind = HoleKind::Relief;
        assert!(reckoned(&knife).tang.is_none());
        knife.holes[0].kind = HoleKind::Pin;
        knife.profile.heel = None;
        assert!(reckoned(&knife).tang.is_none());
    }

    /// By hand: a tang that falls evenly from 40 mm at x 100 to 20 at 200, a hole of 6 mm where it
    /// is 36 mm wide: the weakest section, drilled or not, is the one at the rearmost pin, whose
    /// own hole of 1 mm takes (1/w)³ of it.
    #[test]
    fn no_hole_makes_a_tang_stiffer() {
        let tang = tapered(&[(120.0, 0.0, 6.0), (190.0, 0.0, 1.0)]);
        assert!((tang.min_undrilled.x_mm - 190.0).abs() < 1e-3);
        assert!((tang.min_stiffness.x_mm - 190.0).abs() < 1e-3, "{tang:?}");
        let expected = 1.0 - 1.0 / 22f64.powi(3);
        assert!((tang.stiffness_share() - expected).abs() < 1e-6, "{}", tang.stiffness_share());
        for starter in knife::STARTERS {
            let Some(tang) = reckoned(&starter.knife()).tang else { continue };
            let share = tang.stiffness_share();
            assert!(share > 0.0 && share <= 1.0, "{}: {share}", starter.key);
        }
    }

    #[test]
    fn a_tang_pierced_all_along_is_held_against_itself_whole() {
        let mut knife = drilled(&[(130.0, 0.0, 20.0), (149.0, 0.0, 20.0)]);
        knife.scales = Some(Scales { front_x_mm: 125.0, thickness_mm: 6.35 });
        let tang = reckoned(&knife).tang.unwrap();
        assert!((tang.narrowest_whole.full_mm - 30.0).abs() < 1e-9);
        assert!((tang.min_width.net_mm - 10.0).abs() < 1e-9);
    }
}
