//! The title: whose drawing, which sheet, which page.

use crate::text::{height_to_fit, shortened, wrap};
use crate::{Heading, Sheet};
use kurbo::{Point, Rect};
use marks::{Drawing, FontFace, HAlign, Label, Pen, VAlign, lettering::width_mm};

/// The title line's height: capitals, white and the hairline below, mm.
pub(crate) const LINE_MM: f64 = 9.0;

const NAME_MM: f64 = 5.0;
/// How far brackets and round capitals reach over the capitals' height, as a part of it.
const OVER: f64 = 0.06;
const SMALL_MM: f64 = 2.8;
/// The facts take no more than this part of a title line.
const FACTS_PART: f64 = 0.4;
/// Name and title stand in one row as long as their capitals are so high, mm.
const ONE_ROW_MM: f64 = 3.2;
/// Height of capitals where they stand in two rows, and the lower one's foot over the hairline, mm.
const ROW_MM: f64 = 3.2;
const ROW_FOOT_MM: f64 = 1.4;
const NOTE_MM: f64 = 2.5;
/// In the block a name that would be smaller than this is broken into lines instead, mm, and into
/// no more than so many.
const BROKEN_MM: f64 = 3.2;
const BROKEN: usize = 4;
const NOTES_WIDE_MM: f64 = 80.0;

/// Draws the title as one line along the top of `inner`; returns what it takes up.
pub(crate) fn line(
    drawing: &mut Drawing,
    inner: Rect,
    heading: &Heading,
    sheet: &Sheet,
    count: &str,
) -> Rect {
    let under = inner.y1 - LINE_MM;
    drawing.line(Pen::Frame, Point::new(inner.x0, under), Point::new(inner.x1, under));
    let facts = facts(heading, count, inner.width() * FACTS_PART);
    let facts_width = width_mm(&facts, FontFace::Regular, SMALL_MM);
    let gap = NAME_MM;
    let max = inner.width() - facts_width - 8.0;
    let whole = |h: f64| {
        width_mm(&heading.name, FontFace::Bold, h)
            + gap
            + width_mm(&sheet.title, FontFace::Regular, h)
    };
    // The gap stays as it is: only the words shrink.
    let height = NAME_MM * ((max - gap) / (whole(NAME_MM) - gap)).min(1.0);
    let base = inner.y1 - (1.0 + OVER) * NAME_MM;
    if height >= ONE_ROW_MM && !heading.name.is_empty() {
        let name_width = width_mm(&heading.name, FontFace::Bold, height);
        let start = Point::new(inner.x0, base);
        drawing.text(Pen::Lettering, Label::new(heading.name.as_str(), start, height).bold());
        let at = Point::new(inner.x0 + name_width + gap, base);
        drawing.text(Pen::Lettering, Label::new(sheet.title.as_str(), at, height));
        right(drawing, facts, Point::new(inner.x1, base));
    } else {
        two_rows(drawing, inner, heading, sheet, facts);
    }
    Rect::new(inner.x0, under, inner.x1, inner.y1)
}

/// A long name on a row of its own, as large as it goes; under it the title and the facts.
fn two_rows(drawing: &mut Drawing, inner: Rect, heading: &Heading, sheet: &Sheet, facts: String) {
    let facts_width = width_mm(&facts, FontFace::Regular, SMALL_MM);
    let lower = inner.y1 - LINE_MM + ROW_FOOT_MM;
    let max = inner.width() - facts_width - 8.0;
    let high = height_to_fit(&sheet.title, FontFace::Regular, ROW_MM, NOTE_MM, max);
    let title = shortened(&sheet.title, FontFace::Regular, high, max);
    drawing.text(Pen::Lettering, Label::new(title, Point::new(inner.x0, lower), high));
    right(drawing, facts, Point::new(inner.x1, lower));
    if !heading.name.is_empty() {
        let max = inner.width();
        let high = height_to_fit(&heading.name, FontFace::Bold, ROW_MM, NOTE_MM, max);
        let name = shortened(&heading.name, FontFace::Bold, high, max);
        let at = Point::new(inner.x0, inner.y1 - (1.0 + OVER) * high);
        drawing.text(Pen::Lettering, Label::new(name, at, high).bold());
    }
}

fn right(drawing: &mut Drawing, facts: String, at: Point) {
    let end = Label::new(facts, at, SMALL_MM);
    drawing.text(Pen::Lettering, end.anchored(HAlign::End, VAlign::Base));
}

