//! Beam search: shapes are placed one after another, keeping the most promising partial layouts.

use super::no_fit::{NoFitCache, first_free, height, height_mm};
use super::oriented_shape::{COARSE_MM, FINE_MM, OrientedShape, PROFILE_MM};
use super::{Effort, PackedItem, Packing, Progress, Shape, Strip};
use kurbo::Affine;

/// Heights across the strip that are tried for a shape, besides those beside other shapes.
const HEIGHTS: i64 = 14;
/// Spacing of heights, times a power of two, micrometres: pairs of shapes then recur at the same
/// heights, and the no-fit cache serves them.
const FINEST: i64 = 250;
/// Heights beside this many of the last placements are tried.
const BESIDE: usize = 24;
/// Beyond this many placements the next one is only tried near the front: gaps far behind are not
/// searched again for each.
const MANY: usize = 60;
/// Placements tried for one layout, unless a beam of width one needs more.
const MAX_PLACINGS: usize = 150_000;
/// Differences below this are rounding, mm.
const SLACK_MM: f64 = 1e-9;

/// An item in the strip: `x` and height of its true bounding box from the margins.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placement {
    pub(super) item: usize,
    pub(super) shape: usize,
    pub(super) x: f64,
    pub(super) y: i64,
}

/// What is kept apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Bounding boxes.
    Boxes,
    /// True outlines.
    Shapes,
}

impl Kind {
    /// A shape's right side at each height.
    fn profile(self, oriented: &OrientedShape) -> impl Iterator<Item = f64> + '_ {
        oriented
            .right
            .iter()
            .map(move |right| if self == Self::Boxes { oriented.size.x } else { *right })
    }
}

/// Items placed in the strip.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    pub(super) placements: Vec<Placement>,
    pub(super) unplaced: Vec<usize>,
    pub(super) length_mm: f64,
    pub(super) area_mm2: f64,
}

impl Layout {
    /// Whether this one places more area, or as much in less length.
    pub(super) fn is_better_than(&self, other: &Self) -> bool {
        let slack = 1e-9 * self.area_mm2.max(1.0);
        self.area_mm2 > other.area_mm2 + slack
            || self.area_mm2 > other.area_mm2 - slack && self.length_mm < other.length_mm - SLACK_MM
    }
}

/// A partial layout with its front: how far it reaches at each height.
#[derive(Clone)]
struct PartialLayout {
    layout: Layout,
    front: Vec<f64>,
    /// Its length after each placement, mm: what lies wholly behind a place is the first of them.
    lengths_mm: Vec<f64>,
}

impl PartialLayout {
    /// The placements that may reach so far along the strip, mm.
    fn placements_from(&self, x: f64) -> &[Placement] {
        let behind = self.lengths_mm.partition_point(|length| *length < x);
        &self.layout.placements[behind..]
    }
}

/// A next step of a partial layout; no placement when the item finds no room.
struct Candidate {
    parent: usize,
    placement: Option<Placement>,
    cost: f64,
}

/// State shared by both searches.
pub(super) struct Search<'a> {
    pub(super) oriented: Vec<OrientedShape>,
    /// The orientations of each shape, as indices into `oriented`.
    pub(super) orientations_of: Vec<Vec<usize>>,
    pub(super) items: &'a [usize],
    strip: Strip,
    by_shape: NoFitCache,
    by_box: NoFitCache,
    steps: u64,
    effort: Effort,
    keep_going: &'a mut dyn FnMut(Progress) -> bool,
    stopped: bool,
    next_check: u64,
    best: Layout,
}

/// Placements tried between two calls to the caller.
const CHECK_EVERY: u64 = 500;

impl<'a> Search<'a> {
    pub(super) fn new(
        shapes: &[Shape],
        items: &'a [usize],
        strip: &Strip,
        effort: Effort,
        go_on: &'a mut dyn FnMut(Progress) -> bool,
    ) -> Self {
        let orientations = OrientedShape::all(shapes, strip, COARSE_MM);
        let of =
            |shape| (0..orientations.len()).filter(|i| orientations[*i].shape == shape).collect();
        let of_shape: Vec<Vec<usize>> = (0..shapes.len()).map(of).collect();
        Self {
            orientations_of: of_shape,
            oriented: orientations,
            items,
            strip: *strip,
            by_shape: NoFitCache::new(false),
            by_box: NoFitCache::new(true),
            steps: 0,
            effort,
            keep_going: go_on,
            stopped: false,
            next_check: CHECK_EVERY,
            best: Layout { unplaced: (0..items.len()).collect(), ..Layout::default() },
        }
    }

