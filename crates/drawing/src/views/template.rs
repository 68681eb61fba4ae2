//! What makes the profile sheet a template: the line to cut the paper by, the blank from its other
//! face, and the line to fold by.

use super::blank::scallop_rims;
use crate::MarkPart as _;
use knife::{Knife, PartId};
use kurbo::{Affine, ParamCurve, Point, Rect, Shape, Vec2};
use marks::{Drawing, Label, Mark, Pen};
use outline::Outline;
use reckon::Reckoning;

/// The scissor line lies this far outside the outline, mm.
const OUTSIDE_MM: f64 = 5.0;
/// The scissor line is only cut by eye: it may be off by this, mm.
const EYE_MM: f64 = 0.05;
/// A blank whose halves differ by no more than this is folded rather than drawn twice, mm.
const ALIKE_MM: f64 = 0.2;
/// Places along each stretch of the outline at which its halves are compared.
const PLACES: u32 = 16;
/// The fold line goes so far past the scissor line, mm.
const PAST_MM: f64 = 3.0;
/// Height of the words, mm.
const WORDS_MM: f64 = 2.5;

/// The line to cut the paper by, outside the outline.
pub(super) fn scissor_line(reckoning: &Reckoning, to_sheet: Affine) -> Drawing {
    let mut drawing = Drawing::new();
    let ring = reckoning
        .outline
        .as_ref()
        .and_then(|outline| outline.offset_with(OUTSIDE_MM, EYE_MM).into_iter().next());
    if let Some(ring) = ring {
        drawing.add(Pen::Scissor, Mark::Path(to_sheet * ring.to_path()));
    }
    drawing
}

/// The line along the middle of a blank whose halves are alike: folded there, one print serves
/// both faces.
pub(super) fn fold_line(reckoning: &Reckoning, to_sheet: Affine) -> Drawing {
    let mut drawing = Drawing::new();
    if let Some(bounds) = reckoning.outline.as_ref().and_then(alike_halves) {
        let reach = OUTSIDE_MM + PAST_MM;
        let y = bounds.center().y;
        let (from, to) = (Point::new(bounds.x0 - reach, y), Point::new(bounds.x1 + reach, y));
        drawing.line(Pen::Centre, to_sheet * from, to_sheet * to);
        let at = to_sheet * Point::new(bounds.x0 + 0.25 * bounds.width(), y) + Vec2::new(0.0, 1.2);
        drawing.text(Pen::Lettering, Label::new("fold line", at, WORDS_MM));
    }
    drawing
}

/// An outline of more nodes than this is not looked at: each of its places is held against all of
/// it, and what has so many was not drawn in halves.
const MAX_ALIKE_NODES: usize = 400;

/// The box of an outline whose upper half is the image of its lower one.
fn alike_halves(outline: &Outline) -> Option<Rect> {
    if outline.segs().len() > MAX_ALIKE_NODES {
        return None;
    }
    let bounds = outline.bounds();
    let middle = 2.0 * bounds.center().y;
    let image = |p: Point| Point::new(p.x, middle - p.y);
    let mut places = outline
        .segs()
        .iter()
        .flat_map(|seg| (0..PLACES).map(move |k| seg.eval(f64::from(k) / f64::from(PLACES))));
    places.all(|p| outline.nearest(image(p)).distance_mm <= ALIKE_MM).then_some(bounds)
}

/// The blank as its other face shows it, for where a sheet has room for a second copy: none of a
/// blank that is folded, which serves both faces.
pub fn profile_other_face(knife: &Knife, reckoning: &Reckoning) -> Vec<Drawing> {
    let Some(outline) = &reckoning.outline else { return Vec::new() };
    if alike_halves(outline).is_some() {
        return Vec::new();
    }
    // Turned over along the blank, as it lies on the bar.
    let to_sheet = Affine::FLIP_Y * Affine::rotate(knife.bar.placement.turn_deg.to_radians());
    let mut drawing = Drawing::new();
    let mut add = |pen: Pen, path: kurbo::BezPath, part: PartId| {
        drawing.add_part(pen, Mark::Path(to_sheet * path), part);
    };
    if let Some(bevel) = &reckoning.bevel {
        bevel.grind.iter().for_each(|line| add(Pen::Bevel, line.clone(), PartId::GrindLine));
        if let Some(line) = bevel.plunge {
            add(Pen::Bevel, line.to_path(0.0), PartId::Plunge);
        }
    }
    if let Some(scales) = &reckoning.scales {
        add(Pen::Scale, scales.front_path(), PartId::Scales);
    }
    scallop_rims(reckoning).into_iter().for_each(|rim| add(Pen::Bevel, rim, PartId::Scales));
    add(Pen::Cut, outline.to_path(), PartId::Profile);
    let bounds = drawing.bounds().unwrap_or(Rect::ZERO);
    drawing.extend(scissor_line(reckoning, to_sheet));
    let at = Point::new(bounds.x0, bounds.y1 + OUTSIDE_MM + 2.5);
    let words = "The other face: the same blank mirrored";
    drawing.text(Pen::Lettering, Label::new(words, at, WORDS_MM).bold());
    vec![drawing]
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::STARTERS;
    use reckon::{Shop, reckon, tables::Tables};

    #[test]
    fn the_scissor_line_keeps_its_distance_and_the_copy_is_an_image() {
        for starter in STARTERS {
            let knife = starter.knife();
            let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
            let outline = reckoning.outline.as_ref().unwrap();
            let line = scissor_line(&reckoning, Affine::IDENTITY);
            let Mark::Path(path) = &line.items[0].mark else { panic!("no path") };
            for seg in path.segments() {
                let away = outline.nearest(seg.start()).distance_mm;
                assert!((away - OUTSIDE_MM).abs() < 2.0 * EYE_MM, "{}: {away}", starter.key);
            }
            let copies = profile_other_face(&knife, &reckoning);
            let cut = copies[0].items.iter().find(|item| item.pen == Pen::Cut).unwrap();
            let Mark::Path(path) = &cut.mark else { panic!("no path") };
            assert!((path.area() + outline.to_path().area()).abs() < 1e-6, "{}", starter.key);
        }
    }

    #[test]
    fn a_blank_of_like_halves_is_folded() {
        let mut path = kurbo::BezPath::new();
        path.move_to((0.0, 0.0));
        path.curve_to((30.0, -12.0), (120.0, -14.0), (180.0, -9.0));
        path.line_to((180.0, 9.0));
        path.curve_to((120.0, 14.0), (30.0, 12.0), (0.0, 0.0));
        path.close_path();
        assert!(alike_halves(&Outline::from_path(&path).unwrap()).is_some());
        path = Affine::skew(0.0, 0.02) * path;
        assert!(alike_halves(&Outline::from_path(&path).unwrap()).is_none());
    }
}
