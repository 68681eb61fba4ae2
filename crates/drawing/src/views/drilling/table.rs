//! The scribe table: a row for each hole from the reference end on; another for tip, heel and
//! lines.

use super::stations::{first, second};
use crate::views::drills::{drill_name, shortened};
use knife::Knife;
use kurbo::Point;
use marks::{Drawing, FontFace, HAlign, Label, Pen, VAlign, lettering};
use reckon::scribe::{ScribedHole, describe_face_up, edge_label, end_label, reference_label};
use reckon::{HoleFigures, Reckoning};
use units::{InchFraction, LengthUnit};

/// Heights of the title and of figures, mm.
const TITLE_MM: f64 = 4.0;
const FIGURE_MM: f64 = 2.5;
/// White between two columns, and above and below a row's words, mm.
const GUTTER_MM: f64 = 2.2;
const PAD_MM: f64 = 1.0;
/// A wider table leaves out the holes' names: A5 lying takes it so, mm.
const MAX_MM: f64 = 186.0;
/// White over what is said below, mm.
const LEAD_MM: f64 = 1.4;
/// Rows of one table; more go into further ones, so that each stays whole on its page.
const ROWS: usize = 11;
/// The table of marks has only the first columns: name, and from edge and end.
const MARK_COLUMNS: usize = 4;
/// More holes than this are told by `numbers` only.
const MAX_HOLES: usize = 110;
/// Longer names of holes are cut short, characters.
const NAME_CHARS: usize = 12;
/// Fractions are told to this part of an inch.
const DIVISION: u32 = 64;

/// A cell: its figure, the same in the other unit, and what follows both.
#[derive(Clone, Debug, Default)]
struct Cell {
    big: String,
    beside: String,
    under: String,
}

/// A row of the table.
struct Row {
    cells: Vec<Cell>,
    /// Whether the first cell runs on over the second.
    wide: bool,
}

/// The scribe table in pieces that must each stay whole: the holes, then tip, heel and lines.
/// Empty when there is nothing to scribe.
pub fn drilling_tables(knife: &Knife, reckoning: &Reckoning) -> Vec<Drawing> {
    let (mut holes, marks) = (holes(knife, reckoning), marks(knife, reckoning));
    let heads = heads(knife);
    let mut columns = fitted(holes.iter().chain(&marks), &heads);
    if left(&columns, columns.len()) - GUTTER_MM > MAX_MM {
        // The numbers say enough.
        holes.iter_mut().for_each(|row| row.cells[0].under.clear());
        columns = fitted(holes.iter().chain(&marks), &heads);
    }
    let pieces = holes.chunks(ROWS).count();
    let mut tables = Vec::new();
    for (i, rows) in holes.chunks(ROWS).enumerate() {
        let title =
            if pieces == 1 { "Holes".to_owned() } else { format!("Holes, {} of {pieces}", i + 1) };
        let table = Table { title, heads: &heads, columns: &columns, rows };
        let said = if i + 1 == pieces { caption(reckoning) } else { Vec::new() };
        tables.push(table.drawn(knife, reckoning, said));
    }
    if !marks.is_empty() {
        let title = "Blank".to_owned();
        // Its first column names marks, not holes.
        let mut own = heads[..MARK_COLUMNS].to_vec();
        own.iter_mut().take(2).for_each(String::clear);
        let table = Table { title, heads: &own, columns: &columns, rows: &marks };
        tables.push(table.drawn(knife, reckoning, Vec::new()));
    }
    tables
}

fn heads(knife: &Knife) -> Vec<String> {
    let reference = knife.bar.reference;
    vec![
        "Hole".to_owned(),
        "Drill, line".to_owned(),
        format!("From the {}", edge_label(reference.edge)),
        format!("From the {}", end_label(reference.end)),
        "To spine".to_owned(),
        "To belly".to_owned(),
        "Along the row".to_owned(),
    ]
}

fn holes(knife: &Knife, reckoning: &Reckoning) -> Vec<Row> {
    let scribe = &reckoning.scribe;
    let mut rows: Vec<Row> = Vec::new();
    for number in scribe.row.iter().take(MAX_HOLES) {
        let hole = number.checked_sub(1).and_then(|i| reckoning.holes.get(i));
        let scribed = scribe.holes.iter().find(|scribed| scribed.number == *number);
        if let (Some(hole), Some(scribed)) = (hole, scribed) {
            rows.push(Row { cells: hole_cells(knife, hole, scribed), wide: false });
        }
    }
    rows
}

