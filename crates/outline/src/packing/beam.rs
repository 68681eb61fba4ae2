//! The search: one shape after another, each where it makes the best of the strip.

use super::no_fit::{NoFitCache, height, height_mm, least_free};
use super::oriented_shape::{COARSE_MM, FINE_MM, OrientedShape, PROFILE_MM};
use super::{Effort, PackedItem, Packing, Progress, Shape, Strip, local_search};
use kurbo::Affine;

/// Heights across the strip that are tried for a shape, besides those beside other shapes.
const HEIGHTS: i64 = 14;
/// Heights lie this far apart or twice, four times, … as far: pairs of shapes then meet again at
/// the same heights, and need no new sliding; micrometres.
const FINEST: i64 = 250;
/// Rounding is no length, mm.
const SLACK_MM: f64 = 1e-9;

/// An item placed in the strip: `x` and the height of its true box from the margins.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placement {
    pub(super) item: usize,
    pub(super) oriented: usize,
    pub(super) x: f64,
    pub(super) y: i64,
}

/// By what shapes keep apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Their boxes.
    Boxes,
    /// Their true outlines.
    Shapes,
}

impl Kind {
    /// An oriented shape's right side at each height.
    fn profile(self, oriented: &OrientedShape) -> impl Iterator<Item = f64> + '_ {
        oriented
            .right
            .iter()
            .map(move |right| if self == Self::Boxes { oriented.size.x } else { *right })
    }
}

/// A layout of items.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    pub(super) placements: Vec<Placement>,
    pub(super) left: Vec<usize>,
    pub(super) length_mm: f64,
    pub(super) area_mm2: f64,
}

impl Layout {
    /// Whether this one lays more, or as much in less length.
    pub(super) fn beats(&self, other: &Self) -> bool {
        let slack = 1e-9 * self.area_mm2.max(1.0);
        self.area_mm2 > other.area_mm2 + slack
            || self.area_mm2 > other.area_mm2 - slack && self.length_mm < other.length_mm - SLACK_MM
    }
}

/// A layout under way: how far it has got at each height.
#[derive(Clone)]
struct State {
    layout: Layout,
    front: Vec<f64>,
}

/// A next step of a layout under way; no placement when the item finds no room.
struct Next {
    of: usize,
    placement: Option<Placement>,
    cost: f64,
}

/// Everything a search needs.
pub(super) struct Search<'a> {
    pub(super) oriented_shapes: Vec<OrientedShape>,
    /// The oriented shapes of each shape.
    pub(super) of_shape: Vec<Vec<usize>>,
    pub(super) wanted: &'a [usize],
    strip: Strip,
    by_shape: NoFitCache,
    by_box: NoFitCache,
    steps: u64,
    effort: Effort,
    go_on: &'a mut dyn FnMut(Progress) -> bool,
    stopped: bool,
    next_ask: u64,
    best: Layout,
}

/// How often the caller is asked, in placings.
const ASK_EVERY: u64 = 500;

impl<'a> Search<'a> {
    pub(super) fn new(
        shapes: &[Shape],
        wanted: &'a [usize],
        strip: &Strip,
        effort: Effort,
        go_on: &'a mut dyn FnMut(Progress) -> bool,
    ) -> Self {
        let oriented_shapes = OrientedShape::all(shapes, strip, COARSE_MM);
        let of = |shape| {
            (0..oriented_shapes.len()).filter(|i| oriented_shapes[*i].shape == shape).collect()
        };
        let of_shape: Vec<Vec<usize>> = (0..shapes.len()).map(of).collect();
        Self {
            of_shape,
            oriented_shapes,
            wanted,
            strip: *strip,
            by_shape: NoFitCache::new(false),
            by_box: NoFitCache::new(true),
            steps: 0,
            effort,
            go_on,
            stopped: false,
            next_ask: ASK_EVERY,
            best: Layout { left: (0..wanted.len()).collect(), ..Layout::default() },
        }
    }

    pub(super) fn steps(&self) -> u64 {
        self.steps
    }

    /// Room between the margins along the strip, mm.
    pub(super) fn long_mm(&self) -> f64 {
        self.strip.length_mm - 2.0 * self.strip.margin_mm
    }

