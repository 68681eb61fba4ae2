//! Cutting a drawing at a window's sides, exactly: nothing of it lies outside afterwards.

use crate::hull;
use kurbo::{BezPath, Circle, ParamCurve, PathEl, PathSeg, Point, Rect, Shape, common::solve_itp};
use marks::{Drawing, Item, Mark, lettering};

/// How far a circle's arcs may leave the circle when it has to be cut, mm.
const ROUND_MM: f64 = 1e-5;

/// The part of a drawing inside a window.
///
/// Lines are cut where they cross the window's sides, so a closed line that is cut becomes open
/// pieces; circles that are cut become arcs; fills are cut as areas. A label stays whole, and
/// stays only if its box lies in the window.
pub fn clip(drawing: &Drawing, window: Rect) -> Drawing {
    let mut cut = Drawing::new();
    for item in &drawing.items {
        let mut keep = |mark| cut.items.push(Item { mark, ..item.clone() });
        match &item.mark {
            Mark::Path(path) => line(path, window).into_iter().map(Mark::Path).for_each(keep),
            Mark::Circle(circle) => circle_line(*circle, window).into_iter().for_each(keep),
            Mark::Fill(path) => area(path, window).into_iter().map(Mark::Fill).for_each(keep),
            Mark::Text(label) => {
                if lettering::corners(label).iter().all(|p| holds(window, *p)) {
                    keep(Mark::Text(label.clone()));
                }
            }
        }
    }
    cut
}

fn circle_line(circle: Circle, window: Rect) -> Option<Mark> {
    let bounds = circle.bounding_box();
    if inside(bounds, window) {
        return Some(Mark::Circle(circle));
    }
    if beside(bounds, window) {
        return None;
    }
    line(&circle.to_path(ROUND_MM), window).map(Mark::Path)
}

/// The part of a line inside the window; `None` if there is none.
fn line(path: &BezPath, window: Rect) -> Option<BezPath> {
    if path.elements().is_empty() {
        return None;
    }
    let around = path.control_box();
    if inside(around, window) {
        return Some(path.clone());
    }
    if beside(around, window) {
        return None;
    }
    let bounds = path.bounding_box();
    if inside(bounds, window) {
        return Some(path.clone());
    }
    let mut cut = BezPath::new();
    for part in subpaths(path) {
        let mut chains: Vec<Vec<PathSeg>> = Vec::new();
        for segment in &part.segments {
            for piece in pieces(*segment, window) {
                match chains.last_mut() {
                    Some(chain) if meets(chain, &piece) => chain.push(piece),
                    _ => chains.push(vec![piece]),
                }
            }
        }
        join_ends(&mut chains, part.closed);
        let whole = part.closed
            && chains.len() == 1
            && chains[0]
                .first()
                .zip(chains[0].last())
                .is_some_and(|(a, b)| near(a.start(), b.end()))
            && part.segments.iter().all(|s| inside(s.bounding_box(), window));
        for chain in &chains {
            append(&mut cut, chain);
            if whole {
                cut.close_path();
            }
        }
    }
    (!cut.elements().is_empty()).then_some(cut)
}

/// A subpath as segments, a closing line made explicit.
struct Part {
    segments: Vec<PathSeg>,
    closed: bool,
}

fn subpaths(path: &BezPath) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let mut run = BezPath::new();
    let mut start = Point::ORIGIN;
    let mut end = |run: &mut BezPath, closed: bool| {
        let segments: Vec<PathSeg> = run.segments().collect();
        if !segments.is_empty() {
            parts.push(Part { segments, closed });
        }
        *run = BezPath::new();
    };
    for element in path.elements() {
        match element {
            PathEl::MoveTo(p) => {
                end(&mut run, false);
                start = *p;
                run.push(*element);
            }
            PathEl::ClosePath => {
                run.push(*element);
                end(&mut run, true);
            }
            _ => {
                if run.elements().is_empty() {
                    // A path may go on after closing, from where it was closed.
                    run.move_to(start);
                }
                run.push(*element);
            }
        }
    }
    end(&mut run, false);
    parts
}

/// The pieces of a segment that lie in the window, in order.
fn pieces(segment: PathSeg, window: Rect) -> Vec<PathSeg> {
    let bounds = segment.bounding_box();
    if inside(bounds, window) {
        return vec![segment];
    }
    if beside(bounds, window) {
        return Vec::new();
    }
    let mut stops = vec![0.0, 1.0];
    stops.extend(crossings(segment, |p| p.x - window.x0));
    stops.extend(crossings(segment, |p| p.x - window.x1));
    stops.extend(crossings(segment, |p| p.y - window.y0));
    stops.extend(crossings(segment, |p| p.y - window.y1));
    stops.sort_by(f64::total_cmp);
    let mut kept: Vec<PathSeg> = Vec::new();
    for pair in stops.windows(2) {
        if pair[1] - pair[0] > 1e-12 && holds(window, segment.eval((pair[0] + pair[1]) / 2.0)) {
            kept.push(snapped(segment.subsegment(pair[0]..pair[1]), window));
        }
    }
    kept
}

