//! What a page's marks are, in reading order: title, paragraphs, tables and figures, as a file's
//! structure tree tells it (ISO 32000-1, 14.7 and 14.8). Rules of tables and frames are artifacts.

use crate::{Page, number_format::number};
use kurbo::Point;
use lopdf::{Document, Object, ObjectId, dictionary};
use marks::{FontFace, Item, Label, Mark, Pen, lettering};
use std::collections::BTreeMap;

/// Labels of one row have base lines no farther apart than this, of their height.
const SAME_ROW: f64 = 0.5;
/// Lines of one paragraph are no farther apart than this, of their height.
const LEADING: f64 = 1.77;
/// Bold words so high stand over what follows them, mm.
const HEADING_MM: f64 = 3.0;
/// The title stands in the uppermost part of a page so high, mm.
const TITLE_MM: f64 = 9.0;
/// What a screen reader says for the sign of caution.
pub(super) const WARNING: &str = "Warning: ";

/// The numbers of a page's marked contents.
pub(super) struct Marking {
    /// For each pen by its place, that of its lines; `None` for artifacts.
    pub(super) lines: BTreeMap<usize, Option<i64>>,
    /// For each item, that of its label; `None` for what is no label.
    pub(super) labels: Vec<Option<i64>>,
}

impl Marking {
    pub(super) fn of(page: &Page) -> Self {
        let mut next = 0_i64;
        let mut number = || {
            next += 1;
            next - 1
        };
        let items = &page.drawing.items;
        let mut lines = BTreeMap::new();
        for (place, pen) in Pen::ALL.into_iter().enumerate() {
            if items.iter().any(|item| item.pen == pen && !is_label(item)) {
                let told = !matches!(pen, Pen::Frame | Pen::Lettering | Pen::Register);
                lines.insert(place, told.then(&mut number));
            }
        }
        let labels = items.iter().map(|item| is_shown(item).then(&mut number)).collect();
        Self { lines, labels }
    }
}

/// Whether an item is lettering.
pub(super) fn is_label(item: &Item) -> bool {
    matches!(item.mark, Mark::Text(_))
}

/// Whether it is lettering that shows anything.
fn is_shown(item: &Item) -> bool {
    matches!(&item.mark, Mark::Text(label) if !label.text.is_empty())
}

/// Whether a label is the sign of caution.
pub(super) fn is_caution(label: &Label) -> bool {
    label.text == "!" && label.face == FontFace::Bold
}

/// A node of the tree.
#[derive(Debug, PartialEq)]
enum Node {
    Element { role: &'static str, alt: Option<String>, kids: Vec<Self> },
    Content(i64),
}

fn element(role: &'static str, kids: Vec<Node>) -> Node {
    Node::Element { role, alt: None, kids }
}

/// A label with the number of its content.
struct Placed<'a> {
    id: i64,
    label: &'a Label,
    /// Where its base line starts.
    at: Point,
}

/// What a page holds, in reading order.
fn nodes(page: &Page) -> Vec<Node> {
    let marking = Marking::of(page);
    let items = &page.drawing.items;
    let mut scale: Vec<Node> = Vec::new();
    let mut figure: Vec<Node> = Vec::new();
    for (place, id) in &marking.lines {
        let Some(id) = id else { continue };
        let own = if Pen::ALL[*place] == Pen::Ruler { &mut scale } else { &mut figure };
        own.push(Node::Content(*id));
    }
    let mut text: Vec<Placed<'_>> = Vec::new();
    for (item, id) in items.iter().zip(&marking.labels) {
        let (Mark::Text(label), Some(id)) = (&item.mark, id) else { continue };
        match item.pen {
            Pen::Ruler => scale.push(Node::Content(*id)),
            Pen::Lettering => text.push(Placed { id: *id, label, at: start(label) }),
            _ => figure.push(Node::Content(*id)),
        }
    }
    let (title, text) = title(text);
    let mut nodes = title;
    if !figure.is_empty() {
        let alt = format!(
            "{}: drawing at true size, 1 to 1, on a page of {} × {} mm",
            page.name,
            number(page.size_mm.width),
            number(page.size_mm.height)
        );
        nodes.push(Node::Element { role: "Figure", alt: Some(alt), kids: figure });
    }
    nodes.extend(paragraphs(rows(text)));
    if !scale.is_empty() {
        let alt = "Rulers in millimetres and inches, and squares, that show whether the printer \
                   kept the size";
        nodes.push(Node::Element { role: "Figure", alt: Some(alt.to_owned()), kids: scale });
    }
    nodes
}

