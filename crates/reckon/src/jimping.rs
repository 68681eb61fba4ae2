//! Jimping: where its notches lie, and what is left between them.

use crate::ProfileFigures;
use crate::long_edge::LongEdges;
use knife::{Groove, Jimping, Knife, OutlineSide};
use kurbo::{Arc, BezPath, Point, Vec2};
use outline::Outline;

/// More notches than this are not laid out.
const MAX_NOTCHES: usize = 5_000;
/// A notch that passes the run's end by no more than this still lies on it, mm.
const ROUNDING_MM: f64 = 1e-6;
/// A round notch's arc lies so near the file's circle, mm.
const ARC_MM: f64 = 1e-4;

/// One notch of the jimping.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JimpingNotch {
    /// Its middle on the outline.
    pub at: Point,
    /// Unit vector square to the outline, into the steel.
    pub inward: Vec2,
    /// Arc length from the first notch, mm.
    pub along_mm: f64,
}

/// The jimping as it is to be filed: notches at even arc length from the first mark on.
#[derive(Clone, Debug, PartialEq)]
pub struct JimpingFigures {
    /// The notches, from the first mark on.
    pub notches: Vec<JimpingNotch>,
    /// True arc length between the two marks, mm.
    pub run_mm: f64,
    /// From the last notch to the second mark along the curve, mm.
    pub rest_mm: f64,
    /// From one notch to the next along the curve, mm.
    pub pitch_mm: f64,
    /// Depth of a notch, square to the outline, mm.
    pub depth_mm: f64,
    /// Section of a notch.
    pub groove: Groove,
    /// Breadth of a notch at the surface, mm.
    pub notch_width_mm: f64,
    /// Flat left on a tooth between two notches, mm; negative when they merge.
    pub tooth_flat_mm: f64,
}

impl JimpingFigures {
    /// Steel left between a notch and a circle, mm; negative where they meet.
    pub fn web_mm(&self, notch: &JimpingNotch, centre: Point, radius_mm: f64) -> f64 {
        let bottom = notch.at + notch.inward * self.depth_mm;
        let to_bottom = centre.distance(bottom);
        let gap = match self.groove {
            Groove::Vee(_) => to_bottom,
            Groove::Round(file_mm) => {
                let file = notch.at + notch.inward * (self.depth_mm - file_mm / 2.0);
                let towards = (centre - file).normalize();
                let nearest = file + towards * (file_mm / 2.0);
                // The file's side only cuts where it is in the steel.
                if towards.is_finite() && (nearest - notch.at).dot(notch.inward) >= 0.0 {
                    centre.distance(nearest)
                } else {
                    to_bottom
                }
            }
        };
        gap - radius_mm
    }

    /// A notch's section in the knife's plane, from one side at the surface round its bottom to
    /// the other; on a curved edge its ends lie on the tangent.
    pub fn section(&self, notch: &JimpingNotch) -> BezPath {
        let along = notch.inward.turn_90() * (self.notch_width_mm / 2.0);
        let bottom = notch.at + notch.inward * self.depth_mm;
        let mut path = BezPath::new();
        path.move_to(notch.at - along);
        match self.groove {
            Groove::Vee(_) => path.line_to(bottom),
            Groove::Round(file_mm) => {
                let radius = file_mm / 2.0;
                let centre = bottom - notch.inward * radius;
                // Sunk past its axis the file leaves straight sides.
                let level = (notch.at - centre).dot(notch.inward).max(0.0);
                let half = (level / radius).clamp(-1.0, 1.0).acos();
                let start = notch.inward.atan2() - half;
                let arc = Arc::new(centre, (radius, radius), start, 2.0 * half, 0.0);
                path.extend(arc.append_iter(ARC_MM));
            }
        }
        path.line_to(notch.at + along);
        path
    }
}

/// Breadth at the surface of a notch of some depth, mm: of a V `2 h tan(β/2)`, of a round file
/// the chord `2 √(r² − (r − h)²)`, and its diameter once it is sunk past its axis.
pub fn groove_width_mm(groove: Groove, depth_mm: f64) -> f64 {
    match groove {
        Groove::Vee(deg) => 2.0 * depth_mm * (deg / 2.0).to_radians().tan(),
        Groove::Round(file_mm) => round_width_mm(file_mm / 2.0, depth_mm),
    }
}

/// Breadth of the cut of a cylinder sunk to a depth across its axis, mm.
pub(crate) fn round_width_mm(radius_mm: f64, depth_mm: f64) -> f64 {
    let above = (radius_mm - depth_mm).max(0.0);
    2.0 * (radius_mm * radius_mm - above * above).max(0.0).sqrt()
}

