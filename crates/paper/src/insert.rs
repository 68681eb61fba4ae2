//! A sheet's inserts: tables and the like that no joint may cut. They stand with the drawing
//! where all of them find room beside it, else on pages of their own.

use crate::hull::{self, PAD_MM};
use crate::layout::{self, Plan, count, inner, sizes};
use crate::text::wrap;
use crate::{Page, PaperError, Setup, Sheet, title};
use drawing::{Drawing, Face, Label, Pen};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use std::borrow::Cow;

/// White between a drawing and its inserts, and between two inserts, mm.
const WHITE_MM: f64 = 7.0;
/// Height of notes among the inserts, mm.
const NOTE_MM: f64 = 2.5;
/// Height of the line below inserts on a page of their own, mm.
const FOOT_MM: f64 = 2.5;

/// One page of inserts: which, and where each goes.
pub(crate) struct Blocks {
    size: Size,
    placed: Vec<(usize, Vec2)>,
}

/// How a sheet and its inserts go on paper: together when they can, else one after the other.
///
/// # Errors
/// As [`layout::plan`].
pub(crate) fn plans<'a>(
    sheet: &'a Sheet,
    setup: &Setup,
) -> Result<Vec<(Cow<'a, Sheet>, Plan)>, PaperError> {
    if sheet.inserts.is_empty() {
        return Ok(vec![(Cow::Borrowed(sheet), layout::plan(sheet, setup)?)]);
    }
    let alone = layout::plan(sheet, setup);
    if matches!(alone, Ok(Plan::One { .. }))
        && let Some((whole, plan)) = together(sheet, setup)
    {
        return Ok(vec![(Cow::Owned(whole), plan)]);
    }
    let (first, rest) = match alone {
        Ok(plan @ Plan::One { turn_deg: 0.0, .. }) => {
            ((Cow::Borrowed(sheet), plan), Sheet { notes: Vec::new(), ..sheet.clone() })
        }
        // A drawing that is turned or tiled gets all the room there is: its notes go along with
        // the inserts.
        _ => {
            let bare = Sheet { notes: Vec::new(), ..sheet.clone() };
            let plan = layout::plan(&bare, setup)?;
            let mut rest = sheet.clone();
            rest.inserts.push(notes(sheet));
            ((Cow::Owned(bare), plan), rest)
        }
    };
    let mut all = vec![first];
    match pages_for(&rest, setup) {
        Some(pages) => all.push((Cow::Owned(rest), Plan::Blocks(pages))),
        // Wider or higher than any page: better cut than missing.
        None => {
            for insert in &rest.inserts {
                let own = Sheet { drawing: insert.clone(), inserts: Vec::new(), ..rest.clone() };
                let plan = layout::plan(&own, setup)?;
                all.push((Cow::Owned(own), plan));
            }
        }
    }
    Ok(all)
}

/// A sheet's notes as an insert as wide as its widest one.
fn notes(sheet: &Sheet) -> Drawing {
    let boxes = sheet.inserts.iter().filter_map(|i| hull::bounds(&hull::points(i)));
    let wide = boxes.map(|own| own.width()).fold(100.0, f64::max);
    let mut drawing = Drawing::new();
    let mut y = 0.0;
    for note in &sheet.notes {
        for line in wrap(note, Face::Regular, NOTE_MM, wide) {
            drawing.text(Pen::Lettering, Label::new(line, Point::new(0.0, y), NOTE_MM));
            y -= NOTE_MM + 1.9;
        }
        y -= 0.8;
    }
    drawing
}

