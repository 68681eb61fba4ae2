//! The longest strip of a width that a paper takes in one piece.

use crate::layout::{Plan, plan};
use crate::{PaperError, Setup, Sheet};
use drawing::{Drawing, Pen};
use kurbo::Rect;

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
pub fn longest(setup: &Setup, width_mm: f64) -> Result<Longest, PaperError> {
    let most = setup.paper.size_mm.to_vec2().hypot().max(setup.paper.roll_mm.unwrap_or(0.0));
    Ok(Longest {
        level_mm: last(setup, width_mm, most, |plan| {
            matches!(plan, Plan::One { turn_deg: 0.0, .. })
        })?,
        turned_mm: last(setup, width_mm, most, |plan| matches!(plan, Plan::One { .. }))?,
    })
}

/// The last length that is still taken as wished, by halving.
fn last(
    setup: &Setup,
    width_mm: f64,
    most_mm: f64,
    taken: impl Fn(&Plan) -> bool,
) -> Result<f64, PaperError> {
    let (mut fits, mut not) = (0.0, most_mm);
    while not - fits > STEP_MM / 2.0 {
        let length_mm = f64::midpoint(fits, not);
        if taken(&plan(&strip(length_mm, width_mm), setup)?) {
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
    Sheet { key, title, drawing, notes: Vec::new(), inserts: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, Paper, lay_out};

    fn setup(paper: &str) -> Setup {
        Setup::new(Paper::read(paper).unwrap(), Heading::default())
    }

    #[test]
    fn what_is_told_fits_and_a_little_more_does_not() {
        for paper in ["letter", "a4", "a3", "300x600mm"] {
            let setup = setup(paper);
            let told = longest(&setup, 38.1).unwrap();
            let pages = |mm: f64| lay_out(&[strip(mm, 38.1)], &setup).unwrap();
            assert!(pages(told.level_mm).len() == 1 && pages(told.turned_mm).len() == 1);
            assert!(pages(told.level_mm)[0].turn_deg.abs() < 1e-9, "{paper}");
            assert!(pages(told.level_mm + 1.5)[0].turn_deg.abs() > 1.0, "{paper} {told:?}");
            assert!(pages(told.turned_mm + 1.5).len() > 1, "{paper} {told:?}");
            // Level: the page less its margins at most; turned: less than the page's diagonal.
            let lying = setup.paper.lying_mm();
            assert!(told.level_mm <= lying.width - 20.0 && told.level_mm > lying.width - 60.0);
            assert!(told.turned_mm >= told.level_mm);
            assert!(told.turned_mm < lying.to_vec2().hypot() - 38.1);
        }
        assert!(longest(&setup("100x100mm"), 38.1).is_err());
    }
}
