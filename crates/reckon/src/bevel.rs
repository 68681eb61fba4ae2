//! Plunge and grind lines in the knife's plane.

use crate::{PlungeFrame, ProfileFigures, grind_line};
use knife::{GrindLine, GroundSides, Knife};
use kurbo::{BezPath, Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point};
use outline::{Outline, Polyline, open_offset, simplify_to};

/// Plunge and grind lines as they lie on the blade.
#[derive(Clone, Debug, PartialEq)]
pub struct BevelFigures {
    /// Where the plunge stands and how it leans.
    pub plunge_frame: PlungeFrame,
    /// The edge from the tip on, run on straight behind the heel along its tangent there: from
    /// it all heights of the bevel are taken, those of the lines and those of the solid. `None`
    /// without a marked tip and heel.
    pub edge: Option<Polyline>,
    /// The line that the bevels go up to where that isn't the edge's parallel: the spine, or the
    /// curve of its own, which goes on straight past its ends.
    pub custom_line: Option<Polyline>,
    /// The plunge line, from the lower outline to the grind line (or the spine).
    pub plunge: Option<Line>,
    /// The grind line where it lies on the blade ahead of the plunge: the edge's parallel at
    /// the grind height, or a curve of its own; several pieces where the blade is lower than
    /// the bevel. Empty when the bevels go up to the spine.
    pub grind: Vec<BezPath>,
    /// Height of the bevel at the plunge line, from the edge to the grind line, mm: the grind
    /// height as stated, or what a grind line of its own gives there.
    pub height_mm: f64,
    /// By how much one face falls from grind line to edge, mm: (t − e)/2, or the whole t − e
    /// when one face alone is ground. With stock t at the plunge, edge e.
    pub fall_mm: f64,
    /// Angle a side at the plunge line, degrees: atan(fall / height).
    pub angle_deg: f64,
}

/// An edge of more stretches than this is thinned before its parallel is drawn.
const FEW: usize = 200;
/// A thinned edge of more corners than this has no grind line.
const MAX_CORNERS: usize = 600;
/// A grind line's sides longer than this are looked at in steps, mm.
const STEP_MM: f64 = 2.0;
/// In no more steps than this.
const MAX_STEPS: f64 = 500.0;
/// How near the runs are followed from which distances are taken, mm.
const RUN_MM: f64 = 1e-4;
/// A place so near to the plunge line lies on it, mm.
const AT_PLUNGE_MM: f64 = 1e-10;
/// How near the grind line's points keep to the true parallel, mm.
const TOLERANCE_MM: f64 = 0.002;

