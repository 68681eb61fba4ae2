//! The knife cut through square to its length.

use crate::MarkPart as _;
use knife::{Corner, PartId};
use kurbo::{BezPath, Line, Point, Rect, Shape};
use marks::{Drawing, Mark, Pen};
use reckon::{Section, SectionPin, SectionScale, SectionSpan};

/// The centre line goes past the steel by so much, mm (common drawing practice).
const PAST_MM: f64 = 2.0;
/// Marks of the grind line go out from the faces by so much, mm.
const MARK_MM: f64 = 1.0;
/// How far a quarter circle's handles reach towards the corner of its square, of its radius: the
/// cubic that touches the circle at its middle, 4 (√2 − 1)/3.
const QUARTER: f64 = 0.552_284_749_830_793_4;

/// A section as it is seen from the butt: x is the distance from the centre plane, the left face
/// to the left, y the knife's own height.
pub fn section(section: &Section) -> Drawing {
    let mut drawing = Drawing::new();
    let half_mm = section.stock_mm / 2.0;
    if let Some(scale) = &section.scale {
        scales(&mut drawing, section, scale);
    }
    for stretch in &section.steel {
        drawing.add_part(Pen::Cut, Mark::Path(faces(stretch)), PartId::Profile);
    }
    for pin in &section.pins {
        for rect in pin_pieces(pin) {
            let mark = Mark::Path(rect.abs().to_path(0.0));
            drawing.add_part(Pen::Hole, mark, PartId::Hole(pin.hole));
        }
    }
    if let Some(y) = section.bevel.as_ref().and_then(|bevel| bevel.grind_y_mm) {
        for side in ground_sides(section) {
            let mark = Line::new((side * half_mm, y), (side * (half_mm + MARK_MM), y));
            drawing.add_part(Pen::Bevel, mark.into(), PartId::GrindLine);
        }
    }
    if let (Some(first), Some(last)) = (section.steel.first(), section.steel.last()) {
        let (low, high) = (first.span().0 - PAST_MM, last.span().1 + PAST_MM);
        drawing.add_part(Pen::Centre, Line::new((0.0, low), (0.0, high)).into(), PartId::Bar);
    }
    drawing
}

/// What is cut of a pin: its shank from face to face, a tube on both sides of its bore, a screw's
/// heads in both scales.
fn pin_pieces(pin: &SectionPin) -> Vec<Rect> {
    let (low, high) = pin.span;
    let half_mm = pin.half_mm;
    let shank = |low, high| Rect::new(-half_mm, low, half_mm, high);
    let mut pieces = match pin.bore {
        Some((from, to)) => vec![shank(low, from), shank(to, high)],
        None => vec![shank(low, high)],
    };
    pieces.retain(|piece| piece.height() > 0.0);
    if let Some(((low, high), deep_mm)) = pin.head {
        let inner = half_mm - deep_mm;
        pieces.extend([-1.0, 1.0].map(|s| Rect::new(s * inner, low, s * half_mm, high)));
    }
    pieces
}

/// Both scales, and the liners under them; a hole that goes through them parts them.
fn scales(drawing: &mut Drawing, section: &Section, scale: &SectionScale) {
    let half_mm = section.stock_mm / 2.0;
    let glue_mm = (scale.under_mm - scale.liner_mm) / 2.0;
    let last = scale.spans.len().saturating_sub(1);
    for (i, &(low, high)) in scale.spans.iter().enumerate() {
        for side in [1.0, -1.0] {
            if scale.liner_mm > 0.0 {
                let from = half_mm + glue_mm;
                let rect = Rect::new(side * from, low, side * (from + scale.liner_mm), high);
                let path = rect.abs().to_path(0.0);
                drawing.add_part(Pen::Scale, Mark::Path(path), PartId::Scales);
            }
            let inner = half_mm + scale.under_mm;
            if !scale.front.is_empty() {
                if let Some(path) = at_front(side * inner, side, &scale.front, (low, high)) {
                    drawing.add_part(Pen::Scale, Mark::Path(path), PartId::Scales);
                }
                continue;
            }
            let ends = [(low, i == 0), (high, i == last)];
            let path = one_scale(side, (inner, inner + scale.thickness_mm), ends, scale.corner);
            drawing.add_part(Pen::Scale, Mark::Path(path), PartId::Scales);
        }
    }
}

