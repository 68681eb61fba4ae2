//! A sheet's inserts: tables and charts that no joint may cut. They stand with the drawing, as
//! many of them as find room beside it, and the rest on pages of their own; these carry rulers and
//! squares as soon as one insert is to be measured. A table too tall for a page goes on to the next
//! between two of its rows.

use crate::beside::{self, Drawn};
use crate::compose::{self, Blocks, Contents};
use crate::corner::ScaleCheck;
use crate::frame::{add_page_frame, count, measure_frame, no_room, plain, sizes, text_room};
use crate::hull::{self, PAD_MM};
use crate::plan::{Plan, TablePage};
use crate::template::PageTemplate;
use crate::tiling::Tiling;
use crate::{Page, PageSetup, PaperError, Sheet, flow, place};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, Insert, Item, Mark, Pen};
use std::borrow::Cow;

/// White between two inserts, the widest that goes, mm.
const WHITES_MM: [f64; 3] = [9.0, 6.0, 3.5];
/// Widths of notes beside tables on pages of their own, the usual one first: another is taken only
/// where it saves a page, mm.
const NOTES_MM: [f64; 4] = [100.0, 84.0, 150.0, 66.0];
/// Widths of notes on a tile, mm.
const NOTES_WIDE_MM: [f64; 4] = [100.0, 150.0, 215.0, 70.0];
/// How a sheet and its inserts go on paper: together when they can, else one after the other.
///
/// # Errors
/// As [`place::plan`].
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
        let own = Sheet { notes: Vec::new(), ..sheet.clone() };
        let plans = with_notes(&own, &sheet.notes, setup)?;
        return Ok(plans.into_iter().map(owned).collect());
    }
    if let Some(whole) = one_page(sheet, setup)? {
        return Ok(vec![owned(whole)]);
    }
    Ok(parted(sheet, setup)?.into_iter().map(owned).collect())
}

/// All of a sheet level on one page, if it goes so; what stands only where there is room may be
/// left out.
///
/// # Errors
/// As [`place::plan`].
pub(crate) fn one_page(
    sheet: &Sheet,
    setup: &PageSetup,
) -> Result<Option<(Sheet, Plan)>, PaperError> {
    let alone = place::straight(sheet, setup)?;
    if sheet.drawing.items.is_empty() {
        return Ok(alone.map(|plan| (sheet.clone(), plan)));
    }
    let has_spare = sheet.inserts.iter().any(|own| matches!(own, Insert::Spare(_)));
    let blocks = Blocks::of(&sheet.drawing, &sheet.inserts);
    let inserts = sheet.inserts.len();
    let contents = |spare| Contents { sheet, blocks: &blocks, inserts, spare, slim: false };
    if has_spare && let Some(page) = compose::page(&contents(true), setup) {
        return Ok(Some(page));
    }
    if kept(&sheet.inserts).next().is_none()
        && let Some(plan) = alone
    {
        return Ok(Some((Sheet { inserts: Vec::new(), ..sheet.clone() }, plan)));
    }
    Ok(compose::page(&contents(false), setup))
}

/// A sheet that needs several pages: the drawing straight with as much as goes with it, the rest
/// after it; else the drawing alone, and only then turned or in tiles.
fn parted(sheet: &Sheet, setup: &PageSetup) -> Result<Vec<(Sheet, Plan)>, PaperError> {
    let inserts: Vec<Insert> = kept(&sheet.inserts).cloned().collect();
    let has_notes = !sheet.notes.is_empty();
    let bare = compose::notes_elsewhere(sheet);
    let silent = Sheet { notes: Vec::new(), inserts: Vec::new(), ..sheet.clone() };
    // The notes stay with the drawing, else go to a page of their own; what shows the scale may
    // be slim before a drawing is turned or cut.
    let mut tries = vec![(if has_notes { sheet } else { &silent }, false)];
    if has_notes {
        tries.extend([(&bare, false), (&bare, true)]);
    } else {
        tries.push((&silent, true));
    }
    let blocks = Blocks::of(&sheet.drawing, &inserts);
    for (own, slim) in tries {
        let with_notes = own.notes == sheet.notes;
        // All of it with its notes was tried already.
        let max = if with_notes && !slim { inserts.len() } else { inserts.len() + 1 };
        for many in (0..max).rev() {
            let contents =
                Contents { sheet: own, blocks: &blocks, inserts: many, spare: false, slim };
            let Some(page) = compose::page(&contents, setup) else { continue };
            let mut all = vec![page];
            let notes = if with_notes { Vec::new() } else { sheet.notes.clone() };
            all.extend(rest(sheet, setup, notes, inserts[many..].to_vec())?);
            return Ok(all);
        }
    }
    in_pieces(sheet, setup, &inserts)
}