pub(crate) fn figures(
    knife: &Knife,
    outline: &Outline,
    profile: &ProfileFigures,
) -> Option<BevelFigures> {
    let bevel = &knife.bevel?;
    let frame = PlungeFrame::of(bevel, outline, profile);
    let segs =
        profile.edge.as_ref().map(|edge| frame.run_on(edge, profile.bounds)).unwrap_or_default();
    // An edge of thousands of teeth is no edge to grind up to; every place of the blade would be
    // held against each of them.
    let edge = few(&segs).and_then(|_| Polyline::new(&segs, RUN_MM));
    let on = |p: Point| frame.ahead_of(p) >= -AT_PLUNGE_MM && outline.contains(p);
    let (plunge, grind, own) = match &knife.grind_line {
        GrindLine::Height => {
            let height_mm = bevel.grind_height_mm;
            let side = profile.edge.as_ref().map_or(1.0, |edge| inner_side(&edge.segs, outline));
            let grind = beside(&segs, side * height_mm, &on);
            let within = |p: Point| edge.as_ref().is_none_or(|run| run.distance(p) <= height_mm);
            (plunge_line(&frame, outline, profile, &within), grind, None)
        }
        GrindLine::Spine => {
            let run = Polyline::new(&grind_line::spine(profile, bevel.plunge_x_mm), RUN_MM);
            (plunge_line(&frame, outline, profile, &|_| true), Vec::new(), run)
        }
        GrindLine::Through(points) => {
            let curve = grind_line::through(points, profile.towards_butt);
            let run = curve.as_ref().and_then(|curve| {
                grind_line::run_past(curve, profile.bounds, profile.length_mm, RUN_MM)
            });
            let grind = run.as_ref().map_or_else(Vec::new, |run| pieces(&polyline(run), &on));
            let beneath = |p: Point| {
                run.as_ref().is_none_or(|run| {
                    run.nearest(p).side_of(p) == run.nearest(frame.foot).side_of(frame.foot)
                })
            };
            (plunge_line(&frame, outline, profile, &beneath), grind, run)
        }
    };
    let height_mm = match (&own, plunge) {
        (Some(line), Some(plunge)) => {
            let middle = plunge.p0.midpoint(plunge.p1);
            edge.as_ref().map_or(0.0, |run| run.distance(middle)) + line.distance(middle)
        }
        _ => bevel.grind_height_mm,
    };
    let taper = crate::solid::taper(knife, profile);
    let stock_mm = crate::solid::tapered(knife.bar.thickness_mm, taper, frame.foot.x);
    let both = bevel.sides == GroundSides::Both;
    let fall_mm = (stock_mm - bevel.edge_thickness_mm) * if both { 0.5 } else { 1.0 };
    let angle_deg = fall_mm.atan2(height_mm).to_degrees();
    Some(BevelFigures {
        plunge_frame: frame,
        edge,
        custom_line: own,
        plunge,
        grind,
        height_mm,
        fall_mm,
        angle_deg,
    })
}

fn polyline(run: &Polyline) -> BezPath {
    let mut path = BezPath::new();
    for p in run.points() {
        extend(&mut path, *p);
    }
    path
}

/// The parallel of a run of the outline, to the left of its way where the distance is positive,
/// as far as `keep` says.
pub(crate) fn beside(segs: &[PathSeg], off_mm: f64, keep: &dyn Fn(Point) -> bool) -> Vec<BezPath> {
    let Some(run) = few(segs) else { return Vec::new() };
    open_offset(&run, off_mm, TOLERANCE_MM).iter().flat_map(|path| pieces(path, keep)).collect()
}

/// The edge in few stretches: as it is when it has few, else as the fewest straight ones that
/// keep within the tolerance. `None` when even those are too many for a line a hand could file.
fn few(edge: &[PathSeg]) -> Option<Vec<PathSeg>> {
    if edge.len() <= FEW {
        return Some(edge.to_vec());
    }
    let mut points: Vec<Point> = Vec::new();
    let start = std::iter::once(PathEl::MoveTo(edge.first()?.start()));
    let path = start.chain(edge.iter().map(PathSeg::as_path_el));
    kurbo::flatten(path, TOLERANCE_MM / 2.0, |el| points.extend(el.end_point()));
    let corners = simplify_to(&points, TOLERANCE_MM / 2.0, MAX_CORNERS)?;
    Some(corners.windows(2).map(|pair| PathSeg::Line(Line::new(pair[0], pair[1]))).collect())
}

/// Whether a run has more corners than its parallel is drawn with.
pub(crate) fn is_too_fine(run: &[PathSeg]) -> bool {
    !run.is_empty() && few(run).is_none()
}

/// +1 when the material lies to the left of the run of segments, −1 when to the right.
pub(crate) fn inner_side(segs: &[PathSeg], outline: &Outline) -> f64 {
    let Some(seg) = segs.get(segs.len() / 2) else { return 1.0 };
    let (from, to) = (seg.eval(0.499), seg.eval(0.501));
    let left = (to - from).turn_90();
    if left.hypot() == 0.0 {
        return 1.0;
    }
    let probe = seg.eval(0.5) + left.normalize() * 0.05;
    if outline.contains(probe) { 1.0 } else { -1.0 }
}

