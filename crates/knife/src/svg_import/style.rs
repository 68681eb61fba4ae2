//! The few properties of style that bear on geometry, inline and from style sheets.
//!
//! Style sheets are read by `simplecss`, and of several declarations the one counts that the
//! cascade chooses (CSS 2.2, section 6.4.1). What it can't follow (rules of a medium, uncommon
//! selectors) is counted, so that it can be told.

use roxmltree::{Document, Node, NodeId};
use simplecss::{
    AttributeOperator, Declaration, DeclarationTokenizer, PseudoClass, Rule, StyleSheet,
};
use std::cell::RefCell;
use std::collections::HashMap;

/// The properties that are looked for; sizes are among them since SVG 2 (chapter 7.2, "Geometry
/// properties").
const PROPERTIES: [&str; 16] = [
    "display",
    "visibility",
    "transform",
    "transform-origin",
    "clip-path",
    "mask",
    "d",
    "x",
    "y",
    "width",
    "height",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
];
/// The most rules about them that are followed: each is tried on every element.
const MAX_RULES: usize = 64;
/// The most text of style sheets that is read, bytes: drawing programs write some thousands.
const MAX_CSS_BYTES: usize = 100_000;
/// The most parts of a selector (`g .b` has two): each more may multiply the ways to match.
const MAX_PARTS: usize = 3;

/// What a drawing's style sheets say of those properties.
#[derive(Debug, Default)]
pub(super) struct StyleSheets<'a> {
    /// By growing weight: of several that apply the last counts.
    rules: Vec<Rule<'a>>,
    /// How many rules about them are not followed.
    pub(super) passed_over: usize,
    /// What style says of each element that was asked about: a copy asks again.
    known: RefCell<HashMap<NodeId, Vec<Styled<'a>>>>,
}

/// A property with its value, and how much it weighs.
#[derive(Clone, Copy, Debug)]
struct Styled<'a> {
    property: &'static str,
    value: &'a str,
    origin: Origin,
}

/// Where a value is said, by growing weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Origin {
    Rule,
    Inline,
    Important,
}

impl<'a> StyleSheets<'a> {
    /// Reads all style sheets within the drawing.
    pub(super) fn of(doc: &'a Document<'_>) -> Self {
        let mut sheet = StyleSheet::new();
        let (mut stated, mut read) = (0, 0);
        for node in doc.descendants().filter(|node| node.tag_name().name() == "style") {
            for css in node.children().filter_map(|part| part.text()) {
                // The parser counts lines from the start at every fault: with thousands it never
                // comes to an end. What isn't read is told as not followed.
                read += css.len();
                if read <= MAX_CSS_BYTES {
                    sheet.parse_more(css);
                }
                stated += selectors(css);
            }
        }
        let few_parts =
            |rule: &Rule<'_>| rule.selector.to_string().split_whitespace().count() <= MAX_PARTS;
        sheet.rules.retain(|rule| rule.declarations.iter().any(is_looked_for) && few_parts(rule));
        sheet.rules.truncate(MAX_RULES);
        let passed_over = stated.saturating_sub(sheet.rules.len());
        Self { rules: sheet.rules, passed_over, known: RefCell::default() }
    }

