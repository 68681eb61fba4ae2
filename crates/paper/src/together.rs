//! One page for several sheets: each is a panel, on columns of the page's grid or, off a roll, as
//! wide as it must be; the panels stand as high and then as far left as they go.

use crate::block;
use crate::corner::ScaleCheck;
use crate::frame::{measure_frame, sizes, text_room};
use crate::pack::pack_high;
use crate::panel::{Grid, Panel};
use crate::plan::{Plan, TextPage};
use crate::template::PageTemplate;
use crate::tiling::{float, whole};
use crate::{PageSetup, Sheet, roll};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::Drawing;

/// White between panels, and between columns: the widest that goes, mm.
const WHITES_MM: [f64; 2] = [12.0, 8.0];
/// Columns are no narrower than this, nor wider than that where there are several, mm.
const NARROW_MM: f64 = 80.0;
const WIDE_MM: f64 = 125.0;
/// Columns of a panel that is on no grid, mm.
const USUAL_MM: f64 = 86.0;
/// A panel is as narrow as its drawing lets it be, but no higher than so many times its width:
/// what is tried, one after the other.
const SHAPES: [f64; 4] = [1.0, 2.0, 0.6, 9.0];
/// Of no more panels than these each is tried on other widths.
const FEW: usize = 8;
/// White right of the upright rule, and under the page's title, mm.
const BESIDE_MM: f64 = 4.0;

/// Sheets on one page, not yet drawn.
pub(crate) struct PageTogether {
    /// The first one's key, all titles.
    own: Sheet,
    placed: Placed,
    /// With the paper of that page.
    pub(crate) setup: PageSetup,
}

