//! Setting the sharpening angle at the stone: how high the spine stands, how far a stone is raised.

use crate::SharpeningFigures;
use crate::context::FigureContext;
use crate::intervals::spans;
use crate::sharpening;
use knife::GroundSides;
use kurbo::Point;

/// Angles a side that are told as long as none is stated, degrees.
const ANGLES_DEG: [f64; 5] = [15.0, 17.5, 20.0, 22.5, 25.0];
/// The spine's thickness is taken so far inside the outline, mm.
const INSIDE_MM: f64 = 1e-6;

/// One angle at the stone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StoneStep {
    /// Angle a side, degrees; of the ground face from the flat one when one face alone is ground.
    pub angle_deg: f64,
    /// Height of the spine's lower corner over the stone, mm: w·sin b − z·cos b with the blade's
    /// width w and z from the centre plane (from the flat face, when one face alone is ground) to
    /// the ground face on the spine. `None` when the blade is too narrow for the angle.
    pub spine_mm: Option<f64>,
    /// How far one end of the stone is raised for a level blade, mm: L·sin b.
    pub raise_mm: Option<f64>,
    /// Width of the sharpened facet, mm, as in [`crate::SharpenedFacet`]; `None` when the plane
    /// doesn't meet the bevel.
    pub facet_mm: Option<f64>,
}

/// Setting the angle at the stone.
#[derive(Clone, Debug, PartialEq)]
pub struct StoneFigures {
    /// Where the blade's width is taken, x in mm: half a millimetre ahead of the heel, or of the
    /// plunge line where that lies nearer to the tip.
    pub at_x_mm: f64,
    /// Its width there, mm.
    pub width_mm: f64,
    /// Its thickness at the spine there, taper, bevels and swedge taken off, mm. What the plunge's
    /// file leaves standing is not counted.
    pub thickness_mm: f64,
    /// The angle that is stated, or some to choose from.
    pub steps: Vec<StoneStep>,
}

pub(super) fn figures(
    ctx: &FigureContext<'_>,
    sharpening: Option<&SharpeningFigures>,
    stone_mm: Option<f64>,
) -> Option<StoneFigures> {
    let FigureContext { knife, outline, profile, field, .. } = *ctx;
    let heel = knife.profile.heel.and_then(|id| knife.profile.node(id)).map(|node| node.at.x);
    let plunge = knife.bevel.map(|bevel| bevel.plunge_x_mm);
    // The heel, or the plunge where it lies nearer to the tip: the blade is whole there.
    let ahead = |a: f64, b: f64| if (a - b) * profile.towards_butt < 0.0 { a } else { b };
    let whole_x_mm = match (heel, plunge) {
        (Some(heel), Some(plunge)) => ahead(heel, plunge),
        (one, other) => one.or(other)?,
    };
    let at_x_mm = whole_x_mm - profile.towards_butt * 0.5;
    let spans = spans(outline, at_x_mm);
    let (low, high) = (spans.first()?.0, spans.last()?.1);
    let width_mm = high - low;
    let spine = if profile.edge_is_up { low + INSIDE_MM } else { high - INSIDE_MM };
    let halves = field.half_thickness_ignoring_plunge_file(Point::new(at_x_mm, spine));
    let to_flat_mm = field.stock_at(at_x_mm) / 2.0;
    let off_mm = match knife.bevel.map_or(GroundSides::Both, |bevel| bevel.sides) {
        GroundSides::Both => halves.left_mm,
        GroundSides::Left => halves.left_mm + to_flat_mm,
        GroundSides::Right => halves.right_mm + to_flat_mm,
    };
    let edge_mm =
        sharpening.map(|s| s.edge_mm).or(knife.bevel.map(|bevel| bevel.edge_thickness_mm));
    let facet = |angle_deg| sharpening::facet(knife, ctx.bevel?, edge_mm?, angle_deg);
    let step = |angle_deg: f64| {
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        let spine_mm = width_mm * sin - off_mm * cos;
        StoneStep {
            angle_deg,
            spine_mm: (spine_mm > 0.0).then_some(spine_mm),
            raise_mm: stone_mm.map(|long| long * sin),
            facet_mm: facet(angle_deg).map(|facet| facet.width_mm),
        }
    };
    let steps = match knife.sharpening {
        Some(stated) => vec![step(stated.angle_deg)],
        None => ANGLES_DEG.map(step).to_vec(),
    };
    Some(StoneFigures { at_x_mm, width_mm, thickness_mm: halves.thickness_mm(), steps })
}

#[cfg(test)]
mod tests {
    use crate::sample::{blank, reckoned};
    use crate::section_at;
    use knife::{Bevel, GroundSides, Knife, Sharpening, Swedge, Taper};

