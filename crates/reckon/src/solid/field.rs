//! How thick the knife is at every point: stock, taper, bevels, plunge and swedge.

use super::face::{Face, FaceShape};
use super::{Taper, tapered};
use kurbo::{Point, Vec2};
use outline::Polyline;

/// Half thicknesses at a point, on the two faces, mm from the centre plane of the stock.
///
/// The left face is the one seen when the tip points left and the edge down. On a blade ground
/// on one side only, half a thickness may be negative: the bevel has passed the centre plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfThickness {
    /// To the left face.
    pub left_mm: f64,
    /// To the right face.
    pub right_mm: f64,
}

impl HalfThickness {
    /// The whole thickness, mm.
    pub fn thickness_mm(&self) -> f64 {
        self.left_mm + self.right_mm
    }

    /// Faces ground so deep that they pass each other meet half way: no steel is left there.
    fn met(self) -> Self {
        if self.thickness_mm() >= 0.0 {
            return self;
        }
        let middle_mm = (self.left_mm - self.right_mm) / 2.0;
        Self { left_mm: middle_mm, right_mm: -middle_mm }
    }
}

/// On which faces a bevel is ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// Alike on both; the edge lies in the centre plane.
    Both,
    /// The whole of it on the left face.
    Left,
    /// The whole of it on the right face.
    Right,
}

/// How far up a bevel goes.
#[derive(Clone, Debug, PartialEq)]
pub enum Top {
    /// To a height above the edge curve, mm.
    Height(f64),
    /// To a line of its own, drawn from tip to plunge.
    Line(Polyline),
}

/// A plunge line: where it stands, how it leans, which file cut it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plunge {
    /// A point on it.
    pub at: Point,
    /// Unit vector square to it, towards the tip.
    pub ahead: Vec2,
    /// Radius of the round file, mm; 0 for a sharp step.
    pub file_radius_mm: f64,
}

/// A bevel along a run of the outline: the edge's, or a swedge on the spine.
#[derive(Clone, Debug, PartialEq)]
pub struct BevelSurface {
    /// The run it rises from.
    pub from: Polyline,
    /// How far up it goes.
    pub top: Top,
    /// Its shape.
    pub shape: FaceShape,
    /// Thickness left along the run, mm.
    pub edge_mm: f64,
    /// On which faces.
    pub sides: Sides,
    /// Where it ends towards the butt; without one it runs to the end of the blank.
    pub plunge: Option<Plunge>,
    /// Lines over the blade where its slope breaks, such as the grind line; what is summed over
    /// the blade is summed between them.
    pub kinks: Vec<Polyline>,
}

/// The knife as a solid: its thickness over the knife's plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Thickness of the bar, mm.
    pub stock_mm: f64,
    /// Distal taper, if any.
    pub taper: Option<Taper>,
    /// Its bevels; where they overlap the thinner counts.
    pub bevels: Vec<BevelSurface>,
}

impl Field {
    /// Which of its bevels are ground at a place, one bit each.
    pub fn bevels_at(&self, p: Point) -> u32 {
        let half_mm = self.stock_at(p.x) / 2.0;
        (0..)
            .zip(&self.bevels)
            .fold(0, |bits, (i, ground)| bits | (u32::from(ground.face(p, half_mm).is_some()) << i))
    }

    /// Thickness of the stock at a station, taper taken off, mm.
    pub fn stock_at(&self, x_mm: f64) -> f64 {
        tapered(self.stock_mm, self.taper, x_mm)
    }

    /// Whether a place lies on the butt's side of the plunge lines of all bevels.
    pub(super) fn is_behind_bevels(&self, p: Point) -> bool {
        let behind =
            |ground: &BevelSurface| ground.plunge.is_some_and(|plunge| plunge.ahead_of(p) < 0.0);
        self.bevels.iter().all(behind)
    }

