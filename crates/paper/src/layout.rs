//! From sheets to pages: which way round the paper lies, where the drawing goes, what is turned
//! and what is tiled.

use crate::corner::{self, CornerBounds, ScaleCheck};
use crate::fit::{self, FreeArea};
use crate::ruler::BREADTH_MM;
use crate::template::PageTemplate;
use crate::tile::{self, Tiling};
use crate::{
    Page, PageSetup, PaperError, Sheet, flow, hull, mixed, proof, roll, tables, title, trim,
};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::Drawing;
use std::borrow::Cow;

/// The widest the words "Sheet n of m" become, for planning before m is known.
const WIDEST_COUNT: &str = "Sheet 888 of 888";

/// Steps between the angles tried on the diagonal, degrees.
const ANGLE_STEP_DEG: f64 = 2.5;
/// A drawing turned by less than this looks like a fault of the printer, degrees.
const MIN_TURN_DEG: f64 = 10.0;

/// Cost of a template per rank in its list, in units of the fit score.
const RANK_COST: f64 = 0.05;

/// A page with its title and corner drawn.
pub(crate) struct FramedPage {
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

/// How a sheet goes on paper.
pub(crate) enum Plan {
    Single {
        size: Size,
        template: PageTemplate,
        turn_deg: f64,
        by: Vec2,
    },
    Tiles(Tiling),
    /// Inserts on pages of their own.
    Tables(Vec<tables::TablePage>),
    /// Text on pages of its own.
    Text(Vec<flow::TextPage>),
    /// The page that measures the printer.
    Proof,
}

impl Plan {
    /// How many pages it takes.
    pub(crate) fn pages(&self) -> usize {
        match self {
            Self::Single { .. } | Self::Proof => 1,
            Self::Tiles(tiling) => tiling.count(),
            Self::Tables(pages) => pages.len(),
            Self::Text(pages) => pages.len(),
        }
    }
}

/// Lays sheets out on pages, in order, numbered from 1.
///
/// The drawing is never scaled. It stands level on the paper turned either way if it fits so, its
/// notes elsewhere if they take its room; else on the diagonal if that fits, else it is cut into
/// overlapping tiles.
///
/// # Errors
/// [`PaperError::NotFinite`], [`PaperError::TooLarge`] and [`PaperError::NoRoom`].
pub fn lay_out(sheets: &[Sheet], setup: &PageSetup) -> Result<Vec<Page>, PaperError> {
    let (pages, mut without_room) = lay_out_all_that_fit(sheets, setup, &mut |_, _| ())?;
    if without_room.is_empty() { Ok(pages) } else { Err(without_room.swap_remove(0)) }
}

/// Checks that the paper has room for a sheet, on however many pages; nothing is drawn.
///
/// # Errors
/// As [`lay_out`].
pub fn check_room(sheet: &Sheet, setup: &PageSetup) -> Result<(), PaperError> {
    whole(sheet, setup).map(|_| ())
}

/// As [`lay_out`], but a sheet for which the paper has no room doesn't stop the others: what it
/// wants is told beside the pages of those. Each sheet is named as its turn comes, with its place
/// among them, for whoever waits.
///
/// # Errors
/// [`PaperError::NotFinite`]; and as [`lay_out`] when there is room for none of them.
pub fn lay_out_all_that_fit(
    sheets: &[Sheet],
    setup: &PageSetup,
    progress: &mut dyn FnMut(usize, &Sheet),
) -> Result<(Vec<Page>, Vec<PaperError>), PaperError> {
    let mut plans: Vec<Planned<'_>> = Vec::with_capacity(sheets.len());
    let mut without_room = Vec::new();
    for (i, sheet) in sheets.iter().enumerate() {
        progress(i, sheet);
        if sheet.key == proof::KEY {
            match proof::page(sheet, setup, (1, 1)) {
                Ok(_) => plans.push((Cow::Borrowed(sheet), Plan::Proof, Cow::Borrowed(setup))),
                Err(error) => without_room.push(error),
            }
            continue;
        }
        match whole(sheet, setup) {
            Ok(all) => plans.extend(all),
            Err(error @ (PaperError::NoRoom { .. } | PaperError::TooLarge { .. })) => {
                without_room.push(error);
            }
            Err(error) => return Err(error),
        }
    }
    if plans.is_empty() && !without_room.is_empty() {
        return Err(without_room.swap_remove(0));
    }
    let total: usize = plans.iter().map(|(_, plan, _)| plan.pages()).sum();
    let mut out = Vec::with_capacity(total);
    for (sheet, plan, setup) in &plans {
        let first = out.len() + 1;
        match plan {
            Plan::Single { size, template, turn_deg, by } => {
                out.push(single(
                    sheet,
                    setup,
                    (*size, *template),
                    (*turn_deg, *by),
                    (first, total),
                ));
            }
            Plan::Proof => out.push(proof::page(sheet, setup, (first, total))?),
            Plan::Tiles(tiling) => {
                out.extend(tile::pages(sheet, setup, tiling, (first, total)));
            }
            Plan::Tables(pages) => {
                out.extend(tables::pages(sheet, setup, pages, (first, total)));
            }
            Plan::Text(pages) => out.extend(flow::pages(sheet, setup, pages, (first, total))),
        }
    }
    out.iter_mut().for_each(|page| page.trim = trim::trim_matrix(setup, page.size_mm));
    Ok((out, without_room))
}

/// A sheet or a part of it, how it goes on paper, and that paper.
type Planned<'a> = (Cow<'a, Sheet>, Plan, Cow<'a, PageSetup>);

/// All of a sheet: what is drawn and, after it, its text, each off a roll on a piece of its own.
fn whole<'a>(sheet: &'a Sheet, setup: &'a PageSetup) -> Result<Vec<Planned<'a>>, PaperError> {
    let mut all = Vec::new();
    for columns in flow::beside(sheet) {
        // On large paper the text stands in columns beside the drawing.
        let own = roll::cut(&columns, setup)?;
        match tables::one_page(&columns, &own) {
            Ok(Some((sheet, plan))) => return Ok(vec![(Cow::Owned(sheet), plan, own)]),
            Ok(None) | Err(PaperError::NoRoom { .. } | PaperError::TooLarge { .. }) => {}
            Err(error) => return Err(error),
        }
    }
    if let Some(pages) = mixed::plan(sheet, setup) {
        return Ok(vec![(Cow::Borrowed(sheet), Plan::Text(pages), Cow::Borrowed(setup))]);
    }
    if let Some(all) = level_or_reduced(sheet, setup)? {
        return Ok(all);
    }
    for part in flow::parts(sheet) {
        let own = roll::cut(&part, setup)?;
        let plans = tables::plans(&part, &own)?;
        all.extend(
            plans
                .into_iter()
                .map(|(sheet, plan)| (Cow::Owned(sheet.into_owned()), plan, own.clone())),
        );
    }
    Ok(all)
}

/// A sheet that may be reduced: level on one page, else what is printed instead of it; `None` where
/// neither goes.
fn level_or_reduced<'a>(
    sheet: &'a Sheet,
    setup: &'a PageSetup,
) -> Result<Option<Vec<Planned<'a>>>, PaperError> {
    if sheet.reduced.is_empty() {
        return Ok(None);
    }
    let own = roll::cut(sheet, setup)?;
    match tables::one_page(sheet, &own) {
        Ok(Some((sheet, plan))) => return Ok(Some(vec![(Cow::Owned(sheet), plan, own)])),
        Ok(None) | Err(PaperError::NoRoom { .. } | PaperError::TooLarge { .. }) => {}
        Err(error) => return Err(error),
    }
    let mut found = None;
    for other in &sheet.reduced {
        let own = roll::cut(other, setup)?;
        let Ok(plans) = tables::plans(other, &own) else { continue };
        let pages: usize = plans.iter().map(|(_, plan)| plan.pages()).sum();
        let plans = plans.into_iter();
        let plans = plans.map(|(sheet, plan)| (Cow::Owned(sheet.into_owned()), plan, own.clone()));
        if pages == 1 {
            return Ok(Some(plans.collect()));
        }
        if found.is_none() {
            found = Some(plans.collect());
        }
    }
    Ok(found)
}

