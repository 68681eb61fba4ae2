//! Synthetic photographs made by OpenCV of outlines that are known: `tests/reference/photos.py`.

#![expect(clippy::unwrap_used, reason = "a test says so by failing")]

use kurbo::{ParamCurve, Point, Size};
use outline::Outline;
use trace::{
    ExtractOptions, Found, LineSide, Note, Progress, Squaring, Subject, TraceError, TraceOptions,
    Traced, decode,
};

struct Known {
    bytes: Vec<u8>,
    truth: Outline,
    holes: Vec<(Point, f64)>,
    case: serde_json::Value,
}

fn known(file: &str) -> Known {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference");
    let all = std::fs::read_to_string(folder.join("photos.json")).unwrap();
    let all: serde_json::Value = serde_json::from_str(&all).unwrap();
    let case = all.as_array().unwrap().iter().find(|e| e["file"] == file).unwrap().clone();
    let number = |v: &serde_json::Value| v.as_f64().unwrap();
    let point = |p: &serde_json::Value| Point::new(number(&p[0]), number(&p[1]));
    let points: Vec<Point> = case["outline"].as_array().unwrap().iter().map(point).collect();
    let holes = case["holes"].as_array().unwrap().iter();
    Known {
        bytes: std::fs::read(folder.join("photos").join(file)).unwrap(),
        truth: Outline::polygon(&points).unwrap(),
        holes: holes.map(|h| (point(h), number(&h[2]))).collect(),
        case,
    }
}

fn traced(known: &Known, squaring: Squaring, extract: ExtractOptions) -> Traced {
    let picture = decode(&known.bytes).unwrap();
    trace::trace(&picture, &TraceOptions { squaring, extract, ..TraceOptions::default() }).unwrap()
}

/// Distances of places all along a traced outline from the truth, sorted, mm; and the largest of
/// the truth's corners from the traced outline.
fn distances(found: &Traced, truth: &Outline) -> (Vec<f64>, f64) {
    let mut all = Vec::new();
    for seg in found.outline.segs() {
        all.extend((0..60).map(|i| truth.nearest(seg.eval(f64::from(i) / 60.0)).distance_mm));
    }
    all.sort_by(f64::total_cmp);
    let back = truth.nodes().map(|p| found.outline.nearest(p).distance_mm).fold(0.0, f64::max);
    (all, back)
}

/// That 95 % of the outline lies within one distance and all of it, both ways, within another.
fn within(found: &Traced, truth: &Outline, most: f64, all: f64) {
    let (off, back) = distances(found, truth);
    let (p95, worst) = (off[off.len() * 95 / 100], off[off.len() - 1].max(back));
    // No hooks and no ripples: it isn't longer than the truth.
    let longer = found.outline.perimeter() / truth.perimeter() - 1.0;
    assert!(longer.abs() < 0.004, "{longer}");
    assert!(p95 <= most, "95 % within {p95:.3} mm");
    assert!(worst <= all, "all within {worst:.3} mm");
}

fn holes(found: &Traced, known: &Known, within: f64) {
    assert_eq!(found.holes.len(), known.holes.len());
    for (at, diameter) in &known.holes {
        let near = found.holes.iter().find(|hole| hole.center.distance(*at) < within);
        let near = near.unwrap_or_else(|| panic!("no hole near {at}: {:?}", found.holes));
        assert!((2.0 * near.radius - diameter).abs() < within, "{} {diameter}", 2.0 * near.radius);
    }
}

#[test]
fn a_thing_on_the_mat() {
    let known = known("drop_point_on_mat.jpg");
    let found = traced(&known, Squaring::Auto, ExtractOptions::default());
    within(&found, &known.truth, 0.15, 0.4);
    holes(&found, &known, 0.1);
    assert!(found.uncertainty_mm < 0.06);
    assert!((10..=24).contains(&found.node_count()), "{} nodes", found.node_count());
    let picture = decode(&known.bytes).unwrap();
    let squared = trace::square_up(&picture, &Squaring::Mat, &Progress::default()).unwrap();
    assert!(matches!(squared.found, Found::Mat { columns: 13, rows: 5, used: 30..=32 }));
    let k1 = known.case["k1"].as_f64().unwrap();
    assert!((squared.plane.distortion()[0] - k1).abs() < 0.004, "{:?}", squared.plane.distortion());
    // The camera that took it.
    let pose = trace::camera_pose(&squared.plane, None).unwrap();
    let height = known.case["height"].as_f64().unwrap();
    assert!((pose.height_mm / height - 1.0).abs() < 0.02, "{pose:?} {height}");
}

