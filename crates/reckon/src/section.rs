//! The knife cut through square to its length: half the thickness against the height.

use crate::Reckoning;
use crate::across::{cut, less, spans};
use crate::solid::edge_run;
use knife::Knife;
use kurbo::Point;
use outline::Run;

/// Steps in which a stretch of steel is looked at.
const STEPS: u32 = 32;
/// A place is left out where the straight line between its neighbours is as near, mm.
const STRAIGHT_MM: f64 = 1e-4;
/// Stretches shorter than this are none, mm.
const NOTHING_MM: f64 = 1e-6;

/// The knife cut through square to its length. Heights are y of the knife's plane; thickness
/// lies evenly on both sides of its centre plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Where it is cut, x of the knife's plane, mm.
    pub x_mm: f64,
    /// The stretches of steel, upward: a hole, or a gap in the outline, parts them.
    pub steel: Vec<Stretch>,
    /// From the lowest to the highest steel, mm.
    pub height_mm: f64,
    /// The steel's greatest thickness, mm.
    pub thickness_mm: f64,
    /// The bevel, where this lies ahead of the plunge line.
    pub bevel: Option<SectionBevel>,
    /// Thickness of one scale, where this lies behind the scales' front line, mm.
    pub scale_mm: Option<f64>,
}

/// A stretch of steel: at least two places, upward, with straight lines between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Half the thickness at each height.
    pub places: Vec<HalfThickness>,
}

/// Half the thickness at a height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfThickness {
    /// Height, y of the knife's plane, mm.
    pub y_mm: f64,
    /// From the centre plane to the face, mm.
    pub half_mm: f64,
}

/// The bevel in a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionBevel {
    /// Angle a side, degrees: atan((T − E)/h) with the half thicknesses T of the stock and E of
    /// the edge, and the grind height h.
    pub angle_deg: f64,
    /// Thickness at the edge, mm.
    pub edge_mm: f64,
    /// Where the grind line is crossed, y in mm; `None` where the bevel runs out on the spine.
    pub grind_y_mm: Option<f64>,
    /// Thickness at the grind line, or on the spine where the bevel runs out there, mm.
    pub top_mm: f64,
}

impl Section {
    /// The thickness with both scales on, mm.
    pub fn overall_mm(&self) -> f64 {
        self.thickness_mm + 2.0 * self.scale_mm.unwrap_or(0.0)
    }

    /// Half the thickness at a height, mm; `None` where there is no steel.
    pub fn half_at(&self, y_mm: f64) -> Option<f64> {
        self.steel.iter().find_map(|stretch| stretch.half_at(y_mm))
    }
}

impl Stretch {
    /// From its lowest to its highest place, mm.
    pub fn span(&self) -> (f64, f64) {
        let end = |place: Option<&HalfThickness>| place.map_or(0.0, |place| place.y_mm);
        (end(self.places.first()), end(self.places.last()))
    }

    fn half_at(&self, y_mm: f64) -> Option<f64> {
        self.places.windows(2).find_map(|pair| {
            let (a, b) = (pair[0], pair[1]);
            let share = (y_mm - a.y_mm) / (b.y_mm - a.y_mm);
            (0.0..=1.0).contains(&share).then_some(a.half_mm + (b.half_mm - a.half_mm) * share)
        })
    }
}

/// The section at a place along the knife; `None` where there is no steel.
///
/// Ahead of the plunge line the bevel is flat: with T and E the half thicknesses of stock and
/// edge, h the grind height and d the distance to the edge's curve, half the thickness is
/// E + (T − E)·d/h up to the grind line, and T above it. (The grind line is the edge's parallel
/// at h, so that the distances to both add up to h.)
pub fn section_at(knife: &Knife, reckoning: &Reckoning, x_mm: f64) -> Option<Section> {
    let spans = steel_at(knife, reckoning, x_mm);
    let (lowest, highest) = (spans.first()?.0, spans.last()?.1);
    let half_mm = knife.bar.thickness_mm / 2.0;
    let blade = Blade::of(knife, reckoning, x_mm);
    let steel: Vec<Stretch> = spans
        .iter()
        .map(|span| match &blade {
            Some(blade) => blade.stretch(x_mm, *span),
            None => Stretch { places: [span.0, span.1].map(|y| place(y, half_mm)).into() },
        })
        .collect();
    let places = || steel.iter().flat_map(|stretch| &stretch.places);
    let thickness_mm = 2.0 * places().map(|place| place.half_mm).fold(0.0, f64::max);
    let bevel = blade.map(|blade| blade.figures(&steel, reckoning, thickness_mm));
    let behind = |front_mm: f64, way: f64| (x_mm - front_mm) * way >= 0.0;
    let way = reckoning.profile.as_ref().map_or(1.0, |profile| profile.towards_butt);
    let scales = knife.scales.filter(|scales| behind(scales.front_x_mm, way));
    Some(Section {
        x_mm,
        steel,
        height_mm: highest - lowest,
        thickness_mm,
        bevel,
        scale_mm: scales.map(|scales| scales.thickness_mm),
    })
}

