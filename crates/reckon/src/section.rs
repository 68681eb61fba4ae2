//! The knife cut through square to its length: how far its two faces lie from the middle, by
//! height.

mod pin;

use crate::intervals::{cut, less, spans};
use crate::scale_thickness_mm;
use crate::solid::Field;
use crate::{PiecePart, Reckoning, ScaleFigures};
use knife::{Corner, HoleKind, Knife, Scales};
use kurbo::{ParamCurve, ParamCurveNearest, PathSeg, Point};
pub use pin::SectionPin;
use pin::pin_at;
use units::LengthUnit;

/// Steps in which a stretch of steel is looked at.
const STEPS: u32 = 48;
/// A section of no more spans than this has all steps in each: a knife and its holes.
const FEW_SPANS: usize = 16;
/// A place is left out where the straight line between its neighbours is as near, mm.
const STRAIGHT_MM: f64 = 1e-4;
/// Stretches shorter than this are none, mm.
const NOTHING_MM: f64 = 1e-6;
/// How far above the edge the thickness behind it is told, mm: as round in inches as in millimetres
/// (common practice, no source).
const fn behind_edge_mm(unit: LengthUnit) -> [f64; 4] {
    match unit {
        LengthUnit::Inch => [25.4 / 32.0, 25.4 * 3.0 / 16.0, 25.4 * 3.0 / 8.0, 25.4 * 3.0 / 4.0],
        LengthUnit::Millimetre => [1.0, 5.0, 10.0, 20.0],
    }
}

/// The knife cut through square to its length. Heights are y of the knife's plane; the faces lie
/// left and right of its centre plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Where it is cut, x of the knife's plane, mm.
    pub x_mm: f64,
    /// The stretches of steel, upward: a hole, or a gap in the outline, parts them.
    pub steel: Vec<SectionSpan>,
    /// From the lowest to the highest steel, mm.
    pub height_mm: f64,
    /// The steel's greatest thickness, mm.
    pub thickness_mm: f64,
    /// Thickness of the stock here, taper taken off, mm.
    pub stock_mm: f64,
    /// The bevel, where this lies ahead of the plunge line.
    pub bevel: Option<SectionBevel>,
    /// One of the two scales, where this lies behind the scales' front line.
    pub scale: Option<SectionScale>,
    /// Pins, tubes and screws that are cut through, upward.
    pub pins: Vec<SectionPin>,
}

/// A scale in a section; the other one is its mirror image.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionScale {
    /// What is cut there, at half the tang's height: the scale, or a bolster.
    pub part: PiecePart,
    /// Its thickness here, where it is thickest, mm.
    pub thickness_mm: f64,
    /// The stretches of it, upward, y in mm. Holes for pins and thongs part it; relief holes lie
    /// in the tang alone and don't.
    pub spans: Vec<(f64, f64)>,
    /// Where the section goes through the front's bevel or across the front line: its thickness
    /// at heights of the knife's plane, upward, mm; nought ahead of the front. Empty farther back,
    /// where it is as thick at all heights.
    pub front: Vec<(f64, f64)>,
    /// Glue and liner between the tang and it, mm.
    pub under_mm: f64,
    /// The liner alone, mm; 0 without. It lies between two joints of equal thickness.
    pub liner_mm: f64,
    /// What is done to its long corners; `None` also where it doesn't go onto this section.
    pub corner: Option<Corner>,
}

/// A stretch of steel: at least two places, upward, with straight lines between them.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionSpan {
    /// Where both faces lie at each height.
    pub offsets: Vec<FaceOffsets>,
}

/// Where both faces lie at a height, mm from the centre plane of the stock. On a blade ground on
/// one side the ground face may lie beyond that plane: its distance is then negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceOffsets {
    /// Height, y of the knife's plane, mm.
    pub y_mm: f64,
    /// To the left face: the one seen when the tip points left and the edge down.
    pub left_mm: f64,
    /// To the right face.
    pub right_mm: f64,
}