/// A sheet whose drawing goes on no page level: turned, or in tiles with what finds room beside it
/// on them; whichever takes the fewest pages, and of as many the one with the fewest joints: every
/// joint costs truth.
fn in_pieces(
    sheet: &Sheet,
    setup: &PageSetup,
    inserts: &[Insert],
) -> Result<Vec<(Sheet, Plan)>, PaperError> {
    let alone = Sheet { inserts: Vec::new(), ..sheet.clone() };
    let bare = compose::notes_elsewhere(sheet);
    let silent = Sheet { notes: Vec::new(), ..alone.clone() };
    let points = place::checked_hull(sheet, setup)?;
    let mut options: Vec<Vec<(Sheet, Plan)>> = Vec::new();
    let with_notes = if sheet.notes.is_empty() { vec![&silent] } else { vec![&alone, &bare] };
    for own in &with_notes {
        let Some(plan) = place::diagonal(own, setup, &points) else { continue };
        let mut all = vec![((*own).clone(), plan)];
        let notes = if own.notes == sheet.notes { &[][..] } else { &sheet.notes };
        all.extend(rest(sheet, setup, notes.to_vec(), inserts.to_vec())?);
        options.push(all);
    }
    let mut fault = None;
    let drawn = (&points[..], &Drawn::of(&sheet.drawing));
    let without_notes = (!sheet.notes.is_empty()).then_some(&silent);
    for own in with_notes.into_iter().chain(without_notes) {
        match on_tiles((sheet, own), drawn, setup, inserts) {
            Ok(all) => options.extend(all),
            Err(error) => fault = Some(error),
        }
    }
    let cost = |all: &Vec<(Sheet, Plan)>| {
        let pages: usize = all.iter().map(|(_, plan)| plan.pages()).sum();
        (pages, all.first().map_or(1, |(_, plan)| plan.pieces()))
    };
    let best = options.into_iter().min_by_key(cost);
    best.ok_or_else(|| fault.unwrap_or_else(|| no_room(sheet, setup)))
}

/// Tiles with what else may stand on them: for each block how far it is moved there, if it is.
struct FilledTiles<'a> {
    tiling: Tiling,
    blocks: Vec<&'a Drawing>,
    placed: Vec<Option<Vec2>>,
}

