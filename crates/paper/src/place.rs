//! Where one drawing goes on one page, level or turned.

use crate::corner::ScaleCheck;
use crate::fit::{self, FreeArea};
use crate::frame::{free_area, inner, no_room, sizes};
use crate::plan::Plan;
use crate::ruler::BREADTH_MM;
use crate::template::PageTemplate;
use crate::tiling::Tiling;
use crate::{PageSetup, PaperError, Sheet, hull, tile};
use kurbo::{Affine, Point, Size, Vec2};

/// Steps between the angles tried on the diagonal, degrees.
const ANGLE_STEP_DEG: f64 = 2.5;
/// A drawing turned by less than this looks like a fault of the printer, degrees.
const MIN_TURN_DEG: f64 = 10.0;

/// Cost of a template per rank in its list, in units of the fit score.
const RANK_COST: f64 = 0.05;

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

/// How a sheet goes in tiles without its inserts, given its [`checked_hull`].
pub(crate) fn tiled(
    sheet: &Sheet,
    setup: &PageSetup,
    points: &[Point],
) -> Result<Tiling, PaperError> {
    if ScaleCheck::of(sheet, setup) == ScaleCheck::Itself {
        return Err(no_room(sheet, setup));
    }
    tile::plan(sheet, setup, points)
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
pub(crate) fn checked_hull(sheet: &Sheet, setup: &PageSetup) -> Result<Vec<Point>, PaperError> {
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
        let room = free_area(sheet, setup, size, template, &[]);
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

/// On the diagonal of one page without its inserts, if it goes so, lying if it can be: the words in
/// the drawing then stand the less steep.
pub(crate) fn diagonal(sheet: &Sheet, setup: &PageSetup, points: &[Point]) -> Option<Plan> {
    let template = PageTemplate::diagonal(ScaleCheck::of(sheet, setup));
    for size in sizes(setup) {
        let room = free_area(sheet, setup, size, template, &[turned_remark(-88.8)]);
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

/// What a page says of a drawing that is turned on it.
pub(crate) fn turned_remark(turn_deg: f64) -> String {
    format!("Turned by {:.1}° to fit.", turn_deg.abs())
}
