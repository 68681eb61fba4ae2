//! Where two arcs come within touching distance: halving with bounding strips.

use super::Hit;
use super::arcs::{Arcs, SPIKE_RAD, bow};
use crate::curvature::turn;
use crate::nearest::{Nearest, nearest_on};
use crate::segment;
use crate::tolerance::{CUSP_MM, LOOP_MM, TOUCH_MM};
use kurbo::{CubicBez, Line, ParamCurve, PathSeg, Point};
use std::f64::consts::PI;

/// Turning short of half a turn by more than this can't close a loop, in radians.
const SLACK_RAD: f64 = 1e-6;
/// Hits after which two arcs count as lying on each other.
const RUN_HITS: usize = 12;
/// Pieces looked at before two arcs count as near but apart.
const MAX_PIECES: usize = 50_000;

/// A part of an arc: its curve, and its parameters on the arc.
#[derive(Clone, Copy)]
struct SubArc {
    curve: CubicBez,
    from: f64,
    to: f64,
}

/// Turning outside the two arcs, where it alone can't close a loop: forward from the first to
/// the second, and on from the second to the first.
struct OuterTurning {
    forward: f64,
    onward: f64,
}

/// Adds the contacts of arcs `i < j` to `hits`.
pub(super) fn find_contacts(arcs: &Arcs, i: usize, j: usize, hits: &mut Vec<Hit>) {
    if arcs.clearly_apart(i, j) {
        return;
    }
    let between =
        OuterTurning { forward: arcs.turn_between(i, j), onward: arcs.turn_between(j, i) };
    let own = arcs.turn_of(i) + arcs.turn_of(j);
    let need = PI - SLACK_RAD;
    if between.forward + own < need || between.onward + own < need {
        return;
    }
    if apart(&arcs.all[i].curve, &arcs.all[j].curve) {
        return;
    }
    let loose = between.forward >= need && between.onward >= need;
    let whole = |k: usize| SubArc { curve: arcs.all[k].curve, from: 0.0, to: 1.0 };
    let mut stack = vec![(whole(i), whole(j))];
    let first = hits.len();
    let mut looked = 0;
    while let Some((a, b)) = stack.pop() {
        looked += 1;
        if looked > MAX_PIECES {
            break;
        }
        if apart(&a.curve, &b.curve) || !(loose || may_close(arcs, i, j, &between, &a, &b)) {
            continue;
        }
        let (bow_a, bow_b) = (bow(&a.curve), bow(&b.curve));
        if bow_a.max(bow_b) > 0.25 * TOUCH_MM {
            if bow_a >= bow_b {
                let (l, r) = halved(&a);
                stack.extend([(r, b), (l, b)]);
            } else {
                let (l, r) = halved(&b);
                stack.extend([(a, r), (a, l)]);
            }
            continue;
        }
        if let Some(hit) = find_touch(arcs, i, j, &a, &b) {
            hits.push(hit);
            if hits.len() - first >= RUN_HITS {
                // Many touches in a row: a run along each other, told once.
                let middle = hits[first + RUN_HITS / 2];
                hits.truncate(first);
                hits.push(middle);
                return;
            }
        }
    }
}

/// Whether the turning between places of the two pieces can close a loop, both ways round.
fn may_close(
    arcs: &Arcs,
    i: usize,
    j: usize,
    between: &OuterTurning,
    a: &SubArc,
    b: &SubArc,
) -> bool {
    let need = PI - SLACK_RAD;
    let (first, second) = (&arcs.all[i], &arcs.all[j]);
    let ends = |c: &CubicBez| Some((segment::start_direction(c)?, segment::end_direction(c)?));
    let (Some(on_a), Some(on_b)) = (ends(&a.curve), ends(&b.curve)) else { return true };
    let forward = turn(on_a.0, first.arrive).abs() + turn(second.leave, on_b.1).abs();
    let onward = turn(on_b.0, second.arrive).abs() + turn(first.leave, on_a.1).abs();
    between.forward + forward >= need && between.onward + onward >= need
}

