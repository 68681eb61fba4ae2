//! Several sheets on one page, to save paper where it is large enough.

use crate::hull::{self, PAD_MM};
use crate::panel::Panel;
use crate::plan::Plan;
use crate::{PageSetup, PaperError, Sheet, flow, tables, together};
use kurbo::{Affine, Point, Rect, Size, Vec2};
use marks::{Drawing, FontFace, Insert, Label, Pen};
use rayon::iter::{IntoParallelIterator as _, ParallelIterator as _};

/// White between the drawings of two sheets, mm.
const WHITE_MM: f64 = 12.0;
/// A page takes no more sheets than these: every one that is added lays out all of them anew.
pub const MAX_SHARED: usize = 16;
/// Height of the title over each drawing, mm.
const TITLE_MM: f64 = 4.0;
/// Paper whose shorter side is at least this is laid out in panels, all sheets alike (tabloid has
/// 279.4 mm); on smaller paper drawings stand one below the other.
const LARGE_MM: f64 = 270.0;
/// So is what comes off a roll at least so wide; off a narrower one cards are better cut by
/// themselves.
const LARGE_ROLL_MM: f64 = 400.0;

/// Sheets after those that share a page were joined.
#[derive(Default)]
pub struct SharedSheets {
    /// The sheets to lay out, in order.
    pub groups: Vec<SharedGroup>,
    /// The titles of sheets that were to share a page and found no room there, each with what
    /// they were to stand beside.
    pub apart: Vec<(String, String)>,
}

/// The sheets of one page, or one that stands by itself.
pub struct SharedGroup {
    /// Their keys, in order.
    pub keys: Vec<&'static str>,
    /// The one sheet as it came, or all joined: it bears the key of the first of them.
    pub sheet: Sheet,
    /// How those that are joined go on their page, and its paper, where that is settled.
    pub(crate) plan: Option<(Plan, PageSetup)>,
}

/// Whether all sheets alike share pages of this paper without being asked, cards and tables too.
pub fn is_large(setup: &PageSetup) -> bool {
    let min_mm = if setup.paper.roll_mm.is_some() { LARGE_ROLL_MM } else { LARGE_MM };
    setup.paper.portrait_mm().width >= min_mm
}

/// The same sheets, those for which `joins` holds put on the page of one before them wherever all
/// of what they show goes level on it. `joins` is given two keys, of the sheet before and of the
/// next. Each drawing keeps its size, and each sheet stands under its own title.
///
/// # Errors
/// As [`crate::lay_out`], but for want of room: such sheets stay by themselves and are told.
pub fn share(
    sheets: Vec<Sheet>,
    setup: &PageSetup,
    joins: impl Fn(&str, &str) -> bool,
) -> Result<SharedSheets, PaperError> {
    let mut chains: Vec<Vec<usize>> = Vec::new();
    for (i, sheet) in sheets.iter().enumerate() {
        // What stands by itself may lie between them.
        let wanted = chains.iter_mut().rev().find(|chain| {
            chain.len() < MAX_SHARED
                && chain.last().is_some_and(|before| joins(sheets[*before].key, sheet.key))
        });
        match wanted {
            Some(chain) => chain.push(i),
            None => chains.push(vec![i]),
        }
    }
    let mut gathering = Gathering { sheets: &sheets, setup, panels: Vec::new(), apart: Vec::new() };
    let mut found: Vec<Gathered> = Vec::new();
    for chain in chains {
        found.extend(gathering.gather(&chain)?);
    }
    let apart = gathering.apart;
    found.sort_by(|(a, _), (b, _)| a.cmp(b));
    let mut sheets: Vec<Option<Sheet>> = sheets.into_iter().map(Some).collect();
    let mut groups = Vec::with_capacity(found.len());
    for (members, joined) in found {
        let own: Vec<Sheet> = members.iter().filter_map(|i| sheets[*i].take()).collect();
        let keys = own.iter().map(|sheet| sheet.key).collect();
        let (sheet, plan) = match joined {
            Some(Joined { sheet, plan }) => (Some(sheet), Some(plan)),
            None => (own.into_iter().next(), None),
        };
        groups.extend(sheet.map(|sheet| SharedGroup { keys, sheet, plan }));
    }
    Ok(SharedSheets { groups, apart })
}

/// Several sheets as one, with how that goes on its page.
struct Joined {
    sheet: Sheet,
    plan: (Plan, PageSetup),
}

impl Joined {
    fn of((sheet, plan, setup): (Sheet, Plan, PageSetup)) -> Self {
        Self { sheet, plan: (plan, setup) }
    }
}

