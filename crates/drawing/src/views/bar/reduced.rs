//! A bar seen whole on one page, reduced and plainly marked so, with a table of its blanks.

use super::nest::{blanks, named, shown_mm, steel};
use super::{end_word, station_text};
use crate::views::reduced::scaled;
use knife::Knife;
use kurbo::Point;
use marks::{Drawing, HAlign, Label, Pen, VAlign, lettering};
use reckon::{Nest, NestBar};

/// So wide may the picture and its table be, mm: there is room for that on any paper.
const ROOM_MM: f64 = 160.0;
/// Height of the table's letters, mm.
const LETTER_MM: f64 = 2.5;
/// Height of a row of the table, mm.
const ROW_MM: f64 = 4.6;
/// Rows in one column of the table.
const ROWS: usize = 26;
/// White between columns, mm.
const COLUMN_GAP_MM: f64 = 9.0;

/// The whole bar reduced, a banner that says so, and each blank's stations in a table.
pub fn nest_overview(knives: &[&Knife], nest: &Nest, bar: &NestBar) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(first) = knives.first() else { return drawing };
    let end = shown_mm(bar);
    // The largest whole scale with room on a page: nothing is measured off this picture.
    let scale = (end / ROOM_MM).ceil().max(2.0);
    let by = 1.0 / scale;
    let mut full = steel(nest.width_mm, end, bar.length_mm);
    full.extend(blanks(knives, bar, (0.0, end)));
    // Centre marks would be a blot.
    full.items.retain(|item| item.pen != Pen::Centre);
    drawing.extend(scaled(&full, by, Pen::Dimension));
    for (number, blank) in (1_u32..).zip(&bar.blanks) {
        let middle = blank.bar_from_knife * centre(knives, blank.blank);
        let at = Point::new(middle.x * by, middle.y * by);
        let label = Label::new(number.to_string(), at, LETTER_MM.min(0.3 * nest.width_mm * by))
            .anchored(HAlign::Middle, VAlign::Middle)
            .bold();
        drawing.text(Pen::Lettering, label);
    }
    let top = nest.width_mm * by + 7.0;
    let banner = format!("REDUCED 1 : {scale:.0} – NOT FOR TRACING");
    drawing.text(Pen::Lettering, Label::new(banner, Point::new(0.0, top), 5.0).bold());
    let unit = match first.unit {
        units::LengthUnit::Millimetre => " in mm",
        units::LengthUnit::Inch => "",
    };
    let head = format!("Stations{unit} from the {} end:", end_word(first.bar.reference));
    drawing.text(Pen::Lettering, Label::new(head, Point::new(0.0, -8.0), LETTER_MM));
    drawing.extend(table(knives, bar, -8.0 - 1.4 * ROW_MM));
    drawing
}

/// The middle of a knife's outline, in its own plane.
fn centre(knives: &[&Knife], blank: usize) -> Point {
    let outline = knives.get(blank).and_then(|knife| knife.profile.outline().ok());
    outline.map_or(Point::ORIGIN, |outline| outline.bounds().center())
}

fn table(knives: &[&Knife], bar: &NestBar, top: f64) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(first) = knives.first() else { return drawing };
    let rows: Vec<(String, String)> = (1..)
        .zip(&bar.blanks)
        .map(|(number, blank)| {
            let (near, far) = blank.stations_mm(bar, first.bar.reference);
            let name = knives.get(blank.blank).map_or("", |knife| knife.name.as_str());
            let stations = [near, far].map(|mm| station_text(mm, first.unit)).join(" to ");
            (named(number, name, &blank.orientation_label()), stations)
        })
        .collect();
    let wide = |text: &str| lettering::width_mm(text, marks::FontFace::Regular, LETTER_MM);
    let mut x = 0.0;
    let mut message = 0;
    for column in rows.chunks(ROWS) {
        let names = column.iter().map(|row| wide(&row.0)).fold(0.0, f64::max);
        let stations = column.iter().map(|row| wide(&row.1)).fold(0.0, f64::max);
        let right = x + names + 4.0 + stations;
        if message > 0 && right > ROOM_MM {
            let rest = rows.len() - message;
            let words = format!("and {rest} more: their stations stand on the true-size sheet");
            #[expect(clippy::cast_precision_loss, reason = "a handful of rows")]
            let y = top - ROW_MM * ROWS as f64;
            drawing.text(Pen::Lettering, Label::new(words, Point::new(0.0, y), LETTER_MM));
            break;
        }
        message += column.len();
        let mut y = top;
        for (name, place) in column {
            drawing.text(Pen::Lettering, Label::new(name, Point::new(x, y), LETTER_MM));
            let label = Label::new(place, Point::new(right, y), LETTER_MM)
                .anchored(HAlign::End, VAlign::Base);
            drawing.text(Pen::Lettering, label);
            drawing.line(Pen::Frame, Point::new(x, y - 1.2), Point::new(right, y - 1.2));
            y -= ROW_MM;
        }
        x = right + COLUMN_GAP_MM;
    }
    drawing
}