    /// The greatest height of an oriented shape's box.
    pub(super) fn slack(&self, oriented: usize) -> i64 {
        let room = self.strip.width_mm - 2.0 * self.strip.margin_mm;
        height(room - self.oriented_shapes[oriented].size.y).max(0)
    }

    /// Heights to try for an oriented shape: evenly spaced from the lower margin on, and at the upper one.
    /// Each `finer` halves the distance.
    pub(super) fn grid(&self, oriented: usize, finer: u32) -> (i64, i64) {
        let slack = self.slack(oriented);
        let mut step = FINEST;
        while slack > HEIGHTS * step {
            step *= 2;
        }
        (slack, (step >> finer).max(1))
    }

    /// Whether to search on after so many placings.
    pub(super) fn goes_on(&mut self, most: u64) -> bool {
        if self.steps >= self.next_ask && !self.stopped {
            self.next_ask = self.steps + ASK_EVERY;
            let progress = Progress {
                steps: self.steps,
                laid: self.best.placements.len(),
                length_mm: self.strip_length_mm(&self.best),
            };
            self.stopped = !(self.go_on)(progress);
        }
        !self.stopped && self.steps < most
    }

    /// The best layout found.
    pub(super) fn best(&mut self) -> Layout {
        let items: Vec<usize> =
            (0..self.wanted.len()).filter(|i| !self.of_shape[self.wanted[*i]].is_empty()).collect();
        let orders = self.orders(&items);
        // By boxes first: whatever comes later must beat them.
        let boxes = self.forms_where(|oriented, before| {
            before.iter().all(|other| (other.size - oriented.size).hypot() > SLACK_MM)
        });
        for order in orders.iter().take(3) {
            let boxed = self.beam(order, &boxes, Kind::Boxes);
            let layout = self.pushed(&boxed);
            self.offer(layout);
        }
        // What may be mirrored is tried unmirrored too, which leaves fewer wrong turnings.
        let plain = self.forms_where(|oriented, _| !oriented.way.mirrored);
        let all = self.of_shape.clone();
        let sets = if plain == all { vec![all] } else { vec![plain, all] };
        for (i, set) in sets.iter().enumerate() {
            for (k, order) in orders.iter().enumerate() {
                // Half of the search is kept for bettering what is found.
                if i + k == 0 || self.goes_on(self.effort.steps / 2) {
                    let layout = self.beam(order, set, Kind::Shapes);
                    self.offer(layout);
                }
            }
        }
        let steps = self.effort.steps;
        local_search::local_search(self, steps);
        self.best.clone()
    }

    /// The oriented shapes of each shape that are wanted, given those of it wanted already.
    fn forms_where(
        &self,
        wanted: impl Fn(&OrientedShape, &[&OrientedShape]) -> bool,
    ) -> Vec<Vec<usize>> {
        let some = |oriented_shapes: &Vec<usize>| {
            let mut kept: Vec<usize> = Vec::new();
            for &oriented in oriented_shapes {
                let before: Vec<&OrientedShape> =
                    kept.iter().map(|i| &self.oriented_shapes[*i]).collect();
                if wanted(&self.oriented_shapes[oriented], &before) {
                    kept.push(oriented);
                }
            }
            kept
        };
        self.of_shape.iter().map(some).collect()
    }

    pub(super) fn offer(&mut self, layout: Layout) {
        if layout.beats(&self.best) {
            self.best = layout;
        }
    }

    pub(super) fn found(&self) -> &Layout {
        &self.best
    }

    /// Orders of laying, none of them twice by shape.
    fn orders(&self, items: &[usize]) -> Vec<Vec<usize>> {
        let oriented = |item: &usize| &self.oriented_shapes[self.of_shape[self.wanted[*item]][0]];
        let mut orders: Vec<Vec<usize>> = Vec::new();
        let mut add = |order: Vec<usize>| {
            let shapes = |o: &[usize]| o.iter().map(|i| self.wanted[*i]).collect::<Vec<_>>();
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
            let before = turns.iter().filter(|t| self.wanted[t.2] == self.wanted[item]).count();
            turns.push((before, turns.len(), item));
        }
        turns.sort_unstable();
        add(turns.into_iter().map(|t| t.2).collect());
        orders
    }

