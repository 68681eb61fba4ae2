//! Plunge and grind lines in the knife's plane.

use crate::ProfileFigures;
use knife::Bevel;
use kurbo::{BezPath, Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point};
use outline::{Outline, open_offset, thinned};

/// Plunge and grind lines as they lie on the blade.
#[derive(Clone, Debug, PartialEq)]
pub struct BevelFigures {
    /// The plunge line, from the lower outline to the grind line (or the spine).
    pub plunge: Option<Line>,
    /// The grind line: parallel to the edge at the grind height, where it lies on the blade
    /// ahead of the plunge; several pieces where the blade is lower than the bevel.
    pub grind: Vec<BezPath>,
    /// Angle a side, degrees: atan((t/2 − e/2) / h) with stock t, edge e, grind height h.
    pub angle_deg: f64,
}

/// An edge of more stretches than this is thinned before its parallel is drawn.
const FEW: usize = 200;
/// An edge of more stretches than this is not even thinned.
const MOST_STRETCHES: usize = 20_000;
/// A thinned edge of more corners than this has no grind line.
const MOST_CORNERS: usize = 1500;
/// A grind line's sides longer than this are looked at in steps, mm.
const STEP_MM: f64 = 2.0;
/// In no more steps than this.
const MOST_STEPS: f64 = 500.0;
/// How near the grind line's points keep to the true parallel, mm.
const TOLERANCE_MM: f64 = 0.002;

pub(crate) fn figures(
    bevel: &Bevel,
    thickness_mm: f64,
    outline: &Outline,
    profile: &ProfileFigures,
) -> BevelFigures {
    let mut grind = grind_line(bevel, outline, profile);
    let run_on = run_on(bevel, outline, profile, &mut grind);
    let rise = (thickness_mm - bevel.edge_thickness_mm) / 2.0;
    BevelFigures {
        plunge: plunge_line(bevel, outline, profile, run_on),
        grind,
        angle_deg: rise.atan2(bevel.grind_height_mm).to_degrees(),
    }
}

/// The parallel to the edge on the blade's side, cut off behind the plunge and off the blade.
fn grind_line(bevel: &Bevel, outline: &Outline, profile: &ProfileFigures) -> Vec<BezPath> {
    let Some(edge) = &profile.edge else { return Vec::new() };
    let side = inner_side(&edge.segs, outline);
    let Some(run) = few(&edge.segs) else { return Vec::new() };
    let parallel = open_offset(&run, side * bevel.grind_height_mm, TOLERANCE_MM);
    let ahead = |p: Point| (bevel.plunge_x_mm - p.x) * profile.towards_butt >= -1e-9;
    parallel.iter().flat_map(|path| pieces(path, &|p| ahead(p) && outline.contains(p))).collect()
}

/// The edge in few stretches: as it is when it has few, else as the fewest straight ones that
/// keep within the tolerance. `None` when even those are too many for a line a hand could file.
fn few(edge: &[PathSeg]) -> Option<Vec<PathSeg>> {
    if edge.len() <= FEW {
        return Some(edge.to_vec());
    }
    if edge.len() > MOST_STRETCHES {
        return None;
    }
    let mut points: Vec<Point> = Vec::new();
    let start = std::iter::once(PathEl::MoveTo(edge.first()?.start()));
    let path = start.chain(edge.iter().map(PathSeg::as_path_el));
    kurbo::flatten(path, TOLERANCE_MM / 2.0, |el| points.extend(el.end_point()));
    let corners = thinned(&points, TOLERANCE_MM / 2.0);
    (corners.len() <= MOST_CORNERS).then(|| {
        corners.windows(2).map(|pair| PathSeg::Line(Line::new(pair[0], pair[1]))).collect()
    })
}