fn start(label: &Label) -> Point {
    let (x, y) = lettering::start_mm(label);
    let turn = kurbo::Affine::rotate(label.turn_deg.to_radians());
    label.at + (turn * Point::new(x, y)).to_vec2()
}

/// The page's title, and the rest of its words.
fn title(text: Vec<Placed<'_>>) -> (Vec<Node>, Vec<Placed<'_>>) {
    let top = text.iter().map(|own| own.at.y).fold(f64::MIN, f64::max);
    let (title, rest): (Vec<_>, Vec<_>) =
        text.into_iter().partition(|own| own.at.y > top - TITLE_MM && own.label.turn_deg == 0.0);
    let (facts, names): (Vec<_>, Vec<_>) =
        title.into_iter().partition(|own| own.label.text.contains("Sheet "));
    let all = |own: Vec<Placed<'_>>| own.iter().map(|own| Node::Content(own.id)).collect();
    let mut nodes = Vec::new();
    if !names.is_empty() {
        nodes.push(element("H1", all(names)));
    }
    if !facts.is_empty() {
        nodes.push(element("P", all(facts)));
    }
    (nodes, rest)
}

/// Labels that stand in a row.
struct Row<'a> {
    cells: Vec<Placed<'a>>,
}

impl Row<'_> {
    fn first(&self) -> &Placed<'_> {
        &self.cells[0]
    }

    fn is_caution(&self) -> bool {
        is_caution(self.first().label)
    }

    fn contents(&self) -> Vec<Node> {
        self.cells.iter().map(|own| Node::Content(own.id)).collect()
    }

    fn is_table(&self) -> bool {
        self.cells.len() > 1 && !self.is_caution()
    }

    fn is_bold(&self) -> bool {
        self.cells.iter().all(|own| own.label.face == FontFace::Bold)
    }
}

