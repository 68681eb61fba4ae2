//! A knife as a small picture: its outline and what lies on it, without bar or figures.

use crate::{Drawing, Mark, Pen};
use knife::{Knife, PartId};
use reckon::Reckoning;

/// The knife on its own, in its own plane: scales, bevels, holes and outline, no lettering. The
/// caller fits it by [`Drawing::bounds`]. Empty when there is no outline.
pub fn starter_picture(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(outline) = &reckoning.outline else { return drawing };
    if let Some(scales) = &reckoning.scales {
        let path = scales.outline.to_path();
        drawing.add_part(Pen::Scale, Mark::Path(path), PartId::Scales);
    }
    if let Some(bevel) = &reckoning.bevel {
        for piece in &bevel.grind {
            drawing.add_part(Pen::Bevel, Mark::Path(piece.clone()), PartId::GrindLine);
        }
        if let Some(line) = bevel.plunge {
            drawing.add_part(Pen::Bevel, line.into(), PartId::Plunge);
        }
    }
    for hole in &knife.holes {
        drawing.add_part(Pen::Hole, Mark::Circle(hole.circle()), PartId::Hole(hole.id));
    }
    drawing.add_part(Pen::Cut, Mark::Path(outline.to_path()), PartId::Profile);
    drawing
}

#[cfg(test)]
mod tests {
    use super::*;
    use reckon::{Shop, reckon, tables::Tables};

    #[test]
    fn every_starter_has_a_picture_as_large_as_its_outline() {
        for starter in knife::STARTERS {
            let knife = starter.knife();
            let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
            let picture = starter_picture(&knife, &reckoning);
            let wanted = knife.profile.outline().unwrap().bounds();
            let found = picture.bounds().unwrap();
            let corners = |r: kurbo::Rect| [r.x0, r.y0, r.x1, r.y1];
            for (a, b) in corners(wanted).iter().zip(corners(found)) {
                assert!((a - b).abs() < 0.01, "{} {wanted:?} {found:?}", starter.key);
            }
            let holes = picture.items.iter().filter(|item| item.pen == Pen::Hole).count();
            assert_eq!(holes, knife.holes.len());
        }
    }

    #[test]
    fn nothing_is_drawn_of_nothing() {
        let knife = Knife::empty();
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        assert!(starter_picture(&knife, &reckoning).items.is_empty());
    }
}
