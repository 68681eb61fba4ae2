//! The reference outlines as tests and benches read them, here and in other crates.

use outline::Outline;
use outline::kurbo::{BezPath, Point};
use serde_json::Value;

/// A file of `tests/reference`.
pub(crate) fn read(name: &str) -> Value {
    let above = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).ancestors();
    let all = above.map(|folder| folder.join("tests/reference").join(name));
    let path = all.into_iter().find(|path| path.exists()).expect("a reference file");
    let text = std::fs::read_to_string(path).expect("a reference file");
    serde_json::from_str(&text).expect("a reference file is JSON")
}

/// An outline of such a file: its start, and segments of one point or of three.
pub(crate) fn outline(value: &Value) -> Outline {
    let point = |at: &[Value]| {
        let [x, y] = [0, 1].map(|i| at[i].as_f64().expect("a number"));
        Point::new(x, y)
    };
    let list = |value: &Value| value.as_array().expect("a list").clone();
    let mut path = BezPath::new();
    path.move_to(point(&list(&value["start"])));
    for seg in list(&value["segments"]) {
        match list(&seg).chunks(2).map(point).collect::<Vec<_>>()[..] {
            [end] => path.line_to(end),
            [a, b, end] => path.curve_to(a, b, end),
            _ => panic!("neither a line nor a cubic"),
        }
    }
    path.close_path();
    Outline::from_path(&path).expect("a ring")
}