/// The touch of two pieces as good as straight, unless it is the joint they share.
fn find_touch(arcs: &Arcs, i: usize, j: usize, a: &SubArc, b: &SubArc) -> Option<Hit> {
    let (p, q) = closest(Line::new(a.curve.p0, a.curve.p3), Line::new(b.curve.p0, b.curve.p3));
    if p.distance(q) > TOUCH_MM {
        return None;
    }
    let at = p.midpoint(q);
    let place = |piece: &SubArc| {
        let mut near = Nearest { at, distance_mm: f64::INFINITY, segment: 0, t: 0.0 };
        nearest_on(&PathSeg::Cubic(piece.curve), 0, at, &mut near);
        piece.from + near.t * (piece.to - piece.from)
    };
    let (u, v) = (place(a), place(b));
    let gaps = [(i, j, arcs.rest(i, u) + arcs.run(j, v)), (j, i, arcs.rest(j, v) + arcs.run(i, u))];
    for (from, to, own) in gaps {
        let delta = arcs.length_between(from, to);
        let cusp = delta < LOOP_MM && arcs.turn_between(from, to) >= PI - SPIKE_RAD;
        if own + delta < LOOP_MM || cusp && own + delta < 2.0 * CUSP_MM {
            return None;
        }
    }
    Some(arcs.hit(at, i, u, j, v))
}

/// The nearest points of two straight pieces, the crossing if they cross.
fn closest(a: Line, b: Line) -> (Point, Point) {
    let (u, v) = (a.p1 - a.p0, b.p1 - b.p0);
    let across = u.cross(v);
    let (s, t) = ((b.p0 - a.p0).cross(v) / across, (b.p0 - a.p0).cross(u) / across);
    if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
        return (a.eval(s), b.eval(t));
    }
    let foot = |l: Line, p: Point| {
        let delta = l.p1 - l.p0;
        let t = delta.dot(p - l.p0) / delta.hypot2();
        if t.is_finite() { l.eval(t.clamp(0.0, 1.0)) } else { l.p0 }
    };
    let pairs = [
        (a.p0, foot(b, a.p0)),
        (a.p1, foot(b, a.p1)),
        (foot(a, b.p0), b.p0),
        (foot(a, b.p1), b.p1),
    ];
    let mut best = pairs[0];
    for pair in pairs {
        if pair.0.distance_squared(pair.1) < best.0.distance_squared(best.1) {
            best = pair;
        }
    }
    best
}

fn halved(piece: &SubArc) -> (SubArc, SubArc) {
    let (left, right) = piece.curve.subdivide();
    let mid = 0.5 * (piece.from + piece.to);
    (
        SubArc { curve: left, from: piece.from, to: mid },
        SubArc { curve: right, from: mid, to: piece.to },
    )
}

/// Whether two curves are more than touching distance apart by their boxes or by the strips
/// along their chords. Most pairs looked at are: no roots, no divisions.
fn apart(a: &CubicBez, b: &CubicBez) -> bool {
    let (pa, pb) = ([a.p0, a.p1, a.p2, a.p3], [b.p0, b.p1, b.p2, b.p3]);
    if gap(pa.map(|p| p.x), pb.map(|p| p.x)) > TOUCH_MM
        || gap(pa.map(|p| p.y), pb.map(|p| p.y)) > TOUCH_MM
    {
        return true;
    }
    [a, b].iter().any(|c| {
        let chord = c.p3 - c.p0;
        let off = |p: Point| chord.cross(p - c.p0);
        let gap = gap(pa.map(off), pb.map(off));
        gap > 0.0 && gap * gap > TOUCH_MM * TOUCH_MM * chord.hypot2()
    })
}

/// The gap between two sets of numbers, negative if they overlap.
fn gap(a: [f64; 4], b: [f64; 4]) -> f64 {
    let low = |[p, q, r, s]: [f64; 4]| p.min(q).min(r.min(s));
    let high = |[p, q, r, s]: [f64; 4]| p.max(q).max(r.max(s));
    (low(a) - high(b)).max(low(b) - high(a))
}