/// How a sheet goes on paper without its inserts: level, on the diagonal, or in tiles.
pub(crate) fn plan(sheet: &Sheet, setup: &PageSetup) -> Result<Plan, PaperError> {
    let points = checked_hull(sheet, setup)?;
    if let Some(plan) = straight_with(sheet, setup, &points) {
        return Ok(plan);
    }
    if ScaleCheck::of(sheet, setup) == ScaleCheck::Itself {
        return Err(no_room(sheet, setup));
    }
    if let Some(plan) = diagonal(sheet, setup, &points) {
        return Ok(plan);
    }
    tile::plan(sheet, setup, &points).map(Plan::Tiles)
}

/// How a sheet goes turned on one page without its inserts, if it does.
pub(crate) fn turned(sheet: &Sheet, setup: &PageSetup) -> Result<Option<Plan>, PaperError> {
    let points = checked_hull(sheet, setup)?;
    Ok(diagonal(sheet, setup, &points))
}

/// How a sheet goes in tiles without its inserts.
pub(crate) fn tiled(sheet: &Sheet, setup: &PageSetup) -> Result<Tiling, PaperError> {
    let points = checked_hull(sheet, setup)?;
    if ScaleCheck::of(sheet, setup) == ScaleCheck::Itself {
        return Err(no_room(sheet, setup));
    }
    tile::plan(sheet, setup, &points)
}

