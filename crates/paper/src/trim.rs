//! A printer's trim, put on a page.

use crate::PageSetup;
use kurbo::{Affine, Size};

/// What a page of that size is put through as it is sent, about its middle; `None` without a trim.
pub(crate) fn trim_matrix(setup: &PageSetup, size: Size) -> Option<Affine> {
    let [[a, b], [c, d]] = setup.trim?;
    let middle = size.to_vec2() / 2.0;
    // A lying page is an upright one turned by a right angle, either way: the axes change places,
    // and a skew that opened an angle closes it.
    let linear = if setup.paper.is_landscape(size) {
        [d, -b, -c, a, 0.0, 0.0]
    } else {
        [a, c, b, d, 0.0, 0.0]
    };
    Some(Affine::translate(middle) * Affine::new(linear) * Affine::translate(-middle))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, Paper};
    use kurbo::Point;

    #[test]
    fn a_lying_page_is_trimmed_as_the_paper_it_lies_on() {
        let paper = Paper::named("a4").unwrap();
        let rows = [[1.02, 0.003], [0.003, 0.99]];
        let setup = PageSetup { trim: Some(rows), ..PageSetup::new(paper, Heading::default()) };
        let upright = trim_matrix(&setup, setup.paper.portrait_mm()).unwrap();
        let lying = trim_matrix(&setup, setup.paper.landscape_mm()).unwrap();
        let (w, h) = (210.0, 297.0);
        // The page turned to the left or to the right, trimmed upright, turned back.
        let left = Affine::new([0.0, 1.0, -1.0, 0.0, w, 0.0]);
        let right = Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, h]);
        for turn in [left, right] {
            for place in [Point::new(0.0, 0.0), Point::new(297.0, 0.0), Point::new(31.0, 170.0)] {
                let by_upright = turn.inverse() * (upright * (turn * place));
                assert!(by_upright.distance(lying * place) < 1e-9, "{place:?}");
            }
        }
        assert_eq!(trim_matrix(&PageSetup { trim: None, ..setup }, Size::new(w, h)), None);
    }
}
