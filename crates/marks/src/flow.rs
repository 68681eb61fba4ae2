//! Text that flows: paragraphs set line by line to any width, for paper to break into columns and
//! pages wherever it must; and what stands beside a sheet's drawing.

use crate::lettering::{width_mm, wrap_lines};
use crate::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign};
use kurbo::{Affine, BezPath, Point, Rect, Shape};

/// Sources and the like are set so much smaller.
const SMALL: f64 = 0.8;
/// Yet never smaller than this: capitals of 1.8 mm are ISO 3098's smallest, mm.
const MIN_MM: f64 = 2.0;
/// A paragraph of no more lines than this is never parted: a caution or a step is read at a
/// glance, not over two pages.
const WHOLE: usize = 8;
/// Headings are set so much larger.
const LARGE: f64 = 1.2;
/// From one base line to the next, in heights of the capitals.
const LEADING: f64 = 1.55;
/// White after a paragraph, in heights of the capitals.
const AFTER: f64 = 0.25;
/// Where words begin beside a box, in heights of the capitals.
const INDENT: f64 = 2.0;
/// Width of a column where text stands as one drawing, and white between two, mm.
const COLUMN_MM: f64 = 94.0;
const GUTTER_MM: f64 = 8.0;
/// Height of the capitals there, mm.
const HEIGHT_MM: f64 = 2.5;

/// What stands before a paragraph.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bullet {
    /// Nothing.
    None,
    /// A box to tick.
    Box,
    /// The sign of caution.
    Caution,
}

/// A paragraph of flowing text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Paragraph {
    /// A heading with a rule under it; it is never left alone at a column's foot.
    Heading(String),
    /// A paragraph, indented behind its bullet.
    Body(Bullet, String),
    /// A remark in smaller letters.
    Small(String),
}

/// Text that flows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TextFlow {
    /// Its paragraphs, in order.
    pub paragraphs: Vec<Paragraph>,
}

/// One line of text that is set.
#[derive(Clone, Debug, PartialEq)]
pub struct TextLine {
    /// What stands on it, mm, below and right of the origin.
    pub drawing: Drawing,
    /// What it takes up, mm.
    pub height_mm: f64,
    /// Whether the next line must follow in the same column.
    pub keep_with_next: bool,
}

/// What belongs to a sheet beside its drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Insert {
    /// A table or a detail, kept whole where a page takes it. What has more than words and rules
    /// is true to size and to be measured.
    Table(Drawing),
    /// A chart, kept whole; nothing on it is to be measured.
    Chart(Drawing),
    /// What stands there only where a page has room for it, and is left out elsewhere.
    Spare(Drawing),
    /// Text, broken into columns and pages.
    Text(TextFlow),
}

impl From<Drawing> for Insert {
    fn from(drawing: Drawing) -> Self {
        Self::Table(drawing)
    }
}

impl Insert {
    /// As one drawing: text in as many columns as make it about as wide as high.
    pub fn into_drawing(self) -> Drawing {
        let text = match self {
            Self::Table(drawing) | Self::Chart(drawing) | Self::Spare(drawing) => return drawing,
            Self::Text(text) => text,
        };
        let lines = text.layout_lines(COLUMN_MM, HEIGHT_MM);
        let tall: f64 = lines.iter().map(|line| line.height_mm).sum();
        let columns = (tall / COLUMN_MM).sqrt().ceil().max(1.0);
        let mut drawing = Drawing::new();
        let (mut x, mut y) = (0.0, 0.0);
        for (i, line) in lines.iter().enumerate() {
            let led = lines[i..].iter().take_while(|line| line.keep_with_next);
            let led: f64 = led.map(|line| line.height_mm).sum();
            if -y + led > tall / columns && y < 0.0 {
                (x, y) = (x + COLUMN_MM + GUTTER_MM, 0.0);
            }
            drawing.extend(line.drawing.moved(Affine::translate((x, y))));
            y -= line.height_mm;
        }
        drawing
    }
}

impl TextFlow {
    /// The lines at a width, capitals so high, mm. None is wider: a word that is breaks anywhere.
    pub fn layout_lines(&self, wide_mm: f64, height_mm: f64) -> Vec<TextLine> {
        self.paragraphs.iter().flat_map(|own| own.set(wide_mm, height_mm)).collect()
    }
}

impl Paragraph {
    fn set(&self, wide_mm: f64, height_mm: f64) -> Vec<TextLine> {
        match self {
            Self::Heading(text) => heading(text, wide_mm, LARGE * height_mm),
            Self::Body(bullet, text) => {
                let mut lines = words(text, wide_mm, height_mm, INDENT * height_mm);
                if let Some(first) = lines.first_mut() {
                    draw(&mut first.drawing, *bullet, height_mm);
                }
                lines
            }
            Self::Small(text) => words(text, wide_mm, (SMALL * height_mm).max(MIN_MM), 0.0),
        }
    }
}

