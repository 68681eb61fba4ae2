//! A sheet's inserts: tables and charts that no joint may cut. They stand with the drawing
//! where all of them find room beside it, else on pages of their own; these carry rulers and
//! square as soon as one insert is to be measured. A table too tall for a page goes on to the
//! next between two of its rows.

use crate::hull::{self, PAD_MM};
use crate::layout::{self, PageTemplate, Plan, add_page_frame, count, inner, sizes};
use crate::text::wrap;
use crate::{Page, PageSetup, PaperError, Sheet, flow, tile};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, FontFace, Insert, Item, Label, Mark, Pen};
use std::borrow::Cow;

/// White between a drawing and its inserts, and between two inserts, mm.
const WHITE_MM: f64 = 7.0;
/// Less white between inserts where that saves a page, mm.
const MIN_WHITE_MM: f64 = 3.0;
/// The most columns of inserts beside a drawing.
const MAX_COLUMNS: usize = 4;
/// Height of notes among the inserts, mm.
const NOTE_MM: f64 = 2.5;
/// From one line of them to the next, mm.
const LINE_MM: f64 = NOTE_MM + 1.9;
/// Width of notes that stand without other inserts, mm.
const NOTES_MM: f64 = 100.0;
/// Height of the line below inserts on a page of their own, mm.
pub(crate) const FOOT_MM: f64 = 2.5;

/// One page of inserts: which, and where each goes.
pub(crate) struct TablePage {
    size: Size,
    /// How the page is furnished where something on it is to be measured.
    template: Option<PageTemplate>,
    placed: Vec<(usize, Vec2)>,
}

/// How a sheet and its inserts go on paper: together when they can, else one after the other.
///
/// # Errors
/// As [`layout::plan`].
pub(crate) fn plans<'a>(
    sheet: &'a Sheet,
    setup: &PageSetup,
) -> Result<Vec<(Cow<'a, Sheet>, Plan)>, PaperError> {
    if let Some(pages) = flow::plan(sheet, setup)? {
        let alone = sheet.drawing.items.is_empty()
            && sheet.inserts.iter().all(|own| matches!(own, Insert::Text(_)));
        if alone {
            return Ok(vec![(Cow::Borrowed(sheet), Plan::Text(pages))]);
        }
        // Only where nobody parted them before.
        let mut all = Vec::new();
        for part in flow::parts(sheet) {
            let part = part.into_owned();
            let plans = plans(&part, setup)?;
            all.extend(plans.into_iter().map(|(s, plan)| (Cow::Owned(s.into_owned()), plan)));
        }
        return Ok(all);
    }
    if sheet.drawing.items.is_empty() && !sheet.inserts.is_empty() {
        // Nothing but inserts: no page for a drawing that isn't there.
        return Ok(on_their_own(sheet.clone(), setup)?.into_iter().map(owned).collect());
    }
    let alone = layout::plan(sheet, setup);
    let is_short = matches!(alone, Err(PaperError::NoRoom { .. }));
    let is_parted = is_short || alone.as_ref().is_ok_and(|plan| joins_less(sheet, setup, plan));
    if sheet.inserts.is_empty() && (!is_parted || sheet.notes.is_empty()) {
        return Ok(vec![(Cow::Borrowed(sheet), alone?)]);
    }
    if matches!(alone, Ok(Plan::Single { .. }))
        && let Some((whole, plan)) = together(sheet, setup)
    {
        return Ok(vec![(Cow::Owned(whole), plan)]);
    }
    let what = match sheet.inserts.as_slice() {
        [] => "notes",
        [Insert::Chart(_)] => "chart",
        _ => "table",
    };
    let title = format!("{}, {what}", sheet.title);
    let (first, rest) = match alone {
        Ok(plan @ Plan::Single { turn_deg: 0.0, .. }) => {
            ((Cow::Borrowed(sheet), plan), Sheet { notes: Vec::new(), title, ..sheet.clone() })
        }
        // A drawing that is turned or tiled, or whose notes are more than a page holds, gets all
        // the room there is: its notes go along with the inserts.
        _ => {
            let bare =
                if is_parted { bare(sheet) } else { Sheet { notes: vec![], ..sheet.clone() } };
            let plan = layout::plan(&bare, setup)?;
            let mut rest = Sheet { title, ..sheet.clone() };
            rest.inserts.extend(notes(sheet, setup).into_iter().map(Insert::Table));
            ((Cow::Owned(bare), plan), rest)
        }
    };
    let mut all = vec![first];
    all.extend(on_their_own(rest, setup)?.into_iter().map(owned));
    Ok(all)
}

