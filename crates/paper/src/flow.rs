//! Text on pages of its own: columns by the paper's width, broken at any line. Nothing on such a
//! page is to be measured, so it has no rulers.

use crate::frame::{self, add_page_frame, count, plain, sizes};
use crate::plan::TextPage;
use crate::{Page, PageSetup, PaperError, Sheet};
use kurbo::{Affine, Rect, Size};
use marks::{Drawing, Insert, TextFlow, TextLine};
use std::borrow::Cow;

/// White between columns, mm.
pub(crate) const GUTTER_MM: f64 = 8.0;
/// No column is narrower where there are several, mm.
const COLUMN_MM: f64 = 84.0;
/// Blocks of text may be so much taller than their share, for what is kept together, mm.
const LOOSE_MM: f64 = 20.0;
/// Columns on a large page are so high before there are more of them, mm.
const READ_MM: f64 = 200.0;
/// The least room for text on a page, mm.
const MIN_MM: Size = Size::new(70.0, 45.0);
/// Heights of capitals, the usual one first: a smaller one is taken only where it saves a text
/// from a third page, mm. All are sizes that are read at arm's length or nearly so (ISO 3098
/// begins at 1.8 mm).
pub(crate) const HEIGHTS_MM: [f64; 4] = [2.5, 2.3, 2.1, 2.0];
/// A text is to take no more pages than these where a smaller size mends it.
pub(crate) const FEW: usize = 2;

/// A sheet in parts: without its text, and the text alone; as it is when it has but one of them.
pub(crate) fn parts(sheet: &Sheet) -> Vec<Cow<'_, Sheet>> {
    let is_text = |insert: &Insert| matches!(insert, Insert::Text(_));
    if !sheet.inserts.iter().any(is_text) {
        return vec![Cow::Borrowed(sheet)];
    }
    let (text, rest): (Vec<Insert>, Vec<Insert>) =
        sheet.inserts.iter().cloned().partition(|own| is_text(own));
    if rest.is_empty() && sheet.drawing.items.is_empty() {
        return vec![Cow::Borrowed(sheet)];
    }
    let text = Sheet {
        title: format!("{}, steps", sheet.title),
        drawing: Drawing::new(),
        notes: Vec::new(),
        inserts: text,
        ..sheet.clone()
    };
    vec![Cow::Owned(Sheet { inserts: rest, ..sheet.clone() }), Cow::Owned(text)]
}

/// A sheet of a drawing and text, its text in so many columns of one height that are kept whole:
/// many first, as drawings are wider than high. None of a sheet without a drawing or text.
pub(crate) fn beside(sheet: &Sheet) -> impl Iterator<Item = Sheet> {
    let lines: Vec<TextLine> =
        texts(sheet).flat_map(|text| text.layout_lines(COLUMN_MM, HEIGHTS_MM[0])).collect();
    let is_mixed = !lines.is_empty() && !sheet.drawing.items.is_empty();
    let tall: f64 = lines.iter().map(|line| line.height_mm).sum();
    let rest: Vec<Insert> =
        sheet.inserts.iter().filter(|own| !matches!(own, Insert::Text(_))).cloned().collect();
    let sheet = sheet.clone();
    [6.0, 4.0, 3.0].into_iter().filter(move |_| is_mixed).map(move |many| {
        let mut inserts = rest.clone();
        inserts.extend(blocks(&lines, tall / many + LOOSE_MM).into_iter().map(Insert::Table));
        Sheet { inserts, ..sheet.clone() }
    })
}

/// Lines in blocks no taller than this, as they come.
fn blocks(lines: &[TextLine], max_mm: f64) -> Vec<Drawing> {
    let mut blocks: Vec<Drawing> = Vec::new();
    let mut y = f64::MIN;
    for (i, line) in lines.iter().enumerate() {
        let many = lines[i..].iter().take_while(|line| line.keep_with_next).count() + 1;
        let led: f64 = lines[i..].iter().take(many).map(|line| line.height_mm).sum();
        if blocks.is_empty() || (led - y > max_mm && y < 0.0) {
            blocks.push(Drawing::new());
            y = 0.0;
        }
        if let Some(block) = blocks.last_mut() {
            block.extend(line.drawing.moved(Affine::translate((0.0, y))));
        }
        y -= line.height_mm;
    }
    blocks
}

/// The texts of a sheet.
pub(crate) fn texts(sheet: &Sheet) -> impl Iterator<Item = &TextFlow> {
    sheet.inserts.iter().filter_map(|insert| match insert {
        Insert::Text(text) => Some(text),
        _ => None,
    })
}

