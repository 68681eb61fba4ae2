//! The final edge: what sharpening makes of the thickness that grinding left.

use crate::BevelFigures;
use knife::{GroundSides, Knife};

/// The sharpened edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SharpeningFigures {
    /// Angle a side, degrees, as stated.
    pub angle_deg: f64,
    /// Thickness at the edge before sharpening, mm.
    pub edge_mm: f64,
    /// Height of the sharpened facet, mm, on a blade whose faces hardly widen: e/(2 tan b).
    pub facet_height_mm: f64,
    /// Width of that facet along itself, mm: e/(2 sin b).
    pub facet_width_mm: f64,
    /// Thickness where sharpened facet and bevel meet, mm, when it is sharpened until the flat
    /// of the edge is just gone: e·tan b/(tan b − tan a) with bevel angle a, sharpening angle b.
    /// `None` when the bevel is as steep as the sharpening: then there is no facet.
    pub shoulder_mm: Option<f64>,
}

/// Works out the final edge; `None` as long as it isn't stated.
///
/// Heights and widths are those of right triangles (Machinery's Handbook, solution of right
/// triangles). Ground and sharpened on one side, the whole thickness goes on one facet.
pub(crate) fn figures(knife: &Knife, bevel: &BevelFigures) -> Option<SharpeningFigures> {
    let (stated, ground) = (knife.sharpening?, knife.bevel?);
    let edge_mm = stated.edge_mm.unwrap_or(ground.edge_thickness_mm);
    let a_side_mm = if ground.sides == GroundSides::Both { edge_mm / 2.0 } else { edge_mm };
    let (sharp, face) = (stated.angle_deg.to_radians(), bevel.angle_deg.to_radians());
    let shoulder_mm = edge_mm * sharp.tan() / (sharp.tan() - face.tan());
    Some(SharpeningFigures {
        angle_deg: stated.angle_deg,
        edge_mm,
        facet_height_mm: a_side_mm / sharp.tan(),
        facet_width_mm: a_side_mm / sharp.sin(),
        shoulder_mm: (sharp > face).then_some(shoulder_mm),
    })
}

/// A use a blade is ground for, with the bands that are usual for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Use {
    /// Its name.
    pub name: &'static str,
    /// Angle a side of the bevel, degrees, from and to.
    pub bevel_deg: (f64, f64),
    /// Thickness at the edge before sharpening, mm, from and to.
    pub edge_mm: (f64, f64),
    /// Angle a side of the sharpening, degrees, from and to.
    pub sharpening_deg: (f64, f64),
}

/// Uses of a blade and what is usual for each (common practice, no source): a caution, no rule.
pub const USES: [Use; 3] = [
    Use {
        name: "slicer",
        bevel_deg: (1.0, 2.5),
        edge_mm: (0.13, 0.25),
        sharpening_deg: (12.0, 17.0),
    },
    Use {
        name: "field knife",
        bevel_deg: (2.5, 4.0),
        edge_mm: (0.25, 0.50),
        sharpening_deg: (17.0, 22.0),
    },
    Use {
        name: "chopper",
        bevel_deg: (4.0, 6.5),
        edge_mm: (0.50, 0.75),
        sharpening_deg: (22.0, 28.0),
    },
];

/// What a bevel of this angle a side is usual for; `None` outside all bands.
pub fn usual_for(angle_deg: f64) -> Option<&'static str> {
    let within = |usage: &&Use| (usage.bevel_deg.0..=usage.bevel_deg.1).contains(&angle_deg);
    USES.iter().find(within).map(|usage| usage.name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, reckoned};
    use knife::{Bevel, Sharpening};

    fn sharpened(edge_mm: f64, angle_deg: f64) -> SharpeningFigures {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 20.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        knife.sharpening = Some(Sharpening { angle_deg, edge_mm: Some(edge_mm) });
        reckoned(&knife).sharpening.unwrap()
    }

    /// Worked by the formulas of right triangles in Machinery's Handbook.
    #[test]
    fn the_facet_is_the_handbooks_triangle() {
        for (edge, angle, height, width) in [
            (0.508, 20.0, 0.697_859_3, 0.742_646_3),
            (0.254, 15.0, 0.473_970_5, 0.490_690_3),
            (0.635, 25.0, 0.680_880_9, 0.751_269_0),
        ] {
            let found = sharpened(edge, angle);
            assert!((found.facet_height_mm - height).abs() < 5e-8);
            assert!((found.facet_width_mm - width).abs() < 5e-8);
        }
    }

    /// At the shoulder both facet and bevel are as thick: e + 2y tan a = 2y tan b.
    #[test]
    fn the_shoulder_is_where_facet_and_bevel_meet() {
        let found = sharpened(0.3, 18.0);
        let (a, b) = (((3.175 - 0.5) / 40.0f64).atan(), 18f64.to_radians());
        let shoulder = found.shoulder_mm.unwrap();
        let up = shoulder / (2.0 * b.tan());
        assert!((0.3 + 2.0 * up * a.tan() - shoulder).abs() < 1e-12);
        assert_eq!(sharpened(0.3, 5.0).shoulder_mm.is_some(), a < 5f64.to_radians());
    }

    #[test]
    fn bands_by_use_follow_one_another() {
        for pair in USES.windows(2) {
            assert!(pair[0].bevel_deg.1 <= pair[1].bevel_deg.0);
            assert!(pair[0].edge_mm.1 <= pair[1].edge_mm.0);
            assert!(pair[0].sharpening_deg.1 <= pair[1].sharpening_deg.0);
        }
        assert_eq!(usual_for(3.0), Some("field knife"));
        assert_eq!(usual_for(9.0), None);
    }
}