/// A sheet without its notes, but with a word on where they are.
fn bare(sheet: &Sheet) -> Sheet {
    Sheet { notes: vec!["Notes: on a page of their own.".into()], ..sheet.clone() }
}

/// Whether a tiled sheet without inserts goes on fewer tiles, at best in one piece, when its notes
/// stand elsewhere: every joint costs truth, a page of notes doesn't.
fn joins_less(sheet: &Sheet, setup: &PageSetup, plan: &Plan) -> bool {
    let Plan::Tiles(tiling) = plan else { return false };
    if !sheet.inserts.is_empty() || sheet.notes.is_empty() {
        return false;
    }
    match layout::plan(&bare(sheet), setup) {
        Ok(Plan::Single { .. }) => true,
        Ok(Plan::Tiles(own)) => own.pieces() < tiling.pieces(),
        _ => false,
    }
}

fn owned<'a>((sheet, plan): (Sheet, Plan)) -> (Cow<'a, Sheet>, Plan) {
    (Cow::Owned(sheet), plan)
}

/// A sheet's inserts on pages of their own: together where they go, else those to be measured
/// each as a drawing, and what is only read never cut but between two rows.
///
/// # Errors
/// As [`layout::plan`], and [`PaperError::NoRoom`] for a table wider than the paper.
fn on_their_own(rest: Sheet, setup: &PageSetup) -> Result<Vec<(Sheet, Plan)>, PaperError> {
    if let Some(pages) = pages_for(&rest, setup) {
        return Ok(vec![(rest, Plan::Tables(pages))]);
    }
    let (read, measured): (Vec<Insert>, Vec<Insert>) =
        rest.inserts.iter().cloned().partition(is_figures);
    let mut all = Vec::new();
    for insert in measured {
        let drawing = insert.into_drawing();
        let own = Sheet { drawing, inserts: Vec::new(), ..rest.clone() };
        let plan = layout::plan(&own, setup)?;
        all.push((own, plan));
    }
    if !read.is_empty() {
        let rooms = sizes(setup).map(|size| room(size, setup));
        let inserts = read.into_iter().flat_map(|insert| split(insert, &rooms)).collect();
        let own = Sheet { inserts, ..rest };
        let pages = pages_for(&own, setup).ok_or_else(|| layout::no_room(&own, setup))?;
        all.push((own, Plan::Tables(pages)));
    }
    Ok(all)
}

