//! Blocks: for the stock's middle, the bevel's angle, the scales' front, the stone, and the board
//! under the drill.

use super::{JigView, closed, hole, measured, titled, words};
use kurbo::{Affine, Point, Rect, Vec2};
use marks::{Drawing, Mark, Pen};
use units::show_angle;

impl JigView<'_> {
    /// The block seen from below: two pegs, the scriber midway; beside it the same turned on the
    /// stock.
    pub(super) fn centring(&self) -> Drawing {
        let block = &self.jigs.centring;
        let (peg, apart) = (block.peg_mm, block.apart_mm);
        let half = (apart + 3.0 * peg) / 2.0;
        let mut drawing = Drawing::new();
        let high = 1.25 * peg;
        closed(
            &mut drawing,
            Pen::Cut,
            &[(-half, -high), (half, -high), (half, high), (-half, high)],
        );
        for x in [-apart / 2.0, apart / 2.0] {
            hole(&mut drawing, Point::new(x, 0.0), peg);
        }
        hole(&mut drawing, Point::ORIGIN, 2.0);
        let ends = (Point::new(-apart / 2.0, -high), Point::new(apart / 2.0, -high));
        measured(&mut drawing, ends, (0.0, -7.0), &self.fine(apart));
        // Turned on the stock's edge.
        let aside = Vec2::new(2.0 * half + 8.0, 0.0);
        let turn = Affine::translate(aside) * Affine::rotate(block.turn_deg.to_radians());
        let corners = [(-half, -high), (half, -high), (half, high), (-half, high)];
        let turned: Vec<Point> = corners.iter().map(|p| turn * Point::from(*p)).collect();
        drawing.add(Pen::Blank, Mark::Path(super::super::sheath::path(&turned, true)));
        for x in [-apart / 2.0, apart / 2.0] {
            let at = turn * Point::new(x, 0.0);
            drawing.add(Pen::Blank, Mark::Circle(kurbo::Circle::new(at, peg / 2.0)));
        }
        for y in [-block.stock_mm / 2.0, block.stock_mm / 2.0] {
            let (from, to) = (Point::new(aside.x - half, y), Point::new(aside.x + half, y));
            drawing.line(Pen::Section, from, to);
        }
        let middle = Point::new(aside.x, 0.0);
        drawing.line(Pen::Centre, middle - Vec2::new(half, 0.0), middle + Vec2::new(half, 0.0));
        let top = turned.iter().map(|p| p.y).fold(high, f64::max);
        let lines = [
            format!(
                "Pegs of {}, scriber midway. Turn it until both pegs touch the stock,",
                self.fine(peg)
            ),
            format!(
                "here {} on {}: pull it along and it scribes the middle of the edge.",
                show_angle(block.turn_deg, 1),
                self.fine(block.stock_mm)
            ),
        ];
        titled(
            &mut drawing,
            "CENTRING BLOCK",
            &lines,
            Rect::new(-half, -high, aside.x + half, top),
        );
        drawing
    }

    /// The wedge on which the blade lies so that its bevel is level, from the side.
    pub(super) fn bevel_block(&self) -> Option<Drawing> {
        let block = self.jigs.bevel.as_ref()?;
        let mut drawing = Drawing::new();
        let (foot, thin, rise) = (block.foot_mm, block.thin_mm, block.rise_mm);
        closed(
            &mut drawing,
            Pen::Cut,
            &[(0.0, 0.0), (foot, 0.0), (foot, thin + rise), (0.0, thin)],
        );
        let at = |x: f64, y: f64| Point::new(x, y);
        measured(&mut drawing, (at(0.0, 0.0), at(foot, 0.0)), (0.0, -7.0), &self.fine(foot));
        let ends = (at(0.0, 0.0), at(0.0, thin));
        measured(&mut drawing, ends, (-6.0, 0.0), &self.fine(thin));
        let ends = (at(foot, 0.0), at(foot, thin + rise));
        measured(&mut drawing, ends, (6.0, 0.0), &self.fine(thin + rise));
        words(&mut drawing, at(foot / 2.0, thin / 2.0), "from the side");
        let lines = [format!(
            "{} per side: the blade on it, spine at the thin end, its bevel lies level.",
            show_angle(block.angle_deg, 2)
        )];
        titled(&mut drawing, "BEVEL BLOCK", &lines, Rect::new(0.0, 0.0, foot, thin + rise));
        Some(drawing)
    }

    /// The block by which the scales' front is finished, from the side.
    pub(super) fn front_block(&self) -> Option<Drawing> {
        let block = self.jigs.front.as_ref()?;
        let mut drawing = Drawing::new();
        let (foot, thin, high) = (block.foot_mm, block.thin_mm, block.rise_mm);
        closed(
            &mut drawing,
            Pen::Cut,
            &[(0.0, 0.0), (foot, 0.0), (foot, high), (foot - thin, high)],
        );
        let at = |x: f64, y: f64| Point::new(x, y);
        measured(&mut drawing, (at(0.0, 0.0), at(foot, 0.0)), (0.0, -7.0), &self.fine(foot));
        measured(&mut drawing, (at(foot, 0.0), at(foot, high)), (6.0, 0.0), &self.fine(high));
        let lines = [
            format!(
                "Leans back {} from square. Both scales pinned as a pair, glue faces",
                show_angle(block.angle_deg, 1)
            ),
            "together on its foot: sand the fronts by the leaning face.".to_owned(),
        ];
        titled(&mut drawing, "FRONT BLOCK", &lines, Rect::new(0.0, 0.0, foot, high));
        Some(drawing)
    }

    /// The stand that holds the stone at the sharpening angle, from the side.
    pub(super) fn stand(&self) -> Option<Drawing> {
        let block = self.jigs.stand.as_ref()?;
        let mut drawing = Drawing::new();
        let (foot, rise) = (block.foot_mm, block.rise_mm);
        closed(&mut drawing, Pen::Cut, &[(0.0, 0.0), (foot, 0.0), (foot, rise)]);
        let at = |x: f64, y: f64| Point::new(x, y);
        measured(&mut drawing, (at(0.0, 0.0), at(foot, 0.0)), (0.0, -7.0), &self.fine(foot));
        measured(&mut drawing, (at(foot, 0.0), at(foot, rise)), (6.0, 0.0), &self.fine(rise));
        let lines = [
            format!(
                "The stone lies on the slope of {}, {} per side: hold the blade level.",
                self.fine(foot.hypot(rise)),
                show_angle(block.angle_deg, 1)
            ),
            "Cut two cheeks and screw stops across both ends.".to_owned(),
        ];
        titled(&mut drawing, "SHARPENING STAND", &lines, Rect::new(0.0, 0.0, foot, rise));
        Some(drawing)
    }

    /// The board under the tang, from above: the tang dashed, wide holes where drills come out.
    pub(super) fn support(&self) -> Option<Drawing> {
        const ROOM_MM: f64 = 12.0;
        let support = self.jigs.support.as_ref()?;
        let scales = self.reckoning.scales.as_ref();
        let profile = self.reckoning.profile.as_ref()?;
        let level = Affine::scale_non_uniform(
            profile.towards_butt,
            if profile.edge_is_up { -1.0 } else { 1.0 },
        );
        let mut drawing = Drawing::new();
        let centres = support.holes.iter().map(|(_, at, mm)| {
            let at = level * *at;
            Rect::from_center_size(at, (*mm, *mm))
        });
        let mut bounds = centres.reduce(|a, b| a.union(b))?;
        if let Some(scales) = scales {
            let tang = scales.outline.transformed(level);
            bounds = bounds.union(tang.bounds());
            drawing.add(Pen::Blank, Mark::Path(tang.to_path()));
        }
        let board = bounds.inflate(ROOM_MM, ROOM_MM);
        drawing.rect(Pen::Cut, board);
        for (_, at, mm) in &support.holes {
            hole(&mut drawing, level * *at, *mm);
        }
        let corner = Point::new(board.x0, board.y0);
        let ends = (corner, Point::new(board.x1, board.y0));
        measured(&mut drawing, ends, (0.0, -7.0), &self.fine(board.width()));
        let lines = [
            format!(
                "Board {} thick under the tang; holes wider than the drills, so that chips fall",
                self.fine(support.thick_mm)
            ),
            "through. Stops along spine and butt; clamp tang and board together.".to_owned(),
        ];
        titled(&mut drawing, "DRILLING SUPPORT", &lines, board);
        Some(drawing)
    }
}
