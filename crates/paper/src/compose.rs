//! One page for a drawing with what belongs to it: tables, details and notes stand wherever the
//! page has room for them.

use crate::block::{self, Block};
use crate::corner::ScaleCheck;
use crate::frame::{FramedPage, measure_frame, sizes};
use crate::pack::pack;
use crate::plan::Plan;
use crate::template::PageTemplate;
use crate::text::wrap;
use crate::{PageSetup, Sheet};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, FontFace, HAlign, Insert, Label, Pen, TextLine, VAlign};
use std::borrow::Cow;

/// White around what stands on a page, mm: the widest that goes.
const WHITES_MM: [f64; 4] = [10.0, 7.0, 5.0, 3.5];
/// Widths of a column of notes, mm.
const NOTES_MM: [f64; 5] = [84.0, 66.0, 110.0, 52.0, 150.0];
/// Height of notes, and from one line of them to the next, mm.
const NOTE_MM: f64 = 2.5;
const PITCH_MM: f64 = 3.9;
/// Blocks that fill less of their page than this leave their order for it.
const MIN_FILL: f64 = 0.4;
/// White between two notes, mm.
const APART_MM: f64 = 0.7;

/// A sheet's drawing and those of some inserts in their boxes, for all the ways that are tried.
pub(crate) struct Blocks<'a> {
    main: Option<Block<'a>>,
    /// Each with whether it stands only where there is room; none for words, and what shows nothing.
    inserts: Vec<Option<(Block<'a>, bool)>>,
}

impl<'a> Blocks<'a> {
    pub(crate) fn of(drawing: &'a Drawing, inserts: &'a [Insert]) -> Self {
        let block = |insert: &'a Insert| {
            let (drawing, is_spare) = match insert {
                Insert::Table(drawing) | Insert::Chart(drawing) => (drawing, false),
                Insert::Spare(drawing) => (drawing, true),
                Insert::Text(_) => return None,
            };
            Some((Block::of(Cow::Borrowed(drawing))?, is_spare))
        };
        Self {
            main: Block::of(Cow::Borrowed(drawing)),
            inserts: inserts.iter().map(block).collect(),
        }
    }
}

/// What is to be put on one page.
pub(crate) struct Contents<'a> {
    /// The sheet: its title, its notes.
    pub(crate) sheet: &'a Sheet,
    /// Its drawing, and inserts.
    pub(crate) blocks: &'a Blocks<'a>,
    /// So many of these inserts go with it.
    pub(crate) inserts: usize,
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
    let mut blocks: Vec<&Block<'_>> = vec![contents.blocks.main.as_ref()?];
    let inserts = contents.blocks.inserts.iter().take(contents.inserts).flatten();
    let wanted = inserts.filter(|(_, is_spare)| contents.spare || !is_spare);
    blocks.extend(wanted.map(|(block, _)| block));
    let check = if contents.slim { ScaleCheck::Slim } else { ScaleCheck::of(sheet, setup) };
    let area: f64 = blocks.iter().map(|block| block.size.area()).sum();
    let bare = Sheet { key: sheet.key, title: sheet.title.clone(), ..Sheet::default() };
    let looks: Vec<(Size, PageTemplate, FramedPage)> = PageTemplate::level(check)
        .iter()
        .chain(PageTemplate::tight(check))
        .flat_map(|template| sizes(setup).map(|size| (size, *template)))
        .map(|(size, template)| (size, template, measure_frame(&bare, setup, size, template, &[])))
        .filter(|(_, _, framed)| framed.is_sound() && may_take(framed, blocks[0].size, area))
        .collect();
    let columns: Vec<Option<Block<'_>>> = if sheet.notes.is_empty() {
        vec![None]
    } else {
        NOTES_MM.map(|wide| Block::of(Cow::Owned(notes(&sheet.notes, wide)))).into()
    };
    let own_sizes: Vec<Size> = blocks.iter().map(|block| block.size).collect();
    let orders = block::orders(&own_sizes, &[block::height, block::width]);
    let orders = note_orders(&orders, !sheet.notes.is_empty());
    let pages = || {
        let with = |white_mm| looks.iter().map(move |look| (white_mm, look));
        WHITES_MM.into_iter().flat_map(with)
    };
    for orders in &orders {
        for (white_mm, (size, template, framed)) in pages() {
            for column in &columns {
                for order in orders {
                    let own = |i: &Option<usize>| i.map_or(column.as_ref(), |i| Some(blocks[i]));
                    let own: Vec<&Block<'_>> = order.iter().filter_map(own).collect();
                    let sizes: Vec<Size> = own.iter().map(|block| block.size).collect();
                    let corners = pack(framed.inner, &framed.corner.rects, &sizes, white_mm);
                    let Some(corners) = corners else { continue };
                    let placed: Vec<_> = own.into_iter().zip(corners).collect();
                    return Some(joined(sheet, &placed, (*size, *template)));
                }
            }
        }
    }
    None
}

