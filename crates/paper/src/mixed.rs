//! A sheet of a drawing, charts and text whose text begins on the drawing's page: the charts stand
//! along its top, the drawing over what shows the scale, the text in columns between them and on
//! pages after it.

use crate::corner::ScaleCheck;
use crate::flow::{self, FEW, GUTTER_MM, HEIGHTS_MM};
use crate::frame::{measure_frame, sizes, text_room};
use crate::hull;
use crate::plan::TextPage;
use crate::template::PageTemplate;
use crate::{PageSetup, Sheet};
use kurbo::{Affine, Rect, Size, Vec2};
use marks::{Drawing, Insert, TextLine};

/// White beside the upright rule, mm.
const WHITE_MM: f64 = 3.0;
/// White between text and what stands above or below it, mm.
const APART_MM: f64 = 5.0;
/// A column lower than this takes no text, mm.
const MIN_COLUMN_MM: f64 = 30.0;

/// The pages of such a sheet; `None` for any other sheet, and where its charts or its drawing find
/// no room so.
pub(crate) fn plan(sheet: &Sheet, setup: &PageSetup) -> Option<Vec<TextPage>> {
    let is_mixed = !sheet.drawing.items.is_empty() && flow::texts(sheet).next().is_some();
    if !is_mixed || setup.paper.roll_mm.is_some() || setup.margin_mm < 0.0 {
        return None;
    }
    let mut best: Option<Vec<TextPage>> = None;
    for height_mm in HEIGHTS_MM {
        let [lying, upright] = sizes(setup);
        for size in [upright, lying] {
            let Some(pages) = pages_of(sheet, setup, size, height_mm) else { continue };
            let is_fewer = best.as_ref().is_none_or(|best| pages.len() < best.len());
            // A smaller size is worth it only where the text then takes few pages.
            if is_fewer && (best.is_none() || pages.len() <= FEW) {
                best = Some(pages);
            }
        }
        if best.as_ref().is_some_and(|best| best.len() <= FEW) {
            break;
        }
    }
    best
}

fn pages_of(sheet: &Sheet, setup: &PageSetup, size: Size, height_mm: f64) -> Option<Vec<TextPage>> {
    let template = *PageTemplate::level(ScaleCheck::Slim).first()?;
    let framed = measure_frame(&flow::bare(sheet), setup, size, template, &[]);
    if !framed.is_sound() {
        return None;
    }
    let mut window = framed.inner;
    window.x0 += template.corner.check.breadth_mm() + WHITE_MM;
    let mut page = Drawing::new();
    for chart in charts(sheet) {
        let own = boxed(chart)?;
        if own.width() > window.width() || own.height() > window.height() {
            return None;
        }
        let by = Vec2::new(window.x0 - own.x0, window.y1 - own.y1);
        page.extend(chart.moved(Affine::translate(by)));
        window.y1 -= own.height() + APART_MM;
    }
    let (_, wide_mm) = flow::columns_across(window.width());
    let mut columns = columns(window, wide_mm);
    // The drawing stands as far right as it goes, over what shows the scale.
    let own = boxed(&sheet.drawing)?;
    let x = (columns.last()?.x0).min(window.x1 - own.width());
    let mut stands = framed.corner.rects;
    let place = Rect::new(x, window.y0, x + own.width(), window.y1);
    let foot = foot(place, &stands);
    if x < window.x0 || foot + own.height() > window.y1 {
        return None;
    }
    let by = Vec2::new(x, foot) - own.origin().to_vec2();
    stands.push(own + by);
    for column in &mut columns {
        column.y0 = self::foot(*column, &stands);
    }
    columns.retain(|column| column.height() >= MIN_COLUMN_MM);
    let lines: Vec<TextLine> =
        flow::texts(sheet).flat_map(|text| text.layout_lines(wide_mm, height_mm)).collect();
    let after = self::columns(text_room(size, setup), wide_mm);
    let first = columns.into_iter().map(|column| (0, column));
    let rest = (1..).flat_map(|page| after.iter().map(move |column| (page, *column)));
    let mut texts = flow::pour(&lines, first.chain(rest)).into_iter();
    page.extend(texts.next().unwrap_or_default());
    let first = TextPage { size, drawing: page, frame: Some((template, by)) };
    let rest = texts.map(|drawing| TextPage { size, drawing, frame: None });
    Some(std::iter::once(first).chain(rest).collect())
}

fn charts(sheet: &Sheet) -> impl Iterator<Item = &Drawing> {
    sheet.inserts.iter().filter_map(|insert| match insert {
        Insert::Table(drawing) | Insert::Chart(drawing) => Some(drawing),
        Insert::Spare(_) | Insert::Text(_) => None,
    })
}

