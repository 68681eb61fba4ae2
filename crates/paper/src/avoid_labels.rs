//! Tiles shifted so that joints avoid labels and circles, and labels that had to move kept apart.

use crate::tiling::{Tiling, float, label_box};
use kurbo::{Point, Rect, Shape, Vec2};
use marks::{Drawing, Item, Mark};
use std::collections::BTreeMap;

/// Steps tried across the room that the tiles have to spare.
const STEPS: usize = 60;
/// So much of a drawing at least stands on its last tile, mm.
const LAST_MM: f64 = 70.0;
/// White between two labels, mm.
const APART_MM: f64 = 1.5;

/// Shifts the tiles within the room they have to spare, so that the joints' overlaps hold as
/// few labels and circles as can be; of equals, the first tiles full. Returns how many they still hold.
pub(crate) fn avoid_labels(tiling: &mut Tiling, drawing: &Drawing, bounds: Rect) -> usize {
    let tender = protected_boxes(drawing);
    let step = tiling.step();
    let overlap = Vec2::new(tiling.overlap_mm, tiling.overlap_mm);
    let cover = Vec2::new(
        step.x * float(tiling.columns) + overlap.x,
        step.y * float(tiling.rows) + overlap.y,
    );
    // Of equals the one nearest to where it begins.
    let best = |(count, low, spare, step): (usize, f64, f64, f64),
                begin: f64,
                span: &dyn Fn(&Rect) -> (f64, f64)| {
        let (mut starts, mut ends): (Vec<f64>, Vec<f64>) = tender.iter().map(span).unzip();
        starts.sort_by(f64::total_cmp);
        ends.sort_by(f64::total_cmp);
        // What a joint holds begins before its end, and does not end before its start.
        let held = |from: f64| {
            let begun = starts.partition_point(|start| *start < from + tiling.overlap_mm);
            begun.saturating_sub(ends.partition_point(|end| *end <= from))
        };
        let hit = |origin: f64| (1..count).map(|k| held(origin + step * float(k))).sum::<usize>();
        let mut best = (hit(begin), begin);
        for k in 1..=STEPS {
            for direction in [1.0, -1.0] {
                let origin = begin + direction * spare * float(k) / float(STEPS);
                if !(low - spare - 1e-9..=low + 1e-9).contains(&origin) {
                    continue;
                }
                let hits = hit(origin);
                if hits < best.0 {
                    best = (hits, origin);
                }
            }
        }
        best
    };
    let spare = cover - bounds.size().to_vec2();
    // The first tiles are filled, and the last has a piece that can be handled.
    let last = bounds.width() - step.x * float(tiling.columns.saturating_sub(1));
    let shift = if tiling.columns > 1 { (LAST_MM - last).max(0.0) } else { spare.x / 2.0 };
    let begin = bounds.x0 - shift.min(spare.x / 2.0);
    let across = (tiling.columns, bounds.x0, spare.x, step.x);
    let (across, x) = best(across, begin, &|rect| (rect.x0, rect.x1));
    let up = (tiling.rows, bounds.y0, spare.y, step.y);
    let (up, y) = best(up, bounds.y0 - spare.y / 2.0, &|rect| (rect.y0, rect.y1));
    tiling.origin = Point::new(x, y);
    across + up
}

/// The boxes of what a joint should not cross.
pub(crate) fn protected_boxes(drawing: &Drawing) -> Vec<Rect> {
    drawing.items.iter().filter_map(protected_box).collect()
}

/// How many of these boxes the joints' overlaps hold.
pub(crate) fn hits(tiling: &Tiling, tender: &[Rect]) -> usize {
    let joints =
        |count: usize, origin: f64, step: f64| (1..count).map(move |k| origin + step * float(k));
    let across: Vec<f64> = joints(tiling.columns, tiling.origin.x, tiling.step().x).collect();
    let up: Vec<f64> = joints(tiling.rows, tiling.origin.y, tiling.step().y).collect();
    let cut = |joints: &[f64], low: f64, high: f64| {
        joints.iter().any(|joint| low < joint + tiling.overlap_mm && high > *joint)
    };
    tender.iter().filter(|own| cut(&across, own.x0, own.x1) || cut(&up, own.y0, own.y1)).count()
}

