//! Edits of the outline's nodes and stretches. The outline stays closed whatever is done.

use super::check::index;
use super::joints::THIRD;
use super::{Edit, HandleSide, check, in_range, joints};
use crate::{Node, NodeId, NodeKind, Profile, Refusal, limits};
use kurbo::{ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};
use outline::{Notch, Outline};
use std::collections::BTreeMap;

/// Fewest nodes an outline keeps.
pub(super) const FEWEST: usize = 3;

pub(super) fn change(edit: &Edit, profile: &mut Profile) -> Result<(), Refusal> {
    match edit {
        Edit::MoveNodes { nodes, by } => {
            for id in nodes {
                let at = index(profile, *id)?;
                shift(&mut profile.nodes[at], *by);
            }
            check_coordinates(profile)
        }
        Edit::PlaceNode { node, to } => {
            let at = index(profile, *node)?;
            let by = *to - profile.nodes[at].at;
            shift(&mut profile.nodes[at], by);
            check_coordinates(profile)
        }
        Edit::MoveHandle { node, side, to } => move_handle(profile, *node, *side, *to),
        Edit::AddNode { stretch, t } => add_node(profile, *stretch, *t),
        Edit::RemoveNode(id) => remove_node(profile, *id),
        Edit::MakeCorner(id) => {
            let at = index(profile, *id)?;
            profile.nodes[at].kind = NodeKind::Corner;
            Ok(())
        }
        Edit::MakeSmooth(id) => joints::make_smooth(profile, *id),
        Edit::MakeSymmetric(id) => joints::make(profile, *id, NodeKind::Symmetric),
        Edit::MakeCurvatureContinuous(id) => {
            joints::make(profile, *id, NodeKind::CurvatureContinuous)
        }
        Edit::Straighten { stretch } => {
            let (a, b) = ends(profile, *stretch)?;
            profile.nodes[a].handle_out = None;
            profile.nodes[b].handle_in = None;
            for i in [a, b] {
                let kept = if in_line(profile, i) { NodeKind::Smooth } else { NodeKind::Corner };
                if profile.nodes[i].kind.is_smooth() {
                    profile.nodes[i].kind = kept;
                }
            }
            Ok(())
        }
        Edit::Bend { stretch } => {
            let (a, b) = ends(profile, *stretch)?;
            let (from, to) = (profile.nodes[a].at, profile.nodes[b].at);
            profile.nodes[a].handle_out.get_or_insert(from.lerp(to, THIRD));
            profile.nodes[b].handle_in.get_or_insert(to.lerp(from, THIRD));
            Ok(())
        }
        Edit::RoundCorner { node, radius_mm } => round_corner(profile, *node, *radius_mm),
        Edit::InsertNotch { stretch, t, diameter_mm, depth_mm, lip_radius_mm } => {
            let (diameter_mm, depth_mm, lip_radius_mm) = (*diameter_mm, *depth_mm, *lip_radius_mm);
            in_range("a notch's diameter", diameter_mm, &(0.1..=1000.0))?;
            insert_notch(profile, *stretch, *t, Notch { diameter_mm, depth_mm, lip_radius_mm })
        }
        Edit::MarkTip(id) => index(profile, *id).map(|_| profile.tip = Some(*id)),
        Edit::MarkHeel(id) => index(profile, *id).map(|_| profile.heel = Some(*id)),
        Edit::TakeProfile(taken) | Edit::DrawProfile(taken) => {
            let max = *limits::NODES.end();
            if taken.nodes.len() > max {
                return Err(Refusal::TooMany { what: "nodes", max });
            }
            if taken.nodes.len() < 2 {
                return Err(Refusal::NoOutline);
            }
            for marked in [taken.tip, taken.heel].into_iter().flatten() {
                index(taken, marked)?;
            }
            *profile = taken.clone();
            check_coordinates(profile)
        }
        _ => Ok(()),
    }
}

/// Indices of the two nodes that bound a stretch.
fn ends(profile: &Profile, stretch: NodeId) -> Result<(usize, usize), Refusal> {
    let a = index(profile, stretch)?;
    Ok((a, (a + 1) % profile.nodes.len()))
}

pub(super) fn shift(node: &mut Node, by: Vec2) {
    node.at += by;
    for handle in [&mut node.handle_in, &mut node.handle_out].into_iter().flatten() {
        *handle += by;
    }
}

pub(super) fn check_coordinates(profile: &Profile) -> Result<(), Refusal> {
    profile.nodes.iter().try_for_each(check::node)
}