/// A sheet in tiles, `own` being what each says, with its inserts and the notes that `own` leaves
/// out beside the drawing, given by its hull and its marks, where there is room. `None` where `own`
/// is silent of notes that found none.
fn on_tiles(
    (sheet, own): (&Sheet, &Sheet),
    (points, drawn): (&[Point], &Drawn),
    setup: &PageSetup,
    inserts: &[Insert],
) -> Result<Option<Vec<(Sheet, Plan)>>, PaperError> {
    let tiling = place::tiled(own, setup, points)?;
    let notes = if own.notes.is_empty() { &sheet.notes[..] } else { &[] };
    let words: Vec<Drawing> = if notes.is_empty() {
        Vec::new()
    } else {
        NOTES_WIDE_MM.map(|wide| compose::notes(notes, wide)).to_vec()
    };
    let drawings: Vec<&Drawing> = inserts.iter().filter_map(insert_drawing).collect();
    let tries: Vec<Option<&Drawing>> =
        if words.is_empty() { vec![None] } else { words.iter().map(Some).collect() };
    let mut best: Option<(usize, FilledTiles<'_>)> = None;
    for words in tries {
        let mut own_tiling = tiling.clone();
        let blocks: Vec<&Drawing> = words.into_iter().chain(drawings.iter().copied()).collect();
        let placed = beside::place(&mut own_tiling, drawn, &blocks);
        let has_notes = words.is_none() || placed.first().is_some_and(Option::is_some);
        let count = placed.iter().flatten().count();
        if has_notes && best.as_ref().is_none_or(|(max, _)| count > *max) {
            best = Some((count, FilledTiles { tiling: own_tiling, blocks, placed }));
        }
    }
    let Some((_, FilledTiles { tiling, blocks, placed })) = best else { return Ok(None) };
    let mut drawing = own.drawing.clone();
    for (block, by) in blocks.iter().zip(&placed) {
        if let Some(by) = by {
            drawing.extend(block.moved(Affine::translate(*by)));
        }
    }
    let (_, of_inserts) = placed.split_at(usize::from(!notes.is_empty()));
    let left = inserts.iter().zip(of_inserts).filter(|(_, by)| by.is_none());
    let left: Vec<Insert> = left.map(|(insert, _)| insert.clone()).collect();
    let is_told = own.notes == sheet.notes || own.notes.is_empty();
    let notes = if is_told { Vec::new() } else { sheet.notes.clone() };
    let mut all = vec![(Sheet { drawing, ..own.clone() }, Plan::Tiles(tiling))];
    all.extend(rest(sheet, setup, notes, left)?);
    Ok(Some(all))
}

/// What is left of a sheet after its drawing: notes, then inserts, on pages of their own.
fn rest(
    sheet: &Sheet,
    setup: &PageSetup,
    notes: Vec<String>,
    inserts: Vec<Insert>,
) -> Result<Vec<(Sheet, Plan)>, PaperError> {
    if notes.is_empty() && inserts.is_empty() {
        return Ok(Vec::new());
    }
    let what = match inserts.as_slice() {
        [] => "notes",
        [Insert::Chart(_)] => "chart",
        _ => "table",
    };
    let own = Sheet {
        title: format!("{}, {what}", sheet.title),
        drawing: Drawing::new(),
        notes: Vec::new(),
        inserts,
        ..sheet.clone()
    };
    with_notes(&own, &notes, setup)
}

/// A sheet's inserts and notes on pages of their own, the notes as wide as saves pages.
fn with_notes(
    sheet: &Sheet,
    notes: &[String],
    setup: &PageSetup,
) -> Result<Vec<(Sheet, Plan)>, PaperError> {
    let mut best: Option<(usize, Vec<(Sheet, Plan)>)> = None;
    for wide_mm in NOTES_MM {
        let mut own = sheet.clone();
        own.inserts.extend(note_blocks(notes, wide_mm, setup).into_iter().map(Insert::Table));
        let all = on_their_own(own, setup)?;
        let pages = all.iter().map(|(_, plan)| plan.pages()).sum();
        if best.as_ref().is_none_or(|(fewest, _)| pages < *fewest) {
            best = Some((pages, all));
        }
        if pages <= 1 || notes.is_empty() || sheet.inserts.is_empty() {
            break;
        }
    }
    Ok(best.map(|(_, all)| all).unwrap_or_default())
}

/// Those of a sheet's inserts that may not be left out.
fn kept(inserts: &[Insert]) -> impl Iterator<Item = &Insert> {
    inserts.iter().filter(|own| !matches!(own, Insert::Spare(_)))
}

fn owned<'a>((sheet, plan): (Sheet, Plan)) -> (Cow<'a, Sheet>, Plan) {
    (Cow::Owned(sheet), plan)
}

/// A sheet's inserts on pages of their own: together where they go, else those to be measured
/// each as a drawing, and what is only read never cut but between two rows.
///
/// # Errors
/// As [`place::plan`], and [`PaperError::NoRoom`] for a table wider than the paper.
fn on_their_own(mut sheet: Sheet, setup: &PageSetup) -> Result<Vec<(Sheet, Plan)>, PaperError> {
    sheet.inserts.retain(|own| !matches!(own, Insert::Spare(_)));
    if let Some(pages) = pages_for(&sheet, setup) {
        return Ok(vec![(sheet, Plan::Tables(pages))]);
    }
    let (read, measured): (Vec<Insert>, Vec<Insert>) =
        sheet.inserts.iter().cloned().partition(is_figures);
    let mut all = Vec::new();
    for insert in measured {
        let drawing = insert.into_drawing();
        let own = Sheet { drawing, notes: Vec::new(), inserts: Vec::new(), ..sheet.clone() };
        let plan = place::plan(&own, setup)?;
        all.push((own, plan));
    }
    if !read.is_empty() {
        let rooms = sizes(setup).map(|size| text_room(size, setup));
        let inserts = read.into_iter().flat_map(|insert| split(insert, &rooms)).collect();
        let own = Sheet { inserts, ..sheet };
        let pages = pages_for(&own, setup).ok_or_else(|| no_room(&own, setup))?;
        all.push((own, Plan::Tables(pages)));
    }
    Ok(all)
}