/// The bevel in a section.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionBevel {
    /// Angle a side, degrees: atan((T − E)/h) with T and E the distances of the ground face from
    /// the centre plane at grind line and edge, and h the way between the two.
    pub angle_deg: f64,
    /// Thickness at the edge, mm.
    pub edge_mm: f64,
    /// Where the grind line is crossed, y in mm; `None` where the bevel runs out on the spine.
    pub grind_y_mm: Option<f64>,
    /// Thickness at the grind line, or on the spine where the bevel runs out there, mm.
    pub top_mm: f64,
    /// Height of the ground face in this section, from the edge up, mm.
    pub face_mm: f64,
    /// How thick it is behind the edge.
    pub behind: Vec<ThicknessBehindEdge>,
}

/// The thickness some way above the edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThicknessBehindEdge {
    /// How far above the edge, mm.
    pub up_mm: f64,
    /// The thickness there, mm.
    pub thickness_mm: f64,
}

impl Section {
    /// The thickness with both scales, their joints and liners on, mm.
    pub fn overall_mm(&self) -> f64 {
        let one = |scale: &SectionScale| scale.under_mm + scale.thickness_mm;
        self.thickness_mm + 2.0 * self.scale.as_ref().map_or(0.0, one)
    }

    /// Both faces at a height; `None` where there is no steel.
    pub fn at(&self, y_mm: f64) -> Option<FaceOffsets> {
        self.steel.iter().find_map(|stretch| stretch.at(y_mm))
    }
}

impl FaceOffsets {
    /// From face to face, mm.
    pub fn thickness_mm(&self) -> f64 {
        self.left_mm + self.right_mm
    }

    /// The place a share of the way from this one to another.
    fn lerp(&self, to: &Self, share: f64) -> Self {
        let between = |a: f64, b: f64| a + (b - a) * share;
        Self {
            y_mm: between(self.y_mm, to.y_mm),
            left_mm: between(self.left_mm, to.left_mm),
            right_mm: between(self.right_mm, to.right_mm),
        }
    }
}

impl SectionSpan {
    /// From its lowest to its highest place, mm.
    pub fn span(&self) -> (f64, f64) {
        let end = |place: Option<&FaceOffsets>| place.map_or(0.0, |place| place.y_mm);
        (end(self.offsets.first()), end(self.offsets.last()))
    }

    fn at(&self, y_mm: f64) -> Option<FaceOffsets> {
        self.offsets.windows(2).find_map(|pair| {
            let share = (y_mm - pair[0].y_mm) / (pair[1].y_mm - pair[0].y_mm);
            (0.0..=1.0).contains(&share).then(|| pair[0].lerp(&pair[1], share))
        })
    }
}

/// The section at a place along the knife; `None` where there is no steel.
pub fn section_at(knife: &Knife, reckoning: &Reckoning, x_mm: f64) -> Option<Section> {
    let spans = spans_less(knife, reckoning, x_mm, |_| true);
    let (lowest, highest) = (spans.first()?.0, spans.last()?.1);
    let cut = SectionCut { field: reckoning.field.as_deref()?, x_mm, unit: knife.unit };
    let steel: Vec<SectionSpan> = spans
        .iter()
        .map(|span| cut.stretch(*span, steps(*span, highest - lowest, spans.len())))
        .collect();
    let places = || steel.iter().flat_map(|stretch| &stretch.offsets);
    let thickness_mm = places().map(FaceOffsets::thickness_mm).fold(0.0, f64::max);
    let edge_is_up = reckoning.profile.as_ref().is_some_and(|profile| profile.edge_is_up);
    let (edge_y, spine_y) = if edge_is_up { (highest, lowest) } else { (lowest, highest) };
    let bevel = cut.bevel(edge_y, spine_y, thickness_mm);
    let scale = knife.scales.and_then(|scales| {
        let mut whole = scale_at(knife, scales, x_mm, highest - lowest);
        whole.spans = spans_less(knife, reckoning, x_mm, |kind| kind != HoleKind::Relief);
        let middle = Point::new(x_mm, f64::midpoint(lowest, highest));
        let mut pieces = reckoning.scales.iter().flat_map(|laid| &laid.pieces);
        if let Some(piece) = pieces.find(|piece| piece.outline.contains(middle)) {
            whole.part = piece.part;
        }
        match &reckoning.scales {
            Some(laid) => at_front(whole, laid, x_mm, (lowest, highest)),
            // Without a front that could be laid, square across at its place.
            None => {
                let direction =
                    reckoning.profile.as_ref().map_or(1.0, |profile| profile.towards_butt);
                ((x_mm - scales.front_x_mm) * direction >= 0.0).then_some(whole)
            }
        }
    });
    let mut pins: Vec<SectionPin> = (reckoning.fit.iter().flat_map(|fit| &fit.pins))
        .filter_map(|pin| pin_at(pin, x_mm))
        .collect();
    pins.sort_by(|a, b| a.span.0.total_cmp(&b.span.0));
    Some(Section {
        x_mm,
        pins,
        height_mm: highest - lowest,
        thickness_mm,
        stock_mm: cut.field.stock_at(x_mm),
        bevel,
        scale,
        steel,
    })
}