pub(super) fn move_handle(
    profile: &mut Profile,
    id: NodeId,
    side: HandleSide,
    to: Point,
) -> Result<(), Refusal> {
    check::point(to)?;
    let at = index(profile, id)?;
    let own = own_handle(&mut profile.nodes[at], side);
    if own.is_none() {
        return Err(Refusal::NoHandle);
    }
    *own = Some(to);
    let node = &profile.nodes[at];
    let direction = to - node.at;
    if !node.kind.is_smooth() || direction.hypot() == 0.0 {
        return Ok(());
    }
    let out_moved = side == HandleSide::Out;
    let other_side = if out_moved { HandleSide::In } else { HandleSide::Out };
    if let Some(other) = *own_handle(&mut profile.nodes[at], other_side) {
        let other = joints::other_handle(profile, at, out_moved, other);
        *own_handle(&mut profile.nodes[at], other_side) = Some(other);
        return Ok(());
    }
    // Its other stretch is straight: the handle may only slide along it.
    let n = profile.nodes.len();
    let neighbour = profile.nodes[if out_moved { at + n - 1 } else { at + 1 } % n].at;
    let node = &mut profile.nodes[at];
    let line = node.at - neighbour;
    if line.hypot() > 0.0 {
        let line = line.normalize();
        let slid = node.at + line * direction.dot(line).max(0.0);
        *own_handle(node, side) = Some(slid);
    }
    Ok(())
}

fn own_handle(node: &mut Node, side: HandleSide) -> &mut Option<Point> {
    match side {
        HandleSide::In => &mut node.handle_in,
        HandleSide::Out => &mut node.handle_out,
    }
}

fn add_node(profile: &mut Profile, stretch: NodeId, t: f64) -> Result<(), Refusal> {
    in_range("a place on a segment", t, &(1e-9..=1.0 - 1e-9))?;
    let max = *limits::NODES.end();
    if profile.nodes.len() >= max {
        return Err(Refusal::TooMany { what: "nodes", max });
    }
    let (a, b) = ends(profile, stretch)?;
    let id = next_id(profile);
    let whole = profile.outline().map_err(|_fault| Refusal::NoOutline)?.segs()[a];
    let node = match (whole.subsegment(0.0..t), whole.subsegment(t..1.0)) {
        (PathSeg::Cubic(left), PathSeg::Cubic(right)) => {
            profile.nodes[a].handle_out = Some(left.p1);
            profile.nodes[b].handle_in = Some(right.p2);
            Node {
                id,
                at: left.p3,
                handle_in: Some(left.p2),
                handle_out: Some(right.p1),
                kind: NodeKind::Smooth,
            }
        }
        (left, _) => {
            Node { id, at: left.end(), handle_in: None, handle_out: None, kind: NodeKind::Corner }
        }
    };
    profile.nodes.insert(a + 1, node);
    Ok(())
}

fn remove_node(profile: &mut Profile, id: NodeId) -> Result<(), Refusal> {
    let at = index(profile, id)?;
    refuse_marked(profile, id)?;
    if profile.nodes.len() <= FEWEST {
        return Err(Refusal::TooFewNodes);
    }
    let joined = profile.outline().map_err(|_fault| Refusal::NoOutline)?.without_node(at);
    adopt(profile, &joined, Some(id));
    Ok(())
}

fn round_corner(profile: &mut Profile, id: NodeId, radius_mm: f64) -> Result<(), Refusal> {
    in_range("a radius", radius_mm, &(0.01..=1000.0))?;
    let at = index(profile, id)?;
    // At the heel the edge ends where the arc begins, seen from the tip.
    let moves_heel = profile.heel == Some(id) && profile.tip.is_some_and(|tip| tip != id);
    if !moves_heel {
        refuse_marked(profile, id)?;
    }
    let rounded =
        profile.outline().map_err(|_fault| Refusal::NoOutline)?.round_corner(at, radius_mm)?;
    let before = profile.clone();
    adopt(profile, &rounded, Some(id));
    if moves_heel {
        end_edge_at_notch(profile, &before);
        if profile.heel.is_none_or(|heel| profile.index_of(heel).is_none()) {
            return Err(Refusal::Marked { mark: "heel" });
        }
    }
    refuse_swallowed(profile)
}

/// Refuses a change that left a mark without its node.
fn refuse_swallowed(profile: &Profile) -> Result<(), Refusal> {
    for (mark, marked) in [("tip", profile.tip), ("heel", profile.heel)] {
        if marked.is_some_and(|id| profile.index_of(id).is_none()) {
            return Err(Refusal::Swallowed { mark });
        }
    }
    Ok(())
}

