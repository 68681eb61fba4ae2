//! Edits that turn, scale, line up and space out some nodes and holes.

use super::{Edit, check, in_range};
use crate::{Hole, HoleId, Knife, Node, NodeId, PartId, Refusal, limits};
use kurbo::{Affine, Point, Vec2};

/// A selection is scaled by no more and no less than this.
const SCALE: std::ops::RangeInclusive<f64> = 0.01..=100.0;

/// How parts are lined up: by the drawing's own axes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Alignment {
    /// All at the least x.
    Left,
    /// All halfway between least and greatest x.
    MiddleX,
    /// All at the greatest x.
    Right,
    /// All at the greatest y.
    Top,
    /// All halfway between least and greatest y.
    MiddleY,
    /// All at the least y.
    Bottom,
}

impl Alignment {
    /// All there are.
    pub const ALL: [Self; 6] =
        [Self::Left, Self::MiddleX, Self::Right, Self::Top, Self::MiddleY, Self::Bottom];

    fn is_x(self) -> bool {
        matches!(self, Self::Left | Self::MiddleX | Self::Right)
    }
}

pub(super) fn change(edit: &Edit, knife: &mut Knife) -> Result<(), Refusal> {
    match edit {
        Edit::MoveParts { parts, by } => each(knife, parts, |_| Affine::translate(*by)),
        Edit::TurnParts { parts, about, by_deg } => {
            in_range("a turn", *by_deg, &limits::TURN_DEG)?;
            check::point(*about)?;
            let by = Affine::rotate_about(by_deg.to_radians(), *about);
            each(knife, parts, |_| by)
        }
        Edit::ScaleParts { parts, about, x, y } => {
            in_range("a scale", x.abs(), &SCALE)?;
            in_range("a scale", y.abs(), &SCALE)?;
            check::point(*about)?;
            let at = about.to_vec2();
            let by =
                Affine::translate(at) * Affine::scale_non_uniform(*x, *y) * Affine::translate(-at);
            each(knife, parts, |_| by)
        }
        Edit::AlignParts { parts, to } => align(knife, parts, *to),
        Edit::DistributeParts { parts, up } => distribute(knife, parts, *up),
        _ => Ok(()),
    }
}

fn node(knife: &mut Knife, id: NodeId) -> Result<&mut Node, Refusal> {
    let found = knife.profile.nodes.iter_mut().find(|node| node.id == id);
    found.ok_or(Refusal::NoSuchNode(id))
}

fn hole(knife: &mut Knife, id: HoleId) -> Result<&mut Hole, Refusal> {
    knife.holes.iter_mut().find(|hole| hole.id == id).ok_or(Refusal::NoSuchHole(id))
}

/// Where a part is; only nodes and holes are anywhere.
fn place(knife: &Knife, part: PartId) -> Result<Point, Refusal> {
    match part {
        PartId::Node(id) => {
            knife.profile.node(id).map(|node| node.at).ok_or(Refusal::NoSuchNode(id))
        }
        PartId::Hole(id) => knife.hole(id).map(|hole| hole.at).ok_or(Refusal::NoSuchHole(id)),
        _ => Err(Refusal::NoSuchPart),
    }
}

/// Moves each part by its own affine map; handles go with their nodes.
fn each(knife: &mut Knife, parts: &[PartId], by: impl Fn(Point) -> Affine) -> Result<(), Refusal> {
    for part in parts {
        let by = by(place(knife, *part)?);
        match part {
            PartId::Node(id) => {
                let node = node(knife, *id)?;
                node.at = by * node.at;
                node.handle_in = node.handle_in.map(|p| by * p);
                node.handle_out = node.handle_out.map(|p| by * p);
                check::node(node)?;
            }
            PartId::Hole(id) => {
                let hole = hole(knife, *id)?;
                hole.at = by * hole.at;
                check::point(hole.at)?;
            }
            _ => return Err(Refusal::NoSuchPart),
        }
    }
    Ok(())
}

fn places(knife: &Knife, parts: &[PartId], min: usize) -> Result<Vec<Point>, Refusal> {
    let all = parts.iter().map(|part| place(knife, *part)).collect::<Result<Vec<_>, _>>()?;
    if all.len() < min { Err(Refusal::TooFewParts { min }) } else { Ok(all) }
}

fn align(knife: &mut Knife, parts: &[PartId], to: Alignment) -> Result<(), Refusal> {
    let all = places(knife, parts, 2)?;
    let value = |p: Point| if to.is_x() { p.x } else { p.y };
    let lowest = all.iter().map(|p| value(*p)).fold(f64::INFINITY, f64::min);
    let highest = all.iter().map(|p| value(*p)).fold(f64::NEG_INFINITY, f64::max);
    let wanted = match to {
        Alignment::Left | Alignment::Bottom => lowest,
        Alignment::Right | Alignment::Top => highest,
        Alignment::MiddleX | Alignment::MiddleY => 0.5 * (lowest + highest),
    };
    each(knife, parts, |p| {
        let off = wanted - value(p);
        Affine::translate(if to.is_x() { Vec2::new(off, 0.0) } else { Vec2::new(0.0, off) })
    })
}

/// Evenly between the two outermost, in the order in which they lie.
fn distribute(knife: &mut Knife, parts: &[PartId], up: bool) -> Result<(), Refusal> {
    let all = places(knife, parts, 3)?;
    let value = |p: Point| if up { p.y } else { p.x };
    let mut order: Vec<usize> = (0..all.len()).collect();
    order.sort_by(|a, b| value(all[*a]).total_cmp(&value(all[*b])));
    let (first, last) = (value(all[order[0]]), value(all[order[order.len() - 1]]));
    for (k, i) in order.iter().enumerate() {
        let wanted = first + (last - first) * k as f64 / (order.len() - 1) as f64;
        let off = wanted - value(all[*i]);
        let by = if up { Vec2::new(0.0, off) } else { Vec2::new(off, 0.0) };
        each(knife, &parts[*i..=*i], |_| Affine::translate(by))?;
    }
    Ok(())
}