    pub(super) fn steps(&self) -> u64 {
        self.steps
    }

    /// Length of the strip between its margins, mm.
    pub(super) fn usable_length_mm(&self) -> f64 {
        self.strip.length_mm - 2.0 * self.strip.margin_mm
    }

    /// Shapes further apart than this don't keep each other from a place, mm.
    fn clearance_mm(&self) -> f64 {
        self.strip.gap_mm + 0.1
    }

    /// The largest height at which a shape's box still fits.
    pub(super) fn max_y(&self, oriented: usize) -> i64 {
        let room = self.strip.width_mm - 2.0 * self.strip.margin_mm;
        height(room - self.oriented[oriented].size.y).max(0)
    }

    /// Heights to try for a shape: evenly spaced from the lower margin on, and at the upper one.
    /// Each `finer` halves the distance.
    pub(super) fn grid(&self, oriented: usize, finer: u32) -> (i64, i64) {
        let slack = self.max_y(oriented);
        let mut step = FINEST;
        while slack > HEIGHTS * step {
            step *= 2;
        }
        (slack, (step >> finer).max(1))
    }

    /// Whether to go on, given the limit of placements tried.
    pub(super) fn should_continue(&mut self, max: u64) -> bool {
        if self.steps >= self.next_check && !self.stopped {
            self.next_check = self.steps + CHECK_EVERY;
            let progress = Progress {
                steps: self.steps,
                placed: self.best.placements.len(),
                length_mm: self.strip_length_mm(&self.best),
            };
            self.stopped = !(self.keep_going)(progress);
        }
        !self.stopped && self.steps < max
    }

    /// Places the shapes in several orders and sets of orientations, keeping the best layout.
    pub(super) fn run(&mut self) {
        let items: Vec<usize> = (0..self.items.len())
            .filter(|i| !self.orientations_of[self.items[*i]].is_empty())
            .collect();
        let orders = self.orders(&items);
        // Bounding boxes first: whatever follows must beat them.
        let boxes = self.forms_where(|oriented, before| {
            before.iter().all(|other| (other.size - oriented.size).hypot() > SLACK_MM)
        });
        for order in orders.iter().take(3) {
            let boxed = self.beam(order, &boxes, Kind::Boxes);
            let layout = self.compacted(&boxed);
            self.offer(layout);
        }
        // Shapes that may be mirrored are tried unmirrored too: a smaller search space.
        let plain = self.forms_where(|oriented, _| !oriented.orientation.mirrored);
        let all = self.orientations_of.clone();
        let sets = if plain == all { vec![all] } else { vec![plain, all] };
        for (i, set) in sets.iter().enumerate() {
            for (k, order) in orders.iter().enumerate() {
                // Half of the budget is kept for the local search.
                if i + k == 0 || self.should_continue(self.effort.max_steps / 2) {
                    let layout = self.beam(order, set, Kind::Shapes);
                    self.offer(layout);
                }
            }
        }
    }

    /// The orientations of each shape that pass a test, given those that passed before.
    fn forms_where(
        &self,
        items: impl Fn(&OrientedShape, &[&OrientedShape]) -> bool,
    ) -> Vec<Vec<usize>> {
        let some = |orientations: &Vec<usize>| {
            let mut kept: Vec<usize> = Vec::new();
            for &oriented in orientations {
                let before: Vec<&OrientedShape> = kept.iter().map(|i| &self.oriented[*i]).collect();
                if items(&self.oriented[oriented], &before) {
                    kept.push(oriented);
                }
            }
            kept
        };
        self.orientations_of.iter().map(some).collect()
    }

    pub(super) fn offer(&mut self, layout: Layout) {
        if layout.is_better_than(&self.best) {
            self.best = layout;
        }
    }