/// Sheets that share a page, by their places, and what they are joined to; one alone is joined to
/// nothing.
type Gathered = (Vec<usize>, Option<Joined>);

/// Sheets on their way to shared pages.
struct Gathering<'a> {
    sheets: &'a [Sheet],
    setup: &'a PageSetup,
    /// Each sheet as a panel: with what stands only where there is room, then without; none until
    /// they are asked for.
    panels: Vec<Vec<Option<Panel<'a>>>>,
    apart: Vec<(String, String)>,
}

impl Gathering<'_> {
    /// Sheets that are to share pages, by their places: on one page, else each on one that still
    /// takes it.
    fn gather(&mut self, chain: &[usize]) -> Result<Vec<Gathered>, PaperError> {
        let is_large = self.stands_in_panels();
        if chain.len() > 1
            && is_large
            && let Some(joined) = self.in_panels(chain)
        {
            return Ok(vec![(chain.to_vec(), Some(joined))]);
        }
        // Drawings first: cards and tables go where these leave room.
        let is_plain = |i: &usize| is_plain_drawing(&self.sheets[*i]);
        let (first, rest): (Vec<usize>, Vec<usize>) =
            chain.iter().partition(|i| !is_large || is_plain(i));
        let mut groups: Vec<Gathered> = Vec::new();
        for i in first.into_iter().chain(rest) {
            // On small paper the order of the work is worth more than a place on an earlier page.
            let from = if is_large { 0 } else { groups.len().saturating_sub(1) };
            let mut found = None;
            for (k, (members, _)) in groups.iter().enumerate().skip(from) {
                let mut all: Vec<usize> = members.iter().copied().chain([i]).collect();
                all.sort_unstable();
                if let Some(joined) = self.join(&all)? {
                    found = Some((k, (all, Some(joined))));
                    break;
                }
            }
            match found {
                Some((k, group)) => groups[k] = group,
                None => groups.push((vec![i], None)),
            }
        }
        groups.sort_by(|(a, _), (b, _)| a.cmp(b));
        let titles = |members: &[usize]| {
            let titles = members.iter().map(|i| self.sheets[*i].title.as_str());
            titles.collect::<Vec<_>>().join(" · ")
        };
        let apart = groups.windows(2).map(|pair| (titles(&pair[1].0[..1]), titles(&pair[0].0)));
        self.apart.extend(apart);
        Ok(groups)
    }

    /// Whether sheets are panels on this paper, drawings too.
    fn stands_in_panels(&self) -> bool {
        self.setup.paper.roll_mm.is_some() || is_large(self.setup)
    }

    /// These sheets on one page, if they go.
    fn join(&mut self, members: &[usize]) -> Result<Option<Joined>, PaperError> {
        let all: Vec<&Sheet> = members.iter().map(|i| &self.sheets[*i]).collect();
        let is_plain = all.iter().all(|sheet| is_plain_drawing(sheet));
        if self.stands_in_panels() || !is_plain {
            let joined = self.in_panels(members);
            let is_flat = self.setup.paper.roll_mm.is_none();
            if joined.is_some() || !(is_plain && is_flat) {
                return Ok(joined);
            }
        }
        in_columns(&all.into_iter().map(titled).collect::<Vec<_>>(), self.setup)
    }

    /// These sheets as panels on one page, if they go.
    fn in_panels(&mut self, members: &[usize]) -> Option<Joined> {
        if self.panels.is_empty() {
            self.panels = panels(self.sheets, self.setup);
        }
        let is_spare = |insert: &Insert| matches!(insert, Insert::Spare(_));
        let has_spare = members.iter().any(|i| self.sheets[*i].inserts.iter().any(is_spare));
        let [with, without] = &mut self.panels[..] else { return None };
        let mut with = if has_spare { Some(of(with, members)?) } else { None };
        if self.setup.paper.roll_mm.is_none()
            && let Some(with) = &mut with
            && let Some(page) = together::page(with, self.setup)
        {
            return Some(Joined::of(page.drawn(with)));
        }
        let mut without = of(without, members)?;
        let page = together::page(&mut without, self.setup)?;
        // A roll is cut to what must be there; what stands only where there is room finds it or not.
        if self.setup.paper.roll_mm.is_some()
            && let Some(with) = &mut with
            && let Some(page) = together::page_of(with, &page.setup)
        {
            return Some(Joined::of(page.drawn(with)));
        }
        Some(Joined::of(page.drawn(&without)))
    }
}