/// Whether a box lies wholly outside the window.
fn beside(bounds: Rect, window: Rect) -> bool {
    bounds.x1 < window.x0 || bounds.x0 > window.x1 || bounds.y1 < window.y0 || bounds.y0 > window.y1
}

/// Where a signed distance to a level or upright line is nought along a segment, as parameters
/// between 0 and 1.
///
/// Sought by bracketing between the places where the segment turns back, not by the roots of its
/// polynomial: those are lost to rounding where its highest terms all but cancel, as they do on
/// any curve with evenly set handles.
fn crossings(segment: PathSeg, off: impl Fn(Point) -> f64) -> Vec<f64> {
    let at = |t: f64| off(segment.eval(t));
    let mut found = Vec::new();
    for range in kurbo::ParamCurveExtrema::extrema_ranges(&segment) {
        let (from, to) = (at(range.start), at(range.end));
        found.extend(
            [(from, range.start), (to, range.end)].iter().filter(|e| e.0 == 0.0).map(|e| e.1),
        );
        if from * to < 0.0 {
            let rising = |t: f64| at(t) * to.signum();
            let (low, high) = (from * to.signum(), to.abs());
            found.push(solve_itp(rising, range.start, range.end, 1e-15, 1, 0.2, low, high));
        }
    }
    found
}

/// The piece with ends that rounding left a hair outside put on the side itself.
fn snapped(piece: PathSeg, window: Rect) -> PathSeg {
    let snap = |p: Point| {
        let on = Point::new(p.x.max(window.x0).min(window.x1), p.y.max(window.y0).min(window.y1));
        if on.distance(p) < 1e-6 { on } else { p }
    };
    match piece {
        PathSeg::Line(mut l) => {
            (l.p0, l.p1) = (snap(l.p0), snap(l.p1));
            PathSeg::Line(l)
        }
        PathSeg::Quad(mut q) => {
            (q.p0, q.p2) = (snap(q.p0), snap(q.p2));
            PathSeg::Quad(q)
        }
        PathSeg::Cubic(mut q) => {
            (q.p0, q.p3) = (snap(q.p0), snap(q.p3));
            PathSeg::Cubic(q)
        }
    }
}

/// In a closed line the last chain may go on into the first.
fn join_ends(chains: &mut Vec<Vec<PathSeg>>, closed: bool) {
    if !closed || chains.len() < 2 {
        return;
    }
    let goes_on =
        chains[0].first().is_some_and(|first| chains.last().is_some_and(|last| meets(last, first)));
    if goes_on && let Some(mut last) = chains.pop() {
        last.append(&mut chains[0]);
        chains[0] = last;
    }
}

fn meets(chain: &[PathSeg], piece: &PathSeg) -> bool {
    chain.last().is_some_and(|last| near(last.end(), piece.start()))
}

fn near(a: Point, b: Point) -> bool {
    a.distance(b) < 1e-6
}

fn append(path: &mut BezPath, chain: &[PathSeg]) {
    if let Some(first) = chain.first() {
        path.move_to(first.start());
    }
    for segment in chain {
        path.push(segment.as_path_el());
    }
}

/// The part of an area inside the window (Sutherland and Hodgman's way, side by side); right for
/// convex areas such as arrow heads. Curves are flattened.
fn area(path: &BezPath, window: Rect) -> Option<BezPath> {
    if path.elements().is_empty() {
        return None;
    }
    if inside(path.bounding_box(), window) {
        return Some(path.clone());
    }
    let mut ring = Vec::new();
    hull::along(path, &mut ring);
    type Axis = fn(Point) -> f64;
    let sides: [(Axis, f64, f64); 4] = [
        (|p| p.x, window.x0, 1.0),
        (|p| p.x, window.x1, -1.0),
        (|p| p.y, window.y0, 1.0),
        (|p| p.y, window.y1, -1.0),
    ];
    for (axis, side, sign) in sides {
        ring = beyond(&ring, |p| (axis(p) - side) * sign);
    }
    let (first, rest) = ring.split_first()?;
    let mut cut = BezPath::new();
    cut.move_to(*first);
    rest.iter().for_each(|p| cut.line_to(*p));
    cut.close_path();
    (rest.len() >= 2).then_some(cut)
}

fn beyond(ring: &[Point], off: impl Fn(Point) -> f64) -> Vec<Point> {
    let mut kept = Vec::new();
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (da, db) = (off(*a), off(*b));
        if da >= 0.0 {
            kept.push(*a);
        }
        if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
            kept.push(a.lerp(*b, da / (da - db)));
        }
    }
    kept
}

fn inside(bounds: Rect, window: Rect) -> bool {
    bounds.x0 >= window.x0
        && bounds.x1 <= window.x1
        && bounds.y0 >= window.y0
        && bounds.y1 <= window.y1
}

/// Closed containment with a hair of tolerance, so that lines along a side stay.
fn holds(window: Rect, p: Point) -> bool {
    inside(Rect::from_points(p, p), window.inflate(1e-9, 1e-9))
}