    /// How far faces ground so deep pass each other at a point, mm: nought where steel is left.
    pub fn ground_through_mm(&self, p: Point) -> f64 {
        (-self.cut_at(p).0.thickness_mm()).max(0.0)
    }

    /// Half thicknesses at a point of the blank, never less than none in all.
    pub fn half_thickness(&self, p: Point) -> HalfThickness {
        self.sample(p).0
    }

    /// Half thicknesses at a point, with the face of the first bevel and the share of its way
    /// where that is ground.
    pub(super) fn sample(&self, p: Point) -> (HalfThickness, Option<(Face, f64)>) {
        let (halves, first) = self.cut_at(p);
        (halves.met(), first)
    }

    /// The same before faces that pass each other are made to meet.
    fn cut_at(&self, p: Point) -> (HalfThickness, Option<(Face, f64)>) {
        let half = self.stock_at(p.x) / 2.0;
        let mut halves = HalfThickness { left_mm: half, right_mm: half };
        let mut first = None;
        for (i, ground) in self.bevels.iter().enumerate() {
            let Some((face, share)) = ground.face(p, half) else { continue };
            let cut = ground.halves(&face, ground.left_by(&face, share, p));
            halves.left_mm = halves.left_mm.min(cut.left_mm);
            halves.right_mm = halves.right_mm.min(cut.right_mm);
            first = first.or((i == 0).then_some((face, share)));
        }
        (halves, first)
    }

    /// As [`Field::half_thickness`], without what the plunge's file leaves standing.
    pub(crate) fn half_thickness_ignoring_plunge_file(&self, p: Point) -> HalfThickness {
        let half = self.stock_at(p.x) / 2.0;
        let mut halves = HalfThickness { left_mm: half, right_mm: half };
        for ground in &self.bevels {
            let Some((face, share)) = ground.face(p, half) else { continue };
            let cut = ground.halves(&face, face.half_mm(share));
            halves.left_mm = halves.left_mm.min(cut.left_mm);
            halves.right_mm = halves.right_mm.min(cut.right_mm);
        }
        halves.met()
    }
}

impl BevelSurface {
    /// The face in section at a place beneath its grind line, with the share of the way from
    /// edge to grind line there; `None` where it isn't ground. `half_mm` is the stock's half
    /// thickness there.
    pub fn face(&self, p: Point, half_mm: f64) -> Option<(Face, f64)> {
        let ahead_mm = self.plunge.map_or(f64::INFINITY, |plunge| plunge.ahead_of(p));
        if ahead_mm < 0.0 || self.edge_mm >= 2.0 * half_mm {
            return None;
        }
        let (share, height_mm) = self.share(p)?;
        let both = self.sides == Sides::Both;
        let edge_mm = if both { self.edge_mm / 2.0 } else { self.edge_mm - half_mm };
        Some((Face { shape: self.shape, edge_mm, stock_mm: half_mm, height_mm }, share))
    }

    /// Half thickness that a face leaves at a share of its height, the plunge's arc left
    /// standing, mm.
    pub(super) fn left_by(&self, face: &Face, share: f64, p: Point) -> f64 {
        let ahead_mm = self.plunge.map_or(f64::INFINITY, |plunge| plunge.ahead_of(p));
        self.wall(face.half_mm(share), face.stock_mm, ahead_mm)
    }

    /// Half thicknesses where this bevel leaves its face so far from the centre plane.
    fn halves(&self, face: &Face, ground_mm: f64) -> HalfThickness {
        let half_mm = face.stock_mm;
        match self.sides {
            Sides::Both => HalfThickness { left_mm: ground_mm, right_mm: ground_mm },
            Sides::Left => HalfThickness { left_mm: ground_mm, right_mm: half_mm },
            Sides::Right => HalfThickness { left_mm: half_mm, right_mm: ground_mm },
        }
    }