/// How a sheet goes level on one page without its inserts, if it does.
pub(crate) fn straight(sheet: &Sheet, setup: &PageSetup) -> Result<Option<Plan>, PaperError> {
    let points = checked_hull(sheet, setup)?;
    if ScaleCheck::of(sheet, setup) == ScaleCheck::Slim && !points.is_empty() {
        // With shorter rules its notes find a better place than a column of their own.
        let templates = PageTemplate::level(ScaleCheck::Slim);
        return Ok(level(&levels(sheet, setup, templates), &[points]));
    }
    Ok(straight_with(sheet, setup, &points))
}

fn straight_with(sheet: &Sheet, setup: &PageSetup, points: &[Point]) -> Option<Plan> {
    if points.is_empty() {
        let template = PageTemplate::level(ScaleCheck::of(sheet, setup))[0];
        let size = sizes(setup)[0];
        return Some(Plan::Single { size, template, turn_deg: 0.0, by: Vec2::ZERO });
    }
    let check = ScaleCheck::of(sheet, setup);
    [PageTemplate::level(check), PageTemplate::tight(check)]
        .into_iter()
        .find_map(|templates| level(&levels(sheet, setup, templates), &[points.to_vec()]))
}

/// The hull of a sheet's drawing.
///
/// # Errors
/// [`PaperError::NotFinite`]; [`PaperError::NoRoom`] for a paper that takes no drawing at all.
fn checked_hull(sheet: &Sheet, setup: &PageSetup) -> Result<Vec<Point>, PaperError> {
    let points = hull::points(&sheet.drawing);
    if points.iter().any(|p| !p.is_finite()) {
        return Err(PaperError::NotFinite { sheet: sheet.key.into() });
    }
    let room = |size| {
        let inner = inner(size, setup, true);
        // Rules, square and a few words beside it.
        setup.margin_mm >= 0.0
            && inner.width() >= BREADTH_MM + 95.0
            && inner.height() >= BREADTH_MM + 60.0
    };
    if !(sizes(setup).into_iter().all(room) && setup.overlap_mm.is_finite()) {
        return Err(no_room(sheet, setup));
    }
    Ok(hull::hull(points))
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
    pages.find(|(size, template)| room(sheet, setup, *size, *template, &[]).is_sound())
}

/// A page on which a drawing may stand level: its size, its template with that one's rank, and
/// what is left free.
struct LevelPage {
    size: Size,
    template: PageTemplate,
    rank: u32,
    room: FreeArea,
}

