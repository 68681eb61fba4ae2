//! A closed polyline on the grid under a tree of boxes: where it meets itself, what it is near.
//!
//! The ring is cut into runs, each within one quadrant of direction. Such a run is monotone
//! both ways, so it can't meet itself, its box is that of its two ends, and two runs in a row
//! that share a half-plane of direction can't meet either. That leaves little to look at.
//! All decisions are made in whole numbers and are exact.

use i_overlay::i_float::int::point::IntPoint;

use super::bounds::Bounds;

/// A point on the grid; frames keep coordinates within 1e9.
pub(super) type GridPoint = IntPoint<i32>;

/// The most chords in a run.
const RUN: u32 = 12;

/// No more runs than this are looked at one by one, without a tree.
const FEW: usize = 24;

/// Successive chords within one quadrant of direction.
#[derive(Clone, Copy)]
struct Run {
    /// The first chord; the run ends where the next one starts.
    start: u32,
    /// Bit 0: leftward; bit 1: downward.
    quadrant: u32,
}

/// Two chords that meet other than at the corner neighbours share.
pub(super) struct Meeting {
    pub(super) i: u32,
    pub(super) j: u32,
    /// Twice the areas of the triangles of chord `i` with the ends of chord `j`, and of chord
    /// `j` with the ends of chord `i`; positive to the left.
    pub(super) of_i: [i64; 2],
    pub(super) of_j: [i64; 2],
}

impl Meeting {
    /// Whether the chords cross inside both, so that no end lies on the other chord.
    pub(super) fn is_clean(&self) -> bool {
        self.of_i[0] != 0 && self.of_i[1] != 0 && self.of_j[0] != 0 && self.of_j[1] != 0
    }
}

/// The ring and its tree.
pub(super) struct Chain<'a> {
    points: &'a [GridPoint],
    runs: Vec<Run>,
    /// Boxes level by level; those of the runs first.
    boxes: Vec<Bounds>,
    /// Where each level's boxes start, and the end.
    levels: Vec<usize>,
    folded: bool,
}

impl<'a> Chain<'a> {
    /// The tree over a ring of at least three points; successive points must differ.
    pub(super) fn new(points: &'a [GridPoint]) -> Self {
        let mut chain = Self {
            points,
            runs: Vec::with_capacity(points.len() / 4 + 8),
            boxes: Vec::with_capacity(points.len() / 2 + 16),
            levels: vec![0],
            folded: false,
        };
        chain.cut_runs();
        chain.stack_boxes();
        chain
    }

    fn cut_runs(&mut self) {
        let n = self.points.len();
        let mut a = self.points[0];
        let mut quadrant = u32::MAX;
        let mut start = 0_u32;
        for i in 0..n {
            let b = self.points[if i + 1 == n { 0 } else { i + 1 }];
            let way = u32::from(b.x < a.x) | u32::from(b.y < a.y) << 1;
            let at = i as u32;
            if way != quadrant || at - start >= RUN {
                self.folded |= self.folds_at(i);
                self.runs.push(Run { start: at, quadrant: way });
                (quadrant, start) = (way, at);
            }
            a = b;
        }
    }

    /// Whether the ring turns straight back on itself at a point.
    fn folds_at(&self, i: usize) -> bool {
        let n = self.points.len();
        let (p, q) = (self.points[(i + n - 1) % n], self.points[i]);
        let r = self.points[(i + 1) % n];
        let (ux, uy) = (i64::from(q.x) - i64::from(p.x), i64::from(q.y) - i64::from(p.y));
        let (vx, vy) = (i64::from(r.x) - i64::from(q.x), i64::from(r.y) - i64::from(q.y));
        // Halved: a sum of two products of full length would not fit.
        ux * vy == uy * vx && (ux * vx) / 2 + (uy * vy) / 2 < 0
    }

