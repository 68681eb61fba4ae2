//! Local search on a layout: one random change at a time, kept unless it costs more than a
//! threshold that shrinks to zero (threshold accepting, Dueck and Scheuer 1990).

use super::beam::{Kind, Layout, Placement, Search};

/// A linear congruential generator, the same on every machine (Knuth's MMIX constants).
struct Lcg(u64);

impl Lcg {
    fn next_below(&mut self, max: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let high = (self.0 >> 33) as usize;
        high % max.max(1)
    }
}

/// The initial threshold, as a share of the length.
const THRESHOLD: f64 = 0.004;
/// From this remaining share of the budget on, heights are tried on a finer grid.
const FINE_FROM: f64 = 0.15;
/// Weight of the mean right end beside the length.
const LEFTWARD: f64 = 0.02;

/// Improves the best layout until the budget of placements is spent.
pub(super) fn local_search(search: &mut Search<'_>, max: u64) {
    let mut current = in_order(search.found().clone());
    if current.placements.is_empty() {
        return;
    }
    let mut rng = Lcg(0x2545_f491_4f6c_dd1d);
    let mut cost = layout_cost(search, &current);
    let (first, patient) = (search.steps(), THRESHOLD * cost);
    while search.should_continue(max) {
        #[expect(clippy::cast_precision_loss, reason = "steps are far below 2^53")]
        let left = 1.0 - (search.steps() - first) as f64 / (max - first).max(1) as f64;
        let (placements, from) =
            mutate(search, &current, &mut rng, if left < FINE_FROM { 2 } else { 0 });
        let Some(mut next) = compact_from(search, &current, &placements, from) else { continue };
        if !next.unplaced.is_empty() {
            fill(search, &mut next);
        }
        let next_worth = layout_cost(search, &next);
        let more = next.area_mm2 > current.area_mm2 + 1e-6;
        let threshold = patient * left.max(0.0).powi(2) + 1e-9;
        if more || next.area_mm2 > current.area_mm2 - 1e-6 && next_worth <= cost + threshold {
            cost = next_worth;
            current = in_order(next);
            search.offer(current.clone());
        }
    }
}

fn in_order(mut layout: Layout) -> Layout {
    layout.placements.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.cmp(&b.y)));
    layout
}

fn layout_cost(search: &Search<'_>, layout: &Layout) -> f64 {
    let ends = layout
        .placements
        .iter()
        .map(|placement| placement.x + search.oriented[placement.shape].size.x);
    #[expect(clippy::cast_precision_loss, reason = "some hundred shapes")]
    let mean = ends.sum::<f64>() / layout.placements.len().max(1) as f64;
    layout.length_mm + LEFTWARD * mean
}

/// The placements with one random change, and the first one affected.
fn mutate(
    search: &Search<'_>,
    current: &Layout,
    rng: &mut Lcg,
    finer: u32,
) -> (Vec<Placement>, usize) {
    let mut placements = current.placements.clone();
    let n = placements.len();
    let i = rng.next_below(n);
    match rng.next_below(5) {
        0 | 1 => {
            placements[i].y = random_height(search, placements[i].shape, rng, finer);
            (placements, i)
        }
        2 => {
            let orientations = &search.orientations_of[search.oriented[placements[i].shape].shape];
            placements[i].shape = orientations[rng.next_below(orientations.len())];
            placements[i].y = random_height(search, placements[i].shape, rng, finer);
            (placements, i)
        }
        3 => {
            // Two neighbours swap.
            let j = (i + 1 + rng.next_below(3)).min(n - 1);
            placements.swap(i, j);
            (placements, i)
        }
        _ => {
            let placement = placements.remove(i);
            let j = rng.next_below(n);
            placements.insert(j, placement);
            (placements, i.min(j))
        }
    }
}

/// A random height of a shape's grid.
fn random_height(search: &Search<'_>, oriented: usize, rng: &mut Lcg, finer: u32) -> i64 {
    let (slack, step) = search.grid(oriented, finer);
    let count = usize::try_from(slack / step).unwrap_or(0) + 2;
    let k = i64::try_from(rng.next_below(count)).unwrap_or(0);
    (k * step).min(slack)
}

/// The placements compacted to the left, from one on; `None` if one finds no room.
fn compact_from(
    search: &mut Search<'_>,
    current: &Layout,
    placements: &[Placement],
    from: usize,
) -> Option<Layout> {
    let mut next = Layout { unplaced: current.unplaced.clone(), ..Layout::default() };
    for (k, placement) in placements.iter().enumerate() {
        let x = if k < from {
            placement.x
        } else {
            search.min_x(&next.placements, placement.shape, placement.y, Kind::Shapes)
        };
        if x + search.oriented[placement.shape].size.x > search.usable_length_mm() + 1e-9 {
            return None;
        }
        search.place(&mut next, Placement { x, ..*placement });
    }
    Some(next)
}

/// Places unplaced items wherever they fit now.
fn fill(search: &mut Search<'_>, layout: &mut Layout) {
    let mut tried: Vec<usize> = Vec::new();
    for item in std::mem::take(&mut layout.unplaced) {
        let shape = search.items[item];
        let mut best: Option<Placement> = None;
        if !tried.contains(&shape) {
            for oriented in search.orientations_of[shape].clone() {
                let (slack, step) = search.grid(oriented, 0);
                for k in 0..=slack / step + 1 {
                    let y = (k * step).min(slack);
                    let x = search.min_x(&layout.placements, oriented, y, Kind::Shapes);
                    let fits =
                        x + search.oriented[oriented].size.x <= search.usable_length_mm() + 1e-9;
                    if fits && best.is_none_or(|placement| x < placement.x) {
                        best = Some(Placement { item, shape: oriented, x, y });
                    }
                }
            }
        }
        match best {
            Some(placement) => search.place(layout, placement),
            None => {
                tried.push(shape);
                layout.unplaced.push(item);
            }
        }
    }
}
