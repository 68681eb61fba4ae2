//! Figures of the outline, and which of its stretches are the edge.

use knife::{Knife, NodeId};
use kurbo::{ParamCurve, ParamCurveArclen, PathSeg, Point, Rect, Shape, Vec2};
use outline::{Contact, InsideCorner, InsideRadius, MinWidth, Outline, SecondMoments};

/// Figures of the outline in the knife's plane.
#[derive(Clone, Debug, PartialEq)]
pub struct ProfileFigures {
    /// Overall length along x, mm.
    pub length_mm: f64,
    /// Overall width along y, mm.
    pub width_mm: f64,
    /// Area, mm², holes not taken off.
    pub area_mm2: f64,
    /// Area less the holes', mm².
    pub net_area_mm2: f64,
    /// Length of the whole outline, mm.
    pub perimeter_mm: f64,
    /// Centroid of the area, holes not taken off.
    pub centroid: Point,
    /// Second moments of area about the centroid, mm⁴, holes not taken off.
    pub second_moments: SecondMoments,
    /// The box around the outline.
    pub bounds: Rect,
    /// Least width over all directions, and the turn that lays it across the bar.
    pub min_width: MinWidth,
    /// The tightest smooth inside curve; `None` when there is none.
    pub tightest_inside: Option<InsideRadius>,
    /// Sharp inside corners.
    pub inside_corners: Vec<InsideCorner>,
    /// Places where the outline meets itself; empty for a sound one.
    pub contacts: Vec<Contact>,
    /// The edge, when tip and heel are marked.
    pub edge: Option<Edge>,
    /// +1 when the butt lies towards +x from the tip, −1 when towards −x.
    pub towards_butt: f64,
    /// Whether the edge lies on the +y side (a knife lying on its spine).
    pub edge_is_up: bool,
}

/// The cutting edge: the run of the outline between tip and heel along the lower side.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Its stretches from tip to heel.
    pub segs: Vec<PathSeg>,
    /// The rest of the outline, from the tip the other way round to the heel: spine, butt,
    /// belly.
    pub away: Vec<PathSeg>,
    /// Its length along the curve, mm.
    pub length_mm: f64,
    /// Its length along x, mm.
    pub straight_mm: f64,
}

/// Unit way in which a stretch ends; none for one without length.
pub(crate) fn end_tangent(seg: PathSeg) -> Vec2 {
    let curve = seg.to_cubic();
    let directions = [curve.p2, curve.p1, curve.p0].map(|p| curve.p3 - p);
    let direction = directions.into_iter().find(|direction| direction.hypot() > 1e-9);
    direction.map_or(Vec2::ZERO, Vec2::normalize)
}

/// Works out the figures of an outline.
pub(crate) fn figures(knife: &Knife, outline: &Outline) -> ProfileFigures {
    let bounds = outline.bounds();
    let area_mm2 = outline.area();
    // A hole that lies outside takes nothing off; one that breaks the edge is a finding.
    let inside = knife.holes.iter().filter(|hole| outline.contains(hole.at));
    let holes: f64 = inside.map(|hole| hole.circle().area()).sum();
    let edge = edge(knife, outline);
    let towards_butt = towards_butt(knife, bounds);
    ProfileFigures {
        length_mm: bounds.width(),
        width_mm: bounds.height(),
        area_mm2,
        net_area_mm2: area_mm2 - holes,
        perimeter_mm: outline.perimeter(),
        centroid: outline.centroid(),
        second_moments: outline.second_moments(),
        bounds,
        min_width: outline.min_width(),
        tightest_inside: outline.tightest_inside(),
        inside_corners: outline.inside_corners(),
        contacts: outline.contacts(),
        edge_is_up: edge.as_ref().is_some_and(|edge| lies_up(edge, outline)),
        edge,
        towards_butt,
    }
}

/// +1 when the butt lies towards +x from the tip, −1 when towards −x.
pub(crate) fn towards_butt(knife: &Knife, bounds: Rect) -> f64 {
    let tip = knife.profile.tip.and_then(|id| knife.profile.node(id)).map(|node| node.at);
    if tip.is_some_and(|tip| tip.x > bounds.center().x) { -1.0 } else { 1.0 }
}

/// The run from tip to heel; of the two ways round the ring, the shorter.
fn edge(knife: &Knife, outline: &Outline) -> Option<Edge> {
    let index = |id: Option<NodeId>| knife.profile.index_of(id?);
    let (tip, heel) = (index(knife.profile.tip)?, index(knife.profile.heel)?);
    if tip == heel {
        return None;
    }
    let segs = outline.segs();
    let n = segs.len();
    let run = |from: usize, to: usize| -> Vec<PathSeg> {
        (0..(to + n - from) % n).map(|i| segs[(from + i) % n]).collect()
    };
    let forward = run(tip, heel);
    let backward: Vec<PathSeg> = run(heel, tip).iter().rev().map(PathSeg::reverse).collect();
    let (ahead_mm, behind_mm) = (length(&forward), length(&backward));
    let (segs, away, length_mm) = if ahead_mm <= behind_mm {
        (forward, backward, ahead_mm)
    } else {
        (backward, forward, behind_mm)
    };
    let straight_mm = (knife.profile.nodes[tip].at.x - knife.profile.nodes[heel].at.x).abs();
    Some(Edge { segs, away, length_mm, straight_mm })
}

fn length(segs: &[PathSeg]) -> f64 {
    segs.iter().map(|seg| seg.arclen(1e-6)).sum()
}

/// Whether the material lies below the middle of the edge.
fn lies_up(edge: &Edge, outline: &Outline) -> bool {
    let Some(seg) = edge.segs.get(edge.segs.len() / 2) else { return false };
    let on_edge = seg.eval(0.5);
    let beneath = Point::new(on_edge.x, on_edge.y - 0.05);
    outline.contains(beneath)
}
