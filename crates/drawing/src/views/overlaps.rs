//! What of a drawing lies on something else: for the tests of views.

use kurbo::{ParamCurve, PathSeg, Point, Rect, Shape};
use marks::{Drawing, Label, Mark, lettering};

/// The box of a label that is level or turned a quarter, a hair smaller than it is.
fn boxed(label: &Label) -> Rect {
    let corners = lettering::corners(label);
    let first = Rect::from_points(corners[0], corners[2]);
    corners.iter().fold(first, |all, p| all.union_pt(*p)).inflate(-0.05, -0.05)
}

pub(super) fn labels(drawing: &Drawing) -> Vec<(&Label, Rect)> {
    drawing
        .items
        .iter()
        .filter_map(|item| match &item.mark {
            Mark::Text(label) => Some((label, boxed(label))),
            _ => None,
        })
        .collect()
}

/// Whether a stretch of line enters a box.
fn enters(seg: &PathSeg, rect: Rect) -> bool {
    if !seg.bounding_box().overlaps(rect) {
        return false;
    }
    // Leaders and lines are long against the box's height: steps of a fifth of a millimetre.
    let reach = seg.bounding_box();
    let steps = ((reach.width() + reach.height()) / 0.2).ceil().max(1.0);
    let mut k = 0.0;
    while k <= steps {
        if rect.contains(seg.eval(k / steps)) {
            return true;
        }
        k += 1.0;
    }
    false
}

/// What of a drawing lies on something else, in words; empty when nothing does.
pub(super) fn find_overlaps(drawing: &Drawing) -> Vec<String> {
    let labels = labels(drawing);
    let mut found = Vec::new();
    for (i, (a, a_box)) in labels.iter().enumerate() {
        for (b, b_box) in &labels[i + 1..] {
            if a_box.overlaps(*b_box) {
                found.push(format!("\"{}\" on \"{}\"", a.text, b.text));
            }
        }
        for item in &drawing.items {
            match &item.mark {
                Mark::Circle(circle) => {
                    let x = circle.center.x.max(a_box.x0).min(a_box.x1);
                    let y = circle.center.y.max(a_box.y0).min(a_box.y1);
                    if circle.center.distance(Point::new(x, y)) < circle.radius {
                        found.push(format!("\"{}\" on a circle at {:?}", a.text, circle.center));
                    }
                }
                Mark::Path(path) => {
                    if path.segments().any(|seg| enters(&seg, *a_box)) {
                        found.push(format!("\"{}\" on a line of {:?}", a.text, item.pen));
                    }
                }
                Mark::Fill(path) => {
                    if path.bounding_box().overlaps(*a_box) {
                        found.push(format!("\"{}\" on a filled mark", a.text));
                    }
                }
                Mark::Text(_) => {}
            }
        }
    }
    found
}
