//! Tables and notes in the room that tiles leave beside their drawing, clear of every joint.

use crate::avoid_labels;
use crate::hull;
use crate::pack::pack;
use crate::tiling::{Tiling, float, whole};
use kurbo::{Rect, Size, Vec2};
use marks::Drawing;

/// White around what stands there, mm.
const WHITE_MM: f64 = 5.0;
/// What stands on a tile is looked at in slices so wide, mm.
const SLICE_MM: f64 = 10.0;
/// Where the tiles may be shifted to in the room that they have to spare, as shares of it, the
/// best first: along the drawing and across it.
const SHARES: [f64; 5] = [0.5, 0.0, 1.0, 0.25, 0.75];

/// A drawing as what stands beside it sees it.
pub(crate) struct Drawn {
    /// The boxes of its marks.
    marks: Vec<Rect>,
    /// The boxes of what no joint should cross.
    protected: Vec<Rect>,
}

impl Drawn {
    pub(crate) fn of(drawing: &Drawing) -> Self {
        let marks = drawing.items.iter().filter_map(|item| hull::mark_bounds(&item.mark)).collect();
        Self { marks, protected: avoid_labels::protected_boxes(drawing) }
    }
}

/// Shifts the tiles so that as many blocks as can be find room beside the drawing, through no more
/// labels than before; tells for each block how far it is moved there, if it is.
pub(crate) fn place(tiling: &mut Tiling, drawn: &Drawn, blocks: &[&Drawing]) -> Vec<Option<Vec2>> {
    let boxes: Vec<Rect> =
        blocks.iter().map(|block| hull::extent(block).unwrap_or_default()).collect();
    let Some(bounds) = drawn.marks.iter().copied().reduce(|a, b| a.union(b)) else {
        return vec![None; blocks.len()];
    };
    let settled = tiling.origin;
    let hits = avoid_labels::hits(tiling, &drawn.protected);
    let many = Vec2::new(float(tiling.columns), float(tiling.rows));
    let overlap = Vec2::new(tiling.overlap_mm, tiling.overlap_mm);
    let cover = Vec2::new(tiling.step().x * many.x, tiling.step().y * many.y) + overlap;
    let spare = cover - bounds.size().to_vec2();
    let shifted = SHARES.iter().flat_map(|x| SHARES.iter().map(move |y| (*x, *y)));
    let shifted = shifted.map(|(x, y)| bounds.origin() - Vec2::new(x * spare.x, y * spare.y));
    let mut best = (0, settled, vec![None; blocks.len()]);
    for origin in std::iter::once(settled).chain(shifted) {
        tiling.origin = origin;
        if avoid_labels::hits(tiling, &drawn.protected) > hits {
            continue;
        }
        let placed = placed(tiling, &drawn.marks, &boxes);
        let count = placed.iter().flatten().count();
        if count > best.0 {
            best = (count, origin, placed);
        }
        if count == blocks.len() {
            break;
        }
    }
    tiling.origin = best.1;
    best.2
}

/// Each box on the first tile that has room for it beside what stands there already.
fn placed(tiling: &Tiling, items: &[Rect], boxes: &[Rect]) -> Vec<Option<Vec2>> {
    let mut placed = vec![None; boxes.len()];
    for tile in tiling.tiles() {
        let window = tiling.unshared(tile).inset(-1.0);
        let obstacles = slices(items, window);
        let mut own: Vec<usize> = Vec::new();
        let left: Vec<usize> = (0..boxes.len()).filter(|i| placed[*i].is_none()).collect();
        for i in left {
            own.push(i);
            let sizes: Vec<Size> = own.iter().map(|k| boxes[*k].size()).collect();
            let Some(corners) = pack(window, &obstacles, &sizes, WHITE_MM) else {
                own.pop();
                continue;
            };
            for (k, corner) in own.iter().zip(corners) {
                placed[*k] = Some(corner - boxes[*k].origin());
            }
        }
    }
    placed
}

/// What stands in a window, slice by slice from its lowest to its highest place.
fn slices(items: &[Rect], window: Rect) -> Vec<Rect> {
    let count = whole((window.width() / SLICE_MM).ceil());
    let mut reaches = vec![(f64::MAX, f64::MIN); count];
    for item in items {
        let own = item.inflate(0.1, 0.1).intersect(window);
        // Most of a drawing stands on other tiles.
        if own.width() <= 0.0 || own.height() <= 0.0 {
            continue;
        }
        let first = whole(((own.x0 - window.x0) / SLICE_MM).floor());
        let end = whole(((own.x1 - window.x0) / SLICE_MM).ceil());
        for (low, high) in reaches.iter_mut().take(end).skip(first) {
            *low = low.min(own.y0);
            *high = high.max(own.y1);
        }
    }
    let lefts = std::iter::successors(Some(window.x0), |x| Some(x + SLICE_MM));
    let slices = lefts.zip(reaches).filter(|(_, (low, high))| low < high);
    slices.map(|(x, (low, high))| Rect::new(x, low, (x + SLICE_MM).min(window.x1), high)).collect()
}