    /// The value of a property where style says it: a rule that calls itself important, inline, or
    /// any other rule.
    pub(super) fn styled(&self, node: Node<'a, '_>, property: &str) -> Option<&'a str> {
        if self.rules.is_empty() && !node.has_attribute("style") {
            return None;
        }
        let mut known = self.known.borrow_mut();
        let values = known.entry(node.id()).or_insert_with(|| self.values(node));
        values.iter().find(|said| said.property == property).map(|said| said.value)
    }

    /// All that style says of an element.
    fn values(&self, node: Node<'a, '_>) -> Vec<Styled<'a>> {
        let mut values: Vec<Styled<'a>> = Vec::new();
        let mut say = |declaration: &Declaration<'a>, origin: Origin| {
            let Some(property) = PROPERTIES.iter().find(|name| is(declaration, name)) else {
                return;
            };
            let said = Styled { property, value: declaration.value.trim(), origin };
            match values.iter_mut().find(|other| other.property == *property) {
                Some(other) if other.origin <= origin => *other = said,
                Some(_) => {}
                None => values.push(said),
            }
        };
        let matching = self.rules.iter().filter(|rule| rule.selector.matches(&RuledElement(node)));
        for declaration in matching.flat_map(|rule| &rule.declarations) {
            let origin = if declaration.important { Origin::Important } else { Origin::Rule };
            say(declaration, origin);
        }
        for declaration in declarations(node.attribute("style").unwrap_or_default()) {
            say(&declaration, Origin::Inline);
        }
        values
    }

    /// The value of a property, from style or from the attribute of its name.
    fn property(&self, node: Node<'a, '_>, property: &str) -> Option<&'a str> {
        self.styled(node, property).or_else(|| node.attribute(property).map(str::trim))
    }

    /// Whether the element and all in it is taken out of the drawing.
    pub(super) fn removed(&self, node: Node<'a, '_>) -> bool {
        self.property(node, "display") == Some("none")
    }

    /// Whether the element says of itself that it is hidden or shown.
    pub(super) fn hidden(&self, node: Node<'a, '_>) -> Option<bool> {
        match self.property(node, "visibility")? {
            "hidden" | "collapse" => Some(true),
            "visible" => Some(false),
            _ => None,
        }
    }

    /// Whether a clip path or a mask cuts the element.
    pub(super) fn clipped(&self, node: Node<'a, '_>) -> bool {
        let cuts = |value: &str| !value.is_empty() && value != "none";
        ["clip-path", "mask"].iter().any(|name| self.property(node, name).is_some_and(cuts))
    }

    /// Whether the element turns about another point than the origin of its numbers.
    pub(super) fn has_own_pivot(&self, node: Node<'a, '_>) -> bool {
        self.property(node, "transform-origin").is_some()
    }
}

/// The element's value for a property, inline or as an attribute, without style sheets.
pub(super) fn inline<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    let css = node.attribute("style").and_then(|css| declared(css, name));
    css.or_else(|| node.attribute(name)).map(str::trim)
}

/// A declaration's value; the last one said counts.
fn declared<'a>(css: &'a str, name: &str) -> Option<&'a str> {
    declarations(css).filter(|d| is(d, name)).last().map(|d| d.value.trim())
}

/// The declarations of a rule's body, each read by itself: at the end of one the parser counts
/// lines from the start of its text.
fn declarations(css: &str) -> impl Iterator<Item = Declaration<'_>> {
    let mut rest = css;
    let texts = std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let (text, after) = rest.split_at(declaration_end(rest));
        rest = after.strip_prefix(';').unwrap_or(after);
        Some(text)
    });
    texts.filter_map(|text| DeclarationTokenizer::from(text).next())
}

/// Where the first declaration ends: at a semicolon that stands in no quotes, brackets or remark.
fn declaration_end(css: &str) -> usize {
    let bytes = css.as_bytes();
    let (mut quote, mut depth, mut at) = (None, 0_usize, 0);
    while let Some(byte) = bytes.get(at) {
        match (quote, byte) {
            (_, b'\\') => at += 1,
            (Some(open), _) if open == *byte => quote = None,
            (Some(_), _) => {}
            (None, b'"' | b'\'') => quote = Some(*byte),
            (None, b'(') => depth += 1,
            (None, b')') => depth = depth.saturating_sub(1),
            (None, b'/') if bytes.get(at + 1) == Some(&b'*') => {
                at += css[at..].find("*/").map_or(bytes.len(), |end| end + 1);
            }
            (None, b';') if depth == 0 => return at,
            (None, _) => {}
        }
        at += 1;
    }
    bytes.len()
}

fn is(declaration: &Declaration<'_>, name: &str) -> bool {
    declaration.name.eq_ignore_ascii_case(name)
}

fn is_looked_for(declaration: &Declaration<'_>) -> bool {
    PROPERTIES.iter().any(|name| is(declaration, name))
}

/// How many selectors stand before the bodies that say one of the properties, wherever the rule
/// stands.
fn selectors(css: &str) -> usize {
    let rules = css.split('}').filter_map(|rule| rule.rsplit_once('{'));
    let bearing = rules.filter(|(_, body)| declarations(body).any(|d| is_looked_for(&d)));
    bearing.map(|(selectors, _)| 1 + selectors.matches(',').count()).sum()
}

/// An element as rules ask about it.
struct RuledElement<'a, 'i>(Node<'a, 'i>);

impl simplecss::Element for RuledElement<'_, '_> {
    fn parent_element(&self) -> Option<Self> {
        self.0.parent_element().map(Self)
    }

    fn prev_sibling_element(&self) -> Option<Self> {
        self.0.prev_sibling_element().map(Self)
    }

    fn has_local_name(&self, name: &str) -> bool {
        self.0.tag_name().name() == name
    }

