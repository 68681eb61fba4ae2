//! The swedge, or false edge, on the spine.

use crate::bevel::{beside, inner_side};
use crate::{ProfileFigures, grind_line};
use knife::Knife;
use kurbo::{BezPath, PathSeg};
use outline::Outline;

/// A swedge as it lies on the blade.
#[derive(Clone, Debug, PartialEq)]
pub struct SwedgeFigures {
    /// The spine from the tip back to its end.
    pub spine: Vec<PathSeg>,
    /// Its grind line, parallel to the spine; several pieces where the blade is lower.
    pub grind: Vec<BezPath>,
    /// Angle a side, degrees: atan((t − s) / 2h) with stock t and thickness s left on the spine.
    pub angle_deg: f64,
}

/// Works out where the swedge lies; `None` without one, or without a marked tip and heel.
pub(crate) fn figures(
    knife: &Knife,
    outline: &Outline,
    profile: &ProfileFigures,
) -> Option<SwedgeFigures> {
    let stated = knife.swedge?;
    let spine = grind_line::spine(profile, stated.from_x_mm);
    if spine.is_empty() {
        return None;
    }
    let ahead = |x_mm: f64| (stated.from_x_mm - x_mm) * profile.towards_butt >= -1e-9;
    let off_mm = inner_side(&spine, outline) * stated.height_mm;
    let grind = beside(&spine, off_mm, &|p| ahead(p.x) && outline.contains(p));
    let rise_mm = (knife.bar.thickness_mm - stated.thickness_mm) / 2.0;
    let angle_deg = rise_mm.atan2(stated.height_mm).to_degrees();
    Some(SwedgeFigures { spine, grind, angle_deg })
}

#[cfg(test)]
mod tests {
    use crate::sample::{blank, reckoned};
    use knife::{Edit, Swedge};
    use kurbo::Shape as _;

    /// The sample blank's spine runs from the tip up its end and on at y = 15.
    #[test]
    fn its_line_is_the_spines_parallel_ahead_of_its_end() {
        let mut knife = blank();
        let swedge = Swedge { from_x_mm: 60.0, height_mm: 5.0, thickness_mm: 1.0 };
        knife.swedge = Some(swedge);
        let reckoning = reckoned(&knife);
        let found = reckoning.swedge.unwrap();
        assert_eq!(found.grind.len(), 1);
        let bounds = found.grind[0].bounding_box();
        assert!((bounds.y1 - 10.0).abs() < 1e-6 && (bounds.x1 - 60.0).abs() < 1e-6, "{bounds:?}");
        // atan(2.175 / 10), by hand.
        assert!((found.angle_deg - (2.175f64 / 10.0).atan().to_degrees()).abs() < 1e-12);
        // What it takes off, along 60 − 5 mm of spine and round the corner: by hand between the
        // triangles of the outer and the inner length.
        let gone = |knife| {
            let mass = reckoned(knife).mass.unwrap();
            mass.flat_mm3 - mass.ground_mm3
        };
        let (lost, triangle) = (gone(&knife), 5.0 * 2.175 / 2.0);
        assert!(lost > triangle * (55.0 + 25.0) && lost < triangle * (60.0 + 30.0), "{lost}");
        let other = Edit::MirrorAcross.apply(&Edit::MirrorAlong.apply(&knife).unwrap()).unwrap();
        assert!((gone(&other) - lost).abs() < 1e-3);
    }
}