/// The pieces of a polyline that lie where `keep` says, cut at the border by halving.
pub(crate) fn pieces(path: &BezPath, keep: &dyn Fn(Point) -> bool) -> Vec<BezPath> {
    let corners: Vec<Point> = path.elements().iter().filter_map(PathEl::end_point).collect();
    let points = stepped(&corners);
    let mut pieces = Vec::new();
    let mut piece = BezPath::new();
    let mut last: Option<(Point, bool)> = None;
    for p in points {
        let kept = keep(p);
        if let Some((q, was_kept)) = last
            && kept != was_kept
        {
            let border = border(if kept { p } else { q }, if kept { q } else { p }, keep);
            extend(&mut piece, border);
            if was_kept {
                pieces.push(std::mem::take(&mut piece));
            }
        }
        if kept {
            extend(&mut piece, p);
        }
        last = Some((p, kept));
    }
    pieces.push(piece);
    pieces.retain(|piece| piece.elements().len() > 1);
    pieces.iter().map(unstepped).collect()
}

/// A polyline with places along its long sides, so that a side whose ends are both lost isn't
/// lost with what lies between them.
fn stepped(corners: &[Point]) -> Vec<Point> {
    let mut points: Vec<Point> = corners.first().copied().into_iter().collect();
    for side in corners.windows(2) {
        let steps = (side[0].distance(side[1]) / STEP_MM).ceil().clamp(1.0, MAX_STEPS);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
        let count = steps as u32;
        points.extend((1..=count).map(|i| side[0].lerp(side[1], f64::from(i) / steps)));
    }
    points
}

/// A polyline without the places on the straight line between their neighbours.
fn unstepped(piece: &BezPath) -> BezPath {
    let points: Vec<Point> = piece.elements().iter().filter_map(PathEl::end_point).collect();
    let mut kept = BezPath::new();
    let mut before: Option<Point> = None;
    for (i, here) in points.iter().enumerate() {
        let straight = before.zip(points.get(i + 1)).is_some_and(|(before, after)| {
            Line::new(before, *after).nearest(*here, 1e-9).distance_sq < 1e-18
        });
        if !straight {
            extend(&mut kept, *here);
            before = Some(*here);
        }
    }
    kept
}

fn extend(path: &mut BezPath, to: Point) {
    if path.elements().is_empty() { path.move_to(to) } else { path.line_to(to) }
}

/// The last kept point on the way from a kept one to one that isn't.
fn border(mut kept: Point, mut lost: Point, keep: &dyn Fn(Point) -> bool) -> Point {
    for _ in 0..40 {
        let middle = kept.midpoint(lost);
        if keep(middle) { kept = middle } else { lost = middle }
    }
    kept
}

/// From the outline on the edge's side up to the grind line, or to the spine where lower.
fn plunge_line(
    frame: &PlungeFrame,
    outline: &Outline,
    profile: &ProfileFigures,
    within: &dyn Fn(Point) -> bool,
) -> Option<Line> {
    let far = frame.up * (profile.bounds.width() + profile.bounds.height() + 2.0);
    let full = (outline.crossings_with(Line::new(frame.foot - frame.up, frame.foot + far)))
        .iter()
        .map(|crossing| crossing.at)
        .max_by(|a, b| {
            let up = |p: &Point| (*p - frame.foot).dot(frame.up);
            up(a).total_cmp(&up(b))
        })?;
    let to = if within(full) { full } else { border(frame.foot, full, within) };
    let line = Line::new(frame.foot, to);
    (frame.foot.distance(to) > 0.0).then_some(line)
}

#[cfg(test)]
mod tests {
    use crate::sample::{blank, reckoned};
    use knife::Bevel;
    use kurbo::{PathEl, Point};