fn rows(text: Vec<Placed<'_>>) -> Vec<Row<'_>> {
    let mut rows: Vec<Row<'_>> = Vec::new();
    for own in text {
        // The sign of caution is drawn after the words that it stands before.
        if is_caution(own.label)
            && let Some(row) = rows.last_mut().filter(|row| stands_before(&own, row.first()))
        {
            row.cells.insert(0, own);
            continue;
        }
        let joins = rows.last().and_then(|row| row.cells.last()).is_some_and(|last| {
            let level = (last.label.turn_deg - own.label.turn_deg).abs() < 1e-6;
            let low = own.label.height_mm.min(last.label.height_mm);
            let same = (last.at.y - own.at.y).abs() < SAME_ROW * low && own.at.x > last.at.x;
            level && (same || is_caution(last.label))
        });
        match rows.last_mut().filter(|_| joins) {
            Some(row) => row.cells.push(own),
            None => rows.push(Row { cells: vec![own] }),
        }
    }
    rows
}

/// Whether a sign stands at the left of words, level with them.
fn stands_before(sign: &Placed<'_>, words: &Placed<'_>) -> bool {
    sign.at.x < words.at.x && (sign.at.y - words.at.y).abs() < SAME_ROW * words.label.height_mm
}

/// Rows as tables, headings and paragraphs.
fn paragraphs(rows: Vec<Row<'_>>) -> Vec<Node> {
    let mut nodes = Vec::new();
    let mut rest = &rows[..];
    while let Some(row) = rest.first() {
        let many = rest.iter().take_while(|row| row.is_table()).count();
        if many > 1 {
            nodes.push(element("Table", rest[..many].iter().map(table_row).collect()));
            rest = &rest[many..];
            continue;
        }
        if row.cells.len() == 1 && row.is_bold() && row.first().label.height_mm >= HEADING_MM {
            nodes.push(element("H2", row.contents()));
            rest = &rest[1..];
            continue;
        }
        let goes_on = |pair: &[Row<'_>]| {
            let (one, next) = (pair[0].cells.last(), pair[1].first());
            let Some(one) = one else { return false };
            let down = one.at.y - next.at.y;
            let alike = one.label.face == next.label.face
                && (one.label.height_mm - next.label.height_mm).abs() < 1e-6;
            let lines = pair[1].cells.len() == 1 && !pair[1].is_caution();
            lines
                && alike
                && (one.at.x - next.at.x).abs() < 0.1
                && (1e-6..LEADING * one.label.height_mm).contains(&down)
        };
        let more = rest.windows(2).take_while(|pair| goes_on(pair)).count();
        let lines = rest[..=more].iter().flat_map(Row::contents).collect();
        nodes.push(element("P", lines));
        rest = &rest[more + 1..];
    }
    nodes
}

fn table_row(row: &Row<'_>) -> Node {
    let role = if row.is_bold() { "TH" } else { "TD" };
    let cell = |own: &Placed<'_>| element(role, vec![Node::Content(own.id)]);
    element("TR", row.cells.iter().map(cell).collect())
}

/// Adds the structure tree to a file whose contents are marked.
///
/// # Errors
/// Those of the library, for a file without its catalog or pages.
pub(super) fn add(document: &mut Document, pages: &[Page]) -> Result<(), lopdf::Error> {
    let ids: Vec<ObjectId> = document.page_iter().collect();
    let root = document.new_object_id();
    let whole = document.new_object_id();
    let mut sections: Vec<Object> = Vec::new();
    let mut parents: Vec<Object> = Vec::new();
    for ((place, page), id) in (0_i64..).zip(pages).zip(ids) {
        let mut owners = BTreeMap::new();
        let kids = nodes(page);
        let section = Writer { document, page: id, owners: &mut owners }
            .write(whole, &Node::Element { role: "Sect", alt: None, kids });
        sections.push(section);
        parents.push(place.into());
        let owners: Vec<Object> = owners.into_values().map(Object::Reference).collect();
        parents.push(document.add_object(owners).into());
        let page = document.get_dictionary_mut(id)?;
        page.set("StructParents", place);
        page.set("Tabs", "S");
    }
    let next = i64::try_from(sections.len()).unwrap_or(i64::MAX);
    let all = dictionary! {
        "Type" => "StructElem", "S" => "Document", "P" => root, "K" => sections,
    };
    document.objects.insert(whole, all.into());
    let tree = document.add_object(dictionary! { "Nums" => parents });
    let all = dictionary! {
        "Type" => "StructTreeRoot", "K" => vec![whole.into()],
        "ParentTree" => tree, "ParentTreeNextKey" => next,
    };
    document.objects.insert(root, all.into());
    let catalog = document.catalog_mut()?;
    catalog.set("StructTreeRoot", root);
    catalog.set("MarkInfo", dictionary! { "Marked" => true });
    Ok(())
}

/// Writes one page's nodes.
struct Writer<'a> {
    document: &'a mut Document,
    page: ObjectId,
    /// For each content by its number, the element that holds it.
    owners: &'a mut BTreeMap<i64, ObjectId>,
}