    fn stack_boxes(&mut self) {
        for r in 0..self.runs.len() {
            let (from, to) = self.range(r);
            self.boxes.push(Bounds::of(self.points[from], self.point(to)));
        }
        let (mut low, mut high) = (0, self.boxes.len());
        self.levels.push(high);
        if self.is_small() {
            return;
        }
        while high - low > 1 {
            for i in (low..high).step_by(2) {
                let pair = self.boxes[i];
                let pair = if i + 1 < high { pair.with(self.boxes[i + 1]) } else { pair };
                self.boxes.push(pair);
            }
            (low, high) = (high, self.boxes.len());
            self.levels.push(high);
        }
    }

    /// Whether there is no tree, as the few runs are quicker looked at one by one.
    fn is_small(&self) -> bool {
        self.runs.len() <= FEW
    }

    /// First chord of a run and the one after its last.
    fn range(&self, run: usize) -> (usize, usize) {
        let end = self.runs.get(run + 1).map_or(self.points.len(), |r| r.start as usize);
        (self.runs[run].start as usize, end)
    }

    /// How many chords there are.
    pub(super) fn len(&self) -> usize {
        self.points.len()
    }

    /// The corner where a chord starts; the one after the last is the first again.
    pub(super) fn point(&self, i: usize) -> GridPoint {
        self.points[if i >= self.points.len() { i - self.points.len() } else { i }]
    }

    /// Whether two successive chords lie on one another.
    pub(super) fn is_folded(&self) -> bool {
        self.folded
    }

    /// Whether the ring meets itself nowhere.
    pub(super) fn is_plain(&self) -> bool {
        !self.folded && self.pairs(0, &mut |i, j| self.meeting(i, j).is_none())
    }

    /// Shows every pair of chords whose boxes come within a margin of each other, until told
    /// to stop by `false`, and returns whether it was not. Left out are chords that share a
    /// corner and those so near along the ring that they neither meet nor run against each
    /// other.
    pub(super) fn pairs(&self, margin: i32, found: &mut impl FnMut(usize, usize) -> bool) -> bool {
        if !self.is_small() {
            return self.within(self.levels.len() - 2, 0, margin, found);
        }
        (0..self.runs.len()).all(|r| {
            let bounds = self.boxes[r].grown(margin);
            (r + 1..self.runs.len())
                .all(|s| !bounds.meets(self.boxes[s]) || self.between_runs(r, s, margin, found))
        })
    }

    /// Pairs within one box of a level.
    fn within(
        &self,
        level: usize,
        i: usize,
        margin: i32,
        found: &mut impl FnMut(usize, usize) -> bool,
    ) -> bool {
        if level == 0 {
            return true;
        }
        let (a, b) = (2 * i, 2 * i + 1);
        if b >= self.width(level - 1) {
            return self.within(level - 1, a, margin, found);
        }
        let boxes = &self.boxes[self.levels[level - 1]..];
        let apart = !boxes[a].grown(margin).meets(boxes[b]);
        self.within(level - 1, a, margin, found)
            && self.within(level - 1, b, margin, found)
            && (apart || self.between(level - 1, [a, b], margin, found))
    }

    fn width(&self, level: usize) -> usize {
        self.levels[level + 1] - self.levels[level]
    }

    /// Pairs between two boxes of a level, which meet.
    fn between(
        &self,
        level: usize,
        [i, j]: [usize; 2],
        margin: i32,
        found: &mut impl FnMut(usize, usize) -> bool,
    ) -> bool {
        if level == 0 {
            return self.between_runs(i, j, margin, found);
        }
        let below = &self.boxes[self.levels[level - 1]..self.levels[level]];
        let parts = |i: usize| 2 * i..below.len().min(2 * i + 2);
        parts(i).all(|a| {
            let bounds = below[a].grown(margin);
            let meets = |b: &usize| bounds.meets(below[*b]);
            parts(j).filter(meets).all(|b| self.between(level - 1, [a, b], margin, found))
        })
    }

