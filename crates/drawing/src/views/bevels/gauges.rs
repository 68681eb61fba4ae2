//! A gauge of card to cut out for each facet: one arm lies on the flat of the blade, the other
//! leans from it by the facet's angle.

use super::{BladeView, LETTER_MM};
use kurbo::{BezPath, Point, Vec2};
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign, lettering};

/// Length of each arm, mm: 1° off opens a gap of half a millimetre at its end.
const ARM_MM: f64 = 30.0;
/// The arm over the facet goes so far past the facet, mm.
const PAST_MM: f64 = 4.0;
/// Breadth of the card over the flat, mm.
const BREADTH_MM: f64 = 17.0;
/// Height of the angle's figure, mm.
const FIGURE_MM: f64 = 4.5;

pub(super) fn drawn(view: &BladeView<'_>) -> Vec<Drawing> {
    let (Some(bevel), Some(filing)) = (&view.reckoning.bevel, &view.reckoning.filing) else {
        return Vec::new();
    };
    let facets = &filing.facets;
    let flat = view.knife.bevel.is_some_and(|bevel| bevel.grind == knife::Grind::Flat);
    if facets.is_empty() {
        // Steeper than 45° all over: one gauge for the whole of it.
        let name = "bevel".to_owned();
        return if flat {
            vec![gauge(view, bevel.angle_deg, bevel.height_mm, name)]
        } else {
            vec![]
        };
    }
    let all = facets.iter().enumerate();
    all.map(|(k, facet)| {
        let name = format!("facet {} of {}", k + 1, facets.len());
        gauge(view, facet.angle_deg, facet.height_mm, name)
    })
    .collect()
}

/// The card as it stands on the blade, its bend at the origin: the flat to the right, the facet
/// falling to the left.
fn gauge(view: &BladeView<'_>, angle_deg: f64, height_mm: f64, name: String) -> Drawing {
    let mut drawing = Drawing::new();
    let down = -Vec2::from_angle(angle_deg.to_radians());
    let facet_mm = height_mm / angle_deg.to_radians().cos();
    let arm_mm = ARM_MM.max((facet_mm + PAST_MM).min(1.5 * ARM_MM));
    let end = Point::ORIGIN + down * arm_mm;
    let mut card = BezPath::new();
    card.move_to((ARM_MM, 0.0));
    card.line_to(Point::ORIGIN);
    card.line_to(end);
    card.line_to((end.x, BREADTH_MM));
    card.line_to((ARM_MM, BREADTH_MM));
    card.close_path();
    drawing.add(Pen::Cut, Mark::Path(card));
    let angle = Label::new(
        units::show_angle(angle_deg, 2),
        Point::new(end.x + 2.5, BREADTH_MM - 2.0 - FIGURE_MM),
        FIGURE_MM,
    )
    .bold();
    let beside = angle.at.x + lettering::width_mm(&angle.text, FontFace::Bold, FIGURE_MM) + 3.0;
    let foot = angle.at.y;
    drawing.text(Pen::Lettering, angle);
    let to = format!("to {}", view.fine(height_mm));
    for (words, y) in [(name, foot), (to, foot - LETTER_MM - 1.7)] {
        drawing.text(Pen::Lettering, Label::new(words, Point::new(beside, y), LETTER_MM));
    }
    let flat = Label::new("on the flat", Point::new(1.5, 1.8), LETTER_MM);
    drawing.text(Pen::Lettering, flat);
    let facet = Label::new("on the facet", Point::new(-1.5, 1.8), LETTER_MM);
    drawing.text(Pen::Lettering, facet.anchored(HAlign::End, VAlign::Base));
    drawing
}
