//! Paper off a roll: each sheet is cut as long as it must be.

use crate::frame::sizes;
use crate::hull;
use crate::plan::Plan;
use crate::{PageSetup, PaperError, Sheet, tables};
use kurbo::Size;
use marks::{Drawing, Insert};
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
    let min_room = MinRoom::of(sheet);
    let mut fault = None;
    let fits = |own: &PageSetup| -> Option<()> {
        if !min_room.may_go(own) {
            return None;
        }
        let whole = if sheet.drawing.items.is_empty() {
            tables::plans(sheet, own)
                .map(|plans| plans.len() == 1 && plans.iter().all(|(_, plan)| whole(plan)))
        } else {
            tables::one_page(sheet, own).map(|page| page.is_some())
        };
        match whole {
            Ok(whole) => whole.then_some(()),
            Err(PaperError::NoRoom { .. } | PaperError::TooLarge { .. }) => None,
            Err(error) => {
                fault = Some(error);
                None
            }
        }
    };
    let found = shortest(setup, fits);
    if let Some(fault) = fault {
        return Err(fault);
    }
    Ok(Cow::Owned(found.map_or_else(|| cut_to(setup, max), |((), own)| own)))
}

/// What comes of the shortest piece that takes something, and the setup with that piece; `None`
/// for what no piece takes, and for paper that comes off no roll.
pub(crate) fn shortest<T>(
    setup: &PageSetup,
    mut fits: impl FnMut(&PageSetup) -> Option<T>,
) -> Option<(T, PageSetup)> {
    let lengths = lengths(setup.paper.roll_mm?);
    let mut on = |length_mm: f64| {
        let own = cut_to(setup, length_mm);
        fits(&own).map(|found| (found, own))
    };
    // In longer and longer strides to the first that takes it, then back by halves: a sheet that
    // needs a long piece is laid out on ten lengths rather than on fifty.
    let (mut short, mut at, mut stride) = (None, 0, 1);
    let mut found = loop {
        if let Some(found) = on(*lengths.get(at)?) {
            break found;
        }
        (short, at, stride) = (Some(at), at + stride, stride * 2);
        if at >= lengths.len() && short.is_some_and(|short| short + 1 < lengths.len()) {
            at = lengths.len() - 1;
        }
    };
    let mut min = short.map_or(0, |short| short + 1);
    while min < at {
        let middle = usize::midpoint(min, at);
        match on(lengths[middle]) {
            Some(shorter) => (at, found) = (middle, shorter),
            None => min = middle + 1,
        }
    }
    // Then to a few millimetres between the last that was too short and the first that wasn't.
    let mut long = lengths[at];
    let mut short = at.checked_sub(1).map_or(long, |at| lengths[at]);
    while long - short > STEP_MM + 1e-9 {
        let middle = short + (((long - short) / 2.0) / STEP_MM).floor().max(1.0) * STEP_MM;
        match on(middle) {
            Some(shorter) => (long, found) = (middle, shorter),
            None => short = middle,
        }
    }
    Some(found)
}

fn cut_to(setup: &PageSetup, length_mm: f64) -> PageSetup {
    let mut own = setup.clone();
    own.paper.size_mm = Size::new(setup.paper.size_mm.width, length_mm);
    own
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

/// What a sheet takes at the least: a quick look that spares laying it out on pieces that are too
/// short for it.
struct MinRoom {
    /// The boxes of its drawing and of what belongs to it.
    boxes: Vec<Size>,
    area_mm2: f64,
}

impl MinRoom {
    fn of(sheet: &Sheet) -> Self {
        let boxed = |drawing: &Drawing| {
            let own = hull::extent(drawing)?;
            own.is_finite().then(|| own.size())
        };
        let inserts = sheet.inserts.iter().filter_map(|insert| match insert {
            Insert::Table(drawing) | Insert::Chart(drawing) => Some(drawing),
            Insert::Spare(_) | Insert::Text(_) => None,
        });
        let boxes: Vec<Size> =
            std::iter::once(&sheet.drawing).chain(inserts).filter_map(boxed).collect();
        // Alone on its page a drawing is told from what stands there by its hull, not its box.
        let area_mm2 =
            if boxes.len() > 1 { boxes.iter().copied().map(Size::area).sum() } else { 0.0 };
        Self { boxes, area_mm2 }
    }

    fn may_go(&self, setup: &PageSetup) -> bool {
        sizes(setup).into_iter().any(|size| {
            let room = size - Size::new(2.0 * setup.margin_mm, 2.0 * setup.margin_mm);
            self.area_mm2 <= room.area()
                && self.boxes.iter().all(|own| own.width <= room.width && own.height <= room.height)
        })
    }
}

fn whole(plan: &Plan) -> bool {
    match plan {
        Plan::Single { turn_deg, .. } => *turn_deg == 0.0,
        Plan::Tables(pages) => pages.len() == 1,
        Plan::Text(pages) => pages.len() == 1,
        Plan::Tiles(_) | Plan::Proof => false,
    }
}
