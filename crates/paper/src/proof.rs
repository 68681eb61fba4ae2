//! The page that measures the printer: a large rectangle whose sides and diagonals are measured
//! from cross to cross, with a table for the readings and the ordinary rules and square inside.

use crate::corner::{self, Corner, ScaleCheck, TextPlacement};
use crate::frame::{count, inner};
use crate::{Page, PageSetup, PaperError, Sheet, title, trim};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, HAlign, Label, Pen, VAlign};

/// How far the crosses at the corners reach out, mm.
const ARM_MM: f64 = 4.0;
/// How much of each diagonal is drawn at its ends, mm.
const STUB_MM: f64 = 13.0;
/// Sides are whole steps of this, mm.
const STEP_MM: f64 = 5.0;
/// White between the rectangle and what stands in it; the lines' letters stand there, mm.
const WHITE_MM: f64 = 8.0;
/// Height of the lines' letters, mm.
const LETTER_MM: f64 = 4.0;
const TEXT_MM: f64 = 2.8;
/// A row of the table, mm.
const ROW_MM: f64 = 8.0;
/// The longest lines that common rules measure in one go, mm: of 300 mm or 12 in, of 600 mm or
/// 24 in, of 1 m.
const RULES_MM: [f64; 3] = [295.0, 590.0, 985.0];
/// A rectangle whose diagonal is no more than this much over a rule's is made to suit the rule.
const OVER_RULE: f64 = 1.2;

/// The proof and what its lines measure when they are true.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// The page, upright.
    pub page: Page,
    /// The true sides of its rectangle, mm.
    pub sides_mm: Size,
}

/// The key of the proof among sheets: [`crate::lay_out`] makes its page, since what it shows
/// hangs on the paper.
pub const KEY: &str = "proof";

/// The proof as a sheet among others, with the notes it shall carry.
pub fn sheet(notes: Vec<String>) -> Sheet {
    Sheet {
        key: KEY,
        title: "Proof".to_owned(),
        drawing: Drawing::new(),
        notes,
        inserts: Vec::new(),
        ..Sheet::default()
    }
}

/// The proof for a paper.
///
/// # Errors
/// [`PaperError::NoRoom`] when the paper is too small for it.
pub fn proof(setup: &PageSetup, notes: Vec<String>) -> Result<Proof, PaperError> {
    Ok(Proof { page: page(&sheet(notes), setup, (1, 1))?, sides_mm: sides(setup)? })
}

/// The proof's page, the given one of so many.
pub(crate) fn page(
    sheet: &Sheet,
    setup: &PageSetup,
    (number, total): (usize, usize),
) -> Result<Page, PaperError> {
    let sides_mm = sides(setup)?;
    let size_mm = size(setup);
    let mut drawing = Drawing::new();
    let counted = count(number, total);
    title::line(&mut drawing, inner(size_mm, setup, false), &setup.heading, sheet, &counted);
    let frame = Rect::from_center_size(room(setup).center(), sides_mm);
    lines(&mut drawing, frame);
    let within = frame.inset(-WHITE_MM);
    let beside = frame.width() > 150.0;
    let words = if beside { TextPlacement::Beside } else { TextPlacement::Above };
    let check = ScaleCheck::Large;
    let corner = Corner { check, level_mm: None, upright_mm: None, text: words };
    let occupied = corner::draw(&mut drawing, within, corner, sheet, setup, &[]);
    let left = occupied.rects.get(1).map_or(within.x0, |rule| rule.x1) + 5.0;
    let table = Rect::new(left, within.y1 - 7.0 * ROW_MM, within.x1.min(left + 170.0), within.y1);
    if occupied.block.y1 + 5.0 > table.y0 || occupied.block.x1 > within.x1 || table.width() < 80.0 {
        return Err(no_room(setup));
    }
    readings(&mut drawing, table, sides_mm);
    Ok(Page {
        size_mm,
        drawing,
        key: KEY,
        name: sheet.title.clone(),
        number,
        turn_deg: 0.0,
        from_sheet: Affine::IDENTITY,
        trim: trim::trim_matrix(setup, size_mm),
    })
}

