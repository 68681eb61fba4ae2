//! One page for a drawing with what belongs to it: tables, details and notes stand wherever the
//! page has room for them.

use crate::corner::ScaleCheck;
use crate::frame::{FramedPage, add_page_frame, count, sizes};
use crate::hull::{self, PAD_MM};
use crate::pack::pack;
use crate::plan::Plan;
use crate::template::PageTemplate;
use crate::text::wrap;
use crate::{PageSetup, Sheet};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, FontFace, HAlign, Insert, Label, Pen, VAlign};
use std::borrow::Cow;

/// White around what stands on a page, mm: the widest that goes.
const WHITES_MM: [f64; 4] = [10.0, 7.0, 5.0, 3.5];
/// Widths of a column of notes, mm.
const NOTES_MM: [f64; 5] = [84.0, 66.0, 110.0, 52.0, 150.0];
/// Height of notes, and from one line of them to the next, mm.
const NOTE_MM: f64 = 2.5;
const PITCH_MM: f64 = 3.9;
/// White between two notes, mm.
const APART_MM: f64 = 0.7;

/// A drawing with its box, its lower left corner at the origin.
struct Block<'a> {
    drawing: Cow<'a, Drawing>,
    size: Size,
    /// From the drawing's own plane to that.
    to_corner: Vec2,
}

impl<'a> Block<'a> {
    fn of(drawing: Cow<'a, Drawing>) -> Option<Self> {
        let own = hull::bounds(&hull::points(&drawing))?.inflate(PAD_MM, PAD_MM);
        let to_corner = -own.origin().to_vec2();
        Some(Self { drawing, size: own.size(), to_corner })
    }

    fn at(&self, corner: Point) -> Drawing {
        self.drawing.moved(Affine::translate(self.to_corner + corner.to_vec2()))
    }
}

/// What is to be put on one page.
pub(crate) struct Contents<'a> {
    /// The sheet: its drawing, its title, its notes.
    pub(crate) sheet: &'a Sheet,
    /// Those of its inserts that go with it.
    pub(crate) inserts: &'a [Insert],
    /// Whether what stands only where there is room is to go with it.
    pub(crate) spare: bool,
    /// Whether to take less room for what shows the scale.
    pub(crate) slim: bool,
}

/// The page with all of it, level; `None` when there is no room. The drawing comes first, the rest
/// in order where there is room for it.
pub(crate) fn page(contents: &Contents<'_>, setup: &PageSetup) -> Option<(Sheet, Plan)> {
    let sheet = contents.sheet;
    if ScaleCheck::of(sheet, setup) == ScaleCheck::Itself {
        // Its drawing stands alone.
        return None;
    }
    let main = Block::of(Cow::Borrowed(&sheet.drawing))?;
    let drawings = contents.inserts.iter().filter_map(|insert| match insert {
        Insert::Table(drawing) | Insert::Chart(drawing) => Some(drawing),
        Insert::Spare(drawing) => contents.spare.then_some(drawing),
        Insert::Text(_) => None,
    });
    let mut blocks = vec![main];
    blocks.extend(drawings.filter_map(|own| Block::of(Cow::Borrowed(own))));
    let check = if contents.slim { ScaleCheck::Slim } else { ScaleCheck::of(sheet, setup) };
    let area: f64 = blocks.iter().map(|block| block.size.area()).sum();
    let bare = Sheet { key: sheet.key, title: sheet.title.clone(), ..Sheet::default() };
    let looks: Vec<(Size, PageTemplate, FramedPage)> = PageTemplate::level(check)
        .iter()
        .chain(PageTemplate::tight(check))
        .flat_map(|template| sizes(setup).map(|size| (size, *template)))
        .map(|(size, template)| {
            (size, template, add_page_frame(&bare, setup, size, template, &count(888, 888), &[]))
        })
        .filter(|(_, _, framed)| framed.is_sound() && may_take(framed, blocks[0].size, area))
        .collect();
    let columns: Vec<Option<Block<'_>>> = if sheet.notes.is_empty() {
        vec![None]
    } else {
        NOTES_MM.map(|wide| Block::of(Cow::Owned(notes(&sheet.notes, wide)))).into()
    };
    let orders = orders(&blocks);
    for white_mm in WHITES_MM {
        for (size, template, framed) in &looks {
            for column in &columns {
                for order in &orders {
                    let mut sizes: Vec<Size> = order.iter().map(|i| blocks[*i].size).collect();
                    sizes.extend(column.as_ref().map(|column| column.size));
                    let corners = pack(framed.inner, &framed.corner.rects, &sizes, white_mm);
                    let Some(corners) = corners else { continue };
                    let mut placed: Vec<(&Block<'_>, Point)> =
                        order.iter().map(|i| &blocks[*i]).zip(corners.iter().copied()).collect();
                    placed.extend(column.as_ref().zip(corners.last().copied()));
                    return Some(joined(sheet, &placed, (*size, *template)));
                }
            }
        }
    }
    None
}