/// So many steps are taken through a span. Where an outline is all teeth, each span gets its share
/// of the whole height's, which are then as close as elsewhere.
fn steps((from, to): (f64, f64), height_mm: f64, spans: usize) -> u32 {
    if spans <= FEW_SPANS {
        return STEPS;
    }
    let share = f64::from(STEPS) * (to - from) / height_mm;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let steps = share.ceil().clamp(2.0, f64::from(STEPS)) as u32;
    steps
}

/// The scale where it may be cut short by its front; `None` where all of it lies behind.
///
/// The bevel rises from the front line on the glue face at its angle: so far behind that line,
/// square to it, the scale is as thick as the way is long over the angle's tangent.
fn at_front(
    whole: SectionScale,
    scales: &ScaleFigures,
    x_mm: f64,
    (lowest, highest): (f64, f64),
) -> Option<SectionScale> {
    let tan = scales.bevel_deg.to_radians().tan();
    let thick = |y_mm: f64| {
        let p = Point::new(x_mm, y_mm);
        if !scales.outline.contains(p) {
            return 0.0;
        }
        let behind_mm = behind(&scales.front, p);
        if tan > 0.0 { (behind_mm / tan).min(whole.thickness_mm) } else { whole.thickness_mm }
    };
    let front: Vec<(f64, f64)> = (0..=STEPS)
        // Not at the very ends, which lie on the outline.
        .map(|i| (0.001 + 0.998 * f64::from(i) / f64::from(STEPS)).clamp(0.0, 1.0))
        .map(|share| lowest + (highest - lowest) * share)
        .map(|y_mm| (y_mm, thick(y_mm)))
        .collect();
    let thickest_mm = front.iter().map(|(_, mm)| *mm).fold(0.0, f64::max);
    if thickest_mm == 0.0 {
        return None;
    }
    if front.iter().all(|(_, mm)| *mm >= whole.thickness_mm) {
        return Some(whole);
    }
    Some(SectionScale { thickness_mm: thickest_mm, front, corner: None, ..whole })
}

/// How far a place lies from a line, which goes straight on past its ends, mm.
fn behind(line: &[PathSeg], p: Point) -> f64 {
    let feet = line.iter().map(|seg| (seg, seg.nearest(p, 1e-9)));
    let nearest = feet.min_by(|a, b| a.1.distance_sq.total_cmp(&b.1.distance_sq));
    let Some((seg, foot)) = nearest else { return 0.0 };
    let (at, near) = if foot.t <= 0.0 { (0.0, 1e-3) } else { (1.0, 1.0 - 1e-3) };
    if foot.t > 0.0 && foot.t < 1.0 {
        return foot.distance_sq.sqrt();
    }
    let direction = (seg.eval(at) - seg.eval(near)).normalize();
    direction.cross(p - seg.eval(at)).abs()
}

