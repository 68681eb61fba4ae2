//! The knife seen on its edge: stock, taper, bevels, plunge and scales, aligned with the blank in
//! x.

use crate::MarkPart as _;
use knife::{Knife, PartId};
use kurbo::{Affine, BezPath, Line, Point, Rect, Shape};
use marks::{Drawing, Mark, Pen};
use outline::{Outline, simplify_polyline};
use reckon::solid::{Field, Sides};
use reckon::{Reckoning, ScaleFigures, scale_thickness_mm};

/// The centre line goes past the blank by so much, mm (common drawing practice).
const PAST_MM: f64 = 3.0;
/// Stations that are looked at along the ground part.
const STATIONS: u32 = 72;
/// Places that are looked at across each.
const PLACES: u32 = 12;
/// How near its lines keep to the solid, mm.
const NEAR_MM: f64 = 0.004;

/// The knife seen from its edge. x is the bar's x, so that the view lies under
/// [`super::blank_on_bar`] in line with it; y is the distance from the centre plane, the face
/// that is seen there upward.
///
/// Ahead of the plunge the edge shows as two lines, as far apart as the edge is thick. Where
/// the blade near the tip is lower than the bevel, the bevel runs out on the spine before it
/// reaches the full thickness. Empty when there is no outline.
pub fn edge_on(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(outline) = &reckoning.outline else { return drawing };
    let bar_from_knife = knife.bar.placement.bar_from_knife();
    let blank = outline.transformed(bar_from_knife).bounds();
    let half_mm = knife.bar.thickness_mm / 2.0;
    if let (Some(stated), Some(scales)) = (knife.scales, &reckoning.scales) {
        let side = Side::of(knife, scales, bar_from_knife);
        for sign in [1.0, -1.0] {
            for path in side.lines(sign, half_mm, stated.thickness_mm) {
                drawing.add_part(Pen::Scale, Mark::Path(path), PartId::Scales);
            }
        }
    }
    let solid = EdgeOnSolid::of(knife, reckoning, bar_from_knife);
    if let Some(solid) = &solid {
        bevels(&mut drawing, solid);
    }
    let centre = Line::new((blank.x0 - PAST_MM, 0.0), (blank.x1 + PAST_MM, 0.0));
    drawing.add_part(Pen::Centre, centre.into(), PartId::Bar);
    let sides = solid.as_ref().map_or_else(
        || [vec![Point::new(blank.x0, half_mm), Point::new(blank.x1, half_mm)], Vec::new()],
        |solid| solid.silhouette(blank),
    );
    drawing.add_part(Pen::Cut, Mark::Path(closed(&sides)), PartId::Profile);
    drawing
}

/// The same with the knife's own x, however it is turned on its bar.
pub fn edge_on_level(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut level = knife.clone();
    level.bar.placement = knife::Placement { at: Point::ORIGIN, turn_deg: 0.0 };
    edge_on(&level, reckoning)
}

/// One side of the handle, scale and bolsters, along the bar.
struct Side<'a> {
    knife: &'a Knife,
    knife_from_bar: Affine,
    /// Where it begins on the tang and on its outer face, and where it ends.
    front_x: f64,
    outer_x: f64,
    butt_x: f64,
    /// Its joints, where they are seen from the edge.
    joints: Vec<f64>,
    /// Height on the bar at which its thickness is asked for.
    middle: f64,
}

impl<'a> Side<'a> {
    fn of(knife: &'a Knife, scales: &ScaleFigures, bar_from_knife: Affine) -> Self {
        let on_bar = scales.outline.transformed(bar_from_knife).bounds();
        let place = |p: Point| (bar_from_knife * p).x;
        let front_is_left = place(scales.middle) - on_bar.x0 < on_bar.x1 - place(scales.middle);
        let (front_x, butt_x) =
            if front_is_left { (on_bar.x0, on_bar.x1) } else { (on_bar.x1, on_bar.x0) };
        let outer = scales.outer_front.iter().flatten().map(|seg| {
            let bounds = (bar_from_knife * seg.to_path(0.0)).bounding_box();
            if front_is_left { bounds.x0 } else { bounds.x1 }
        });
        let outer_x = outer.reduce(if front_is_left { f64::min } else { f64::max });
        // A piece begins where its foremost place lies; the first one at the front itself.
        let joints = scales.pieces.iter().skip(1).map(|piece| {
            let bounds = piece.outline.transformed(bar_from_knife).bounds();
            if front_is_left { bounds.x0 } else { bounds.x1 }
        });
        Self {
            knife,
            knife_from_bar: bar_from_knife.inverse(),
            front_x,
            outer_x: outer_x.unwrap_or(front_x),
            butt_x,
            joints: joints.collect(),
            middle: on_bar.center().y,
        }
    }