/// Draws the title as a block in the upper right corner of `inner`, the sheet's notes below it;
/// returns what it takes up.
pub(crate) fn block(
    drawing: &mut Drawing,
    inner: Rect,
    heading: &Heading,
    sheet: &Sheet,
    count: &str,
) -> Rect {
    let max = inner.width() * 0.45;
    let head = [
        (heading.name.clone(), FontFace::Bold, NAME_MM, 3.0),
        (sheet.title.clone(), FontFace::Regular, 4.0, 3.0),
        (facts(heading, count, max), FontFace::Regular, SMALL_MM, 4.5),
    ];
    let notes_width = max.min(NOTES_WIDE_MM);
    let notes = sheet.notes.iter().flat_map(|note| {
        let mut lines = wrap(note, FontFace::Regular, NOTE_MM, notes_width);
        let last = lines.pop();
        let line = |text, below| (text, FontFace::Regular, NOTE_MM, below);
        let lines: Vec<_> = lines.into_iter().map(|text| line(text, 1.9)).collect();
        lines.into_iter().chain(last.map(|text| line(text, 2.7)))
    });
    let mut top = inner.y1 - OVER * NAME_MM;
    let mut foot = top;
    let mut width: f64 = 0.0;
    let head = head.into_iter().flat_map(|(text, face, wanted, below)| {
        let height = height_to_fit(&text, face, wanted, BROKEN_MM, max);
        let mut lines = wrap(&text, face, height, max);
        if lines.len() > BROKEN {
            lines.truncate(BROKEN);
            if let Some(last) = lines.pop() {
                lines.push(shortened(&(last + " …"), face, height, max));
            }
        }
        let last = lines.len().saturating_sub(1);
        let line = move |(i, text)| (text, face, height, if i == last { below } else { 1.6 });
        lines.into_iter().enumerate().map(line).collect::<Vec<_>>()
    });
    for (text, face, wanted, below) in head.chain(notes) {
        if text.is_empty() {
            continue;
        }
        let height = height_to_fit(&text, face, wanted, NOTE_MM, max);
        let text = shortened(&text, face, height, max);
        width = width.max(width_mm(&text, face, height));
        let mut label =
            Label::new(text, Point::new(inner.x1, top), height).anchored(HAlign::End, VAlign::Top);
        label.face = face;
        drawing.text(Pen::Lettering, label);
        foot = top - height;
        top = foot - below;
    }
    Rect::new(inner.x1 - width, foot - 0.5, inner.x1, inner.y1)
}

/// Date, revision and count, the date shortened so that all go into the width.
fn facts(heading: &Heading, count: &str, max_mm: f64) -> String {
    let count = match heading.revision.trim() {
        "" => count.to_owned(),
        revision => format!("Rev. {revision}   ·   {count}"),
    };
    let date = heading.date.as_deref().filter(|date| !date.is_empty());
    let Some(date) = date else { return count };
    let count = format!("   ·   {count}");
    let room = max_mm - width_mm(&count, FontFace::Regular, SMALL_MM);
    shortened(date, FontFace::Regular, SMALL_MM, room) + &count
}

#[cfg(test)]
mod tests {
    use super::*;
    use marks::{Item, Mark, lettering};

    #[test]
    fn a_title_is_cut_only_when_name_and_title_do_not_fit_together() {
        let title = "Heat, temper, finish, steps".to_owned();
        let sheet = Sheet {
            key: "heat",
            title: title.clone(),
            drawing: Drawing::new(),
            notes: vec![],
            inserts: vec![],
            ..Sheet::default()
        };
        // Upright A4, and A5 where the words must shrink a little.
        for (name, wide) in [("Camp knife", 190.0), ("Slicer", 128.0)] {
            let heading = Heading { name: name.into(), ..Heading::default() };
            let mut drawing = Drawing::new();
            let inner = Rect::new(10.0, 10.0, 10.0 + wide, 200.0);
            line(&mut drawing, inner, &heading, &sheet, "Sheet 3 of 11");
            for text in [name, title.as_str()] {
                let whole = |i: &Item| matches!(&i.mark, Mark::Text(label) if label.text == text);
                assert!(drawing.items.iter().any(whole), "{text} at {wide}");
            }
        }
    }

    #[test]
    fn long_dates_and_names_stay_on_the_page_and_apart() {
        let long = "Wide words ".repeat(28);
        let heading =
            Heading { name: long.clone(), date: Some(long.clone()), ..Heading::default() };
        let sheet = Sheet {
            key: "a",
            title: long,
            drawing: Drawing::new(),
            notes: vec![],
            inserts: vec![],
            ..Sheet::default()
        };
        for wide in [128.0, 190.0, 277.0] {
            let inner = Rect::new(10.0, 10.0, 10.0 + wide, 200.0);
            for write in [line, block] {
                let mut drawing = Drawing::new();
                write(&mut drawing, inner, &heading, &sheet, "Sheet 1 of 1");
                let boxes: Vec<Rect> = drawing
                    .items
                    .iter()
                    .filter_map(|item| match &item.mark {
                        Mark::Text(label) => Some(lettering::corners(label)),
                        _ => None,
                    })
                    .map(|c| c.iter().fold(Rect::from_points(c[0], c[0]), |r, p| r.union_pt(*p)))
                    .collect();
                assert!(boxes.len() >= 2);
                for (i, one) in boxes.iter().enumerate() {
                    assert!(one.x0 >= inner.x0 - 0.1 && one.x1 <= inner.x1 + 0.1, "{one:?}");
                    let apart = |other: &Rect| one.intersect(*other).area() < 1e-9;
                    assert!(boxes[i + 1..].iter().all(apart), "{boxes:?}");
                }
            }
        }
    }
}
