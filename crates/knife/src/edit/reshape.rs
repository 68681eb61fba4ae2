//! Edits that bend, split, thin out, make fair and copy stretches of the outline.

use super::check::index;
use super::nodes::{FEWEST, adopt, move_handle, refuse_marked};
use super::{Edit, HandleSide, check, in_range};
use crate::{Node, NodeId, NodeKind, Profile, Refusal, limits};
use kurbo::{Affine, Circle, PathSeg, Vec2};
use outline::{FairOptions, Outline, OutlinePoint, pulled};

/// Tolerances that are typed for fairing and simplifying, mm.
const TOLERANCE_MM: std::ops::RangeInclusive<f64> = 0.001..=10.0;
/// Equal parts of a stretch.
const PARTS: std::ops::RangeInclusive<f64> = 2.0..=100.0;

pub(super) fn change(edit: &Edit, profile: &mut Profile) -> Result<(), Refusal> {
    match edit {
        Edit::PullStretch { stretch, t, by } => pull(profile, *stretch, *t, *by),
        Edit::SplitStretch { stretch, parts } => split(profile, *stretch, *parts),
        Edit::RemoveNodes(nodes) => remove(profile, nodes),
        Edit::Simplify { nodes, tolerance_mm } => simplify(profile, nodes, *tolerance_mm),
        Edit::FairNodes { nodes, tolerance_mm } => fair(profile, nodes, *tolerance_mm),
        Edit::PasteStretch { stretch, t, nodes } => paste(profile, *stretch, *t, nodes),
        _ => Ok(()),
    }
}

fn shape(profile: &Profile) -> Result<Outline, Refusal> {
    profile.outline().map_err(|_fault| Refusal::NoOutline)
}

/// Bends a curve, or moves a straight run with both its ends.
fn pull(profile: &mut Profile, stretch: NodeId, t: f64, by: Vec2) -> Result<(), Refusal> {
    in_range("a place on a segment", t, &(0.0..=1.0))?;
    check::point(by.to_point())?;
    let a = index(profile, stretch)?;
    let b = (a + 1) % profile.nodes.len();
    let PathSeg::Cubic(c) = profile.stretch(a, b) else {
        for i in [a, b] {
            super::nodes::shift(&mut profile.nodes[i], by);
            check::point(profile.nodes[i].at)?;
        }
        return Ok(());
    };
    let new = pulled(&c, t, by);
    let (from, to) = (profile.nodes[a].id, profile.nodes[b].id);
    // A handle that was missing is there from now on.
    profile.nodes[a].handle_out = Some(c.p1);
    profile.nodes[b].handle_in = Some(c.p2);
    move_handle(profile, from, HandleSide::Out, new.p1)?;
    move_handle(profile, to, HandleSide::In, new.p2)
}

fn split(profile: &mut Profile, stretch: NodeId, parts: usize) -> Result<(), Refusal> {
    in_range("a number of parts", parts as f64, &PARTS)?;
    let at = index(profile, stretch)?;
    let max = *limits::NODES.end();
    if profile.nodes.len() + parts > max {
        return Err(Refusal::TooMany { what: "nodes", max });
    }
    let mut outline = shape(profile)?;
    let whole = outline.length_between((at, 0.0), (at, 1.0));
    for left in (2..=parts).rev() {
        let on = at + (parts - left);
        let place = outline.at_length((on, 0.0), whole / parts as f64);
        if place.segment != on {
            return Err(Refusal::NoSuchPart);
        }
        outline = outline.split_at(on, place.t);
    }
    adopt(profile, &outline, None);
    Ok(())
}

fn remove(profile: &mut Profile, nodes: &[NodeId]) -> Result<(), Refusal> {
    let mut gone = Vec::with_capacity(nodes.len());
    for id in nodes {
        gone.push(index(profile, *id)?);
        refuse_marked(profile, *id)?;
    }
    if profile.nodes.len() < FEWEST + gone.len() {
        return Err(Refusal::TooFewNodes);
    }
    without(profile, &gone)
}

fn without(profile: &mut Profile, gone: &[usize]) -> Result<(), Refusal> {
    let shorter = shape(profile)?.without_nodes(gone);
    // Nodes that stay keep their names though another may lie in the same place.
    let kept: Vec<Node> = (0..profile.nodes.len())
        .filter(|i| !gone.contains(i))
        .map(|i| profile.nodes[i].clone())
        .collect();
    if kept.len() != shorter.segs().len() {
        return Ok(());
    }
    let mut nodes = Profile::from_outline(&shorter).nodes;
    for (node, known) in nodes.iter_mut().zip(kept) {
        (node.id, node.kind) = (known.id, known.kind);
    }
    profile.nodes = nodes;
    Ok(())
}

/// The places of some nodes in the ring; of all for none named.
fn indices(profile: &Profile, nodes: &[NodeId]) -> Result<Vec<usize>, Refusal> {
    if nodes.is_empty() {
        return Ok((0..profile.nodes.len()).collect());
    }
    nodes.iter().map(|id| index(profile, *id)).collect()
}