    /// Its outline and its joints, on the side of this sign of the stock.
    fn lines(&self, sign: f64, half_mm: f64, stated_mm: f64) -> Vec<BezPath> {
        let far = |x: f64| {
            let along = (self.knife_from_bar * Point::new(x, self.middle)).x;
            let thick_mm = scale_thickness_mm(self.knife, along).unwrap_or(stated_mm);
            Point::new(x, sign * (half_mm + thick_mm))
        };
        let swells = !self.knife.handle.shaping.thickness.is_empty();
        let steps = if swells { STATIONS } else { 1 };
        let mut outline = BezPath::new();
        outline.move_to((self.front_x, sign * half_mm));
        for i in 0..=steps {
            let share = f64::from(i) / f64::from(steps);
            outline.line_to(far(self.outer_x + (self.butt_x - self.outer_x) * share));
        }
        outline.line_to((self.butt_x, sign * half_mm));
        outline.close_path();
        let mut lines = vec![outline];
        for x in &self.joints {
            let mut joint = BezPath::new();
            joint.move_to((*x, sign * half_mm));
            joint.line_to(far(*x));
            lines.push(joint);
        }
        lines
    }
}

/// One station of the solid: half thickness to the upper and to the lower face, mm.
type HalfPair = [f64; 2];

/// The knife's solid as it is seen on edge.
struct EdgeOnSolid<'a> {
    field: &'a Field,
    outline: &'a Outline,
    knife_from_bar: Affine,
    /// Whether the left face lies up.
    left_is_up: bool,
    /// Whether the edge lies at the last crossing of a line across the bar.
    edge_is_last: bool,
    /// The stations looked at, ascending.
    stations: Vec<f64>,
    /// x of the plunge line's foot on the bar, and +1 when the butt lies towards +x.
    plunge: Option<(f64, f64)>,
    /// x of the swedge's end on the bar.
    swedge: Option<f64>,
}

impl<'a> EdgeOnSolid<'a> {
    fn of(knife: &Knife, reckoning: &'a Reckoning, bar_from_knife: Affine) -> Option<Self> {
        let (profile, field) = (reckoning.profile.as_ref()?, reckoning.field.as_deref()?);
        let outline = reckoning.outline.as_ref()?;
        let bounds = outline.transformed(bar_from_knife).bounds();
        let along = |x_mm: f64, y_mm: f64| (bar_from_knife * Point::new(x_mm, y_mm)).x;
        let middle = profile.bounds.center().y;
        let plunge = knife.bevel.and(reckoning.bevel.as_ref()).filter(|_| profile.edge.is_some());
        let plunge =
            plunge.map(|bevel| along(bevel.plunge_frame.foot.x, bevel.plunge_frame.foot.y));
        let swedge = reckoning.swedge.as_ref().and(knife.swedge);
        let swedge = swedge.map(|swedge| along(swedge.from_x_mm, middle));
        let taper = field.taper.map(|taper| along(taper.from_x_mm, middle));
        let turned = profile.towards_butt * (along(1.0, middle) - along(0.0, middle));
        let tip_x = if turned > 0.0 { bounds.x0 } else { bounds.x1 };
        let mut stations: Vec<f64> = Vec::new();
        let reach = knife.bevel.map_or(0.0, |bevel| bevel.plunge_file_mm / 2.0);
        let furthest = [plunge.map(|x| x + turned.signum() * 20.0), swedge, taper]
            .into_iter()
            .flatten()
            .max_by(|a, b| (a * turned).total_cmp(&(b * turned)));
        if let Some(to) = furthest {
            let step = |i: u32| tip_x + (to - tip_x) * f64::from(i) / f64::from(STATIONS);
            stations.extend((0..=STATIONS).map(step));
            for x in plunge.into_iter().chain(swedge) {
                let forward = -turned.signum();
                stations.extend([x - forward * 1e-3, x + forward * 1e-3]);
                stations.extend([0.25, 0.5, 0.75, 1.0].map(|share| x + forward * reach * share));
            }
            stations.extend(taper);
        }
        stations.extend([bounds.x0, bounds.x1]);
        stations.retain(|x| (bounds.x0..=bounds.x1).contains(x));
        stations.sort_by(f64::total_cmp);
        stations.dedup();
        Some(Self {
            field,
            outline,
            knife_from_bar: bar_from_knife.inverse(),
            left_is_up: (profile.towards_butt > 0.0) != profile.edge_is_up,
            edge_is_last: profile.edge_is_up != (bar_from_knife.as_coeffs()[3] < 0.0),
            stations,
            plunge: plunge.map(|x| (x, turned.signum())),
            swedge,
        })
    }

