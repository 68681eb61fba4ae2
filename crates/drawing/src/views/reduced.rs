//! Pictures that are not of true size: they say so, and nothing on them is cut by.

use kurbo::{Affine, Circle, Rect, Shape};
use marks::{Drawing, Item, Mark, Pen};

/// What would be smaller than this is a speck, mm.
const SPECK_MM: f64 = 0.4;

/// Lines, circles and fills made smaller, the cut line with another pen: nothing is cut by them.
/// Lettering stays behind, and so does what would be a speck.
pub(super) fn scaled(drawing: &Drawing, by: f64, cut: Pen) -> Drawing {
    let mut small = Drawing::new();
    for item in &drawing.items {
        let scale = Affine::scale(by);
        let mark = match &item.mark {
            Mark::Path(path) => Mark::Path(scale * path.clone()),
            Mark::Fill(path) => Mark::Fill(scale * path.clone()),
            Mark::Circle(c) => Mark::Circle(Circle::new(scale * c.center, c.radius * by)),
            Mark::Text(_) => continue,
        };
        let pen = if item.pen == Pen::Cut { cut } else { item.pen };
        let speck = |r: Rect| r.width().max(r.height()) < SPECK_MM;
        if !matches!(&mark, Mark::Path(path) if speck(path.bounding_box())) {
            small.items.push(Item { mark, pen, tag: item.tag });
        }
    }
    small
}
