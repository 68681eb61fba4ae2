//! A tree of boxes over the pieces of a ring, in the order of the ring.
//!
//! Neighbours along an outline are neighbours on the plane, so that halving the ring again
//! and again gives a good tree without any sorting.

use kurbo::{Point, Rect};

/// Boxes of all runs of items that halving makes: node 1 is the whole, the children of node
/// `k` are `2k` and `2k + 1`, items are the last `width` nodes.
#[derive(Clone, Debug)]
pub(crate) struct BoxTree {
    boxes: Vec<Rect>,
    width: usize,
}

/// No tree is deeper: one that were would hold more boxes than any memory.
const DEEPEST: usize = 32;

/// A box that holds nothing and adds nothing.
const NOTHING: Rect = Rect::new(f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);

impl BoxTree {
    /// The tree over the given boxes.
    pub(crate) fn new(items: impl ExactSizeIterator<Item = Rect>) -> Self {
        let count = items.len();
        let width = count.next_power_of_two();
        let mut boxes = vec![NOTHING; 2 * width];
        for (slot, item) in boxes[width..].iter_mut().zip(items) {
            *slot = item;
        }
        for k in (1..width).rev() {
            boxes[k] = boxes[2 * k].union(boxes[2 * k + 1]);
        }
        Self { boxes, width }
    }

    /// Visits the items in descending order of promise: `promise` bounds from above what any
    /// item in a box can give, `visit` gives what an item does give. Runs of boxes that promise
    /// no more than the best so far are passed over. Returns the best, or `min` if none
    /// betters it.
    pub(crate) fn visit_best_first(
        &self,
        floor: f64,
        upper_bound: impl Fn(&Rect) -> f64,
        mut visit: impl FnMut(usize) -> f64,
    ) -> f64 {
        let mut best = floor;
        // Each level leaves one box waiting, so that the stack is never deeper than the tree: an
        // array saves an allocation in what is asked thousands of times.
        let mut stack = [(0.0, 0); DEEPEST + 1];
        stack[0] = (upper_bound(&self.boxes[1]), 1);
        let mut waiting = 1;
        while waiting > 0 {
            waiting -= 1;
            let (hope, node) = stack[waiting];
            if hope <= best || hope.is_nan() {
                continue;
            }
            if node >= self.width {
                best = best.max(visit(node - self.width));
                continue;
            }
            let left = (upper_bound(&self.boxes[2 * node]), 2 * node);
            let right = (upper_bound(&self.boxes[2 * node + 1]), 2 * node + 1);
            let (first, second) = if left.0 >= right.0 { (left, right) } else { (right, left) };
            (stack[waiting], stack[waiting + 1]) = (second, first);
            waiting += 2;
        }
        best
    }

    /// Visits every item whose box passes the test (as do all boxes around it).
    pub(crate) fn each(&self, test: impl Fn(&Rect) -> bool, mut visit: impl FnMut(usize)) {
        let mut stack = vec![1];
        while let Some(node) = stack.pop() {
            if self.boxes[node].x0 > self.boxes[node].x1 || !test(&self.boxes[node]) {
                continue;
            }
            if node >= self.width {
                visit(node - self.width);
            } else {
                stack.push(2 * node + 1);
                stack.push(2 * node);
            }
        }
    }

    /// Visits every pair of items `(i, j)`, `i < j`, whose boxes come within `grow_mm` of each
    /// other along both axes, until `visit` says stop by `false`.
    pub(crate) fn pairs(&self, grow_mm: f64, mut visit: impl FnMut(usize, usize) -> bool) {
        let near = |a: &Rect, b: &Rect| {
            a.x0 <= b.x1 + grow_mm
                && b.x0 <= a.x1 + grow_mm
                && a.y0 <= b.y1 + grow_mm
                && b.y0 <= a.y1 + grow_mm
        };
        let mut stack = vec![(1, 1)];
        while let Some((a, b)) = stack.pop() {
            if a == b {
                if a < self.width {
                    stack.extend([(2 * a, 2 * a), (2 * a + 1, 2 * a + 1), (2 * a, 2 * a + 1)]);
                }
            } else if near(&self.boxes[a], &self.boxes[b]) {
                if a < self.width {
                    for (c, d) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                        stack.push((2 * a + c, 2 * b + d));
                    }
                } else if !visit(a - self.width, b - self.width) {
                    return;
                }
            }
        }
    }
}

/// The greatest product of a point of the box with a direction.
pub(crate) fn box_reach(r: &Rect, along: kurbo::Vec2) -> f64 {
    if r.x0 > r.x1 {
        return f64::NEG_INFINITY;
    }
    (along.x * r.x0).max(along.x * r.x1) + (along.y * r.y0).max(along.y * r.y1)
}

/// Whether the ray from `p` along `along` may meet the box.
pub(crate) fn ray_meets(r: &Rect, p: Point, along: kurbo::Vec2) -> bool {
    let side = kurbo::Vec2::new(-along.y, along.x);
    let at = side.dot(p.to_vec2());
    box_reach(r, side) >= at
        && -box_reach(r, -side) <= at
        && box_reach(r, along) >= along.dot(p.to_vec2())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_are_those_that_overlap() {
        let boxes: Vec<Rect> =
            (0..37).map(|i| Rect::new(f64::from(i), 0., f64::from(i) + 1.5, 1.)).collect();
        let tree = BoxTree::new(boxes.into_iter());
        let mut found = vec![];
        tree.pairs(0.0, |i, j| {
            found.push((i, j));
            true
        });
        found.sort_unstable();
        assert_eq!(found, (0..36).map(|i| (i, i + 1)).collect::<Vec<_>>());
        let mut stabbed = vec![];
        tree.each(|r| r.x0 <= 5.2 && r.x1 >= 5.2, |i| stabbed.push(i));
        assert_eq!(stabbed, vec![4, 5]);
        assert_eq!(tree.visit_best_first(0.0, |r| r.x1, |i| i as f64), 36.0);
    }
}
