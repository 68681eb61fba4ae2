//! A sheet as it stands on a page with others: a panel under its own title, as wide as some columns
//! of the page's grid; its drawing and tables stand in it as high as they go, its words fill the
//! columns below and beside them.

use crate::block::{self, Block};
use crate::corner::ScaleCheck;
use crate::pack::pack_high;
use crate::text::height_to_fit;
use crate::tiling::float;
use crate::{PageSetup, Sheet, compose, flow, tables};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, FontFace, Insert, Label, Pen, TextLine};
use std::borrow::Cow;

/// White around what stands in a panel, mm: what is cut out is cut out of white.
const APART_MM: f64 = 8.0;
/// White between words and what stands over them, mm.
const OVER_MM: f64 = 5.0;
/// Heights of the title, the largest first, mm.
const TITLE_MM: [f64; 2] = [5.0, 3.2];
/// From a panel's top to the rule below its title, and to what stands under that, mm.
const RULE_MM: f64 = 7.2;
const HEAD_MM: f64 = 12.0;
/// A column that is left lower than this takes no words, mm.
const MIN_COLUMN_MM: f64 = 12.0;
/// Columns are looked for no closer than this, mm.
const STEP_MM: f64 = 1.0;
/// No panel is higher: what would be is no longer a sheet, mm.
const MAX_MM: f64 = 20_000.0;
/// Height of capitals in words that flow, mm.
const WORDS_MM: f64 = flow::HEIGHTS_MM[0];

/// The columns of a page, all of one width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Grid {
    pub(crate) column_mm: f64,
    /// White between two of them, and between panels.
    pub(crate) white_mm: f64,
}

impl Grid {
    /// From the left of one column to the left of the next, mm.
    pub(crate) fn step_mm(self) -> f64 {
        self.column_mm + self.white_mm
    }

    /// The width of so many columns, mm.
    pub(crate) fn wide_mm(self, columns: usize) -> f64 {
        self.step_mm() * float(columns) - self.white_mm
    }
}

/// A sheet among others.
pub(crate) struct Panel<'a> {
    pub(crate) sheet: &'a Sheet,
    blocks: Vec<Block<'a>>,
    /// Whether nothing on it is to be measured.
    pub(crate) is_read: bool,
    /// What was worked out for one grid and another.
    known: Vec<OnGrid>,
}

/// A panel on one grid.
struct OnGrid {
    grid: Grid,
    lines: Vec<TextLine>,
    /// Lines that are kept together: how many, and how high they are, mm.
    runs: Vec<(usize, f64)>,
    /// For a number of columns where everything stands; `None` where its drawings are wider.
    layouts: Vec<(usize, Option<PanelLayout>)>,
}

/// Where everything stands in a panel, from its upper left corner, y up, mm.
struct PanelLayout {
    height_mm: f64,
    /// The lower left corner of each block.
    blocks: Vec<Point>,
    /// Where each line begins.
    lines: Vec<Point>,
}

impl<'a> Panel<'a> {
    /// A sheet with those of the drawings that stand only where there is room for which `takes`
    /// holds; `None` for one that stands alone, or holds nothing.
    pub(crate) fn of(
        sheet: &'a Sheet,
        setup: &PageSetup,
        takes: impl Fn(&Drawing) -> bool,
    ) -> Option<Self> {
        let inserts = sheet.inserts.iter().filter_map(|insert| match insert {
            Insert::Table(drawing) | Insert::Chart(drawing) => Some(drawing),
            Insert::Spare(drawing) => takes(drawing).then_some(drawing),
            Insert::Text(_) => None,
        });
        let block = |drawing: &'a Drawing| Block::of(Cow::Borrowed(drawing));
        let blocks: Vec<Block<'a>> =
            std::iter::once(&sheet.drawing).chain(inserts).filter_map(block).collect();
        let has_words = !sheet.notes.is_empty() || flow::texts(sheet).next().is_some();
        let stands_alone = ScaleCheck::of(sheet, setup) == ScaleCheck::Itself
            || !blocks.iter().all(|block| block.size.is_finite());
        if stands_alone || (blocks.is_empty() && !has_words) {
            return None;
        }
        let is_read =
            sheet.drawing.items.is_empty() && sheet.inserts.iter().all(tables::is_figures);
        Some(Self { sheet, blocks, is_read, known: Vec::new() })
    }