    fn between_runs(
        &self,
        r: usize,
        s: usize,
        margin: i32,
        found: &mut impl FnMut(usize, usize) -> bool,
    ) -> bool {
        let neighbours = r + 1 == s || (r == 0 && s + 1 == self.runs.len());
        if neighbours && self.runs[r].quadrant ^ self.runs[s].quadrant != 3 {
            return true;
        }
        let (box_r, box_s) = (self.boxes[r].grown(margin), self.boxes[s].grown(margin));
        let Some((s0, s1)) = self.part_in(s, box_r) else { return true };
        let Some((r0, r1)) = self.part_in(r, box_s) else { return true };
        for i in r0..r1 {
            let chord = self.chord_box(i).grown(margin);
            for j in s0..s1 {
                if chord.meets(self.chord_box(j)) && !self.share_a_corner(i, j) && !found(i, j) {
                    return false;
                }
            }
        }
        true
    }

    /// The box of a chord.
    pub(super) fn chord_box(&self, i: usize) -> Bounds {
        Bounds::of(self.point(i), self.point(i + 1))
    }

    fn share_a_corner(&self, i: usize, j: usize) -> bool {
        let apart = i.abs_diff(j);
        apart == 1 || apart == self.points.len() - 1
    }

    /// The chords of a run that reach into a box: a stretch, as the run is monotone.
    fn part_in(&self, run: usize, bounds: Bounds) -> Option<(usize, usize)> {
        let (from, to) = self.range(run);
        let inside = |i: &usize| self.chord_box(*i).meets(bounds);
        let first = (from..to).find(inside)?;
        let last = (first..to).rev().find(inside)?;
        Some((first, last + 1))
    }

    /// How two chords that share no corner meet.
    pub(super) fn meeting(&self, i: usize, j: usize) -> Option<Meeting> {
        // On one line all areas are nought, however far apart they are.
        if !self.chord_box(i).meets(self.chord_box(j)) {
            return None;
        }
        let (a, b, c, d) = (self.point(i), self.point(i + 1), self.point(j), self.point(j + 1));
        let of_i = [side(a, b, c), side(a, b, d)];
        let apart = |s: [i64; 2]| (s[0] > 0 && s[1] > 0) || (s[0] < 0 && s[1] < 0);
        if apart(of_i) {
            return None;
        }
        let of_j = [side(c, d, a), side(c, d, b)];
        if apart(of_j) {
            return None;
        }
        Some(Meeting { i: i as u32, j: j as u32, of_i, of_j })
    }

    /// Whether any chord is nearer to a place than a distance.
    pub(super) fn is_nearer(&self, x: f64, y: f64, distance: f64) -> bool {
        let distance2 = distance * distance;
        if !self.is_small() {
            return self.nearer_in(self.levels.len() - 2, 0, x, y, distance2);
        }
        (0..self.runs.len()).any(|r| self.nearer_in(0, r, x, y, distance2))
    }

    fn nearer_in(&self, level: usize, i: usize, x: f64, y: f64, distance2: f64) -> bool {
        if i >= self.width(level) {
            return false;
        }
        if self.boxes[self.levels[level] + i].distance2(x, y) >= distance2 {
            return false;
        }
        if level == 0 {
            let (from, to) = self.range(i);
            return (from..to)
                .any(|k| is_chord_nearer(self.point(k), self.point(k + 1), x, y, distance2));
        }
        self.nearer_in(level - 1, 2 * i, x, y, distance2)
            || self.nearer_in(level - 1, 2 * i + 1, x, y, distance2)
    }
}

/// Twice the area of a triangle, positive if it turns left. Exact: coordinates within 1e9
/// keep the products within 4e18.
pub(super) fn side(a: GridPoint, b: GridPoint, c: GridPoint) -> i64 {
    let (a_x, a_y) = (i64::from(a.x), i64::from(a.y));
    (i64::from(b.x) - a_x) * (i64::from(c.y) - a_y)
        - (i64::from(b.y) - a_y) * (i64::from(c.x) - a_x)
}

