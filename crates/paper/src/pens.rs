//! From pen to stroke on paper.
//!
//! Widths are of the ISO 128-2 series (0.13, 0.18, 0.25, 0.35, 0.5 mm). What is cut by is drawn in
//! wide lines of 0.5 mm, everything else of a drawing in narrow ones half as wide (ISO 128-2); of
//! a ruler's ticks, register marks and the rules of tables, which are no part of the drawing, the
//! lines are finer. Dash lengths follow ISO 128-2 in line widths: gap 3, dash 12, long dash 24,
//! dot 0.5.

use kurbo::{BezPath, PathSeg};
use marks::Pen;

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

/// Wide lines: outlines that are cut and sections, mm.
const WIDE_MM: f64 = 0.5;
/// Narrow lines, mm.
const NARROW_MM: f64 = 0.25;

const fn line(width_mm: f64) -> Stroke {
    Stroke { width_mm, dashes_mm: &[], grey: 0.0 }
}

const fn dashed(width_mm: f64, dashes_mm: &'static [f64]) -> Stroke {
    Stroke { width_mm, dashes_mm, grey: 0.0 }
}

/// The stroke of a pen.
pub fn stroke(pen: Pen) -> Stroke {
    match pen {
        Pen::Cut => line(WIDE_MM),
        Pen::Blank => line(NARROW_MM),
        // ISO 128-2 no. 02.1, dashed narrow.
        Pen::Scissor => dashed(NARROW_MM, &[3.0, 0.75]),
        // Light, so that nobody takes it for a line to cut by.
        Pen::Hand => Stroke { width_mm: 0.13, dashes_mm: &[], grey: 0.55 },
        Pen::Hole => line(NARROW_MM),
        Pen::Waste => line(NARROW_MM),
        // ISO 128-2 no. 04.1, long-dash dotted narrow.
        Pen::Centre => dashed(NARROW_MM, &[6.0, 0.75, 0.125, 0.75]),
        // ISO 128-2 no. 05.1, long-dash double-dotted narrow: outlines of the initial material.
        Pen::Bar => dashed(NARROW_MM, &[6.0, 0.75, 0.125, 0.75, 0.125, 0.75]),
        Pen::Bevel => line(NARROW_MM),
        // ISO 128-2 no. 02.1, dashed narrow.
        Pen::Guide => dashed(NARROW_MM, &[3.0, 0.75]),
        Pen::Section => line(WIDE_MM),
        // ISO 128-2 no. 02.1, dashed narrow.
        Pen::Scale => dashed(NARROW_MM, &[3.0, 0.75]),
        Pen::Dimension => line(NARROW_MM),
        Pen::Lettering => line(NARROW_MM),
        Pen::Ruler => line(0.18),
        Pen::Register => line(0.18),
        Pen::Frame => line(0.13),
    }
}

/// Where in its dashes a line starts, mm. A straight centre line has a long dash over its middle,
/// so that the arms of a centre mark cross in ink (ISO 128-2: lines cross at dashes).
pub(crate) fn phase_mm(pen: Pen, path: &BezPath) -> f64 {
    let mut segments = path.segments();
    let Some(PathSeg::Line(line)) = segments.next() else { return 0.0 };
    if pen != Pen::Centre || segments.next().is_some() {
        return 0.0;
    }
    let dashes = stroke(pen).dashes_mm;
    let period: f64 = dashes.iter().sum();
    let dash = dashes.first().copied().unwrap_or(0.0);
    ((dash - line.length()) / 2.0).rem_euclid(period)
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

    /// ISO 128-2: narrow lines are half as wide as wide ones.
    #[test]
    fn a_drawing_has_two_widths_of_two_to_one() {
        let fine = [Pen::Ruler, Pen::Register, Pen::Frame, Pen::Hand];
        let mut widths: Vec<f64> = Pen::ALL
            .into_iter()
            .filter(|pen| !fine.contains(pen))
            .map(|p| stroke(p).width_mm)
            .collect();
        widths.sort_by(f64::total_cmp);
        widths.dedup();
        assert!(widths.len() == 2 && (widths[1] - 2.0 * widths[0]).abs() < 1e-12, "{widths:?}");
        assert!(fine.into_iter().all(|pen| stroke(pen).width_mm < widths[0]));
    }

    #[test]
    fn centre_marks_cross_in_ink() {
        let stroke = stroke(Pen::Centre);
        let period: f64 = stroke.dashes_mm.iter().sum();
        for k in 1..200 {
            let length = 0.37 * f64::from(k);
            let mut path = BezPath::new();
            path.move_to((3.0, 4.0));
            path.line_to((3.0, 4.0 + length));
            let middle = (phase_mm(Pen::Centre, &path) + length / 2.0).rem_euclid(period);
            assert!((middle - stroke.dashes_mm[0] / 2.0).abs() < 1e-9, "{length}: {middle}");
            assert!(phase_mm(Pen::Bar, &path).abs() < 1e-12);
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
