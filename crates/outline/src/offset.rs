//! The true offset of a closed outline: every point at a given distance, crossings removed.

mod bend;
mod bounds;
mod chain;
mod flat;
mod flatten;
mod frame;
mod hairs;
mod joint;
mod open;
mod overlay;
mod raw;
mod strip;
mod thread;
mod tidy;
mod tips;
mod trim;

use kurbo::{ParamCurveArea, PathSeg, Shape};

use crate::Outline;
use chain::{Chain, GridPoint};
use flatten::{Chord, chords_along};
use frame::Frame;
use hairs::{Finder, Zones};
use raw::Raw;
use trim::Judge;

pub use open::open_offset;

/// The tolerance of [`Outline::offset`], in millimetres: no point of the result lies further
/// from the true offset curve than this (and a rounding far below it).
///
/// A scriber's line is about 0.1 mm wide and what is asked of an offset here is 0.005 mm;
/// 0.002 mm leaves room for whatever is done with the result afterwards.
pub const OFFSET_TOLERANCE_MM: f64 = 0.002;

/// Distances outward beyond this are taken as this, in millimetres.
pub const FURTHEST_OFFSET_MM: f64 = 1e6;

/// The finest tolerance that is honoured, in millimetres. Inside bends tighter than the
/// distance every chord's strip crosses every other's, so that time grows as fast as the
/// tolerance shrinks; this keeps it within reason.
const FINEST_TOLERANCE_MM: f64 = 5e-4;

impl Outline {
    /// The curve at a distance from this outline, outward if positive and inward if negative,
    /// whichever way the outline turns, at the tolerance [`OFFSET_TOLERANCE_MM`].
    ///
    /// See [`Outline::offset_with`].
    #[must_use]
    pub fn offset(&self, distance_mm: f64) -> Vec<Self> {
        self.offset_with(distance_mm, OFFSET_TOLERANCE_MM)
    }

    /// The boundary of everything within `distance_mm` of the region the outline encloses
    /// (outward), or of the part of that region further than `-distance_mm` from the outline
    /// (inward, negative). Corners are rounded where they stand out towards the offset side.
    ///
    /// The rings come largest first. Those that bound material from outside run
    /// counter-clockwise, those around a void clockwise: a bay closed by an outward offset
    /// leaves such a void. Inward, the result may fall apart into several rings or be empty.
    ///
    /// The rings are polygons whose corners lie on the true curve and whose sides stay within
    /// `tolerance_mm` of it, give or take a few hundredths of the tolerance. A tolerance below 5e-4 mm is taken as that; it is also no finer
    /// than about 8e-9 of the outline's size, which is the grid the
    /// crossings are worked out on. A tolerance that is no number means the house's own.
    ///
    /// An outline that crosses itself stands for the region around which it winds at all
    /// (non-zero rule); one that encloses nothing has no offset. At distance 0 a plain outline
    /// comes back with its curves, counter-clockwise and without segments of no length; one
    /// that touches or crosses itself comes back as the polygons of its region.
    /// A distance that is not a number gives no rings, as there is no such curve; outward
    /// distances are capped at [`FURTHEST_OFFSET_MM`].
    #[must_use]
    pub fn offset_with(&self, distance_mm: f64, tolerance_mm: f64) -> Vec<Self> {
        if distance_mm.is_nan() {
            return Vec::new();
        }
        let distance_mm = distance_mm.min(FURTHEST_OFFSET_MM);
        let Some(frame) = Frame::around(self.segs(), distance_mm) else {
            return Vec::new();
        };
        let distance = distance_mm * frame.per_mm();
        let tolerance = frame.tolerance(tolerance_mm);
        if distance_mm != 0.0
            && let Some(rings) = quick(self, &frame, distance, tolerance)
        {
            return frame.outlines(rings);
        }
        let mut segs = frame.to_grid(self.segs());
        if segs.iter().map(ParamCurveArea::signed_area).sum::<f64>() < 0.0 {
            segs = segs.iter().rev().map(PathSeg::reverse).collect();
        }
        let chords = chords_along(&segs, distance, tolerance);
        if is_plain(&chords) {
            if distance_mm == 0.0 {
                return vec![self.cleaned()];
            }
            return frame.outlines(overlay::positive(&[strip::ring(&chords, distance, tolerance)]));
        }
        // A ring that meets itself: first the region it encloses, as polygons on half the
        // tolerance, then their offset on the other half.
        let half = tolerance / 2.0;
        let corners: Vec<_> = chords_along(&segs, 0.0, half).iter().map(|c| c.a).collect();
        let region = overlay::non_zero(&corners);
        if distance_mm == 0.0 {
            return frame.outlines(region);
        }
        let raw: Vec<_> =
            region.iter().map(|ring| strip::ring(&Chord::polygon(ring), distance, half)).collect();
        frame.outlines(overlay::positive(&raw))
    }