    /// The share of the way from edge to grind line, and the length of that way there, mm.
    /// `None` above the grind line.
    ///
    /// With `de` the distance to the edge curve and `dg` that to the grind line the share is
    /// `de / (de + dg)`. A grind line given by its height is the parallel of the edge, for which
    /// `de + dg` is the height itself.
    fn share(&self, p: Point) -> Option<(f64, f64)> {
        match &self.top {
            Top::Height(height_mm) => {
                let de = self.from.distance(p);
                (de < *height_mm).then(|| (de / height_mm, *height_mm))
            }
            Top::Line(line) => {
                let foot = self.from.nearest(p);
                let top = line.nearest(p);
                let way_mm = foot.distance_mm + top.distance_mm;
                // Beneath the line when it lies on the same side as the edge does.
                let beneath = top.side_of(p) == top.side_of(foot.at);
                (beneath && way_mm > 0.0).then(|| (foot.distance_mm / way_mm, way_mm))
            }
        }
    }

    /// Half thickness at a place `ahead_mm` of the plunge line, the file's arc left standing.
    ///
    /// With local depth `d` the arc runs `c = sqrt(r² − (r−d)²)` along the blade; a bevel deeper
    /// than the file's radius has a wall above the arc.
    fn wall(&self, ground_mm: f64, half_mm: f64, ahead_mm: f64) -> f64 {
        let radius = self.plunge.map_or(0.0, |plunge| plunge.file_radius_mm);
        let deep = (half_mm - ground_mm).clamp(0.0, radius);
        let run_mm = (radius * radius - (radius - deep).powi(2)).max(0.0).sqrt();
        if ahead_mm >= run_mm {
            return ground_mm;
        }
        let off = ahead_mm - run_mm;
        (ground_mm + radius - (radius * radius - off * off).max(0.0).sqrt()).min(half_mm)
    }
}

impl Plunge {
    /// How far a point lies ahead of the line, towards the tip, mm.
    pub fn ahead_of(&self, p: Point) -> f64 {
        (p - self.at).dot(self.ahead)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Line, PathSeg};

    fn run(points: &[(f64, f64)]) -> Polyline {
        let segs: Vec<PathSeg> =
            points.windows(2).map(|w| PathSeg::Line(Line::new(w[0], w[1]))).collect();
        Polyline::new(&segs, 0.01).unwrap()
    }

    fn field(sides: Sides, top: Top, file_radius_mm: f64) -> Field {
        let plunge =
            Plunge { at: Point::new(100.0, 0.0), ahead: Vec2::new(-1.0, 0.0), file_radius_mm };
        let ground = BevelSurface {
            from: run(&[(0.0, 0.0), (100.0, 0.0)]),
            top,
            shape: FaceShape::Flat,
            edge_mm: 0.5,
            sides,
            plunge: Some(plunge),
            kinks: Vec::new(),
        };
        Field { stock_mm: 3.0, taper: None, bevels: vec![ground] }
    }

    fn half(field: &Field, x: f64, y: f64) -> f64 {
        field.half_thickness(Point::new(x, y)).left_mm
    }

    #[test]
    fn a_flat_bevel_rises_evenly_from_edge_to_grind_line() {
        let field = field(Sides::Both, Top::Height(20.0), 0.0);
        for (y, want) in [(0.0, 0.25), (10.0, 0.875), (20.0, 1.5), (25.0, 1.5)] {
            assert!((half(&field, 50.0, y) - want).abs() < 1e-12);
        }
        assert_eq!(half(&field, 100.1, 0.0), 1.5);
        assert!((half(&field, 99.9, 0.0) - 0.25).abs() < 1e-12);
    }

    #[test]
    fn a_one_sided_bevel_takes_it_all_from_one_face() {
        let field = field(Sides::Left, Top::Height(20.0), 0.0);
        let at = field.half_thickness(Point::new(50.0, 0.0));
        assert_eq!((at.left_mm, at.right_mm), (-1.0, 1.5));
        assert!((field.half_thickness(Point::new(50.0, 10.0)).thickness_mm() - 1.75).abs() < 1e-12);
    }