/// The box of a mark that a joint should not cross.
fn protected_box(item: &Item) -> Option<Rect> {
    match &item.mark {
        Mark::Text(label) => Some(label_box(label).inflate(APART_MM, APART_MM)),
        Mark::Circle(circle) => Some(circle.bounding_box()),
        _ => None,
    }
}

/// Labels give way to one another no more often than this: where thousands lie on one spot there is
/// no room for them, and those that are left stand as they came.
const MAX_MOVES: usize = 20_000;

/// Moves labels of one tile that overlap apart, away from the tile's joints.
pub(crate) fn separate_labels(placed: &mut [((usize, usize), Item)], tiling: &Tiling) {
    let mut boxes: Vec<Option<Rect>> = placed.iter().map(|(_, item)| boxed(item)).collect();
    let mut by_tile: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for (i, (tile, _)) in placed.iter().enumerate() {
        by_tile.entry(*tile).or_default().push(i);
    }
    let mut moves = 0;
    for i in 0..placed.len() {
        let tile = placed[i].0;
        let middle = tiling.unshared(tile).center();
        let others = by_tile.get(&tile).map_or(&[][..], Vec::as_slice);
        // Those nearest to a joint were moved there; the others give way towards the middle.
        for _ in 0..placed.len() {
            let Some(own) = boxes[i] else { break };
            let hit = (others.iter().filter(|j| **j != i))
                .filter_map(|j| boxes[*j].map(|other| (*j, other)))
                .find(|(_, other)| overlap(own, *other));
            let Some((j, other)) = hit.filter(|_| moves < MAX_MOVES) else { break };
            moves += 1;
            let inner = (own.center() - middle).hypot() < (other.center() - middle).hypot();
            let (mover, still) = if inner { (i, other) } else { (j, own) };
            push_away(&mut placed[mover].1, still, middle);
            boxes[mover] = boxed(&placed[mover].1);
        }
    }
}

fn push_away(item: &mut Item, still: Rect, middle: Point) {
    let Some(own) = boxed(item) else { return };
    let Mark::Text(label) = &mut item.mark else { return };
    label.at.x += if still.center().x > middle.x {
        still.x0 - APART_MM - own.x1
    } else {
        still.x1 + APART_MM - own.x0
    };
}

fn boxed(item: &Item) -> Option<Rect> {
    if let Mark::Text(label) = &item.mark { Some(label_box(label)) } else { None }
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, PageSetup, Paper, Sheet, lay_out};
    use marks::{Label, Pen};

    /// A row of names as close as they may stand, over a line far longer than the paper.
    fn long_row(first_mm: f64) -> Drawing {
        let mut drawing = Drawing::new();
        drawing.line(Pen::Cut, Point::new(0.0, 0.0), Point::new(430.0, 0.0));
        let mut x = first_mm;
        while x < 410.0 {
            drawing.text(Pen::Dimension, Label::new("4 · 1/4", Point::new(x, 20.0), 2.5));
            x += 14.0;
        }
        drawing
    }

    #[test]
    fn labels_of_a_tile_never_overlap() {
        for first in 0..14 {
            let drawing = long_row(f64::from(first));
            let sheet = Sheet {
                key: "row",
                title: "Row".into(),
                drawing,
                notes: vec![],
                inserts: vec![],
                ..Sheet::default()
            };
            let paper = Paper::named("letter").unwrap();
            let pages = lay_out(&[sheet], &PageSetup::new(paper, Heading::default())).unwrap();
            assert!(pages.len() > 1);
            for page in pages {
                let boxes: Vec<Rect> = page.drawing.items.iter().filter_map(boxed).collect();
                for (i, a) in boxes.iter().enumerate() {
                    for b in &boxes[i + 1..] {
                        assert!(!overlap(a.inflate(-0.01, -0.01), *b), "{a:?} {b:?}");
                    }
                }
            }
        }
    }
}
