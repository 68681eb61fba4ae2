//! Several sheets on one page, to save paper where it is large enough.

use crate::hull::{self, PAD_MM};
use crate::layout::Plan;
use crate::{PaperError, Setup, Sheet, insert, roll};
use drawing::{Face, Label, Pen};
use kurbo::{Affine, Point, Rect, Vec2};

/// White between the drawings of two sheets, mm.
const WHITE_MM: f64 = 12.0;
/// Height of the title over each drawing, mm.
const TITLE_MM: f64 = 4.0;

/// The same sheets, neighbours of which `may` holds joined wherever all of what they show goes
/// level on one page: below each other, or else side by side. Each drawing keeps its size and
/// stands under its own title; the notes of each begin with that title.
///
/// # Errors
/// As [`crate::lay_out`], but for want of room: such sheets stay by themselves.
pub fn share(
    sheets: Vec<Sheet>,
    setup: &Setup,
    may: impl Fn(&Sheet) -> bool,
) -> Result<Vec<Sheet>, PaperError> {
    let mut out = Vec::with_capacity(sheets.len());
    // Those that share a page so far: as they came, and joined.
    let mut group: Option<(Sheet, Sheet)> = None;
    for sheet in sheets {
        if !may(&sheet) || sheet.drawing.items.is_empty() {
            out.extend(group.take().map(|(_, joined)| joined));
            out.push(sheet);
            continue;
        }
        let Some((first, joined)) = group.take() else {
            group = Some((sheet.clone(), sheet));
            continue;
        };
        // A page that so far holds one sheet shows it without a title over it.
        let base = if first.title == joined.title { titled(&joined) } else { joined.clone() };
        let mut wider = None;
        for beside in [false, true] {
            let both = join(&base, &titled(&sheet), beside);
            if goes_on_one(&both, setup)? {
                wider = Some(both);
                break;
            }
        }
        group = match wider {
            Some(both) => Some((first, both)),
            None => {
                out.push(joined);
                Some((sheet.clone(), sheet))
            }
        };
    }
    out.extend(group.map(|(_, joined)| joined));
    Ok(out)
}

/// Whether all of a sheet goes level on one page.
fn goes_on_one(sheet: &Sheet, setup: &Setup) -> Result<bool, PaperError> {
    let own = roll::cut(sheet, setup)?;
    match insert::plans(sheet, &own) {
        Ok(plans) => Ok(matches!(plans[..], [(_, Plan::One { turn_deg: 0.0, .. })])),
        Err(PaperError::NoRoom { .. } | PaperError::TooLarge { .. }) => Ok(false),
        Err(error) => Err(error),
    }
}

/// A sheet with its title over its drawing and before its notes.
fn titled(sheet: &Sheet) -> Sheet {
    let mut own = sheet.clone();
    if let Some(bounds) = bounds(sheet) {
        let at = Point::new(bounds.x0, bounds.y1 + PAD_MM + TITLE_MM);
        let label = Label { face: Face::Bold, ..Label::new(sheet.title.clone(), at, TITLE_MM) };
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
    use drawing::Drawing;

    fn sheet(key: &'static str, width_mm: f64) -> Sheet {
        let mut drawing = Drawing::new();
        drawing.rect(Pen::Cut, Rect::new(5.0, 5.0, 5.0 + width_mm, 45.0));
        let notes = vec![format!("A note of {key}.")];
        Sheet { key, title: key.to_uppercase(), drawing, notes, inserts: Vec::new() }
    }

    fn pages(paper: &str, sheets: &[Sheet]) -> (usize, Vec<Sheet>) {
        let setup = Setup::new(Paper::read(paper).unwrap(), Heading::default());
        let shared = share(sheets.to_vec(), &setup, |sheet| sheet.key != "alone").unwrap();
        (lay_out(&shared, &setup).unwrap().len(), shared)
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

    fn rect(item: &drawing::Item) -> Option<Rect> {
        use kurbo::Shape;
        match &item.mark {
            drawing::Mark::Path(path) => Some(path.bounding_box()),
            _ => None,
        }
    }
}
