//! What must hold of every printed page.

use kurbo::{BezPath, Line, ParamCurve, PathSeg, Point, Rect, Shape, Vec2};
use marks::{Label, Mark, Pen, lettering};
use paper::Page;

/// A label's ink, all but: capitals' height, and tails where it has some.
fn ink(label: &Label) -> [Point; 4] {
    let [a, b, c, d] = lettering::corners(label);
    let up = (d - a).normalize();
    let along = (b - a).normalize();
    let tails =
        label.text.contains(['g', 'j', 'p', 'q', 'y', 'Q', ',', ';', '(', ')', '[', ']', '@']);
    let low = label.height_mm * if tails { 0.1 } else { lettering::DESCENT };
    let (left, right) = (along * 0.1, along * -0.1);
    let (lift, drop) = (up * low, up * (-0.06 * label.height_mm));
    [a + left + lift, b + right + lift, c + right + drop, d + left + drop]
}

/// Whether two convex shapes have no line between them.
fn meet(one: &[Point], other: &[Point]) -> bool {
    let sides = |shape: &[Point]| -> Vec<Vec2> {
        let next = shape.iter().cycle().skip(1);
        shape.iter().zip(next).map(|(a, b)| (*b - *a).turn_90()).collect()
    };
    let reach = |shape: &[Point], way: Vec2| {
        let far = shape.iter().map(|p| p.to_vec2().dot(way));
        far.fold((f64::MAX, f64::MIN), |(low, high), at| (low.min(at), high.max(at)))
    };
    sides(one).into_iter().chain(sides(other)).filter(|way| way.hypot2() > 0.0).all(|way| {
        let ((a, b), (c, d)) = (reach(one, way), reach(other, way));
        a < d && c < b
    })
}

fn boxed(points: &[Point]) -> Rect {
    points.iter().fold(Rect::from_points(points[0], points[0]), |all, p| all.union_pt(*p))
}

/// Short chords along a path.
fn chords(path: &BezPath) -> Vec<Line> {
    let chords = |segment: PathSeg| {
        let steps = (segment.bounding_box().size().max_side() + 2.0).ceil() as u32;
        (0..steps).map(move |k| {
            let at = |k: u32| segment.eval(f64::from(k) / f64::from(steps));
            Line::new(at(k), at(k + 1))
        })
    };
    path.segments().flat_map(chords).collect()
}

/// What is wrong with a page: words on words or on a line that is cut by, too small, or anything in
/// the margin.
pub fn faults(page: &Page, margin_mm: f64) -> Vec<String> {
    let mut faults = Vec::new();
    let inside = Rect::from_origin_size((0.0, 0.0), page.size_mm).inset(-margin_mm + 0.01);
    let mut labels: Vec<(&Label, [Point; 4], Rect)> = Vec::new();
    let mut cut = Vec::new();
    for item in &page.drawing.items {
        let own = match &item.mark {
            Mark::Path(path) | Mark::Fill(path) => path.bounding_box(),
            Mark::Circle(circle) => circle.bounding_box(),
            Mark::Text(label) if label.text.trim().is_empty() => continue,
            Mark::Text(label) => {
                let ink = ink(label);
                labels.push((label, ink, boxed(&ink)));
                boxed(&ink)
            }
        };
        if inside.union(own) != inside {
            faults.push(format!("{:?} {own:?} lies in the margin", item.pen));
        }
        if let (Pen::Cut, Mark::Path(path)) = (item.pen, &item.mark) {
            cut.extend(chords(path));
        }
    }
    // Capitals of 2.5 mm (ISO 3098's second size) are read at arm's length. The bench card has two
    // pages for all its steps, and sources are fine print: there the smallest size is the least.
    let has_card = ["Build", "Heat"].iter().any(|title| page.name.contains(title));
    let min_mm = if has_card { 1.8 } else { 2.5 };
    for (label, ..) in &labels {
        if label.text != "!" && label.height_mm < min_mm - 1e-9 {
            faults.push(format!("\"{}\" is only {} mm high", label.text, label.height_mm));
        }
    }
    for (i, (one, shape, own)) in labels.iter().enumerate() {
        for (other, its, at) in &labels[i + 1..] {
            if own.overlaps(*at) && meet(shape, its) {
                faults.push(format!("\"{}\" lies on \"{}\"", one.text, other.text));
            }
        }
        for line in &cut {
            let near = own.inflate(0.2, 0.2).overlaps(line.bounding_box().inflate(0.01, 0.01));
            if near && meet(shape, &[line.p0, line.p1]) {
                faults.push(format!("\"{}\" lies on a cut line", one.text));
                break;
            }
        }
    }
    faults
}

/// How much of a page inside its margins has anything on it, from 0 to 1: of squares of 10 mm those
/// that a mark's box touches.
pub fn covered(page: &Page, margin_mm: f64) -> f64 {
    let inside = Rect::from_origin_size((0.0, 0.0), page.size_mm).inset(-margin_mm);
    let boxes = page.drawing.items.iter().map(|item| match &item.mark {
        Mark::Path(path) | Mark::Fill(path) => path.bounding_box(),
        Mark::Circle(circle) => circle.bounding_box(),
        Mark::Text(label) => boxed(&lettering::corners(label)),
    });
    let steps = |mm: f64| (mm / 10.0).ceil().max(1.0) as usize;
    let (columns, rows) = (steps(inside.width()), steps(inside.height()));
    let mut touched = vec![false; columns * rows];
    for own in boxes.map(|own| own.inflate(0.1, 0.1) - inside.origin().to_vec2()) {
        // A cast takes what is below nought as nought, where no cell ends.
        let cells = |from: f64, to: f64, many: usize| {
            let to = if to < 0.0 { 0 } else { (to / 10.0) as usize + 1 };
            (from / 10.0) as usize..to.min(many)
        };
        for row in cells(own.y0, own.y1, rows) {
            for column in cells(own.x0, own.x1, columns) {
                touched[row * columns + column] = true;
            }
        }
    }
    let filled = touched.iter().filter(|cell| **cell).count();
    filled as f64 / touched.len() as f64
}
