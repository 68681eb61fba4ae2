//! One page for several sheets: each is a panel on the columns of the page's grid, and the panels
//! stand as high and then as far left as they go.

use crate::corner::ScaleCheck;
use crate::frame::{measure_frame, sizes, text_room};
use crate::pack::pack_high;
use crate::panel::{Grid, Panel};
use crate::plan::{Plan, TextPage};
use crate::template::PageTemplate;
use crate::{PageSetup, Sheet, roll};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::Drawing;

/// White between panels, and between columns: the widest that goes, mm.
const WHITES_MM: [f64; 2] = [12.0, 8.0];
/// Columns are no narrower than this, nor wider than that where there are several, mm.
const NARROW_MM: f64 = 80.0;
const WIDE_MM: f64 = 125.0;
/// Columns along a roll, mm.
const ALONG_MM: [f64; 3] = [88.0, 82.0, 104.0];
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
        for (panel, (columns, corner)) in panels.iter().zip(&placed.panels) {
            drawing.extend(panel.drawn(placed.grid, *columns, *corner));
        }
        let size = placed.size;
        let Some(template) = placed.template else {
            let page = TextPage { size, drawing, frame: None };
            return (own, Plan::Text(vec![page]), setup);
        };
        let first = panels.first().zip(placed.panels.first());
        let by = first.map_or(Vec2::ZERO, |(panel, (columns, corner))| {
            panel.drawing_by(placed.grid, *columns, *corner)
        });
        let drawing = drawing.moved(Affine::translate(-by));
        let plan = Plan::Single { size, template, turn_deg: 0.0, by };
        (Sheet { drawing, ..own }, plan, setup)
    }
}

/// Panels that have their places on a page.
struct Placed {
    size: Size,
    template: Option<PageTemplate>,
    grid: Grid,
    /// How many columns each takes, and its upper left corner.
    panels: Vec<(u32, Point)>,
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
        let along = setup.paper.roll_mm.is_some() && setup.paper.is_landscape(size);
        grids(window.width(), along).into_iter().find_map(|(grid, many)| {
            let panels = filled(panels, (window, &obstacles), (grid, many))?;
            Some(Placed { size, template, grid, panels })
        })
    })
}

/// The grids that go into a width, each with its number of columns.
fn grids(wide_mm: f64, along: bool) -> Vec<(Grid, u32)> {
    let mut grids = Vec::new();
    for white_mm in WHITES_MM {
        if along {
            let own = ALONG_MM.map(|column_mm| Grid { column_mm, white_mm });
            grids.extend(own.map(|g| (g, whole((wide_mm + white_mm) / g.step_mm()))));
            continue;
        }
        let most = whole((wide_mm + white_mm) / (NARROW_MM + white_mm)).max(1);
        for many in (1..=most).rev() {
            let column_mm = (wide_mm + white_mm) / f64::from(many) - white_mm;
            if many == most || column_mm <= WIDE_MM {
                grids.push((Grid { column_mm, white_mm }, many));
            }
        }
    }
    grids.retain(|(_, many)| *many > 0);
    grids
}

/// For each panel how many columns it takes and where its upper left corner is; `None` where not
/// all have room.
fn filled(
    panels: &mut [&mut Panel<'_>],
    (window, obstacles): (Rect, &[Rect]),
    (grid, many): (Grid, u32),
) -> Option<Vec<(u32, Point)>> {
    let window = Rect { x1: window.x0 + grid.wide_mm(many), ..window };
    // What stands in the corner takes whole columns, so that panels stand on the grid.
    let taken: Vec<Rect> = obstacles
        .iter()
        .filter(|own| own.x1 > window.x0)
        .map(|own| {
            let columns = ((own.x1 - window.x0 + grid.white_mm) / grid.step_mm()).ceil();
            let x1 = window.x0 + columns * grid.step_mm() - grid.white_mm;
            Rect { x0: window.x0, x1, ..*own }
        })
        .collect();
    let white = grid.white_mm;
    let with_white = |size: Size| (size.width + white) * (size.height + white);
    let stands = taken.iter().map(|own| own.intersect(window).area()).fold(0.0, f64::max);
    let room = with_white(window.size()) - stands;
    let packed = |spans: &[(u32, Size)]| {
        let area: f64 = spans.iter().map(|(_, size)| with_white(*size)).sum();
        if area > room || spans.iter().any(|(_, size)| size.height > window.height()) {
            return None;
        }
        orders(spans).into_iter().find_map(|order| {
            let sizes: Vec<Size> = order.iter().map(|i| spans[*i].1).collect();
            let corners = pack_high(window, &taken, &sizes, white)?;
            let mut places = vec![(0, Point::ORIGIN); spans.len()];
            for (i, corner) in order.iter().zip(corners) {
                let (columns, size) = spans[*i];
                places[*i] = (columns, corner + Vec2::new(0.0, size.height));
            }
            Some(places)
        })
    };
    let mut tried: Vec<Vec<(u32, Size)>> = Vec::new();
    for shape in SHAPES {
        let spans = panels
            .iter_mut()
            .map(|panel| shaped(panel, (grid, many), shape, window.height()))
            .collect::<Option<Vec<_>>>()?;
        if tried.contains(&spans) {
            continue;
        }
        if let Some(places) = packed(&spans) {
            return Some(places);
        }
        tried.push(spans);
    }
    if panels.len() > FEW {
        return None;
    }
    // A few panels can be tried one by one on other widths.
    let spans = tried.swap_remove(0);
    for (i, panel) in panels.iter_mut().enumerate() {
        for columns in 1..=many {
            let Some(size) = panel.size(grid, columns).filter(|_| columns != spans[i].0) else {
                continue;
            };
            let mut own = spans.clone();
            own[i] = (columns, size);
            if let Some(places) = packed(&own) {
                return Some(places);
            }
        }
    }
    None
}

/// The fewest columns on which a panel is no higher than so many times its width, nor than the
/// page; the lowest where it is on none; `None` where its drawings are wider.
fn shaped(
    panel: &mut Panel<'_>,
    (grid, many): (Grid, u32),
    shape: f64,
    max_mm: f64,
) -> Option<(u32, Size)> {
    let mut last = None;
    for columns in 1..=many {
        let Some(size) = panel.size(grid, columns) else { continue };
        // Wider than it is full is no better.
        if last.is_some_and(|(_, last): (u32, Size)| size.height > last.height - 1.0) {
            continue;
        }
        last = Some((columns, size));
        if size.height <= max_mm.min(shape * size.width) {
            break;
        }
    }
    last
}

/// The orders in which panels are put on a page, the first always first: as they come, then by
/// height, by area, by width.
fn orders(spans: &[(u32, Size)]) -> Vec<Vec<usize>> {
    let own: Vec<usize> = (0..spans.len()).collect();
    let by = |measure: fn(&Size) -> f64| {
        let mut order = own.clone();
        if let [_, rest @ ..] = &mut order[..] {
            rest.sort_by(|a, b| measure(&spans[*b].1).total_cmp(&measure(&spans[*a].1)));
        }
        order
    };
    let mut orders = vec![own.clone()];
    for order in [by(|size| size.height), by(|size| size.area()), by(|size| size.width)] {
        if !orders.contains(&order) {
            orders.push(order);
        }
    }
    orders
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to a range that it holds"
)]
fn whole(number: f64) -> u32 {
    number.clamp(0.0, 1000.0) as u32
}
