//! The knife cut through square to its length.

use crate::{Drawing, Mark, Pen};
use knife::PartId;
use kurbo::{BezPath, Line, Rect, Shape};
use reckon::{Section, Stretch};

/// The centre line goes past the steel by so much, mm (common drawing practice).
const PAST_MM: f64 = 2.0;
/// Marks of the grind line go out from the faces by so much, mm.
const MARK_MM: f64 = 1.0;

/// A section as it is seen from the butt: x is the distance from the centre plane, the left face
/// to the left, y the knife's own height.
pub fn section(section: &Section) -> Drawing {
    let mut drawing = Drawing::new();
    let half_mm = section.stock_mm / 2.0;
    if let Some(scale_mm) = section.scale_mm {
        for stretch in &section.steel {
            let (low, high) = stretch.span();
            for (from, to) in [(half_mm, half_mm + scale_mm), (-half_mm - scale_mm, -half_mm)] {
                let rect = Rect::new(from, low, to, high);
                drawing.add_part(Pen::Scale, Mark::Path(rect.to_path(0.0)), PartId::Scales);
            }
        }
    }
    for stretch in &section.steel {
        drawing.add_part(Pen::Cut, Mark::Path(faces(stretch)), PartId::Profile);
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

/// The sides on which steel was taken off: −1 left, +1 right.
fn ground_sides(section: &Section) -> Vec<f64> {
    let half_mm = section.stock_mm / 2.0 - 1e-9;
    let places = || section.steel.iter().flat_map(|stretch| &stretch.places);
    let left = places().any(|place| place.left_mm < half_mm);
    let right = places().any(|place| place.right_mm < half_mm);
    [(left, -1.0), (right, 1.0)].into_iter().filter(|(is, _)| *is).map(|(_, side)| side).collect()
}

/// Both faces of a stretch of steel, closed at its ends.
fn faces(stretch: &Stretch) -> BezPath {
    let right = stretch.places.iter().map(|place| (place.right_mm, place.y_mm));
    let left = stretch.places.iter().rev().map(|place| (-place.left_mm, place.y_mm));
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
    use knife::starter;
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

        let handle = cut(107.0);
        assert!(path(&handle, Pen::Bevel).is_empty());
        let scales = path(&handle, Pen::Scale);
        assert_eq!(scales.len(), 2);
        let whole = scales[0].bounding_box().union(scales[1].bounding_box());
        assert!((whole.width() - (3.175 + 2.0 * 6.35)).abs() < 1e-9);
        // Through the front pin: steel and scales are parted by the hole.
        assert_eq!(path(&cut(116.5), Pen::Cut).len(), 2);
        assert_eq!(path(&cut(116.5), Pen::Scale).len(), 4);
    }
}
