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

#[cfg(test)]
mod tests {
    use crate::sample::{blank, reckoned};
    use knife::{Edit, Scales};

    #[test]
    fn the_scales_are_what_lies_behind_the_front_line() {
        let mut knife = blank();
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.35 });
        let scales = reckoned(&knife).scales.unwrap();
        assert!((scales.area_mm2 - 80.0 * 30.0).abs() < 1e-9);
        assert!((scales.length_mm - 80.0).abs() < 1e-9);
        let mirrored = Edit::MirrorAlong.apply(&knife).unwrap();
        assert!((reckoned(&mirrored).scales.unwrap().area_mm2 - 2400.0).abs() < 1e-9);
        knife.scales = Some(Scales { front_x_mm: 220.0, thickness_mm: 6.35 });
        assert!(reckoned(&knife).scales.is_none());
    }
}