    /// The blank, 30 mm wide and 3.175 thick, ground up to 20 mm.
    fn ground() -> Knife {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 20.0,
            edge_thickness_mm: 0.508,
            ..Bevel::default()
        });
        knife.sharpening = Some(Sharpening { angle_deg: 30.0, edge_mm: None });
        knife
    }

    /// Machinery's Handbook, solution of right triangles: a 200 mm stone at 30° is raised by half
    /// its length; a blade 30 mm wide and 3.175 thick at 30° has its spine's middle 15 mm up, and
    /// the lower corner by 1.5875·cos 30° less.
    #[test]
    fn heights_are_those_of_right_triangles() {
        let stone = reckoned(&ground()).heat.stone.unwrap();
        assert_eq!((stone.width_mm, stone.steps.len()), (30.0, 1));
        assert!((stone.steps[0].raise_mm.unwrap() - 100.0).abs() < 1e-9);
        let expected = 15.0 - 1.5875 * 0.75_f64.sqrt();
        assert!((stone.steps[0].spine_mm.unwrap() - expected).abs() < 1e-9);
    }

    /// One knife, one facet: what is told of the final edge is told at the stone.
    #[test]
    fn the_facet_is_that_of_the_final_edge() {
        for sides in [GroundSides::Both, GroundSides::Left, GroundSides::Right] {
            let mut knife = ground();
            knife.bevel = knife.bevel.map(|bevel| Bevel { sides, ..bevel });
            let reckoning = reckoned(&knife);
            let message = reckoning.sharpening.unwrap().facet.unwrap().width_mm;
            assert_eq!(reckoning.heat.stone.unwrap().steps[0].facet_mm, Some(message));
            knife.sharpening = None;
            for step in reckoned(&knife).heat.stone.unwrap().steps {
                knife.sharpening = Some(Sharpening { angle_deg: step.angle_deg, edge_mm: None });
                let facet = reckoned(&knife).sharpening.unwrap().facet;
                assert_eq!(step.facet_mm, facet.map(|facet| facet.width_mm));
            }
        }
    }

    /// The block under the spine: a stone laid in the sharpening plane beneath the solid's own
    /// section; one face ground alone is turned about the edge's corner on the flat face, and
    /// taper, swedge and a bevel that runs out on the spine leave it thinner there.
    #[test]
    fn the_block_is_what_lies_under_the_solids_own_corner() {
        let taper = Some(Taper { from_x_mm: 200.0, tip_mm: 2.0 });
        let swedge = Some(Swedge { from_x_mm: 95.0, height_mm: 6.0, thickness_mm: 1.0 });
        for (taper, swedge) in [(None, None), (taper, None), (None, swedge), (taper, swedge)] {
            for (sides, height) in [
                (GroundSides::Both, 20.0),
                (GroundSides::Left, 17.0),
                (GroundSides::Right, 40.0),
                (GroundSides::Both, 40.0),
            ] {
                let mut knife = ground();
                (knife.taper, knife.swedge) = (taper, swedge);
                knife.bevel =
                    knife.bevel.map(|bevel| Bevel { sides, grind_height_mm: height, ..bevel });
                let reckoning = reckoned(&knife);
                let stone = reckoning.heat.stone.clone().unwrap();
                let section = section_at(&knife, &reckoning, stone.at_x_mm).unwrap();
                let top = *section.steel.last().unwrap().offsets.last().unwrap();
                let half = section.stock_mm / 2.0;
                // Places of the section as (up, out) about the line that rests on the stone.
                let out = match sides {
                    GroundSides::Both => top.left_mm,
                    GroundSides::Left => top.left_mm + half,
                    GroundSides::Right => top.right_mm + half,
                };
                let (sin, cos) = 30f64.to_radians().sin_cos();
                let expected = (top.y_mm + 15.0) * sin - out * cos;
                let found = stone.steps[0].spine_mm.unwrap();
                assert!((found - expected).abs() < 1e-4, "{sides:?} {height}: {found} {expected}");
                assert!((stone.thickness_mm - top.thickness_mm()).abs() < 1e-4);
            }
        }
    }

    /// By hand: one face ground alone, 23.48 mm of blade at 20°; half the bar's thickness under
    /// the spine, 6.54 mm, would set 23.7°.
    #[test]
    fn one_face_ground_alone_stands_on_its_own_corner() {
        let mut knife = ground();
        for node in &mut knife.profile.nodes {
            node.at.y *= 23.48 / 30.0;
        }
        let sides = GroundSides::Left;
        knife.bevel = knife.bevel.map(|bevel| Bevel { sides, grind_height_mm: 17.0, ..bevel });
        knife.sharpening = Some(Sharpening { angle_deg: 20.0, edge_mm: None });
        let stone = reckoned(&knife).heat.stone.unwrap();
        assert!((stone.steps[0].spine_mm.unwrap() - 5.047).abs() < 1e-3, "{stone:?}");
    }
}