fn no_room(setup: &PageSetup) -> PaperError {
    PaperError::NoRoom {
        sheet: "proof".to_owned(),
        paper: setup.paper.title(),
        margin_mm: setup.margin_mm,
    }
}

/// The page, upright; off a roll, a little longer than wide.
fn size(setup: &PageSetup) -> Size {
    let upright = setup.paper.portrait_mm();
    match setup.paper.roll_mm {
        Some(max) => Size::new(upright.width, max.min(upright.width.max(280.0) + 40.0)),
        None => upright,
    }
}

/// Where the rectangle and its crosses may stand.
fn room(setup: &PageSetup) -> Rect {
    let mut room = inner(size(setup), setup, true);
    room.y1 -= 3.0;
    room.inset(-ARM_MM)
}

/// The true sides of the rectangle on a proof for this paper, mm.
///
/// # Errors
/// [`PaperError::NoRoom`] when there is no room for one.
pub fn sides(setup: &PageSetup) -> Result<Size, PaperError> {
    let room = room(setup).size();
    if !(room.width >= 100.0 && room.height >= 100.0) {
        return Err(no_room(setup));
    }
    let diagonal = room.to_vec2().hypot();
    let over = |rule: &&f64| diagonal > **rule && diagonal <= OVER_RULE * **rule;
    let max = RULES_MM.last().copied().unwrap_or(diagonal);
    let wanted = RULES_MM.iter().find(over).copied().unwrap_or(diagonal.min(max));
    let step = |side: f64| (side * (wanted / diagonal).min(1.0) / STEP_MM + 1e-9).floor() * STEP_MM;
    Ok(Size::new(step(room.width), step(room.height)))
}

/// The rectangle with its crosses, its diagonals' ends and their letters.
fn lines(drawing: &mut Drawing, frame: Rect) {
    for y in [frame.y0, frame.y1] {
        let (from, to) = (frame.x0 - ARM_MM, frame.x1 + ARM_MM);
        drawing.line(Pen::Ruler, Point::new(from, y), Point::new(to, y));
    }
    for x in [frame.x0, frame.x1] {
        let (from, to) = (frame.y0 - ARM_MM, frame.y1 + ARM_MM);
        drawing.line(Pen::Ruler, Point::new(x, from), Point::new(x, to));
    }
    let low_left = Point::new(frame.x0, frame.y0);
    let high_left = Point::new(frame.x0, frame.y1);
    let low_right = Point::new(frame.x1, frame.y0);
    let high_right = Point::new(frame.x1, frame.y1);
    for (from, to) in [(low_left, high_right), (high_left, low_right)] {
        let direction = (to - from).normalize() * STUB_MM;
        drawing.line(Pen::Ruler, from, from + direction);
        drawing.line(Pen::Ruler, to, to - direction);
    }
    let off = WHITE_MM / 2.0;
    let middle = frame.center();
    let stub = Vec2::new(STUB_MM, 0.0);
    for (letter, at) in [
        ("A", Point::new(middle.x, frame.y0 + off)),
        ("B", Point::new(middle.x, frame.y1 - off)),
        ("C", Point::new(frame.x0 + off, middle.y)),
        ("D", Point::new(frame.x1 - off, middle.y)),
        ("E", low_left + stub + Vec2::new(0.0, off)),
        ("E", high_right - stub - Vec2::new(0.0, off)),
        ("F", high_left + stub - Vec2::new(0.0, off)),
        ("F", low_right - stub + Vec2::new(0.0, off)),
    ] {
        let label = Label::new(letter, at, LETTER_MM).anchored(HAlign::Middle, VAlign::Middle);
        drawing.text(Pen::Lettering, label.bold());
    }
}

