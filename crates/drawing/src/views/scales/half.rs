//! One half of the sheet: a scale with its bolsters, seen from outside.

use super::{BESIDE_MM, LETTER_MM, NAME_ROW_MM};
use crate::MarkPart as _;
use crate::views::Callout;
use crate::views::blank::{centre_mark, scallop_rims};
use crate::views::callout::callouts_within;
use crate::views::dimension::arrow;
use crate::views::drills::hole_size;
use knife::{Fixing, HoleKind, Knife, PartId};
use kurbo::{Affine, BezPath, Circle, ParamCurve, PathSeg, Point, Rect, Shape, Vec2};
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign, lettering};
use reckon::{HoleFigures, PiecePart, Reckoning, ScaleFigures};

/// Length of the grain's arrow, mm.
const GRAIN_MM: f64 = 16.0;
/// Between two words in a row, mm.
const APART_MM: f64 = 3.0;
/// Above the mirror line, mm: where the row of words stands.
const ROW_MM: f64 = 1.9;
/// With more holes than this only their numbers are told, and the drills in the notes.
const HOLES_NAMED: usize = 8;

pub(super) struct Half<'a> {
    pub(super) knife: &'a Knife,
    pub(super) reckoning: &'a Reckoning,
    pub(super) scales: &'a ScaleFigures,
    /// What it is called.
    pub(super) name: &'static str,
    /// From the knife's plane to the sheet's.
    pub(super) to_sheet: Affine,
    /// On which side of the mirror line it lies: −1 below, +1 above.
    pub(super) direction: f64,
    /// Whether the pair opens like a book.
    pub(super) book: bool,
}

