//! The tang's sections across the blade axis, whole and at its holes.

use crate::ProfileFigures;
use crate::across::{cut, less, spans};
use knife::{Hole, HoleId, HoleKind, Knife};
use outline::Outline;

/// Steps over the tang in search of its narrowest whole section.
const STEPS: u32 = 200;
/// Steps over one hole, an even number, in search of the weakest section through it.
const HOLE_STEPS: u32 = 16;
/// With more nodes times holes than this, only the largest holes are looked at.
const MOST_WORK: usize = 400_000;

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
    pub least_width: TangSection,
    /// The section through a hole with the least second moment.
    pub least_stiff: TangSection,
    /// The narrowest section that goes through no hole; of the whole tang with its holes taken
    /// as filled when every section goes through one.
    pub narrowest_whole: TangSection,
}

impl TangFigures {
    /// The net width at the weakest section as a share of the full width there.
    pub fn width_share(&self) -> f64 {
        self.least_width.net_mm / self.least_width.full_mm
    }

    /// The least second moment at a hole as a share of the narrowest whole section's.
    pub fn stiffness_share(&self) -> f64 {
        self.least_stiff.second_moment_mm4 / self.narrowest_whole.second_moment_mm4
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
    let at = |x: f64| tang_section(knife, outline, x);
    let pierced: Vec<TangSection> = largest_holes(knife, outline)
        .into_iter()
        .flat_map(|hole| {
            let reach = hole.diameter_mm / 2.0;
            let step = move |i| f64::from(i) / f64::from(HOLE_STEPS);
            (0..=HOLE_STEPS).map(move |i| hole.at.x + reach * (2.0 * step(i) - 1.0))
        })
        .filter(|x| range.contains(x))
        .filter_map(at)
        .filter(|section| !section.holes.is_empty())
        .collect();
    let least = |key: fn(&TangSection) -> f64| {
        pierced.iter().min_by(|a, b| key(a).total_cmp(&key(b))).cloned()
    };
    let (least_width, least_stiff) = (least(|s| s.net_mm)?, least(|s| s.second_moment_mm4)?);
    let length = range.end() - range.start();
    let all: Vec<TangSection> = (0..=STEPS)
        .filter_map(|i| at(range.start() + length * f64::from(i) / f64::from(STEPS)))
        .collect();
    let narrower = |a: &&TangSection, b: &&TangSection| a.full_mm.total_cmp(&b.full_mm);
    let whole = all.iter().filter(|section| section.holes.is_empty()).min_by(narrower).cloned();
    let narrowest_whole = whole.or_else(|| {
        let narrowest = all.iter().min_by(narrower)?;
        measured(
            narrowest.x_mm,
            &spans(outline, narrowest.x_mm),
            &[],
            knife.bar.thickness_mm,
            Vec::new(),
        )
    })?;
    let (from_x_mm, to_x_mm) = (front, rear);
    Some(TangFigures { from_x_mm, to_x_mm, least_width, least_stiff, narrowest_whole })
}

/// The holes, the largest first; of very many in an outline of very many nodes, the largest only.
fn largest_holes<'k>(knife: &'k Knife, outline: &Outline) -> Vec<&'k Hole> {
    let mut holes: Vec<&Hole> = knife.holes.iter().collect();
    holes.sort_by(|a, b| b.diameter_mm.total_cmp(&a.diameter_mm));
    holes.truncate((MOST_WORK / outline.segs().len()).max(8));
    holes
}

/// The section across the blade axis at `x_mm`, less the holes there; `None` where there is no
/// material.
pub fn tang_section(knife: &Knife, outline: &Outline, x_mm: f64) -> Option<TangSection> {
    let pierced = knife.holes.iter().filter_map(|hole| Some((hole.id, cut(hole, x_mm)?)));
    let (holes, cuts): (Vec<HoleId>, Vec<(f64, f64)>) = pierced.unzip();
    measured(x_mm, &spans(outline, x_mm), &cuts, knife.bar.thickness_mm, holes)
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
    use crate::sample::{drilled, reckoned};
    use knife::{Bevel, HoleKind, Scales};

    /// By the closed forms for a rectangle, b·h³/12, less the hole's (Machinery's Handbook,
    /// "Moment of Inertia"): a tang of 30 mm, 3.175 thick, with a hole of 10 mm in its middle.
    #[test]
    fn a_hole_in_the_middle_takes_its_own_second_moment() {
        let mut knife = drilled(&[(150.0, 0.0, 10.0), (180.0, 0.0, 4.0)]);
        knife.scales = Some(Scales { front_x_mm: 110.0, thickness_mm: 6.35 });
        let tang = reckoned(&knife).tang.unwrap();
        let block = |h: f64| 3.175 * h.powi(3) / 12.0;
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9 * b.max(1.0), "{a} {b}");
        near(tang.least_width.net_mm, 20.0);
        near(tang.width_share(), 20.0 / 30.0);
        near(tang.least_stiff.second_moment_mm4, block(30.0) - block(10.0));
        near(tang.narrowest_whole.second_moment_mm4, block(30.0));
        near(tang.stiffness_share(), 1.0 - 1.0 / 27.0);
        near(tang.least_width.x_mm, 150.0);
        assert_eq!((tang.from_x_mm, tang.to_x_mm), (110.0, 180.0));
    }

    /// A hole off the middle: I = Σ t·h³/12 + t·h·d² about the net section's own centroid
    /// (parallel axes).
    #[test]
    fn a_hole_off_the_middle_moves_the_axis() {
        let mut knife = drilled(&[(150.0, 8.0, 6.0), (180.0, 0.0, 1.0)]);
        knife.bevel =
            Some(Bevel { plunge_x_mm: 100.0, grind_height_mm: 12.0, edge_thickness_mm: 0.5 });
        let tang = reckoned(&knife).tang.unwrap();
        // Left are −15…5 (20 mm, centre −5) and 11…15 (4 mm, centre 13).
        let centre = (20.0 * -5.0 + 4.0 * 13.0) / 24.0;
        let part = |h: f64, c: f64| h.powi(3) / 12.0 + h * (c - centre) * (c - centre);
        let wanted = 3.175 * (part(20.0, -5.0) + part(4.0, 13.0));
        assert!((tang.least_stiff.second_moment_mm4 - wanted).abs() < 1e-6 * wanted);
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

    #[test]
    fn a_tang_pierced_all_along_is_held_against_itself_whole() {
        let mut knife = drilled(&[(130.0, 0.0, 20.0), (149.0, 0.0, 20.0)]);
        knife.scales = Some(Scales { front_x_mm: 125.0, thickness_mm: 6.35 });
        let tang = reckoned(&knife).tang.unwrap();
        assert!((tang.narrowest_whole.full_mm - 30.0).abs() < 1e-9);
        assert!((tang.least_width.net_mm - 10.0).abs() < 1e-9);
    }
}
