//! What is cut alone, outline and holes on the bar, as a drawing at true size.

use drawing::views;
use knife::Knife;
use kurbo::Rect;
use marks::{Drawing, Pen};
use reckon::Reckoning;

/// White space around a drawing, mm.
pub const AROUND_MM: f64 = 5.0;

/// Outline and holes, nothing else.
pub fn bare_drawing(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut all = views::blank_on_bar(knife, reckoning, views::Extent::Whole);
    all.items.retain(|item| matches!(item.pen, Pen::Cut | Pen::Hole));
    all
}

/// What of the plane a drawing covers, with white space around it, mm.
pub fn drawing_window(drawing: &Drawing) -> Rect {
    paper::extent(drawing).unwrap_or(Rect::ZERO).inflate(AROUND_MM, AROUND_MM)
}

/// Outline and holes as SVG at true size.
pub fn bare_svg(knife: &Knife, reckoning: &Reckoning) -> Vec<u8> {
    let drawing = bare_drawing(knife, reckoning);
    paper::svg(&drawing, drawing_window(&drawing), &knife.name).into_bytes()
}