    /// By hand: a bevel all on the left face under a swedge 4 mm above its edge. In the middle the
    /// bevel leaves −1 + 2.5 × 2/20 = −0.75 mm and the swedge 0.25 + 1.25 × 2/4 = 0.875 mm.
    #[test]
    fn faces_that_would_pass_each_other_meet() {
        let mut field = field(Sides::Left, Top::Height(20.0), 0.0);
        let swedge = BevelSurface {
            from: run(&[(0.0, 4.0), (100.0, 4.0)]),
            top: Top::Height(4.0),
            edge_mm: 0.5,
            sides: Sides::Both,
            ..field.bevels[0].clone()
        };
        field.bevels.push(swedge);
        let middle = field.half_thickness(Point::new(50.0, 2.0));
        assert!((middle.left_mm + 0.75).abs() < 1e-12 && (middle.right_mm - 0.875).abs() < 1e-12);
        assert_eq!(field.ground_through_mm(Point::new(50.0, 2.0)), 0.0);
        // At 3 mm −0.625 and 0.25 + 1.25 / 4 = 0.5625 mm: 0.0625 mm too much is gone.
        let gone = Point::new(50.0, 3.0);
        assert!((field.ground_through_mm(gone) - 0.0625).abs() < 1e-12);
        let met = field.half_thickness(gone);
        assert!(met.thickness_mm().abs() < 1e-12, "{met:?}");
        assert!((met.left_mm + (0.625 + 0.5625) / 2.0).abs() < 1e-12, "{met:?}");
        assert!(field.half_thickness_ignoring_plunge_file(gone).thickness_mm().abs() < 1e-12);
    }

    #[test]
    fn a_line_of_its_own_rules_the_bevel_between_edge_and_line() {
        let line = run(&[(0.0, 10.0), (100.0, 20.0)]);
        let field = field(Sides::Both, Top::Line(line), 0.0);
        let p = Point::new(50.0, 6.0);
        let (de, dg) = (6.0, 9.0 * (0.1f64).atan().cos());
        assert!((half(&field, p.x, p.y) - (0.25 + 1.25 * de / (de + dg))).abs() < 1e-9);
        assert_eq!(half(&field, 50.0, 15.5), 1.5);
    }

    #[test]
    fn a_round_file_leaves_its_arc_at_the_plunge() {
        let field = field(Sides::Both, Top::Height(20.0), 3.0);
        // At the edge the bevel is 1.25 deep: the arc runs sqrt(9 − 1.75²) along the blade.
        let run_mm = (9.0f64 - 1.75 * 1.75).sqrt();
        assert!((half(&field, 100.0, 0.0) - 1.5).abs() < 1e-12);
        assert!((half(&field, 100.0 - run_mm, 0.0) - 0.25).abs() < 1e-9);
        let middle = half(&field, 100.0 - run_mm / 2.0, 0.0);
        let arc = 0.25 + 3.0 - (9.0f64 - (run_mm / 2.0).powi(2)).sqrt();
        assert!((middle - arc).abs() < 1e-12);
    }

    #[test]
    fn taper_thins_the_stock_evenly() {
        let mut field = field(Sides::Both, Top::Height(20.0), 0.0);
        field.taper = Some(Taper { from_x_mm: 100.0, to_x_mm: 0.0, to_mm: 1.0 });
        assert_eq!(
            (field.stock_at(150.0), field.stock_at(50.0), field.stock_at(-5.0)),
            (3.0, 2.0, 1.0)
        );
        assert!((half(&field, 50.0, 30.0) - 1.0).abs() < 1e-12);
        assert!((half(&field, 50.0, 0.0) - 0.25).abs() < 1e-12);
        // Where the taper is thinner than the edge, the stock stands as it is.
        field.taper = Some(Taper { from_x_mm: 100.0, to_x_mm: 0.0, to_mm: 0.2 });
        assert!((half(&field, 0.0, 0.0) - 0.1).abs() < 1e-12);
    }
}
