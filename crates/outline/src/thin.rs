//! Fewer nodes: several removed at once, or as many as a tolerance allows.

use crate::outline::Outline;
use crate::split::joined;
use kurbo::PathSeg;

/// An outline keeps this many nodes.
const FEWEST: usize = 3;

/// A curve in place of several segments in a row, and how far it strays from them.
struct Joined {
    seg: PathSeg,
    off_mm: f64,
}

impl Outline {
    /// The outline without some nodes: whatever lies between two that stay becomes one cubic (or
    /// line), its end directions kept, as near to what was there as can be in the sense of least
    /// squares. At least two nodes stay.
    #[must_use]
    pub fn without_nodes(&self, nodes: &[usize]) -> Self {
        let count = self.segs().len();
        let kept: Vec<usize> = (0..count).filter(|i| !nodes.contains(i)).collect();
        if kept.len() < 2 || kept.len() == count {
            return self.clone();
        }
        let to = |k: usize| kept[(k + 1) % kept.len()];
        let segs = (0..kept.len()).map(|k| self.between(kept[k], to(k)).seg);
        // Node 0 stays the first if it stays at all.
        self.with_segs(segs.collect())
    }

    /// The nodes, among those that may go, that can be removed while the outline strays no
    /// further than a tolerance from what it was: one by one, always the one that is missed
    /// least (as M. Visvalingam and J. D. Whyatt, The Cartographic Journal 30 (1993), 46–51, thin
    /// a line). Ascending.
    pub fn superfluous_nodes(&self, may_go: &[usize], tolerance_mm: f64) -> Vec<usize> {
        let count = self.segs().len();
        let mut kept: Vec<bool> = vec![true; count];
        let mut may: Vec<bool> = vec![false; count];
        may_go.iter().filter(|i| **i < count).for_each(|i| may[*i] = true);
        let mut left = count;
        let beside = |kept: &[bool], node: usize| {
            let before = (1..count).map(|k| (node + count - k) % count).find(|i| kept[*i]);
            let behind = (1..count).map(|k| (node + k) % count).find(|i| kept[*i]);
            before.zip(behind)
        };
        let missed = |kept: &[bool], node: usize| {
            let Some((before, behind)) = beside(kept, node) else { return f64::INFINITY };
            self.between(before, behind).off_mm
        };
        let mut costs: Vec<f64> =
            (0..count).map(|i| if may[i] { missed(&kept, i) } else { f64::INFINITY }).collect();
        while left > FEWEST {
            let least =
                (0..count).filter(|i| kept[*i]).min_by(|a, b| costs[*a].total_cmp(&costs[*b]));
            let Some(node) = least.filter(|i| costs[*i] <= tolerance_mm) else { break };
            kept[node] = false;
            left -= 1;
            if let Some((before, behind)) = beside(&kept, node) {
                for i in [before, behind] {
                    if may[i] {
                        costs[i] = missed(&kept, i);
                    }
                }
            }
        }
        (0..count).filter(|i| !kept[*i]).collect()
    }

    /// One curve for the segments from one node to another.
    fn between(&self, from: usize, to: usize) -> Joined {
        let count = self.segs().len();
        let length = match (to + count - from) % count {
            0 => count,
            length => length,
        };
        let segs: Vec<PathSeg> = (0..length).map(|k| self.segs()[(from + k) % count]).collect();
        let (seg, off_mm) = joined(&segs);
        Joined { seg, off_mm }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, ParamCurve, Point, Shape};

    /// A circle of four cubics, divided into so many.
    fn disc(parts: usize) -> Outline {
        let mut outline = Outline::from_path(&Circle::new((0., 0.), 40.).to_path(0.02)).unwrap();
        assert_eq!(outline.segs().len(), 4);
        while outline.segs().len() < parts {
            let on = outline.segs().len() % 7 * 5 % outline.segs().len();
            outline = outline.split_at(on, 0.43);
        }
        outline
    }

    /// The furthest that one outline's places lie from another.
    fn off_mm(from: &Outline, to: &Outline) -> f64 {
        let places =
            from.segs().iter().flat_map(|seg| (0..=16).map(move |i| seg.eval(f64::from(i) / 16.0)));
        places.map(|p| to.nearest(p).distance_mm).fold(0.0, f64::max)
    }

    #[test]
    fn many_nodes_of_a_circle_are_superfluous() {
        let outline = disc(40);
        let all: Vec<usize> = (0..40).collect();
        for tolerance in [0.001, 0.01, 0.2] {
            let gone = outline.superfluous_nodes(&all, tolerance);
            let thin = outline.without_nodes(&gone);
            assert_eq!(thin.segs().len(), 40 - gone.len());
            assert!(gone.len() >= 30, "{tolerance}: {}", gone.len());
            let off = off_mm(&outline, &thin).max(off_mm(&thin, &outline));
            assert!(off < tolerance * 1.2 + 1e-6, "{tolerance}: {off}");
        }
        assert!(outline.superfluous_nodes(&[], 1.0).is_empty());
    }

    #[test]
    fn nodes_that_were_put_in_one_curve_go_without_a_trace() {
        let plain = disc(4);
        let more = plain.split_at(0, 0.3).split_at(1, 0.5).split_at(2, 0.4);
        let back = more.without_nodes(&[1, 2, 3]);
        assert_eq!(back.segs().len(), plain.segs().len());
        let off = off_mm(&plain, &back);
        assert!(off < 1e-6, "{off}");
    }

    #[test]
    fn a_square_needs_all_its_corners_but_no_more() {
        let square = [(0., 0.), (5., 0.), (10., 0.), (10., 10.), (0., 10.)].map(Point::from);
        let outline = Outline::polygon(&square).unwrap();
        let gone = outline.superfluous_nodes(&[0, 1, 2, 3, 4], 0.01);
        assert_eq!(gone, [1]);
        assert!(matches!(outline.without_nodes(&gone).segs()[0], PathSeg::Line(_)));
    }
}
