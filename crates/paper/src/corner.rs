//! The lower left corner of a full-size page: rules on both axes, squares in their corner, and
//! beside them what must be known before cutting. What is cut by has long rules and a square of
//! 50 mm; what is only measured from has slim rules and squares of 25 mm and 1 in.

use crate::number_format::number;
use crate::ruler::{
    self, Axis, BREADTH_MM, INCH_SIDE_MM, OVERHANG_MM, PROOF_MM, SLIM_LONG_MM, SLIM_MM,
    SLIM_SIDE_MM, SMALL_SQUARES_MM,
};
use crate::text::{height_to_fit, wrap};
use crate::{PageSetup, Sheet};
use kurbo::{Point, Rect};
use marks::{Drawing, FontFace, HAlign, Label, Pen, VAlign, lettering::width_mm};

/// What a person must tell the printer.
pub(crate) const ACTUAL_SIZE: &str = "Print at actual size (100 %)";

/// White between the rules and the proof square, mm.
const WHITE_MM: f64 = 4.5;

/// White between the level rule and a band of words, mm.
const BAND_WHITE_MM: f64 = 2.5;

/// Length of a short rule with its overhang: it carries 100 mm and 4 in.
pub(crate) const SHORT_MM: f64 = 102.0 + OVERHANG_MM;

const BOLD_MM: f64 = 3.2;
const TEXT_MM: f64 = 2.5;
const PITCH_MM: f64 = 4.4;
const FACTS_WIDE_MM: f64 = 66.0;
const NOTES_WIDE_MM: f64 = 84.0;
const NOTES_LEAST_MM: f64 = 40.0;
const GUTTER_MM: f64 = 8.0;

/// White between slim rules and small squares, mm.
const SLIM_WHITE_MM: f64 = 3.0;

/// What shows whether the printer kept the size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ScaleCheck {
    /// Rules along whole sides and a square of 50 mm.
    Large,
    /// Rules of 150 mm and 6 in on two sides, and squares of 25 mm and 1 in.
    Slim,
    /// Rules along whole sides and no square: the drawing itself is what is measured, and the
    /// words go into a band.
    Itself,
}

/// Keys of the sheets whose drawing is itself what is measured to prove its scale: it stands level
/// on one page with nothing but rules and a band of words beside it.
const MEASURED: &[&str] = &["mat"];

impl ScaleCheck {
    /// What a sheet carries.
    pub(crate) fn of(sheet: &Sheet, setup: &PageSetup) -> Self {
        if MEASURED.contains(&sheet.key) {
            Self::Itself
        } else if setup.large_check.contains(&sheet.key) {
            Self::Large
        } else {
            Self::Slim
        }
    }

    /// Breadth of its rules, mm.
    pub(crate) fn breadth_mm(self) -> f64 {
        match self {
            Self::Large | Self::Itself => BREADTH_MM,
            Self::Slim => SLIM_MM,
        }
    }
}

/// How the corner is built.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corner {
    /// What shows the scale.
    pub(crate) check: ScaleCheck,
    /// Length of the level rule with its overhang, mm; `None` for all there is.
    pub(crate) level_mm: Option<f64>,
    /// Length of the upright rule with its overhang, mm; `None` for all there is.
    pub(crate) upright_mm: Option<f64>,
    /// Where the words stand.
    pub(crate) text: TextPlacement,
}

/// Where the words of a corner stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum TextPlacement {
    /// Beside the square, level with its top: facts, then notes.
    Beside,
    /// In a column above the square: facts, then notes.
    Above,
    /// Beside the square, level with its foot: facts only.
    FactsLow,
}

/// What a corner takes up.
pub(crate) struct CornerBounds {
    /// The rules, the square, the words.
    pub(crate) rects: Vec<Rect>,
    /// The square and the words together.
    pub(crate) block: Rect,
}

/// A line of words to be set.
struct Line {
    text: String,
    face: FontFace,
    height_mm: f64,
    pitch_mm: f64,
}

/// Draws the corner into `inner`, the part of the page below its title.
pub(crate) fn draw(
    drawing: &mut Drawing,
    inner: Rect,
    corner: Corner,
    sheet: &Sheet,
    setup: &PageSetup,
    remarks: &[String],
) -> CornerBounds {
    if corner.check == ScaleCheck::Slim {
        draw_slim(drawing, inner, corner);
    } else {
        draw_large(drawing, inner, corner);
    }
    add_words(drawing, inner, corner, sheet, setup, remarks)
}