/// Those of the panels that stand at these places; `None` where one of them stands alone.
fn of<'p, 'a>(
    panels: &'p mut [Option<Panel<'a>>],
    members: &[usize],
) -> Option<Vec<&'p mut Panel<'a>>> {
    let own = panels.iter_mut().enumerate().filter(|(i, _)| members.contains(i));
    own.map(|(_, panel)| panel.as_mut()).collect()
}

/// Whether a sheet is a drawing with tables and notes at most.
fn is_plain_drawing(sheet: &Sheet) -> bool {
    !sheet.drawing.items.is_empty() && flow::texts(sheet).next().is_none()
}

/// Sheets as panels, with what stands only where there is room, and without.
fn panels<'a>(sheets: &'a [Sheet], setup: &PageSetup) -> Vec<Vec<Option<Panel<'a>>>> {
    // Room is for what isn't there already.
    let is_twice = |spare: &Drawing| {
        let table = |insert: &Insert| matches!(insert, Insert::Table(own) if own == spare);
        sheets.iter().any(|sheet| sheet.inserts.iter().any(table))
    };
    let with = sheets.iter().map(|sheet| Panel::of(sheet, setup, |spare| !is_twice(spare)));
    let without = sheets.iter().map(|sheet| Panel::of(sheet, setup, |_| false));
    vec![with.collect(), without.collect()]
}

/// Drawings one below the other, in as few columns as go on one page.
fn in_columns(all: &[Sheet], setup: &PageSetup) -> Result<Option<Joined>, PaperError> {
    let columns = |many: usize| {
        let joined = stacked(all, many)?;
        match tables::one_page(&joined, setup) {
            Ok(page) => page.map(|(sheet, plan)| Ok(Joined { sheet, plan: (plan, setup.clone()) })),
            Err(PaperError::NoRoom { .. } | PaperError::TooLarge { .. }) => None,
            Err(error) => Some(Err(error)),
        }
    };
    (1..=all.len()).into_par_iter().find_map_first(columns).transpose()
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
    hull::drawing_bounds(&sheet.drawing)
}