/// A table in pieces that are no taller than the page that takes its width, cut between rows; as
/// it is where there is nothing to mend.
fn split(insert: Insert, rooms: &[Rect]) -> Vec<Insert> {
    let Insert::Table(table) = insert else { return vec![insert] };
    let Some(bounds) = hull::bounds(&hull::points(&table)) else { return Vec::new() };
    let wide = bounds.width() + 2.0 * PAD_MM;
    let max = rooms.iter().filter(|room| room.width() >= wide).map(Rect::height);
    let max = max.fold(0.0, f64::max) - 2.0 * PAD_MM - 1.0;
    if max <= 0.0 || bounds.height() <= max {
        return vec![Insert::Table(table)];
    }
    let (labels, lines): (Vec<Item>, Vec<Item>) =
        table.items.into_iter().partition(|item| matches!(item.mark, Mark::Text(_)));
    let boxes: Vec<(Rect, Item)> = labels
        .into_iter()
        .map(|item| {
            let own = Drawing { items: vec![item.clone()] };
            (hull::bounds(&hull::points(&own)).unwrap_or(Rect::ZERO), item)
        })
        .collect();
    let lines = Drawing { items: lines };
    let mut pieces = Vec::new();
    let mut top = bounds.y1;
    while top > bounds.y0 + PAD_MM {
        let crosses = |y: f64| boxes.iter().any(|(own, _)| own.y0 < y && y < own.y1);
        let feet = boxes.iter().map(|(own, _)| own.y0 - 0.5).chain([bounds.y0]);
        let foot = feet.filter(|y| *y >= top - max && *y < top - 1.0 && !crosses(*y));
        let foot = foot.fold(top, f64::min);
        if foot >= top {
            // One row that is taller than any page: nothing to be done.
            break;
        }
        let window = Rect::new(bounds.x0 - 1.0, foot, bounds.x1 + 1.0, top);
        let mut piece = crate::clip(&lines, window);
        let own = boxes.iter().filter(|(own, _)| window.contains(own.center()));
        piece.items.extend(own.map(|(_, item)| item.clone()));
        pieces.push(Insert::Table(piece));
        top = foot;
    }
    pieces
}

/// The drawings of a sheet's inserts that are no text.
fn drawings(sheet: &Sheet) -> impl Iterator<Item = &Drawing> {
    sheet.inserts.iter().filter_map(|insert| match insert {
        Insert::Table(drawing) | Insert::Chart(drawing) => Some(drawing),
        Insert::Text(_) => None,
    })
}

/// A sheet's notes as inserts as wide as its widest one, each no taller than a page.
fn notes(sheet: &Sheet, setup: &PageSetup) -> Vec<Drawing> {
    let boxes = drawings(sheet).filter_map(|i| hull::bounds(&hull::points(i)));
    let room = sizes(setup).map(|size| room(size, setup));
    let max = room[0].width().min(room[1].width()) - 2.0 * PAD_MM;
    let wide = boxes.map(|own| own.width()).fold(NOTES_MM, f64::max).min(max);
    let tall = room[0].height().min(room[1].height()) - 2.0 * PAD_MM - LINE_MM;
    let mut all = vec![Drawing::new()];
    let mut y = 0.0;
    for note in &sheet.notes {
        for line in wrap(note, FontFace::Regular, NOTE_MM, wide) {
            if -y > tall {
                all.push(Drawing::new());
                y = 0.0;
            }
            let label = Label::new(line, Point::new(0.0, y), NOTE_MM);
            all.last_mut().into_iter().for_each(|own| own.text(Pen::Lettering, label.clone()));
            y -= LINE_MM;
        }
        y -= 0.8;
    }
    all
}