    /// The same curves, counter-clockwise, without segments that go nowhere.
    fn cleaned(&self) -> Self {
        let kept: Vec<_> = self
            .segs()
            .iter()
            .filter(|seg| {
                seg.bounding_box() != kurbo::Rect::from_points(seg_start(seg), seg_start(seg))
            })
            .copied()
            .collect();
        let plain = Self::new(kept).unwrap_or_else(|_| self.clone());
        let area: f64 = plain.segs().iter().map(ParamCurveArea::signed_area).sum();
        if area < 0.0 { plain.reversed() } else { plain }
    }
}

/// The offset by way of the raw curve; none if that can't be trusted.
fn quick(
    outline: &Outline,
    frame: &Frame,
    distance: f64,
    tolerance: f64,
) -> Option<Vec<Vec<GridPoint>>> {
    // Where parts of the curve meet in a point exactly, as they may on a drawing in whole
    // millimetres, a distance that differs by far less than the tolerance avoids it; where
    // they meet very flatly, finer chords tell how.
    let tries = [(distance, tolerance), (distance + 2.7 * distance.signum(), tolerance / 4.0)];
    tries.into_iter().find_map(|(distance, tolerance)| {
        let mut zones = Zones::none(tolerance);
        loop {
            let raw = raw_curve(outline, frame, distance, tolerance, &zones)?;
            let source = Chain::new(&raw.source);
            if !source.is_plain() {
                return None;
            }
            let judge = Judge::new(&source, distance, tolerance);
            let mut finder = Finder::new(&judge, &zones);
            let crossings = trim::crossings(&raw.curve, &mut finder);
            let [hairs, folds] = finder.found();
            if !hairs.is_empty() && zones.refine(hairs) {
                continue;
            }
            let rings = crossings.and_then(|crossings| {
                let mut rings = trim::trim(&raw.curve, &crossings, &judge)?;
                let plain = rings.iter_mut().all(|r| tidy::flatten_folds(r, distance, tolerance));
                plain.then_some(rings)
            });
            let Some(mut rings) = rings else {
                if !folds.is_empty() && zones.refine(folds) {
                    continue;
                }
                return None;
            };
            let source = (outline.segs(), frame);
            let lost = tips::sharpen(&mut rings, source, distance, &judge, &zones);
            if lost.is_empty() || !zones.refine(lost) {
                return Some(rings);
            }
        }
    })
}

/// The raw curve of an outline, walked counter-clockwise.
fn raw_curve(
    outline: &Outline,
    frame: &Frame,
    distance: f64,
    tolerance: f64,
    zones: &Zones,
) -> Option<Raw> {
    let segs = outline.segs();
    let area: f64 = segs.iter().map(ParamCurveArea::signed_area).sum();
    if area < 0.0 {
        let back = segs.iter().rev().map(|seg| frame.seg_to_grid(&seg.reverse()));
        Raw::around(back, distance, tolerance, zones)
    } else {
        Raw::around(segs.iter().map(|seg| frame.seg_to_grid(seg)), distance, tolerance, zones)
    }
}

/// Whether a ring of chords certainly meets itself nowhere.
fn is_plain(chords: &[Chord]) -> bool {
    let mut corners: Vec<GridPoint> = chords.iter().map(|c| thread::grid_point(c.a)).collect();
    corners.dedup();
    while corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    corners.len() > 2 && Chain::new(&corners).is_plain()
}

fn seg_start(seg: &PathSeg) -> kurbo::Point {
    kurbo::ParamCurve::start(seg)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{BezPath, Point};

    fn is_quick(outline: &Outline, distance_mm: f64) -> bool {
        let frame = Frame::around(outline.segs(), distance_mm).unwrap();
        let distance = distance_mm * frame.per_mm();
        quick(outline, &frame, distance, frame.tolerance(OFFSET_TOLERANCE_MM)).is_some()
    }

    #[test]
    fn plain_outlines_go_the_quick_way() {
        let square = [(0., 0.), (10., 0.), (10., 10.), (0., 10.)].map(Point::from);
        let square = Outline::polygon(&square).unwrap();
        let drop = BezPath::from_svg("M0 0 C10 -8 30 -8 40 0 C30 9 10 9 0 0 Z").unwrap();
        let drop = Outline::from_path(&drop).unwrap();
        // Its sides are level, so that by -5 they fall on one another.
        let bar = [(0., 0.), (90., 0.), (90., 10.), (0., 10.)].map(Point::from);
        let bar = Outline::polygon(&bar).unwrap();
        for d in [-5.0, -2.0, -0.1, 0.5, 3.5, 6.0] {
            assert!(d == -5.0 || is_quick(&square, d), "{d}");
            assert!(is_quick(&drop, d), "{d}");
            assert!(is_quick(&drop.reversed(), d), "{d}");
            assert!(d == -5.0 || is_quick(&bar, d), "{d}");
        }
    }

    #[test]
    fn what_meets_itself_does_not() {
        let eight = [(0., 0.), (10., 10.), (10., 0.), (0., 10.)].map(Point::from);
        let eight = Outline::polygon(&eight).unwrap();
        assert!(!is_quick(&eight, 1.0) && !is_quick(&eight, -1.0));
    }
}