/// What the corner takes up, without drawing it: rules have hundreds of marks, and pages are tried
/// by the dozen.
pub(crate) fn measured(
    inner: Rect,
    corner: Corner,
    sheet: &Sheet,
    setup: &PageSetup,
    remarks: &[String],
) -> CornerBounds {
    add_words(&mut Drawing::new(), inner, corner, sheet, setup, remarks)
}

/// Draws the words of a corner; returns what all of it takes up.
fn add_words(
    drawing: &mut Drawing,
    inner: Rect,
    corner: Corner,
    sheet: &Sheet,
    setup: &PageSetup,
    remarks: &[String],
) -> CornerBounds {
    let (rules, square) = match corner.check {
        ScaleCheck::Large => large(inner, corner),
        ScaleCheck::Slim => slim(inner, corner),
        ScaleCheck::Itself => {
            let (rules, from) = large_rules(inner, corner);
            let foot = Point::new(from.x + WHITE_MM, from.y + BAND_WHITE_MM);
            let words = band(drawing, Rect::new(foot.x, foot.y, inner.x1, inner.y1), sheet, setup);
            return CornerBounds { rects: vec![rules[0], rules[1], words], block: words };
        }
    };
    let side = Rect::new(square.x1 + 6.0, square.y0, inner.x1, square.y1);
    let words = match corner.text {
        TextPlacement::Above => {
            let place = Rect::new(square.x0, square.y1 + WHITE_MM, square.x1, inner.y1);
            column(drawing, place, sheet, setup, remarks)
        }
        TextPlacement::Beside => beside(drawing, side, sheet, setup, remarks),
        TextPlacement::FactsLow => {
            let width = FACTS_WIDE_MM.min(side.width());
            let facts = facts(setup, remarks, width);
            let top = side.y0 + tall(&facts);
            set(drawing, Rect { y1: top, ..side }, &[(side.x0, facts)])
        }
    };
    CornerBounds { rects: vec![rules[0], rules[1], square, words], block: square.union(words) }
}

/// What long rules and the square of 50 mm take up.
fn large(inner: Rect, corner: Corner) -> ([Rect; 2], Rect) {
    let (rules, from) = large_rules(inner, corner);
    let square = Point::new(from.x + WHITE_MM, from.y + WHITE_MM);
    (rules, Rect::from_origin_size(square, (PROOF_MM, PROOF_MM)))
}

/// How long long rules are, level and upright, mm.
fn large_mm(inner: Rect, corner: Corner) -> (f64, f64) {
    let level_mm = corner.level_mm.unwrap_or(f64::MAX).min(inner.width() - BREADTH_MM);
    let upright_mm = corner.upright_mm.unwrap_or(f64::MAX).min(inner.height() - BREADTH_MM);
    (level_mm, upright_mm)
}

/// What long rules take up, and the corner between them.
fn large_rules(inner: Rect, corner: Corner) -> ([Rect; 2], Point) {
    let (level_mm, upright_mm) = large_mm(inner, corner);
    let from = Point::new(inner.x0 + BREADTH_MM, inner.y0 + BREADTH_MM);
    let rules = [
        Rect::new(inner.x0, inner.y0, from.x + level_mm, from.y),
        Rect::new(inner.x0, inner.y0, from.x, from.y + upright_mm),
    ];
    (rules, from)
}

/// Draws long rules, and the square of 50 mm if there is one.
fn draw_large(drawing: &mut Drawing, inner: Rect, corner: Corner) {
    let (_, from) = large_rules(inner, corner);
    let base = Point::new(inner.x0 + INCH_SIDE_MM, inner.y0 + INCH_SIDE_MM);
    let (level_mm, upright_mm) = large_mm(inner, corner);
    ruler::rule(drawing, Point::new(from.x, base.y), Axis::Horizontal, level_mm - OVERHANG_MM);
    ruler::rule(drawing, Point::new(base.x, from.y), Axis::Vertical, upright_mm - OVERHANG_MM);
    if corner.check == ScaleCheck::Large {
        ruler::proof_square(drawing, large(inner, corner).1.origin());
    }
}

/// How long slim rules are, level and upright, mm.
fn slim_mm(inner: Rect, corner: Corner) -> (f64, f64) {
    let level_mm = SLIM_LONG_MM.min(inner.width() - SLIM_MM);
    let upright_mm = corner.upright_mm.unwrap_or(f64::MAX).min(SLIM_LONG_MM);
    (level_mm, upright_mm.min(inner.height() - SLIM_MM))
}

