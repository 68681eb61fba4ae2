//! Several sheets on one page, to save paper where it is large enough.

use crate::hull::{self, PAD_MM};
use crate::layout::Plan;
use crate::{PageSetup, PaperError, Sheet, roll, tables};
use kurbo::{Affine, Point, Rect, Vec2};
use marks::{FontFace, Label, Pen};

/// White between the drawings of two sheets, mm.
const WHITE_MM: f64 = 12.0;
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
    /// The one sheet as it came, or all joined.
    joined: Sheet,
}

impl Group {
    fn of(sheet: Sheet) -> Self {
        Self { keys: vec![sheet.key], joined: sheet }
    }
}

/// The same sheets, those for which `joins` holds put on the page of the one before wherever all
/// of what they show goes level on it: below each other, or else side by side. `joins` is given
/// two keys, of the sheet before and of the next. Each drawing keeps its size and stands under
/// its own title; the notes of each begin with that title.
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
        let wanted = groups.last_mut().filter(|group| {
            group.keys.last().is_some_and(|before| joins(before, sheet.key))
                && [&group.joined, &sheet].iter().all(|one| !one.drawing.items.is_empty())
        });
        let Some(group) = wanted else {
            groups.push(Group::of(sheet));
            continue;
        };
        // A page that so far holds one sheet shows it without a title over it.
        let alone = group.keys.len() == 1;
        let base = if alone { titled(&group.joined) } else { group.joined.clone() };
        let mut wider = None;
        for beside in [false, true] {
            let both = join(&base, &titled(&sheet), beside);
            if goes_on_one(&both, setup)? {
                wider = Some(both);
                break;
            }
        }
        if let Some(both) = wider {
            group.keys.push(sheet.key);
            group.joined = both;
        } else {
            apart.push((sheet.title.clone(), group.joined.title.clone()));
            groups.push(Group::of(sheet));
        }
    }
    let (keys, sheets) = groups.into_iter().map(|group| (group.keys, group.joined)).unzip();
    Ok(SharedSheets { sheets, keys, apart })
}

/// Whether all of a sheet goes level on one page.
fn goes_on_one(sheet: &Sheet, setup: &PageSetup) -> Result<bool, PaperError> {
    let own = roll::cut(sheet, setup)?;
    match tables::plans(sheet, &own) {
        Ok(plans) => Ok(matches!(plans[..], [(_, Plan::Single { turn_deg: 0.0, .. })])),
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

fn join(one: &Sheet, other: &Sheet, beside: bool) -> Sheet {
    let mut both = one.clone();
    let by = match (bounds(one), bounds(other)) {
        (Some(a), Some(b)) if beside => Vec2::new(a.x1 + WHITE_MM - b.x0, a.y1 - b.y1),
        (Some(a), Some(b)) => Vec2::new(a.x0 - b.x0, a.y0 - WHITE_MM - b.y1),
        _ => Vec2::ZERO,
    };
    both.drawing.extend(other.drawing.moved(Affine::translate(by)));
    both.title = format!("{} · {}", one.title, other.title);
    both.notes.extend(other.notes.iter().cloned());
    both.inserts.extend(other.inserts.iter().cloned());
    both
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
        Sheet { key, title: key.to_uppercase(), drawing, notes, inserts: Vec::new() }
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
        assert_eq!((large, wide.len()), (3, 3), "a and b; alone; c");
        assert!(small >= large && shared.len() >= wide.len());
        assert_eq!(wide[0].title, "A · B");
        assert_eq!(wide[0].notes, ["A: A note of a.", "B: A note of b."]);
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

    fn rect(item: &marks::Item) -> Option<Rect> {
        use kurbo::Shape;
        match &item.mark {
            marks::Mark::Path(path) => Some(path.bounding_box()),
            _ => None,
        }
    }
}
