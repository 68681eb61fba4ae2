//! Setting the sharpening angle at the stone: how high the spine stands, how far a stone is raised.

use crate::across::spans;
use crate::{ProfileFigures, SharpeningFigures};
use knife::Knife;
use outline::Outline;

/// Angles a side that are told as long as none is stated, degrees.
const ANGLES_DEG: [f64; 5] = [15.0, 17.5, 20.0, 22.5, 25.0];

/// One angle at the stone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StoneStep {
    /// Angle a side, degrees.
    pub angle_deg: f64,
    /// Height of the spine's lower corner over the stone, mm: w·sin b − t/2·cos b with the blade's
    /// width w and thickness t there. `None` when the blade is too narrow for the angle.
    pub spine_mm: Option<f64>,
    /// How far one end of the stone is raised for a level blade, mm: L·sin b.
    pub raise_mm: Option<f64>,
    /// Width of the sharpened facet, mm: e/(2 sin b) with the edge's thickness e.
    pub facet_mm: Option<f64>,
}

/// Setting the angle at the stone.
#[derive(Clone, Debug, PartialEq)]
pub struct StoneFigures {
    /// Where the blade's width is taken, x in mm.
    pub at_x_mm: f64,
    /// Its width there, mm.
    pub width_mm: f64,
    /// Its thickness at the spine there, mm.
    pub thickness_mm: f64,
    /// The angle that is stated, or some to choose from.
    pub steps: Vec<StoneStep>,
}

pub(super) fn figures(
    knife: &Knife,
    outline: &Outline,
    profile: &ProfileFigures,
    sharpening: Option<&SharpeningFigures>,
    stone_mm: Option<f64>,
) -> Option<StoneFigures> {
    let heel = knife.profile.heel.and_then(|id| knife.profile.node(id)).map(|node| node.at.x);
    let plunge = knife.bevel.map(|bevel| bevel.plunge_x_mm);
    // The heel, or the plunge where it lies nearer to the tip: the blade is whole there.
    let ahead = |a: f64, b: f64| if (a - b) * profile.towards_butt < 0.0 { a } else { b };
    let at_x_mm = match (heel, plunge) {
        (Some(heel), Some(plunge)) => ahead(heel, plunge),
        (one, other) => one.or(other)?,
    };
    let inside = at_x_mm - profile.towards_butt * 0.5;
    let spans = spans(outline, inside);
    let width_mm = spans.last()?.1 - spans.first()?.0;
    let thickness_mm = knife.bar.thickness_mm;
    let edge_mm =
        sharpening.map(|s| s.edge_mm).or(knife.bevel.map(|bevel| bevel.edge_thickness_mm));
    let step = |angle_deg: f64| {
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        let spine_mm = width_mm * sin - thickness_mm / 2.0 * cos;
        StoneStep {
            angle_deg,
            spine_mm: (spine_mm > 0.0).then_some(spine_mm),
            raise_mm: stone_mm.map(|long| long * sin),
            facet_mm: edge_mm.map(|edge| edge / (2.0 * sin)).filter(|mm| mm.is_finite()),
        }
    };
    let steps = match knife.sharpening {
        Some(stated) => vec![step(stated.angle_deg)],
        None => ANGLES_DEG.map(step).to_vec(),
    };
    Some(StoneFigures { at_x_mm, width_mm, thickness_mm, steps })
}

#[cfg(test)]
mod tests {
    use crate::sample::{blank, reckoned};
    use knife::{Bevel, Sharpening};

    /// Machinery's Handbook, solution of right triangles: edge 0.508 mm at 20° a side leaves a facet
    /// 0.7426463 mm wide; a 200 mm stone at 30° is raised by half its length; a blade 30 mm wide
    /// and 3.175 thick at 30° has its spine's middle 15 mm up, and the lower corner by
    /// 1.5875·cos 30° less.
    #[test]
    fn heights_are_those_of_right_triangles() {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 20.0,
            edge_thickness_mm: 0.508,
            ..Bevel::default()
        });
        knife.sharpening = Some(Sharpening { angle_deg: 30.0, edge_mm: None });
        let stone = reckoned(&knife).heat.stone.unwrap();
        assert_eq!((stone.width_mm, stone.steps.len()), (30.0, 1));
        assert!((stone.steps[0].raise_mm.unwrap() - 100.0).abs() < 1e-9);
        let wanted = 15.0 - 1.5875 * 0.75_f64.sqrt();
        assert!((stone.steps[0].spine_mm.unwrap() - wanted).abs() < 1e-9);
        knife.sharpening = None;
        let stone = reckoned(&knife).heat.stone.unwrap();
        let twenty = stone.steps.iter().find(|step| step.angle_deg == 20.0).unwrap();
        assert!((twenty.facet_mm.unwrap() - 0.742_646_3).abs() < 1e-7);
    }
}