    fn halves(&self, p: Point) -> HalfPair {
        let halves = self.field.half_thickness(p);
        let (left, right) = (halves.left_mm, halves.right_mm);
        if self.left_is_up { [left, right] } else { [right, left] }
    }

    /// The heights on the bar between which there is steel at a station, in the knife's plane.
    fn across(&self, x: f64) -> Vec<Point> {
        let line = Line::new(
            self.knife_from_bar * Point::new(x, 0.0),
            self.knife_from_bar * Point::new(x, 1.0),
        );
        let mut at: Vec<Point> = self.outline.crossings_with(line).iter().map(|c| c.at).collect();
        let direction = line.p1 - line.p0;
        at.sort_by(|a, b| (*a - line.p0).dot(direction).total_cmp(&(*b - line.p0).dot(direction)));
        at
    }

    /// The furthest that either face stands out at a station.
    fn furthest(&self, x: f64) -> HalfPair {
        let at = self.across(x);
        let places = at.windows(2).flat_map(|pair| {
            let share = |i: u32| f64::from(i) / f64::from(PLACES);
            (0..=PLACES).map(move |i| pair[0].lerp(pair[1], share(i)))
        });
        let all = at.iter().copied().chain(places).map(|p| self.halves(p));
        let stock = self.field.stock_at((self.knife_from_bar * Point::new(x, 0.0)).x) / 2.0;
        all.reduce(|a, b| [a[0].max(b[0]), a[1].max(b[1])]).unwrap_or([stock, stock])
    }

    /// Both faces' furthest lines from one end of the blank to the other, as points of the view.
    fn silhouette(&self, blank: Rect) -> [Vec<Point>; 2] {
        // At the very ends a line across only touches the outline.
        let off = 1e-3_f64.min(blank.width() / 4.0);
        let inside = |x: f64| x.max(blank.x0 + off).min(blank.x1 - off);
        let all: Vec<(f64, HalfPair)> =
            self.stations.iter().map(|x| (*x, self.furthest(inside(*x)))).collect();
        self.lines(&all)
    }

    fn lines(&self, all: &[(f64, HalfPair)]) -> [Vec<Point>; 2] {
        let face = |i: usize, sign: f64| {
            let points: Vec<Point> =
                all.iter().map(|(x, halves)| Point::new(*x, sign * halves[i])).collect();
            simplify_polyline(&points, NEAR_MM)
        };
        [face(0, 1.0), face(1, -1.0)]
    }

    /// The faces along the outline's crossings on the edge's side, or on the spine's.
    fn along(&self, edge: bool, within: impl Fn(f64) -> bool) -> [Vec<Point>; 2] {
        let all: Vec<(f64, HalfPair)> = self
            .stations
            .iter()
            .filter(|x| within(**x))
            .filter_map(|x| {
                let at = self.across(*x);
                let p = if edge == self.edge_is_last { at.last() } else { at.first() };
                Some((*x, self.halves(*p?)))
            })
            .collect();
        self.lines(&all)
    }
}