impl Half<'_> {
    pub(super) fn drawn(&self) -> Drawing {
        let mut drawing = Drawing::new();
        let path = |path: &BezPath| Mark::Path(self.to_sheet * path.clone());
        for piece in &self.scales.pieces {
            drawing.add_part(Pen::Cut, path(&piece.waste.to_path()), PartId::Scales);
        }
        for run in self.flush() {
            drawing.add_part(Pen::Scale, path(&run), PartId::Scales);
        }
        for run in [self.scales.outer_front.as_deref().unwrap_or_default(), &self.scales.corner] {
            if !run.is_empty() {
                let run = BezPath::from_path_segments(run.iter().copied());
                drawing.add_part(Pen::Guide, path(&run), PartId::Scales);
            }
        }
        for rim in scallop_rims(self.reckoning) {
            drawing.add_part(Pen::Bevel, path(&rim), PartId::Scales);
        }
        for hole in self.holes() {
            self.hole(&mut drawing, hole);
        }
        drawing.extend(self.words());
        // Not ahead of the front, where it would make the sheet longer.
        let bounds = self.bounds();
        let ends = (bounds.x0, bounds.x1 + BESIDE_MM + GRAIN_MM);
        let row_y = self.direction * (self.reach() + NAME_ROW_MM);
        drawing.extend(callouts_within(self.names(), row_y, ends));
        drawing
    }

    /// The tang's outline behind the front line. The front line itself is sawn, and so drawn.
    fn flush(&self) -> Vec<BezPath> {
        let front = &self.scales.front;
        let is_front = |seg: &&PathSeg| front.contains(seg) || front.contains(&seg.reverse());
        let segs = self.scales.outline.segs();
        let first = segs.iter().position(|seg| is_front(&seg)).unwrap_or(0);
        let turned = segs[first..].iter().chain(&segs[..first]);
        let rest: Vec<PathSeg> = turned.filter(|seg| !is_front(seg)).copied().collect();
        vec![BezPath::from_path_segments(rest.into_iter())]
    }

    /// What goes through the scales.
    fn holes(&self) -> impl Iterator<Item = &HoleFigures> {
        let in_a_piece = |hole: &&HoleFigures| {
            hole.kind != HoleKind::Relief
                && self.scales.pieces.iter().any(|piece| piece.holes.contains(&hole.id))
        };
        self.reckoning.holes.iter().filter(in_a_piece)
    }

    fn hole(&self, drawing: &mut Drawing, hole: &HoleFigures) {
        let part = PartId::Hole(hole.id);
        let circle = Circle::new(self.to_sheet * hole.at, hole.diameter_mm / 2.0);
        for mark in centre_mark(circle) {
            drawing.add_part(Pen::Centre, mark, part);
        }
        drawing.add_part(Pen::Hole, Mark::Circle(circle), part);
        if let Some(Fixing::Screw { head_mm, .. }) = self.knife.handle.fixing(hole.id) {
            let head = Circle::new(circle.center, head_mm / 2.0);
            drawing.add_part(Pen::Hole, Mark::Circle(head), part);
        }
    }

    /// How far it reaches from the mirror line, mm.
    fn reach(&self) -> f64 {
        let ends = self.scales.pieces.iter().map(|piece| {
            let bounds = (self.to_sheet * piece.waste.to_path()).bounding_box();
            if self.direction > 0.0 { bounds.y1 } else { -bounds.y0 }
        });
        ends.fold(0.0, f64::max)
    }

    fn bounds(&self) -> Rect {
        self.scales.outline.transformed(self.to_sheet).bounds()
    }

    /// Between mirror line and spine: which scale it is, which way it lies.
    fn words(&self) -> Drawing {
        let mut drawing = Drawing::new();
        let low = if self.direction > 0.0 { ROW_MM } else { -ROW_MM - LETTER_MM };
        let mid = low + LETTER_MM / 2.0;
        let mut x = self.bounds().x0;
        let tip = Point::new(x, mid);
        drawing.add(Pen::Dimension, Mark::Fill(arrow(tip, Vec2::new(-1.0, 0.0))));
        drawing.line(Pen::Dimension, tip + Vec2::new(3.0, 0.0), tip + Vec2::new(6.0, 0.0));
        x += 7.5;
        let lies = if self.book { "outside up, book-matched" } else { "outside up, mirrored" };
        for (words, face) in
            [("FRONT", FontFace::Bold), (self.name, FontFace::Bold), (lies, FontFace::Regular)]
        {
            let label = Label::new(words, Point::new(x, low), LETTER_MM);
            drawing.text(Pen::Lettering, if face == FontFace::Bold { label.bold() } else { label });
            x += lettering::width_mm(words, face, LETTER_MM) + APART_MM;
        }
        drawing
    }

    /// Names of holes, and on the lower half of the lines and bolsters too.
    fn names(&self) -> Vec<Callout> {
        let few = self.holes().count() <= HOLES_NAMED;
        let mut names: Vec<Callout> = self
            .holes()
            .map(|hole| Callout {
                at: self.to_sheet * hole.at
                    + Vec2::new(0.0, self.direction * hole.diameter_mm / 2.0),
                text: self.hole_name(hole, few),
                part: Some(PartId::Hole(hole.id)),
            })
            .collect();
        if self.direction > 0.0 {
            return names;
        }
        let mut line = |at: Point, text: &str| {
            names.push(Callout { at, text: text.to_owned(), part: Some(PartId::Scales) });
        };
        line(self.lower_end(&self.scales.front), "front");
        if let Some(outer) = &self.scales.outer_front {
            line(self.lower_end(outer), "bevel");
        }
        if let Some(at) = self.lowest(&self.scales.corner) {
            line(at, "corner");
        }
        for piece in self.scales.pieces.iter().filter(|piece| piece.part != PiecePart::Scale) {
            let centre = piece.outline.centroid();
            line(self.to_sheet * centre, piece.part.label());
        }
        names
    }

    fn hole_name(&self, hole: &HoleFigures, few: bool) -> String {
        if !few {
            return hole.number.to_string();
        }
        let fine = |mm: f64| units::show_decimal(mm, self.knife.unit, (2, 3));
        let mut name = format!("{}: {}", hole.number, hole_size(hole));
        if let Some(Fixing::Screw { head_mm, .. }) = self.knife.handle.fixing(hole.id) {
            name += &format!(", head Ø {}", fine(head_mm));
        }
        name
    }

    fn lower_end(&self, run: &[PathSeg]) -> Point {
        let ends = run.iter().flat_map(|seg| [seg.start(), seg.end()]);
        let ends = ends.map(|p| self.to_sheet * p);
        ends.reduce(|a, b| if a.y < b.y { a } else { b }).unwrap_or_default()
    }

    /// The run's point nearest to the lower edge in the middle of its length.
    fn lowest(&self, run: &[PathSeg]) -> Option<Point> {
        let bounds = self.bounds();
        let target = Point::new(bounds.x0 + 0.8 * bounds.width(), bounds.y0);
        run.iter()
            .map(|seg| self.to_sheet * seg.eval(0.5))
            .min_by(|a, b| a.distance(target).total_cmp(&b.distance(target)))
    }

    /// Beyond the butt: which way the grain runs.
    pub(super) fn grain(&self, right_mm: f64) -> Drawing {
        let mut drawing = Drawing::new();
        let Some(grain_deg) = self.knife.handle.grain_deg else { return drawing };
        let turn = if self.direction > 0.0 { -grain_deg } else { grain_deg };
        let along = Vec2::from_angle(turn.to_radians());
        let middle = Point::new(right_mm + BESIDE_MM + GRAIN_MM / 2.0, self.bounds().center().y);
        for sign in [1.0, -1.0] {
            let tip = middle + sign * GRAIN_MM / 2.0 * along;
            drawing.add(Pen::Dimension, Mark::Fill(arrow(tip, sign * along)));
        }
        let reach = (GRAIN_MM / 2.0 - 2.5) * along;
        drawing.line(Pen::Dimension, middle - reach, middle + reach);
        let at = middle + Vec2::new(0.0, along.y.abs() * GRAIN_MM / 2.0 + 1.5);
        let label = Label::new("grain", at, LETTER_MM);
        drawing.text(Pen::Lettering, label.anchored(HAlign::Middle, VAlign::Base));
        drawing
    }
}