fn marks(knife: &Knife, reckoning: &Reckoning) -> Vec<Row> {
    let (reference, unit) = (knife.bar.reference, knife.unit);
    let mut rows: Vec<Row> = Vec::new();
    for mark in &reckoning.scribe.marks {
        let edge = if mark.kind.is_line() {
            Cell::default()
        } else {
            placed(mark.from.edge_mm(reference.edge), unit)
        };
        let mut name = mark.kind.label().to_owned();
        name[..1].make_ascii_uppercase();
        let name = Cell { big: name, ..Cell::default() };
        let end = placed(mark.from.end_mm(reference.end), unit);
        let cells = vec![name, Cell::default(), edge, end];
        rows.push(Row { cells, wide: true });
    }
    rows
}

fn hole_cells(knife: &Knife, hole: &HoleFigures, scribed: &ScribedHole) -> Vec<Cell> {
    let (reference, unit) = (knife.bar.reference, knife.unit);
    let plain = |mm: Option<f64>, under: String| match mm {
        Some(mm) => Cell { big: first(mm, unit), beside: under, under: String::new() },
        None => Cell { big: "–".to_owned(), ..Cell::default() },
    };
    let named = hole.name.trim();
    let named = if named.is_empty() { hole.kind.label() } else { named };
    let along = scribed.before.map(|(_, mm)| plain(Some(mm), second(mm, unit)));
    vec![
        Cell {
            big: hole.number.to_string(),
            under: shortened(named, NAME_CHARS),
            ..Cell::default()
        },
        Cell { big: drill_name(hole), under: scribed.line.to_string(), ..Cell::default() },
        placed(scribed.from.edge_mm(reference.edge), unit),
        placed(scribed.from.end_mm(reference.end), unit),
        plain(scribed.spine_mm, String::new()),
        plain(scribed.belly_mm, String::new()),
        along.unwrap_or_else(|| plain(None, String::new())),
    ]
}

/// A distance from the bar: its figure, the other unit, and for inches the nearest 64th with
/// what it leaves out.
fn placed(mm: f64, unit: LengthUnit) -> Cell {
    let under = match unit {
        LengthUnit::Millimetre => String::new(),
        LengthUnit::Inch => sixty_fourths(mm),
    };
    Cell { big: first(mm, unit), beside: second(mm, unit), under }
}

/// `47/64 −0.004`; an exact fraction alone.
fn sixty_fourths(mm: f64) -> String {
    let near = InchFraction::nearest(mm, DIVISION);
    match near.rest_text() {
        Some(rest) => format!("{} {rest}", near.text()),
        None => near.text(),
    }
}

fn width(text: &str, face: FontFace, height_mm: f64) -> f64 {
    lettering::width_mm(text, face, height_mm)
}

/// White between a figure, its other unit and what follows, mm.
const BESIDE_MM: f64 = 1.3;

/// A column: the widths of its figures, of their other units and of what follows, mm.
#[derive(Clone, Copy, Debug, Default)]
struct Column {
    parts: [f64; 3],
}

impl Column {
    fn takes(&mut self, cell: &Cell) {
        let words = [&cell.big, &cell.beside, &cell.under];
        for (part, text) in self.parts.iter_mut().zip(words) {
            *part = part.max(width(text, FontFace::Regular, FIGURE_MM));
        }
    }

    /// Where each part begins and ends.
    fn places(&self) -> [(f64, f64); 3] {
        let mut end = 0.0;
        self.parts.map(|part| {
            let white = if part > 0.0 && end > 0.0 { BESIDE_MM } else { 0.0 };
            let begin = end + white;
            end = begin + part;
            (begin, end)
        })
    }

    fn width(&self) -> f64 {
        self.places()[2].1
    }
}

fn fitted<'a>(rows: impl Iterator<Item = &'a Row>, heads: &[String]) -> Vec<Column> {
    let mut columns = vec![Column::default(); heads.len()];
    let mut wide: f64 = 0.0;
    for row in rows {
        for (i, cell) in row.cells.iter().enumerate() {
            if row.wide && i == 0 {
                wide = wide.max(width(&cell.big, FontFace::Regular, FIGURE_MM));
            } else {
                columns[i].takes(cell);
            }
        }
    }
    for (column, head) in columns.iter_mut().zip(heads) {
        let head = width(head, FontFace::Bold, FIGURE_MM);
        column.parts[0] += (head - column.width()).max(0.0);
    }
    // A name that runs on over the second column may need both widened.
    let lack = wide - columns[0].width() - GUTTER_MM - columns[1].width();
    columns[1].parts[2] += lack.max(0.0);
    columns
}

