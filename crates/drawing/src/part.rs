//! Which part of the knife a mark stands for: a tag in the drawing, so that marks know no knife.

use knife::{HoleId, NodeId, PartId};
use marks::{Drawing, Item, Mark, Pen};

/// Adds marks that stand for parts of the knife.
pub trait MarkPart {
    /// Adds a mark that stands for a part, if for any.
    fn add_part(&mut self, pen: Pen, mark: Mark, part: impl Into<Option<PartId>>);
}

impl MarkPart for Drawing {
    fn add_part(&mut self, pen: Pen, mark: Mark, part: impl Into<Option<PartId>>) {
        self.items.push(Item { mark, pen, tag: part.into().map(tag) });
    }
}

/// The part that a mark stands for, if it stands for one.
pub fn part_of(item: &Item) -> Option<PartId> {
    let tag = item.tag?;
    let id = u32::try_from(tag & u64::from(u32::MAX)).ok()?;
    Some(match tag >> 32 {
        0 => PartId::Profile,
        1 => PartId::Stretch(NodeId(id)),
        2 => PartId::Node(NodeId(id)),
        3 => PartId::Hole(HoleId(id)),
        4 => PartId::Plunge,
        5 => PartId::GrindLine,
        6 => PartId::Scales,
        7 => PartId::Bar,
        8 => PartId::Sheath,
        _ => return None,
    })
}

/// The kind of part in the upper half, its id in the lower.
fn tag(part: PartId) -> u64 {
    let (kind, id) = match part {
        PartId::Profile => (0, 0),
        PartId::Stretch(id) => (1, id.0),
        PartId::Node(id) => (2, id.0),
        PartId::Hole(id) => (3, id.0),
        PartId::Plunge => (4, 0),
        PartId::GrindLine => (5, 0),
        PartId::Scales => (6, 0),
        PartId::Bar => (7, 0),
        PartId::Sheath => (8, 0),
    };
    kind << 32 | u64::from(id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Line, Point};

    #[test]
    fn a_mark_stands_for_the_part_it_was_added_for() {
        let mut drawing = Drawing::new();
        let mark = || Mark::from(Line::new(Point::ORIGIN, Point::new(1.0, 0.0)));
        let parts = [
            PartId::Profile,
            PartId::Stretch(NodeId(0)),
            PartId::Node(NodeId(7)),
            PartId::Hole(HoleId(u32::MAX)),
            PartId::Plunge,
            PartId::GrindLine,
            PartId::Scales,
            PartId::Bar,
            PartId::Sheath,
        ];
        drawing.add(Pen::Cut, mark());
        for part in parts {
            drawing.add_part(Pen::Cut, mark(), part);
        }
        let found: Vec<Option<PartId>> = drawing.items.iter().map(part_of).collect();
        assert_eq!(found[0], None);
        assert!(found[1..].iter().eq(parts.map(Some).iter()), "{found:?}");
    }
}