    pub(super) fn found(&self) -> &Layout {
        &self.best
    }

    /// Orders of placement, each distinct by shape.
    fn orders(&self, items: &[usize]) -> Vec<Vec<usize>> {
        let oriented = |item: &usize| &self.oriented[self.orientations_of[self.items[*item]][0]];
        let mut orders: Vec<Vec<usize>> = Vec::new();
        let mut add = |order: Vec<usize>| {
            let shapes = |o: &[usize]| o.iter().map(|i| self.items[*i]).collect::<Vec<_>>();
            if orders.iter().all(|known| shapes(known) != shapes(&order)) {
                orders.push(order);
            }
        };
        let sorted = |key: &dyn Fn(&usize) -> f64| {
            let mut order = items.to_vec();
            order.sort_by(|a, b| key(b).total_cmp(&key(a)));
            order
        };
        let long = sorted(&|i| oriented(i).size.x);
        add(long.clone());
        add(sorted(&|i| oriented(i).size.y));
        add(sorted(&|i| oriented(i).area_mm2));
        add(items.to_vec());
        add(long.iter().rev().copied().collect());
        // One of each shape in turn.
        let mut turns: Vec<(usize, usize, usize)> = Vec::new();
        for &item in &long {
            let before = turns.iter().filter(|t| self.items[t.2] == self.items[item]).count();
            turns.push((before, turns.len(), item));
        }
        turns.sort_unstable();
        add(turns.into_iter().map(|t| t.2).collect());
        orders
    }

    /// The smallest x at which a shape fits at a height among others.
    pub(super) fn min_x(
        &mut self,
        placements: &[Placement],
        oriented: usize,
        y: i64,
        kind: Kind,
    ) -> f64 {
        self.min_x_from(0.0, placements, oriented, y, kind)
    }

    /// The same, not below `from_x`.
    fn min_x_from(
        &mut self,
        from_x: f64,
        placements: &[Placement],
        oriented: usize,
        y: i64,
        kind: Kind,
    ) -> f64 {
        self.steps += 1;
        let mut blocked: Vec<(f64, f64)> = Vec::with_capacity(2 * placements.len());
        let gap = self.clearance_mm();
        let slides = match kind {
            Kind::Boxes => &mut self.by_box,
            Kind::Shapes => &mut self.by_shape,
        };
        for placement in placements {
            let up = y - placement.y;
            let apart = height_mm(up);
            if placement.x + self.oriented[placement.shape].size.x + gap < from_x {
                continue;
            }
            if apart > self.oriented[placement.shape].size.y + gap
                || -apart > self.oriented[oriented].size.y + gap
            {
                continue;
            }
            let pair = slides.blocked(&self.oriented, placement.shape, oriented, up);
            blocked.extend(pair.iter().map(|(low, high)| (placement.x + low, placement.x + high)));
        }
        first_free(from_x, &mut blocked)
    }

    /// Where the search for a place at a height starts, when much is placed already.
    fn leftmost_x(&self, state: &PartialLayout, oriented: usize, y: i64) -> f64 {
        if state.layout.placements.len() <= MANY {
            return 0.0;
        }
        let (first, rows) = (first_row(y), self.oriented[oriented].right.len());
        let covered = state.front.iter().skip(first).take(rows);
        let min = covered.copied().fold(f64::INFINITY, f64::min);
        if min.is_finite() { min.max(0.0) } else { 0.0 }
    }

    /// Beam width: smaller when there is much to place.
    fn beam_width(&self, order: &[usize], orientations: &[Vec<usize>]) -> usize {
        let max = order.iter().map(|item| orientations[self.items[*item]].len()).max().unwrap_or(1);
        let heights = usize::try_from(2 * HEIGHTS).unwrap_or(0) + 2 * BESIDE.min(order.len());
        let each = order.len().max(1) * max.max(1) * heights;
        (MAX_PLACINGS / each).min(self.effort.beam_width).max(1)
    }

