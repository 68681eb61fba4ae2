//! The solid of a knife, from what its maker decided.

use super::{Field, Ground, Plunge, Shape, Sides, Top};
use crate::{BevelFigures, ProfileFigures};
use knife::Knife;
use kurbo::{Line, ParamCurve, PathSeg, Point, Vec2};
use outline::Run;

/// How near the edge's curve is followed, mm.
const EDGE_MM: f64 = 1e-4;
/// How near the lines at which the slope breaks are followed, mm.
const KINK_MM: f64 = 1e-2;

impl Field {
    /// The solid of a knife: its bar's thickness, with flat bevels alike on both faces up to a
    /// plunge square to the knife's length, as far as they are decided.
    pub fn of(knife: &Knife, profile: &ProfileFigures, bevel: Option<&BevelFigures>) -> Self {
        let grounds = bevel.and_then(|bevel| ground(knife, profile, bevel)).into_iter().collect();
        Self { stock_mm: knife.bar.thickness_mm, taper: None, grounds }
    }
}

fn ground(knife: &Knife, profile: &ProfileFigures, bevel: &BevelFigures) -> Option<Ground> {
    let stated = knife.bevel?;
    Some(Ground {
        from: edge_run(profile, stated.plunge_x_mm)?,
        top: Top::Height(stated.grind_height_mm),
        shape: Shape::Flat,
        edge_mm: stated.edge_thickness_mm,
        sides: Sides::Both,
        plunge: Some(Plunge {
            at: Point::new(stated.plunge_x_mm, 0.0),
            ahead: Vec2::new(-profile.towards_butt, 0.0),
            file_radius_mm: 0.0,
        }),
        kinks: bevel.grind.iter().filter_map(|line| Run::along(line, KINK_MM)).collect(),
    })
}

/// The edge's curve from the tip, run on straight from the heel to the plunge line.
pub(crate) fn edge_run(profile: &ProfileFigures, plunge_x_mm: f64) -> Option<Run> {
    let edge = &profile.edge.as_ref()?.segs;
    let mut segs = edge.clone();
    segs.extend(run_on(edge, plunge_x_mm));
    Run::new(&segs, EDGE_MM)
}

/// From the heel straight on to the plunge line, where the edge ends before it.
fn run_on(edge: &[PathSeg], plunge_x_mm: f64) -> Option<PathSeg> {
    let last = edge.last()?;
    let (heel, way) = (last.end(), last.end() - last.eval(0.99));
    let ahead_mm = plunge_x_mm - heel.x;
    let along = ahead_mm / way.x;
    (ahead_mm * way.x > 0.0 && along.is_finite())
        .then(|| PathSeg::Line(Line::new(heel, heel + way * along)))
}