    /// Where an oriented shape lies leftmost at a height among others.
    pub(super) fn least_x(
        &mut self,
        placements: &[Placement],
        oriented: usize,
        y: i64,
        kind: Kind,
    ) -> f64 {
        self.steps += 1;
        let slides = match kind {
            Kind::Boxes => &mut self.by_box,
            Kind::Shapes => &mut self.by_shape,
        };
        let mut taken: Vec<(f64, f64)> = Vec::with_capacity(2 * placements.len());
        let gap = self.strip.gap_mm + 0.1;
        for placement in placements {
            let up = y - placement.y;
            let apart = height_mm(up);
            if apart > self.oriented_shapes[placement.oriented].size.y + gap
                || -apart > self.oriented_shapes[oriented].size.y + gap
            {
                continue;
            }
            let pair = slides.taken(&self.oriented_shapes, placement.oriented, oriented, up);
            taken.extend(pair.iter().map(|(low, high)| (placement.x + low, placement.x + high)));
        }
        least_free(&mut taken)
    }

    /// Heights worth trying for an oriented shape.
    fn heights(&self, placements: &[Placement], oriented: usize) -> Vec<i64> {
        let (slack, step) = self.grid(oriented, 0);
        let mut heights: Vec<i64> = (0..=slack / step).map(|k| k * step).collect();
        heights.extend([slack / 2, slack]);
        let gap = height(self.strip.gap_mm + 0.1);
        let tall = height(self.oriented_shapes[oriented].size.y) + 1;
        for placement in placements {
            heights.push(
                placement.y + height(self.oriented_shapes[placement.oriented].size.y) + 1 + gap,
            );
            heights.push(placement.y - tall - gap);
        }
        heights.retain(|y| (0..=slack).contains(y));
        heights.sort_unstable();
        heights.dedup();
        heights
    }