/// What slim rules and the small squares take up.
fn slim(inner: Rect, corner: Corner) -> ([Rect; 2], Rect) {
    let from = Point::new(inner.x0 + SLIM_MM, inner.y0 + SLIM_MM);
    let (level_mm, upright_mm) = slim_mm(inner, corner);
    let foot = Point::new(from.x + SLIM_WHITE_MM, from.y + SLIM_WHITE_MM);
    let rules = [
        Rect::new(inner.x0, inner.y0, from.x + level_mm, from.y),
        Rect::new(inner.x0, inner.y0, from.x, from.y + upright_mm),
    ];
    (rules, Rect::from_origin_size(foot, SMALL_SQUARES_MM))
}

/// Draws slim rules and the small squares.
fn draw_slim(drawing: &mut Drawing, inner: Rect, corner: Corner) {
    let (_, squares) = slim(inner, corner);
    let from = Point::new(inner.x0 + SLIM_MM, inner.y0 + SLIM_MM);
    let base = Point::new(inner.x0 + SLIM_SIDE_MM, inner.y0 + SLIM_SIDE_MM);
    let (level_mm, upright_mm) = slim_mm(inner, corner);
    ruler::slim_rule(drawing, Point::new(from.x, base.y), Axis::Horizontal, level_mm);
    ruler::slim_rule(drawing, Point::new(base.x, from.y), Axis::Vertical, upright_mm);
    ruler::small_squares(drawing, squares.origin());
}

/// Sets the facts beside the square and the notes beside the facts, or below them when the page
/// is narrow; a long list grows upward.
fn beside(
    drawing: &mut Drawing,
    place: Rect,
    sheet: &Sheet,
    setup: &PageSetup,
    remarks: &[String],
) -> Rect {
    let facts_width = FACTS_WIDE_MM.min(place.width());
    let facts = facts(setup, remarks, facts_width);
    let rest = place.width() - facts_width - GUTTER_MM;
    if rest < NOTES_LEAST_MM || sheet.notes.is_empty() {
        let all: Vec<Line> = facts.into_iter().chain(notes(sheet, facts_width)).collect();
        return set(drawing, place, &[(place.x0, all)]);
    }
    let mut columns = vec![(place.x0, facts)];
    let from = place.x0 + facts_width + GUTTER_MM;
    columns.extend(note_columns(sheet, from, rest, place.height()));
    set(drawing, place, &columns)
}

/// The notes in as few columns as keep them no taller than `max_mm`, or in as many as go into
/// the width.
fn note_columns(sheet: &Sheet, from: f64, width: f64, max_mm: f64) -> Vec<(f64, Vec<Line>)> {
    let mut columns = Vec::new();
    for count in 1_u32..=4 {
        let each = (width + GUTTER_MM) / f64::from(count) - GUTTER_MM;
        if count > 1 && (each < NOTES_LEAST_MM || columns_fit(&columns, max_mm)) {
            break;
        }
        let each = each.min(NOTES_WIDE_MM);
        let mut rest = notes(sheet, each);
        let share = (tall(&rest) + PITCH_MM) / f64::from(count);
        columns.clear();
        for k in 0..count {
            let mut used = 0.0;
            let last = k + 1 == count;
            let occupied = rest
                .iter()
                .take_while(|line| {
                    let fits = last || used < share - PITCH_MM / 2.0;
                    used += line.pitch_mm;
                    fits
                })
                .count();
            let next = rest.split_off(occupied);
            columns.push((from + f64::from(k) * (each + GUTTER_MM), rest));
            rest = next;
        }
    }
    columns
}

fn columns_fit(columns: &[(f64, Vec<Line>)], max_mm: f64) -> bool {
    columns.iter().all(|(_, lines)| tall(lines) <= max_mm)
}

/// Sets facts and notes in one column upward from the foot of `place`.
fn column(
    drawing: &mut Drawing,
    place: Rect,
    sheet: &Sheet,
    setup: &PageSetup,
    remarks: &[String],
) -> Rect {
    let lines: Vec<Line> = facts(setup, remarks, place.width())
        .into_iter()
        .chain(notes(sheet, place.width()))
        .collect();
    let top = place.y0 + tall(&lines);
    set(drawing, Rect::new(place.x0, place.y0, place.x1, top), &[(place.x0, lines)])
}

