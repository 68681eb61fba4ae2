//! Cutting a drawing over several pages: overlapping windows, register crosses, a map.

use crate::clip::clip;
use crate::corner::{ScaleCheck, TextPlacement};
use crate::frame::{self, FramedPage, add_page_frame, count, measure_frame, sizes};
use crate::hull::{self, PAD_MM};
use crate::joints::{CROSS_MM, joints};
use crate::template::PageTemplate;
use crate::tiling::{Tiling, float, label_box, whole};
use crate::{Page, PageSetup, PaperError, Sheet, avoid_labels, map};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, Item, Label, Mark, Pen};

/// More pages than this nobody joins; it is a drawing in the wrong units.
const MAX_PAGES: usize = 60;

/// White between a tile's window and the furniture, mm.
const WHITE_MM: f64 = 4.0;

/// The map's box, mm.
const MAP_MM: Size = Size::new(50.0, 26.0);

/// More white than this beside a tiled drawing is worth nothing, mm.
const MAX_SPARE_MM: f64 = 60.0;

/// Joints through so many labels and circles are as bad as joints can be, and cost this part of
/// a page: of tilings with equally many pages the one whose joints miss the figures wins.
const MAX_HITS: usize = 4;
const MAX_HIT_COST: f64 = 0.45;

/// The tiling with the fewest pages.
pub(crate) fn plan(
    sheet: &Sheet,
    setup: &PageSetup,
    points: &[Point],
) -> Result<Tiling, PaperError> {
    let no_room = || frame::no_room(sheet, setup);
    let bounds = hull::bounds(points).ok_or_else(no_room)?.inflate(PAD_MM + 0.5, PAD_MM + 0.5);
    let tiling = match best(sheet, setup, bounds) {
        Some(tiling) => tiling,
        None => {
            let notes = frame::alone(sheet, setup).ok_or_else(no_room)?;
            let tiling = best(&bare(sheet), setup, bounds).ok_or_else(no_room)?;
            Tiling { notes: Some(notes), ..tiling }
        }
    };
    if tiling.columns.saturating_mul(tiling.rows) > MAX_PAGES {
        return Err(PaperError::TooLarge {
            sheet: sheet.key.into(),
            width_mm: bounds.width(),
            height_mm: bounds.height(),
            pages: tiling.columns.saturating_mul(tiling.rows),
        });
    }
    Ok(tiling)
}

/// The sheet without its notes, but with a word on where they are.
fn bare(sheet: &Sheet) -> Sheet {
    let notes = vec!["Notes: on the page after the tiles.".to_owned()];
    Sheet { notes, ..sheet.clone() }
}

/// The best of all looks and both ways round, its joints settled where they hit least.
fn best(sheet: &Sheet, setup: &PageSetup, bounds: Rect) -> Option<Tiling> {
    let mut best: Option<(f64, Tiling)> = None;
    for template in PageTemplate::tiles(ScaleCheck::of(sheet, setup)).iter().copied() {
        for size in sizes(setup) {
            let Some((cost, mut tiling)) = candidate(sheet, setup, (size, template), bounds) else {
                continue;
            };
            // What nobody joins is refused: its joints need not be settled.
            let many = tiling.columns.saturating_mul(tiling.rows) > MAX_PAGES;
            let hits = if many {
                0
            } else {
                avoid_labels::avoid_labels(&mut tiling, &sheet.drawing, bounds)
            };
            let cost = cost + MAX_HIT_COST * float(hits.min(MAX_HITS)) / float(MAX_HITS);
            if best.as_ref().is_none_or(|(min, _)| cost < *min) {
                best = Some((cost, tiling));
            }
        }
    }
    best.map(|(_, tiling)| tiling)
}

