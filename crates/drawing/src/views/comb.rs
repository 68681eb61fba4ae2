//! The curvature comb: teeth square to the outline, as long as it bends, to judge fairness by.

use crate::MarkPart as _;
use knife::PartId;
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};
use marks::{Drawing, Mark, Pen};
use outline::Outline;

/// How a comb is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comb {
    /// About how far teeth stand apart along the outline, mm.
    pub pitch_mm: f64,
    /// Length of a tooth times the radius of curvature there, mm²: at 500, a radius of 50 mm
    /// has teeth of 10 mm.
    pub scale_mm2: f64,
    /// No tooth is longer than this, mm; so a tight curve doesn't cover the sheet.
    pub longest_mm: f64,
}

impl Default for Comb {
    /// Teeth that tell a blade's long curves apart and are cut off at its small radii (this
    /// program's own choice).
    fn default() -> Self {
        Self { pitch_mm: 1.5, scale_mm2: 600.0, longest_mm: 15.0 }
    }
}

/// Most teeth on one stretch, and least.
const TEETH: std::ops::RangeInclusive<f64> = 4.0..=400.0;
/// Accuracy asked of a stretch's length, mm: it only sets how many teeth there are.
const LENGTH_MM: f64 = 0.05;

/// The comb of an outline, in its plane: one mark with every tooth and one with the line
/// through their ends. Teeth stand outside where the outline bulges and inside where it is
/// hollow. In a fair curve the line runs without steps or waves; it is broken at corners, and
/// steps at a node where the radius changes at once.
pub fn comb(outline: &Outline, comb: &Comb) -> Drawing {
    let (mut teeth, mut ends) = (BezPath::new(), BezPath::new());
    let corners: Vec<usize> = outline.corners().into_iter().map(|corner| corner.node).collect();
    let first_corner = corners.first().copied().unwrap_or(0);
    let count = outline.segs().len();
    let outward = if outline.signed_area() < 0.0 { 1.0 } else { -1.0 };
    for step in 0..count {
        let on = (first_corner + step) % count;
        let seg = &outline.segs()[on];
        let mut broken = step == 0 || corners.contains(&on);
        let last = tooth_count(seg, comb.pitch_mm);
        for i in 0..=last {
            let t = f64::from(i) / f64::from(last);
            let curvature = outline.curvature_at(on, t);
            let long = (curvature * comb.scale_mm2).clamp(-comb.longest_mm, comb.longest_mm);
            let root = seg.eval(t);
            let end = root + outward * long * outline.tangent_at(on, t).turn_90();
            if long.abs() > 1e-6 {
                stroke(&mut teeth, root, end);
            }
            if broken {
                ends.move_to(end)
            } else {
                ends.line_to(end)
            }
            broken = false;
        }
    }
    let mut drawing = Drawing::new();
    for path in [teeth, ends] {
        drawing.add_part(Pen::Dimension, Mark::Path(path), PartId::Profile);
    }
    drawing
}

/// Radii at which the curvature is greatest or least along an outline, each to be read at its
/// place: where it is, in which direction the tooth points, and the radius, mm; 0 where the curve
/// is straight. Corners part the runs, and in each no more than a few are told.
pub fn comb_radii(outline: &Outline, comb: &Comb) -> Vec<(Point, Vec2, f64)> {
    let corners: Vec<usize> = outline.corners().into_iter().map(|corner| corner.node).collect();
    let outward = if outline.signed_area() < 0.0 { 1.0 } else { -1.0 };
    let count = outline.segs().len();
    let first = corners.first().copied().unwrap_or(0);
    let mut radii: Vec<(Point, Vec2, f64)> = Vec::new();
    let mut run: Vec<(Point, Vec2, f64)> = Vec::new();
    for step in 0..=count {
        let on = (first + step) % count;
        if step == count || step > 0 && corners.contains(&on) {
            radii.extend(extremes(&run));
            run.clear();
        }
        let seg = &outline.segs()[on];
        if step == count || matches!(seg, PathSeg::Line(_)) {
            continue;
        }
        let last = tooth_count(seg, comb.pitch_mm);
        for i in 0..=last {
            let t = f64::from(i) / f64::from(last);
            let curvature = outline.curvature_at(on, t);
            if curvature.is_finite() {
                let normal = outward * outline.tangent_at(on, t).turn_90();
                run.push((seg.eval(t), normal * curvature.signum(), curvature));
            }
        }
    }
    radii
}

/// Where a run bends most or least, with the radius there: its ends, and each place from which the
/// curvature falls or rises by more than a ripple. Of two that are near to one another the tighter.
fn extremes(run: &[(Point, Vec2, f64)]) -> Vec<(Point, Vec2, f64)> {
    let most = run.iter().map(|tooth| tooth.2.abs()).fold(0.0, f64::max);
    let mut places = turning_points(run, RIPPLE * most);
    places.sort_by(|a, b| run[*b].2.abs().total_cmp(&run[*a].2.abs()));
    let mut found: Vec<(Point, Vec2, f64)> = Vec::new();
    for i in places {
        let (at, normal, here) = run[i];
        let clear = found.iter().all(|known| known.0.distance(at) > RADII_APART_MM);
        if clear && here.abs() > FLAT_PER_MM {
            found.push((at, normal, 1.0 / here.abs()));
        }
    }
    found
}

