//! Edits of the whole knife in its plane.

use super::{Edit, check, in_range, nodes};
use crate::{Anchor, Dimension, GrindLine, Knife, Refusal, limits};
use kurbo::{Affine, Point, Rect};

pub(super) fn change(edit: &Edit, knife: &mut Knife) -> Result<(), Refusal> {
    let outline = knife.profile.outline().map_err(|_fault| Refusal::NoOutline)?;
    let bounds = outline.bounds();
    let middle = bounds.center();
    let about_middle = |by: Affine| {
        Affine::translate(middle.to_vec2()) * by * Affine::translate(-middle.to_vec2())
    };
    let by = match edit {
        Edit::MirrorAcross => about_middle(Affine::FLIP_Y),
        Edit::MirrorAlong => about_middle(Affine::FLIP_X),
        Edit::Turn(degrees) => {
            in_range("a turn", *degrees, &limits::TURN_DEG)?;
            about_middle(Affine::rotate(degrees.to_radians()))
        }
        Edit::Shift(by) => Affine::translate(*by),
        Edit::ScaleToLength(length_mm) => {
            in_range("an overall length", *length_mm, &(5.0..=3000.0))?;
            if bounds.width() <= 0.0 {
                return Err(Refusal::NoOutline);
            }
            let by = length_mm / bounds.width();
            if let Some(bevel) = &mut knife.bevel {
                bevel.grind_height_mm *= by;
            }
            if let Some(swedge) = &mut knife.swedge {
                swedge.height_mm *= by;
            }
            Affine::scale_about(by, Point::new(bounds.x0, middle.y))
        }
        _ => return Ok(()),
    };
    transform(knife, by, bounds)
}

/// Carries everything that lies in the knife's plane along. Cross lines (plunge, scale front)
/// go where they cross the middle of the box. Faces, leans and angles belong to the knife, not to
/// the way it lies, and stay.
fn transform(knife: &mut Knife, by: Affine, bounds: Rect) -> Result<(), Refusal> {
    for node in &mut knife.profile.nodes {
        node.at = by * node.at;
        node.handle_in = node.handle_in.map(|p| by * p);
        node.handle_out = node.handle_out.map(|p| by * p);
    }
    nodes::check_coordinates(&knife.profile)?;
    for hole in &mut knife.holes {
        hole.at = by * hole.at;
        check::point(hole.at)?;
    }
    if let Some(picture) = &mut knife.picture {
        picture.placement = picture.placement.transformed(by);
        check::picture(picture)?;
    }
    for anchor in knife.dimensions.iter_mut().flat_map(Dimension::anchors_mut) {
        if let Anchor::Place(at) = anchor {
            *at = by * *at;
            check::point(*at)?;
        }
    }
    let cross = |x: &mut f64| {
        let at = by * Point::new(*x, bounds.center().y);
        *x = at.x;
        check::point(at)
    };
    if let Some(bevel) = &mut knife.bevel {
        cross(&mut bevel.plunge_x_mm)?;
    }
    if let GrindLine::Through(points) = &mut knife.grind_line {
        for p in points {
            *p = by * *p;
            check::point(*p)?;
        }
    }
    if let Some(taper) = &mut knife.taper {
        cross(&mut taper.from_x_mm)?;
    }
    if let Some(swedge) = &mut knife.swedge {
        cross(&mut swedge.from_x_mm)?;
    }
    if let Some(scales) = &mut knife.scales {
        cross(&mut scales.front_x_mm)?;
    }
    if let Some(jimping) = &mut knife.handle.jimping {
        cross(&mut jimping.from_x_mm)?;
        cross(&mut jimping.to_x_mm)?;
    }
    let places = &mut knife.handle.shaping.thickness;
    places.iter_mut().try_for_each(|place| cross(&mut place.x_mm))?;
    places.sort_by(|a, b| a.x_mm.total_cmp(&b.x_mm));
    Ok(())
}