/// The lines of the edge, the plunge's wall, and the swedge.
fn bevels(drawing: &mut Drawing, solid: &EdgeOnSolid<'_>) {
    if let Some((plunge_x, butt)) = solid.plunge {
        let ahead = |x: f64| (plunge_x - x) * butt > 0.0;
        for mut line in solid.along(true, ahead) {
            if let Some(end) = nearest(&line, plunge_x) {
                let at = if butt > 0.0 { line.len() } else { 0 };
                line.insert(at, Point::new(plunge_x, end.y));
            }
            drawing.add_part(Pen::Bevel, Mark::Path(open(&line)), PartId::GrindLine);
            let Some(end) = nearest(&line, plunge_x) else { continue };
            let stock = solid.field.stock_at((solid.knife_from_bar * Point::new(plunge_x, 0.0)).x);
            let sides = solid.field.bevels.first().map(|ground| ground.sides);
            let up = end.y >= 0.0;
            let is_ground = match sides {
                Some(Sides::Left) => up == solid.left_is_up,
                Some(Sides::Right) => up != solid.left_is_up,
                _ => true,
            };
            if is_ground {
                let top = stock / 2.0 * if up { 1.0 } else { -1.0 };
                let wall = Line::new((plunge_x, end.y), (plunge_x, top));
                drawing.add_part(Pen::Bevel, wall.into(), PartId::Plunge);
            }
        }
    }
    if let (Some(end_x), Some((_, butt))) = (solid.swedge, solid.plunge.or(Some((0.0, 1.0)))) {
        for line in solid.along(false, |x| (end_x - x) * butt > 0.0) {
            drawing.add_part(Pen::Bevel, Mark::Path(open(&line)), PartId::GrindLine);
        }
    }
}

fn nearest(line: &[Point], x: f64) -> Option<Point> {
    line.iter().copied().min_by(|a, b| (a.x - x).abs().total_cmp(&(b.x - x).abs()))
}

fn open(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 { path.move_to(*p) } else { path.line_to(*p) }
    }
    path
}

