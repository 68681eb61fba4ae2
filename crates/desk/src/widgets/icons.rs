//! The signs on buttons without words, painted as lines so that they are sharp at any size.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, vec2};

/// What a sign stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Icon {
    Select,
    Pen,
    Hole,
    Measure,
    Undo,
    Redo,
    ZoomIn,
    ZoomOut,
    Fit,
    FitSelection,
    TrueSize,
    Card,
    Findings,
}

/// Paints a sign into a box, from a grid of twenty by twenty.
pub(crate) fn paint(painter: &Painter, rect: Rect, icon: Icon, colour: Color32) {
    let unit = rect.width().min(rect.height()) / 20.0;
    let corner = rect.center() - vec2(10.0, 10.0) * unit;
    let sheet = Sheet { painter, corner, unit, stroke: Stroke::new(1.5 * unit.max(0.8), colour) };
    match icon {
        Icon::Select => sheet.fill(&[
            (5.0, 2.0),
            (5.0, 16.0),
            (8.6, 12.8),
            (11.0, 18.0),
            (13.2, 17.0),
            (10.9, 11.8),
            (15.5, 11.4),
        ]),
        Icon::Pen => {
            sheet.closed(&[(4.0, 16.0), (5.2, 11.8), (13.6, 3.4), (16.6, 6.4), (8.2, 14.8)]);
            sheet.line(&[(11.4, 5.6), (14.4, 8.6)]);
        }
        Icon::Hole => {
            sheet.circle((10.0, 10.0), 5.0);
            sheet.line(&[(10.0, 2.0), (10.0, 6.5)]);
            sheet.line(&[(10.0, 13.5), (10.0, 18.0)]);
            sheet.line(&[(2.0, 10.0), (6.5, 10.0)]);
            sheet.line(&[(13.5, 10.0), (18.0, 10.0)]);
        }
        Icon::Measure => {
            sheet.line(&[(3.0, 6.0), (3.0, 14.0)]);
            sheet.line(&[(17.0, 6.0), (17.0, 14.0)]);
            sheet.line(&[(3.0, 10.0), (17.0, 10.0)]);
            sheet.fill(&[(3.0, 10.0), (7.0, 7.8), (7.0, 12.2)]);
            sheet.fill(&[(17.0, 10.0), (13.0, 12.2), (13.0, 7.8)]);
        }
        Icon::Undo => sheet.turned_arrow(false),
        Icon::Redo => sheet.turned_arrow(true),
        Icon::ZoomIn | Icon::ZoomOut => {
            sheet.circle((8.5, 8.5), 5.5);
            sheet.line(&[(12.6, 12.6), (17.5, 17.5)]);
            sheet.line(&[(6.0, 8.5), (11.0, 8.5)]);
            if icon == Icon::ZoomIn {
                sheet.line(&[(8.5, 6.0), (8.5, 11.0)]);
            }
        }
        Icon::Fit => {
            sheet.corners();
            sheet.closed(&[(4.5, 10.6), (9.0, 8.0), (15.5, 8.2), (15.5, 11.8), (9.0, 12.0)]);
        }
        Icon::FitSelection => {
            sheet.corners();
            sheet.closed(&[(8.0, 8.0), (12.0, 8.0), (12.0, 12.0), (8.0, 12.0)]);
        }
        Icon::TrueSize => {
            sheet.closed(&[(2.0, 6.5), (18.0, 6.5), (18.0, 13.5), (2.0, 13.5)]);
            for (i, x) in [4.6_f32, 7.3, 10.0, 12.7, 15.4].into_iter().enumerate() {
                let long = if i % 2 == 0 { 10.0 } else { 9.0 };
                sheet.line(&[(x, 6.5), (x, long)]);
            }
        }
        Icon::Card => {
            sheet.closed(&[(2.5, 3.5), (17.5, 3.5), (17.5, 16.5), (2.5, 16.5)]);
            sheet.fill(&[(12.0, 3.5), (17.5, 3.5), (17.5, 16.5), (12.0, 16.5)]);
        }
        Icon::Findings => {
            sheet.closed(&[(2.5, 3.5), (17.5, 3.5), (17.5, 16.5), (2.5, 16.5)]);
            sheet.fill(&[(2.5, 12.0), (17.5, 12.0), (17.5, 16.5), (2.5, 16.5)]);
        }
    }
}

