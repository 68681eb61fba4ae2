//! Paper off a roll: each sheet is cut as long as it must be.

use crate::plan::Plan;
use crate::{PageSetup, PaperError, Sheet, tables};
use kurbo::Size;
use std::borrow::Cow;

/// The shortest sheet cut off a roll, mm.
const MIN_MM: f64 = 200.0;
/// The lengths that are tried first are whole steps of this, mm.
const STRIDE_MM: f64 = 20.0;
/// Sheets are cut to whole steps of this, mm.
const STEP_MM: f64 = 5.0;

/// The setup for one sheet: off a roll, with the shortest piece that takes it whole and level;
/// else with the longest there is.
///
/// # Errors
/// As [`crate::place::plan`], but for want of room.
pub(crate) fn cut<'a>(
    sheet: &Sheet,
    setup: &'a PageSetup,
) -> Result<Cow<'a, PageSetup>, PaperError> {
    let Some(max) = setup.paper.roll_mm else { return Ok(Cow::Borrowed(setup)) };
    let cut_to = |length_mm: f64| {
        let mut own = setup.clone();
        own.paper.size_mm = Size::new(setup.paper.size_mm.width, length_mm);
        own
    };
    let lengths = lengths(max);
    let fits = |length_mm: f64| -> Result<bool, PaperError> {
        let own = cut_to(length_mm);
        let whole = if sheet.drawing.items.is_empty() {
            tables::plans(sheet, &own)
                .map(|plans| plans.len() == 1 && plans.iter().all(|(_, plan)| whole(plan)))
        } else {
            tables::one_page(sheet, &own).map(|page| page.is_some())
        };
        match whole {
            Err(PaperError::NoRoom { .. } | PaperError::TooLarge { .. }) => Ok(false),
            other => other,
        }
    };
    let goes = |at: usize| fits(lengths[at]);
    // In longer and longer strides to the first that takes it, then back by halves: a sheet that
    // needs a long piece is laid out on ten lengths rather than on fifty.
    let (mut short, mut at, mut stride) = (None, 0, 1);
    while at < lengths.len() && !goes(at)? {
        (short, at, stride) = (Some(at), at + stride, stride * 2);
        if at >= lengths.len() && short.is_some_and(|short| short + 1 < lengths.len()) {
            at = lengths.len() - 1;
        }
    }
    if at >= lengths.len() {
        return Ok(Cow::Owned(cut_to(max)));
    }
    let mut min = short.map_or(0, |short| short + 1);
    while min < at {
        let middle = usize::midpoint(min, at);
        if goes(middle)? { at = middle } else { min = middle + 1 }
    }
    // Then to a few millimetres between the last that was too short and the first that wasn't.
    let (mut long, mut short) =
        (lengths[at], at.checked_sub(1).map_or(lengths[at], |at| lengths[at]));
    while long - short > STEP_MM + 1e-9 {
        let middle = short + (((long - short) / 2.0) / STEP_MM).floor().max(1.0) * STEP_MM;
        if fits(middle)? { long = middle } else { short = middle }
    }
    Ok(Cow::Owned(cut_to(long)))
}

/// The lengths that are tried, the shortest first: finer where paper is short, coarser where it
/// is long.
fn lengths(max: f64) -> Vec<f64> {
    let first = MIN_MM.min(max);
    let next = |length: &f64| {
        let next = ((length * 1.12 / STRIDE_MM).ceil() * STRIDE_MM).max(length + STRIDE_MM);
        (next < max).then_some(next)
    };
    std::iter::successors((first < max).then_some(first), next).collect()
}

fn whole(plan: &Plan) -> bool {
    match plan {
        Plan::Single { turn_deg, .. } => *turn_deg == 0.0,
        Plan::Tables(pages) => pages.len() == 1,
        Plan::Text(pages) => pages.len() == 1,
        Plan::Tiles(_) | Plan::Proof => false,
    }
}
