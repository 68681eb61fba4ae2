//! The title block: the data fields of ISO 7200 (which makes it 180 mm wide; 110 mm leave the
//! knife its room on a sheet of letter), those a program can't know left white to be written in.
//! Date, revision and sheet number stand in every sheet's head.

use crate::views::drills::shortened;
use knife::Knife;
use kurbo::{Point, Rect};
use marks::{Drawing, FontFace, HAlign, Label, Pen, VAlign, lettering};
use reckon::Reckoning;
use units::LengthUnit;

/// Width of the block, mm.
const WIDE_MM: f64 = 110.0;
/// A row of fields, mm.
const ROW_MM: f64 = 8.6;
const HEAD_MM: f64 = 2.5;
const VALUE_MM: f64 = 3.0;
const PAD_MM: f64 = 1.0;

/// A field: its width, its name, what stands in it.
type Field = (f64, &'static str, String);

pub(super) fn title(knife: &Knife, reckoning: &Reckoning, scale: u32) -> Drawing {
    let both = |mm| units::show_in_both(mm, knife.unit);
    let unit = match knife.unit {
        LengthUnit::Inch => "inches [mm]",
        LengthUnit::Millimetre => "mm [inches]",
    };
    let size = reckoning
        .profile
        .as_ref()
        .map_or_else(String::new, |profile| format!("{} overall", both(profile.length_mm)));
    let white = String::new;
    let rows: [Vec<Field>; 6] = [
        vec![(110.0, "Title", knife.name.clone())],
        vec![(80.0, "Supplementary title", size), (30.0, "Document type", "Plan".to_owned())],
        vec![
            (66.0, "Material", format!("{}, {}", knife.bar.grade, both(knife.bar.thickness_mm))),
            (14.0, "Scale", format!("1:{scale}")),
            (30.0, "Figures", unit.to_owned()),
        ],
        vec![
            (46.0, "Identification number", white()),
            (20.0, "Revision", white()),
            (20.0, "Language", "en".to_owned()),
            (24.0, "Sheet", "see head".to_owned()),
        ],
        vec![
            (37.0, "Created by", white()),
            (37.0, "Approved by", white()),
            (36.0, "Document status", white()),
        ],
        vec![(70.0, "Legal owner", white()), (40.0, "Date of issue", white())],
    ];
    let mut drawing = Drawing::new();
    let mut y = 0.0;
    for row in rows {
        let mut x = 0.0;
        for (width, name, value) in row {
            field(&mut drawing, Rect::new(x, y - ROW_MM, x + width, y), name, &value);
            x += width;
        }
        y -= ROW_MM;
    }
    // A wider line round the whole.
    drawing.rect(Pen::Lettering, Rect::new(0.0, y, WIDE_MM, 0.0));
    drawing
}

fn field(drawing: &mut Drawing, cell: Rect, name: &str, value: &str) {
    drawing.rect(Pen::Frame, cell);
    let top = Point::new(cell.x0 + PAD_MM, cell.y1 - PAD_MM);
    let head = Label::new(name, top, HEAD_MM).anchored(HAlign::Start, VAlign::Top);
    drawing.text(Pen::Dimension, head);
    if value.is_empty() {
        return;
    }
    let room = cell.width() - 2.0 * PAD_MM;
    // Smaller before it is cut.
    let wide = lettering::width_mm(value, FontFace::Bold, VALUE_MM);
    let high = (VALUE_MM * room / wide).clamp(HEAD_MM, VALUE_MM);
    let mut chars = value.chars().count();
    let mut shown = value.to_owned();
    while lettering::width_mm(&shown, FontFace::Bold, high) > room && chars > 4 {
        chars -= 1;
        shown = shortened(value, chars);
    }
    let foot = Point::new(cell.x0 + PAD_MM, cell.y0 + PAD_MM);
    drawing.text(Pen::Lettering, Label::new(shown, foot, high).bold());
}