/// Orders of blocks with the place of the notes (`None`), if there are any: last, and for all that
/// find no room so, straight after the first, where a narrow gap beside the drawing takes them.
fn note_orders(orders: &[Vec<usize>], has_notes: bool) -> Vec<Vec<Vec<Option<usize>>>> {
    let blocks = |order: &[usize]| order.iter().copied().map(Some).collect::<Vec<_>>();
    let last = |order: &Vec<usize>| [blocks(order), vec![None]].concat();
    let second = |order: &Vec<usize>| {
        let (first, rest) = order.split_at(order.len().min(1));
        [blocks(first), vec![None], blocks(rest)].concat()
    };
    let mut all = vec![orders.iter().map(last).collect()];
    if has_notes && orders.iter().any(|order| order.len() > 1) {
        all.push(orders.iter().map(second).collect());
    }
    all
}

/// Whether a page may take blocks of this area, the first of them of this size: a quick look that
/// spares trying all others.
fn may_take(framed: &FramedPage, first: Size, area_mm2: f64) -> bool {
    let [.., least] = WHITES_MM;
    let taken: f64 = framed.corner.rects.iter().skip(2).map(Rect::area).sum();
    framed.inner.area() - taken > area_mm2
        && pack(framed.inner, &framed.corner.rects, &[first], least).is_some()
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
    for line in note_lines(notes, wide_mm) {
        drawing.extend(line.drawing.moved(Affine::translate((0.0, y))));
        y -= line.height_mm;
    }
    drawing
}

/// The lines of notes in columns so wide, each note kept whole.
pub(crate) fn note_lines(notes: &[String], wide_mm: f64) -> Vec<TextLine> {
    let lines = |note: &String| {
        let words = wrap(note, FontFace::Regular, NOTE_MM, wide_mm);
        let last = words.len().saturating_sub(1);
        let line = move |(i, words): (usize, String)| {
            let mut drawing = Drawing::new();
            let label = Label::new(words, Point::ORIGIN, NOTE_MM);
            drawing.text(Pen::Lettering, label.anchored(HAlign::Start, VAlign::Top));
            let after = if i == last { APART_MM } else { 0.0 };
            TextLine { drawing, height_mm: PITCH_MM + after, keep_with_next: i < last }
        };
        words.into_iter().enumerate().map(line).collect::<Vec<_>>()
    };
    notes.iter().flat_map(lines).collect()
}

/// A note that tells where the notes are.
pub(crate) fn notes_elsewhere(sheet: &Sheet) -> Sheet {
    let notes = vec!["Notes: on a page of their own.".to_owned()];
    Sheet { notes, inserts: Vec::new(), ..sheet.clone() }
}

/// One page of blocks without a drawing: which of the windows it has, which blocks, and how far
/// each is moved.
pub(crate) struct BlockPage {
    pub(crate) window: usize,
    pub(crate) placed: Vec<(usize, Vec2)>,
}