fn is_marked(profile: &Profile, i: usize) -> bool {
    let id = Some(profile.nodes[i].id);
    profile.tip == id || profile.heel == id
}

fn simplify(profile: &mut Profile, nodes: &[NodeId], tolerance_mm: f64) -> Result<(), Refusal> {
    in_range("a tolerance", tolerance_mm, &TOLERANCE_MM)?;
    let outline = shape(profile)?;
    let corners: Vec<usize> = outline.corners().iter().map(|corner| corner.node).collect();
    let mut may_go = indices(profile, nodes)?;
    may_go.retain(|i| !is_marked(profile, *i) && !corners.contains(i));
    let gone = outline.superfluous_nodes(&may_go, tolerance_mm);
    without(profile, &gone)
}

fn fair(profile: &mut Profile, nodes: &[NodeId], tolerance_mm: f64) -> Result<(), Refusal> {
    in_range("a tolerance", tolerance_mm, &TOLERANCE_MM)?;
    let outline = shape(profile)?;
    let nodes = indices(profile, nodes)?;
    let all = 0..profile.nodes.len();
    let pinned: Vec<usize> = all.clone().filter(|i| is_marked(profile, *i)).collect();
    let of = |kind: NodeKind| -> Vec<usize> {
        all.clone().filter(|i| profile.nodes[*i].kind == kind).collect()
    };
    let symmetric = of(NodeKind::Symmetric);
    let before = profile.clone();
    // Making the curvature quite continuous moves the curve by a little more: then once more with
    // less to spare.
    for share in [1.0, 0.9, 0.7, 0.4] {
        let options = FairOptions {
            nodes: &nodes,
            pinned: &pinned,
            symmetric: &symmetric,
            tolerance_mm: tolerance_mm * share,
        };
        profile.clone_from(&before);
        take_curves(profile, &outline, &outline.faired(&options).outline);
        super::joints::restore(profile);
        if outline.furthest_mm(&shape(profile)?) <= tolerance_mm {
            return super::nodes::check_coordinates(profile);
        }
    }
    profile.clone_from(&before);
    Ok(())
}

/// Takes the curves that differ from those before.
fn take_curves(profile: &mut Profile, old: &Outline, new: &Outline) {
    for (i, seg) in new.segs().iter().enumerate() {
        let next = (i + 1) % profile.nodes.len();
        if let PathSeg::Cubic(c) = seg
            && *seg != old.segs()[i]
        {
            profile.nodes[i].at = c.p0;
            profile.nodes[i].handle_out = Some(c.p1);
            profile.nodes[next].at = c.p3;
            profile.nodes[next].handle_in = Some(c.p2);
        }
    }
}

/// Puts a copied run of the outline in place of as much of it as it spans, its middle at a place.
fn paste(profile: &mut Profile, stretch: NodeId, t: f64, nodes: &[Node]) -> Result<(), Refusal> {
    in_range("a place on a segment", t, &(0.0..=1.0))?;
    let at = index(profile, stretch)?;
    let max = *limits::NODES.end();
    if profile.nodes.len() + nodes.len() > max {
        return Err(Refusal::TooMany { what: "nodes", max });
    }
    let outline = shape(profile)?;
    let [first, .., last] = nodes else { return Err(Refusal::TooFewParts { min: 2 }) };
    let chord = last.at - first.at;
    let span = chord.hypot();
    let whole = outline.perimeter();
    if !(span > 1e-6 && span < whole / 2.0) {
        return Err(Refusal::NoRoom);
    }
    let start = outline.at_length((at, t), -span / 2.0);
    let ahead =
        |p: &OutlinePoint| outline.length_between((start.segment, start.t), (p.segment, p.t));
    let crossings = outline.circle_crossings(Circle::new(start.at, span));
    let end = crossings.into_iter().min_by(|a, b| ahead(a).total_cmp(&ahead(b)));
    let end = end.filter(|end| ahead(end) < whole / 2.0).ok_or(Refusal::NoRoom)?;
    let wanted = end.at - start.at;
    let turn = chord.cross(wanted).atan2(chord.dot(wanted));
    let by = Affine::translate(start.at.to_vec2())
        * Affine::rotate(turn)
        * Affine::translate(-first.at.to_vec2());
    let mut segs: Vec<PathSeg> =
        nodes.windows(2).map(|pair| by * crate::profile::stretch(&pair[0], &pair[1])).collect();
    if let Some(PathSeg::Cubic(c)) = segs.last_mut() {
        c.p3 = end.at;
    } else if let Some(PathSeg::Line(l)) = segs.last_mut() {
        l.p1 = end.at;
    }
    segs.extend(outline.subpath(&end, &start));
    let new = Outline::new(segs).map_err(|_fault| Refusal::NoRoom)?;
    adopt(profile, &new, None);
    for (mark, marked) in [("tip", profile.tip), ("heel", profile.heel)] {
        if marked.is_some_and(|id| profile.index_of(id).is_none()) {
            return Err(Refusal::Swallowed { mark });
        }
    }
    Ok(())
}