/// A table in pieces that are no taller than the page that takes its width, cut between rows; as
/// it is where there is nothing to mend.
fn split(insert: Insert, rooms: &[Rect]) -> Vec<Insert> {
    let Insert::Table(table) = insert else { return vec![insert] };
    let Some(bounds) = hull::drawing_bounds(&table) else { return Vec::new() };
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
        .map(|item| (hull::mark_bounds(&item.mark).unwrap_or(Rect::ZERO), item))
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
    sheet.inserts.iter().filter_map(insert_drawing)
}

fn insert_drawing(insert: &Insert) -> Option<&Drawing> {
    match insert {
        Insert::Table(drawing) | Insert::Chart(drawing) | Insert::Spare(drawing) => Some(drawing),
        Insert::Text(_) => None,
    }
}

/// Notes as blocks of one width, each no taller than a page.
fn note_blocks(notes: &[String], wide_mm: f64, setup: &PageSetup) -> Vec<Drawing> {
    let room = sizes(setup).map(|size| text_room(size, setup));
    let wide = wide_mm.min(room[0].width().min(room[1].width()) - 2.0 * PAD_MM);
    let tall = room[0].height().min(room[1].height()) - 4.0 * PAD_MM;
    let mut blocks: Vec<Drawing> = Vec::new();
    let mut from = 0;
    while from < notes.len() {
        let fits = |many: &usize| {
            let own = hull::drawing_bounds(&compose::notes(&notes[from..from + many], wide));
            own.is_none_or(|own| own.height() <= tall)
        };
        let many = (1..=notes.len() - from).take_while(fits).last().unwrap_or(1);
        blocks.push(compose::notes(&notes[from..from + many], wide));
        from += many;
    }
    blocks
}

/// The pages of their own for all inserts, as few as can be; `None` when one is too large.
fn pages_for(sheet: &Sheet, setup: &PageSetup) -> Option<Vec<TablePage>> {
    let drawings: Vec<&Drawing> = drawings(sheet).collect();
    let template = (!sheet.inserts.iter().all(is_figures))
        .then(|| PageTemplate::level(ScaleCheck::of(sheet, setup))[0]);
    let window = |size: Size| match template {
        None => Some((size, text_room(size, setup), Vec::new())),
        Some(template) => {
            let bare = Sheet { notes: Vec::new(), ..sheet.clone() };
            let framed = measure_frame(&bare, setup, size, template, &[]);
            framed.is_sound().then_some((size, framed.inner, framed.corner.rects))
        }
    };
    // Upright on equal terms: a list reads best so.
    let [lying, upright] = sizes(setup);
    let directions = match template {
        None => [vec![upright], vec![lying], vec![upright, lying]],
        Some(_) => [vec![lying], vec![upright], vec![lying, upright]],
    };
    let pages = |sizes: &Vec<Size>| {
        let windows: Vec<_> = sizes.iter().filter_map(|size| window(*size)).collect();
        let pages = compose::pages(&drawings, &windows, &WHITES_MM)?;
        let page = |page: compose::BlockPage| TablePage {
            size: windows[page.window].0,
            template,
            placed: page.placed,
        };
        Some(pages.into_iter().map(page).collect::<Vec<_>>())
    };
    directions.iter().filter_map(pages).min_by_key(Vec::len)
}

/// Whether an insert is only read: a chart, or words and rules.
pub(crate) fn is_figures(insert: &Insert) -> bool {
    let is_read = |item: &Item| matches!(item.pen, Pen::Lettering | Pen::Frame | Pen::Dimension);
    match insert {
        Insert::Table(table) => table.items.iter().all(|item| {
            is_read(item) && (item.pen != Pen::Dimension || matches!(item.mark, Mark::Text(_)))
        }),
        Insert::Chart(_) | Insert::Text(_) | Insert::Spare(_) => true,
    }
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
            page.extend(plain(&own, setup, blocks.size, &count));
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