/// The pages for all text of a sheet, as few as can be; `None` when it has none.
///
/// # Errors
/// [`PaperError::NoRoom`] when a page takes no column of text.
pub(crate) fn plan(sheet: &Sheet, setup: &PageSetup) -> Result<Option<Vec<TextPage>>, PaperError> {
    if texts(sheet).next().is_none() {
        return Ok(None);
    }
    let is_roll = setup.paper.roll_mm.is_some();
    let mut best: Option<Vec<TextPage>> = None;
    for height_mm in HEIGHTS_MM {
        // Upright on equal terms: text reads best so.
        let [lying, upright] = sizes(setup);
        for size in [upright, lying] {
            let Some(pages) = pages_of(sheet, setup, size, height_mm) else { continue };
            if best.as_ref().is_none_or(|best| pages.len() < best.len()) {
                // A smaller size is worth it only where the text then takes few pages.
                if best.is_none() || height_mm >= HEIGHTS_MM[0] || pages.len() <= FEW {
                    best = Some(pages);
                }
            }
        }
        // Of a roll the piece is cut to the text, not the text to the piece.
        if is_roll || best.as_ref().is_some_and(|best| best.len() <= FEW) {
            break;
        }
    }
    best.map(Some).ok_or_else(|| frame::no_room(sheet, setup))
}

fn pages_of(sheet: &Sheet, setup: &PageSetup, size: Size, height_mm: f64) -> Option<Vec<TextPage>> {
    let room = frame::text_room(size, setup);
    let is_wide = room.width() >= MIN_MM.width && room.height() >= MIN_MM.height;
    if !is_wide || setup.margin_mm < 0.0 {
        return None;
    }
    let (columns, wide_mm) = columns_across(room.width());
    let lines: Vec<TextLine> =
        texts(sheet).flat_map(|text| text.layout_lines(wide_mm, height_mm)).collect();
    let pages = filled(&lines, size, room, wide_mm);
    if pages.len() > 1 {
        return Some(pages);
    }
    // On one large page the columns are of one height, rather than one as high as the page.
    let whole: f64 = lines.iter().map(|line| line.height_mm).sum();
    let high = (whole / columns + LOOSE_MM).max(READ_MM).min(room.height());
    let even = filled(&lines, size, Rect { y0: room.y1 - high, ..room }, wide_mm);
    Some(if even.len() == 1 { even } else { pages })
}

/// How many columns go side by side in a width, and how wide they then are, mm.
pub(crate) fn columns_across(width_mm: f64) -> (f64, f64) {
    let columns = ((width_mm + GUTTER_MM) / (COLUMN_MM + GUTTER_MM)).floor().max(1.0);
    (columns, (width_mm - GUTTER_MM * (columns - 1.0)) / columns)
}

/// Lines put into columns one after the other, from page to page.
fn filled(lines: &[TextLine], size: Size, room: Rect, wide_mm: f64) -> Vec<TextPage> {
    let step = wide_mm + GUTTER_MM;
    let lefts = std::iter::successors(Some(room.x0), |x| Some(x + step));
    let lefts: Vec<f64> = lefts.take_while(|x| x + wide_mm <= room.x1 + 1e-6).collect();
    let column = |x: f64| Rect { x0: x, x1: x + wide_mm, ..room };
    let columns = (0..).flat_map(|page| lefts.iter().map(move |x| (page, column(*x))));
    let pages = pour(lines, columns).into_iter();
    pages.map(|drawing| TextPage { size, drawing, frame: None }).collect()
}

/// Lines put into columns one after the other, each told with its page: a drawing for every page.
pub(crate) fn pour(
    lines: &[TextLine],
    mut columns: impl Iterator<Item = (usize, Rect)>,
) -> Vec<Drawing> {
    let mut pages: Vec<Drawing> = Vec::new();
    let mut place: Option<(usize, Rect, f64)> = None;
    for (i, line) in lines.iter().enumerate() {
        // A heading goes with what follows it, and a paragraph is kept whole where a column
        // takes it.
        let many = lines[i..].iter().take_while(|line| line.keep_with_next).count() + 1;
        let led: f64 = lines[i..].iter().take(many).map(|line| line.height_mm).sum();
        let takes = |(_, column, top): (usize, Rect, f64)| {
            let led = if led > column.height() { line.height_mm } else { led };
            top - led >= column.y0
        };
        if !place.is_some_and(takes) {
            place = columns.next().map(|(page, column)| (page, column, column.y1));
        }
        let Some((page, column, top)) = &mut place else { break };
        pages.resize_with(pages.len().max(*page + 1), Drawing::new);
        pages[*page].extend(line.drawing.moved(Affine::translate((column.x0, *top))));
        *top -= line.height_mm;
    }
    pages
}

