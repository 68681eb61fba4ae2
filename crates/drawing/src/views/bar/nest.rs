//! Many blanks on one bar, at 1:1.

use super::{
    BarStation, DRILLING_NOTE, NAME_ROW_MM, chain_marks, end_word, from_end, note, station_row,
};
use crate::MarkPart as _;
use crate::views::Callout;
use crate::views::blank::{break_line, centre_mark};
use crate::views::callouts;
use knife::{Knife, PartId};
use kurbo::{BezPath, Circle, Line, Point, Rect};
use marks::{Drawing, Mark, Pen};
use reckon::{Nest, NestBar};

/// So much of the offcut is drawn, mm.
const OFFCUT_MM: f64 = 14.0;

/// The blanks of one bar at 1:1: outlines, holes, chains, saw cuts, numbers and stations. The
/// knives are those the laying was made of; the first one's unit and reference are used.
pub fn nest_sheet(knives: &[&Knife], nest: &Nest, bar: &NestBar) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(first) = knives.first() else { return drawing };
    let end = shown_mm(bar);
    drawing.extend(steel(nest.width_mm, end, bar.length_mm));
    drawing.extend(blanks(knives, bar, (0.0, end)));
    let mut names = Vec::new();
    let mut stations = Vec::new();
    for (number, blank) in (1..).zip(&bar.blanks) {
        let (x0, x1) = blank.along_mm;
        let name = knives.get(blank.blank).map_or("", |knife| knife.name.as_str());
        names.push(Callout {
            at: Point::new(0.5 * (x0 + x1), blank.across_mm.1),
            text: named(number, name, &blank.orientation_label()),
            part: None,
        });
        stations.extend([x0, x1].map(|x| BarStation {
            x,
            y: blank.across_mm.0,
            from_end_mm: from_end(x, bar.length_mm, first.bar.reference),
        }));
    }
    drawing.extend(callouts(names, nest.width_mm + NAME_ROW_MM));
    drawing.extend(station_row(&stations, 0.0, first.unit));
    let message = format!("Stations from the {} end.", end_word(first.bar.reference));
    drawing.text(Pen::Lettering, note(message, Point::new(0.0, -super::STATION_ROW_MM - 8.0)));
    if bar.offcut_mm > 0.5 {
        let kerf = nest.gap_mm.min(3.0);
        let mut cut = BezPath::new();
        for x in [bar.used_mm - kerf, bar.used_mm] {
            cut.move_to((x, 0.0));
            cut.line_to((x, nest.width_mm));
        }
        drawing.add_part(Pen::Waste, Mark::Path(cut), PartId::Bar);
        let middle = Point::new(bar.used_mm + 4.0, 0.5 * nest.width_mm);
        let label = note("cut off".to_owned(), middle)
            .anchored(marks::HAlign::Middle, marks::VAlign::Middle)
            .turned(90.0);
        drawing.text(Pen::Lettering, label);
    }
    drawing
}

/// Short lines for beside a bar's drawing.
pub fn nest_notes(knives: &[&Knife], nest: &Nest, bar: &NestBar) -> Vec<String> {
    let Some(first) = knives.first() else { return Vec::new() };
    let mut notes = vec![bar.describe(first.unit), nest.describe_bar(first.unit)];
    let chains: Vec<_> = bar.blanks.iter().filter_map(|blank| blank.chain.as_ref()).collect();
    if let Some(one) = chains.first() {
        let holes: usize = chains.iter().map(|chain| chain.holes.len()).sum();
        let depth: f64 = chains.iter().map(|chain| chain.depth_mm).sum();
        let cuts: usize = chains.iter().map(|chain| chain.cuts.len()).sum();
        let sawn = match cuts {
            0 => String::new(),
            1 => "; 1 relief saw cut".to_owned(),
            n => format!("; {n} relief saw cuts"),
        };
        notes.push(format!(
            "Chains: {holes} holes of {}, {} left to file; {} of steel to drill through{sawn}.",
            units::show_decimal(one.drilling.drill_mm, first.unit, (2, 3)),
            units::show_decimal(one.drilling.leave_mm, first.unit, (2, 3)),
            depth_text(depth, first.unit),
        ));
    }
    notes.push(DRILLING_NOTE.to_owned());
    notes
}

/// A long way through steel: in metres or feet.
fn depth_text(mm: f64, unit: units::LengthUnit) -> String {
    match unit {
        units::LengthUnit::Millimetre => format!("{} m", units::show_number(mm / 1000.0, 2)),
        units::LengthUnit::Inch => format!("{} ft", units::show_number(mm / 304.8, 1)),
    }
}

/// `3 · Heron, turned 180°`.
pub(super) fn named(number: usize, name: &str, lie: &str) -> String {
    let name = name.trim();
    let short: String = name.chars().take(24).collect();
    match (short.is_empty(), lie) {
        (true, "straight") => number.to_string(),
        (true, lie) => format!("{number} · {lie}"),
        (false, "straight") => format!("{number} · {short}"),
        (false, lie) => format!("{number} · {short}, {lie}"),
    }
}

/// How far along the bar is shown, mm: the blanks and a little of the offcut.
pub(super) fn shown_mm(bar: &NestBar) -> f64 {
    if bar.offcut_mm > OFFCUT_MM { bar.used_mm + OFFCUT_MM } else { bar.length_mm }
}

/// The bar from its left end on, broken off where the rest is not shown.
pub(super) fn steel(width_mm: f64, end: f64, length_mm: f64) -> Drawing {
    let mut drawing = Drawing::new();
    let mut add = |mark: Mark| drawing.add_part(Pen::Bar, mark, PartId::Bar);
    if end >= length_mm - 1e-9 {
        let rect = Rect::new(0.0, 0.0, length_mm, width_mm);
        add(Mark::Path(kurbo::Shape::to_path(&rect, 0.0)));
    } else {
        add(Line::new((0.0, 0.0), (end, 0.0)).into());
        add(Line::new((0.0, width_mm), (end, width_mm)).into());
        add(Line::new((0.0, 0.0), (0.0, width_mm)).into());
        add(Mark::Path(break_line(end, width_mm)));
    }
    drawing
}

/// Outlines and holes of the blanks of a bar, and their chains.
pub(super) fn blanks(knives: &[&Knife], bar: &NestBar, shown: (f64, f64)) -> Drawing {
    let mut drawing = Drawing::new();
    for blank in &bar.blanks {
        let Some(knife) = knives.get(blank.blank) else { continue };
        if let Some(chain) = &blank.chain {
            drawing.extend(chain_marks(chain, shown));
        }
        if let Ok(outline) = knife.profile.outline() {
            let path = blank.bar_from_knife * outline.to_path();
            drawing.add_part(Pen::Cut, Mark::Path(path), PartId::Profile);
        }
        for hole in &knife.holes {
            let circle = Circle::new(blank.bar_from_knife * hole.at, hole.diameter_mm / 2.0);
            for mark in centre_mark(circle) {
                drawing.add_part(Pen::Centre, mark, PartId::Hole(hole.id));
            }
            drawing.add_part(Pen::Hole, Mark::Circle(circle), PartId::Hole(hole.id));
        }
    }
    drawing
}