    fn attribute_matches(&self, name: &str, operator: AttributeOperator<'_>) -> bool {
        self.0.attribute(name).is_some_and(|value| operator.matches(value))
    }

    fn pseudo_class_matches(&self, class: PseudoClass<'_>) -> bool {
        matches!(class, PseudoClass::FirstChild) && self.0.prev_sibling_element().is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cascade_chooses() {
        let doc = Document::parse(
            r##"<svg><style>
                path{display:inline} /* off: */ .b, .c { fill:red; display : none !important }
                #d{display:none} g .b{visibility:hidden} @media print{.z{display:none}}
            </style>
            <path id="a" display="none"/><path id="b" class="x b"/>
            <path id="d" class="x"/><path id="e" class="c" style="display:inline"/>
            <g id="f" display="none"><path id="g" class="b" style="display:inline"/></g></svg>"##,
        )
        .unwrap();
        let sheet = StyleSheets::of(&doc);
        let removed: Vec<&str> = doc
            .descendants()
            .filter(|node| sheet.removed(*node))
            .filter_map(|node| node.attribute("id"))
            .collect();
        // CSS 2.2, section 6.4.2: an important rule goes before what is said inline.
        assert_eq!(removed, ["b", "d", "e", "f", "g"]);
        assert_eq!(sheet.passed_over, 1, "the rule for printing");
        let hidden = |id: &str| {
            let node = doc.descendants().find(|node| node.attribute("id") == Some(id));
            sheet.hidden(node.unwrap())
        };
        assert_eq!((hidden("b"), hidden("g")), (None, Some(true)));
    }

    #[test]
    fn declarations_are_read_one_by_one() {
        let read = |css: &str| -> Vec<(String, String)> {
            declarations(css).map(|d| (d.name.to_owned(), d.value.to_owned())).collect()
        };
        let pair = |name: &str, value: &str| (name.to_owned(), value.to_owned());
        assert_eq!(
            read(
                r#" /* ;a:b */ fill:url("x;y:z"); r : 3px ;; 7?; font-family:'a;b\';c' ; cx:/*;*/2px"#
            ),
            [
                pair("fill", r#"url("x;y:z")"#),
                pair("r", "3px"),
                pair("font-family", r"'a;b\';c'"),
                pair("cx", "2px"),
            ]
        );
        assert_eq!(read(r#"a:"open; b:c"#), []);
        assert_eq!(read("a:(;b:c"), []);
        assert_eq!(read("/* open ; a:b").len() + read("\\").len() + read("é;ß").len(), 0);
        assert_eq!(read(&"a:b;".repeat(50_000)).len(), 50_000);
    }

    /// The parser's work grows with the square of the text: more than is usual is not read.
    #[test]
    fn a_style_sheet_beyond_measure_is_told_and_not_read() {
        let rule = "g > .b:first-child { visibility: hidden; fill: red }";
        for (count, read) in [(100, true), (20_000, false)] {
            let css = rule.repeat(count).replace('>', "&gt;");
            let text = format!("<svg><style>{css}</style></svg>");
            let doc = Document::parse(&text).unwrap();
            let sheet = StyleSheets::of(&doc);
            assert_eq!(!sheet.rules.is_empty(), read, "{count}");
            assert!(sheet.passed_over >= count - MAX_RULES, "{count}: {}", sheet.passed_over);
        }
    }

    #[test]
    fn no_style_sheet_takes_long_or_panics() {
        let rule = |k: usize| format!(".a{k} > .b .c + d, [x=y]:first-child{{display:none}}");
        let many: String = (0..2000).map(rule).collect();
        let deep = ".a ".repeat(400);
        for css in [
            &many,
            &deep,
            "{{{",
            "}}}",
            "@",
            "a{",
            "a{display",
            "/*",
            "a,,b{display:none}",
            ":not(a){display:none}",
        ] {
            let text = format!(
                "<svg><style>{}</style><path class=\"a\"/></svg>",
                css.replace('>', "&gt;")
            );
            let doc = Document::parse(&text).unwrap();
            let sheet = StyleSheets::of(&doc);
            assert!(sheet.rules.len() <= MAX_RULES);
            doc.descendants().for_each(|node| _ = sheet.removed(node));
        }
        let doc = Document::parse("<svg><style>:not(a){display:none}</style></svg>").unwrap();
        assert_eq!(
            StyleSheets::of(&doc).passed_over,
            1,
            "a selector that can't be followed is told"
        );
    }
}
