//! Values of a file as they are written.

use kurbo::Point;
use serde_json::{Value, json};

/// `[x, y]`.
pub(super) fn point(p: Point) -> Value {
    json!([p.x, p.y])
}

/// The word for a meaning, given both in one order.
pub(super) fn word<T: PartialEq>(
    words: &[&'static str],
    meanings: &[T],
    meaning: T,
) -> &'static str {
    meanings.iter().position(|m| *m == meaning).and_then(|i| words.get(i)).copied().unwrap_or("")
}