/// The tiling with one look, and its cost: few pages first, then room beside the drawing, where
/// the joints' crosses go.
fn candidate(
    sheet: &Sheet,
    setup: &PageSetup,
    (size, template): (Size, PageTemplate),
    bounds: Rect,
) -> Option<(f64, Tiling)> {
    let framed = measure_frame(sheet, setup, size, template, &remark(88, 88));
    let map = map_place(&framed, template);
    let inner = framed.inner.inflate(1e-6, 1e-6);
    if inner.union(map).union(framed.corner.block) != inner {
        return None;
    }
    let window = window(&framed, template, map);
    let overlap_mm = setup.overlap_mm.clamp(2.0 * CROSS_MM, 40.0);
    let step = window.size() - Size::new(overlap_mm, overlap_mm);
    if step.width < 20.0 || step.height < 20.0 {
        return None;
    }
    let along = |length: f64, step: f64| ((length - overlap_mm) / step).ceil().max(1.0);
    let (across, up) = (along(bounds.width(), step.width), along(bounds.height(), step.height));
    let cover = Size::new(step.width * across + overlap_mm, step.height * up + overlap_mm);
    let spare = cover - bounds.size();
    let beside = if up < 2.0 { spare.height } else { spare.width };
    let cost = across * up - beside.min(MAX_SPARE_MM) / (2.0 * MAX_SPARE_MM);
    let origin = bounds.center() - cover.to_vec2() / 2.0;
    let (columns, rows) = (whole(across), whole(up));
    let notes = None;
    Some((cost, Tiling { size, template, window, map, columns, rows, overlap_mm, origin, notes }))
}

/// The pages of a tiled sheet, the upper left tile first.
pub(crate) fn pages(
    sheet: &Sheet,
    setup: &PageSetup,
    tiling: &Tiling,
    (first, total): (usize, usize),
) -> Vec<Page> {
    let (lines, labels) = apart(&sheet.drawing);
    let tiles: Vec<(usize, usize)> = tiling.tiles().collect();
    let labels = placed(tiling, &labels);
    let mut stands = lines.clone();
    stands.items.extend(labels.iter().map(|(_, item)| item.clone()));
    let joins = joints(tiling, &stands);
    let bared = tiling.notes.map(|_| bare(sheet));
    let message = bared.as_ref().unwrap_or(sheet);
    let mut pages = Vec::with_capacity(tiling.count());
    for (k, &(column, row)) in tiles.iter().enumerate() {
        let window = tiling.tile(column, row);
        let number = first + k;
        let remarks = remark(k + 1, tiles.len());
        let count = count(number, total);
        let mut page =
            add_page_frame(message, setup, tiling.size, tiling.template, &count, &remarks).drawing;
        map::draw(&mut page, tiling, &lines, (column, row));
        let from_sheet = Affine::translate(tiling.window.origin() - window.origin());
        let mut content = clip(&lines, window);
        let own = labels.iter().filter(|(tile, _)| *tile == (column, row));
        content.items.extend(own.map(|(_, item)| item.clone()));
        for join in &joins {
            join.draw(&mut content, (column, row));
        }
        page.extend(content.moved(from_sheet));
        pages.push(Page {
            size_mm: tiling.size,
            drawing: page,
            key: sheet.key,
            name: format!("{}, tile {} of {}", sheet.title, k + 1, tiles.len()),
            number,
            turn_deg: 0.0,
            from_sheet,
            trim: None,
        });
    }
    if let Some((size, template)) = tiling.notes {
        let number = first + tiles.len();
        pages.push(Page {
            size_mm: size,
            drawing: add_page_frame(sheet, setup, size, template, &count(number, total), &[])
                .drawing,
            key: sheet.key,
            name: format!("{}, notes", sheet.title),
            number,
            turn_deg: 0.0,
            from_sheet: Affine::IDENTITY,
            trim: None,
        });
    }
    pages
}

fn remark(tile: usize, tiles: usize) -> [String; 1] {
    [format!(
        "Tile {tile} of {tiles}. Lay cross on cross, letter to letter, against the light or \
         through a pin hole; tape; then measure the whole length."
    )]
}

