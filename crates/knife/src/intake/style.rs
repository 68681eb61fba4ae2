//! The few properties of style that bear on geometry, inline and from style sheets.
//!
//! Of selectors, a class, an id and an element's name are followed, which is what drawing
//! programs write; what else would move or hide things is counted, so that it can be told.

use roxmltree::{Document, Node};
use std::collections::HashMap;

/// The properties that are looked for.
const PROPERTIES: [&str; 4] = ["display", "visibility", "transform", "transform-origin"];

/// What a drawing's style sheets say of those properties.
#[derive(Debug, Default)]
pub(super) struct Sheet<'a> {
    /// By selector and property; of several the last said.
    rules: HashMap<(&'a str, &'static str), &'a str>,
    /// How many rules about them have other selectors.
    pub(super) passed_over: usize,
}

impl<'a> Sheet<'a> {
    /// Reads all style sheets within the drawing.
    pub(super) fn of(doc: &'a Document<'_>) -> Self {
        let mut sheet = Self::default();
        for node in doc.descendants().filter(|node| node.tag_name().name() == "style") {
            node.children().filter_map(|part| part.text()).for_each(|css| sheet.read(css));
        }
        sheet
    }

    fn read(&mut self, css: &'a str) {
        for rule in css.split('}') {
            // The last brace: rules within an at-rule have a selector that isn't followed.
            let Some((selectors, body)) = rule.rsplit_once('{') else { continue };
            let selectors = selectors.rsplit_once("*/").map_or(selectors, |(_, after)| after);
            let said = PROPERTIES
                .into_iter()
                .filter_map(|property| declared(body, property).map(|value| (property, value)));
            for (property, value) in said {
                for selector in selectors.split(',').map(str::trim) {
                    if is_simple(selector) {
                        self.rules.insert((selector, property), value);
                    } else {
                        self.passed_over += 1;
                    }
                }
            }
        }
    }

    /// The value of a property where style says it: inline, by id, by class, by name.
    pub(super) fn styled(&self, node: Node<'a, '_>, property: &'static str) -> Option<&'a str> {
        if let Some(value) = node.attribute("style").and_then(|css| declared(css, property)) {
            return Some(value);
        }
        if self.rules.is_empty() {
            return None;
        }
        let named = |mark: &str, name: &str| {
            self.rules.get(&(format!("{mark}{name}").as_str(), property)).copied()
        };
        node.attribute("id")
            .and_then(|id| named("#", id))
            .or_else(|| {
                let classes = node.attribute("class").unwrap_or_default();
                classes.split_ascii_whitespace().rev().find_map(|class| named(".", class))
            })
            .or_else(|| named("", node.tag_name().name()))
    }

    /// The value of a property, from style or from the attribute of its name.
    fn property(&self, node: Node<'a, '_>, property: &'static str) -> Option<&'a str> {
        self.styled(node, property).or_else(|| node.attribute(property)).map(str::trim)
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

/// Whether a clip path or a mask cuts the element.
pub(super) fn clipped(node: Node<'_, '_>) -> bool {
    ["clip-path", "mask"]
        .iter()
        .any(|name| inline(node, name).is_some_and(|value| !value.is_empty() && value != "none"))
}

/// A declaration's value; the last one said counts.
fn declared<'a>(css: &'a str, name: &str) -> Option<&'a str> {
    css.split(';')
        .rev()
        .filter_map(|rule| rule.split_once(':'))
        .find(|(key, _)| key.trim().eq_ignore_ascii_case(name))
        .map(|(_, value)| value.split('!').next().unwrap_or_default().trim())
}

/// Whether a selector is one class, one id or one element's name.
fn is_simple(selector: &str) -> bool {
    let name = selector.strip_prefix(['.', '#']).unwrap_or(selector);
    !name.is_empty() && name.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inline_goes_before_id_before_class_before_name_before_attribute() {
        let doc = Document::parse(
            r##"<svg><style>
                path{display:inline} /* off: */ .b, .c { fill:red; display : none !important }
                #d{display:none} g .b{visibility:hidden} @media print{.z{display:none}}
            </style>
            <path id="a" display="none"/><path id="b" class="x b"/>
            <path id="d" class="x"/><path id="e" class="c" style="display:inline"/>
            <g id="f" display="none"/></svg>"##,
        )
        .unwrap();
        let sheet = Sheet::of(&doc);
        let removed: Vec<&str> = doc
            .descendants()
            .filter(|node| sheet.removed(*node))
            .filter_map(|node| node.attribute("id"))
            .collect();
        assert_eq!(removed, ["b", "d", "f"]);
        assert_eq!(sheet.passed_over, 2);
    }
}