/// Where the edge ends ahead of the plunge, the grind line runs straight on from there to the
/// plunge line; its end on that line.
fn run_on(
    bevel: &Bevel,
    outline: &Outline,
    profile: &ProfileFigures,
    grind: &mut [BezPath],
) -> Option<Point> {
    let last = profile.edge.as_ref()?.segs.last()?;
    let heel = last.end();
    for path in grind {
        let points: Vec<Point> = path.elements().iter().filter_map(PathEl::end_point).collect();
        let (first, end) = (*points.first()?, *points.last()?);
        let ends_at_heel = |p: Point| (p.distance(heel) - bevel.grind_height_mm).abs() < 0.02;
        let rear = if ends_at_heel(end) { end } else { first };
        let way = heel - last.eval(0.99);
        let ahead_mm = bevel.plunge_x_mm - rear.x;
        if !ends_at_heel(rear) || ahead_mm * way.x <= 0.0 {
            continue;
        }
        let to = rear + way * (ahead_mm / way.x);
        if outline.contains(to) {
            if rear != end {
                *path = path.reverse_subpaths();
            }
            path.line_to(to);
            return Some(to);
        }
    }
    None
}

/// +1 when the material lies to the left of the run of segments, −1 when to the right.
fn inner_side(segs: &[PathSeg], outline: &Outline) -> f64 {
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
fn pieces(path: &BezPath, keep: &dyn Fn(Point) -> bool) -> Vec<BezPath> {
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
        let steps = (side[0].distance(side[1]) / STEP_MM).ceil().clamp(1.0, MOST_STEPS);
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

/// From the outline on the edge's side up to the grind height, or to the spine where lower.
fn plunge_line(
    bevel: &Bevel,
    outline: &Outline,
    profile: &ProfileFigures,
    run_on: Option<Point>,
) -> Option<Line> {
    let x = bevel.plunge_x_mm;
    let crossings = outline
        .crossings_with(Line::new((x, profile.bounds.y0 - 1.0), (x, profile.bounds.y1 + 1.0)));
    let (lower, upper) = (crossings.first()?.at, crossings.last()?.at);
    let (from, full) = if profile.edge_is_up { (upper, lower) } else { (lower, upper) };
    let to = match (&profile.edge, run_on) {
        (_, Some(end)) => end,
        (None, _) => full,
        (Some(edge), _) => {
            let within = |p: Point| distance(&edge.segs, p) <= bevel.grind_height_mm;
            if within(full) { full } else { border(from, full, &within) }
        }
    };
    (from.distance(to) > 0.0).then(|| Line::new(from, to))
}

fn distance(segs: &[PathSeg], p: Point) -> f64 {
    let square = |seg: &PathSeg| seg.nearest(p, 1e-9).distance_sq;
    segs.iter().map(square).fold(f64::INFINITY, f64::min).sqrt()
}

#[cfg(test)]
mod tests {
    use crate::sample::{blank, reckoned};
    use knife::Bevel;
    use kurbo::{PathEl, Point};

    fn bevelled(grind_height_mm: f64) -> crate::BevelFigures {
        let mut knife = blank();
        knife.bevel = Some(Bevel { plunge_x_mm: 90.0, grind_height_mm, edge_thickness_mm: 0.508 });
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
        let bevel = Bevel { plunge_x_mm: 108.0, grind_height_mm: 12.0, edge_thickness_mm: 0.5 };
        knife.bevel = Some(bevel);
        let figures = reckoned(&knife).bevel.unwrap();
        let (_, rear) = ends(&figures.grind[0]);
        assert!((rear - Point::new(108.0, -3.0)).hypot() < 1e-6, "{rear:?}");
        assert!((figures.plunge.unwrap().p1 - rear).hypot() < 1e-9);
    }

    #[test]
    fn an_edge_of_very_many_nodes_has_the_same_grind_line() {
        let mut knife = blank();
        let bevel = Bevel { plunge_x_mm: 90.0, grind_height_mm: 12.0, edge_thickness_mm: 0.5 };
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
        let bevel = Bevel { plunge_x_mm: 90.0, grind_height_mm: 20.0, edge_thickness_mm: 0.5 };
        knife.bevel = Some(bevel);
        let mirrored = knife::Edit::MirrorAlong.apply(&knife).unwrap();
        let figures = reckoned(&mirrored).bevel.unwrap();
        assert_eq!(figures.grind.len(), 1);
        let (a, b) = ends(&figures.grind[0]);
        assert!((a - Point::new(200.0, 5.0)).hypot() < 1e-6, "{a:?}");
        assert!((b - Point::new(110.0, 5.0)).hypot() < 1e-6, "{b:?}");
        assert_eq!(figures.grind[0].elements().len(), 2, "a straight line needs no more");
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