/// A scale cut where its front rises, between two heights; nothing where it lies behind.
fn at_front(
    inner: f64,
    side: f64,
    front: &[(f64, f64)],
    (low, high): (f64, f64),
) -> Option<BezPath> {
    let mut places: Vec<(f64, f64)> =
        front.iter().copied().filter(|(y, _)| (low..=high).contains(y)).collect();
    let (first, last) = (*places.first()?, *places.last()?);
    if places.iter().all(|(_, thick)| *thick == 0.0) {
        return None;
    }
    // Out to the stretch's own ends, as thick as next to them.
    places.insert(0, (low, first.1));
    places.push((high, last.1));
    let mut path = BezPath::new();
    path.move_to((inner, low));
    for (y, thick) in places {
        path.line_to((inner + side * thick, y));
    }
    path.line_to((inner, high));
    path.close_path();
    Some(path)
}

/// One scale between two heights, on the side of this sign: each end with whether it is the
/// handle's own, where the corner is.
fn one_scale(
    side: f64,
    (inner, outer): (f64, f64),
    ends: [(f64, bool); 2],
    corner: Option<Corner>,
) -> BezPath {
    let mut path = BezPath::new();
    path.move_to((side * inner, ends[0].0));
    for ((y, own), up) in ends.into_iter().zip([1.0, -1.0]) {
        let Some(corner) = corner.filter(|_| own) else {
            path.line_to((side * outer, y));
            continue;
        };
        let (over, down) = corner.reach_mm();
        // Upward the corner comes from the side onto the face, at the upper end back to the side.
        let on_side = Point::new(side * (outer - down), y);
        let on_face = Point::new(side * outer, y + up * over);
        let tip = Point::new(side * outer, y);
        let (from, to) = if up > 0.0 { (on_side, on_face) } else { (on_face, on_side) };
        path.line_to(from);
        match corner {
            Corner::Chamfer { .. } => path.line_to(to),
            Corner::Round(_) => path.curve_to(from.lerp(tip, QUARTER), to.lerp(tip, QUARTER), to),
        }
    }
    path.line_to((side * inner, ends[1].0));
    path.close_path();
    path
}

/// The sides on which steel was taken off: −1 left, +1 right.
fn ground_sides(section: &Section) -> Vec<f64> {
    let half_mm = section.stock_mm / 2.0 - 1e-9;
    let places = || section.steel.iter().flat_map(|stretch| &stretch.offsets);
    let left = places().any(|place| place.left_mm < half_mm);
    let right = places().any(|place| place.right_mm < half_mm);
    [(left, -1.0), (right, 1.0)].into_iter().filter(|(is, _)| *is).map(|(_, side)| side).collect()
}

