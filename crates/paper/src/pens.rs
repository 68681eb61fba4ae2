//! From pen to stroke on paper.
//!
//! Widths are of the ISO 128-2 series (0.13, 0.18, 0.25, 0.35, 0.5 mm); narrow lines are half as
//! wide as wide ones (ISO 128-2). Dash lengths follow ISO 128-2 in line widths: gap 3, dash 12,
//! long dash 24, dot 0.5. The cut line is narrower than a visible edge's 0.5 mm, so that a saw or
//! scriber can follow its middle: common practice, no source.

use drawing::Pen;

/// How a pen draws on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Width of the line, mm.
    pub width_mm: f64,
    /// Drawn and blank lengths in turn, mm; empty for a continuous line.
    pub dashes_mm: &'static [f64],
    /// 0 black, 1 white.
    pub grey: f64,
}

const fn line(width_mm: f64) -> Stroke {
    Stroke { width_mm, dashes_mm: &[], grey: 0.0 }
}

const fn dashed(width_mm: f64, dashes_mm: &'static [f64]) -> Stroke {
    Stroke { width_mm, dashes_mm, grey: 0.0 }
}

/// The stroke of a pen.
pub fn stroke(pen: Pen) -> Stroke {
    match pen {
        Pen::Cut => line(0.35),
        Pen::Hole => line(0.25),
        // ISO 128-2 no. 04.1, long-dash dotted narrow.
        Pen::Centre => dashed(0.18, &[4.32, 0.54, 0.09, 0.54]),
        // ISO 128-2 no. 05.1, long-dash double-dotted narrow: outlines of the initial material.
        Pen::Bar => dashed(0.25, &[6.0, 0.75, 0.125, 0.75, 0.125, 0.75]),
        Pen::Bevel => line(0.25),
        // ISO 128-2 no. 02.1, dashed narrow.
        Pen::Scale => dashed(0.25, &[3.0, 0.75]),
        Pen::Dimension => line(0.18),
        Pen::Lettering => line(0.25),
        Pen::Ruler => line(0.18),
        Pen::Register => line(0.18),
        Pen::Frame => line(0.13),
    }
}

/// A pen's name as an identifier: "cut-line".
pub(crate) fn id(pen: Pen) -> String {
    pen.name().to_lowercase().replace(' ', "-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_of_the_series() {
        for pen in Pen::ALL {
            let width = stroke(pen).width_mm;
            assert!([0.13, 0.18, 0.25, 0.35, 0.5].contains(&width), "{pen:?}");
        }
    }

    #[test]
    fn dashes_are_in_line_widths() {
        for pen in Pen::ALL {
            let stroke = stroke(pen);
            for length in stroke.dashes_mm {
                let widths = length / stroke.width_mm;
                assert!([0.5, 3.0, 12.0, 24.0].iter().any(|w| (w - widths).abs() < 1e-9));
            }
        }
    }
}