/// These panels on one page, off a roll on the shortest piece; `None` where they don't all go.
pub(crate) fn page(panels: &mut [&mut Panel<'_>], setup: &PageSetup) -> Option<PageTogether> {
    if setup.paper.roll_mm.is_none() {
        return page_of(panels, setup);
    }
    let (page, _) = roll::shortest(setup, |piece| page_of(panels, piece))?;
    Some(page)
}

/// These panels on one page of this very paper.
pub(crate) fn page_of(panels: &mut [&mut Panel<'_>], setup: &PageSetup) -> Option<PageTogether> {
    if setup.margin_mm < 0.0 {
        return None;
    }
    let sheets: Vec<&Sheet> = panels.iter().map(|panel| panel.sheet).collect();
    let title = sheets.iter().map(|one| one.title.as_str()).collect::<Vec<_>>().join(" · ");
    let own = Sheet { key: sheets.first()?.key, title, ..Sheet::default() };
    let is_large = sheets.iter().any(|one| setup.large_check.contains(&one.key));
    let check = match panels.iter().all(|panel| panel.is_read) {
        true => None,
        false if is_large => Some(ScaleCheck::Large),
        false => Some(ScaleCheck::Slim),
    };
    let placed = on_page(panels, &own, setup, check)?;
    Some(PageTogether { own, placed, setup: setup.clone() })
}

impl PageTogether {
    /// All of them as one sheet, with the first one's key and plane, and how that goes on its page.
    pub(crate) fn drawn(self, panels: &[&mut Panel<'_>]) -> (Sheet, Plan, PageSetup) {
        let Self { own, placed, setup } = self;
        let mut drawing = Drawing::new();
        for (panel, (span, corner)) in panels.iter().zip(&placed.panels) {
            drawing.extend(panel.drawn(span.grid, span.columns, *corner));
        }
        let size = placed.size;
        let Some(template) = placed.template else {
            let page = TextPage { size, drawing, frame: None };
            return (own, Plan::Text(vec![page]), setup);
        };
        let first = panels.first().zip(placed.panels.first());
        let by = first.map_or(Vec2::ZERO, |(panel, (span, corner))| {
            panel.drawing_by(span.grid, span.columns, *corner)
        });
        let drawing = drawing.moved(Affine::translate(-by));
        let plan = Plan::Single { size, template, turn_deg: 0.0, by };
        (Sheet { drawing, ..own }, plan, setup)
    }
}

/// How wide a panel stands: on so many columns, and how large it then is.
#[derive(Clone, Copy, PartialEq)]
struct Span {
    grid: Grid,
    columns: usize,
    size: Size,
}

/// Which widths panels may have.
#[derive(Clone, Copy)]
enum Way {
    /// Whole columns of the page, so many there are.
    OnGrid(Grid, usize),
    /// Each what its drawings need or some columns of its own, with so much white between panels, mm.
    Free(f64),
}

/// Panels that have their places on a page.
struct Placed {
    size: Size,
    template: Option<PageTemplate>,
    /// How wide each is, and its upper left corner.
    panels: Vec<(Span, Point)>,
}

/// The panels on a page of this paper, lying or upright.
fn on_page(
    panels: &mut [&mut Panel<'_>],
    own: &Sheet,
    setup: &PageSetup,
    check: Option<ScaleCheck>,
) -> Option<Placed> {
    let [lying, upright] = sizes(setup);
    // Text reads best upright, drawings lie.
    let sizes = if check.is_none() { [upright, lying] } else { [lying, upright] };
    sizes.into_iter().find_map(|size| {
        let template = check.map(|check| PageTemplate::level(check)[0]);
        let (window, obstacles) = match template {
            None => (text_room(size, setup), Vec::new()),
            Some(template) => {
                let framed = measure_frame(own, setup, size, template, &[]);
                let mut window = framed.inner;
                window.x0 += template.corner.check.breadth_mm() + BESIDE_MM;
                window.y1 -= BESIDE_MM;
                (window, framed.is_sound().then_some(framed.corner.rects)?)
            }
        };
        let ways = if setup.paper.roll_mm.is_some() {
            WHITES_MM.map(Way::Free).to_vec()
        } else {
            grids(window.width())
        };
        ways.into_iter().find_map(|way| {
            let panels = filled(panels, (window, &obstacles), way)?;
            Some(Placed { size, template, panels })
        })
    })
}

/// The grids that go into a width.
fn grids(wide_mm: f64) -> Vec<Way> {
    let mut grids = Vec::new();
    for white_mm in WHITES_MM {
        let max = whole((wide_mm + white_mm) / (NARROW_MM + white_mm)).max(1);
        for many in (1..=max).rev() {
            let column_mm = (wide_mm + white_mm) / float(many) - white_mm;
            if many == max || column_mm <= WIDE_MM {
                grids.push(Way::OnGrid(Grid { column_mm, white_mm }, many));
            }
        }
    }
    grids
}

/// The widths that a panel may have in a window, the narrowest first: each makes it lower than the
/// one before.
fn spans(panel: &mut Panel<'_>, way: Way, window: Rect) -> Vec<Span> {
    let all: Vec<(Grid, usize)> = match way {
        Way::OnGrid(grid, many) => (1..=many).map(|columns| (grid, columns)).collect(),
        Way::Free(white_mm) => {
            let usual = Grid { column_mm: USUAL_MM, white_mm };
            let min = panel.min_mm().max(NARROW_MM);
            let more = (1..=whole((window.width() + white_mm) / usual.step_mm()))
                .map(|columns| usual.wide_mm(columns));
            let widths = std::iter::once(min).chain(more.filter(|wide| *wide > min + 1.0));
            widths
                .map(|wide| {
                    let columns = whole((wide + white_mm) / (NARROW_MM + white_mm)).max(1);
                    let column_mm = (wide + white_mm) / float(columns) - white_mm;
                    (Grid { column_mm, white_mm }, columns)
                })
                .collect()
        }
    };
    let mut spans: Vec<Span> = Vec::new();
    for (grid, columns) in all {
        let Some(size) = panel.size(grid, columns) else { continue };
        let is_lower = spans.last().is_none_or(|last| size.height < last.size.height - 1.0);
        if is_lower && size.width <= window.width() + 1e-6 {
            spans.push(Span { grid, columns, size });
        }
    }
    spans
}

/// Where the upper left corner of each panel is, and how wide it is; `None` where not all have
/// room.
fn filled(
    panels: &mut [&mut Panel<'_>],
    (window, obstacles): (Rect, &[Rect]),
    way: Way,
) -> Option<Vec<(Span, Point)>> {
    let all: Vec<Vec<Span>> = panels.iter_mut().map(|panel| spans(panel, way, window)).collect();
    let (white, window, taken) = match way {
        Way::Free(white) => (white, window, obstacles.to_vec()),
        Way::OnGrid(grid, many) => {
            let window = Rect { x1: window.x0 + grid.wide_mm(many), ..window };
            // What stands in the corner takes whole columns, so that panels stand on the grid.
            let on_grid = |own: &Rect| {
                let columns = ((own.x1 - window.x0 + grid.white_mm) / grid.step_mm()).ceil();
                let x1 = window.x0 + columns * grid.step_mm() - grid.white_mm;
                (own.x1 > window.x0).then_some(Rect { x0: window.x0, x1, ..*own })
            };
            (grid.white_mm, window, obstacles.iter().filter_map(on_grid).collect())
        }
    };
    let with_white = |size: Size| (size.width + white) * (size.height + white);
    let stands = taken.iter().map(|own| own.intersect(window).area()).fold(0.0, f64::max);
    let room = with_white(window.size()) - stands;
    let packed = |spans: &[Span]| {
        let area: f64 = spans.iter().map(|span| with_white(span.size)).sum();
        if area > room || spans.iter().any(|span| span.size.height > window.height()) {
            return None;
        }
        let sizes: Vec<Size> = spans.iter().map(|span| span.size).collect();
        let orders = block::orders(&sizes, &[block::height, |size| size.area(), block::width]);
        orders.into_iter().find_map(|order| {
            let sizes: Vec<Size> = order.iter().map(|i| sizes[*i]).collect();
            let corners = pack_high(window, &taken, &sizes, white)?;
            let mut places: Vec<(Span, Point)> =
                spans.iter().map(|span| (*span, Point::ORIGIN)).collect();
            for (i, corner) in order.iter().zip(corners) {
                places[*i].1 = corner + Vec2::new(0.0, spans[*i].size.height);
            }
            Some(places)
        })
    };
    let mut tried: Vec<Vec<Span>> = Vec::new();
    for shape in SHAPES {
        let own = all.iter().map(|spans| shaped(spans, shape, window.height()));
        let own = own.collect::<Option<Vec<_>>>()?;
        if tried.contains(&own) {
            continue;
        }
        if let Some(places) = packed(&own) {
            return Some(places);
        }
        tried.push(own);
    }
    if panels.len() > FEW {
        return None;
    }
    // A few panels can be tried one by one on other widths.
    let first = tried.swap_remove(0);
    for (i, spans) in all.iter().enumerate() {
        for span in spans.iter().filter(|span| **span != first[i]) {
            let mut own = first.clone();
            own[i] = *span;
            if let Some(places) = packed(&own) {
                return Some(places);
            }
        }
    }
    None
}

/// The narrowest of its widths on which a panel is no higher than so many times that, nor than the
/// page; the lowest where it is on none.
fn shaped(spans: &[Span], shape: f64, max_mm: f64) -> Option<Span> {
    let fits = |span: &&Span| span.size.height <= max_mm.min(shape * span.size.width);
    spans.iter().find(fits).or(spans.last()).copied()
}