/// The table in which the readings are written down.
fn readings(drawing: &mut Drawing, table: Rect, sides: Size) {
    let diagonal = sides.to_vec2().hypot();
    let rows = [
        ("A  across, below", sides.width),
        ("B  across, above", sides.width),
        ("C  up, left", sides.height),
        ("D  up, right", sides.height),
        ("E  rising diagonal", diagonal),
        ("F  falling diagonal", diagonal),
    ];
    let at = |part: f64| table.x0 + part * table.width();
    let columns = [0.0, 0.3, 0.52, 0.68, 0.84, 1.0].map(at);
    let text = |drawing: &mut Drawing, x: f64, row: f64, words: &str, bold: bool| {
        let at = Point::new(x + 1.5, table.y1 - (row + 0.5) * ROW_MM);
        let label = Label::new(words, at, TEXT_MM).anchored(HAlign::Start, VAlign::Middle);
        drawing.text(Pen::Lettering, if bold { label.bold() } else { label });
    };
    let heads = ["Line", "True, mm", "True, in", "Measured", "Again"];
    for (x, head) in columns.iter().zip(heads) {
        text(drawing, *x, 0.0, head, true);
    }
    for (row, (name, true_mm)) in (1_u32..).zip(rows) {
        let row = f64::from(row);
        text(drawing, columns[0], row, name, false);
        text(drawing, columns[1], row, &units::show_number(true_mm, 2), false);
        text(drawing, columns[2], row, &units::show_number(true_mm / 25.4, 3), false);
    }
    for row in 0..=7_u32 {
        let y = table.y1 - f64::from(row) * ROW_MM;
        drawing.line(Pen::Frame, Point::new(table.x0, y), Point::new(table.x1, y));
    }
    for x in columns {
        drawing.line(Pen::Frame, Point::new(x, table.y0), Point::new(x, table.y1));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, Paper};
    use marks::{Mark, lettering};

    fn setup(paper: &str) -> PageSetup {
        let trim = "club, 101.94 % across, 101.63 % up, 0.2° skew, ±0.08 mm in 250 mm".to_owned();
        let heading = Heading { name: "Printer club".into(), trim, ..Heading::default() };
        PageSetup::new(Paper::parse(paper).unwrap(), heading)
    }

    fn notes() -> Vec<String> {
        vec!["Measure each line from cross to cross. ".repeat(3), "Type them in. ".repeat(8)]
    }

    #[test]
    fn lines_are_as_long_as_told_and_nothing_lies_in_the_margin_or_on_another() {
        for paper in ["letter", "legal", "tabloid", "a4", "a3", "a0", "250x500mm", "roll:610mm"] {
            let setup = setup(paper);
            let proof = proof(&setup, notes()).unwrap();
            let size = proof.page.size_mm;
            let inside = Rect::from_origin_size((0.0, 0.0), size).inset(-setup.margin_mm + 1e-6);
            let mut level = 0;
            let mut boxes: Vec<Rect> = Vec::new();
            for item in &proof.page.drawing.items {
                match &item.mark {
                    Mark::Path(path) => {
                        let own = kurbo::Shape::bounding_box(path);
                        assert!(inside.union(own) == inside, "{paper}: {own:?}");
                        let long = proof.sides_mm.width + 2.0 * ARM_MM;
                        level +=
                            usize::from(own.height() < 1e-9 && (own.width() - long).abs() < 1e-9);
                    }
                    Mark::Text(label) => {
                        let corners = lettering::corners(label);
                        let own = corners
                            .iter()
                            .fold(Rect::from_points(corners[0], corners[0]), |own, p| {
                                own.union_pt(*p)
                            });
                        let inside = inside.inflate(0.2, 0.2);
                        assert!(inside.union(own) == inside, "{paper}: {}", label.text);
                        let hit = boxes.iter().any(|b| b.intersect(own).area() > 1e-9);
                        assert!(!hit, "{paper}: {} lies on another text", label.text);
                        boxes.push(own);
                    }
                    Mark::Fill(_) | Mark::Circle(_) => {}
                }
            }
            assert_eq!(level, 2, "{paper}");
        }
    }

    #[test]
    fn a_rule_of_300_mm_measures_letter_and_a4() {
        for paper in ["letter", "a4"] {
            let sides = sides(&setup(paper)).unwrap();
            assert!(sides.to_vec2().hypot() <= 295.0 && sides.width >= 160.0, "{paper} {sides:?}");
        }
        assert!(sides(&setup("a0")).unwrap().to_vec2().hypot() <= 985.0);
        assert!(proof(&setup("100x100mm"), notes()).is_err());
    }
}
