//! Paper off a roll: each sheet is cut as long as it must be.

use crate::layout::Plan;
use crate::{PaperError, Setup, Sheet, insert};
use kurbo::Size;
use std::borrow::Cow;

/// The shortest sheet cut off a roll, mm.
const LEAST_MM: f64 = 200.0;
/// Sheets are cut to whole steps of this, mm.
const STEP_MM: f64 = 20.0;

/// The setup for one sheet: off a roll, with the shortest piece that takes it whole and level;
/// else with the longest there is.
///
/// # Errors
/// As [`crate::layout::plan`], but for want of room.
pub(crate) fn cut<'a>(sheet: &Sheet, setup: &'a Setup) -> Result<Cow<'a, Setup>, PaperError> {
    let Some(most) = setup.paper.roll_mm else { return Ok(Cow::Borrowed(setup)) };
    let cut_to = |length_mm: f64| {
        let mut own = setup.clone();
        own.paper.size_mm = Size::new(setup.paper.size_mm.width, length_mm);
        own
    };
    let mut length_mm = LEAST_MM.min(most);
    while length_mm < most {
        let own = cut_to(length_mm);
        match insert::plans(sheet, &own) {
            Ok(plans) if plans.iter().all(|(_, plan)| whole(plan)) && plans.len() == 1 => {
                return Ok(Cow::Owned(own));
            }
            Ok(_) | Err(PaperError::NoRoom { .. } | PaperError::TooLarge { .. }) => {}
            Err(error) => return Err(error),
        }
        // Finer where paper is short, coarser where it is long.
        length_mm = ((length_mm * 1.06 / STEP_MM).ceil() * STEP_MM).max(length_mm + STEP_MM);
    }
    Ok(Cow::Owned(cut_to(most)))
}

fn whole(plan: &Plan) -> bool {
    matches!(plan, Plan::One { turn_deg: 0.0, .. })
}