/// A drawing's box with white around it; `None` for one that has none.
fn boxed(drawing: &Drawing) -> Option<Rect> {
    let own = hull::extent(drawing)?;
    own.is_finite().then_some(own)
}

/// As many columns of a width as stand in a window, from side to side.
fn columns(window: Rect, wide_mm: f64) -> Vec<Rect> {
    let many = ((window.width() + GUTTER_MM + 1e-6) / (wide_mm + GUTTER_MM)).floor().max(1.0);
    let gutter = if many > 1.0 { (window.width() - many * wide_mm) / (many - 1.0) } else { 0.0 };
    let lefts = std::iter::successors(Some(window.x0), |x| Some(x + wide_mm + gutter));
    let lefts = lefts.take_while(|x| x + wide_mm <= window.x1 + 1e-6);
    lefts.map(|x| Rect::new(x, window.y0, x + wide_mm, window.y1)).collect()
}

/// How far down a place is free of what stands on the page.
fn foot(place: Rect, stands: &[Rect]) -> f64 {
    let beside = |own: &&Rect| own.x0 < place.x1 + WHITE_MM && own.x1 > place.x0 - WHITE_MM;
    let tops = stands.iter().filter(beside).map(|own| own.y1 + APART_MM);
    tops.fold(place.y0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, Page, Paper, lay_out};
    use kurbo::Point;
    use marks::{Bullet, Mark, Paragraph, Pen, TextFlow, lettering};

    fn sheet(paragraphs: usize) -> Sheet {
        let mut drawing = Drawing::new();
        drawing.line(Pen::Cut, Point::new(3.0, 3.0), Point::new(73.0, 43.0));
        let mut chart = Drawing::new();
        chart.rect(Pen::Frame, Rect::new(0.0, 0.0, 150.0, 60.0));
        let words = "Heat it slowly and evenly, thick parts first, the tip last. ".repeat(3);
        let own = |i: usize| match i % 9 {
            0 => Paragraph::Heading(format!("Part {i}")),
            _ => Paragraph::Body(Bullet::Caution, words.clone()),
        };
        let paragraphs = (0..paragraphs).map(own).collect();
        let inserts = vec![Insert::Chart(chart), Insert::Text(TextFlow { paragraphs })];
        Sheet { key: "heat", title: "Heat".into(), drawing, inserts, ..Sheet::default() }
    }

    fn pages(paper: &str, paragraphs: usize) -> Vec<Page> {
        let setup = PageSetup::new(Paper::parse(paper).unwrap(), Heading::default());
        lay_out(&[sheet(paragraphs)], &setup).unwrap()
    }

    fn bold(page: &Page) -> usize {
        let is_bold =
            |item: &&marks::Item| matches!(&item.mark, Mark::Text(label) if label.text == "!");
        page.drawing.items.iter().filter(is_bold).count()
    }

    #[test]
    fn text_begins_beside_the_drawing_and_none_is_lost_or_covered() {
        for (paper, max) in [("letter", 2), ("a4", 2), ("legal", 2), ("a3", 1)] {
            let pages = pages(paper, 50);
            assert!(pages.len() <= max, "{paper}: {}", pages.len());
            // 44 cautions: nine in every part of nine but its heading.
            assert_eq!(pages.iter().map(bold).sum::<usize>(), 44, "{paper}");
            assert!(bold(&pages[0]) > 8, "{paper}");
            let true_line = pages[0].from_sheet * Point::new(3.0, 3.0);
            let found = pages[0].drawing.items.iter().any(|item| match &item.mark {
                Mark::Path(path) if item.pen == Pen::Cut => path
                    .elements()
                    .first()
                    .and_then(kurbo::PathEl::end_point)
                    .is_some_and(|at| at.distance(true_line) < 1e-9),
                _ => false,
            });
            assert!(found, "{paper}");
            for page in &pages {
                let boxes: Vec<Rect> = page
                    .drawing
                    .items
                    .iter()
                    .filter_map(|item| match &item.mark {
                        Mark::Text(label) if label.text != "!" => {
                            hull::bounds(&lettering::corners(label))
                        }
                        Mark::Path(path) if item.pen == Pen::Cut => {
                            Some(kurbo::Shape::bounding_box(path))
                        }
                        _ => None,
                    })
                    .collect();
                for (i, own) in boxes.iter().enumerate() {
                    for other in &boxes[i + 1..] {
                        assert!(own.intersect(*other).area() < 1e-6, "{paper}: {own:?} {other:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_small_paper_parts_them() {
        let pages = pages("a5", 20);
        assert!(pages.len() >= 3);
        assert!(pages.iter().all(|page| !page.name.contains("tile")));
    }
}