/// The pages with their titles.
pub(crate) fn pages(
    sheet: &Sheet,
    setup: &PageSetup,
    texts: &[TextPage],
    (first, total): (usize, usize),
) -> Vec<Page> {
    let page = |(k, text): (usize, &TextPage)| {
        let number = first + k;
        let count = count(number, total);
        let mut from_sheet = Affine::IDENTITY;
        let mut drawing = if let Some((template, by)) = text.frame {
            from_sheet = Affine::translate(by);
            let own = bare(sheet);
            add_page_frame(&own, setup, text.size, template, &count, &[]).drawing
        } else {
            plain(sheet, setup, text.size, &count)
        };
        drawing.extend(text.drawing.clone());
        if text.frame.is_some() {
            drawing.extend(sheet.drawing.moved(from_sheet));
        }
        Page {
            size_mm: text.size,
            drawing,
            key: sheet.key,
            name: sheet.title.clone(),
            number,
            turn_deg: 0.0,
            from_sheet,
            trim: None,
        }
    };
    texts.iter().enumerate().map(page).collect()
}

/// A sheet as the page that it shares with its text is framed: its notes beside what shows the scale.
pub(crate) fn bare(sheet: &Sheet) -> Sheet {
    Sheet { inserts: Vec::new(), ..sheet.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, Paper, lay_out};
    use kurbo::Point;
    use marks::{Bullet, Label, Mark, Paragraph, Pen, lettering};

    fn text(paragraphs: usize) -> Sheet {
        let words = "Heat it slowly and evenly, thick parts first, the tip last. ".repeat(3);
        let own = |i: usize| match i % 9 {
            0 => Paragraph::Heading(format!("Part {i}")),
            _ => Paragraph::Body(Bullet::Box, words.clone()),
        };
        let paragraphs = (0..paragraphs).map(own).collect();
        Sheet {
            key: "build",
            title: "Build".into(),
            drawing: Drawing::new(),
            notes: Vec::new(),
            inserts: vec![Insert::Text(TextFlow { paragraphs })],
            ..Sheet::default()
        }
    }

    fn laid(paper: &str, paragraphs: usize) -> Vec<Page> {
        let setup = PageSetup::new(Paper::parse(paper).unwrap(), Heading::default());
        lay_out(&[text(paragraphs)], &setup).unwrap()
    }

    fn labels(page: &Page) -> Vec<(&Label, Rect)> {
        let boxed = |label| {
            let corners = lettering::corners(label);
            corners.iter().fold(Rect::from_points(corners[0], corners[0]), |r, p| r.union_pt(*p))
        };
        let text = page.drawing.items.iter().filter_map(|item| match &item.mark {
            Mark::Text(label) => Some(label),
            _ => None,
        });
        text.map(|label| (label, boxed(label))).collect()
    }

    #[test]
    fn text_flows_over_columns_and_pages_of_any_paper() {
        for paper in ["letter", "legal", "a5", "a4", "a3", "roll:610mm", "100x150mm"] {
            let pages = laid(paper, 80);
            let mut lines = 0;
            for page in &pages {
                assert!(!page.name.contains("tile"), "{}", page.name);
                assert!(page.drawing.items.iter().all(|item| item.pen != Pen::Ruler));
                let margin = Rect::from_origin_size((0.0, 0.0), page.size_mm).inset(-9.99);
                let labels = labels(page);
                for (i, (label, own)) in labels.iter().enumerate() {
                    assert_eq!(margin.union(*own), margin, "{paper}: {label:?}");
                    for (other, its) in &labels[i + 1..] {
                        let both = own.intersect(*its);
                        assert!(both.width() * both.height() < 1e-6, "{label:?} {other:?}");
                    }
                }
                lines += labels.len();
            }
            assert!(lines > 160, "{paper}: {lines}");
        }
    }

    /// Every paragraph of [`text`] has its last words in the column of its first.
    #[test]
    fn a_paragraph_is_not_parted() {
        for paper in ["letter", "a5", "a4", "a3", "100x150mm"] {
            for page in laid(paper, 60) {
                let mut last: Option<Point> = None;
                for (label, _) in labels(&page) {
                    let is_own = label.text.contains(|sign: char| sign.is_lowercase());
                    if !is_own || label.at.y < 15.0 || label.face == marks::FontFace::Bold {
                        continue;
                    }
                    let starts = label.text.starts_with("Heat it slowly and evenly, thick");
                    let parted = last.is_none_or(|last| label.at.y > last.y);
                    if parted && last.is_some() {
                        assert!(starts, "{paper}: {label:?}");
                    }
                    last = Some(label.at);
                }
            }
        }
    }

    #[test]
    fn of_a_roll_a_text_takes_one_short_piece() {
        let pages = laid("roll:610mm", 80);
        assert_eq!(pages.len(), 1);
        let shorter = pages[0].size_mm.width.min(pages[0].size_mm.height);
        assert!(shorter < 320.0, "{:?}", pages[0].size_mm);
    }

    #[test]
    fn paper_too_small_for_text_is_refused_in_a_sentence() {
        let setup = PageSetup::new(Paper::parse("80x80mm").unwrap(), Heading::default());
        let message = lay_out(&[text(3)], &setup).unwrap_err().to_string();
        assert!(message.contains("leaves no room for sheet \"build\""), "{message}");
    }
}