/// The drawing with all its inserts on one page, level, or `None` when there is no room.
fn together(sheet: &Sheet, setup: &Setup) -> Option<(Sheet, Plan)> {
    let main = hull::bounds(&hull::points(&sheet.drawing))?;
    let boxes: Vec<Rect> =
        sheet.inserts.iter().map(|i| hull::bounds(&hull::points(i))).collect::<Option<_>>()?;
    let widest = boxes.iter().map(Rect::width).fold(0.0, f64::max);
    let tall = boxes.iter().map(Rect::height).sum::<f64>() + WHITE_MM * share(boxes.len() - 1);
    // Below the drawing: at its left, in its middle, at its right; then beside it.
    let below = main.y0 - WHITE_MM;
    let places = [
        Point::new(main.x0, below),
        Point::new(main.center().x - widest / 2.0, below),
        Point::new(main.x1 - widest, below),
        Point::new(main.x1 + WHITE_MM, main.center().y + tall / 2.0),
    ];
    let levels = layout::levels(sheet, setup);
    places.into_iter().find_map(|place| {
        let mut top = place.y;
        let mut hulls = vec![hull::hull(hull::points(&sheet.drawing))];
        let mut drawing = sheet.drawing.clone();
        for (insert, own) in sheet.inserts.iter().zip(&boxes) {
            let moved = insert.moved(Affine::translate((place.x - own.x0, top - own.y1)));
            hulls.push(hull::hull(hull::points(&moved)));
            drawing.extend(moved);
            top -= own.height() + WHITE_MM;
        }
        let whole = Sheet { drawing, inserts: Vec::new(), ..sheet.clone() };
        let plan = layout::level(&levels, &hulls)?;
        Some((whole, plan))
    })
}

/// The pages of their own for all inserts, as few as can be; `None` when one is too large.
fn pages_for(sheet: &Sheet, setup: &Setup) -> Option<Vec<Blocks>> {
    let [lying, upright] = sizes(setup).map(|size| pages_of(sheet, setup, size));
    match (lying, upright) {
        // Upright on equal terms: a list reads best so.
        (Some(lying), Some(upright)) if lying.len() < upright.len() => Some(lying),
        (lying, upright) => upright.or(lying),
    }
}

fn pages_of(sheet: &Sheet, setup: &Setup, size: Size) -> Option<Vec<Blocks>> {
    let mut room = inner(size, setup, true);
    room.y1 -= WHITE_MM;
    room.y0 += 2.0 * FOOT_MM;
    let boxes = sheet.inserts.iter().filter_map(|i| hull::bounds(&hull::points(i)));
    let widest = boxes.map(|own| own.width()).fold(0.0, f64::max);
    let left = room.center().x - widest / 2.0;
    let mut pages: Vec<Blocks> = Vec::new();
    let mut top = f64::MIN;
    for (i, insert) in sheet.inserts.iter().enumerate() {
        let own = hull::bounds(&hull::points(insert))?.inflate(PAD_MM, PAD_MM);
        if own.width() > room.width() || own.height() > room.height() {
            return None;
        }
        if top - own.height() < room.y0 {
            top = room.y1;
            pages.push(Blocks { size, placed: Vec::new() });
        }
        let by = Vec2::new(left - own.x0, top - own.y1);
        pages.last_mut()?.placed.push((i, by));
        top -= own.height() + WHITE_MM;
    }
    Some(pages)
}

/// The pages of a sheet's inserts.
pub(crate) fn pages(
    sheet: &Sheet,
    setup: &Setup,
    blocks: &[Blocks],
    (first, total): (usize, usize),
) -> Vec<Page> {
    let own = Sheet { title: format!("{}, table", sheet.title), ..sheet.clone() };
    let page = |(k, blocks): (usize, &Blocks)| {
        let number = first + k;
        let mut page = Drawing::new();
        let whole = inner(blocks.size, setup, false);
        title::line(&mut page, whole, &setup.heading, &own, &count(number, total));
        for (i, by) in &blocks.placed {
            page.extend(sheet.inserts[*i].moved(Affine::translate(*by)));
        }
        let words = "Figures only: nothing on this page is to be measured.";
        page.text(Pen::Lettering, Label::new(words, Point::new(whole.x0, whole.y0 + 1.0), FOOT_MM));
        Page {
            size_mm: blocks.size,
            drawing: page,
            key: sheet.key,
            name: own.title.clone(),
            number,
            turn_deg: 0.0,
            from_sheet: Affine::IDENTITY,
            trim: None,
        }
    };
    blocks.iter().enumerate().map(page).collect()
}

#[expect(clippy::cast_precision_loss, reason = "a handful of inserts")]
fn share(n: usize) -> f64 {
    n as f64
}