/// The drawing with all its inserts on one page, level, or `None` when there is no room: in one
/// column if they go so, else in as few as can be.
fn together(sheet: &Sheet, setup: &PageSetup) -> Option<(Sheet, Plan)> {
    let points = hull::points(&sheet.drawing);
    let main = hull::bounds(&points)?;
    let own = drawings(sheet).map(hull::points);
    let (hulls, boxes): (Vec<Vec<Point>>, Vec<Rect>) = own
        .map(|points| hull::bounds(&points).map(|rect| (hull::hull(points), rect)))
        .collect::<Option<_>>()?;
    let levels = layout::levels(sheet, setup);
    let max_width = levels.iter().map(|level| level.size.width).fold(0.0, f64::max);
    let max_height = levels.iter().map(|level| level.size.height).fold(0.0, f64::max);
    let main_hull = hull::hull(points);
    for many in 1..=boxes.len().min(MAX_COLUMNS) {
        let columns = columns(&boxes, many);
        let size = columns.size;
        // Below the drawing: at its left, in its middle, at its right; then beside it.
        let below = main.y0 - WHITE_MM;
        let places = [
            Point::new(main.x0, below),
            Point::new(main.center().x - size.width / 2.0, below),
            Point::new(main.x1 - size.width, below),
            Point::new(main.x1 + WHITE_MM, main.center().y + size.height / 2.0),
        ];
        for place in places {
            let block = Rect::new(place.x, place.y - size.height, place.x + size.width, place.y);
            let whole = main.union(block);
            if whole.width() > max_width || whole.height() > max_height {
                continue;
            }
            let moved = |(hull, by): (&Vec<Point>, &Vec2)| -> Vec<Point> {
                hull.iter().map(|p| *p + *by + place.to_vec2()).collect()
            };
            let mut all = vec![main_hull.clone()];
            all.extend(hulls.iter().zip(&columns.by).map(moved));
            let Some(plan) = layout::level(&levels, &all) else { continue };
            let mut drawing = sheet.drawing.clone();
            for (insert, by) in drawings(sheet).zip(&columns.by) {
                drawing.extend(insert.moved(Affine::translate(*by + place.to_vec2())));
            }
            return Some((Sheet { drawing, inserts: Vec::new(), ..sheet.clone() }, plan));
        }
    }
    None
}

/// Inserts in columns, in order.
struct Columns {
    /// How far each goes, so that the upper left corner of them all lies at the origin, mm.
    by: Vec<Vec2>,
    /// The room that all of them take, mm.
    size: Size,
}

/// These boxes in at most so many columns, none of them taller than it must be.
fn columns(boxes: &[Rect], many: usize) -> Columns {
    let filled = |tall: f64| {
        let (mut by, mut left, mut right, mut top, mut low) = (Vec::new(), 0.0, 0.0, 0.0, 0.0);
        let mut count = 1;
        for own in boxes {
            if top < 0.0 && own.height() - top > tall + 1e-9 {
                left = right + WHITE_MM;
                top = 0.0;
                count += 1;
            }
            by.push(Vec2::new(left - own.x0, top - own.y1));
            right = f64::max(right, left + own.width());
            low = f64::min(low, top - own.height());
            top -= own.height() + WHITE_MM;
        }
        (count, Columns { by, size: Size::new(right, -low) })
    };
    // A column is as tall as some of them that follow each other.
    let stacks = |from: usize| {
        boxes[from..].iter().scan(-WHITE_MM, |tall, own| {
            *tall += own.height() + WHITE_MM;
            Some(*tall)
        })
    };
    let mut heights: Vec<f64> = (0..boxes.len()).flat_map(stacks).collect();
    heights.sort_by(f64::total_cmp);
    let tallest = boxes.iter().map(Rect::height).fold(0.0, f64::max);
    let fits = |tall: &f64| *tall >= tallest && filled(*tall).0 <= many;
    let tall = heights.into_iter().find(fits).unwrap_or(f64::INFINITY);
    filled(tall).1
}

/// The pages of their own for all inserts, as few as can be; `None` when one is too large.
fn pages_for(sheet: &Sheet, setup: &PageSetup) -> Option<Vec<TablePage>> {
    if !sheet.inserts.iter().all(is_figures) {
        return measured_pages(sheet, setup);
    }
    let [lying, upright] = sizes(setup);
    let directions = [vec![upright], vec![lying], vec![upright, lying]];
    // Upright on equal terms: a list reads best so. Less white where that saves a page; either
    // way round page by page only where neither alone takes all.
    let (mut all, both) = (Vec::new(), 2);
    for white_mm in [WHITE_MM, MIN_WHITE_MM] {
        for (i, sizes) in directions.iter().enumerate() {
            if i < both || all.is_empty() {
                all.extend(pages_of(sheet, setup, sizes, white_mm));
            }
        }
    }
    all.into_iter().min_by_key(Vec::len)
}

/// The room for inserts on a page of their own.
pub(crate) fn room(size: Size, setup: &PageSetup) -> Rect {
    let mut room = inner(size, setup, true);
    room.y1 -= WHITE_MM;
    room.y0 += 2.0 * FOOT_MM;
    room
}

