//! The scales' outline in the knife's plane.

use crate::ProfileFigures;
use knife::Scales;
use kurbo::{Point, Vec2};
use outline::Outline;

/// The scales as they lie on the tang.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleFigures {
    /// The outline of one scale, flush with the tang.
    pub outline: Outline,
    /// Its area, mm².
    pub area_mm2: f64,
    /// Its length along x, mm.
    pub length_mm: f64,
}

/// The part of the blank behind the front line; `None` when nothing lies there.
pub(crate) fn figures(
    scales: &Scales,
    outline: &Outline,
    profile: &ProfileFigures,
) -> Option<ScaleFigures> {
    let front = Point::new(scales.front_x_mm, 0.0);
    let outline = outline.clipped(front, Vec2::new(profile.towards_butt, 0.0))?;
    let (area_mm2, length_mm) = (outline.area(), outline.bounds().width());
    Some(ScaleFigures { outline, area_mm2, length_mm })
}