/// Both faces of a stretch of steel, closed at its ends.
fn faces(stretch: &SectionSpan) -> BezPath {
    let right = stretch.offsets.iter().map(|place| (place.right_mm, place.y_mm));
    let left = stretch.offsets.iter().rev().map(|place| (-place.left_mm, place.y_mm));
    let mut path = BezPath::new();
    for (i, at) in right.chain(left).enumerate() {
        if i == 0 { path.move_to(at) } else { path.line_to(at) }
    }
    path.close_path();
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{Edit, HoleKind, starter};
    use reckon::{Shop, reckon, section_at, tables::Tables};

    fn cut(x_mm: f64) -> Drawing {
        let knife = starter("drop-point").unwrap().knife();
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        section(&section_at(&knife, &reckoning, x_mm).unwrap())
    }

    fn path(drawing: &Drawing, pen: Pen) -> Vec<BezPath> {
        let of_pen = drawing.items.iter().filter(|item| item.pen == pen);
        let path =
            |mark: &Mark| if let Mark::Path(path) = mark { Some(path.clone()) } else { None };
        of_pen.filter_map(|item| path(&item.mark)).collect()
    }

    // By hand: a chamfer 3 wide at 45° takes 3 × 3/2 off each of a scale's two corners, a round of
    // 4 mm (1 − π/4) 16; the rectangle is 6.35 wide.
    #[test]
    fn corners_come_off_the_scales_outer_edges() {
        let area = |corner| {
            let mut knife = starter("drop-point").unwrap().knife();
            knife.handle.shaping.corner = corner;
            let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
            let section = section_at(&knife, &reckoning, 112.0).unwrap();
            let scales = path(&super::section(&section), Pen::Scale);
            assert_eq!(scales.len(), 2);
            assert!((scales[0].area().abs() - scales[1].area().abs()).abs() < 1e-9);
            (scales[0].area().abs(), 6.35 * section.height_mm)
        };
        let (plain, rectangle) = area(None);
        assert!((plain - rectangle).abs() < 1e-9);
        let (chamfered, _) = area(Some(Corner::Chamfer { width_mm: 3.0, angle_deg: 45.0 }));
        assert!((rectangle - chamfered - 9.0).abs() < 1e-9);
        let (rounded, _) = area(Some(Corner::Round(4.0)));
        let off = 2.0 * 16.0 * (1.0 - std::f64::consts::FRAC_PI_4);
        assert!((rectangle - rounded - off).abs() < 0.02, "{rounded} {off}");
    }

    /// The starter: 3.175 mm stock, 0.5 mm edge, 20 mm grind height, plunge at 94.5 mm.
    #[test]
    fn the_blade_is_a_wedge_and_the_handle_a_sandwich() {
        let blade = path(&cut(70.0), Pen::Cut);
        assert_eq!(blade.len(), 1);
        let (area, bounds) = (blade[0].area().abs(), blade[0].bounding_box());
        let high = bounds.height();
        // A trapezium below the grind line, a rectangle above (the edge all but level there).
        let wanted = 20.0 * (0.5 + 3.175) / 2.0 + (high - 20.0) * 3.175;
        assert!((area - wanted).abs() < 0.1, "{area} {wanted}");
        assert!((bounds.width() - 3.175).abs() < 1e-9);

        let handle = cut(112.0);
        assert!(path(&handle, Pen::Bevel).is_empty());
        let scales = path(&handle, Pen::Scale);
        assert_eq!(scales.len(), 2);
        let whole = scales[0].bounding_box().union(scales[1].bounding_box());
        // By hand: with the usual glue of 0.13 under each.
        assert!((whole.width() - (3.175 + 2.0 * 6.48)).abs() < 1e-9);
        // By hand: 3 mm behind a front bevelled 45° at x = 104 each scale is 3 mm thick.
        let rising = path(&cut(107.0), Pen::Scale);
        let whole = rising[0].bounding_box().union(rising[1].bounding_box());
        assert!((whole.width() - (3.175 + 2.0 * 3.13)).abs() < 1e-6, "{whole:?}");
        // Through the front pin: steel and scales are parted by the hole.
        assert_eq!(path(&cut(116.5), Pen::Cut).len(), 2);
        assert_eq!(path(&cut(116.5), Pen::Scale).len(), 4);
    }

    #[test]
    fn a_pin_fills_its_hole_from_face_to_face() {
        let pin = path(&cut(116.5), Pen::Hole);
        assert_eq!(pin.len(), 1);
        let bounds = pin[0].bounding_box();
        // By hand: 3.175 of steel, twice 0.13 of glue and 6.35 of scale.
        assert!((bounds.width() - (3.175 + 2.0 * 6.48)).abs() < 1e-9, "{bounds:?}");
        assert!(path(&cut(112.0), Pen::Hole).is_empty());
    }

    #[test]
    fn over_a_relief_hole_the_wood_is_whole() {
        let mut knife = starter("drop-point").unwrap().knife();
        let front = knife.holes.iter().find(|hole| (hole.at.x - 116.5).abs() < 1.0).unwrap().id;
        let relief = Edit::SetHoleKind { hole: front, kind: HoleKind::Relief };
        knife = relief.apply(&knife).unwrap();
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let drawing = section(&section_at(&knife, &reckoning, 116.5).unwrap());
        assert_eq!(path(&drawing, Pen::Cut).len(), 2, "the tang is parted");
        assert_eq!(path(&drawing, Pen::Scale).len(), 2, "each scale is whole");
    }
}
