//! Several sheets on one page, to save paper where it is large enough.

use crate::hull::{self, PAD_MM};
use crate::{PageSetup, PaperError, Sheet, roll, tables};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, FontFace, Label, Pen};

/// White between the drawings of two sheets, mm.
const WHITE_MM: f64 = 12.0;
/// A page takes no more sheets than these: every one that is added lays out all of them anew.
pub const MAX_SHARED: usize = 16;
/// Height of the title over each drawing, mm.
const TITLE_MM: f64 = 4.0;

/// Sheets after those that share a page were joined.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SharedSheets {
    /// The sheets to lay out. One that joins several bears the key of the first of them.
    pub sheets: Vec<Sheet>,
    /// For each of them, the keys of those it joins, in order.
    pub keys: Vec<Vec<&'static str>>,
    /// The titles of sheets that were to share a page and found no room there, each with what
    /// they were to stand beside.
    pub apart: Vec<(String, String)>,
}

/// The sheets of one page so far.
struct Group {
    keys: Vec<&'static str>,
    /// Each under its own title.
    titled: Vec<Sheet>,
    /// The one sheet as it came, or all joined.
    joined: Sheet,
}

impl Group {
    fn of(sheet: Sheet) -> Self {
        Self { keys: vec![sheet.key], titled: vec![titled(&sheet)], joined: sheet }
    }
}

/// The same sheets, those for which `joins` holds put on the page of one before them wherever all
/// of what they show goes level on it, in columns. `joins` is given two keys, of the sheet before
/// and of the next. Each drawing keeps its size and stands under its own title; the notes of each
/// begin with that title.
///
/// # Errors
/// As [`crate::lay_out`], but for want of room: such sheets stay by themselves and are told.
pub fn share(
    sheets: Vec<Sheet>,
    setup: &PageSetup,
    joins: impl Fn(&str, &str) -> bool,
) -> Result<SharedSheets, PaperError> {
    let mut groups: Vec<Group> = Vec::with_capacity(sheets.len());
    let mut apart = Vec::new();
    for sheet in sheets {
        // Cards and tables between them stand by themselves.
        let wanted = groups.iter_mut().rev().find(|group| {
            group.keys.len() < MAX_SHARED
                && group.keys.last().is_some_and(|before| joins(before, sheet.key))
                && [&group.joined, &sheet].iter().all(|one| !one.drawing.items.is_empty())
        });
        let Some(group) = wanted else {
            groups.push(Group::of(sheet));
            continue;
        };
        let mut all = group.titled.clone();
        all.push(titled(&sheet));
        if let Some(joined) = best(&all, setup)? {
            group.keys.push(sheet.key);
            (group.titled, group.joined) = (all, joined);
        } else {
            apart.push((sheet.title.clone(), group.joined.title.clone()));
            groups.push(Group::of(sheet));
        }
    }
    let (keys, sheets) = groups.into_iter().map(|group| (group.keys, group.joined)).unzip();
    Ok(SharedSheets { sheets, keys, apart })
}

/// These sheets in columns on one page; off a roll, on the shortest piece.
fn best(all: &[Sheet], setup: &PageSetup) -> Result<Option<Sheet>, PaperError> {
    let mut found: Option<(f64, Sheet)> = None;
    for many in 1..=all.len() {
        let Some(joined) = join(all, many) else { continue };
        let own = roll::cut(&joined, setup)?;
        let length_mm = own.paper.size_mm.height;
        if found.as_ref().is_some_and(|(min, _)| *min <= length_mm) || !goes(&joined, &own)? {
            continue;
        }
        found = Some((length_mm, joined));
        if setup.paper.roll_mm.is_none() {
            break;
        }
    }
    Ok(found.map(|(_, sheet)| sheet))
}

/// Whether all of a sheet goes level on one page.
fn goes(sheet: &Sheet, setup: &PageSetup) -> Result<bool, PaperError> {
    match tables::one_page(sheet, setup) {
        Ok(page) => Ok(page.is_some()),
        Err(PaperError::NoRoom { .. } | PaperError::TooLarge { .. }) => Ok(false),
        Err(error) => Err(error),
    }
}