impl Writer<'_> {
    fn write(&mut self, parent: ObjectId, node: &Node) -> Object {
        let Node::Element { role, alt, kids } = node else { return Object::Null };
        let own = self.document.new_object_id();
        let mut contents = Vec::with_capacity(kids.len());
        for kid in kids {
            contents.push(match kid {
                Node::Content(id) => {
                    self.owners.insert(*id, own);
                    (*id).into()
                }
                Node::Element { .. } => self.write(own, kid),
            });
        }
        let mut element = dictionary! {
            "Type" => "StructElem", "S" => *role, "P" => parent, "Pg" => self.page,
            "K" => contents,
        };
        if let Some(alt) = alt {
            element.set("Alt", super::finish::text(alt));
        }
        self.document.objects.insert(own, element.into());
        own.into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Heading, PageSetup, Paper, Sheet, lay_out};
    use marks::{Bullet, Drawing, Insert, Paragraph, TextFlow};

    fn roles(nodes: &[Node]) -> Vec<&'static str> {
        let role = |node: &Node| match node {
            Node::Element { role, .. } => *role,
            Node::Content(_) => "content",
        };
        nodes.iter().map(role).collect()
    }

    fn sheet(inserts: Vec<Insert>) -> Sheet {
        let mut drawing = Drawing::new();
        if !matches!(inserts[..], [Insert::Text(_)]) {
            drawing.line(Pen::Cut, Point::new(0.0, 0.0), Point::new(100.0, 0.0));
        }
        Sheet {
            key: "a",
            title: "Sheet".into(),
            drawing,
            notes: vec![],
            inserts,
            ..Sheet::default()
        }
    }

    fn page(sheet: Sheet) -> Page {
        let heading = Heading { name: "Heron".into(), ..Heading::default() };
        let setup = PageSetup::new(Paper::named("letter").unwrap(), heading);
        lay_out(&[sheet], &setup).unwrap().remove(0)
    }

    #[test]
    fn headings_paragraphs_and_tables_are_told_apart() {
        let long = "Heat it slowly and evenly, thick parts first, the tip last. ".repeat(4);
        let paragraphs = vec![
            Paragraph::Heading("Heat".into()),
            Paragraph::Body(Bullet::Caution, long.clone()),
            Paragraph::Body(Bullet::Box, long),
        ];
        let nodes = nodes(&page(sheet(vec![Insert::Text(TextFlow { paragraphs })])));
        assert_eq!(roles(&nodes), ["H1", "P", "P", "H2", "P", "P"]);
        let Node::Element { kids, .. } = &nodes[4] else { panic!() };
        assert!(kids.len() > 3, "the sign and all its lines: {kids:?}");

        let mut table = Drawing::new();
        for (row, words) in (0_u32..).zip([["Hole", "x"], ["1", "2.5"], ["2", "7.5"]]) {
            for (column, word) in (0_u32..).zip(words) {
                let at = Point::new(20.0 * f64::from(column), -6.0 * f64::from(row));
                table.text(Pen::Lettering, Label::new(word, at, 2.5));
            }
        }
        let nodes = super::nodes(&page(sheet(vec![Insert::Table(table)])));
        let roles = roles(&nodes);
        assert_eq!(roles[..3], ["H1", "P", "Figure"]);
        assert!(roles.contains(&"Table") && roles.last() == Some(&"Figure"), "{roles:?}");
    }

    #[test]
    fn every_content_has_one_place_in_the_tree() {
        fn count(nodes: &[Node], seen: &mut Vec<i64>) {
            for node in nodes {
                match node {
                    Node::Content(id) => seen.push(*id),
                    Node::Element { kids, .. } => count(kids, seen),
                }
            }
        }
        let mut table = Drawing::new();
        table.text(Pen::Lettering, Label::new("words", Point::ORIGIN, 2.5));
        let page = page(sheet(vec![Insert::Table(table)]));
        let marking = Marking::of(&page);
        let mut seen = Vec::new();
        count(&nodes(&page), &mut seen);
        seen.sort_unstable();
        let mut all: Vec<i64> = marking.lines.into_values().flatten().collect();
        all.extend(marking.labels.into_iter().flatten());
        assert_eq!(seen, all);
    }
}