/// Sets facts and notes along the foot of `place` in lines as long as it is wide.
fn band(drawing: &mut Drawing, place: Rect, sheet: &Sheet, setup: &PageSetup) -> Rect {
    let lines = |text: &str, width: f64| -> Vec<Line> {
        wrap(text, FontFace::Regular, TEXT_MM, width).into_iter().map(plain).collect()
    };
    let notes = lines(&sheet.notes.join(" "), place.width());
    let first = height_to_fit(ACTUAL_SIZE, FontFace::Bold, BOLD_MM, TEXT_MM, place.width());
    let beside = width_mm(ACTUAL_SIZE, FontFace::Bold, first) + 4.0;
    let bold = Line {
        text: ACTUAL_SIZE.into(),
        face: FontFace::Bold,
        height_mm: first,
        pitch_mm: PITCH_MM,
    };
    let facts_line = format!("{}. {}.", trim_told(setup), paper_told(setup));
    let facts = lines(&facts_line, place.width() - beside);
    let foot = place.y0 + tall(&notes);
    let low = set(drawing, Rect { y1: foot, ..place }, &[(place.x0, notes)]);
    let base = foot + PITCH_MM - TEXT_MM;
    let top = base + tall(&facts).max(first);
    let both = [(place.x0, vec![bold]), (place.x0 + beside, facts)];
    low.union(set(drawing, Rect { y0: base, y1: top, ..place }, &both))
}

/// Sets columns of lines from the top of `place`, or from higher if they need more.
fn set(drawing: &mut Drawing, place: Rect, columns: &[(f64, Vec<Line>)]) -> Rect {
    let mut occupied = Rect::new(place.x0, place.y1, place.x0, place.y1);
    for (x, lines) in columns {
        let top = place.y1.max(place.y0 + tall(lines));
        occupied.y0 = occupied.y0.min(top - tall(lines));
        occupied.y1 = occupied.y1.max(top);
        let mut y = top;
        for line in lines {
            let mut label = Label::new(line.text.as_str(), Point::new(*x, y), line.height_mm)
                .anchored(HAlign::Start, VAlign::Top);
            label.face = line.face;
            drawing.text(Pen::Lettering, label);
            occupied.x1 = occupied.x1.max(x + width_mm(&line.text, line.face, line.height_mm));
            y -= line.pitch_mm;
        }
    }
    occupied
}

/// How high lines stand, from the first's top to the last's base line.
fn tall(lines: &[Line]) -> f64 {
    let pitches: f64 = lines.iter().map(|line| line.pitch_mm).sum();
    lines.last().map_or(0.0, |last| pitches - last.pitch_mm + last.height_mm)
}

fn facts(setup: &PageSetup, remarks: &[String], width_mm: f64) -> Vec<Line> {
    let height_mm = height_to_fit(ACTUAL_SIZE, FontFace::Bold, BOLD_MM, TEXT_MM, width_mm);
    let mut lines = vec![Line {
        text: ACTUAL_SIZE.into(),
        face: FontFace::Bold,
        height_mm,
        pitch_mm: height_mm + 3.2,
    }];
    let format_against = [
        "Measure the rulers and a square with a steel rule before you cut.".to_owned(),
        trim_told(setup),
        paper_told(setup),
    ];
    for text in format_against.iter().chain(remarks) {
        lines.extend(wrap(text, FontFace::Regular, TEXT_MM, width_mm).into_iter().map(plain));
        if let Some(last) = lines.last_mut() {
            last.pitch_mm = PITCH_MM + 0.8;
        }
    }
    lines
}

fn trim_told(setup: &PageSetup) -> String {
    let trim = setup.heading.trim.trim();
    format!("Printer correction: {}", if trim.is_empty() { "none" } else { trim })
}

fn paper_told(setup: &PageSetup) -> String {
    let (title, size) = (setup.paper.title(), setup.paper.size_mm);
    format!("Paper: {title}, {} × {} mm", number(size.width), number(size.height))
}

fn notes(sheet: &Sheet, width_mm: f64) -> Vec<Line> {
    let wrapped = sheet.notes.iter().flat_map(|note| {
        let mut lines: Vec<Line> =
            wrap(note, FontFace::Regular, TEXT_MM, width_mm).into_iter().map(plain).collect();
        if let Some(last) = lines.last_mut() {
            last.pitch_mm = PITCH_MM + 0.8;
        }
        lines
    });
    wrapped.collect()
}

fn plain(text: String) -> Line {
    Line { text, face: FontFace::Regular, height_mm: TEXT_MM, pitch_mm: PITCH_MM }
}
