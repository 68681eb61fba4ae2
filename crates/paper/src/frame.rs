//! What every page has around its drawing: title, what shows the scale, the count of pages; and
//! what is left free of them.

use crate::corner::{self, CornerBounds, ScaleCheck};
use crate::fit::FreeArea;
use crate::template::PageTemplate;
use crate::{PageSetup, PaperError, Sheet, title};
use kurbo::{Point, Rect, Size};
use marks::{Drawing, Label, Pen};

/// The widest the words "Sheet n of m" become, for planning before m is known.
const WIDEST_COUNT: &str = "Sheet 888 of 888";

/// White below a page's title, mm.
const UNDER_TITLE_MM: f64 = 7.0;
/// Height of the line below inserts on a page of their own, mm.
const FOOT_MM: f64 = 2.5;

/// A page with its title and corner.
pub(crate) struct FramedPage {
    /// Both drawn, if they are.
    pub(crate) drawing: Drawing,
    /// The page inside its margins and below its title line.
    pub(crate) inner: Rect,
    pub(crate) title: Rect,
    pub(crate) corner: CornerBounds,
}

impl FramedPage {
    /// Whether all that stands in the corner lies on the page.
    pub(crate) fn is_sound(&self) -> bool {
        let inner = self.inner.inflate(1e-6, 1e-6);
        self.corner.rects.iter().all(|rect| inner.union(*rect) == inner)
    }
}

pub(crate) fn no_room(sheet: &Sheet, setup: &PageSetup) -> PaperError {
    PaperError::NoRoom {
        sheet: sheet.key.into(),
        paper: setup.paper.title(),
        margin_mm: setup.margin_mm,
    }
}

/// Lying first: most drawings here are wider than high.
pub(crate) fn sizes(setup: &PageSetup) -> [Size; 2] {
    [setup.paper.landscape_mm(), setup.paper.portrait_mm()]
}

/// A page for a sheet's text alone: its size and template.
pub(crate) fn alone(sheet: &Sheet, setup: &PageSetup) -> Option<(Size, PageTemplate)> {
    let mut pages = PageTemplate::level(ScaleCheck::of(sheet, setup))
        .iter()
        .flat_map(|template| sizes(setup).map(|size| (size, *template)));
    pages.find(|(size, template)| free_area(sheet, setup, *size, *template, &[]).is_sound())
}

/// What a page's frame leaves free for a drawing.
pub(crate) fn free_area(
    sheet: &Sheet,
    setup: &PageSetup,
    size: Size,
    template: PageTemplate,
    remarks: &[String],
) -> FreeArea {
    let framed = measure_frame(sheet, setup, size, template, remarks);
    let mut occupied = framed.corner.rects;
    if !template.title_line {
        occupied.push(framed.title);
    }
    FreeArea { window: framed.inner, obstacles: occupied }
}

/// The words that count pages.
pub(crate) fn count(number: usize, total: usize) -> String {
    format!("Sheet {number} of {total}")
}

/// The page inside its margins and below its title line.
pub(crate) fn inner(size: Size, setup: &PageSetup, title_line: bool) -> Rect {
    let margin = setup.margin_mm;
    let top = if title_line { title::LINE_MM } else { 0.0 };
    Rect::new(margin, margin, size.width - margin, size.height - margin - top)
}

/// A page's title and corner, for planning: nothing is drawn.
pub(crate) fn measure_frame(
    sheet: &Sheet,
    setup: &PageSetup,
    size: Size,
    template: PageTemplate,
    remarks: &[String],
) -> FramedPage {
    let whole = inner(size, setup, false);
    let title = if template.title_line {
        Rect { y0: whole.y1 - title::LINE_MM, ..whole }
    } else {
        title::block(&mut Drawing::new(), whole, &setup.heading, sheet, WIDEST_COUNT)
    };
    let inner = below_title(size, setup, template);
    let corner = corner::measured(inner, template.corner, sheet, setup, remarks);
    FramedPage { drawing: Drawing::new(), inner, title, corner }
}

/// The page inside its margins and below its title, with white below the hairline.
fn below_title(size: Size, setup: &PageSetup, template: PageTemplate) -> Rect {
    let mut inner = inner(size, setup, template.title_line);
    if template.title_line {
        inner.y1 -= 3.0;
    }
    inner
}

/// Draws a page's title and corner.
pub(crate) fn add_page_frame(
    sheet: &Sheet,
    setup: &PageSetup,
    size: Size,
    template: PageTemplate,
    count: &str,
    remarks: &[String],
) -> FramedPage {
    let mut drawing = Drawing::new();
    let whole = inner(size, setup, false);
    let write = if template.title_line { title::line } else { title::block };
    let title = write(&mut drawing, whole, &setup.heading, sheet, count);
    let inner = below_title(size, setup, template);
    let corner = corner::draw(&mut drawing, inner, template.corner, sheet, setup, remarks);
    FramedPage { drawing, inner, title, corner }
}

/// The room for text or inserts on a page of their own.
pub(crate) fn text_room(size: Size, setup: &PageSetup) -> Rect {
    let mut room = inner(size, setup, true);
    room.y1 -= UNDER_TITLE_MM;
    room.y0 += 2.0 * FOOT_MM;
    room
}

/// A page on which nothing is measured: its title, and that it is so.
pub(crate) fn plain(sheet: &Sheet, setup: &PageSetup, size: Size, count: &str) -> Drawing {
    let mut page = Drawing::new();
    let whole = inner(size, setup, false);
    title::line(&mut page, whole, &setup.heading, sheet, count);
    let words = "Nothing on this page is to be measured.";
    let at = Point::new(whole.x0, whole.y0 + 1.0);
    page.text(Pen::Lettering, Label::new(words, at, FOOT_MM));
    page
}