    /// Lays items one after another, following several layouts side by side.
    fn beam(&mut self, order: &[usize], oriented_shapes: &[Vec<usize>], kind: Kind) -> Layout {
        let wide = self.strip.width_mm - 2.0 * self.strip.margin_mm;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a bar is no kilometre wide"
        )]
        let rows = (wide / PROFILE_MM).clamp(1.0, 1e5).ceil() as usize;
        let mut states = vec![State { layout: Layout::default(), front: vec![0.0; rows] }];
        for &item in order {
            let mut next: Vec<Next> = Vec::new();
            for (of, state) in states.iter().enumerate() {
                let before = next.len();
                for &oriented in &oriented_shapes[self.wanted[item]] {
                    for y in self.heights(&state.layout.placements, oriented) {
                        let x = self.least_x(&state.layout.placements, oriented, y, kind);
                        if x + self.oriented_shapes[oriented].size.x > self.long_mm() + SLACK_MM {
                            continue;
                        }
                        let placement = Placement { item, oriented, x, y };
                        next.push(Next {
                            of,
                            placement: Some(placement),
                            cost: self.cost(state, &placement, wide, kind),
                        });
                    }
                }
                if next.len() == before {
                    next.push(Next { of, placement: None, cost: self.waste(state, wide) });
                }
            }
            next.sort_by(|a, b| a.cost.total_cmp(&b.cost));
            // Layouts of one cost are mostly one layout in two orders.
            next.dedup_by(|a, b| (a.cost - b.cost).abs() < 1e-6);
            next.truncate(self.effort.breadth.max(1));
            states =
                next.iter().map(|n| self.after(&states[n.of], n.placement, item, kind)).collect();
        }
        let mut best = Layout::default();
        for state in states {
            if best.placements.is_empty() || state.layout.beats(&best) {
                best = state.layout;
            }
        }
        best
    }

    fn waste(&self, state: &State, wide: f64) -> f64 {
        let layout = &state.layout;
        let sum: f64 = state.front.iter().sum();
        wide * judged(sum, state.front.len(), layout.length_mm) - layout.area_mm2
    }

    /// The strip left behind the front less what is laid on it.
    fn cost(&self, state: &State, placement: &Placement, wide: f64, kind: Kind) -> f64 {
        let oriented = &self.oriented_shapes[placement.oriented];
        let mut sum: f64 = state.front.iter().sum();
        let first = first_row(placement.y);
        for (k, right) in kind.profile(oriented).enumerate() {
            if let Some(front) = state.front.get(first + k) {
                sum += (placement.x + right - front).max(0.0);
            }
        }
        let layout = &state.layout;
        let length = layout.length_mm.max(placement.x + oriented.size.x);
        wide * judged(sum, state.front.len(), length) - (layout.area_mm2 + oriented.area_mm2)
    }

    fn after(&self, state: &State, placement: Option<Placement>, item: usize, kind: Kind) -> State {
        let mut state = state.clone();
        let Some(placement) = placement else {
            state.layout.left.push(item);
            return state;
        };
        let oriented = &self.oriented_shapes[placement.oriented];
        let first = first_row(placement.y);
        for (k, right) in kind.profile(oriented).enumerate() {
            if let Some(front) = state.front.get_mut(first + k) {
                *front = front.max(placement.x + right);
            }
        }
        state.layout.length_mm = state.layout.length_mm.max(placement.x + oriented.size.x);
        state.layout.area_mm2 += oriented.area_mm2;
        state.layout.placements.push(placement);
        state
    }

    /// A layout by boxes, pushed together by true shapes. Taken from left to right nothing
    /// comes to lie further right than it did.
    fn pushed(&mut self, boxed: &Layout) -> Layout {
        let mut placements = boxed.placements.clone();
        placements.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut layout = Layout { left: boxed.left.clone(), ..Layout::default() };
        for placement in placements {
            // Whichever way round fills the same box comes furthest left.
            let size = self.oriented_shapes[placement.oriented].size;
            let mut best: Option<Placement> = None;
            for oriented in self.of_shape[self.wanted[placement.item]].clone() {
                if (self.oriented_shapes[oriented].size - size).hypot() <= SLACK_MM {
                    let x = self.least_x(&layout.placements, oriented, placement.y, Kind::Shapes);
                    if best.is_none_or(|known| x < known.x) {
                        best = Some(Placement { oriented, x, ..placement });
                    }
                }
            }
            self.lay(&mut layout, best.unwrap_or(placement));
        }
        layout
    }

    /// The same layout pushed together by finer polygons, if it comes out no longer.
    pub(super) fn polished(&mut self, shapes: &[Shape], layout: &Layout) -> Layout {
        let coarse = std::mem::replace(
            &mut self.oriented_shapes,
            OrientedShape::all(shapes, &self.strip, FINE_MM),
        );
        let mut placements = layout.placements.clone();
        let same = self.oriented_shapes.len() == coarse.len()
            && self
                .oriented_shapes
                .iter()
                .zip(&coarse)
                .all(|(a, b)| (a.shape, a.way) == (b.shape, b.way));
        if !same {
            self.oriented_shapes = coarse;
            return layout.clone();
        }
        self.by_shape = NoFitCache::new(false);
        placements.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut fine = Layout { left: layout.left.clone(), ..Layout::default() };
        for placement in placements {
            let x = self.least_x(&fine.placements, placement.oriented, placement.y, Kind::Shapes);
            self.lay(&mut fine, Placement { x, ..placement });
        }
        if fine.length_mm <= layout.length_mm { fine } else { layout.clone() }
    }

    /// Adds a placement whose place is known.
    pub(super) fn lay(&self, layout: &mut Layout, placement: Placement) {
        let oriented = &self.oriented_shapes[placement.oriented];
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
        let packed = placements.iter().map(|placement| {
            let oriented = &self.oriented_shapes[placement.oriented];
            let at = (margin + placement.x, margin + height_mm(placement.y));
            PackedItem {
                item: placement.item,
                way: oriented.way,
                by: Affine::translate(at) * oriented.by,
            }
        });
        let laid: Vec<PackedItem> = packed.collect();
        let is_packed = |item: &usize| laid.iter().any(|l| l.item == *item);
        Packing {
            left: (0..self.wanted.len()).filter(|item| !is_packed(item)).collect(),
            length_mm: self.strip_length_mm(layout),
            laid,
            steps: self.steps,
        }
    }
}

/// Between the mean of the front and its foremost place.
fn judged(sum: f64, rows: usize, length_mm: f64) -> f64 {
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