/// The inserts one below the other, on pages of these sizes: each page of the first that takes
/// the insert that begins it.
fn pages_of(
    sheet: &Sheet,
    setup: &PageSetup,
    sizes: &[Size],
    white_mm: f64,
) -> Option<Vec<TablePage>> {
    let boxes = drawings(sheet)
        .map(|insert| hull::bounds(&hull::points(insert)).map(|own| own.inflate(PAD_MM, PAD_MM)));
    let boxes: Vec<Rect> = boxes.collect::<Option<_>>()?;
    let takes = |size: Size, own: &Rect| {
        let room = room(size, setup);
        own.width() <= room.width() && own.height() <= room.height()
    };
    let mut pages: Vec<TablePage> = Vec::new();
    let (mut size, mut top) = (*sizes.first()?, f64::MIN);
    for (i, own) in boxes.iter().enumerate() {
        let begins = top - own.height() < room(size, setup).y0 || !takes(size, own);
        if begins {
            size = sizes.iter().copied().find(|size| takes(*size, own))?;
            top = room(size, setup).y1;
            pages.push(TablePage { size, template: None, placed: Vec::new() });
        }
        // All of a page on one left edge, the widest in its middle.
        pages.last_mut()?.placed.push((i, Vec2::new(0.0, top - own.y1)));
        top -= own.height() + white_mm;
    }
    for page in &mut pages {
        let wide = page.placed.iter().map(|(i, _)| boxes[*i].width()).fold(0.0, f64::max);
        let left = room(page.size, setup).center().x - wide / 2.0;
        page.placed.iter_mut().for_each(|(i, by)| by.x = left - boxes[*i].x0);
    }
    Some(pages)
}

/// Whether an insert is only read: a chart, or words and rules.
fn is_figures(insert: &Insert) -> bool {
    let is_read = |item: &Item| matches!(item.pen, Pen::Lettering | Pen::Frame | Pen::Dimension);
    match insert {
        Insert::Table(table) => table.items.iter().all(|item| {
            is_read(item) && (item.pen != Pen::Dimension || matches!(item.mark, Mark::Text(_)))
        }),
        Insert::Chart(_) | Insert::Text(_) => true,
    }
}

/// A column of inserts on a page.
struct Column {
    page: usize,
    left: f64,
    right: f64,
    /// Where the next insert's upper side goes.
    top: f64,
}

/// The pages with rulers and square for all inserts, as few as can be.
fn measured_pages(sheet: &Sheet, setup: &PageSetup) -> Option<Vec<TablePage>> {
    let looks = PageTemplate::TILES
        .into_iter()
        .flat_map(|template| sizes(setup).map(|size| (size, template)));
    let pages =
        looks.filter_map(|(size, template)| measured_pages_of(sheet, setup, size, template));
    pages.min_by_key(Vec::len)
}

