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

/// Heights of the title, of figures and of what stands under them, mm.
const TITLE_MM: f64 = 4.0;
const BIG_MM: f64 = 3.5;
const SMALL_MM: f64 = 2.5;
/// White between two columns, and above and below a row's words, mm.
const GUTTER_MM: f64 = 5.0;
const PAD_MM: f64 = 1.7;
/// White between a row's two lines, mm.
const LEAD_MM: f64 = 1.5;
/// Rows of one table; more go into further ones, so that each stays whole on its page.
const ROWS: usize = 11;
/// The table of marks has only the first columns: name, and from edge and end.
const MARK_COLUMNS: usize = 4;
/// More holes than this are told by `numbers` only.
const MAX_HOLES: usize = 110;
/// Longer names of holes are cut short, characters.
const NAME_CHARS: usize = 16;
/// Fractions are told to this part of an inch.
const DIVISION: u32 = 64;

/// A cell: its figure, what follows it in small letters, and what stands under both.
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
    let (holes, marks) = (holes(knife, reckoning), marks(knife, reckoning));
    let heads = heads(knife);
    let widths = widths(holes.iter().chain(&marks), &heads);
    let pieces = holes.chunks(ROWS).count();
    let mut tables = Vec::new();
    for (i, rows) in holes.chunks(ROWS).enumerate() {
        let title =
            if pieces == 1 { "Holes".to_owned() } else { format!("Holes, {} of {pieces}", i + 1) };
        let table = Table { title, heads: &heads, widths: &widths, rows };
        let said = if i + 1 == pieces { caption(knife, reckoning) } else { Vec::new() };
        tables.push(table.drawn(knife, reckoning, said));
    }
    if !marks.is_empty() {
        let title = "Blank".to_owned();
        let table = Table { title, heads: &heads[..MARK_COLUMNS], widths: &widths, rows: &marks };
        tables.push(table.drawn(knife, reckoning, Vec::new()));
    }
    tables
}

fn heads(knife: &Knife) -> Vec<[String; 2]> {
    let reference = knife.bar.reference;
    let head = |a: &str, b: &str| [a.to_owned(), b.to_owned()];
    vec![
        head("", ""),
        head("", ""),
        head("From the", edge_label(reference.edge)),
        head("From the", end_label(reference.end)),
        head("To the", "spine"),
        head("To the", "belly"),
        head("Along", "the row"),
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
        Some(mm) => Cell { big: first(mm, unit), beside: String::new(), under },
        None => Cell { big: "–".to_owned(), ..Cell::default() },
    };
    let bracketed = |mm: Option<f64>| plain(mm, mm.map_or_else(String::new, |mm| second(mm, unit)));
    let named = hole.name.trim();
    let named = if named.is_empty() { hole.kind.label() } else { named };
    let along = scribed.before.map(|(number, mm)| {
        let under = format!("{} from {number}", second(mm, unit));
        plain(Some(mm), under)
    });
    vec![
        Cell {
            big: hole.number.to_string(),
            under: shortened(named, NAME_CHARS),
            ..Cell::default()
        },
        Cell { big: drill_name(hole), under: format!("line {}", scribed.line), ..Cell::default() },
        placed(scribed.from.edge_mm(reference.edge), unit),
        placed(scribed.from.end_mm(reference.end), unit),
        bracketed(scribed.spine_mm),
        bracketed(scribed.belly_mm),
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

/// White between a figure and its other unit, mm.
const BESIDE_MM: f64 = 1.8;

fn cell_width(cell: &Cell) -> f64 {
    let beside = width(&cell.beside, FontFace::Regular, SMALL_MM);
    let beside = if cell.beside.is_empty() { 0.0 } else { beside + BESIDE_MM };
    let top = width(&cell.big, FontFace::Regular, BIG_MM) + beside;
    top.max(width(&cell.under, FontFace::Regular, SMALL_MM))
}

fn widths<'a>(rows: impl Iterator<Item = &'a Row>, heads: &[[String; 2]]) -> Vec<f64> {
    let mut widths: Vec<f64> = heads
        .iter()
        .map(|head| {
            head.iter().map(|words| width(words, FontFace::Bold, SMALL_MM)).fold(0.0, f64::max)
        })
        .collect();
    let mut wide: f64 = 0.0;
    for row in rows {
        for (i, cell) in row.cells.iter().enumerate() {
            if row.wide && i == 0 {
                wide = wide.max(cell_width(cell));
            } else {
                widths[i] = widths[i].max(cell_width(cell));
            }
        }
    }
    // A name that runs on over the second column may need both widened.
    widths[1] = widths[1].max(wide - widths[0] - GUTTER_MM);
    widths
}

/// One table to be drawn.
struct Table<'a> {
    title: String,
    heads: &'a [[String; 2]],
    widths: &'a [f64],
    rows: &'a [Row],
}

