//! The final edge: what sharpening makes of the thickness that grinding left.

use crate::BevelFigures;
use crate::solid::{Face, shape};
use knife::{GroundSides, Knife};

/// The sharpened edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SharpeningFigures {
    /// Angle a side, degrees, as stated. On a blade ground on one side: of the ground face, from
    /// the flat one.
    pub angle_deg: f64,
    /// Thickness at the edge before sharpening, mm.
    pub edge_mm: f64,
    /// What sharpening cuts; `None` when its plane doesn't meet the bevel below the grind line.
    pub facet: Option<SharpenedFacet>,
}

/// The facet that sharpening cuts on a bevel until the flat of the edge is just gone.
///
/// The sharpening plane goes through the middle of the edge at angle b to the centre plane, or
/// through its corner on the flat face when one face alone is ground. The facet ends where that
/// plane meets the bevel. On a flat bevel at angle a, with the edge's thickness E on that side,
/// that is E/(tan b − tan a) up (both rise from the edge by their tangents: Machinery's Handbook,
/// solution of right triangles); on an arc it is where plane and circle meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SharpenedFacet {
    /// How far up the bevel's height it reaches, mm.
    pub height_mm: f64,
    /// Its width along itself, mm: height / cos b.
    pub width_mm: f64,
    /// Thickness of the blade where it ends, mm: 2 · height · tan b, or half of that when one face
    /// alone is ground.
    pub shoulder_mm: f64,
}

/// Works out the final edge; `None` as long as it isn't stated.
pub(crate) fn figures(knife: &Knife, bevel: &BevelFigures) -> Option<SharpeningFigures> {
    let (stated, ground) = (knife.sharpening?, knife.bevel?);
    let edge_mm = stated.edge_mm.unwrap_or(ground.edge_thickness_mm);
    let facet = facet(knife, bevel, edge_mm, stated.angle_deg);
    Some(SharpeningFigures { angle_deg: stated.angle_deg, edge_mm, facet })
}

/// What sharpening at an angle a side cuts of the bevel at the plunge line, whose edge is this
/// thick: thinned to another thickness than it was ground to, its angle or arc is taken anew.
/// `None` when the plane doesn't meet the bevel below the grind line.
pub(crate) fn facet(
    knife: &Knife,
    bevel: &BevelFigures,
    edge_mm: f64,
    angle_deg: f64,
) -> Option<SharpenedFacet> {
    let (face, faces) = face(knife, bevel, edge_mm)?;
    let height_mm = face.met_by_plane_mm(angle_deg)?;
    let (tan, cos) = (angle_deg.to_radians().tan(), angle_deg.to_radians().cos());
    Some(SharpenedFacet {
        height_mm,
        width_mm: height_mm / cos,
        shoulder_mm: faces * height_mm * tan,
    })
}

/// The angle of the plane through edge and grind line, degrees: a flatter one passes above a
/// bevel that is flat or bulges out.
pub(crate) fn flattest_deg(knife: &Knife, bevel: &BevelFigures) -> Option<f64> {
    let (face, _) = face(knife, bevel, 0.0)?;
    Some(face.stock_mm.atan2(face.height_mm).to_degrees())
}