/// The scale at a place behind the front line, as high there as the tang.
fn scale_at(knife: &Knife, scales: Scales, x_mm: f64, height_mm: f64) -> SectionScale {
    let thickness_mm = scale_thickness_mm(knife, x_mm).unwrap_or(scales.thickness_mm);
    let fits = |corner: &Corner| {
        let (over, down) = corner.reach_mm();
        2.0 * over <= height_mm && down <= thickness_mm
    };
    SectionScale {
        part: PiecePart::Scale,
        thickness_mm,
        spans: Vec::new(),
        front: Vec::new(),
        under_mm: knife.handle.under_scale_mm(),
        liner_mm: knife.handle.liner_mm(),
        corner: knife.handle.shaping.corner.filter(fits),
    }
}

/// The heights that the outline holds less the holes of these kinds, upward.
fn spans_less(
    knife: &Knife,
    reckoning: &Reckoning,
    x_mm: f64,
    is_cut: impl Fn(HoleKind) -> bool,
) -> Vec<(f64, f64)> {
    let Some(outline) = &reckoning.outline else { return Vec::new() };
    let holes = knife.holes.iter().filter(|hole| is_cut(hole.kind));
    let cuts: Vec<(f64, f64)> = holes.filter_map(|hole| cut(hole, x_mm)).collect();
    let mut spans = less(spans(outline, x_mm), &cuts);
    spans.retain(|(from, to)| to - from > NOTHING_MM);
    spans
}

/// The solid cut at a station.
struct SectionCut<'a> {
    field: &'a Field,
    x_mm: f64,
    unit: LengthUnit,
}

impl SectionCut<'_> {
    fn point(&self, y_mm: f64) -> Point {
        Point::new(self.x_mm, y_mm)
    }

    fn thick(&self, y_mm: f64) -> FaceOffsets {
        let halves = self.field.half_thickness(self.point(y_mm));
        FaceOffsets { y_mm, left_mm: halves.left_mm, right_mm: halves.right_mm }
    }

    fn ground(&self, y_mm: f64) -> u32 {
        self.field.bevels_at(self.point(y_mm))
    }

    fn stretch(&self, (from, to): (f64, f64), steps: u32) -> SectionSpan {
        let mut places: Vec<FaceOffsets> = Vec::new();
        for i in 0..=steps {
            let y = from + (to - from) * f64::from(i) / f64::from(steps);
            if let Some(last) = places.last().copied()
                && self.ground(last.y_mm) != self.ground(y)
            {
                places.push(self.thick(self.border(last.y_mm, y)));
            }
            places.push(self.thick(y));
        }
        SectionSpan { offsets: few(places) }
    }

    /// Where, between two heights that are not ground alike, the first way of being ground ends.
    fn border(&self, mut from: f64, mut to: f64) -> f64 {
        let first = self.ground(from);
        for _ in 0..40 {
            let middle = f64::midpoint(from, to);
            if self.ground(middle) == first { from = middle } else { to = middle }
        }
        f64::midpoint(from, to)
    }

    /// The bevel that rises from the edge here.
    fn bevel(&self, edge_y: f64, spine_y: f64, max_mm: f64) -> Option<SectionBevel> {
        let bevel = self.field.bevels.first()?;
        let half_mm = self.field.stock_at(self.x_mm) / 2.0;
        let is_ground = |y: f64| bevel.face(self.point(y), half_mm).is_some();
        let at = |up: f64| edge_y + (spine_y - edge_y) * up;
        // The edge's own place may lie a rounding behind the edge's curve.
        let low = 1e-6;
        if !is_ground(at(low)) {
            return None;
        }
        let mut steps = (1..=STEPS).map(|i| f64::from(i) / f64::from(STEPS));
        let ends = steps.find(|up| !is_ground(at(*up)));
        let top = ends.map(|end| {
            let (mut kept, mut lost) = (end - 1.0 / f64::from(STEPS), end);
            for _ in 0..40 {
                let middle = f64::midpoint(kept, lost);
                if is_ground(at(middle.max(low))) { kept = middle } else { lost = middle }
            }
            at(f64::midpoint(kept, lost))
        });
        let top_y = top.unwrap_or(spine_y);
        let middle = f64::midpoint(edge_y, top_y);
        let (face, _) = bevel.face(self.point(middle), half_mm)?;
        let up = (spine_y - edge_y).signum();
        let behind = behind_edge_mm(self.unit)
            .into_iter()
            .filter(|up_mm| *up_mm <= (spine_y - edge_y).abs())
            .map(|up_mm| ThicknessBehindEdge {
                up_mm,
                thickness_mm: self.thick(edge_y + up * up_mm).thickness_mm(),
            });
        Some(SectionBevel {
            angle_deg: face.angle_deg(),
            edge_mm: self.thick(at(low)).thickness_mm().min(max_mm),
            grind_y_mm: top,
            top_mm: self.thick(top_y).thickness_mm(),
            face_mm: (top_y - edge_y).abs(),
            behind: behind.collect(),
        })
    }
}