fn heading(text: &str, wide_mm: f64, height_mm: f64) -> Vec<TextLine> {
    let mut lines: Vec<TextLine> = fitting(text, FontFace::Bold, height_mm, wide_mm)
        .into_iter()
        .map(|text| {
            let mut drawing = Drawing::new();
            let at = Point::new(0.0, -1.7 * height_mm);
            drawing.text(Pen::Lettering, Label::new(text, at, height_mm).bold());
            TextLine { drawing, height_mm: 2.05 * height_mm, keep_with_next: true }
        })
        .collect();
    if let Some(last) = lines.last_mut() {
        let under = -2.15 * height_mm;
        last.drawing.line(Pen::Frame, Point::new(0.0, under), Point::new(wide_mm, under));
        last.height_mm = -under + 0.2 * height_mm;
    }
    lines
}

fn words(text: &str, wide_mm: f64, height_mm: f64, indent_mm: f64) -> Vec<TextLine> {
    let texts = fitting(text, FontFace::Regular, height_mm, wide_mm - indent_mm);
    let last = texts.len().saturating_sub(1);
    let line = |(i, text): (usize, String)| {
        let mut drawing = Drawing::new();
        let at = Point::new(indent_mm, -1.2 * height_mm);
        drawing.text(Pen::Lettering, Label::new(text, at, height_mm));
        let after = if i == last { AFTER } else { 0.0 };
        let leads = i < last && last < WHOLE;
        TextLine { drawing, height_mm: (LEADING + after) * height_mm, keep_with_next: leads }
    };
    texts.into_iter().enumerate().map(line).collect()
}

/// Lines no wider than allowed.
fn fitting(text: &str, face: FontFace, height_mm: f64, max_mm: f64) -> Vec<String> {
    let mut cut = String::new();
    for word in text.split_whitespace() {
        cut.push(' ');
        if width_mm(word, face, height_mm) <= max_mm {
            cut.push_str(word);
            continue;
        }
        let mut part = String::new();
        for sign in word.chars() {
            part.push(sign);
            if width_mm(&part, face, height_mm) > max_mm {
                cut.push(' ');
                part = sign.to_string();
            }
            cut.push(sign);
        }
    }
    wrap_lines(&cut, face, height_mm, max_mm)
}

/// A paragraph's bullet, as high as the capitals of its first line and a little over.
fn draw(drawing: &mut Drawing, bullet: Bullet, height_mm: f64) {
    let (top, foot) = (-0.14 * height_mm, -1.3 * height_mm);
    let side = top - foot;
    match bullet {
        Bullet::None => {}
        Bullet::Box => {
            let tick = Rect::new(0.0, foot, side, top);
            drawing.add(Pen::Lettering, Mark::Path(tick.to_path(0.01)));
        }
        Bullet::Caution => {
            let mut path = BezPath::new();
            path.move_to((0.0, foot));
            path.line_to((1.2 * side, foot));
            path.line_to((0.6 * side, top + 0.06 * side));
            path.close_path();
            drawing.add(Pen::Lettering, Mark::Path(path));
            let at = Point::new(0.6 * side, foot + 0.14 * side);
            let sign = Label::new("!", at, 0.62 * side).bold();
            drawing.text(Pen::Lettering, sign.anchored(HAlign::Middle, VAlign::Base));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lettering::corners;

    #[test]
    fn no_line_is_wider_than_its_column_and_none_leaves_its_height() {
        let long = "Donaudampfschifffahrtsgesellschaftskapitän".repeat(5);
        let flow = TextFlow {
            paragraphs: vec![
                Paragraph::Heading(format!("Heading of {long}")),
                Paragraph::Body(Bullet::Caution, format!("Words and {long} and others, gjpq.")),
                Paragraph::Body(Bullet::Box, "Few.".to_owned()),
                Paragraph::Small(long),
            ],
        };
        for wide in [60.0, 94.0, 128.0] {
            let lines = flow.layout_lines(wide, 2.5);
            assert!(lines.len() > 8);
            for line in &lines {
                for item in &line.drawing.items {
                    let Mark::Text(label) = &item.mark else { continue };
                    for corner in corners(label) {
                        assert!((-1e-9..=wide + 1e-9).contains(&corner.x), "{label:?}");
                        assert!((-line.height_mm - 1e-9..=1e-9).contains(&corner.y), "{label:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_heading_leads_and_a_paragraph_stays_whole() {
        let flow = TextFlow {
            paragraphs: vec![
                Paragraph::Heading("Heat".to_owned()),
                Paragraph::Body(Bullet::None, "Words that go on to a second line.".to_owned()),
                Paragraph::Body(Bullet::None, "Words.".to_owned()),
            ],
        };
        let leads: Vec<bool> =
            flow.layout_lines(40.0, 2.5).iter().map(|line| line.keep_with_next).collect();
        assert_eq!(leads, [true, true, false, false]);
    }

    #[test]
    fn remarks_are_never_smaller_than_can_be_read() {
        let flow = TextFlow { paragraphs: vec![Paragraph::Small("Source.".to_owned())] };
        for (height, small) in [(3.0, 2.4), (2.5, 2.0), (2.0, 2.0)] {
            let lines = flow.layout_lines(90.0, height);
            let Mark::Text(label) = &lines[0].drawing.items[0].mark else { panic!() };
            assert!((label.height_mm - small).abs() < 1e-9, "{label:?}");
        }
    }
}
