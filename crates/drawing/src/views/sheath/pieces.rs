//! The pieces of a sheath as they are drawn.

use super::{LETTER_MM, SheathView, hole, path, to_origin, words};
use crate::MarkPart as _;
use knife::{Hand, PartId};
use kurbo::{Affine, ParamCurve, Point, Rect, Shape};
use marks::{Drawing, HAlign, Label, Mark, Pen, VAlign};
use outline::simplify_polyline;
use reckon::fold_lines;

/// From a piece to its name above it, mm.
const NAME_MM: f64 = 2.5;

/// How near the knife under the piece is drawn, mm: it is looked at, not cut.
const UNDER_MM: f64 = 0.01;

/// Which side of a piece is drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Lay {
    /// As worked out: the knife's left side below the fold.
    Front,
    /// The second of two pieces: its mirror image.
    Back,
}

impl SheathView<'_> {
    /// The main piece, or the second one, with everything on it.
    pub(super) fn main_piece(&self, lay: Lay) -> Drawing {
        let figures = self.figures;
        let to_sheet = match lay {
            Lay::Front => Affine::IDENTITY,
            Lay::Back => Affine::FLIP_X,
        };
        let mut drawing = Drawing::new();
        let body = &figures.body;
        let mut add = |pen, path: kurbo::BezPath| {
            drawing.add_part(pen, Mark::Path(to_sheet * path), PartId::Sheath);
        };
        add(Pen::Cut, body.outline.to_path());
        let [fold, sides @ ..] = fold_lines(figures)
            .try_into()
            .map_or_else(|_| [None; 3], |lines: [kurbo::Line; 3]| lines.map(Some));
        if let Some(fold) = fold {
            add(Pen::Centre, path(&[fold.p0, fold.p1], false));
        }
        for side in sides.into_iter().flatten() {
            add(Pen::Guide, path(&[side.p0, side.p1], false));
        }
        for glue in &body.glue {
            add(Pen::Guide, path(glue, false));
        }
        if let Some(run) = self.knife_under() {
            add(Pen::Blank, run);
        }
        for (at, diameter_mm) in &body.holes {
            hole(&mut drawing, to_sheet * *at, *diameter_mm);
        }
        if figures.stated.folded {
            self.halves(&mut drawing);
        } else {
            self.side(&mut drawing, lay, to_sheet);
        }
        self.tab(&mut drawing, lay, to_sheet);
        drawing
    }

    /// The knife as it lies in the side that is its left.
    fn knife_under(&self) -> Option<kurbo::BezPath> {
        let outline = self.reckoning.outline.as_ref()?.transformed(self.figures.lay);
        let mouth = self.figures.mouth_mm;
        let covered =
            outline.clipped_to_half_plane(Point::new(mouth, 0.0), kurbo::Vec2::new(-1.0, 0.0))?;
        // Laid flat place by place: curves become fine runs, and straight ones straight again.
        let flattened = |seg: &kurbo::PathSeg| {
            let at = |i: u32| self.figures.development.on_wall(seg.eval(f64::from(i) / 16.0));
            let mut run = simplify_polyline(&(0..=16).map(at).collect::<Vec<_>>(), UNDER_MM);
            // The next one begins there.
            run.pop();
            run
        };
        let points: Vec<Point> = covered.segs().iter().flat_map(flattened).collect();
        Some(path(&points, true))
    }

    /// What each half of a folded piece is, and its fold.
    fn halves(&self, drawing: &mut Drawing) {
        let figures = self.figures;
        let half = figures.fold_mm.unwrap_or(0.0);
        let x = f64::midpoint(figures.tip_mm, figures.mouth_mm);
        let formed = figures.stated.formed().is_some();
        let fold =
            if formed { "FOLD about the spine" } else { "FOLD about the spine, groove inside" };
        words(drawing, Point::new(x, half / 2.0), fold, true);
        let (left, right) = match figures.stated.hand {
            Hand::Right => ("FRONT, outside up · knife's left side", "BACK, outside up"),
            Hand::Left => ("BACK, outside up · knife's left side", "FRONT, outside up"),
        };
        let off = half + 2.2 * LETTER_MM;
        words(drawing, Point::new(x, -off), left, true);
        words(drawing, Point::new(x, off), right, true);
        self.mouth(drawing, Affine::IDENTITY);
    }

    /// What one of two pieces is.
    fn side(&self, drawing: &mut Drawing, lay: Lay, to_sheet: Affine) {
        let figures = self.figures;
        let station = f64::midpoint(figures.tip_mm, figures.mouth_mm);
        let outline = self.reckoning.outline.as_ref().map(|own| own.transformed(figures.lay));
        let middle = outline.map_or(0.0, |own| own.bounds().center().y);
        let at = to_sheet * Point::new(station, middle);
        let shows = (lay == Lay::Front) == (figures.stated.hand == Hand::Right);
        let side =
            if lay == Lay::Front { "knife's left side" } else { "knife's right side, mirrored" };
        let name = if shows { "FRONT" } else { "BACK" };
        words(drawing, at, &format!("{name}, outside up · {side}"), true);
        self.mouth(drawing, to_sheet);
    }

    fn mouth(&self, drawing: &mut Drawing, to_sheet: Affine) {
        let figures = self.figures;
        let bounds = figures.body.outline.bounds();
        let y = if figures.stated.folded { bounds.y0 * 0.45 } else { bounds.center().y };
        let at = to_sheet * Point::new(figures.mouth_mm - 2.0, y);
        // Turned, its letters stand to the left of their base line: inside in either lay.
        let mirrored = to_sheet.as_coeffs()[0] < 0.0;
        let upright = if mirrored { VAlign::Top } else { VAlign::Base };
        let label = Label::new("mouth", at, LETTER_MM);
        drawing.text(Pen::Lettering, label.anchored(HAlign::Middle, upright).turned(90.0));
    }

    /// Where the belt loop's tab is stitched on.
    fn tab(&self, drawing: &mut Drawing, lay: Lay, to_sheet: Affine) {
        let figures = self.figures;
        let Some(own) = &figures.belt_loop else { return };
        let folded = figures.stated.folded;
        // Of two pieces the back one carries it: the second for the right hand.
        let here = folded || (lay == Lay::Back) == figures.loop_above();
        if !here {
            return;
        }
        let tab = own.tab;
        let wall = figures.development.on_wall(tab.center()) - tab.center();
        let flat = |p: Point| {
            let p = p + wall;
            let p = if folded && figures.loop_above() { Point::new(p.x, -p.y) } else { p };
            to_sheet * p
        };
        let corners = [(tab.x0, tab.y0), (tab.x1, tab.y0), (tab.x1, tab.y1), (tab.x0, tab.y1)];
        let corners = corners.map(|corner| flat(corner.into()));
        drawing.add_part(Pen::Guide, Mark::Path(path(&corners, true)), PartId::Sheath);
        for at in &own.row.holes {
            hole(drawing, flat(*at), None);
        }
        let middle = flat(tab.center());
        words(drawing, middle, "belt loop", false);
    }

    /// The welt's template.
    pub(super) fn welt(&self) -> Option<Drawing> {
        let welt = self.figures.welt.as_ref()?;
        let mut drawing = Drawing::new();
        let by = to_origin(welt.piece.outline.bounds());
        drawing.add_part(Pen::Cut, Mark::Path(by * welt.piece.outline.to_path()), PartId::Sheath);
        for (at, diameter_mm) in &welt.piece.holes {
            hole(&mut drawing, by * *at, *diameter_mm);
        }
        let fine = |mm: f64| units::show_decimal(mm, self.knife.unit, (2, 3));
        let layers = match welt.layers {
            Some(1) | None => String::new(),
            Some(layers) => format!(", {layers} layers"),
        };
        let name = format!("WELT, {} thick{layers}; flat as it lies", fine(welt.thickness_mm));
        Self::named(&mut drawing, &name, welt.piece.outline.transformed(by).bounds());
        Some(drawing)
    }

    /// The belt loop's strip.
    pub(super) fn belt_loop(&self) -> Option<Drawing> {
        let own = self.figures.belt_loop.as_ref()?;
        let mut drawing = Drawing::new();
        let bounds = own.strip.outline.bounds();
        drawing.add_part(Pen::Cut, Mark::Path(bounds.to_path(0.01)), PartId::Sheath);
        for (at, diameter_mm) in &own.strip.holes {
            hole(&mut drawing, *at, *diameter_mm);
        }
        let line = |x: f64| [Point::new(x, bounds.y0), Point::new(x, bounds.y1)];
        drawing.add(Pen::Centre, Mark::Path(path(&line(own.fold_mm), false)));
        let tab = own.tab.width();
        for x in [tab, own.length_mm - tab] {
            drawing.add(Pen::Guide, Mark::Path(path(&line(x), false)));
        }
        let middle = bounds.center().y;
        for x in [tab / 2.0, own.length_mm - tab / 2.0] {
            words(&mut drawing, Point::new(x, middle), "tab, glue", false);
        }
        let fold = Label::new("fold", Point::new(own.fold_mm - 1.2, middle), LETTER_MM);
        drawing.text(Pen::Lettering, fold.anchored(HAlign::Middle, VAlign::Base).turned(90.0));
        let belt = units::show_decimal(own.stated.belt_mm, self.knife.unit, (2, 3));
        Self::named(&mut drawing, &format!("BELT LOOP for a belt of {belt}"), bounds);
        Some(drawing)
    }

    /// A piece's name above it, from its left end.
    fn named(drawing: &mut Drawing, name: &str, bounds: Rect) {
        let at = Point::new(bounds.x0, bounds.y1 + NAME_MM);
        drawing.text(Pen::Lettering, Label::new(name, at, LETTER_MM).bold());
    }
}