fn map_place(framed: &FramedPage, template: PageTemplate) -> Rect {
    let block = framed.corner.block;
    let inner = framed.inner;
    let beside = inner.x1 - block.x1;
    let corner = if template.corner.text == TextPlacement::Beside && beside >= MAP_MM.width + 8.0 {
        Point::new(inner.x1 - MAP_MM.width, block.y1 - MAP_MM.height)
    } else if template.corner.text == TextPlacement::Above {
        Point::new(block.x0, block.y1 + 6.0)
    } else {
        Point::new(inner.x1 - MAP_MM.width, block.y1 + 6.0)
    };
    Rect::from_origin_size(corner, MAP_MM)
}

/// What is left of a page for a tile, or for inserts.
pub(crate) fn window(framed: &FramedPage, template: PageTemplate, map: Rect) -> Rect {
    let inner = framed.inner;
    let used = framed.corner.block.union(map);
    let breadth = template.corner.check.breadth_mm();
    let beside_rule = inner.x0 + breadth + WHITE_MM;
    let mut window = inner;
    match (template.corner.text, template.corner.check, template.corner.upright_mm) {
        (TextPlacement::Above, ..) => {
            window.x0 = used.x1 + WHITE_MM;
            window.y0 = inner.y0 + breadth + WHITE_MM;
        }
        (_, ScaleCheck::Large, Some(rule_mm)) => {
            window.y0 = used.y1.max(inner.y0 + breadth + rule_mm) + WHITE_MM;
        }
        _ => {
            window.x0 = beside_rule;
            window.y0 = used.y1 + WHITE_MM;
        }
    }
    Rect::new(window.x0, window.y0, window.x1.max(window.x0), window.y1.max(window.y0))
}

/// A drawing's lines apart from its labels.
fn apart(drawing: &Drawing) -> (Drawing, Drawing) {
    let is_text = |item: &&Item| matches!(item.mark, Mark::Text(_));
    let (texts, lines): (Vec<_>, Vec<_>) = drawing.items.iter().partition(is_text);
    let gather = |items: Vec<&Item>| Drawing { items: items.into_iter().cloned().collect() };
    (gather(lines), gather(texts))
}

/// Each label with the tile that shows it, moved clear of that tile's joints if it is not too
/// long for that; a figure stays at its leader as long as the tile shows it whole.
fn placed(tiling: &Tiling, labels: &Drawing) -> Vec<((usize, usize), Item)> {
    let place = |item: &Item| {
        let Mark::Text(label) = &item.mark else { return ((0, 0), item.clone()) };
        let tile = owner(tiling, label);
        let window = tiling.tile(tile.0, tile.1);
        let clear = match item.pen {
            Pen::Dimension => label.clone(),
            _ => moved_inside(label.clone(), tiling.unshared(tile)),
        };
        (tile, Item { mark: Mark::Text(moved_inside(clear, window)), ..item.clone() })
    };
    let mut placed: Vec<((usize, usize), Item)> = labels.items.iter().map(place).collect();
    avoid_labels::separate_labels(&mut placed, tiling);
    placed
}

/// The one tile that shows a label: where its box lies deepest inside.
fn owner(tiling: &Tiling, label: &Label) -> (usize, usize) {
    let boxed = label_box(label);
    let depth = |(column, row): (usize, usize)| {
        let window = tiling.tile(column, row);
        let sides = [
            boxed.x0 - window.x0,
            window.x1 - boxed.x1,
            boxed.y0 - window.y0,
            window.y1 - boxed.y1,
        ];
        sides.into_iter().fold(f64::MAX, f64::min)
    };
    let deepest = tiling.tiles().max_by(|a, b| depth(*a).total_cmp(&depth(*b)));
    deepest.unwrap_or((0, 0))
}

/// The label, moved as little as needed to lie in the window.
fn moved_inside(mut label: Label, window: Rect) -> Label {
    let boxed = label_box(&label);
    let shift = |low: f64, high: f64, from: f64, to: f64| {
        if high - low > to - from {
            (from + to - low - high) / 2.0
        } else if low < from {
            from - low
        } else if high > to {
            to - high
        } else {
            0.0
        }
    };
    label.at += Vec2::new(
        shift(boxed.x0, boxed.x1, window.x0, window.x1),
        shift(boxed.y0, boxed.y1, window.y0, window.y1),
    );
    label
}
