//! The reference outlines as tests and benches read them.

use outline::Outline;
use outline::kurbo::{CubicBez, Line, ParamCurve, PathSeg, Point};
use serde_json::Value;

/// The cases of a file of `tests/reference`.
pub(crate) fn cases(name: &str) -> Vec<Value> {
    let path = format!("{}/../../tests/reference/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect("a reference file");
    let file: Value = serde_json::from_str(&text).expect("a reference file is JSON");
    file["outlines"].as_array().expect("a list").clone()
}

fn numbers(v: &Value) -> Vec<f64> {
    v.as_array().expect("a list").iter().map(|n| n.as_f64().expect("a number")).collect()
}

/// The outline of a case.
pub(crate) fn outline(case: &Value) -> Outline {
    let v = &case["outline"];
    let start = numbers(&v["start"]);
    let mut at = Point::new(start[0], start[1]);
    let mut segs = vec![];
    for seg in v["segments"].as_array().expect("a list") {
        let p: Vec<Point> = numbers(seg).chunks(2).map(|c| Point::new(c[0], c[1])).collect();
        segs.push(match p[..] {
            [end] => PathSeg::Line(Line::new(at, end)),
            [a, b, end] => PathSeg::Cubic(CubicBez::new(at, a, b, end)),
            _ => panic!("neither a line nor a cubic"),
        });
        at = segs[segs.len() - 1].end();
    }
    if at != Point::new(start[0], start[1]) {
        segs.push(PathSeg::Line(Line::new(at, Point::new(start[0], start[1]))));
    }
    Outline::new(segs).expect("a ring")
}
