//! Drawings to lay out: a blade-like outline on a bar, as long as wanted.

use kurbo::{BezPath, Circle, Point, Rect};
use marks::{Drawing, HAlign, Label, Mark, Pen, VAlign};
use paper::{Heading, PageSetup, Paper, Sheet};

/// An outline `length_mm` long and 36 mm high on a bar of 1-1/2 in, with holes, centre marks,
/// a plunge line and an overall dimension.
pub(crate) fn blank(length_mm: f64) -> Drawing {
    let mut drawing = Drawing::new();
    let long = |part: f64| part * length_mm;
    let mut outline = BezPath::new();
    outline.move_to((0.0, 14.0));
    outline.curve_to((long(0.08), 2.0), (long(0.2), -1.5), (long(0.34), 0.0));
    outline.curve_to((long(0.42), 1.0), (long(0.43), 3.5), (long(0.46), 5.0));
    outline.curve_to((long(0.55), 9.5), (long(0.66), 7.0), (long(0.74), 4.0));
    outline.curve_to((long(0.84), 0.0), (long(0.93), -3.0), (long(0.99), 0.0));
    outline.curve_to((long(1.01), 6.0), (long(1.0), 20.0), (long(0.97), 29.0));
    outline.curve_to((long(0.8), 34.0), (long(0.6), 32.0), (long(0.45), 33.0));
    outline.curve_to((long(0.3), 34.0), (long(0.12), 30.0), (0.0, 14.0));
    outline.close_path();
    drawing.add(Pen::Cut, Mark::Path(outline));
    for (k, (at, size)) in [(0.55, 3.2639), (0.7, 8.0), (0.86, 3.2639)].into_iter().enumerate() {
        hole(&mut drawing, Point::new(long(at), 17.0 + f64::from(k == 1)), size);
    }
    drawing.line(Pen::Bevel, Point::new(long(0.4), 1.0), Point::new(long(0.38), 20.0));
    drawing.rect(Pen::Bar, Rect::new(-6.0, -3.0, length_mm + 6.0, 35.1));
    dimension(&mut drawing, length_mm);
    drawing
}

fn hole(drawing: &mut Drawing, at: Point, size_mm: f64) {
    let radius = size_mm / 2.0;
    drawing.add(Pen::Hole, Mark::Circle(Circle::new(at, radius)));
    let arm = radius + 2.5;
    drawing.line(Pen::Centre, at - (arm, 0.0), at + (arm, 0.0));
    drawing.line(Pen::Centre, at - (0.0, arm), at + (0.0, arm));
    let label = Label::new(format!("Ø{size_mm:.2}"), at + (0.0, -arm - 1.5), 2.5);
    drawing.text(Pen::Lettering, label.anchored(HAlign::Middle, VAlign::Top));
}

fn dimension(drawing: &mut Drawing, length_mm: f64) {
    let y = 45.0;
    for x in [0.0, length_mm] {
        drawing.line(Pen::Dimension, Point::new(x, 36.0), Point::new(x, y + 2.0));
        let inward = if x == 0.0 { 3.0 } else { -3.0 };
        let mut head = BezPath::new();
        head.move_to((x, y));
        head.line_to((x + inward, y + 0.5));
        head.line_to((x + inward, y - 0.5));
        head.close_path();
        drawing.add(Pen::Dimension, Mark::Fill(head));
    }
    drawing.line(Pen::Dimension, Point::new(0.0, y), Point::new(length_mm, y));
    let text = format!("{length_mm:.2} mm  ({:.3} in)", length_mm / 25.4);
    let label = Label::new(text, Point::new(length_mm / 2.0, y + 1.2), 2.5);
    drawing.text(Pen::Dimension, label.anchored(HAlign::Middle, VAlign::Base));
}

/// A sheet with a blank of that length.
pub(crate) fn sheet(length_mm: f64) -> Sheet {
    Sheet {
        key: "profile",
        title: "Profile".into(),
        drawing: blank(length_mm),
        notes: vec![
            "Bar: 1084, 1½ × ⅛ in, spine to the reference edge.".into(),
            "Pins ⅛ in: drill no. 30 (Ø3.26 mm). Relief hole Ø8.".into(),
            "Cut outside the line; file to it.".into(),
        ],
        inserts: vec![],
        ..Sheet::default()
    }
}

/// The usual setup on that paper.
pub(crate) fn setup(paper: &str) -> PageSetup {
    let heading =
        Heading { name: "Heron".into(), date: Some("2026-11-25".into()), ..Heading::default() };
    let paper = Paper::named(paper).expect("a paper of the table");
    PageSetup { large_check: &["profile"], ..PageSetup::new(paper, heading) }
}