#[test]
fn a_sheet_of_letter_paper_is_found_and_guessed() {
    let known = known("bird_and_trout_on_letter.jpg");
    let found = traced(&known, Squaring::Auto, ExtractOptions::default());
    within(&found, &known.truth, 0.3, 0.5);
    holes(&found, &known, 0.2);
    let letter = Size::new(279.4, 215.9);
    let case = Squaring::Rectangle { size: letter, corners: None };
    assert_eq!(traced(&known, case, ExtractOptions::default()).outline, found.outline);
    let picture = decode(&known.bytes).unwrap();
    let square = Squaring::Rectangle { size: Size::new(210.0, 210.0), corners: None };
    let wrong = trace::square_up(&picture, &square, &Progress::default());
    assert!(matches!(wrong, Err(TraceError::WrongSheet { .. })), "{wrong:?}");
    assert_eq!(
        trace::square_up(&picture, &Squaring::Mat, &Progress::default()).err(),
        Some(TraceError::NoMat)
    );
}

#[test]
fn a_scan_at_its_own_density() {
    let known = known("sheepsfoot_scan.jpg");
    for squaring in [Squaring::Auto, Squaring::Density(None), Squaring::Density(Some(300.0))] {
        let found = traced(&known, squaring, ExtractOptions::default());
        within(&found, &known.truth, 0.08, 0.2);
        holes(&found, &known, 0.05);
    }
    // Two points 200 mm apart give the same scale.
    let px = 200.0 / 25.4 * 300.0;
    let (from, to) = (Point::new(20.0, 100.0), Point::new(20.0 + px, 100.0));
    let squaring = Squaring::TwoPoints { from, to, mm: 200.0 };
    let found = traced(&known, squaring, ExtractOptions::default());
    within(&found, &known.truth, 0.08, 0.2);
    assert!(found.notes.contains(&Note::ScaleOnly));
}

#[test]
fn a_drawn_line_has_a_centre_and_two_sides() {
    let known = known("finger_notch_drawn.jpg");
    let line = |side| ExtractOptions { subject: Subject::Line(side), ..ExtractOptions::default() };
    let auto = traced(&known, Squaring::Auto, ExtractOptions::default());
    within(&auto, &known.truth, 0.15, 0.4);
    assert!(auto.notes.contains(&Note::Guessed { line: true }));
    let [outer, inner] = [LineSide::Outer, LineSide::Inner]
        .map(|side| traced(&known, Squaring::Auto, line(side)).outline.signed_area());
    let centre = auto.outline.signed_area();
    // Half the line's width along the whole outline.
    let strip = 0.25 * auto.outline.perimeter();
    assert!(((outer - centre) / strip - 1.0).abs() < 0.2, "{} {strip}", outer - centre);
    assert!(((centre - inner) / strip - 1.0).abs() < 0.2, "{} {strip}", centre - inner);
}

#[test]
fn another_tolerance_needs_no_new_picture() {
    let known = known("sheepsfoot_scan.jpg");
    let picture = decode(&known.bytes).unwrap();
    let squared = trace::square_up(&picture, &Squaring::Auto, &Progress::default()).unwrap();
    let contours =
        trace::extract(&picture, &squared, &ExtractOptions::default(), &Progress::default())
            .unwrap();
    let mut nodes = Vec::new();
    for tolerance_mm in [0.05, 0.15, 0.5] {
        let options = trace::FitOptions { tolerance_mm, ..trace::FitOptions::default() };
        let found = trace::fit(&contours, &options).unwrap();
        assert!(found.max_distance_mm <= tolerance_mm);
        nodes.push(found.node_count());
    }
    assert!(nodes[0] > nodes[2] && nodes[1] >= nodes[2], "{nodes:?}");
}

#[test]
fn thickness_is_taken_out() {
    let known = known("thick_on_mat.jpg");
    let thickness_mm = known.case["thickness"].as_f64().unwrap();
    let thick = ExtractOptions { thickness_mm, ..ExtractOptions::default() };
    let corrected = traced(&known, Squaring::Mat, thick);
    within(&corrected, &known.truth, 0.15, 0.4);
    let plain = traced(&known, Squaring::Mat, ExtractOptions::default());
    let length = |outline: &Outline| outline.bounds().width();
    let (with, without, truth) =
        (length(&corrected.outline), length(&plain.outline), length(&known.truth));
    assert!((with - truth).abs() < 0.2, "{with} {truth}");
    // 4 mm from 500 mm.
    assert!((without / truth - 1.008).abs() < 0.0006, "{}", without / truth);
    let case = corrected.notes.iter().any(|note| matches!(note, Note::ThicknessCorrected { .. }));
    assert!(case, "{:?}", corrected.notes);
    // A scan has no camera: it is told, not guessed.
    let scan = self::known("sheepsfoot_scan.jpg");
    let thick = ExtractOptions { thickness_mm, ..ExtractOptions::default() };
    let found = traced(&scan, Squaring::Auto, thick);
    assert!(found.notes.contains(&Note::ThicknessUnknown { thickness_mm }));
}
