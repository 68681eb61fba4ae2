//! The tables: heights to scribe for the edge, and the ladder of facets.

use super::{BladeView, LETTER_MM, count};
use knife::GroundSides;
use kurbo::Point;
use marks::{Drawing, FontFace, HAlign, Label, Pen, VAlign, lettering};
use units::LengthUnit;

/// Height of a table's title and of its figures, mm.
const TITLE_MM: f64 = 4.0;
const FIGURE_MM: f64 = 3.0;
/// White between two columns and above and below a row, mm.
const GUTTER_MM: f64 = 4.5;
const PAD_MM: f64 = 1.5;
/// From one line of what is said below a table to the next, mm.
const LEAD_MM: f64 = 4.2;
/// A table is no wider than this, mm.
const MAX_MM: f64 = 100.0;

/// A length in the maker's unit with the other in brackets.
fn both(view: &BladeView<'_>, mm: f64) -> String {
    let (mm_text, inch) = (units::show_number(mm, 2), units::show_number(mm / 25.4, 3));
    match view.knife.unit {
        LengthUnit::Millimetre => format!("{mm_text} [{inch}]"),
        LengthUnit::Inch => format!("{inch} [{mm_text}]"),
    }
}

fn unit_words(view: &BladeView<'_>) -> &'static str {
    match view.knife.unit {
        LengthUnit::Millimetre => "mm [in]",
        LengthUnit::Inch => "in [mm]",
    }
}

/// A small volume in the knife's unit.
fn volume(view: &BladeView<'_>, mm3: f64) -> String {
    match view.knife.unit {
        LengthUnit::Inch => units::show_number(mm3 / 25.4_f64.powi(3), 4),
        LengthUnit::Millimetre => units::show_number(mm3, 0),
    }
}

fn volume_unit(view: &BladeView<'_>) -> &'static str {
    match view.knife.unit {
        LengthUnit::Inch => "in³",
        LengthUnit::Millimetre => "mm³",
    }
}

pub(super) fn facets(view: &BladeView<'_>) -> Option<Drawing> {
    let filing = view.reckoning.filing.as_ref()?;
    if filing.facets.is_empty() {
        return None;
    }
    let mut heads = vec![
        ["Facet".to_owned(), String::new()],
        ["Angle".to_owned(), "per side".to_owned()],
        ["Height, plunge".to_owned(), unit_words(view).to_owned()],
        ["Takes off".to_owned(), volume_unit(view).to_owned()],
        ["Share".to_owned(), "%".to_owned()],
    ];
    if filing.time.is_some() {
        heads.push(["Time".to_owned(), "min".to_owned()]);
    }
    let whole: f64 = filing.facets.iter().map(|facet| facet.volume_mm3).sum();
    let mut rows: Vec<Vec<String>> = (1..)
        .zip(&filing.facets)
        .map(|(number, facet): (u32, _)| {
            let mut row = vec![
                number.to_string(),
                units::show_angle(facet.angle_deg, 2),
                both(view, facet.height_mm),
                volume(view, facet.volume_mm3),
                units::show_number(100.0 * facet.volume_mm3 / whole, 1),
            ];
            row.extend(filing.time.map(|time| minutes(facet.volume_mm3 / time.rate_mm3)));
            row
        })
        .collect();
    let mut sum = vec!["all".to_owned(), String::new(), String::new()];
    sum.extend([volume(view, whole), "100".to_owned()]);
    sum.extend(filing.time.map(|time| minutes(time.whole_min)));
    rows.push(sum);
    let faces =
        if view.ground_face().is_some() { "the ground face" } else { "both faces together" };
    let before = if view.knife.swedge.is_some() { ", before the swedge is cut" } else { "" };
    let mut format_against = vec![format!("Stock removed on the whole blade, {faces}{before}.")];
    format_against.push(match filing.time {
        Some(time) => format!(
            "Time by your own timed filing, {} mm³ a minute; {} min are left. No published rate of \
             filing exists.",
            units::show_number(time.rate_mm3, 0),
            minutes(time.left_min)
        ),
        None => {
            "No published rate of filing exists: time ten minutes of your own and type what they \
                 did, and times are told here."
                .to_owned()
        }
    });
    Some(table("Facets", &heads, &rows, &format_against))
}

fn minutes(minutes: f64) -> String {
    units::show_number(minutes, if minutes < 10.0 { 1 } else { 0 })
}

pub(super) fn centre_line(view: &BladeView<'_>) -> Option<Drawing> {
    let filing = view.reckoning.filing.as_ref()?;
    let stated = view.knife.bevel?;
    let [low, high] = filing.edge_lines_mm;
    let row = |name: &str, mm: f64| vec![name.to_owned(), both(view, mm)];
    let heads = [
        ["Scribe over one face".to_owned(), String::new()],
        ["Height".to_owned(), unit_words(view).to_owned()],
    ];
    let mut rows = Vec::new();
    let mut format_against = Vec::new();
    if stated.sides == GroundSides::Both {
        rows.push(row("lower edge line", low));
        rows.push(row("centre line", f64::midpoint(low, high)));
        rows.push(row("upper edge line", high));
        format_against.push("File both faces to their edge line, never past it.".to_owned());
    } else {
        rows.push(row("edge line, over the face not ground", high));
    }
    rows.push(row("stock", view.knife.bar.thickness_mm));
    rows.push(row("edge before heat treatment", stated.edge_thickness_mm));
    if stated.sides == GroundSides::Both {
        format_against.push(match &filing.centre_drill {
            Some(drill) => format!(
                "A {drill} drill is as thick as the stock: laid beside it on a flat plate, its point \
                 marks the centre line."
            ),
            None => "No drill on hand is as thick as the stock: scribe the centre from both faces and \
                     take the middle."
                .to_owned(),
        });
    }
    Some(table("Edge and centre line", &heads, &rows, &format_against))
}

/// A table with its title above and what is said below it, the upper left corner at the origin.
fn table(
    title: &str,
    heads: &[[String; 2]],
    rows: &[Vec<String>],
    format_against: &[String],
) -> Drawing {
    let mut drawing = Drawing::new();
    let wide = |text: &str, face: FontFace, height: f64| lettering::width_mm(text, face, height);
    let widths: Vec<f64> = (0..heads.len())
        .map(|i| {
            let head = heads[i].iter().map(|text| wide(text, FontFace::Bold, LETTER_MM));
            let cells = rows.iter().map(|row| wide(&row[i], FontFace::Regular, FIGURE_MM));
            head.chain(cells).fold(0.0, f64::max)
        })
        .collect();
    let right: Vec<f64> = (0..widths.len())
        .map(|i| widths[..=i].iter().sum::<f64>() + count(i) * GUTTER_MM)
        .collect();
    let whole = right.last().copied().unwrap_or(0.0);
    // The first column holds names, the others figures.
    let put = |drawing: &mut Drawing, i: usize, top: f64, mut label: Label| {
        let (x, across) = if i == 0 { (0.0, HAlign::Start) } else { (right[i], HAlign::End) };
        label.at = Point::new(x, top);
        if !label.text.is_empty() {
            drawing.text(Pen::Lettering, label.anchored(across, VAlign::Top));
        }
    };
    let rule = |drawing: &mut Drawing, pen: Pen, y: f64| {
        drawing.line(pen, Point::new(0.0, y), Point::new(whole, y));
    };
    let title = Label::new(title, Point::ORIGIN, TITLE_MM).bold();
    drawing.text(Pen::Lettering, title.anchored(HAlign::Start, VAlign::Top));
    let mut y = -TITLE_MM - 3.0;
    rule(&mut drawing, Pen::Lettering, y);
    y -= PAD_MM;
    for (i, head) in heads.iter().enumerate() {
        for (k, text) in head.iter().enumerate() {
            let top = y - count(k) * (LETTER_MM + 1.5);
            let label = Label::new(text.as_str(), Point::ORIGIN, LETTER_MM).bold();
            put(&mut drawing, i, top, label);
        }
    }
    y -= 2.0 * LETTER_MM + 1.5 + PAD_MM;
    rule(&mut drawing, Pen::Lettering, y);
    for (k, row) in rows.iter().enumerate() {
        if k > 0 {
            rule(&mut drawing, Pen::Frame, y);
        }
        y -= PAD_MM;
        for (i, text) in row.iter().enumerate() {
            put(&mut drawing, i, y, Label::new(text.as_str(), Point::ORIGIN, FIGURE_MM));
        }
        y -= FIGURE_MM + PAD_MM;
    }
    rule(&mut drawing, Pen::Lettering, y);
    y -= 1.8;
    for text in format_against {
        for line in wrapped(text, whole.clamp(60.0, MAX_MM)) {
            let label = Label::new(line, Point::new(0.0, y), LETTER_MM);
            drawing.text(Pen::Lettering, label.anchored(HAlign::Start, VAlign::Top));
            y -= LEAD_MM;
        }
    }
    drawing
}

/// A text in lines no wider than this.
fn wrapped(text: &str, max_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match longer {
            Some(longer)
                if lettering::width_mm(&longer, FontFace::Regular, LETTER_MM) <= max_mm =>
            {
                if let Some(last) = lines.last_mut() {
                    *last = longer;
                }
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
