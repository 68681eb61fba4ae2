//! The chamber of soft bricks: its end, and the upper half from above.

use super::{JigView, closed, measured, titled, words};
use kurbo::{Arc, Ellipse, Point, Rect, Shape, Vec2};
use marks::{Drawing, Mark, Pen};
use reckon::BrickChamber;
use std::f64::consts::PI;

impl JigView<'_> {
    /// One half from its end: the groove, and where the burner's hole runs along the wall.
    pub(super) fn brick_end(&self) -> Option<Drawing> {
        let chamber = self.jigs.chamber.as_ref()?;
        let (wide, thick) = chamber.section_mm;
        let radius = chamber.bore_mm / 2.0;
        let mut drawing = Drawing::new();
        let half = wide / 2.0;
        // The half lies with its groove down, its joint at y = 0.
        let mut line = kurbo::BezPath::new();
        line.move_to((-half, 0.0));
        line.line_to((-radius, 0.0));
        let arc = Arc::new(Point::ORIGIN, Vec2::new(radius, radius), PI, -PI, 0.0);
        line.extend(arc.append_iter(0.01));
        line.line_to((half, 0.0));
        line.line_to((half, thick));
        line.line_to((-half, thick));
        line.close_path();
        drawing.add(Pen::Cut, Mark::Path(line));
        let x = chamber.beside_mm;
        for side in [x - chamber.burner_mm / 2.0, x + chamber.burner_mm / 2.0] {
            let foot = (radius * radius - side * side).max(0.0).sqrt();
            drawing.line(Pen::Guide, Point::new(side, foot), Point::new(side, thick));
        }
        drawing.line(Pen::Centre, Point::new(x, 0.0), Point::new(x, thick + 4.0));
        drawing.line(Pen::Centre, Point::new(0.0, 0.0), Point::new(0.0, thick));
        let joint = |x: f64| Point::new(x, 0.0);
        measured(
            &mut drawing,
            (joint(-radius), joint(radius)),
            (0.0, -7.0),
            &self.fine(2.0 * radius),
        );
        let ends = (Point::new(half, 0.0), Point::new(half, thick));
        measured(&mut drawing, ends, (7.0, 0.0), &self.fine(thick));
        words(&mut drawing, Point::new(-half / 1.6, thick - 5.0), "end, upper half");
        let lines = [
            format!(
                "Groove of {} in both halves; the lower one has no burner hole.",
                self.fine(2.0 * radius)
            ),
            format!(
                "{} for {} of blade. Burner {} beside the middle.",
                bricks(chamber.bricks),
                self.fine(chamber.blade_mm),
                self.fine(x)
            ),
        ];
        titled(
            &mut drawing,
            "BRICK CHAMBER, end",
            &lines,
            Rect::new(-half, 0.0, half, thick + 4.0),
        );
        Some(drawing)
    }

    /// The upper half of the first brick from above: the burner's hole where it goes in.
    pub(super) fn brick_top(&self) -> Option<Drawing> {
        let chamber = self.jigs.chamber.as_ref()?;
        let (wide, _) = chamber.section_mm;
        let at = hole_on_top(chamber);
        let long = at.x + PAST_MM;
        let mut drawing = Drawing::new();
        let half = wide / 2.0;
        closed(&mut drawing, Pen::Cut, &[(0.0, -half), (long, -half), (long, half), (0.0, half)]);
        let radius = chamber.bore_mm / 2.0;
        for y in [-radius, radius] {
            drawing.line(Pen::Blank, Point::new(0.0, y), Point::new(long, y));
        }
        drawing.line(Pen::Centre, Point::new(0.0, 0.0), Point::new(long, 0.0));
        let cos = chamber.back_deg.to_radians().cos();
        let burner = chamber.burner_mm / 2.0;
        let ring = Ellipse::new(at, (burner / cos, burner), 0.0);
        drawing.add(Pen::Cut, Mark::Path(ring.to_path(0.01)));
        words(&mut drawing, at - Vec2::new(1.0, 5.0), "bore here");
        let meets = Point::new(chamber.brick_mm / 2.0, at.y);
        drawing.line(Pen::Centre, at - Vec2::new(burner + 4.0, 0.0), meets);
        drawing.add(
            Pen::Blank,
            Mark::Path(Ellipse::new(meets, (burner / cos, burner), 0.0).to_path(0.01)),
        );
        words(&mut drawing, meets + Vec2::new(1.0, -5.0), "aim here");
        measured(
            &mut drawing,
            (Point::new(0.0, -half), Point::new(at.x, -half)),
            (0.0, -7.0),
            &self.fine(at.x),
        );
        let side = (Point::new(0.0, 0.0), Point::new(0.0, at.y));
        measured(&mut drawing, side, (-6.0, 0.0), &self.fine(at.y));
        words(&mut drawing, Point::new(14.0, -half + 5.0), "mouth");
        words(&mut drawing, Point::new(long - 20.0, -half + 5.0), "brick goes on");
        let lines = [
            format!(
                "Hole of {} turned {} back from square: from here it runs {} towards the back",
                self.fine(chamber.burner_mm),
                units::show_angle(chamber.back_deg, 0),
                self.fine(chamber.ahead_mm)
            ),
            format!(
                "down to the bore's middle line, {} lower: bore at the thick circle, aim at the thin one.",
                self.fine(chamber.section_mm.1)
            ),
        ];
        titled(
            &mut drawing,
            "BRICK CHAMBER, upper half from above",
            &lines,
            Rect::new(0.0, -half, long, half),
        );
        Some(drawing)
    }
}

/// How many bricks of each half lie in a row.
fn bricks(count: u32) -> String {
    if count == 1 { "One brick".to_owned() } else { format!("{count} bricks in a row") }
}

/// The template of the upper half goes on so far behind the burner's hole, mm.
const PAST_MM: f64 = 48.0;

/// Where the burner's middle line goes in on top: it meets the level of the bore's middle halfway
/// along the brick.
fn hole_on_top(chamber: &BrickChamber) -> Point {
    Point::new(chamber.brick_mm / 2.0 - chamber.ahead_mm, chamber.beside_mm)
}