fn measured_pages_of(
    sheet: &Sheet,
    setup: &PageSetup,
    size: Size,
    template: PageTemplate,
) -> Option<Vec<TablePage>> {
    let bare = Sheet { notes: Vec::new(), ..sheet.clone() };
    let framed = add_page_frame(&bare, setup, size, template, &count(888, 888), &[]);
    let whole = framed.inner.inflate(1e-6, 1e-6);
    if whole.union(framed.corner.block) != whole {
        return None;
    }
    let room = tile::window(&framed, template, framed.corner.block);
    let mut columns: Vec<Column> = Vec::new();
    let mut pages: Vec<TablePage> = Vec::new();
    for (i, insert) in drawings(sheet).enumerate() {
        let own = hull::bounds(&hull::points(insert))?.inflate(PAD_MM, PAD_MM);
        if own.width() > room.width() || own.height() > room.height() {
            return None;
        }
        // The last column of a page may still become wider.
        let max = |k: usize| {
            let next = columns.get(k + 1).filter(|next| next.page == columns[k].page);
            next.map_or(room.x1, |_| columns[k].right)
        };
        let fits = |k: &usize| {
            let column = &columns[*k];
            column.top - own.height() >= room.y0 && column.left + own.width() <= max(*k)
        };
        let k = (0..columns.len()).find(fits).unwrap_or(columns.len());
        if k == columns.len() {
            let last = columns.last().map(|last| last.right + WHITE_MM);
            let beside = last.filter(|left| left + own.width() <= room.x1);
            if beside.is_none() {
                pages.push(TablePage { size, template: Some(template), placed: Vec::new() });
            }
            let left = beside.unwrap_or(room.x0);
            columns.push(Column { page: pages.len() - 1, left, right: left, top: room.y1 });
        }
        let column = &mut columns[k];
        pages[column.page].placed.push((i, Vec2::new(column.left - own.x0, column.top - own.y1)));
        column.right = column.right.max(column.left + own.width());
        column.top -= own.height() + WHITE_MM;
    }
    Some(pages)
}

/// The pages of a sheet's inserts.
pub(crate) fn pages(
    sheet: &Sheet,
    setup: &PageSetup,
    blocks: &[TablePage],
    (first, total): (usize, usize),
) -> Vec<Page> {
    let page = |(k, blocks): (usize, &TablePage)| {
        let number = first + k;
        let title = match (blocks.template, sheet.title.strip_suffix(", table")) {
            (Some(_), Some(plain)) => format!("{plain}, details"),
            _ => sheet.title.clone(),
        };
        let own = Sheet { title: title.clone(), notes: Vec::new(), ..sheet.clone() };
        let mut page = Drawing::new();
        let count = count(number, total);
        if let Some(template) = blocks.template {
            page.extend(add_page_frame(&own, setup, blocks.size, template, &count, &[]).drawing);
        } else {
            page.extend(flow::plain(&own, setup, blocks.size, &count));
        }
        let inserts: Vec<&Drawing> = drawings(sheet).collect();
        for (i, by) in &blocks.placed {
            page.extend(inserts[*i].moved(Affine::translate(*by)));
        }
        Page {
            size_mm: blocks.size,
            drawing: page,
            key: sheet.key,
            name: title,
            number,
            turn_deg: 0.0,
            from_sheet: Affine::IDENTITY,
            trim: None,
        }
    };
    blocks.iter().enumerate().map(page).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: of heights 30, 10, 10, 20 and 7 between, one column is 70 + 3 × 7 = 91 high; two
    /// are 47 (30 and 10; 10 and 20); three 30 (30; 10 and 10; 20).
    #[test]
    fn columns_are_filled_in_order_and_no_taller_than_they_must_be() {
        let own = |tall: f64, wide: f64| Rect::new(5.0, -3.0 - tall, 5.0 + wide, -3.0);
        let boxes = [own(30.0, 50.0), own(10.0, 60.0), own(10.0, 40.0), own(20.0, 20.0)];
        let placed = |many: usize| {
            let columns = columns(&boxes, many);
            let placed: Vec<Rect> = boxes.iter().zip(&columns.by).map(|(b, by)| *b + *by).collect();
            (columns.size, placed)
        };
        let (size, one) = placed(1);
        assert_eq!(size, Size::new(60.0, 91.0));
        assert_eq!(one[1], Rect::new(0.0, -47.0, 60.0, -37.0));
        let (size, two) = placed(2);
        assert_eq!(size, Size::new(107.0, 47.0));
        assert_eq!(two[2], Rect::new(67.0, -10.0, 107.0, 0.0));
        assert_eq!(two[3], Rect::new(67.0, -37.0, 87.0, -17.0));
        let (size, three) = placed(3);
        assert_eq!(size, Size::new(50.0 + 60.0 + 20.0 + 2.0 * WHITE_MM, 30.0));
        assert_eq!(three[3].origin(), Point::new(124.0, -20.0));
    }
}