/// A sheet with its title over its drawing and before its notes.
fn titled(sheet: &Sheet) -> Sheet {
    let mut own = sheet.clone();
    if let Some(bounds) = bounds(sheet) {
        let at = Point::new(bounds.x0, bounds.y1 + PAD_MM + TITLE_MM);
        let label = Label { face: FontFace::Bold, ..Label::new(sheet.title.clone(), at, TITLE_MM) };
        own.drawing.text(Pen::Lettering, label);
    }
    if let Some(note) = own.notes.first_mut() {
        *note = format!("{}: {note}", sheet.title);
    }
    own
}

fn bounds(sheet: &Sheet) -> Option<Rect> {
    hull::bounds(&hull::points(&sheet.drawing))
}

/// Sheets in so many columns, in order; `None` when one has no drawing.
fn join(all: &[Sheet], many: usize) -> Option<Sheet> {
    let boxes: Vec<Rect> = all.iter().map(bounds).collect::<Option<_>>()?;
    let columns = columns(&boxes, many);
    let mut joined = all.first()?.clone();
    joined.drawing = Drawing::new();
    joined.reduced = Vec::new();
    joined.title = all.iter().map(|one| one.title.as_str()).collect::<Vec<_>>().join(" · ");
    for (one, by) in all.iter().zip(&columns.by) {
        joined.drawing.extend(one.drawing.moved(Affine::translate(*by)));
    }
    joined.notes = all.iter().flat_map(|one| one.notes.iter().cloned()).collect();
    joined.inserts = all.iter().flat_map(|one| one.inserts.iter().cloned()).collect();
    Some(joined)
}

/// Boxes in columns, in order.
struct Columns {
    /// How far each goes, so that the upper left corner of them all lies at the origin, mm.
    by: Vec<Vec2>,
    /// The room that all of them take, mm.
    #[cfg_attr(not(test), expect(dead_code, reason = "a measure for the tests"))]
    size: Size,
}