    fn bevelled(grind_height_mm: f64) -> crate::BevelFigures {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm,
            edge_thickness_mm: 0.508,
            ..Bevel::default()
        });
        reckoned(&knife).bevel.unwrap()
    }

    fn ends(path: &kurbo::BezPath) -> (Point, Point) {
        let points: Vec<Point> = path.elements().iter().filter_map(PathEl::end_point).collect();
        (points[0], points[points.len() - 1])
    }

    #[test]
    fn the_grind_line_runs_parallel_to_the_edge_up_to_the_plunge() {
        let bevel = bevelled(12.0);
        assert_eq!(bevel.grind.len(), 1);
        let (a, b) = ends(&bevel.grind[0]);
        let (front, rear) = if a.x < b.x { (a, b) } else { (b, a) };
        assert!((front.y + 3.0).abs() < 1e-6 && (rear.y + 3.0).abs() < 1e-6);
        assert!(front.x.abs() < 1e-6 && (rear.x - 90.0).abs() < 1e-6, "{front:?} {rear:?}");
        let plunge = bevel.plunge.unwrap();
        assert!((plunge.p0.y + 15.0).abs() < 1e-6 && (plunge.p1.y + 3.0).abs() < 1e-5);
    }

    #[test]
    fn where_the_edge_ends_before_the_plunge_the_grind_line_runs_on() {
        let mut knife = blank();
        let bevel = Bevel {
            plunge_x_mm: 108.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        };
        knife.bevel = Some(bevel);
        let figures = reckoned(&knife).bevel.unwrap();
        let (_, rear) = ends(&figures.grind[0]);
        assert!((rear - Point::new(108.0, -3.0)).hypot() < 1e-6, "{rear:?}");
        assert!((figures.plunge.unwrap().p1 - rear).hypot() < 1e-9);
    }

    #[test]
    fn an_edge_of_very_many_nodes_has_the_same_grind_line() {
        let mut knife = blank();
        let bevel = Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        };
        knife.bevel = Some(bevel);
        let stretch = knife.profile.tip.unwrap();
        for _ in 0..2_000 {
            knife = knife::Edit::AddNode { stretch, t: 0.995 }.apply(&knife).unwrap();
        }
        assert!(reckoned(&knife).profile.unwrap().edge.unwrap().segs.len() > 2_000);
        let figures = reckoned(&knife).bevel.unwrap();
        let (a, b) = ends(&figures.grind[0]);
        assert!((a.y + 3.0).abs() < 0.005 && (b.y + 3.0).abs() < 0.005, "{a:?} {b:?}");
        assert!(((a.x - b.x).abs() - 90.0).abs() < 0.01);
    }

    #[test]
    fn the_grind_line_is_the_same_turned_end_for_end() {
        let mut knife = blank();
        let bevel = Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 20.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        };
        knife.bevel = Some(bevel);
        let mirrored = knife::Edit::MirrorAlong.apply(&knife).unwrap();
        let figures = reckoned(&mirrored).bevel.unwrap();
        assert_eq!(figures.grind.len(), 1);
        let (a, b) = ends(&figures.grind[0]);
        assert!((a - Point::new(200.0, 5.0)).hypot() < 1e-6, "{a:?}");
        assert!((b - Point::new(110.0, 5.0)).hypot() < 1e-6, "{b:?}");
        assert_eq!(figures.grind[0].elements().len(), 2, "a straight line needs no more");
    }

    /// The sample blank is 30 mm wide.
    #[test]
    fn a_height_out_of_all_reach_has_no_line() {
        assert!(bevelled(500.0).grind.is_empty());
    }

    #[test]
    fn a_bevel_higher_than_the_blade_has_no_line_but_a_full_plunge() {
        let bevel = bevelled(40.0);
        assert!(bevel.grind.is_empty());
        assert!((bevel.plunge.unwrap().p1.y - 15.0).abs() < 1e-6);
    }

    // Machinery's Handbook, solution of right triangles; worked row t 3.175, e 0.508, H 25.4 mm:
    // 3.0052694° a side.
    #[test]
    fn the_angle_a_side_is_that_of_the_handbooks_triangle() {
        assert!((bevelled(25.4).angle_deg - 3.005_269_4).abs() < 1e-7);
    }
}