/// The places without those that lie on the straight line between their neighbours.
fn few(places: Vec<FaceOffsets>) -> Vec<FaceOffsets> {
    let mut kept: Vec<FaceOffsets> = Vec::new();
    // Left out since the last one kept: they must all lie on the line to the next.
    let mut left_out: Vec<FaceOffsets> = Vec::new();
    for (i, here) in places.iter().enumerate() {
        let (Some(before), Some(after)) = (kept.last(), places.get(i + 1)) else {
            kept.push(*here);
            continue;
        };
        left_out.push(*here);
        let straight = left_out.iter().all(|place| {
            let share = (place.y_mm - before.y_mm) / (after.y_mm - before.y_mm);
            let on = before.lerp(after, share);
            share.is_finite()
                && (on.left_mm - place.left_mm).abs() <= STRAIGHT_MM
                && (on.right_mm - place.right_mm).abs() <= STRAIGHT_MM
        });
        if !straight {
            kept.push(*here);
            left_out.clear();
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
        let bevel = Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm,
            edge_thickness_mm: 0.508,
            ..Bevel::default()
        };
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
        let bevel = section.bevel.clone().unwrap();
        assert!((bevel.angle_deg - 3.005_269_4).abs() < 1e-7);
        assert!((bevel.grind_y_mm.unwrap() - 10.4).abs() < 1e-6);
        assert!((section.height_mm - 30.0).abs() < 1e-9);
        for (up_mm, thick_mm) in [(0.0, 0.508), (12.7, 1.8415), (25.4, 3.175), (30.0, 3.175)] {
            let found = section.at(up_mm - 15.0).unwrap().thickness_mm();
            assert!((found - thick_mm).abs() < 1e-4, "{up_mm}: {found}");
        }
        assert_eq!(section.steel[0].offsets.len(), 3, "straight lines need no more");
        assert_eq!(section.at(15.1), None);
    }

    #[test]
    fn behind_the_plunge_it_is_the_stock_and_further_on_the_scales() {
        let mut knife = ground(12.0);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.35 });
        let between = cut(&knife, 110.0);
        assert_eq!((between.bevel.clone(), between.scale.clone()), (None, None));
        assert_eq!(between.overall_mm(), 3.175);
        let handle = cut(&knife, 150.0);
        // By hand: 3.175 of steel, twice 6.35 of scale, twice the usual glue of 0.13.
        assert!((handle.overall_mm() - 16.135).abs() < 1e-9);
        // The same knife turned end for end.
        let mirrored = Edit::MirrorAlong.apply(&knife).unwrap();
        for x_mm in [20.0, 60.0, 110.0, 150.0] {
            let (a, b) = (cut(&knife, x_mm), cut(&mirrored, 200.0 - x_mm));
            assert_eq!(a.scale, b.scale);
            assert_eq!(a.bevel.is_some(), b.bevel.is_some());
            assert!((a.thickness_mm - b.thickness_mm).abs() < 1e-9);
        }
        let flipped = cut(&Edit::MirrorAcross.apply(&knife).unwrap(), 60.0);
        assert!((flipped.bevel.unwrap().grind_y_mm.unwrap() - 3.0).abs() < 1e-6);
    }

    #[test]
    fn it_tells_a_bolster_from_the_scale() {
        let mut knife = ground(12.0);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        let bolster = |length_mm| Some(knife::Bolster { length_mm, material: None });
        knife.handle.front_bolster = bolster(10.0);
        knife.handle.rear_bolster = bolster(15.0);
        let part = |x_mm: f64| cut(&knife, x_mm).scale.unwrap().part;
        assert_eq!(part(128.0), PiecePart::FrontBolster);
        assert_eq!(part(132.0), PiecePart::Scale);
        assert_eq!(part(190.0), PiecePart::RearBolster);
    }

    // By hand: on the plain blank (y from −15 to 15) a square-on front at x = 120, bevelled 45°,
    // leaves 2 mm of scale 2 mm behind it, and by 30° 2 / tan 30° = 3.464 mm; leaning by 20° the
    // line lies tan 20° farther back for each mm of height, and places lie cos 20° as far from it.
    #[test]
    fn a_front_rises_by_its_bevel_and_leans() {
        let mut knife = ground(12.0);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        knife.handle.front.bevel_deg = Some(45.0);
        assert_eq!(cut(&knife, 119.9).scale, None);
        let scale = cut(&knife, 122.0).scale.unwrap();
        assert!((scale.thickness_mm - 2.0).abs() < 1e-9 && scale.corner.is_none());
        assert!(scale.front.iter().all(|(_, mm)| (mm - 2.0).abs() < 1e-9));
        assert!(cut(&knife, 126.1).scale.unwrap().front.is_empty(), "behind the bevel");
        knife.handle.front.bevel_deg = Some(30.0);
        let scale = cut(&knife, 122.0).scale.unwrap();
        assert!((scale.thickness_mm - 3.464_101_6).abs() < 1e-6);
        (knife.handle.front.lean_deg, knife.handle.front.bevel_deg) = (20.0, Some(45.0));
        let leaning = cut(&knife, 121.0).scale.unwrap();
        let (sin, cos) = 20.0_f64.to_radians().sin_cos();
        let thick =
            |(y, mm): &(f64, f64), direction: f64| (cos + direction * y * sin).clamp(0.0, 6.0) - mm;
        let off = |direction| {
            leaning.front.iter().map(|at| thick(at, direction).abs()).fold(0.0, f64::max)
        };
        assert!(off(1.0).min(off(-1.0)) < 1e-6, "{:?}", leaning.front);
        knife.handle.front.bevel_deg = Some(0.0);
        let square = cut(&knife, 121.0).scale.unwrap();
        assert!(square.front.iter().all(|(_, mm)| *mm == 0.0 || *mm == 6.0));
        assert!(square.front.iter().any(|(_, mm)| *mm == 0.0));
    }

    // By hand: 0.8 of liner between two joints of 0.1 make 1 mm; halfway between places of 8 and
    // 4 mm there are 6; a chamfer of 5 mm at 45° goes 5 mm down the side, at 60° 8.7.
    #[test]
    fn the_scale_is_as_thick_as_it_is_there_and_has_its_corner_where_that_goes_on() {
        let mut knife = ground(12.0);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 9.0 });
        knife.handle.glue_mm = Some(0.1);
        knife.handle.liners = Some(knife::Liners { thickness_mm: 0.8, material: None });
        let places = [(130.0, 8.0), (150.0, 4.0)];
        let places = places.map(|(x_mm, thickness_mm)| knife::ThicknessAt { x_mm, thickness_mm });
        knife.handle.shaping.thickness = places.to_vec();
        let corner = |angle_deg| Some(Corner::Chamfer { width_mm: 5.0, angle_deg });
        knife.handle.shaping.corner = corner(45.0);
        let scale = cut(&knife, 140.0).scale.unwrap();
        assert!((scale.thickness_mm - 6.0).abs() < 1e-9 && (scale.under_mm - 1.0).abs() < 1e-9);
        assert_eq!((scale.liner_mm, scale.corner), (0.8, corner(45.0)));
        assert_eq!(cut(&knife, 150.0).scale.unwrap().corner, None, "4 mm are too thin for it");
        knife.handle.shaping.corner = corner(60.0);
        assert_eq!(cut(&knife, 140.0).scale.unwrap().corner, None);
    }

    #[test]
    fn where_the_blade_is_lower_the_bevel_runs_out_on_the_spine() {
        let section = cut(&ground(60.0), 60.0);
        let bevel = section.bevel.clone().unwrap();
        assert_eq!(bevel.grind_y_mm, None);
        // Half of the grind height is reached on a blade of 30 mm.
        assert!((bevel.top_mm - f64::midpoint(0.508, 3.175)).abs() < 1e-6);
        assert!((section.thickness_mm - bevel.top_mm).abs() < 1e-12);
    }

    #[test]
    fn a_hole_parts_the_steel_by_its_chord() {
        // 3 mm off the middle of a hole of 10 mm: the chord is 2·√(25 − 9) = 8 mm.
        let section = cut(&drilled(&[(150.0, 2.0, 10.0)]), 153.0);
        let spans: Vec<_> = section.steel.iter().map(SectionSpan::span).collect();
        assert_eq!(spans.len(), 2);
        assert!((spans[0].1 + 2.0).abs() < 1e-9 && (spans[1].0 - 6.0).abs() < 1e-9);
        assert_eq!(section.at(0.0), None);
        assert!((section.height_mm - 30.0).abs() < 1e-9);
    }

    // By hand: 4 mm off the middle of a hole of 10 mm the chord is 6 mm.
    #[test]
    fn relief_holes_part_the_tang_and_leave_the_scales_whole() {
        for (kind, parts) in [(HoleKind::Relief, 1), (HoleKind::Pin, 2), (HoleKind::Thong, 2)] {
            let mut knife = drilled(&[(150.0, 0.0, 10.0)]);
            knife.holes[0].kind = kind;
            knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
            let section = cut(&knife, 154.0);
            assert_eq!(section.steel.len(), 2, "{kind:?}");
            let spans = section.scale.unwrap().spans;
            assert_eq!(spans.len(), parts, "{kind:?}");
            let high: f64 = spans.iter().map(|(low, high)| high - low).sum();
            let expected = if parts == 1 { 30.0 } else { 24.0 };
            assert!((high - expected).abs() < 1e-9, "{kind:?} {high}");
        }
    }

    // By hand: 3 mm off the middle of a pin of 10 mm its chord is 8 mm, its tube's bore of 8 mm
    // there 2·√7; it reaches from face to face, 3.175 of steel, twice 0.13 of glue and 6 of scale.
    #[test]
    fn pins_are_cut_by_their_chords() {
        let mut knife = drilled(&[(150.0, 2.0, 10.0)]);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        let pin = cut(&knife, 153.0).pins[0].clone();
        assert!((pin.span.0 + 2.0).abs() < 1e-9 && (pin.span.1 - 6.0).abs() < 1e-9);
        assert!((2.0 * pin.half_mm - 15.435).abs() < 1e-9 && pin.bore.is_none());
        assert!(cut(&knife, 155.1).pins.is_empty());
        let id = knife.holes[0].id;
        knife.handle.fixings = vec![(id, knife::Fixing::Tube { bore_mm: 8.0 })];
        let bore = cut(&knife, 153.0).pins[0].bore.unwrap();
        assert!((bore.1 - bore.0 - 2.0 * 7.0_f64.sqrt()).abs() < 1e-9);
        assert!(cut(&knife, 154.5).pins[0].bore.is_none());
        knife.handle.fixings =
            vec![(id, knife::Fixing::Screw { head_mm: 14.0, head_deep_mm: 2.0 })];
        let ((low, high), deep_mm) = cut(&knife, 156.0).pins[0].head.unwrap();
        assert!((high - low - 2.0 * 13.0_f64.sqrt()).abs() < 1e-9 && deep_mm == 2.0);
        knife.holes[0].kind = HoleKind::Relief;
        knife.handle.fixings.clear();
        assert!(cut(&knife, 150.0).pins.is_empty(), "a relief hole stays empty");
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
                for place in section.steel.iter().flat_map(|stretch| &stretch.offsets) {
                    let thick = place.thickness_mm();
                    assert!(thick >= edge_mm - 1e-9 && thick <= knife.bar.thickness_mm + 1e-9);
                }
            }
        }
    }
}
