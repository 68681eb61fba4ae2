//! Cards as blocks for paper: words in columns, with boxes to tick and signs of caution.

use crate::lettering::broken;
use crate::{Across, Drawing, Face, Label, Mark, Pen, Upright};
use kurbo::{BezPath, Point, Rect};
use reckon::card::{Card, Line, LineKind, Part};

/// A block goes on both letter and A4 upright, within margins and title, mm.
const WIDE_MM: f64 = 188.0;
const HIGH_MM: f64 = 240.0;
/// White between columns, mm.
const GUTTER_MM: f64 = 8.0;
/// Heights of capitals that are tried, the largest first, mm; the least is the smallest of ISO 3098.
const HEIGHTS_MM: [f64; 9] = [2.6, 2.5, 2.4, 2.3, 2.2, 2.1, 2.0, 1.9, 1.8];
/// Sources are set so much smaller.
const SMALL: f64 = 0.8;
/// From one base line to the next, in heights of the capitals.
const LEADING: f64 = 1.55;
/// Where words begin beside a box, in heights of the capitals.
const INDENT: f64 = 2.0;

/// A card as blocks, each a page's worth in two columns, set as large as goes into `most` blocks;
/// in the smallest size where it needs more.
pub(super) fn card_blocks(card: &Card, most: usize) -> Vec<Drawing> {
    let mut blocks = Vec::new();
    for height_mm in HEIGHTS_MM {
        blocks = set(card, height_mm);
        if blocks.len() <= most {
            break;
        }
    }
    blocks
}

/// What stands together: never parted by a column's end.
struct Piece {
    drawing: Drawing,
    high_mm: f64,
    /// It must not stand last in a column.
    leads: bool,
}

fn set(card: &Card, height_mm: f64) -> Vec<Drawing> {
    let wide_mm = (WIDE_MM - GUTTER_MM) / 2.0;
    let pieces = pieces(card, height_mm, wide_mm);
    let mut blocks: Vec<Drawing> = Vec::new();
    let (mut column, mut y) = (1, -HIGH_MM);
    for (i, piece) in pieces.iter().enumerate() {
        let follower = pieces.get(i + 1).filter(|_| piece.leads).map_or(0.0, |next| next.high_mm);
        if y - piece.high_mm - follower < -HIGH_MM {
            if column == 1 {
                blocks.push(Drawing::new());
            }
            (column, y) = (1 - column, 0.0);
        }
        let x = if column == 0 { 0.0 } else { wide_mm + GUTTER_MM };
        if let Some(block) = blocks.last_mut() {
            block.extend(piece.drawing.moved(kurbo::Affine::translate((x, y))));
        }
        y -= piece.high_mm;
    }
    blocks
}

fn pieces(card: &Card, height_mm: f64, wide_mm: f64) -> Vec<Piece> {
    let sources = card.sources();
    let mut pieces = Vec::new();
    for (number, part) in (1..).zip(&card.parts) {
        pieces.push(title(number, part, height_mm, wide_mm));
        pieces.extend(part.lines.iter().map(|line| set_line(line, &sources, height_mm, wide_mm)));
    }
    let small = height_mm * SMALL;
    let mut told = Vec::new();
    if card.has_practice() {
        told.push("* Common practice or this program's choice, no source.".to_owned());
    }
    told.extend((1..).zip(&sources).map(|(n, source)| format!("[{n}] {source}")));
    if !told.is_empty() {
        let heading = Part { title: "What the figures rest on".to_owned(), lines: Vec::new() };
        pieces.push(title(0, &heading, height_mm, wide_mm));
    }
    pieces.extend(told.iter().map(|text| words(text, small, wide_mm, 0.0)));
    pieces
}

fn title(number: usize, part: &Part, height_mm: f64, wide_mm: f64) -> Piece {
    let mut drawing = Drawing::new();
    let text = if number == 0 { part.title.clone() } else { format!("{number}  {}", part.title) };
    let top = -1.1 * height_mm;
    let at = Point::new(0.0, top - 1.2 * height_mm);
    drawing.text(Pen::Lettering, Label::new(text, at, 1.2 * height_mm).bold());
    let under = at.y - 0.6 * height_mm;
    drawing.line(Pen::Frame, Point::new(0.0, under), Point::new(wide_mm, under));
    Piece { drawing, high_mm: -under + 0.2 * height_mm, leads: true }
}

/// A text from the left edge on, its lines indented.
fn words(text: &str, height_mm: f64, wide_mm: f64, indent_mm: f64) -> Piece {
    let mut drawing = Drawing::new();
    let lines = broken(text, Face::Regular, height_mm, wide_mm - indent_mm);
    let mut y = -0.5 * height_mm - height_mm;
    for line in lines {
        drawing.text(Pen::Lettering, Label::new(line, Point::new(indent_mm, y), height_mm));
        y -= LEADING * height_mm;
    }
    Piece { drawing, high_mm: -y - (LEADING - 0.6) * height_mm, leads: false }
}

fn set_line(line: &Line, sources: &[String], height_mm: f64, wide_mm: f64) -> Piece {
    let mut piece = words(&line.text(sources), height_mm, wide_mm, INDENT * height_mm);
    // As high as the capitals of the first line, and a little over.
    let (top, foot) = (-0.4 * height_mm, -1.6 * height_mm);
    let side = top - foot;
    match line.kind {
        LineKind::Step | LineKind::Have => {
            let tick = Rect::new(0.0, foot, side, top);
            piece.drawing.add(Pen::Lettering, Mark::Path(kurbo::Shape::to_path(&tick, 0.01)));
        }
        LineKind::Note => {}
        LineKind::Caution => {
            let mut path = BezPath::new();
            path.move_to((-0.1 * side, foot));
            path.line_to((1.1 * side, foot));
            path.line_to((0.5 * side, top + 0.1 * side));
            path.close_path();
            piece.drawing.add(Pen::Lettering, Mark::Path(path));
            let at = Point::new(0.5 * side, foot + 0.14 * side);
            let sign = Label::new("!", at, 0.62 * side).bold();
            piece.drawing.text(Pen::Lettering, sign.anchored(Across::Middle, Upright::Base));
        }
    }
    piece
}
