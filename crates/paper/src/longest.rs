//! The longest strip of a width that a paper takes in one piece.

use crate::place::plan;
use crate::plan::Plan;
use crate::{PageSetup, PaperError, Sheet};
use kurbo::Rect;
use marks::{Drawing, Pen};

/// Lengths are told to this, mm.
const STEP_MM: f64 = 1.0;

/// How long a strip may be, mm; nought when none fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Longest {
    /// Standing level.
    pub level_mm: f64,
    /// Level or on the diagonal, whichever takes more.
    pub turned_mm: f64,
}

/// The longest strip of that width that goes on one page beside rulers, square and the words
/// every sheet has; to whole millimetres downward.
///
/// # Errors
/// [`PaperError::NoRoom`] when the paper takes no full-size sheet at all.
pub fn longest(setup: &PageSetup, width_mm: f64) -> Result<Longest, PaperError> {
    let max = setup.paper.size_mm.to_vec2().hypot().max(setup.paper.roll_mm.unwrap_or(0.0));
    Ok(Longest {
        level_mm: last(setup, width_mm, max, |plan| {
            matches!(plan, Plan::Single { turn_deg: 0.0, .. })
        })?,
        turned_mm: last(setup, width_mm, max, |plan| matches!(plan, Plan::Single { .. }))?,
    })
}

/// The last length that is still taken as wished, by halving.
fn last(
    setup: &PageSetup,
    width_mm: f64,
    max_mm: f64,
    occupied: impl Fn(&Plan) -> bool,
) -> Result<f64, PaperError> {
    let (mut fits, mut not) = (0.0, max_mm);
    while not - fits > STEP_MM / 2.0 {
        let length_mm = f64::midpoint(fits, not);
        if occupied(&plan(&strip(length_mm, width_mm), setup)?) {
            fits = length_mm;
        } else {
            not = length_mm;
        }
    }
    Ok((fits / STEP_MM + 1e-9).floor() * STEP_MM)
}

fn strip(length_mm: f64, width_mm: f64) -> Sheet {
    let mut drawing = Drawing::new();
    drawing.rect(Pen::Cut, Rect::new(0.0, 0.0, length_mm, width_mm));
    let (key, title) = ("strip", "Strip".to_owned());
    Sheet { key, title, drawing, notes: Vec::new(), inserts: Vec::new(), ..Sheet::default() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, Paper, lay_out};

    fn setup(paper: &str) -> PageSetup {
        PageSetup::new(Paper::parse(paper).unwrap(), Heading::default())
    }

    #[test]
    fn what_is_told_fits_and_a_little_more_does_not() {
        for paper in ["letter", "a4", "a3", "300x600mm"] {
            let setup = setup(paper);
            let message = longest(&setup, 38.1).unwrap();
            let pages = |mm: f64| lay_out(&[strip(mm, 38.1)], &setup).unwrap();
            assert!(pages(message.level_mm).len() == 1 && pages(message.turned_mm).len() == 1);
            assert!(pages(message.level_mm)[0].turn_deg.abs() < 1e-9, "{paper}");
            assert!(pages(message.level_mm + 1.5)[0].turn_deg.abs() > 1.0, "{paper} {message:?}");
            assert!(pages(message.turned_mm + 1.5).len() > 1, "{paper} {message:?}");
            // Level: the page less its margins at most; turned: less than the page's diagonal.
            let lying = setup.paper.landscape_mm();
            assert!(
                message.level_mm <= lying.width - 20.0 && message.level_mm > lying.width - 60.0
            );
            assert!(message.turned_mm >= message.level_mm);
            assert!(message.turned_mm < lying.to_vec2().hypot() - 38.1);
        }
        assert!(longest(&setup("100x100mm"), 38.1).is_err());
    }
}
