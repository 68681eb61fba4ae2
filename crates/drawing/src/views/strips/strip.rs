//! One strip: cut lines, ticks from both long sides, an arrow to the front, a line to measure.

use kurbo::{BezPath, Point, Rect};
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign, lettering};
use units::LengthUnit;

/// Height of the words, mm.
const LETTER_MM: f64 = 2.5;
/// Height of the ticks' numbers, mm.
const NUMBER_MM: f64 = 2.5;
/// Length of a tick from the strip's side, mm.
const TICK_MM: f64 = 3.6;
/// Between a tick and its number, mm.
const BESIDE_MM: f64 = 0.7;
/// Ticks nearer to one another than this are numbered by fives, or by more, mm.
const NUMBERED_MM: f64 = 5.0;
/// Two numbers in a row lie so far apart at least, mm.
const ROW_MM: f64 = 5.5;
/// Room between the strip's end and its words, mm.
const INSET_MM: f64 = 3.0;

/// A strip is made so much longer at most to take the long line, mm.
const STRETCH_MM: f64 = 15.0;

/// A strip to cut out.
pub(super) struct Strip {
    /// The edge it belongs to.
    pub(super) name: &'static str,
    /// How to lay it.
    pub(super) lay: &'static str,
    /// Its breadth, mm.
    pub(super) breadth_mm: f64,
    /// What it has ahead of the place from which its ticks are measured, mm.
    pub(super) ahead_mm: f64,
    /// What it has behind the last tick at least, mm.
    pub(super) behind_mm: f64,
    /// Its ticks by arc length, the nearest to the front first, mm.
    pub(super) ticks_mm: Vec<f64>,
}

impl Strip {
    /// Words along the strip.
    fn words(&self) -> [(String, FontFace); 3] {
        [
            ("FRONT".to_owned(), FontFace::Bold),
            (self.name.to_owned(), FontFace::Bold),
            (format!("lay {}", self.lay), FontFace::Regular),
        ]
    }

    /// Where the strip ends: behind its last tick, its words and a line to measure.
    fn end_mm(&self, unit: LengthUnit) -> f64 {
        let words: f64 = self
            .words()
            .iter()
            .map(|(text, face)| lettering::width_mm(text, *face, LETTER_MM) + INSET_MM)
            .sum();
        let last = self.ticks_mm.last().copied().unwrap_or(0.0);
        let proof_end = |long| {
            let (mm, label) = proof(unit, long);
            2.0 * INSET_MM + mm + label_room(label) - self.ahead_mm
        };
        let end = (last + self.behind_mm)
            .max(words + 2.0 * INSET_MM + 5.0 - self.ahead_mm)
            .max(proof_end(false));
        // A little more paper for the long line rather than the short one.
        let long = proof_end(true) + 1e-9;
        if end + STRETCH_MM >= long { end.max(long) } else { end }
    }

    /// The strip, its front to the left, the place from which it is measured at x 0, its lower
    /// side at y 0.
    pub(super) fn drawn(&self, unit: LengthUnit) -> Drawing {
        let mut drawing = Drawing::new();
        let (from, to) = (-self.ahead_mm, self.end_mm(unit));
        let (high, middle) = (self.breadth_mm, self.breadth_mm / 2.0);
        drawing.rect(Pen::Cut, Rect::new(from, 0.0, to, high));
        let closest = self.ticks_mm.windows(2).map(|w| w[1] - w[0]).fold(f64::INFINITY, f64::min);
        let every = [5, 10, 50].into_iter().find(|n| f64::from(*n) * closest >= ROW_MM);
        for (number, x) in (1_u32..).zip(&self.ticks_mm) {
            let named = closest >= NUMBERED_MM
                || number == 1
                || every.is_some_and(|every| number % every == 0);
            // A numbered tick among many is longer, so that it is told from its neighbours.
            let long = if named || closest >= NUMBERED_MM { TICK_MM } else { 0.7 * TICK_MM };
            for (side, direction) in [(0.0, 1.0), (high, -1.0)] {
                drawing.line(
                    Pen::Centre,
                    Point::new(*x, side),
                    Point::new(*x, side + direction * long),
                );
            }
            if named && closest >= NUMBERED_MM {
                let at = Point::new(x + BESIDE_MM, high - 1.0 - NUMBER_MM);
                drawing.text(Pen::Lettering, Label::new(number.to_string(), at, NUMBER_MM));
            } else if named {
                // Under the tick, clear of its neighbours.
                let at = Point::new(*x, high - TICK_MM - 0.5);
                let label = Label::new(number.to_string(), at, NUMBER_MM);
                drawing.text(Pen::Lettering, label.anchored(HAlign::Middle, VAlign::Top));
            }
        }
        self.words_into(&mut drawing, Point::new(from + INSET_MM, middle - LETTER_MM * 0.4));
        proof_into(&mut drawing, Point::new(from + INSET_MM, middle - 3.4), to - from, unit);
        drawing
    }

    /// An arrow to the front, and the words behind it.
    fn words_into(&self, drawing: &mut Drawing, at: Point) {
        let mid = at.y + LETTER_MM / 2.0;
        let mut head = BezPath::new();
        head.move_to((at.x - 2.0, mid));
        head.line_to((at.x + 1.0, mid + 1.1));
        head.line_to((at.x + 1.0, mid - 1.1));
        head.close_path();
        drawing.add(Pen::Dimension, Mark::Fill(head));
        drawing.line(Pen::Dimension, Point::new(at.x + 1.0, mid), Point::new(at.x + 4.0, mid));
        let mut x = at.x + 5.0;
        for (text, face) in self.words() {
            let label = Label::new(text, Point::new(x, at.y), LETTER_MM);
            let label = if face == FontFace::Bold { label.bold() } else { label };
            x += lettering::width_mm(&label.text, face, LETTER_MM) + INSET_MM;
            drawing.text(Pen::Lettering, label);
        }
    }
}

/// The line to measure: long or short, with its figure.
fn proof(unit: LengthUnit, long: bool) -> (f64, &'static str) {
    match (unit, long) {
        (LengthUnit::Millimetre, true) => (100.0, "100 mm"),
        (LengthUnit::Millimetre, false) => (50.0, "50 mm"),
        (LengthUnit::Inch, true) => (101.6, "4 in"),
        (LengthUnit::Inch, false) => (50.8, "2 in"),
    }
}

fn label_room(label: &str) -> f64 {
    1.5 + lettering::width_mm(label, FontFace::Regular, NUMBER_MM)
}

/// A line whose length is told, as long as goes on the strip.
fn proof_into(drawing: &mut Drawing, at: Point, strip_mm: f64, unit: LengthUnit) {
    let room = |(mm, label): (f64, &str)| 2.0 * INSET_MM + mm + label_room(label) <= strip_mm;
    let long = proof(unit, true);
    let (mm, label) = if room(long) { long } else { proof(unit, false) };
    let end = Point::new(at.x + mm, at.y);
    drawing.line(Pen::Dimension, at, end);
    for p in [at, end] {
        drawing.line(Pen::Dimension, Point::new(p.x, p.y - 0.9), Point::new(p.x, p.y + 0.9));
    }
    let label = Label::new(label, Point::new(end.x + 1.5, at.y), NUMBER_MM);
    drawing.text(Pen::Lettering, label.anchored(HAlign::Start, VAlign::Middle));
}