/// The ground face at the plunge line with an edge of this thickness, told from the plane in which
/// the sharpened edge will lie; and how many faces are ground.
fn face(knife: &Knife, bevel: &BevelFigures, edge_mm: f64) -> Option<(Face, f64)> {
    let ground = knife.bevel?;
    let faces = if ground.sides == GroundSides::Both { 2.0 } else { 1.0 };
    let face = Face {
        shape: shape(ground.grind),
        edge_mm: edge_mm / faces,
        stock_mm: bevel.fall_mm + ground.edge_thickness_mm / faces,
        height_mm: bevel.height_mm,
    };
    Some((face, faces))
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
pub fn use_for_angle(angle_deg: f64) -> Option<&'static str> {
    let within = |usage: &&Use| (usage.bevel_deg.0..=usage.bevel_deg.1).contains(&angle_deg);
    USES.iter().find(within).map(|usage| usage.name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, reckoned};
    use knife::{Bevel, Grind, Sharpening};

    fn ground() -> Knife {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 20.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        knife
    }

    fn cut(knife: &Knife, edge_mm: f64, angle_deg: f64) -> SharpeningFigures {
        let mut knife = knife.clone();
        knife.sharpening = Some(Sharpening { angle_deg, edge_mm: Some(edge_mm) });
        reckoned(&knife).sharpening.unwrap()
    }

    /// A section cut by the sharpening plane, worked apart from the program: 0.5 mm of edge on a
    /// flat bevel of 4.5°, sharpened at 15°, gives a facet 1.367 mm wide, not e/(2 sin b) = 0.966.
    #[test]
    fn the_facet_goes_on_to_where_its_plane_meets_the_bevel() {
        let mut knife = ground();
        if let Some(bevel) = &mut knife.bevel {
            bevel.grind_height_mm = (3.175 - 0.5) / 2.0 / 4.5f64.to_radians().tan();
        }
        let facet = cut(&knife, 0.5, 15.0).facet.unwrap();
        assert!((facet.width_mm - 1.367_5).abs() < 5e-4, "{facet:?}");
        assert!((facet.shoulder_mm - 0.707_8).abs() < 5e-4, "{facet:?}");
    }

    /// The definition, term by term: height E/(tan b − tan a), width that over cos b, shoulder
    /// 2 · height · tan b; a is that of the bevel down to the thinned edge, not the stated one.
    #[test]
    fn a_thinned_edge_takes_the_bevels_angle_anew() {
        for (edge, angle) in [(0.508, 20.0), (0.254, 15.0), (0.635, 25.0), (0.0, 20.0)] {
            let facet = cut(&ground(), edge, angle).facet.unwrap();
            let (a, b) = (((3.175 - edge) / 40.0).atan(), f64::to_radians(angle));
            let height = edge / 2.0 / (b.tan() - a.tan());
            for (found, expected) in [
                (facet.height_mm, height),
                (facet.width_mm, height / b.cos()),
                (facet.shoulder_mm, 2.0 * height * b.tan()),
            ] {
                assert!((found - expected).abs() < 1e-12, "{found} {expected}");
            }
        }
        assert_eq!(cut(&ground(), 0.3, 4.0).facet, None, "flatter than the bevel itself");
    }

    /// One face ground alone: all of the edge lies on it, and its angle is that from the flat face.
    #[test]
    fn one_face_ground_alone_takes_the_whole_edge() {
        let mut knife = ground();
        knife.bevel = knife.bevel.map(|bevel| Bevel {
            sides: GroundSides::Left,
            grind_height_mm: 17.0,
            ..bevel
        });
        let facet = cut(&knife, 0.5, 20.0).facet.unwrap();
        let height = 0.5 / (20f64.to_radians().tan() - 2.675 / 17.0);
        assert!((facet.height_mm - height).abs() < 1e-12);
        assert!((facet.width_mm - 2.575).abs() < 1e-3, "{facet:?}");
        assert!((facet.shoulder_mm - height * 20f64.to_radians().tan()).abs() < 1e-12);
    }

    /// `tests/reference/sharpening.json`: sections laid out as polygons and cut by shapely, the
    /// place on an arc by scipy's root finder.
    #[test]
    fn every_shape_is_cut_where_shapely_and_scipy_say() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/sharpening.json");
        let message: serde_json::Value =
            serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let cases = message["cases"].as_array().unwrap();
        assert!(cases.len() >= 40);
        for case in cases {
            let n = |key: &str| case[key].as_f64().unwrap();
            let mut knife = ground();
            knife.bar.thickness_mm = n("stock_mm");
            knife.bevel = Some(Bevel {
                plunge_x_mm: 90.0,
                grind_height_mm: n("height_mm"),
                edge_thickness_mm: n("ground_edge_mm"),
                grind: match case["shape"].as_str().unwrap() {
                    "hollow" => Grind::Hollow(2.0 * n("radius_mm")),
                    "convex" => Grind::Convex(n("radius_mm")),
                    _ => Grind::Flat,
                },
                sides: if case["one_sided"] == true {
                    GroundSides::Right
                } else {
                    GroundSides::Both
                },
                ..Bevel::default()
            });
            let facet = cut(&knife, n("edge_mm"), n("angle_deg")).facet;
            match (facet, case["facet_height_mm"].as_f64()) {
                (Some(facet), Some(expected)) => {
                    assert!((facet.height_mm - expected).abs() < 1e-6, "{case} {facet:?}");
                    assert!((facet.width_mm - n("facet_width_mm")).abs() < 1e-6);
                    assert!((facet.shoulder_mm - n("shoulder_mm")).abs() < 1e-6);
                }
                (found, expected) => {
                    assert!(found.is_none() && expected.is_none(), "{case} {found:?}")
                }
            }
        }
    }

    /// The solid's own cross-section, looked at place by place up from the edge: the facet ends
    /// where its steel first lies within the sharpening plane.
    #[test]
    fn the_facet_is_what_the_plane_cuts_of_the_solid() {
        for grind in [Grind::Flat, Grind::Hollow(300.0), Grind::Convex(150.0)] {
            for sides in [GroundSides::Both, GroundSides::Left, GroundSides::Right] {
                let mut knife = ground();
                knife.bevel = knife.bevel.map(|bevel| Bevel { grind, sides, ..bevel });
                let facet = cut(&knife, 0.5, 22.0).facet.unwrap();
                let field = reckoned(&knife).field.unwrap();
                let tan = 22f64.to_radians().tan();
                let outside = |up: f64| {
                    let halves = field.half_thickness(kurbo::Point::new(50.0, -15.0 + up));
                    let from_plane = match sides {
                        GroundSides::Both => halves.left_mm,
                        _ => halves.thickness_mm(),
                    };
                    from_plane > up * tan
                };
                let up = (1..200_000).map(|i| f64::from(i) * 1e-4).find(|up| !outside(*up));
                assert!((up.unwrap() - facet.height_mm).abs() < 2e-4, "{grind:?} {sides:?} {up:?}");
            }
        }
    }

    #[test]
    fn bands_by_use_follow_one_another() {
        for pair in USES.windows(2) {
            assert!(pair[0].bevel_deg.1 <= pair[1].bevel_deg.0);
            assert!(pair[0].edge_mm.1 <= pair[1].edge_mm.0);
            assert!(pair[0].sharpening_deg.1 <= pair[1].sharpening_deg.0);
        }
        assert_eq!(use_for_angle(3.0), Some("field knife"));
        assert_eq!(use_for_angle(9.0), None);
    }
}
