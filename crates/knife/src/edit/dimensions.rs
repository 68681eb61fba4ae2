//! Edits of the dimensions that are kept, and what becomes of them when their parts change.

use super::{Edit, check, in_range};
use crate::{Anchor, Dimension, Knife, NodeId, Refusal, limits};

pub(super) fn change(edit: &Edit, knife: &mut Knife) -> Result<(), Refusal> {
    match edit {
        Edit::AddDimension(dimension) => {
            let max = *limits::DIMENSIONS.end();
            if knife.dimensions.len() >= max {
                return Err(Refusal::TooMany { what: "dimensions", max });
            }
            for anchor in dimension.anchors() {
                match anchor {
                    Anchor::Place(at) => check::point(at)?,
                    Anchor::Outline { t, .. } => in_range("a place on a segment", t, &(0.0..=1.0))?,
                    Anchor::Node(_) | Anchor::Hole(_) => {}
                }
            }
            if !is_whole(knife, dimension) {
                return Err(Refusal::NoSuchPart);
            }
            if !knife.dimensions.contains(dimension) {
                knife.dimensions.push(*dimension);
            }
            Ok(())
        }
        Edit::RemoveDimension(at) => {
            if *at >= knife.dimensions.len() {
                return Err(Refusal::NoSuchPart);
            }
            knife.dimensions.remove(*at);
            Ok(())
        }
        Edit::ClearDimensions => {
            knife.dimensions.clear();
            Ok(())
        }
        _ => Ok(()),
    }
}

/// Whether everything that a dimension is taken from and to is there.
pub(crate) fn is_whole(knife: &Knife, dimension: &Dimension) -> bool {
    dimension.nodes().iter().all(|id| knife.profile.node(*id).is_some())
        && dimension.holes().iter().all(|id| knife.hole(*id).is_some())
}

/// Places on the outline stay where they were when its nodes are others than before; what was
/// taken from parts that are gone is let go of.
pub(super) fn follow(before: &Knife, knife: &mut Knife) {
    if knife.dimensions.is_empty() {
        return;
    }
    let names =
        |knife: &Knife| -> Vec<NodeId> { knife.profile.nodes.iter().map(|n| n.id).collect() };
    if names(before) != names(knife)
        && let (Ok(old), Ok(new)) = (before.profile.outline(), knife.profile.outline())
    {
        let nodes = &knife.profile.nodes;
        for anchor in knife.dimensions.iter_mut().flat_map(Dimension::anchors_mut) {
            let Anchor::Outline { stretch, t } = anchor else { continue };
            let Some(on) = before.profile.index_of(*stretch) else { continue };
            let found = new.nearest(old.point_at(on, *t));
            if let Some(node) = nodes.get(found.segment) {
                (*stretch, *t) = (node.id, found.t);
            }
        }
    }
    let mut dimensions = std::mem::take(&mut knife.dimensions);
    dimensions.retain(|dimension| is_whole(knife, dimension));
    knife.dimensions = dimensions;
}