fn insert_notch(
    profile: &mut Profile,
    stretch: NodeId,
    t: f64,
    notch: Notch,
) -> Result<(), Refusal> {
    in_range("a place on a segment", t, &(0.0..=1.0))?;
    let at = index(profile, stretch)?;
    let notched = profile.outline().map_err(|_fault| Refusal::NoOutline)?.notched(at, t, notch)?;
    let max = *limits::NODES.end();
    if notched.segs().len() > max {
        return Err(Refusal::TooMany { what: "nodes", max });
    }
    let before = profile.clone();
    adopt(profile, &notched, None);
    end_edge_at_notch(profile, &before);
    refuse_swallowed(profile)
}

/// A notch so near to the heel is where the edge ends, mm (common practice, no source).
const NEAR_HEEL_MM: f64 = 15.0;

/// Where a notch was cut over the heel, or into the edge a little ahead of it, the heel is from
/// now on the first place of the notch as one comes from the tip.
fn end_edge_at_notch(profile: &mut Profile, before: &Profile) {
    let heel = before.heel.and_then(|id| before.node(id)).map(|node| node.at);
    let (Some(heel_at), Some(forward)) = (heel, edge_runs_forward(before)) else { return };
    let Some(tip) = profile.tip.and_then(|id| profile.index_of(id)) else { return };
    let is_new = |node: &&Node| before.node(node.id).is_none();
    let n = profile.nodes.len();
    let from_tip = (1..n).map(|k| &profile.nodes[(tip + if forward { k } else { n - k }) % n]);
    let mut on_edge = from_tip.take_while(|node| Some(node.id) != before.heel);
    let Some(lip) = on_edge.find(is_new).map(|node| node.id) else { return };
    let is_swallowed = before.heel.is_some_and(|id| profile.index_of(id).is_none());
    let near = |node: &Node| node.at.distance(heel_at) <= NEAR_HEEL_MM;
    if is_swallowed || profile.nodes.iter().filter(is_new).any(near) {
        profile.heel = Some(lip);
    }
}

/// Whether the edge, the shorter way from tip to heel, goes round the outline in its own order.
fn edge_runs_forward(profile: &Profile) -> Option<bool> {
    let (tip, heel) = (profile.index_of(profile.tip?)?, profile.index_of(profile.heel?)?);
    let outline = profile.outline().ok()?;
    let n = outline.segs().len();
    let length = |from: usize, to: usize| -> f64 {
        let run = (0..(to + n - from) % n).map(|i| outline.segs()[(from + i) % n]);
        run.map(|seg| seg.arclen(1e-3)).sum()
    };
    Some(length(tip, heel) <= length(heel, tip))
}

pub(super) fn refuse_marked(profile: &Profile, id: NodeId) -> Result<(), Refusal> {
    for (mark, marked) in [("tip", profile.tip), ("heel", profile.heel)] {
        if marked == Some(id) {
            return Err(Refusal::Marked { mark });
        }
    }
    Ok(())
}

/// Takes the shape of an outline made from this profile's own. Nodes that stayed exactly in
/// place keep their names, marks and kind; `gone` does not.
pub(super) fn adopt(profile: &mut Profile, shape: &Outline, gone: Option<NodeId>) {
    let place = |p: Point| (p.x.to_bits(), p.y.to_bits());
    let mut stayed: BTreeMap<_, Vec<&Node>> = BTreeMap::new();
    for node in profile.nodes.iter().rev().filter(|node| Some(node.id) != gone) {
        stayed.entry(place(node.at)).or_default().push(node);
    }
    let mut next = next_id(profile).0;
    let mut nodes = Profile::from_outline(shape).nodes;
    for node in &mut nodes {
        if let Some(known) = stayed.get_mut(&place(node.at)).and_then(Vec::pop) {
            node.id = known.id;
            node.kind = known.kind;
        } else {
            node.id = NodeId(next);
            next += 1;
        }
    }
    profile.nodes = nodes;
}

pub(super) fn next_id(profile: &Profile) -> NodeId {
    NodeId(profile.nodes.iter().map(|node| node.id.0.saturating_add(1)).max().unwrap_or(1))
}

/// Whether the outline runs straight on at a node.
fn in_line(profile: &Profile, at: usize) -> bool {
    let n = profile.nodes.len();
    let node = &profile.nodes[at];
    let into = node.at - node.handle_in.unwrap_or(profile.nodes[(at + n - 1) % n].at);
    let out = node.handle_out.unwrap_or(profile.nodes[(at + 1) % n].at) - node.at;
    into.cross(out).abs() <= 1e-3 * into.hypot() * out.hypot() && into.dot(out) > 0.0
}