    /// The width of the widest thing that stands in it, mm.
    pub(crate) fn min_mm(&self) -> f64 {
        self.blocks.iter().map(|block| block.size.width).fold(0.0, f64::max)
    }

    /// Its size on so many columns of a grid; `None` where its drawings are wider.
    pub(crate) fn size(&mut self, grid: Grid, columns: usize) -> Option<Size> {
        let at = self.known.iter().position(|known| known.grid == grid).unwrap_or_else(|| {
            self.known.push(OnGrid::of(self.sheet, grid));
            self.known.len() - 1
        });
        let known = &mut self.known[at];
        if known.on(columns).is_none() {
            let layout = known.layout(&self.blocks, columns);
            known.layouts.push((columns, layout));
        }
        let layout = known.on(columns)?.as_ref()?;
        Some(Size::new(grid.wide_mm(columns), layout.height_mm))
    }

    /// What was worked out for so many columns of a grid.
    fn laid_out(&self, grid: Grid, columns: usize) -> Option<(&OnGrid, &PanelLayout)> {
        let known = self.known.iter().find(|known| known.grid == grid)?;
        Some((known, known.on(columns)?.as_ref()?))
    }

    /// Everything on it, its upper left corner at a place; nothing where its size is unknown.
    pub(crate) fn drawn(&self, grid: Grid, columns: usize, corner: Point) -> Drawing {
        let mut drawing = Drawing::new();
        let Some((known, layout)) = self.laid_out(grid, columns) else { return drawing };
        let wide = grid.wide_mm(columns);
        let [high, low] = TITLE_MM;
        let high = height_to_fit(&self.sheet.title, FontFace::Bold, high, low, wide);
        let at = corner - Vec2::new(0.0, TITLE_MM[0]);
        drawing.text(Pen::Lettering, Label::new(self.sheet.title.as_str(), at, high).bold());
        let rule = corner - Vec2::new(0.0, RULE_MM);
        drawing.line(Pen::Frame, rule, rule + Vec2::new(wide, 0.0));
        for (block, at) in self.blocks.iter().zip(&layout.blocks) {
            drawing.extend(block.at(corner + at.to_vec2()));
        }
        for (line, at) in known.lines.iter().zip(&layout.lines) {
            drawing.extend(line.drawing.moved(Affine::translate(corner.to_vec2() + at.to_vec2())));
        }
        drawing
    }

    /// How far its sheet's drawing is moved by [`drawn`](Self::drawn).
    pub(crate) fn drawing_by(&self, grid: Grid, columns: usize, corner: Point) -> Vec2 {
        let layout = self.laid_out(grid, columns).map(|(_, layout)| layout);
        let has_drawing = !self.sheet.drawing.items.is_empty();
        let first = layout.and_then(|layout| layout.blocks.first()).filter(|_| has_drawing);
        first
            .zip(self.blocks.first())
            .map_or(Vec2::ZERO, |(at, block)| corner.to_vec2() + at.to_vec2() + block.to_corner)
    }
}

impl OnGrid {
    fn on(&self, columns: usize) -> Option<&Option<PanelLayout>> {
        self.layouts.iter().find(|(own, _)| *own == columns).map(|(_, layout)| layout)
    }