/// Sheets in so many columns, in order; `None` when one has no drawing.
fn stacked(all: &[Sheet], many: usize) -> Option<Sheet> {
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
    use crate::layout::lay_out_shared;
    use crate::{Heading, Page, Paper};
    use marks::{Bullet, Mark, Paragraph, TextFlow};

    fn sheet(key: &'static str, width_mm: f64) -> Sheet {
        let mut drawing = Drawing::new();
        drawing.rect(Pen::Cut, Rect::new(5.0, 5.0, 5.0 + width_mm, 45.0));
        let notes = vec![format!("A note of {key}.")];
        Sheet { key, title: key.to_uppercase(), drawing, notes, ..Sheet::default() }
    }

    fn card(key: &'static str, paragraphs: usize) -> Sheet {
        let words = "Heat it slowly and evenly, thick parts first, the tip last. ".repeat(3);
        let paragraphs = vec![Paragraph::Body(Bullet::Caution, words); paragraphs];
        let inserts = vec![Insert::Text(TextFlow { paragraphs })];
        Sheet { key, title: key.to_uppercase(), inserts, ..Sheet::default() }
    }

    fn setup(paper: &str) -> PageSetup {
        PageSetup::new(Paper::parse(paper).unwrap(), Heading::default())
    }

    /// The pages, and the keys on each.
    fn pages(paper: &str, sheets: &[Sheet]) -> (Vec<Page>, Vec<Vec<&'static str>>) {
        let may = |key: &str| key != "alone";
        let shared = share(sheets.to_vec(), &setup(paper), |a, b| may(a) && may(b)).unwrap();
        let keys = shared.groups.iter().map(|group| group.keys.clone()).collect();
        let (pages, none) = lay_out_shared(shared, &setup(paper), &mut |_, _, _| ()).unwrap();
        assert!(none.is_empty());
        (pages, keys)
    }

    fn count(pages: &[Page], is: impl Fn(&marks::Item) -> bool) -> usize {
        pages.iter().map(|page| page.drawing.items.iter().filter(|item| is(item)).count()).sum()
    }

    #[test]
    fn sheets_share_a_page_where_there_is_room_and_none_is_lost() {
        let all = [sheet("a", 180.0), sheet("b", 190.0), sheet("alone", 50.0), sheet("c", 60.0)];
        let (small, _) = pages("a4", &all);
        let (large, keys) = pages("a1", &all);
        assert_eq!(keys, [vec!["a", "b", "c"], vec!["alone"]]);
        assert!(small.len() >= large.len() && large.len() == 2);
        assert_eq!(large[0].name, "A · B · C");
        let corners = |page: &Page| -> Vec<Rect> {
            page.drawing.items.iter().filter(|item| item.pen == Pen::Cut).filter_map(rect).collect()
        };
        for pages in [&small, &large] {
            assert_eq!(count(pages, |item| item.pen == Pen::Cut), 4);
        }
        let boxes = corners(&large[0]);
        assert!((boxes[1].width() - 190.0).abs() < 1e-9, "at true size");
        for (i, own) in boxes.iter().enumerate() {
            for other in &boxes[i + 1..] {
                let apart = own.inflate(WHITE_MM - 1e-6, WHITE_MM - 1e-6).intersect(*other);
                assert!(apart.area() < 1e-9, "{own:?} {other:?}");
            }
        }
        let corner = large[0].from_sheet * Point::new(5.0, 5.0);
        assert!(corner.distance(boxes[0].origin()) < 1e-9, "the first one's own plane");
    }

    #[test]
    fn cards_and_tables_stand_on_the_page_of_drawings_where_it_is_large() {
        let mut table = Drawing::new();
        table.rect(Pen::Frame, Rect::new(0.0, 0.0, 120.0, 60.0));
        let figures = Sheet {
            inserts: vec![Insert::Table(table)],
            drawing: Drawing::new(),
            ..sheet("t", 1.0)
        };
        let all = [sheet("a", 180.0), card("heat", 40), figures, card("build", 60)];
        for paper in ["a0", "a1", "roll:610mm", "roll:24in"] {
            let (pages, keys) = pages(paper, &all);
            assert_eq!(keys, [vec!["a", "heat", "t", "build"]], "{paper}");
            assert_eq!(pages.len(), 1);
            let signs =
                count(&pages, |item| matches!(&item.mark, Mark::Text(own) if own.text == "!"));
            assert_eq!(signs, 100, "every caution");
            assert!(count(&pages, |item| item.pen == Pen::Ruler) > 50);
            for title in ["A", "HEAT", "T", "BUILD"] {
                let own = |item: &marks::Item| matches!(&item.mark, Mark::Text(own) if own.text == title && own.height_mm > 4.9);
                assert_eq!(count(&pages, own), 1, "{title}");
            }
            let inside = Rect::from_origin_size((0.0, 0.0), pages[0].size_mm).inset(-9.99);
            let all = pages[0].drawing.bounds().unwrap();
            assert_eq!(inside.union(all), inside);
        }
        // Words alone are not measured.
        let (pages, _) = pages("a1", &[card("heat", 40), card("build", 60)]);
        assert_eq!((pages.len(), count(&pages, |item| item.pen == Pen::Ruler)), (1, 0));
    }

    #[test]
    fn a_roll_is_cut_to_what_stands_on_it() {
        let all = [sheet("a", 180.0), sheet("b", 190.0), sheet("c", 60.0)];
        let (few, _) = pages("roll:610mm", &all[..2]);
        let (more, _) = pages("roll:610mm", &[&all[..], &[card("heat", 60)]].concat());
        let long = |page: &Page| page.size_mm.area() / 610.0;
        assert!((long(&few[0]) - 200.0).abs() < 1e-6, "the shortest there is");
        assert!((210.0..400.0).contains(&long(&more[0])), "{:?}", more[0].size_mm);
    }

    #[test]
    fn only_those_share_that_shall_and_who_finds_no_room_is_told() {
        let all = [sheet("a", 180.0), sheet("b", 90.0), sheet("c", 60.0), sheet("d", 300.0)];
        let keys = |shared: &SharedSheets| -> Vec<Vec<&str>> {
            shared.groups.iter().map(|group| group.keys.clone()).collect()
        };
        let shared = share(all.to_vec(), &setup("a3"), |a, b| (a, b) != ("a", "b")).unwrap();
        assert_eq!(keys(&shared), [vec!["a"], vec!["b", "c", "d"]]);
        assert!(shared.apart.is_empty());
        let shared = share(all.to_vec(), &setup("a4"), |a, b| (a, b) != ("a", "b")).unwrap();
        assert_eq!(keys(&shared), [vec!["a"], vec!["b", "c"], vec!["d"]]);
        assert_eq!(shared.apart, [("D".to_owned(), "B · C".to_owned())]);
        let own: Vec<_> = shared.groups.iter().map(|group| group.sheet.key).collect();
        assert_eq!(own, ["a", "b", "d"], "the first one's");
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
            Mark::Path(path) => Some(path.bounding_box()),
            _ => None,
        }
    }
}