/// Pages for blocks without a drawing, as they come and as many as go on each; or, where that takes
/// fewer pages or leaves none of them so empty, each with whatever else still goes there. `None`
/// when one is too large.
pub(crate) fn pages(
    drawings: &[&Drawing],
    windows: &[(Size, Rect, Vec<Rect>)],
    whites_mm: &[f64],
) -> Option<Vec<BlockPage>> {
    let blocks: Vec<Block<'_>> =
        drawings.iter().map(|own| Block::of(Cow::Borrowed(own))).collect::<Option<_>>()?;
    let fits = |members: &[usize]| {
        let sizes: Vec<Size> = members.iter().map(|i| blocks[*i].size).collect();
        whites_mm.iter().find_map(|white_mm| {
            (0..windows.len()).find_map(|window| {
                let (_, place, obstacles) = &windows[window];
                let corners = pack(*place, obstacles, &sizes, *white_mm)?;
                let by = |(i, at): (&usize, Point)| (*i, blocks[*i].to_corner + at.to_vec2());
                Some(BlockPage { window, placed: members.iter().zip(corners).map(by).collect() })
            })
        })
    };
    // How full the emptiest page is; the last one may leave white.
    let min_fill = |pages: &[BlockPage]| {
        let full = pages.split_last().map_or(&[][..], |(_, full)| full);
        let fill = |page: &BlockPage| {
            let taken: f64 = page.placed.iter().map(|(i, _)| blocks[*i].size.area()).sum();
            taken / windows[page.window].1.area()
        };
        full.iter().map(fill).fold(MIN_FILL, f64::min)
    };
    let own: Vec<usize> = (0..blocks.len()).collect();
    let mut best = in_order(&own, &fits)?;
    let mut large = own.clone();
    large.sort_by(|a, b| blocks[*b].size.area().total_cmp(&blocks[*a].size.area()));
    let mut low = own.clone();
    low.sort_by(|a, b| blocks[*a].size.height.total_cmp(&blocks[*b].size.height));
    for order in [own, large, low] {
        if best.len() > 1
            && let Some(pages) = gathered(&order, &fits)
            && (pages.len(), -min_fill(&pages)) < (best.len(), -min_fill(&best))
        {
            best = pages;
        }
    }
    Some(best)
}

/// Blocks on pages in order, as many as go on each.
fn in_order(
    mut rest: &[usize],
    fits: &impl Fn(&[usize]) -> Option<BlockPage>,
) -> Option<Vec<BlockPage>> {
    let mut pages = Vec::new();
    while !rest.is_empty() {
        let page = |many: usize| Some((many, fits(&rest[..many])?));
        let (many, page) = (1..=rest.len()).rev().find_map(page)?;
        pages.push(page);
        rest = &rest[many..];
    }
    Some(pages)
}

/// Blocks on pages, each page begun by the first that is left and filled with what else goes.
fn gathered(
    order: &[usize],
    fits: &impl Fn(&[usize]) -> Option<BlockPage>,
) -> Option<Vec<BlockPage>> {
    let mut rest = order.to_vec();
    let mut pages = Vec::new();
    while !rest.is_empty() {
        let mut members = vec![rest[0]];
        let mut page = fits(&members)?;
        for i in &rest[1..] {
            members.push(*i);
            match fits(&members) {
                Some(more) => page = more,
                None => members.truncate(members.len() - 1),
            }
        }
        rest.retain(|i| !members.contains(i));
        // On its page each stands as they come, if they go so.
        members.sort_unstable();
        pages.push(fits(&members).unwrap_or(page));
    }
    pages.sort_by_key(|page| page.placed.iter().map(|(i, _)| *i).min());
    Some(pages)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: on pages of 100 × 100 two blocks of 60 and two of 30 go in order on three pages
    /// (60; 60 and 30; 30), else on two (60 and 30 each).
    #[test]
    fn blocks_leave_their_order_where_that_saves_a_page() {
        let block = |tall: f64| {
            let mut drawing = Drawing::new();
            drawing.rect(Pen::Frame, Rect::new(3.0, 3.0, 93.0, 3.0 + tall));
            drawing
        };
        let windows = [(Size::new(100.0, 100.0), Rect::new(0.0, 0.0, 100.0, 100.0), Vec::new())];
        let pages = |tall: &[f64]| {
            let blocks: Vec<Drawing> = tall.iter().map(|tall| block(*tall)).collect();
            let pages = pages(&blocks.iter().collect::<Vec<_>>(), &windows, &[5.0]).unwrap();
            let members = |page: &BlockPage| page.placed.iter().map(|(i, _)| *i).collect();
            pages.iter().map(members).collect::<Vec<Vec<usize>>>()
        };
        assert_eq!(pages(&[60.0, 60.0, 30.0, 30.0]), [vec![0, 2], vec![1, 3]]);
        assert_eq!(pages(&[60.0, 30.0, 60.0, 30.0]), [vec![0, 1], vec![2, 3]], "as they come");
        assert_eq!(pages(&[30.0, 60.0, 60.0]).len(), 2);
        // As many pages: out of order where a page would be left nearly empty, else in it.
        assert_eq!(pages(&[80.0, 30.0, 70.0, 20.0]), [vec![0], vec![1, 3], vec![2]]);
        assert_eq!(pages(&[80.0, 50.0, 70.0, 20.0]), [vec![0], vec![1], vec![2, 3]]);
        assert_eq!(pages(&[63.0, 40.0, 64.0, 30.0]), [vec![0], vec![1, 3], vec![2]]);
    }
}