    fn of(sheet: &Sheet, grid: Grid) -> Self {
        let mut lines = compose::note_lines(&sheet.notes, grid.column_mm);
        lines.extend(flow::texts(sheet).flat_map(|t| t.layout_lines(grid.column_mm, WORDS_MM)));
        let mut runs: Vec<(usize, f64)> = Vec::new();
        let mut goes_on = false;
        for line in &lines {
            match runs.last_mut().filter(|_| goes_on) {
                Some((many, high)) => (*many, *high) = (*many + 1, *high + line.height_mm),
                None => runs.push((1, line.height_mm)),
            }
            goes_on = line.keep_with_next;
        }
        Self { grid, lines, runs, layouts: Vec::new() }
    }

    /// Where everything stands on so many columns: of two ways to put the blocks the lower.
    fn layout(&self, blocks: &[Block<'_>], columns: usize) -> Option<PanelLayout> {
        let sizes: Vec<Size> = blocks.iter().map(|block| block.size).collect();
        let orders = block::orders(&sizes, &[block::height]);
        let layouts = orders.iter().filter_map(|order| self.layout_in(blocks, order, columns));
        layouts.min_by(|a, b| a.height_mm.total_cmp(&b.height_mm))
    }

    fn layout_in(
        &self,
        blocks: &[Block<'_>],
        order: &[usize],
        columns: usize,
    ) -> Option<PanelLayout> {
        let wide = self.grid.wide_mm(columns);
        let window = Rect::new(0.0, -MAX_MM, wide, -HEAD_MM);
        let sizes: Vec<Size> = order.iter().map(|i| blocks[*i].size).collect();
        let packed = pack_high(window, &[], &sizes, APART_MM)?;
        let mut corners = vec![Point::ORIGIN; blocks.len()];
        order.iter().zip(packed).for_each(|(i, corner)| corners[*i] = corner);
        let placed: Vec<Rect> = corners
            .iter()
            .zip(blocks)
            .map(|(corner, block)| Rect::from_origin_size(*corner, block.size))
            .collect();
        let foot = placed.iter().map(|own| own.y0).fold(-HEAD_MM, f64::min);
        let tops: Vec<Point> = (0..columns)
            .map(|column| {
                let x = self.grid.step_mm() * float(column);
                let over = placed.iter().filter(|own| {
                    own.x0 < x + self.grid.column_mm + OVER_MM && own.x1 > x - OVER_MM
                });
                let top = over.map(|own| own.y0 - OVER_MM).fold(-HEAD_MM, f64::min);
                Point::new(x, top)
            })
            .collect();
        let (foot, lines) = self.poured(&tops, foot)?;
        Some(PanelLayout { height_mm: -foot, blocks: corners, lines })
    }

    /// Where each line begins in columns from these places down to a foot, which is as low as
    /// given or as it must be.
    fn poured(&self, tops: &[Point], foot: f64) -> Option<(f64, Vec<Point>)> {
        if let Some(lines) = self.poured_to(tops, foot) {
            return Some((foot, lines));
        }
        let (mut high, mut low) = (foot, foot - STEP_MM);
        while self.poured_to(tops, low).is_none() {
            (high, low) = (low, foot - 2.0 * (foot - low));
            if low < -MAX_MM {
                return None;
            }
        }
        while high - low > STEP_MM {
            let middle = f64::midpoint(high, low);
            if self.poured_to(tops, middle).is_some() { low = middle } else { high = middle }
        }
        Some((low, self.poured_to(tops, low)?))
    }

    /// The same to a foot; `None` where not all lines have room.
    fn poured_to(&self, tops: &[Point], foot: f64) -> Option<Vec<Point>> {
        let mut columns = tops.iter().filter(|top| top.y - foot >= MIN_COLUMN_MM);
        let mut places = Vec::with_capacity(self.lines.len());
        let mut place: Option<Point> = None;
        let mut lines = self.lines.iter();
        for (many, high) in &self.runs {
            while place.is_none_or(|place| place.y - high < foot - 1e-9) {
                place = Some(*columns.next()?);
            }
            let at = place.as_mut()?;
            for line in lines.by_ref().take(*many) {
                places.push(*at);
                at.y -= line.height_mm;
            }
        }
        Some(places)
    }
}