/// Where a sign is painted.
struct Sheet<'a> {
    painter: &'a Painter,
    corner: Pos2,
    unit: f32,
    stroke: Stroke,
}

impl Sheet<'_> {
    fn at(&self, (x, y): (f32, f32)) -> Pos2 {
        self.corner + vec2(x, y) * self.unit
    }

    fn points(&self, places: &[(f32, f32)]) -> Vec<Pos2> {
        places.iter().map(|place| self.at(*place)).collect()
    }

    fn line(&self, places: &[(f32, f32)]) {
        self.painter.add(Shape::line(self.points(places), self.stroke));
    }

    fn closed(&self, places: &[(f32, f32)]) {
        self.painter.add(Shape::closed_line(self.points(places), self.stroke));
    }

    fn fill(&self, places: &[(f32, f32)]) {
        let points = self.points(places);
        self.painter.add(Shape::convex_polygon(points, self.stroke.color, Stroke::NONE));
    }

    fn circle(&self, at: (f32, f32), radius: f32) {
        self.painter.circle_stroke(self.at(at), radius * self.unit, self.stroke);
    }

    /// The four corners of a frame.
    fn corners(&self) {
        for (x, y) in [(2.5_f32, 2.5_f32), (17.5, 2.5), (17.5, 17.5), (2.5, 17.5)] {
            let inward = |at: f32| if at < 10.0 { at + 4.0 } else { at - 4.0 };
            self.line(&[(inward(x), y), (x, y), (x, inward(y))]);
        }
    }

    /// An arrow that comes back, to the left or to the right.
    fn turned_arrow(&self, right: bool) {
        let mirror = |(x, y): (f32, f32)| if right { (20.0 - x, y) } else { (x, y) };
        let arc = (0u8..=12).map(|i| {
            let angle = std::f32::consts::PI * (f32::from(i) / 12.0 - 0.5);
            mirror((10.5 + 5.5 * angle.cos(), 11.5 + 5.0 * angle.sin()))
        });
        let mut places: Vec<(f32, f32)> = vec![mirror((4.0, 6.5))];
        places.extend(arc);
        places.push(mirror((5.0, 16.5)));
        self.line(&places);
        self.line(&[mirror((7.8, 2.8)), mirror((4.0, 6.5)), mirror((7.8, 10.2))]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    /// Every sign stays inside its box and paints something.
    #[test]
    fn signs_stay_in_their_boxes() {
        let ctx = egui::Context::default();
        let rect = Rect::from_min_size(pos2(10.0, 20.0), vec2(24.0, 24.0));
        let all = [
            Icon::Select,
            Icon::Pen,
            Icon::Hole,
            Icon::Measure,
            Icon::Undo,
            Icon::Redo,
            Icon::ZoomIn,
            Icon::ZoomOut,
            Icon::Fit,
            Icon::FitSelection,
            Icon::TrueSize,
            Icon::Card,
            Icon::Findings,
        ];
        for icon in all {
            let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
                paint(ui.painter(), rect, icon, Color32::WHITE);
            });
            let boxes: Vec<Rect> =
                output.shapes.iter().map(|shape| shape.shape.visual_bounding_rect()).collect();
            output.textures_delta.clear();
            assert!(!boxes.is_empty(), "{icon:?}");
            for bounds in boxes.iter().filter(|bounds| bounds.is_positive()) {
                assert!(rect.expand(1.0).contains_rect(*bounds), "{icon:?}: {bounds:?}");
            }
        }
    }
}
