//! The small map on a tiled page: which part of the whole it shows.

use crate::tiling::Tiling;
use kurbo::{Affine, Point, Rect, Vec2};
use marks::{Drawing, HAlign, Item, Label, Mark, Pen, VAlign};

/// Height of the tiles' numbers, mm.
const NUMBER_MM: f64 = 2.5;

/// Draws the map of tiles with the lines to be cut in small, this tile's frame thick.
pub(crate) fn draw(page: &mut Drawing, tiling: &Tiling, content: &Drawing, this: (usize, usize)) {
    let all = tiling.tile(0, tiling.rows - 1).union(tiling.tile(tiling.columns - 1, 0));
    let place = tiling.map.inset(-0.5);
    let scale = (place.width() / all.width()).min(place.height() / all.height());
    let top = Point::new(place.x0, place.y1);
    let to_map = Affine::translate(top.to_vec2())
        * Affine::scale(scale)
        * Affine::translate(-Vec2::new(all.x0, all.y1));
    let is_cut = |pen| pen == Pen::Cut;
    let any_cut = content.items.iter().any(|item| is_cut(item.pen));
    let is_drawn = |pen| !matches!(pen, Pen::Frame | Pen::Lettering | Pen::Dimension);
    let shown = |item: &&Item| if any_cut { is_cut(item.pen) } else { is_drawn(item.pen) };
    for item in content.items.iter().filter(shown) {
        if let Mark::Path(path) = &item.mark {
            page.add(Pen::Frame, Mark::Path(to_map * path.clone()));
        }
    }
    // Numbers need room of their own; where there is none only this tile has its number.
    let step = tiling.step() * scale;
    let roomy = (tiling.columns == 1 || step.x > 2.0 * NUMBER_MM)
        && (tiling.rows == 1 || step.y > 1.5 * NUMBER_MM);
    for (k, tile) in tiling.tiles().enumerate() {
        let window = tiling.tile(tile.0, tile.1);
        let frame = Rect::from_points(
            to_map * Point::new(window.x0, window.y0),
            to_map * Point::new(window.x1, window.y1),
        );
        let shared = if tile.0 > 0 { tiling.overlap_mm * scale } else { 0.0 };
        let at = Point::new(frame.x0 + shared + 1.2, frame.y0 + 1.0);
        let label =
            Label::new((k + 1).to_string(), at, NUMBER_MM).anchored(HAlign::Start, VAlign::Base);
        if tile == this {
            page.rect(Pen::Lettering, frame.inset(0.15));
            page.rect(Pen::Lettering, frame.inset(-0.15));
            page.text(Pen::Lettering, label.bold());
        } else {
            page.rect(Pen::Frame, frame);
            if roomy {
                page.text(Pen::Lettering, label);
            }
        }
    }
}
