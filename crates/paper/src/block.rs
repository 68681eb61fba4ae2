//! A drawing in its box, to be put on a page beside others.

use crate::hull;
use kurbo::{Affine, Point, Size, Vec2};
use marks::Drawing;
use std::borrow::Cow;

/// A drawing with its box, its lower left corner at the origin.
pub(crate) struct Block<'a> {
    drawing: Cow<'a, Drawing>,
    pub(crate) size: Size,
    /// From the drawing's own plane to that.
    pub(crate) to_corner: Vec2,
}

impl<'a> Block<'a> {
    /// A drawing in a box with a little white around it; `None` for one that shows nothing.
    pub(crate) fn of(drawing: Cow<'a, Drawing>) -> Option<Self> {
        let own = hull::extent(&drawing)?;
        let to_corner = -own.origin().to_vec2();
        Some(Self { drawing, size: own.size(), to_corner })
    }

    /// The drawing with the lower left corner of its box at a place.
    pub(crate) fn at(&self, corner: Point) -> Drawing {
        self.drawing.moved(Affine::translate(self.to_corner + corner.to_vec2()))
    }
}

/// The orders in which boxes are put on a page, the first always first: as they come, then by each
/// of these measures, the largest first.
pub(crate) fn orders(sizes: &[Size], measures: &[fn(&Size) -> f64]) -> Vec<Vec<usize>> {
    let mut orders = vec![(0..sizes.len()).collect::<Vec<usize>>()];
    for measure in measures {
        let mut order = orders[0].clone();
        if let [_, rest @ ..] = &mut order[..] {
            rest.sort_by(|a, b| measure(&sizes[*b]).total_cmp(&measure(&sizes[*a])));
        }
        if !orders.contains(&order) {
            orders.push(order);
        }
    }
    orders
}

/// The height of a box, mm, to order by.
pub(crate) fn height(size: &Size) -> f64 {
    size.height
}

/// Its width, mm.
pub(crate) fn width(size: &Size) -> f64 {
    size.width
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_stays_first_and_no_order_comes_twice() {
        let sizes = [(9.0, 1.0), (2.0, 5.0), (3.0, 4.0), (1.0, 6.0)].map(Size::from);
        let by_size = orders(&sizes, &[height, width, |size| size.area()]);
        assert_eq!(by_size, [vec![0, 1, 2, 3], vec![0, 3, 1, 2], vec![0, 2, 1, 3]]);
        assert_eq!(orders(&sizes[..1], &[height]), [vec![0]]);
        assert_eq!(orders(&[], &[height]), [Vec::<usize>::new()]);
    }
}