/// Whether a page may take blocks of this area, the first of them of this size: a quick look that
/// spares trying all others.
fn may_take(framed: &FramedPage, first: Size, area_mm2: f64) -> bool {
    let [.., least] = WHITES_MM;
    let taken: f64 = framed.corner.rects.iter().skip(2).map(Rect::area).sum();
    framed.inner.area() - taken > area_mm2
        && pack(framed.inner, &framed.corner.rects, &[first], least).is_some()
}

/// The orders in which blocks are put on a page, the drawing always first: as they come, then the
/// tall ones first.
fn orders(blocks: &[Block<'_>]) -> Vec<Vec<usize>> {
    let own: Vec<usize> = (0..blocks.len()).collect();
    let mut tall = own.clone();
    tall[1..].sort_by(|a, b| blocks[*b].size.height.total_cmp(&blocks[*a].size.height));
    let mut wide = own.clone();
    wide[1..].sort_by(|a, b| blocks[*b].size.width.total_cmp(&blocks[*a].size.width));
    let mut orders = vec![own];
    for order in [tall, wide] {
        if !orders.contains(&order) {
            orders.push(order);
        }
    }
    orders
}

/// All blocks as one drawing in the plane of the first, and where that stands on its page.
fn joined(
    sheet: &Sheet,
    placed: &[(&Block<'_>, Point)],
    (size, template): (Size, PageTemplate),
) -> (Sheet, Plan) {
    let by = placed.first().map_or(Vec2::ZERO, |(main, at)| main.to_corner + at.to_vec2());
    let mut drawing = sheet.drawing.clone();
    for (block, corner) in placed.iter().skip(1) {
        drawing.extend(block.at(*corner - by));
    }
    let (key, title, reduced) = (sheet.key, sheet.title.clone(), sheet.reduced.clone());
    let sheet = Sheet { key, title, drawing, reduced, ..Sheet::default() };
    (sheet, Plan::Single { size, template, turn_deg: 0.0, by })
}

/// Notes in a column so wide.
pub(crate) fn notes(notes: &[String], wide_mm: f64) -> Drawing {
    let mut drawing = Drawing::new();
    let mut y = 0.0;
    for note in notes {
        for line in wrap(note, FontFace::Regular, NOTE_MM, wide_mm) {
            let label = Label::new(line, Point::new(0.0, y), NOTE_MM);
            drawing.text(Pen::Lettering, label.anchored(HAlign::Start, VAlign::Top));
            y -= PITCH_MM;
        }
        y -= APART_MM;
    }
    drawing
}

/// A note that tells where the notes are.
pub(crate) fn notes_elsewhere(sheet: &Sheet) -> Sheet {
    let notes = vec!["Notes: on a page of their own.".to_owned()];
    Sheet { notes, inserts: Vec::new(), ..sheet.clone() }
}

/// Pages for blocks without a drawing: as many of the first as go on each.
pub(crate) fn pages(
    drawings: &[&Drawing],
    windows: &[(Size, Rect, Vec<Rect>)],
    whites_mm: &[f64],
) -> Option<Vec<(usize, Vec<Vec2>)>> {
    let blocks: Vec<Block<'_>> =
        drawings.iter().map(|own| Block::of(Cow::Borrowed(own))).collect::<Option<_>>()?;
    let mut all = Vec::new();
    let mut rest = &blocks[..];
    while !rest.is_empty() {
        let fits = |many: usize| {
            let sizes: Vec<Size> = rest[..many].iter().map(|block| block.size).collect();
            whites_mm.iter().find_map(|white_mm| {
                (0..windows.len()).find_map(|i| {
                    let (_, window, obstacles) = &windows[i];
                    Some((i, pack(*window, obstacles, &sizes, *white_mm)?))
                })
            })
        };
        let many = (1..=rest.len()).rev().find_map(|many| Some((many, fits(many)?)));
        let (many, (i, corners)) = many?;
        let by = rest[..many].iter().zip(corners);
        all.push((i, by.map(|(block, at)| block.to_corner + at.to_vec2()).collect()));
        rest = &rest[many..];
    }
    Some(all)
}