/// The pages on which a sheet's drawing may stand level.
fn levels(sheet: &Sheet, setup: &PageSetup, templates: &[PageTemplate]) -> Vec<LevelPage> {
    let looks = (0_u32..).zip(templates);
    let pages = looks.flat_map(|(rank, template)| sizes(setup).map(|size| (rank, *template, size)));
    let level = |(rank, template, size)| {
        let room = room(sheet, setup, size, template, &[]);
        LevelPage { size, template, rank, room }
    };
    pages.map(level).filter(|level| level.room.is_sound()).collect()
}

/// Level on the page. A plainer template is taken only where it leaves clearly more white.
fn level(levels: &[LevelPage], hulls: &[Vec<Point>]) -> Option<Plan> {
    let mut best: Option<(f64, Plan)> = None;
    for LevelPage { size, template, rank, room } in levels {
        if let Some(place) = fit::place(hulls, room, 15) {
            let worth = place.score - RANK_COST * f64::from(*rank);
            if best.as_ref().is_none_or(|(max, _)| worth > *max) {
                let (size, template) = (*size, *template);
                best = Some((worth, Plan::Single { size, template, turn_deg: 0.0, by: place.by }));
            }
        }
    }
    best.map(|(_, plan)| plan)
}

/// On the diagonal, lying if it can be: the words in the drawing then stand the less steep.
fn diagonal(sheet: &Sheet, setup: &PageSetup, points: &[Point]) -> Option<Plan> {
    let template = PageTemplate::diagonal(ScaleCheck::of(sheet, setup));
    for size in sizes(setup) {
        let room = room(sheet, setup, size, template, &[turned_remark(-88.8)]);
        if !room.is_sound() {
            continue;
        }
        let mut best: Option<(f64, Plan)> = None;
        let mut turn_deg = -MIN_TURN_DEG;
        while turn_deg > -90.0 {
            let turn = Affine::rotate(turn_deg.to_radians());
            let turned: Vec<Point> = points.iter().map(|p| turn * *p).collect();
            if let Some(place) = fit::place(&[turned], &room, 13)
                && best.as_ref().is_none_or(|(worth, _)| place.score > *worth)
            {
                best = Some((place.score, Plan::Single { size, template, turn_deg, by: place.by }));
            }
            turn_deg -= ANGLE_STEP_DEG;
        }
        if let Some((_, plan)) = best {
            return Some(plan);
        }
    }
    None
}

fn turned_remark(turn_deg: f64) -> String {
    format!("Turned by {:.1}° to fit.", turn_deg.abs())
}

fn room(
    sheet: &Sheet,
    setup: &PageSetup,
    size: Size,
    template: PageTemplate,
    remarks: &[String],
) -> FreeArea {
    let framed = add_page_frame(sheet, setup, size, template, WIDEST_COUNT, remarks);
    let mut occupied = framed.corner.rects;
    if !template.title_line {
        occupied.push(framed.title);
    }
    FreeArea { window: framed.inner, obstacles: occupied }
}

fn single(
    sheet: &Sheet,
    setup: &PageSetup,
    (size, template): (Size, PageTemplate),
    (turn_deg, by): (f64, Vec2),
    (number, total): (usize, usize),
) -> Page {
    let remarks: Vec<String> = if turn_deg == 0.0 { vec![] } else { vec![turned_remark(turn_deg)] };
    let count = count(number, total);
    let mut drawing = add_page_frame(sheet, setup, size, template, &count, &remarks).drawing;
    let from_sheet = Affine::translate(by) * Affine::rotate(turn_deg.to_radians());
    drawing.extend(sheet.drawing.moved(from_sheet));
    Page {
        size_mm: size,
        drawing,
        key: sheet.key,
        name: sheet.title.clone(),
        number,
        turn_deg,
        from_sheet,
        trim: None,
    }
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
    let mut inner = inner(size, setup, template.title_line);
    if template.title_line {
        // White below the hairline.
        inner.y1 -= 3.0;
    }
    let corner = corner::draw(&mut drawing, inner, template.corner, sheet, setup, remarks);
    FramedPage { drawing, inner, title, corner }
}