impl Table<'_> {
    /// The table with its upper left corner at the origin, its words as large as they print, and
    /// what is said below it.
    fn drawn(&self, knife: &Knife, reckoning: &Reckoning, said: Vec<String>) -> Drawing {
        let mut drawing = Drawing::new();
        let widths = self.widths;
        let whole = left(widths, self.heads.len()) - GUTTER_MM;
        let at = Point::ORIGIN;
        let title = Label::new(self.title.as_str(), at, TITLE_MM).bold();
        let beside = width(&self.title, FontFace::Bold, TITLE_MM) + 5.0;
        drawing.text(Pen::Lettering, title.anchored(HAlign::Start, VAlign::Top));
        let face = describe_face_up(knife, reckoning);
        let from = format!("from the {}; {face}", reference_label(knife.bar.reference));
        let from = Label::new(from, Point::new(beside, -TITLE_MM), SMALL_MM);
        drawing.text(Pen::Lettering, from);
        let mut y = -TITLE_MM - 3.5;
        line(&mut drawing, Pen::Lettering, whole, y);
        y -= PAD_MM;
        for (i, words) in self.heads.iter().enumerate() {
            for (k, word) in words.iter().enumerate() {
                let top = y - count(k) * (SMALL_MM + LEAD_MM);
                put(&mut drawing, (widths, i), top, Label::new(word.as_str(), at, SMALL_MM).bold());
            }
        }
        y -= 2.0 * SMALL_MM + LEAD_MM + PAD_MM;
        line(&mut drawing, Pen::Lettering, whole, y);
        for (i, row) in self.rows.iter().enumerate() {
            if i > 0 {
                line(&mut drawing, Pen::Frame, whole, y);
            }
            y = row_drawn(&mut drawing, widths, row, y);
        }
        line(&mut drawing, Pen::Lettering, whole, y);
        for words in said {
            y -= LEAD_MM + 1.0;
            let label = Label::new(words, Point::new(0.0, y), SMALL_MM);
            drawing.text(Pen::Lettering, label.anchored(HAlign::Start, VAlign::Top));
            y -= SMALL_MM;
        }
        drawing
    }
}

/// Draws a row below `y`; returns its foot.
fn row_drawn(drawing: &mut Drawing, widths: &[f64], row: &Row, y: f64) -> f64 {
    let at = Point::ORIGIN;
    let top = y - PAD_MM;
    let tall = row.cells.iter().any(|cell| !cell.under.is_empty());
    for (i, cell) in row.cells.iter().enumerate() {
        let under = top - BIG_MM - LEAD_MM;
        let small = |text: &str| Label::new(text, at, SMALL_MM);
        if i < 2 {
            put(drawing, (widths, i), top, Label::new(cell.big.as_str(), at, BIG_MM));
            put(drawing, (widths, i), under, small(&cell.under));
            continue;
        }
        // Figures stand right; the other unit after them on the same base line.
        let beside = width(&cell.beside, FontFace::Regular, SMALL_MM);
        let right = left(widths, i) + widths[i];
        if !cell.beside.is_empty() {
            let place = Point::new(right, top - BIG_MM);
            drawing.text(
                Pen::Lettering,
                small(&cell.beside).anchored(HAlign::End, VAlign::Base).moved_to(place),
            );
        }
        let big_right = if cell.beside.is_empty() { right } else { right - beside - BESIDE_MM };
        let big = Label::new(cell.big.as_str(), Point::new(big_right, top), BIG_MM);
        if !cell.big.is_empty() {
            drawing.text(Pen::Lettering, big.anchored(HAlign::End, VAlign::Top));
        }
        put(drawing, (widths, i), under, small(&cell.under));
    }
    top - BIG_MM - if tall { LEAD_MM + SMALL_MM } else { 0.0 } - PAD_MM
}

/// Puts words at the top left of a column, or right where the column holds figures.
fn put(drawing: &mut Drawing, (widths, i): (&[f64], usize), top: f64, label: Label) {
    if label.text.is_empty() {
        return;
    }
    let (x, across) = if i < 2 {
        (left(widths, i), HAlign::Start)
    } else {
        (left(widths, i) + widths[i], HAlign::End)
    };
    let label = label.anchored(across, VAlign::Top).moved_to(Point::new(x, top));
    drawing.text(Pen::Lettering, label);
}

fn left(widths: &[f64], i: usize) -> f64 {
    widths[..i].iter().map(|width| width + GUTTER_MM).sum()
}

fn line(drawing: &mut Drawing, pen: Pen, whole: f64, y: f64) {
    drawing.line(pen, Point::new(0.0, y), Point::new(whole, y));
}

fn caption(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let mut said = vec![
        match knife.unit {
            LengthUnit::Inch => {
                "Inches [millimetres]; under them the nearest 64th and what to add to it."
            }
            LengthUnit::Millimetre => "Millimetres [inches].",
        }
        .to_owned(),
        "Spine and belly: through the hole's centre, square to the bar. Along the row: centre to \
         centre."
            .to_owned(),
    ];
    let more = reckoning.holes.len().saturating_sub(MAX_HOLES);
    if more > 0 {
        said.push(format!("{more} more holes: blankwright numbers tells them all."));
    }
    said
}

#[expect(clippy::cast_precision_loss, reason = "a handful of columns")]
fn count(n: usize) -> f64 {
    n as f64
}
