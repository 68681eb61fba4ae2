//! The few properties of style that bear on geometry.

use roxmltree::Node;

/// The value of a property: from the style attribute, else from the attribute of its name.
pub(super) fn property<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    in_style(node, name).or_else(|| node.attribute(name)).map(str::trim)
}

/// The value of a property in the style attribute; the last one said counts.
pub(super) fn in_style<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    node.attribute("style")?
        .split(';')
        .rev()
        .filter_map(|rule| rule.split_once(':'))
        .find(|(key, _)| key.trim().eq_ignore_ascii_case(name))
        .map(|(_, value)| value.split('!').next().unwrap_or_default().trim())
}

/// Whether the element and all in it is taken out of the drawing.
pub(super) fn removed(node: Node<'_, '_>) -> bool {
    property(node, "display") == Some("none")
}

/// Whether the element says of itself that it is hidden or shown.
pub(super) fn hidden(node: Node<'_, '_>) -> Option<bool> {
    match property(node, "visibility")? {
        "hidden" | "collapse" => Some(true),
        "visible" => Some(false),
        _ => None,
    }
}

/// Whether a clip path or a mask cuts the element.
pub(super) fn clipped(node: Node<'_, '_>) -> bool {
    ["clip-path", "mask"]
        .iter()
        .any(|name| property(node, name).is_some_and(|value| !value.is_empty() && value != "none"))
}

/// Whether a style sheet has rules that would move or hide things.
pub(super) fn sheet_matters(css: &str) -> bool {
    ["transform", "display", "visibility"].iter().any(|word| css.contains(word))
}