    /// Heights worth trying for a shape.
    fn heights(&self, placements: &[Placement], oriented: usize) -> Vec<i64> {
        let (slack, step) = self.grid(oriented, 0);
        let mut heights: Vec<i64> = (0..=slack / step).map(|k| k * step).collect();
        heights.extend([slack / 2, slack]);
        let gap = height(self.clearance_mm());
        let tall = height(self.oriented[oriented].size.y) + 1;
        for placement in placements.iter().rev().take(BESIDE) {
            heights.push(placement.y + height(self.oriented[placement.shape].size.y) + 1 + gap);
            heights.push(placement.y - tall - gap);
        }
        heights.retain(|y| (0..=slack).contains(y));
        heights.sort_unstable();
        heights.dedup();
        heights
    }

    /// Places items in order, keeping the best partial layouts.
    fn beam(&mut self, order: &[usize], orientations: &[Vec<usize>], kind: Kind) -> Layout {
        let wide = self.strip.width_mm - 2.0 * self.strip.margin_mm;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a bar is no kilometre wide"
        )]
        let rows = (wide / PROFILE_MM).clamp(1.0, 1e5).ceil() as usize;
        let breadth = self.beam_width(order, orientations);
        let front = vec![0.0; rows];
        let mut states =
            vec![PartialLayout { layout: Layout::default(), front, lengths_mm: Vec::new() }];
        for &item in order {
            let mut next: Vec<Candidate> = Vec::new();
            for (of, state) in states.iter().enumerate() {
                let before = next.len();
                for &oriented in &orientations[self.items[item]] {
                    for y in self.heights(&state.layout.placements, oriented) {
                        let from_x = self.leftmost_x(state, oriented, y);
                        let others = state.placements_from(from_x - self.clearance_mm());
                        let x = self.min_x_from(from_x, others, oriented, y, kind);
                        if x + self.oriented[oriented].size.x > self.usable_length_mm() + SLACK_MM {
                            continue;
                        }
                        let placement = Placement { item, shape: oriented, x, y };
                        next.push(Candidate {
                            parent: of,
                            placement: Some(placement),
                            cost: self.cost(state, &placement, wide, kind),
                        });
                    }
                }
                if next.len() == before {
                    next.push(Candidate {
                        parent: of,
                        placement: None,
                        cost: self.waste(state, wide),
                    });
                }
            }
            next.sort_by(|a, b| a.cost.total_cmp(&b.cost));
            // Layouts of equal cost are mostly the same one in two orders.
            next.dedup_by(|a, b| (a.cost - b.cost).abs() < 1e-6);
            next.truncate(breadth);
            states = next
                .iter()
                .map(|n| self.after(&states[n.parent], n.placement, item, kind))
                .collect();
        }
        let mut best = Layout::default();
        for state in states {
            if best.placements.is_empty() || state.layout.is_better_than(&best) {
                best = state.layout;
            }
        }
        best
    }

    fn waste(&self, state: &PartialLayout, wide: f64) -> f64 {
        let layout = &state.layout;
        let sum: f64 = state.front.iter().sum();
        wide * front_cost(sum, state.front.len(), layout.length_mm) - layout.area_mm2
    }

    /// Area behind the front less the area placed there.
    fn cost(&self, state: &PartialLayout, placement: &Placement, wide: f64, kind: Kind) -> f64 {
        let oriented = &self.oriented[placement.shape];
        let mut sum: f64 = state.front.iter().sum();
        let first = first_row(placement.y);
        for (k, right) in kind.profile(oriented).enumerate() {
            if let Some(front) = state.front.get(first + k) {
                sum += (placement.x + right - front).max(0.0);
            }
        }
        let layout = &state.layout;
        let length = layout.length_mm.max(placement.x + oriented.size.x);
        wide * front_cost(sum, state.front.len(), length) - (layout.area_mm2 + oriented.area_mm2)
    }

    fn after(
        &self,
        state: &PartialLayout,
        placement: Option<Placement>,
        item: usize,
        kind: Kind,
    ) -> PartialLayout {
        let mut state = state.clone();
        let Some(placement) = placement else {
            state.layout.unplaced.push(item);
            return state;
        };
        let oriented = &self.oriented[placement.shape];
        let first = first_row(placement.y);
        for (k, right) in kind.profile(oriented).enumerate() {
            if let Some(front) = state.front.get_mut(first + k) {
                *front = front.max(placement.x + right);
            }
        }
        state.layout.length_mm = state.layout.length_mm.max(placement.x + oriented.size.x);
        state.layout.area_mm2 += oriented.area_mm2;
        state.layout.placements.push(placement);
        state.lengths_mm.push(state.layout.length_mm);
        state
    }

    /// A layout of boxes compacted by true shapes, from left to right; nothing moves right.
    fn compacted(&mut self, boxed: &Layout) -> Layout {
        let mut placements = boxed.placements.clone();
        placements.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut layout = Layout { unplaced: boxed.unplaced.clone(), ..Layout::default() };
        for placement in placements {
            // Of the orientations with the same box, the one that gets furthest left.
            let size = self.oriented[placement.shape].size;
            let mut best: Option<Placement> = None;
            for oriented in self.orientations_of[self.items[placement.item]].clone() {
                if (self.oriented[oriented].size - size).hypot() <= SLACK_MM {
                    let x = self.min_x(&layout.placements, oriented, placement.y, Kind::Shapes);
                    if best.is_none_or(|known| x < known.x) {
                        best = Some(Placement { shape: oriented, x, ..placement });
                    }
                }
            }
            self.place(&mut layout, best.unwrap_or(placement));
        }
        layout
    }

    /// The same layout compacted by finer polygons, unless it gets longer.
    pub(super) fn compacted_finely(&mut self, shapes: &[Shape], layout: &Layout) -> Layout {
        let coarse =
            std::mem::replace(&mut self.oriented, OrientedShape::all(shapes, &self.strip, FINE_MM));
        let mut placements = layout.placements.clone();
        let same = self.oriented.len() == coarse.len()
            && self
                .oriented
                .iter()
                .zip(&coarse)
                .all(|(a, b)| (a.shape, a.orientation) == (b.shape, b.orientation));
        if !same {
            self.oriented = coarse;
            return layout.clone();
        }
        self.by_shape = NoFitCache::new(false);
        placements.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut fine = Layout { unplaced: layout.unplaced.clone(), ..Layout::default() };
        for placement in placements {
            let x = self.min_x(&fine.placements, placement.shape, placement.y, Kind::Shapes);
            self.place(&mut fine, Placement { x, ..placement });
        }
        if fine.length_mm <= layout.length_mm { fine } else { layout.clone() }
    }

    /// Adds a placement.
    pub(super) fn place(&self, layout: &mut Layout, placement: Placement) {
        let oriented = &self.oriented[placement.shape];
        layout.length_mm = layout.length_mm.max(placement.x + oriented.size.x);
        layout.area_mm2 += oriented.area_mm2;
        layout.placements.push(placement);
    }

    fn strip_length_mm(&self, layout: &Layout) -> f64 {
        if layout.placements.is_empty() {
            0.0
        } else {
            layout.length_mm + 2.0 * self.strip.margin_mm
        }
    }

    pub(super) fn packing(&self, layout: &Layout) -> Packing {
        let margin = self.strip.margin_mm;
        let mut placements = layout.placements.clone();
        placements.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.cmp(&b.y)));
        let laid = placements.iter().map(|placement| {
            let oriented = &self.oriented[placement.shape];
            let at = (margin + placement.x, margin + height_mm(placement.y));
            PackedItem {
                item: placement.item,
                orientation: oriented.orientation,
                transform: Affine::translate(at) * oriented.transform,
            }
        });
        let laid: Vec<PackedItem> = laid.collect();
        let is_laid = |item: &usize| laid.iter().any(|l| l.item == *item);
        Packing {
            unplaced: (0..self.items.len()).filter(|item| !is_laid(item)).collect(),
            length_mm: self.strip_length_mm(layout),
            placed: laid,
            steps: self.steps,
            coarse: self.oriented.iter().any(|oriented| oriented.coarse),
        }
    }
}

/// Between the mean of the front and its maximum.
fn front_cost(sum: f64, rows: usize, length_mm: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "some thousand rows")]
    let mean = sum / rows.max(1) as f64;
    0.5 * mean + 0.5 * length_mm
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a height is not negative and no kilometre"
)]
fn first_row(y: i64) -> usize {
    (height_mm(y) / PROFILE_MM).max(0.0) as usize
}