/// One table to be drawn.
struct Table<'a> {
    title: String,
    heads: &'a [String],
    columns: &'a [Column],
    rows: &'a [Row],
}

impl Table<'_> {
    /// The table with its upper left corner at the origin, its words as large as they print, and
    /// what is said below it.
    fn drawn(&self, knife: &Knife, reckoning: &Reckoning, said: Vec<String>) -> Drawing {
        let mut drawing = Drawing::new();
        let columns = self.columns;
        let whole = left(columns, self.heads.len()) - GUTTER_MM;
        let at = Point::ORIGIN;
        let title = Label::new(self.title.as_str(), at, TITLE_MM).bold();
        let beside = width(&self.title, FontFace::Bold, TITLE_MM) + 5.0;
        drawing.text(Pen::Lettering, title.anchored(HAlign::Start, VAlign::Top));
        let face = describe_face_up(knife, reckoning.profile.as_ref());
        let from = format!("from the {}; {face}", reference_label(knife.bar.reference));
        let from = Label::new(from, Point::new(beside, -TITLE_MM), FIGURE_MM);
        drawing.text(Pen::Lettering, from);
        let mut y = -TITLE_MM - 2.5;
        line(&mut drawing, Pen::Lettering, whole, y);
        y -= PAD_MM;
        for (i, word) in self.heads.iter().enumerate().filter(|(_, word)| !word.is_empty()) {
            let label = Label::new(word.as_str(), Point::new(left(columns, i), y), FIGURE_MM);
            drawing.text(Pen::Lettering, label.bold().anchored(HAlign::Start, VAlign::Top));
        }
        y -= FIGURE_MM + PAD_MM;
        line(&mut drawing, Pen::Lettering, whole, y);
        for (i, row) in self.rows.iter().enumerate() {
            if i > 0 {
                line(&mut drawing, Pen::Frame, whole, y);
            }
            y = row_drawn(&mut drawing, columns, row, y);
        }
        line(&mut drawing, Pen::Lettering, whole, y);
        for words in said {
            y -= LEAD_MM + 1.0;
            let label = Label::new(words, Point::new(0.0, y), FIGURE_MM);
            drawing.text(Pen::Lettering, label.anchored(HAlign::Start, VAlign::Top));
            y -= FIGURE_MM;
        }
        drawing
    }
}

/// Draws a row below `y`; returns its foot. Names stand left, figures and their other units right
/// in their part of the column, so that points stand below points.
fn row_drawn(drawing: &mut Drawing, columns: &[Column], row: &Row, y: f64) -> f64 {
    let base = y - PAD_MM - FIGURE_MM;
    for (i, (cell, column)) in row.cells.iter().zip(columns).enumerate() {
        let places = column.places();
        let words = [&cell.big, &cell.beside, &cell.under];
        for (k, text) in words.into_iter().enumerate().filter(|(_, text)| !text.is_empty()) {
            let is_name = i < 2 || k == 2;
            let (from, across) =
                if is_name { (places[k].0, HAlign::Start) } else { (places[k].1, HAlign::End) };
            let at = Point::new(left(columns, i) + from, base);
            let label = Label::new(text.as_str(), at, FIGURE_MM);
            drawing.text(Pen::Lettering, label.anchored(across, VAlign::Base));
        }
    }
    base - PAD_MM
}

fn left(columns: &[Column], i: usize) -> f64 {
    columns[..i].iter().map(|column| column.width() + GUTTER_MM).sum()
}

fn line(drawing: &mut Drawing, pen: Pen, whole: f64, y: f64) {
    drawing.line(pen, Point::new(0.0, y), Point::new(whole, y));
}

/// What can't be told in the table, below it.
fn caption(reckoning: &Reckoning) -> Vec<String> {
    let more = reckoning.holes.len().saturating_sub(MAX_HOLES);
    if more == 0 {
        return Vec::new();
    }
    vec![format!("{more} more holes: blankwright numbers tells them all.")]
}
