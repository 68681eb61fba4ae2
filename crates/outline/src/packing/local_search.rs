//! Bettering a layout: one thing is changed at a time, and kept unless it makes it worse by
//! more than a threshold that shrinks to nothing (threshold accepting, Dueck and Scheuer 1990).

use super::beam::{Kind, Layout, Placement, Search};

/// A small generator of even numbers, the same on every machine (Knuth's MMIX constants).
struct Lcg(u64);

impl Lcg {
    fn below(&mut self, most: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let high = (self.0 >> 33) as usize;
        high % most.max(1)
    }
}

/// The threshold to begin with, as a share of the length.
const THRESHOLD: f64 = 0.004;
/// When this share of the search is left, heights are tried on a finer grid.
const FINE_FROM: f64 = 0.15;
/// How much a mean millimetre further left is worth beside a millimetre of length.
const LEFTWARD: f64 = 0.02;

/// Changes the best layout of a search until so many placings are tried.
pub(super) fn local_search(search: &mut Search<'_>, most: u64) {
    let mut now = in_order(search.found().clone());
    if now.placements.is_empty() {
        return;
    }
    let mut lcg = Lcg(0x2545_f491_4f6c_dd1d);
    let mut worth = worth(search, &now);
    let (first, first_threshold) = (search.steps(), THRESHOLD * worth);
    while search.goes_on(most) {
        #[expect(clippy::cast_precision_loss, reason = "steps are far below 2^53")]
        let left = 1.0 - (search.steps() - first) as f64 / (most - first).max(1) as f64;
        let (placements, from) =
            changed(search, &now, &mut lcg, if left < FINE_FROM { 2 } else { 0 });
        let Some(mut next) = pushed_left(search, &now, &placements, from) else { continue };
        if !next.left.is_empty() {
            fill(search, &mut next);
        }
        let next_worth = self::worth(search, &next);
        let more = next.area_mm2 > now.area_mm2 + 1e-6;
        let threshold = first_threshold * left.max(0.0).powi(2) + 1e-9;
        if more || next.area_mm2 > now.area_mm2 - 1e-6 && next_worth <= worth + threshold {
            worth = next_worth;
            now = in_order(next);
            search.offer(now.clone());
        }
    }
}

fn in_order(mut layout: Layout) -> Layout {
    layout.placements.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.cmp(&b.y)));
    layout
}

fn worth(search: &Search<'_>, layout: &Layout) -> f64 {
    let ends = layout
        .placements
        .iter()
        .map(|placement| placement.x + search.oriented_shapes[placement.oriented].size.x);
    #[expect(clippy::cast_precision_loss, reason = "some hundred shapes")]
    let mean = ends.sum::<f64>() / layout.placements.len().max(1) as f64;
    layout.length_mm + LEFTWARD * mean
}

/// The placements with one change, and the first that is touched by it.
fn changed(
    search: &Search<'_>,
    now: &Layout,
    lcg: &mut Lcg,
    finer: u32,
) -> (Vec<Placement>, usize) {
    let mut placements = now.placements.clone();
    let n = placements.len();
    let i = lcg.below(n);
    match lcg.below(5) {
        0 | 1 => {
            placements[i].y = some_height(search, placements[i].oriented, lcg, finer);
            (placements, i)
        }
        2 => {
            let oriented_shapes =
                &search.of_shape[search.oriented_shapes[placements[i].oriented].shape];
            placements[i].oriented = oriented_shapes[lcg.below(oriented_shapes.len())];
            placements[i].y = some_height(search, placements[i].oriented, lcg, finer);
            (placements, i)
        }
        3 => {
            // Two neighbours trade places, or the left one is taken by another shape's item.
            let j = (i + 1 + lcg.below(3)).min(n - 1);
            placements.swap(i, j);
            (placements, i)
        }
        _ => {
            let placement = placements.remove(i);
            let j = lcg.below(n);
            placements.insert(j, placement);
            (placements, i.min(j))
        }
    }
}

/// One of the heights of an oriented shape's grid.
fn some_height(search: &Search<'_>, oriented: usize, lcg: &mut Lcg, finer: u32) -> i64 {
    let (slack, step) = search.grid(oriented, finer);
    let count = usize::try_from(slack / step).unwrap_or(0) + 2;
    let k = i64::try_from(lcg.below(count)).unwrap_or(0);
    (k * step).min(slack)
}

/// The placements pushed to the left in turn, from one on; `None` if one finds no room.
fn pushed_left(
    search: &mut Search<'_>,
    now: &Layout,
    placements: &[Placement],
    from: usize,
) -> Option<Layout> {
    let mut next = Layout { left: now.left.clone(), ..Layout::default() };
    for (k, placement) in placements.iter().enumerate() {
        let x = if k < from {
            placement.x
        } else {
            search.least_x(&next.placements, placement.oriented, placement.y, Kind::Shapes)
        };
        if x + search.oriented_shapes[placement.oriented].size.x > search.long_mm() + 1e-9 {
            return None;
        }
        search.lay(&mut next, Placement { x, ..*placement });
    }
    Some(next)
}

/// Lays what was left wherever it finds room now.
fn fill(search: &mut Search<'_>, layout: &mut Layout) {
    let mut tried: Vec<usize> = Vec::new();
    for item in std::mem::take(&mut layout.left) {
        let shape = search.wanted[item];
        let mut best: Option<Placement> = None;
        if !tried.contains(&shape) {
            for oriented in search.of_shape[shape].clone() {
                let (slack, step) = search.grid(oriented, 0);
                for k in 0..=slack / step + 1 {
                    let y = (k * step).min(slack);
                    let x = search.least_x(&layout.placements, oriented, y, Kind::Shapes);
                    let fits =
                        x + search.oriented_shapes[oriented].size.x <= search.long_mm() + 1e-9;
                    if fits && best.is_none_or(|placement| x < placement.x) {
                        best = Some(Placement { item, oriented, x, y });
                    }
                }
            }
        }
        match best {
            Some(placement) => search.lay(layout, placement),
            None => {
                tried.push(shape);
                layout.left.push(item);
            }
        }
    }
}