/// `None` without jimping, or when one of its marks lies off that side of the outline.
pub(crate) fn figures(
    knife: &Knife,
    outline: &Outline,
    profile: &ProfileFigures,
) -> Option<JimpingFigures> {
    let stated: Jimping = knife.handle.jimping?;
    let tip = knife.profile.tip.and_then(|id| knife.profile.node(id)).map(|node| node.at);
    let edges = LongEdges::of_blank(outline, tip, profile.towards_butt)?;
    let [spine, under] = edges.spine_first(profile.edge_is_up);
    let edge = match stated.side {
        OutlineSide::Spine => spine,
        OutlineSide::Edge => under,
    };
    let from = edge.length_at_x(stated.from_x_mm)?;
    let to = edge.length_at_x(stated.to_x_mm)?;
    let pitch_mm = stated.pitch.mm();
    let (run_mm, sense) = ((to - from).abs(), (to - from).signum());
    let mut notches = Vec::new();
    let mut along_mm = 0.0;
    while pitch_mm > 0.0 && along_mm <= run_mm + ROUNDING_MM && notches.len() < MAX_NOTCHES {
        let place = edge.at(from + sense * along_mm);
        notches.push(JimpingNotch { at: place.at, inward: place.inward, along_mm });
        #[expect(clippy::cast_precision_loss, reason = "a few thousand")]
        let next = notches.len() as f64;
        along_mm = next * pitch_mm;
    }
    let notch_width_mm = groove_width_mm(stated.groove, stated.depth_mm);
    Some(JimpingFigures {
        run_mm,
        rest_mm: (run_mm - notches.last()?.along_mm).max(0.0),
        notches,
        pitch_mm,
        depth_mm: stated.depth_mm,
        groove: stated.groove,
        notch_width_mm,
        tooth_flat_mm: pitch_mm - notch_width_mm,
    })
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::sample::{blank, reckoned};
    use knife::Pitch;
    use kurbo::{ParamCurve, PathEl};

    pub(crate) fn jimped(groove: Groove, depth_mm: f64, pitch: Pitch) -> Knife {
        let mut knife = blank();
        knife.handle.jimping = Some(Jimping {
            side: OutlineSide::Spine,
            from_x_mm: 100.0,
            to_x_mm: 130.0,
            pitch,
            depth_mm,
            groove,
        });
        knife
    }

    // Lists of checkering files: 18, 20, 25, 30, 40 lines to the inch are 1.411, 1.270, 1.016,
    // 0.847, 0.635 mm apart, and a full V of 90° is half as deep as it is wide.
    #[test]
    fn pitches_are_those_of_checkering_files_and_a_full_vee_leaves_no_flat() {
        for (lines, pitch_mm, full_mm) in [
            (18.0, 1.411, 0.706),
            (20.0, 1.270, 0.635),
            (25.0, 1.016, 0.508),
            (30.0, 0.847, 0.423),
            (40.0, 0.635, 0.3175),
        ] {
            let knife = jimped(Groove::Vee(90.0), full_mm, Pitch::PerInch(lines));
            let figures = reckoned(&knife).jimping.unwrap();
            assert!((figures.pitch_mm - pitch_mm).abs() < 6e-4, "{lines}");
            assert!(figures.tooth_flat_mm.abs() < 2e-3, "{lines}: {}", figures.tooth_flat_mm);
        }
        // A full V of 60° at 20 lines to the inch is 1.100 mm deep (pitch × 0.866, by hand).
        assert!((groove_width_mm(Groove::Vee(60.0), 1.1) - 1.27).abs() < 5e-4);
    }

    // A notch as drawn is as wide and as deep as its figures, and a round one's bottom is the
    // file's circle.
    #[test]
    fn a_notch_is_drawn_as_its_figures_say() {
        let vee = jimped(Groove::Vee(60.0), 0.8, Pitch::Mm(2.0));
        for knife in [vee, jimped(Groove::Round(1.6), 0.5, Pitch::Mm(2.0))] {
            let figures = reckoned(&knife).jimping.unwrap();
            for notch in &figures.notches {
                let path = figures.section(notch);
                let points = || {
                    path.segments()
                        .flat_map(|seg| (0..=8).map(move |k| seg.eval(f64::from(k) / 8.0)))
                };
                let ends: Vec<Point> =
                    path.elements().iter().filter_map(PathEl::end_point).collect();
                let (first, last) = (ends[0], ends[ends.len() - 1]);
                assert!((first.distance(last) - figures.notch_width_mm).abs() < 1e-9);
                assert!(first.midpoint(last).distance(notch.at) < 1e-9);
                let deep = |p: Point| (p - notch.at).dot(notch.inward);
                let deepest = points().map(deep).fold(0.0, f64::max);
                assert!((deepest - figures.depth_mm).abs() < 1e-3, "{deepest}");
                if let Groove::Round(file_mm) = figures.groove {
                    let axis = notch.at + notch.inward * (figures.depth_mm - file_mm / 2.0);
                    let off = |p: Point| (p.distance(axis) - file_mm / 2.0).abs();
                    assert!(points().map(off).fold(0.0, f64::max) < 1e-3);
                }
            }
        }
    }

    // By hand: a 4 mm file 1 mm deep cuts 2√(4 − 1) = 3.464 mm wide; sunk past its axis, 4 mm.
    #[test]
    fn a_round_file_cuts_its_chord() {
        let width = |depth| groove_width_mm(Groove::Round(4.0), depth);
        assert!((width(1.0) - 3.464_101_6).abs() < 1e-6);
        assert!((width(3.0) - 4.0).abs() < 1e-12);
    }

    // By hand: 30 mm at 4 mm hold notches at 0, 4 … 28, and 2 mm are left.
    #[test]
    fn notches_are_even_along_the_run_from_the_first_mark_on() {
        let mut knife = jimped(Groove::Vee(90.0), 0.5, Pitch::Mm(4.0));
        let figures = reckoned(&knife).jimping.unwrap();
        assert_eq!(figures.notches.len(), 8);
        assert!((figures.run_mm - 30.0).abs() < 1e-9);
        assert!((figures.rest_mm - 2.0).abs() < 1e-9);
        assert!(figures.notches[7].at.distance(Point::new(128.0, 15.0)) < 1e-9);
        assert_eq!(figures.notches[7].inward, Vec2::new(0.0, -1.0));
        assert!((figures.tooth_flat_mm - 3.0).abs() < 1e-9);
        // From the butt's mark to the tip's, on the other side.
        let jimping = knife.handle.jimping.as_mut().unwrap();
        (jimping.from_x_mm, jimping.to_x_mm, jimping.side) = (130.0, 100.0, OutlineSide::Edge);
        let figures = reckoned(&knife).jimping.unwrap();
        assert!(figures.notches[1].at.distance(Point::new(126.0, -15.0)) < 1e-9);
        knife.handle.jimping.as_mut().unwrap().to_x_mm = 260.0;
        assert!(reckoned(&knife).jimping.is_none());
    }

    // By hand: a quarter circle of 100 mm seen from its middle: notches 5 mm apart along it lie
    // 0.05 rad apart.
    #[test]
    fn on_a_curve_notches_are_even_by_arc_length() {
        let mut knife = blank();
        let arc = Arc::new((0.0, 0.0), (100.0, 100.0), 0.0, std::f64::consts::PI, 0.0);
        let mut path = BezPath::new();
        path.move_to((100.0, 0.0));
        arc.to_cubic_beziers(1e-7, |a, b, c| path.curve_to(a, b, c));
        path.close_path();
        knife.profile = knife::Profile::from_outline(&Outline::from_path(&path).unwrap());
        knife.handle.jimping = Some(Jimping {
            side: OutlineSide::Spine,
            from_x_mm: -80.0,
            to_x_mm: 60.0,
            pitch: Pitch::Mm(5.0),
            depth_mm: 0.5,
            groove: Groove::Vee(90.0),
        });
        let figures = reckoned(&knife).jimping.unwrap();
        let run = 100.0 * (std::f64::consts::PI - 0.8_f64.acos() - 0.6_f64.acos());
        assert!((figures.run_mm - run).abs() < 1e-3, "{} {run}", figures.run_mm);
        for pair in figures.notches.windows(2) {
            let angle = pair[0].at.to_vec2().cross(pair[1].at.to_vec2()) / 1e4;
            assert!((angle + 0.05_f64.sin()).abs() < 1e-5, "{angle}");
            assert!((pair[0].inward + pair[0].at.to_vec2() / 100.0).hypot() < 1e-2);
        }
    }

    // By hand: a V 1 mm deep at (100, 15) ends at (100, 14), 4 mm from a circle of 5 mm about
    // (100, 5); a 4 mm file there is round about (100, 16), 2 mm: beside it at (103, 14) the web
    // is √(9 + 4) − 2 − 0.5.
    #[test]
    fn webs_are_measured_from_the_bottom_of_a_notch() {
        let vee = reckoned(&jimped(Groove::Vee(90.0), 1.0, Pitch::Mm(4.0))).jimping.unwrap();
        assert!((vee.web_mm(&vee.notches[0], Point::new(100.0, 5.0), 5.0) - 4.0).abs() < 1e-9);
        let round = reckoned(&jimped(Groove::Round(4.0), 1.0, Pitch::Mm(4.0))).jimping.unwrap();
        let beside = round.web_mm(&round.notches[0], Point::new(103.0, 14.0), 0.5);
        let by_hand = 13.0_f64.sqrt() - 2.5;
        // That place of the file lies above the steel (y = 14.89 < 15 is in it).
        assert!((beside - by_hand).abs() < 1e-9, "{beside} {by_hand}");
    }
}