/// These boxes in at most so many columns, none of them taller than it must be.
fn columns(boxes: &[Rect], many: usize) -> Columns {
    let filled = |tall: f64| {
        let (mut by, mut left, mut right, mut top, mut low) = (Vec::new(), 0.0, 0.0, 0.0, 0.0);
        let mut count = 1;
        for own in boxes {
            if top < 0.0 && own.height() - top > tall + 1e-9 {
                left = right + WHITE_MM;
                top = 0.0;
                count += 1;
            }
            by.push(Vec2::new(left - own.x0, top - own.y1));
            right = f64::max(right, left + own.width());
            low = f64::min(low, top - own.height());
            top -= own.height() + WHITE_MM;
        }
        (count, Columns { by, size: Size::new(right, -low) })
    };
    // A column is as tall as some of them that follow each other.
    let stacks = |from: usize| {
        boxes[from..].iter().scan(-WHITE_MM, |tall, own| {
            *tall += own.height() + WHITE_MM;
            Some(*tall)
        })
    };
    let mut heights: Vec<f64> = (0..boxes.len()).flat_map(stacks).collect();
    heights.sort_by(f64::total_cmp);
    let tallest = boxes.iter().map(Rect::height).fold(0.0, f64::max);
    let fits = |tall: &f64| *tall >= tallest && filled(*tall).0 <= many;
    let tall = heights.into_iter().find(fits).unwrap_or(f64::INFINITY);
    filled(tall).1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, Paper, lay_out};
    use marks::Drawing;

    fn sheet(key: &'static str, width_mm: f64) -> Sheet {
        let mut drawing = Drawing::new();
        drawing.rect(Pen::Cut, Rect::new(5.0, 5.0, 5.0 + width_mm, 45.0));
        let notes = vec![format!("A note of {key}.")];
        Sheet {
            key,
            title: key.to_uppercase(),
            drawing,
            notes,
            inserts: Vec::new(),
            ..Sheet::default()
        }
    }

    fn pages(paper: &str, sheets: &[Sheet]) -> (usize, Vec<Sheet>) {
        let setup = PageSetup::new(Paper::parse(paper).unwrap(), Heading::default());
        let may = |key: &str| key != "alone";
        let shared = share(sheets.to_vec(), &setup, |a, b| may(a) && may(b)).unwrap();
        (lay_out(&shared.sheets, &setup).unwrap().len(), shared.sheets)
    }

    #[test]
    fn sheets_share_a_page_where_there_is_room_and_none_is_lost() {
        let all = [sheet("a", 180.0), sheet("b", 190.0), sheet("alone", 50.0), sheet("c", 60.0)];
        let (small, shared) = pages("a4", &all);
        let (large, wide) = pages("a1", &all);
        assert_eq!((large, wide.len()), (2, 2), "a, b and c; alone");
        assert!(small >= large && shared.len() >= wide.len());
        assert_eq!(wide[0].title, "A · B · C");
        assert_eq!(wide[0].notes, ["A: A note of a.", "B: A note of b.", "C: A note of c."]);
        assert_eq!(wide[1], all[2]);
        for shared in [&shared, &wide] {
            let cut = |sheet: &Sheet| {
                sheet.drawing.items.iter().filter(|item| item.pen == Pen::Cut).count()
            };
            assert_eq!(shared.iter().map(cut).sum::<usize>(), 4);
        }
        // Three in a row, one below the other, apart.
        let (_, three) = pages("a0", &[sheet("a", 180.0), sheet("b", 90.0), sheet("c", 60.0)]);
        assert_eq!((three.len(), three[0].title.as_str()), (1, "A · B · C"));
        let boxes: Vec<Rect> = three[0].drawing.items.iter().filter_map(rect).collect();
        assert!(boxes[0].y0 > boxes[1].y1 + WHITE_MM - 1e-9, "{boxes:?}");
        assert!((boxes[1].width() - 90.0).abs() < 1e-9, "at true size");
    }

    #[test]
    fn only_those_share_that_shall_and_who_finds_no_room_is_told() {
        let all = [sheet("a", 180.0), sheet("b", 90.0), sheet("c", 60.0), sheet("d", 300.0)];
        let setup = PageSetup::new(Paper::parse("a3").unwrap(), Heading::default());
        let shared = share(all.to_vec(), &setup, |a, b| (a, b) != ("a", "b")).unwrap();
        assert_eq!(shared.keys, [vec!["a"], vec!["b", "c", "d"]]);
        assert!(shared.apart.is_empty());
        let setup = PageSetup::new(Paper::parse("a4").unwrap(), Heading::default());
        let shared = share(all.to_vec(), &setup, |a, b| (a, b) != ("a", "b")).unwrap();
        assert_eq!(shared.keys, [vec!["a"], vec!["b", "c"], vec!["d"]]);
        assert_eq!(shared.apart, [("D".to_owned(), "B · C".to_owned())]);
        let keys: Vec<_> = shared.sheets.iter().map(|sheet| sheet.key).collect();
        assert_eq!(keys, ["a", "b", "d"], "the first one's");
    }

    /// By hand: of heights 30, 10, 10, 20 and 12 between, one column is 70 + 3 × 12 = 106 high; two
    /// are 52 (30 and 10; 10 and 20); three 32 (30; 10 and 10; 20).
    #[test]
    fn columns_are_filled_in_order_and_no_taller_than_they_must_be() {
        let own = |tall: f64, wide: f64| Rect::new(5.0, -3.0 - tall, 5.0 + wide, -3.0);
        let boxes = [own(30.0, 50.0), own(10.0, 60.0), own(10.0, 40.0), own(20.0, 20.0)];
        let placed = |many: usize| {
            let columns = columns(&boxes, many);
            let placed: Vec<Rect> = boxes.iter().zip(&columns.by).map(|(b, by)| *b + *by).collect();
            (columns.size, placed)
        };
        let (size, one) = placed(1);
        assert_eq!(size, Size::new(60.0, 106.0));
        assert_eq!(one[1], Rect::new(0.0, -52.0, 60.0, -42.0));
        let (size, two) = placed(2);
        assert_eq!(size, Size::new(112.0, 52.0));
        assert_eq!(two[2], Rect::new(72.0, -10.0, 112.0, 0.0));
        assert_eq!(two[3], Rect::new(72.0, -42.0, 92.0, -22.0));
        let (size, three) = placed(3);
        assert_eq!(size, Size::new(50.0 + 60.0 + 20.0 + 2.0 * WHITE_MM, 32.0));
        assert_eq!(three[3].origin(), Point::new(134.0, -20.0));
    }

    fn rect(item: &marks::Item) -> Option<Rect> {
        use kurbo::Shape;
        match &item.mark {
            marks::Mark::Path(path) => Some(path.bounding_box()),
            _ => None,
        }
    }
}
