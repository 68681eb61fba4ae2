//! Writes the demo pages into a directory, to be looked at: `look DIRECTORY`.

#[path = "../tests/common/demo.rs"]
mod demo;

use drawing::kurbo::{Circle, Rect};
use drawing::{Drawing, Mark, Pen};
use paper::{Meta, Sheet, lay_out, pdf, png, svg};
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let directory = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".into()));
    for paper in ["letter", "a4", "legal", "tabloid", "a3", "a5"] {
        for length_mm in [150.0, 215.0, 245.0, 270.0, 300.0, 500.0] {
            let pages = lay_out(&[demo::sheet(length_mm)], &demo::setup(paper))?;
            let meta = Meta { title: "Heron".into(), ..Meta::default() };
            let name = format!("{paper}-{length_mm}");
            std::fs::write(directory.join(format!("{name}.pdf")), pdf(&pages, &meta)?)?;
            if paper == "letter" {
                let page = &pages[0];
                let window = Rect::from_origin_size((0.0, 0.0), page.size_mm);
                let text = svg(&page.drawing, window, &page.name);
                std::fs::write(directory.join(format!("{name}.svg")), text)?;
                let picture = png(&page.drawing, window, 110.0)?;
                std::fs::write(directory.join(format!("{name}.png")), picture)?;
            }
        }
    }
    let notes = (1..=18).map(|k| format!("{k}. A note of a length that is usual for notes."));
    let sheet = Sheet { notes: notes.collect(), ..demo::sheet(215.0) };
    let pages = lay_out(&[sheet], &demo::setup("letter"))?;
    std::fs::write(directory.join("notes.pdf"), pdf(&pages, &Meta::default())?)?;
    let notes = (1..=18).map(|k| format!("{k}. A note of a length that is usual for notes."));
    let sheet = Sheet { notes: notes.collect(), ..demo::sheet(500.0) };
    let pages = lay_out(&[sheet], &demo::setup("a4"))?;
    std::fs::write(directory.join("notes2.pdf"), pdf(&pages, &Meta::default())?)?;
    for (name, width_mm, height_mm) in
        [("large", 420.0, 300.0), ("tall", 60.0, 170.0), ("wide", 170.0, 150.0)]
    {
        let mut drawing = Drawing::new();
        let rect = Rect::new(0.0, 0.0, width_mm, height_mm);
        drawing.rect(Pen::Cut, rect);
        drawing.add(Pen::Hole, Mark::Circle(Circle::new(rect.center(), width_mm / 3.0)));
        let sheet = Sheet { drawing, ..demo::sheet(100.0) };
        let pages = lay_out(&[sheet], &demo::setup("letter"))?;
        std::fs::write(directory.join(format!("{name}.pdf")), pdf(&pages, &Meta::default())?)?;
    }
    Ok(())
}