fn place(y_mm: f64, half_mm: f64) -> HalfThickness {
    HalfThickness { y_mm, half_mm }
}

/// The heights between which there is steel, upward: the outline's less the holes'.
fn steel_at(knife: &Knife, reckoning: &Reckoning, x_mm: f64) -> Vec<(f64, f64)> {
    let Some(outline) = &reckoning.outline else { return Vec::new() };
    let cuts: Vec<(f64, f64)> = knife.holes.iter().filter_map(|hole| cut(hole, x_mm)).collect();
    let mut spans = less(spans(outline, x_mm), &cuts);
    spans.retain(|(from, to)| to - from > NOTHING_MM);
    spans
}

/// The ground part of the knife.
struct Blade {
    /// The edge, run on straight from the heel to the plunge line.
    edge: Run,
    half_mm: f64,
    edge_half_mm: f64,
    grind_height_mm: f64,
}

impl Blade {
    /// The bevels, if this place lies ahead of the plunge line.
    fn of(knife: &Knife, reckoning: &Reckoning, x_mm: f64) -> Option<Self> {
        let stated = knife.bevel?;
        let profile = reckoning.profile.as_ref()?;
        if (stated.plunge_x_mm - x_mm) * profile.towards_butt < 0.0 {
            return None;
        }
        let half_mm = knife.bar.thickness_mm / 2.0;
        Some(Self {
            edge: edge_run(profile, stated.plunge_x_mm)?,
            half_mm,
            edge_half_mm: (stated.edge_thickness_mm / 2.0).min(half_mm),
            grind_height_mm: stated.grind_height_mm,
        })
    }

    /// How far a place is from the edge's curve, mm.
    fn off_edge_mm(&self, p: Point) -> f64 {
        self.edge.distance(p)
    }

    /// Half the thickness at a place, mm.
    fn half_at(&self, p: Point) -> f64 {
        let deep = (self.off_edge_mm(p) / self.grind_height_mm).min(1.0);
        self.edge_half_mm + (self.half_mm - self.edge_half_mm) * deep
    }

    fn is_ground(&self, p: Point) -> bool {
        self.off_edge_mm(p) < self.grind_height_mm
    }

    fn stretch(&self, x_mm: f64, (from, to): (f64, f64)) -> Stretch {
        let at = |y: f64| Point::new(x_mm, y);
        let mut places: Vec<HalfThickness> = Vec::new();
        for i in 0..=STEPS {
            let y = from + (to - from) * f64::from(i) / f64::from(STEPS);
            if let Some(last) = places.last().copied()
                && self.is_ground(at(last.y_mm)) != self.is_ground(at(y))
            {
                places.push(place(self.border(x_mm, last.y_mm, y), self.half_mm));
            }
            places.push(place(y, self.half_at(at(y))));
        }
        Stretch { places: few(places) }
    }

    /// Where, between two heights of which one is ground, the grind line lies.
    fn border(&self, x_mm: f64, mut from: f64, mut to: f64) -> f64 {
        let first = self.is_ground(Point::new(x_mm, from));
        for _ in 0..40 {
            let middle = f64::midpoint(from, to);
            let same = self.is_ground(Point::new(x_mm, middle)) == first;
            if same { from = middle } else { to = middle }
        }
        f64::midpoint(from, to)
    }

    fn figures(&self, steel: &[Stretch], reckoning: &Reckoning, most_mm: f64) -> SectionBevel {
        let edge_is_up = reckoning.profile.as_ref().is_some_and(|profile| profile.edge_is_up);
        let full = |place: &&HalfThickness| self.half_mm - place.half_mm < 1e-9;
        let places = || steel.iter().flat_map(|stretch| &stretch.places);
        // The first place of full thickness on the way up from the edge.
        let grind = if edge_is_up { places().rev().find(full) } else { places().find(full) };
        SectionBevel {
            angle_deg: (self.half_mm - self.edge_half_mm).atan2(self.grind_height_mm).to_degrees(),
            edge_mm: 2.0 * self.edge_half_mm,
            grind_y_mm: grind.map(|place| place.y_mm),
            top_mm: most_mm,
        }
    }
}