/// The blank's own outline on edge: its upper side one way and its lower side back.
fn closed([upper, lower]: &[Vec<Point>; 2]) -> BezPath {
    let mut path = open(upper);
    let lower: Vec<Point> = if lower.is_empty() {
        upper.iter().map(|p| Point::new(p.x, -p.y)).collect()
    } else {
        lower.clone()
    };
    for p in lower.iter().rev() {
        path.line_to(*p);
    }
    path.close_path();
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{Bolster, Edit, starter};
    use reckon::{Shop, reckon, tables::Tables};

    fn solid(knife: &Knife) -> Drawing {
        edge_on(knife, &reckon(knife, &Shop::default(), Tables::built_in()))
    }

    fn boxes(drawing: &Drawing, pen: Pen) -> Vec<Rect> {
        let of_pen = drawing.items.iter().filter(|item| item.pen == pen);
        of_pen.map(|item| Drawing { items: vec![item.clone()] }.bounds().unwrap()).collect()
    }

    #[test]
    fn it_is_aligned_with_the_blank_and_as_thick_as_the_stock() {
        for (turn_deg, mirrored) in [(0.0, false), (8.0, false), (-4.0, true)] {
            let mut knife = starter("drop-point").unwrap().knife();
            if mirrored {
                knife = Edit::MirrorAlong.apply(&knife).unwrap();
            }
            knife.bar.placement.turn_deg = turn_deg;
            let view = solid(&knife);
            let placed = knife.profile.outline().unwrap();
            let placed = placed.transformed(knife.bar.placement.bar_from_knife()).bounds();
            let cut = boxes(&view, Pen::Cut)[0];
            assert!((cut.x0 - placed.x0).abs() < 0.2 && (cut.x1 - placed.x1).abs() < 0.2);
            assert!((cut.y1 - 3.175 / 2.0).abs() < 1e-9 && (cut.y0 + 3.175 / 2.0).abs() < 1e-9);
            let scales = boxes(&view, Pen::Scale);
            let thick = knife.scales.unwrap().thickness_mm;
            assert_eq!(scales.len(), 2);
            assert!(scales.iter().all(|scale| (scale.height() - thick).abs() < 1e-9));
            assert!((scales[0].y0 - 3.175 / 2.0).abs() < 1e-9, "on the stock's face");
        }
    }

    // By hand: a front bevelled 45° lies as far back on the outer face as the scale is thick; a
    // bolster of 10 mm behind it ends in a joint there, seen across the scale's thickness.
    #[test]
    fn the_front_leans_by_its_bevel_and_joints_are_seen() {
        let mut knife = starter("drop-point").unwrap().knife();
        knife.handle.front.bevel_deg = Some(45.0);
        knife.handle.front_bolster = Some(Bolster { length_mm: 10.0, material: None });
        for mirrored in [false, true] {
            if mirrored {
                knife = Edit::MirrorAlong.apply(&knife).unwrap();
            }
            let thick = knife.scales.unwrap().thickness_mm;
            let view = solid(&knife);
            let lines: Vec<&BezPath> = (view.items.iter().filter(|item| item.pen == Pen::Scale))
                .filter_map(
                    |item| if let Mark::Path(path) = &item.mark { Some(path) } else { None },
                )
                .collect();
            assert_eq!(lines.len(), 4, "two sides and a joint on each");
            let ends = |path: &BezPath| -> Vec<Point> {
                path.elements().iter().filter_map(kurbo::PathEl::end_point).collect()
            };
            let (side, joint) = (ends(lines[0]), ends(lines[1]));
            let butt = if mirrored { -1.0 } else { 1.0 };
            let lean = (side[1] - side[0]) * butt;
            assert!((lean.x - thick).abs() < 1e-6 && (side[1].y - side[0].y - thick).abs() < 1e-9);
            assert!(((joint[0].x - side[0].x) * butt - 10.0).abs() < 1e-6, "{joint:?} {side:?}");
            assert!((joint[1].y - joint[0].y - thick).abs() < 1e-9);
        }
    }

    // By hand: places of 8 mm at the front and 4 mm at the butt end bound both scales.
    #[test]
    fn scales_swell_with_their_places() {
        let mut knife = starter("drop-point").unwrap().knife();
        let front = knife.scales.unwrap().front_x_mm;
        let places = [(front + 10.0, 8.0), (front + 60.0, 4.0)];
        let place = |(x_mm, thickness_mm)| knife::ThicknessAt { x_mm, thickness_mm };
        knife.handle.shaping.thickness = places.map(place).to_vec();
        let scales = boxes(&solid(&knife), Pen::Scale);
        assert_eq!(scales.len(), 2);
        for scale in &scales {
            assert!((scale.height() - 8.0).abs() < 1e-9, "{scale:?}");
        }
        assert!((scales[0].y0 - 3.175 / 2.0).abs() < 1e-9);
        assert!((scales[1].y1 + 3.175 / 2.0).abs() < 1e-9);
    }

    #[test]
    fn the_edge_is_as_thick_as_stated_up_to_the_heel() {
        let knife = starter("drop-point").unwrap().knife();
        let stated = knife.bevel.unwrap();
        let view = solid(&knife);
        let plunge = knife.bar.placement.at.x + stated.plunge_x_mm;
        let heel = knife.profile.heel.and_then(|id| knife.profile.node(id)).unwrap();
        let heel = knife.bar.placement.at.x + heel.at.x;
        let edges: Vec<Vec<Point>> = (view.items.iter())
            .filter(|item| {
                item.pen == Pen::Bevel && crate::part_of(item) == Some(PartId::GrindLine)
            })
            .map(|item| {
                let Mark::Path(path) = &item.mark else { panic!("no path") };
                path.elements().iter().filter_map(kurbo::PathEl::end_point).collect()
            })
            .collect();
        assert_eq!(edges.len(), 2);
        for edge in &edges {
            assert!((edge.last().unwrap().x - plunge).abs() < 1e-9);
            let half = |p: &Point| (p.y.abs() - stated.edge_thickness_mm / 2.0).abs() < 5e-3;
            assert!(edge.iter().filter(|p| p.x <= heel).all(half), "{edge:?}");
            assert!(edge.iter().filter(|p| p.x <= heel).count() >= 2);
        }
        // At the very tip only the edge's thickness is left.
        let Mark::Path(path) = &view.items.last().unwrap().mark else { panic!("no path") };
        let tip = path.elements()[0].end_point().unwrap();
        assert!((tip.y - stated.edge_thickness_mm / 2.0).abs() < 0.02, "{tip:?}");
    }

    #[test]
    fn without_bevels_scales_or_outline_it_shows_what_there_is() {
        let mut knife = starter("drop-point").unwrap().knife();
        knife.bevel = None;
        knife.scales = None;
        assert_eq!(solid(&knife).items.len(), 2, "stock and centre line");
        assert!(solid(&Knife::empty()).items.is_empty());
        for starter in knife::STARTERS {
            let view = solid(&starter.knife());
            let finite = view.bounds().is_some_and(|b| b.is_finite() && b.width() > 50.0);
            assert!(finite, "{}", starter.key);
        }
    }
}