/// Indices of a run's ends and of the places from which its curvature turns by more than a ripple.
fn turning_points(run: &[(Point, Vec2, f64)], ripple: f64) -> Vec<usize> {
    let Some(last) = run.len().checked_sub(1) else { return Vec::new() };
    let mut kept = vec![0, last];
    let (mut high, mut low, mut rises) = (0, 0, None);
    for (i, (_, _, here)) in run.iter().enumerate() {
        if *here > run[high].2 {
            high = i;
        }
        if *here < run[low].2 {
            low = i;
        }
        if rises != Some(false) && run[high].2 - here > ripple {
            kept.push(high);
            (rises, low) = (Some(false), i);
        } else if rises != Some(true) && here - run[low].2 > ripple {
            kept.push(low);
            (rises, high) = (Some(true), i);
        }
    }
    kept.sort_unstable();
    kept.dedup();
    kept
}

/// A change of curvature by less than this share of a run's greatest is a ripple.
const RIPPLE: f64 = 0.06;
/// Less curvature than this is told as none, 1/mm: a radius of ten metres.
const FLAT_PER_MM: f64 = 1e-4;
/// Radii are told no nearer to each other than this, mm (this program's own choice).
const RADII_APART_MM: f64 = 12.0;

/// Teeth on a stretch less one; a straight one has none to tell.
fn tooth_count(seg: &PathSeg, pitch_mm: f64) -> u32 {
    if matches!(seg, PathSeg::Line(_)) {
        return 1;
    }
    let wanted = (seg.arclen(LENGTH_MM) / pitch_mm.max(1e-3)).ceil();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "4 to 400")]
    let count = wanted.clamp(*TEETH.start(), *TEETH.end()) as u32;
    count
}

fn stroke(path: &mut BezPath, from: Point, to: Point) {
    path.move_to(from);
    path.line_to(to);
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, PathEl, Shape};

    fn paths(drawing: &Drawing) -> [BezPath; 2] {
        let paths: Vec<BezPath> = drawing
            .items
            .iter()
            .filter_map(
                |item| if let Mark::Path(path) = &item.mark { Some(path.clone()) } else { None },
            )
            .collect();
        paths.try_into().unwrap()
    }

    #[test]
    fn a_circle_has_even_teeth_outside() {
        // Radius 40 at 800 mm²: teeth of 800 / 40 = 20 mm, whichever way round it runs.
        let circle = Circle::new((10.0, -5.0), 40.0);
        let outline = Outline::from_path(&circle.to_path(1e-7)).unwrap();
        for outline in [outline.clone(), outline.reversed()] {
            let comb = comb(&outline, &Comb { pitch_mm: 2.0, scale_mm2: 800.0, longest_mm: 50.0 });
            let [teeth, ends] = paths(&comb);
            // Kurbo's quarter arcs hold the curvature to half a percent.
            for end in ends.elements().iter().filter_map(PathEl::end_point) {
                assert!((end.distance(circle.center) - 60.0).abs() < 0.15);
            }
            let pitch = std::f64::consts::TAU * 40.0 / teeth.segments().count() as f64;
            assert!((1.0..=2.0).contains(&pitch), "{pitch}");
            assert_eq!(
                ends.elements().iter().filter(|el| matches!(el, PathEl::MoveTo(_))).count(),
                1
            );
        }
    }

    #[test]
    fn straight_stretches_have_none_and_corners_break_the_line() {
        let square = [(0., 0.), (30., 0.), (30., 20.), (0., 20.)].map(Point::from);
        let [teeth, ends] = paths(&comb(&Outline::polygon(&square).unwrap(), &Comb::default()));
        assert_eq!(teeth.elements().len(), 0);
        assert_eq!(ends.elements().iter().filter(|el| matches!(el, PathEl::MoveTo(_))).count(), 4);
    }

    #[test]
    fn hollow_teeth_stand_inside_and_long_ones_are_cut_off() {
        let path = BezPath::from_svg("M0 0 L60 0 L60 30 C 40 20 20 20 0 30 Z").unwrap();
        let outline = Outline::from_path(&path).unwrap();
        let [teeth, _] = paths(&comb(&outline, &Comb { longest_mm: 5.0, ..Comb::default() }));
        let mut seen = 0;
        let middle = |tooth: &PathSeg| (10.0..50.0).contains(&tooth.start().x);
        for tooth in teeth.segments().filter(middle) {
            seen += 1;
            assert!(outline.contains(tooth.eval(0.5)));
            assert!(tooth.start().distance(tooth.end()) <= 5.0 + 1e-9);
        }
        assert!(seen > 20, "{seen}");
    }

    #[test]
    fn radii_are_read_where_the_curve_bends_most_and_least() {
        // An ellipse of half axes 60 and 30: radii b²/a = 15 at its ends, a²/b = 120 at its sides.
        let ellipse = kurbo::Ellipse::new((0.0, 0.0), (60.0, 30.0), 0.0);
        let outline = Outline::from_path(&ellipse.to_path(1e-7)).unwrap();
        let radii = comb_radii(&outline, &Comb::default());
        for (place, radius) in [((60.0, 0.0), 15.0), ((-60.0, 0.0), 15.0), ((0.0, 30.0), 120.0)] {
            let near = radii.iter().find(|(at, _, _)| at.distance(place.into()) < 10.0);
            let (_, normal, found) = near.unwrap_or_else(|| panic!("{place:?}: {radii:?}"));
            assert!((found / radius - 1.0).abs() < 0.1, "{found} {radius}");
            assert!(normal.dot(Point::from(place).to_vec2()) > 0.0, "convex: outside");
        }
        let square = [(0., 0.), (30., 0.), (30., 20.), (0., 20.)].map(Point::from);
        assert!(comb_radii(&Outline::polygon(&square).unwrap(), &Comb::default()).is_empty());
    }
}
