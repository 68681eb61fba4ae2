//! The solid of a knife, from what its maker decided.

use super::taper;
use super::{BevelSurface, FaceShape, Field, Plunge, Sides, Top};
use crate::{BevelFigures, ProfileFigures, SwedgeFigures};
use knife::{Grind, GrindLine, GroundSides, Knife};
use kurbo::{Point, Vec2};
use outline::Polyline;

/// How near the swedge's spine is followed, mm.
const SPINE_MM: f64 = 1e-4;
/// How near the lines at which the slope breaks are followed, mm.
const KINK_MM: f64 = 1e-2;

impl Field {
    /// The solid of a knife: its bar's thickness less taper, bevels and swedge, as far as they
    /// are decided.
    pub fn of(
        knife: &Knife,
        profile: &ProfileFigures,
        bevel: Option<&BevelFigures>,
        swedge: Option<&SwedgeFigures>,
    ) -> Self {
        let bevel = bevel.and_then(|bevel| bevelled(knife, bevel));
        let swedge = swedge.and_then(|swedge| swedged(knife, profile, swedge));
        Self {
            stock_mm: knife.bar.thickness_mm,
            taper: taper(knife, profile),
            bevels: bevel.into_iter().chain(swedge).collect(),
        }
    }
}

/// The shape that a grind leaves.
pub(crate) fn shape(grind: Grind) -> FaceShape {
    match grind {
        Grind::Flat => FaceShape::Flat,
        Grind::Hollow(wheel_mm) => FaceShape::Hollow(wheel_mm / 2.0),
        Grind::Convex(radius_mm) => FaceShape::Convex(radius_mm),
    }
}

fn bevelled(knife: &Knife, bevel: &BevelFigures) -> Option<BevelSurface> {
    let stated = knife.bevel?;
    let top = match &knife.grind_line {
        GrindLine::Height => Top::Height(stated.grind_height_mm),
        GrindLine::Spine | GrindLine::Through(_) => Top::Line(bevel.custom_line.clone()?),
    };
    Some(BevelSurface {
        from: bevel.edge.clone()?,
        top,
        shape: shape(stated.grind),
        edge_mm: stated.edge_thickness_mm,
        sides: match stated.sides {
            GroundSides::Both => Sides::Both,
            GroundSides::Left => Sides::Left,
            GroundSides::Right => Sides::Right,
        },
        plunge: Some(Plunge {
            at: bevel.plunge_frame.foot,
            ahead: bevel.plunge_frame.ahead,
            file_radius_mm: stated.plunge_file_mm / 2.0,
        }),
        kinks: bevel.grind.iter().filter_map(|line| Polyline::from_path(line, KINK_MM)).collect(),
    })
}

fn swedged(
    knife: &Knife,
    profile: &ProfileFigures,
    swedge: &SwedgeFigures,
) -> Option<BevelSurface> {
    let stated = knife.swedge?;
    Some(BevelSurface {
        from: Polyline::new(&swedge.spine, SPINE_MM)?,
        top: Top::Height(stated.height_mm),
        shape: FaceShape::Flat,
        edge_mm: stated.thickness_mm,
        sides: Sides::Both,
        plunge: Some(Plunge {
            at: Point::new(stated.from_x_mm, profile.bounds.center().y),
            ahead: Vec2::new(-profile.towards_butt, 0.0),
            file_radius_mm: 0.0,
        }),
        kinks: swedge.grind.iter().filter_map(|line| Polyline::from_path(line, KINK_MM)).collect(),
    })
}