/// Whether a place is nearer to a chord than the square root of a number.
pub(super) fn is_chord_nearer(a: GridPoint, b: GridPoint, x: f64, y: f64, distance2: f64) -> bool {
    let (ax, ay) = (f64::from(a.x), f64::from(a.y));
    let (ux, uy) = (f64::from(b.x) - ax, f64::from(b.y) - ay);
    let (px, py) = (x - ax, y - ay);
    let (along, length2) = (px * ux + py * uy, ux * ux + uy * uy);
    if along <= 0.0 {
        return px * px + py * py < distance2;
    }
    if along >= length2 {
        let (qx, qy) = (px - ux, py - uy);
        return qx * qx + qy * qy < distance2;
    }
    let across = px * uy - py * ux;
    across * across < distance2 * length2
}

#[cfg(test)]
mod tests {
    use super::*;
    fn ring(corners: &[(i32, i32)]) -> Vec<GridPoint> {
        corners.iter().map(|c| GridPoint::new(c.0, c.1)).collect()
    }

    #[test]
    fn a_figure_of_eight_meets_itself_once() {
        let square = ring(&[(0, 0), (100, 0), (100, 100), (0, 100)]);
        assert!(Chain::new(&square).is_plain());
        let eight = ring(&[(0, 0), (100, 100), (100, 0), (0, 100)]);
        let chain = Chain::new(&eight);
        assert!(!chain.is_plain());
        let mut met = Vec::new();
        chain.pairs(0, &mut |i, j| {
            met.extend(chain.meeting(i, j).map(|m| (m.i, m.j, m.is_clean())));
            true
        });
        assert_eq!(met, [(0, 2, true)]);
    }

    #[test]
    fn touching_and_folding_are_told() {
        // A corner on a side.
        let touching = ring(&[(0, 0), (100, 0), (100, 100), (50, 0), (0, 100)]);
        let chain = Chain::new(&touching);
        assert!(!chain.is_plain() && !chain.is_folded());
        let folded = ring(&[(0, 0), (100, 0), (40, 0), (40, 50)]);
        assert!(Chain::new(&folded).is_folded());
    }

    #[test]
    fn pairs_come_within_the_margin_only() {
        // Two levels ten apart, with wider ends.
        let slot = ring(&[
            (0, 0),
            (100, 0),
            (120, -20),
            (120, 30),
            (100, 10),
            (0, 10),
            (-20, 30),
            (-20, -20),
        ]);
        let chain = Chain::new(&slot);
        let count = |margin: i32| {
            let mut pairs = 0;
            chain.pairs(margin, &mut |_, _| {
                pairs += 1;
                true
            });
            pairs
        };
        assert!(count(10) > count(9));
        assert_eq!(count(0), 0);
        // On one line, but apart.
        let apart = ring(&[(0, 0), (10, 0), (10, -5), (20, -5), (20, 0), (30, 0), (30, 9), (0, 9)]);
        assert!(Chain::new(&apart).is_plain());
    }

    #[test]
    fn distances_are_to_the_nearest_chord() {
        let square = ring(&[(0, 0), (100, 0), (100, 100), (0, 100)]);
        let chain = Chain::new(&square);
        assert!(chain.is_nearer(50.0, 30.0, 30.1) && !chain.is_nearer(50.0, 30.0, 30.0));
        assert!(chain.is_nearer(103.0, 104.0, 5.1) && !chain.is_nearer(103.0, 104.0, 5.0));
    }

    #[test]
    fn areas_are_exact_at_the_ends_of_the_grid() {
        let far = 1_000_000_000;
        let corner = |x: i32, y: i32| GridPoint::new(x, y);
        assert_eq!(
            side(corner(-far, -far), corner(far, far), corner(far, far - 1)),
            -2_000_000_000
        );
        assert_eq!(side(corner(-far, -far), corner(far, far), corner(0, 0)), 0);
    }
}
