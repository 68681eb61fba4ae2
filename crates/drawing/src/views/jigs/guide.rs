//! The filing guide: one jaw seen from the side, its front on the plunge line.

use super::{JigView, closed, hole, measured, titled, words};
use kurbo::{Point, Rect};
use marks::{Drawing, Pen};

impl JigView<'_> {
    /// The jaw with its plunge line at the left, its bolts above the spine and below the edge.
    pub(super) fn guide(&self) -> Option<Drawing> {
        let guide = self.jigs.guide.as_ref()?;
        let mut drawing = Drawing::new();
        let [low, high] = guide.bolts_mm;
        let (y0, y1) = (low - 1.5 * guide.bolt_mm, high + 1.5 * guide.bolt_mm);
        let long = guide.long_mm;
        closed(&mut drawing, Pen::Cut, &[(0.0, y0), (long, y0), (long, y1), (0.0, y1)]);
        // The blank between the jaws.
        for (front, back) in
            [(guide.front_mm.0, guide.back_mm.0), (guide.front_mm.1, guide.back_mm.1)]
        {
            drawing.line(Pen::Blank, Point::new(0.0, front), Point::new(long, back));
        }
        for y in [low, high] {
            hole(&mut drawing, Point::new(guide.behind_mm, y), guide.bolt_mm);
        }
        let at = |y: f64| Point::new(long, y);
        let apart = self.fine(high - low);
        measured(&mut drawing, (at(low), at(high)), (7.0, 0.0), &apart);
        let ends = (Point::new(0.0, y0), Point::new(long, y0));
        measured(&mut drawing, ends, (0.0, -7.0), &self.fine(long));
        words(&mut drawing, Point::new(long / 2.0, f64::midpoint(low, high)), "blank");
        let lines = [
            format!(
                "Two jaws of hardened steel, bolts of {} through both; blank {} high.",
                self.fine(guide.bolt_mm),
                self.fine(guide.blank_mm)
            ),
            "Left side on the plunge line, square to the jaw: the file stops at it.".to_owned(),
            "Ease its front edge by the radius of the plunge.".to_owned(),
        ];
        titled(&mut drawing, "FILING GUIDE, one of two jaws", &lines, Rect::new(0.0, y0, long, y1));
        Some(drawing)
    }
}
