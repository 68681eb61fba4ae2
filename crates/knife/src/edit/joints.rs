//! How the two handles of a node go together, and what keeps them so.

use super::check::index;
use crate::{Node, NodeId, NodeKind, Profile, Refusal};
use kurbo::{CubicBez, PathSeg, Point, Vec2};
use outline::{curvature_jump, curvature_matched};

/// Part of the way to the neighbour at which a new handle ends.
pub(super) const THIRD: f64 = 1.0 / 3.0;
/// Rounds in which neighbours that keep their curvature continuous come to agree.
const ROUNDS: usize = 60;
/// A jump of curvature below this is none, 1/mm: a bend of a micrometre over a hand's length.
const NO_JUMP: f64 = 1e-9;
/// Handles that differ less are equally long, mm.
const SAME_MM: f64 = 1e-9;

/// Makes a node smooth of a kind.
pub(super) fn make(profile: &mut Profile, id: NodeId, kind: NodeKind) -> Result<(), Refusal> {
    let at = index(profile, id)?;
    let node = &profile.nodes[at];
    if kind == NodeKind::CurvatureContinuous
        && (node.handle_in.is_none() != node.handle_out.is_none())
    {
        // A straight run has no curvature that a curve beside it could meet but none.
        return Err(Refusal::StraightBeside);
    }
    if !node.kind.is_smooth() || node.handle_in.is_none() || node.handle_out.is_none() {
        make_smooth(profile, id)?;
    }
    let node = &profile.nodes[at];
    if node.handle_in.is_none() || node.handle_out.is_none() {
        return Err(Refusal::StraightBeside);
    }
    profile.nodes[at].kind = kind;
    if kind == NodeKind::CurvatureContinuous && !matches(profile, at) {
        return Err(Refusal::NoSameCurvature);
    }
    Ok(())
}

/// Makes a node smooth: its handles in line, along a straight stretch that leads to it.
pub(super) fn make_smooth(profile: &mut Profile, id: NodeId) -> Result<(), Refusal> {
    let at = index(profile, id)?;
    let n = profile.nodes.len();
    let (before, after) = (profile.nodes[(at + n - 1) % n].at, profile.nodes[(at + 1) % n].at);
    let node = &mut profile.nodes[at];
    let here = node.at;
    let (into, out) = (node.handle_in, node.handle_out);
    let unit = |v: Vec2| if v.hypot() > 1e-12 { v.normalize() } else { Vec2::ZERO };
    let (direction, into_mm, out_mm) = match (into, out) {
        // Two straight stretches: run parallel to the line between the neighbours.
        (None, None) => {
            (unit(after - before), here.distance(before) * THIRD, here.distance(after) * THIRD)
        }
        // One straight stretch leads: its curve continues it.
        (None, Some(out)) => (unit(here - before), 0.0, here.distance(out)),
        (Some(into), None) => (unit(after - here), here.distance(into), 0.0),
        (Some(into), Some(out)) => {
            (unit(unit(here - into) + unit(out - here)), here.distance(into), here.distance(out))
        }
    };
    if direction == Vec2::ZERO {
        return Err(Refusal::NoHandle);
    }
    let both_straight = into.is_none() && out.is_none();
    if into.is_some() || both_straight {
        node.handle_in = Some(here - direction * into_mm);
    }
    if out.is_some() || both_straight {
        node.handle_out = Some(here + direction * out_mm);
    }
    node.kind = NodeKind::Smooth;
    Ok(())
}

/// Brings the handles of every node that keeps them equal, or its curvature continuous, back to
/// that after an edit.
pub(super) fn restore(profile: &mut Profile) {
    let of = |kind: NodeKind, profile: &Profile| -> Vec<usize> {
        (0..profile.nodes.len()).filter(|i| profile.nodes[*i].kind == kind).collect()
    };
    for i in of(NodeKind::Symmetric, profile) {
        equal_lengths(&mut profile.nodes[i]);
    }
    let continuous = of(NodeKind::CurvatureContinuous, profile);
    for _ in 0..ROUNDS {
        let mut jump: f64 = 0.0;
        for i in &continuous {
            if let Some((before, behind)) = beside(profile, *i) {
                let here = curvature_jump(&before, &behind).abs();
                jump = jump.max(here);
                if here > NO_JUMP {
                    matches(profile, *i);
                }
            }
        }
        if jump <= NO_JUMP {
            break;
        }
    }
}

fn equal_lengths(node: &mut Node) {
    let (Some(into), Some(out)) = (node.handle_in, node.handle_out) else { return };
    let (a, b) = (node.at.distance(into), node.at.distance(out));
    if (a - b).abs() <= SAME_MM || a <= SAME_MM || b <= SAME_MM {
        return;
    }
    let length = 0.5 * (a + b);
    node.handle_in = Some(node.at + (into - node.at) * (length / a));
    node.handle_out = Some(node.at + (out - node.at) * (length / b));
}

/// The two cubics at a node, if both are.
fn beside(profile: &Profile, i: usize) -> Option<(CubicBez, CubicBez)> {
    let n = profile.nodes.len();
    let cubic = |a: usize, b: usize| match profile.stretch(a, b) {
        PathSeg::Cubic(c) => Some(c),
        _ => None,
    };
    Some((cubic((i + n - 1) % n, i)?, cubic(i, (i + 1) % n)?))
}

/// Makes the curvature the same on both sides of a node; whether it could be.
fn matches(profile: &mut Profile, i: usize) -> bool {
    let found = beside(profile, i).and_then(|(a, b)| curvature_matched(&a, &b));
    if let Some((before, behind)) = found {
        let node = &mut profile.nodes[i];
        (node.handle_in, node.handle_out) = (Some(before.p2), Some(behind.p1));
    }
    found.is_some()
}

/// Where the other handle of a node goes when one of its handles was put somewhere.
pub(super) fn other_handle(profile: &Profile, i: usize, out_moved: bool, other: Point) -> Point {
    let node = &profile.nodes[i];
    let own = if out_moved { node.handle_out } else { node.handle_in };
    let Some(own) = own else { return other };
    let arm = node.at - own;
    let length = match node.kind {
        NodeKind::Symmetric => arm.hypot(),
        NodeKind::CurvatureContinuous => {
            length_for_curvature(profile, i, out_moved).unwrap_or((other - node.at).hypot())
        }
        _ => (other - node.at).hypot(),
    };
    if arm.hypot() > 0.0 { node.at + arm.normalize() * length } else { other }
}

/// The length of the other handle at which the curvature is the same on both sides, where both
/// sides bend the same way.
fn length_for_curvature(profile: &Profile, i: usize, out_moved: bool) -> Option<f64> {
    let (before, behind) = beside(profile, i)?;
    let node = &profile.nodes[i];
    let own = if out_moved { behind.p1 } else { before.p2 };
    let tangent = (if out_moved { own - node.at } else { node.at - own }).normalize();
    let (h1, h2) = (tangent.cross(before.p1 - node.at), tangent.cross(behind.p2 - node.at));
    let (own_h, other_h) = if out_moved { (h2, h1) } else { (h1, h2) };
    let ratio = other_h / own_h;
    (ratio.is_finite() && (0.02..50.0).contains(&ratio))
        .then(|| node.at.distance(own) * ratio.sqrt())
}
