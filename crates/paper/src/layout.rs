//! From sheets to pages: which way round the paper lies, where the drawing goes, what is turned
//! and what is tiled.

use crate::frame::{add_page_frame, count};
use crate::place::turned_remark;
use crate::plan::Plan;
use crate::share::SharedSheets;
use crate::template::PageTemplate;
use crate::{Page, PageSetup, PaperError, Sheet, flow, mixed, proof, roll, tables, tile, trim};
use kurbo::{Affine, Size, Vec2};
use rayon::iter::{
    IndexedParallelIterator as _, IntoParallelIterator as _, IntoParallelRefIterator as _,
    ParallelIterator as _,
};
use std::borrow::Cow;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

/// The most pages of one file: every sheet of a long knife on the smallest paper takes a fifth.
const MAX_PAGES: usize = 300;
/// How long to wait at a time for the next sheet to begin.
const BRIEFLY: Duration = Duration::from_millis(1);

/// Lays sheets out on pages, in order, numbered from 1.
///
/// The drawing is never scaled. It stands level on the paper turned either way if it fits so, its
/// notes elsewhere if they take its room; else on the diagonal if that fits, else it is cut into
/// overlapping tiles.
///
/// # Errors
/// [`PaperError::NotFinite`], [`PaperError::TooLarge`], [`PaperError::TooManyPages`] and
/// [`PaperError::NoRoom`].
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
    let planned = sheets.iter().map(|sheet| (sheet, None));
    lay_out_planned(planned, setup, &mut |i, sheet| progress(i, sheet))
}

/// As [`lay_out_all_that_fit`] for sheets of which some share a page. `progress` is told how many
/// there are, too.
///
/// # Errors
/// The same.
pub fn lay_out_shared(
    shared: SharedSheets,
    setup: &PageSetup,
    progress: &mut dyn FnMut(usize, usize, &Sheet),
) -> Result<(Vec<Page>, Vec<PaperError>), PaperError> {
    let count = shared.groups.len();
    let (sheets, plans): (Vec<_>, Vec<_>) =
        shared.groups.into_iter().map(|group| (group.sheet, group.plan)).unzip();
    let planned = sheets.iter().zip(plans);
    lay_out_planned(planned, setup, &mut |i, sheet| progress(i, count, sheet))
}

/// Lays out sheets, some of them with a plan, on all cores.
fn lay_out_planned<'a>(
    sheets: impl Iterator<Item = (&'a Sheet, Option<(Plan, PageSetup)>)>,
    setup: &'a PageSetup,
    progress: &mut dyn FnMut(usize, &Sheet),
) -> Result<(Vec<Page>, Vec<PaperError>), PaperError> {
    let (sheets, plans): (Vec<&Sheet>, Vec<_>) = sheets.unzip();
    let (begun, begins) = channel();
    let mut all: Vec<Result<Vec<Planned<'_>>, PaperError>> = Vec::new();
    rayon::in_place_scope(|scope| {
        scope.spawn(|_| {
            let numbered = sheets.par_iter().zip(plans).enumerate();
            let planned = numbered.map_with(begun, |begun, (i, (sheet, plan))| {
                // Nobody hears it where the window is gone.
                let _ = begun.send(i);
                planned(sheet, plan, setup)
            });
            all = planned.collect();
        });
        loop {
            match begins.recv_timeout(BRIEFLY) {
                Ok(i) => progress(i, sheets[i]),
                // A core of the pool works itself rather than wait for another.
                Err(RecvTimeoutError::Timeout) => _ = rayon::yield_now(),
                Err(RecvTimeoutError::Disconnected) => break,
            }
        }
    });
    let mut plans: Vec<Planned<'_>> = Vec::new();
    let mut without_room = Vec::new();
    for planned in all {
        match planned {
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
    let mut total = 0;
    let numbered: Vec<(usize, Planned<'_>)> = plans
        .into_iter()
        .map(|planned| {
            let first = total + 1;
            total += planned.1.pages();
            (first, planned)
        })
        .collect();
    if total > MAX_PAGES {
        return Err(PaperError::TooManyPages { pages: total, max: MAX_PAGES });
    }
    let pages = numbered.into_par_iter().map(|(first, planned)| pages(planned, (first, total)));
    let pages: Vec<Vec<Page>> = pages.collect::<Result<_, _>>()?;
    Ok((pages.into_iter().flatten().collect(), without_room))
}

/// How a sheet goes on paper, unless that is known.
fn planned<'a>(
    sheet: &'a Sheet,
    plan: Option<(Plan, PageSetup)>,
    setup: &'a PageSetup,
) -> Result<Vec<Planned<'a>>, PaperError> {
    if let Some((plan, own)) = plan {
        return Ok(vec![(Cow::Borrowed(sheet), plan, Cow::Owned(own))]);
    }
    if sheet.key == proof::KEY {
        proof::page(sheet, setup, (1, 1))?;
        return Ok(vec![(Cow::Borrowed(sheet), Plan::Proof, Cow::Borrowed(setup))]);
    }
    whole(sheet, setup)
}

/// The pages of a sheet, numbered from the first of so many in all.
fn pages(
    (sheet, plan, setup): Planned<'_>,
    (first, total): (usize, usize),
) -> Result<Vec<Page>, PaperError> {
    let mut pages = match &plan {
        Plan::Single { size, template, turn_deg, by } => {
            let place = (*turn_deg, *by);
            vec![single(&sheet, &setup, (*size, *template), place, (first, total))]
        }
        Plan::Proof => vec![proof::page(&sheet, &setup, (first, total))?],
        Plan::Tiles(tiling) => tile::pages(&sheet, &setup, tiling, (first, total)),
        Plan::Tables(pages) => tables::pages(&sheet, &setup, pages, (first, total)),
        Plan::Text(pages) => flow::pages(&sheet, &setup, pages, (first, total)),
    };
    pages.iter_mut().for_each(|page| page.trim = trim::trim_matrix(&setup, page.size_mm));
    Ok(pages)
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

/// A sheet that may be reduced: level on one page, else what is printed instead of it, on the fewest
/// pages and in the fewest pieces; `None` where neither goes.
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
    let mut found: Option<((usize, usize), Vec<Planned<'a>>)> = None;
    for other in &sheet.reduced {
        let own = roll::cut(other, setup)?;
        let Ok(plans) = tables::plans(other, &own) else { continue };
        let pages: usize = plans.iter().map(|(_, plan)| plan.pages()).sum();
        // Of as many pages, those with the fewest joints: every joint costs truth.
        let pieces = plans.first().map_or(1, |(_, plan)| plan.pieces());
        let plans = plans.into_iter();
        let plans = plans.map(|(sheet, plan)| (Cow::Owned(sheet.into_owned()), plan, own.clone()));
        if pages == 1 {
            return Ok(Some(plans.collect()));
        }
        if found.as_ref().is_none_or(|(min, _)| (pages, pieces) < *min) {
            found = Some(((pages, pieces), plans.collect()));
        }
    }
    Ok(found.map(|(_, plans)| plans))
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