/// The places without those that lie on the straight line between their neighbours.
fn few(places: Vec<HalfThickness>) -> Vec<HalfThickness> {
    let mut kept: Vec<HalfThickness> = Vec::new();
    for (i, here) in places.iter().enumerate() {
        let (Some(before), Some(after)) = (kept.last(), places.get(i + 1)) else {
            kept.push(*here);
            continue;
        };
        let share = (here.y_mm - before.y_mm) / (after.y_mm - before.y_mm);
        let straight = before.half_mm + (after.half_mm - before.half_mm) * share;
        if share.is_finite() && (straight - here.half_mm).abs() > STRAIGHT_MM {
            kept.push(*here);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, drilled, reckoned};
    use knife::{Bevel, Edit, Scales};

    /// Tip left, edge below at y = −15 from x = 0 to 100; 3.175 mm thick.
    fn ground(grind_height_mm: f64) -> Knife {
        let mut knife = blank();
        let bevel = Bevel { plunge_x_mm: 90.0, grind_height_mm, edge_thickness_mm: 0.508 };
        knife.bevel = Some(bevel);
        knife
    }

    fn cut(knife: &Knife, x_mm: f64) -> Section {
        section_at(knife, &reckoned(knife), x_mm).unwrap()
    }

    /// Machinery's Handbook, solution of right triangles: t 3.175, e 0.508, h 25.4 mm give
    /// 3.0052694° a side; the section is a trapezium with a rectangle on it.
    #[test]
    fn a_flat_bevel_is_the_handbooks_triangle() {
        let section = cut(&ground(25.4), 60.0);
        let bevel = section.bevel.unwrap();
        assert!((bevel.angle_deg - 3.005_269_4).abs() < 1e-7);
        assert!((bevel.grind_y_mm.unwrap() - 10.4).abs() < 1e-6);
        assert!((section.height_mm - 30.0).abs() < 1e-9);
        for (up_mm, thick_mm) in [(0.0, 0.508), (12.7, 1.8415), (25.4, 3.175), (30.0, 3.175)] {
            let found = 2.0 * section.half_at(up_mm - 15.0).unwrap();
            assert!((found - thick_mm).abs() < 1e-4, "{up_mm}: {found}");
        }
        assert_eq!(section.steel[0].places.len(), 3, "straight lines need no more");
        assert_eq!(section.half_at(15.1), None);
    }

    #[test]
    fn behind_the_plunge_it_is_the_stock_and_further_on_the_scales() {
        let mut knife = ground(12.0);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.35 });
        let between = cut(&knife, 110.0);
        assert_eq!((between.bevel, between.scale_mm), (None, None));
        assert_eq!(between.overall_mm(), 3.175);
        let handle = cut(&knife, 150.0);
        assert!((handle.overall_mm() - 15.875).abs() < 1e-9);
        // The same knife turned end for end.
        let mirrored = Edit::MirrorAlong.apply(&knife).unwrap();
        for x_mm in [20.0, 60.0, 110.0, 150.0] {
            let (a, b) = (cut(&knife, x_mm), cut(&mirrored, 200.0 - x_mm));
            assert_eq!(a.scale_mm, b.scale_mm);
            assert_eq!(a.bevel.is_some(), b.bevel.is_some());
            assert!((a.thickness_mm - b.thickness_mm).abs() < 1e-9);
        }
        let flipped = cut(&Edit::MirrorAcross.apply(&knife).unwrap(), 60.0);
        assert!((flipped.bevel.unwrap().grind_y_mm.unwrap() - 3.0).abs() < 1e-6);
    }

    #[test]
    fn where_the_blade_is_lower_the_bevel_runs_out_on_the_spine() {
        let section = cut(&ground(60.0), 60.0);
        let bevel = section.bevel.unwrap();
        assert_eq!(bevel.grind_y_mm, None);
        // Half of the grind height is reached on a blade of 30 mm.
        assert!((bevel.top_mm - f64::midpoint(0.508, 3.175)).abs() < 1e-6);
        assert!((section.thickness_mm - bevel.top_mm).abs() < 1e-12);
    }

    #[test]
    fn a_hole_parts_the_steel_by_its_chord() {
        // 3 mm off the middle of a hole of 10 mm: the chord is 2·√(25 − 9) = 8 mm.
        let section = cut(&drilled(&[(150.0, 2.0, 10.0)]), 153.0);
        let spans: Vec<_> = section.steel.iter().map(Stretch::span).collect();
        assert_eq!(spans.len(), 2);
        assert!((spans[0].1 + 2.0).abs() < 1e-9 && (spans[1].0 - 6.0).abs() < 1e-9);
        assert_eq!(section.half_at(0.0), None);
        assert!((section.height_mm - 30.0).abs() < 1e-9);
    }

    #[test]
    fn off_the_knife_there_is_nothing() {
        let (knife, reckoning) = (ground(12.0), reckoned(&ground(12.0)));
        for x_mm in [-1.0, 201.0, f64::NAN, f64::INFINITY] {
            assert_eq!(section_at(&knife, &reckoning, x_mm), None);
        }
        assert_eq!(section_at(&Knife::empty(), &reckoned(&Knife::empty()), 5.0), None);
    }

    /// Everywhere on every starter: no thicker than the stock, no thinner than the edge.
    #[test]
    fn every_starter_is_between_edge_and_stock_everywhere() {
        for starter in knife::STARTERS {
            let knife = starter.knife();
            let reckoning = reckoned(&knife);
            let bounds = reckoning.outline.as_ref().unwrap().bounds();
            for i in 1..200 {
                let x_mm = bounds.x0 + bounds.width() * f64::from(i) / 200.0;
                let Some(section) = section_at(&knife, &reckoning, x_mm) else { continue };
                let edge_mm = knife.bevel.map_or(knife.bar.thickness_mm, |b| b.edge_thickness_mm);
                for place in section.steel.iter().flat_map(|stretch| &stretch.places) {
                    let thick = 2.0 * place.half_mm;
                    assert!(thick >= edge_mm - 1e-9 && thick <= knife.bar.thickness_mm + 1e-9);
                }
            }
        }
    }
}
