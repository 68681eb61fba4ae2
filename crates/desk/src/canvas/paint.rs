//! From a drawing to the screen's shapes: the only such conversion.

use crate::state::View;
use crate::theme::{self, Ink};
use egui::epaint::{Mesh, TextShape, Vertex, WHITE_UV};
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, TextureId, pos2};
use i_overlay::core::fill_rule::FillRule as Winding;
use i_overlay::float::simplify::SimplifyShape as _;
use kurbo::{Affine, BezPath, Circle, PathEl, Point, Shape as _};
use lyon::math::point;
use lyon::path::Path;
use lyon::tessellation::{
    BuffersBuilder, FillOptions, FillRule, FillTessellator, FillVertex, VertexBuffers,
};
use marks::{Drawing, Label, Mark, Pen};

/// How far a flattened curve may stray, points.
const FLAT: f64 = 0.12;
/// Beyond this length on the screen a dashed curve is drawn solid, points.
const MAX_DASHED: f32 = 12_000.0;
/// Lettering smaller than this is drawn as a grey bar, points of type.
const MIN_TYPE: f32 = 3.5;
/// On the canvas lettering at rest comes in sizes apart by this, so that letters are drawn once for
/// many places of the camera.
const TYPE_STEP: f32 = 1.03;
/// While the camera moves lettering is shown from letters drawn in sizes apart by this, the largest
/// of them this, points of type: to draw every letter anew costs more than all else in a picture.
const MOVING_STEP: f32 = 1.5;
const MAX_MOVING: f32 = 24.0;

/// In which size letters are drawn before they are shown in theirs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Lettering {
    /// Just as they print.
    Exact,
    /// In steps that nobody sees.
    Still,
    /// In few sizes, scaled: the camera moves.
    Moving,
}

impl Lettering {
    /// The size of type that is drawn for this one, points.
    fn drawn(self, size: f32) -> f32 {
        match self {
            Self::Exact => size,
            Self::Still => {
                let steps = (size / MIN_TYPE).ln() / TYPE_STEP.ln();
                MIN_TYPE * TYPE_STEP.powf((steps + 1e-3).floor())
            }
            Self::Moving => {
                let steps = (size / MIN_TYPE).ln() / MOVING_STEP.ln();
                (MIN_TYPE * MOVING_STEP.powf(steps.ceil())).min(MAX_MOVING)
            }
        }
    }
}

/// Paints marks, each with the ink its pen has here. `ink` may leave a mark out.
pub(crate) fn drawing(
    painter: &Painter,
    view: &View,
    drawing: &Drawing,
    ink: impl Fn(&marks::Item) -> Option<Ink>,
) {
    lettered(painter, view, drawing, Lettering::Still, ink);
}

/// The same with its lettering drawn in these sizes.
pub(crate) fn lettered(
    painter: &Painter,
    view: &View,
    drawing: &Drawing,
    lettering: Lettering,
    ink: impl Fn(&marks::Item) -> Option<Ink>,
) {
    for item in &drawing.items {
        let Some(ink) = ink(item) else { continue };
        match &item.mark {
            Mark::Path(path) => path_line(painter, view, path, &ink),
            Mark::Circle(circle) => circle_line(painter, view, *circle, &ink),
            Mark::Fill(path) => {
                painter.extend(filled(view, path, ink.colour, ink.colour));
            }
            Mark::Text(label) => text(painter, view, label, ink.colour, lettering),
        }
    }
}

/// Paints a line along a path.
pub(crate) fn path_line(painter: &Painter, view: &View, path: &BezPath, ink: &Ink) {
    let clip = painter.clip_rect().expand(ink.width + 2.0);
    for (mut line, closed) in flattened(view, path) {
        let around = Rect::from_points(&line);
        if !around.is_finite() || !clip.intersects(around) {
            continue;
        }
        let stroke = Stroke::new(ink.width, ink.colour);
        if ink.dashes.is_empty() || length(&line) > MAX_DASHED && line.len() > 2 {
            painter.add(if closed {
                Shape::closed_line(line, stroke)
            } else {
                Shape::line(line, stroke)
            });
            continue;
        }
        if closed && let Some(first) = line.first().copied() {
            line.push(first);
        }
        dashed(painter, &line, ink, clip);
    }
}

/// Paints a circle's line.
pub(crate) fn circle_line(painter: &Painter, view: &View, circle: Circle, ink: &Ink) {
    let radius = view.points(circle.radius);
    if radius > 400.0 {
        path_line(painter, view, &circle.to_path(1e-3), ink);
    } else {
        let centre = view.ui_from_mm(circle.center);
        painter.circle_stroke(centre, radius, Stroke::new(ink.width, ink.colour));
    }
}

/// The inside of a path, shaded from its top to its foot.
pub(crate) fn filled(view: &View, path: &BezPath, high: Color32, low: Color32) -> Option<Shape> {
    inside_of(view, path, TextureId::default(), |pos, around| {
        let t = ((pos.y - around.min.y) / around.height().max(1.0)).clamp(0.0, 1.0);
        Vertex { pos, uv: WHITE_UV, color: high.lerp_to_gamma(low, t) }
    })
}

/// The inside of a path with a picture on it; `on_picture` tells which place of the picture,
/// from 0 to 1, a point of the screen shows.
pub(crate) fn pictured(
    view: &View,
    path: &BezPath,
    texture: TextureId,
    on_picture: impl Fn(Pos2) -> Pos2,
) -> Option<Shape> {
    let vertex = |pos, _| Vertex { pos, uv: on_picture(pos), color: Color32::WHITE };
    inside_of(view, path, texture, vertex)
}

/// The inside of a path in triangles, each corner made by `vertex` from its place and the box
/// around them all.
fn inside_of(
    view: &View,
    path: &BezPath,
    texture: TextureId,
    vertex: impl Fn(Pos2, Rect) -> Vertex,
) -> Option<Shape> {
    let mut rings: Vec<Vec<Pos2>> =
        flattened(view, path).into_iter().map(|(line, _)| line).collect();
    for ring in &mut rings {
        // A last point on the first would be a side without length, which leaves holes.
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
    }
    let around = Rect::from_points(&rings.concat());
    if !around.is_finite() {
        return None;
    }
    let mut buffers = triangles(&rings, &vertex, around);
    // Where a path crosses itself the triangles may leave wedges: it is cut at its crossings then.
    let simple = rings.iter().map(|ring| signed_area(ring)).sum::<f64>().abs();
    if (covered(&buffers) - simple).abs() > 1e-5 * simple + 0.05 {
        buffers = triangles(&without_crossings(&rings), &vertex, around);
    }
    let mesh = Mesh { indices: buffers.indices, vertices: buffers.vertices, texture_id: texture };
    Some(Shape::mesh(mesh))
}

/// What rings enclose, in triangles; none where the tessellator gives up.
fn triangles(
    rings: &[Vec<Pos2>],
    vertex: impl Fn(Pos2, Rect) -> Vertex,
    around: Rect,
) -> VertexBuffers<Vertex, u32> {
    let mut builder = Path::builder();
    for ring in rings {
        let mut points = ring.iter();
        let Some(first) = points.next() else { continue };
        builder.begin(point(first.x, first.y));
        for p in points {
            builder.line_to(point(p.x, p.y));
        }
        builder.end(true);
    }
    let mut buffers: VertexBuffers<Vertex, u32> = VertexBuffers::new();
    let corner = |v: FillVertex<'_>| vertex(pos2(v.position().x, v.position().y), around);
    let options = FillOptions::tolerance(0.1).with_fill_rule(FillRule::NonZero);
    let done = FillTessellator::new().tessellate_path(
        &builder.build(),
        &options,
        &mut BuffersBuilder::new(&mut buffers, corner),
    );
    if done.is_ok() { buffers } else { VertexBuffers::new() }
}

/// Rings around the same ground that cross neither themselves nor one another.
fn without_crossings(rings: &[Vec<Pos2>]) -> Vec<Vec<Pos2>> {
    let rings: Vec<Vec<[f32; 2]>> =
        rings.iter().map(|ring| ring.iter().map(|p| [p.x, p.y]).collect()).collect();
    let shapes = rings.simplify_shape(Winding::NonZero);
    let ring = |ring: Vec<[f32; 2]>| ring.into_iter().map(|[x, y]| pos2(x, y)).collect();
    shapes.into_iter().flatten().map(ring).collect()
}

/// The area of a ring, negative when it runs the other way.
fn signed_area(ring: &[Pos2]) -> f64 {
    let next = ring.iter().skip(1).chain(ring.first());
    let cross =
        |a: &Pos2, b: &Pos2| f64::from(a.x) * f64::from(b.y) - f64::from(a.y) * f64::from(b.x);
    ring.iter().zip(next).map(|(a, b)| cross(a, b)).sum::<f64>() / 2.0
}

/// The area of all triangles.
fn covered(buffers: &VertexBuffers<Vertex, u32>) -> f64 {
    let at = |i: &u32| buffers.vertices.get(*i as usize).map_or(Pos2::ZERO, |vertex| vertex.pos);
    let triangle = |t: &[u32]| match t {
        [a, b, c] => signed_area(&[at(a), at(b), at(c)]).abs(),
        _ => 0.0,
    };
    buffers.indices.chunks(3).map(triangle).sum()
}

/// Paints one line of lettering.
fn text(painter: &Painter, view: &View, label: &Label, colour: Color32, lettering: Lettering) {
    let size = view.points(marks::lettering::type_size_mm(label.height_mm));
    let corners = marks::lettering::corners(label).map(|p| view.ui_from_mm(p));
    if !painter.clip_rect().intersects(Rect::from_points(&corners)) {
        return;
    }
    if size < MIN_TYPE {
        let pale = colour.gamma_multiply(0.28);
        painter.add(Shape::convex_polygon(corners.to_vec(), pale, Stroke::NONE));
        return;
    }
    let drawn = lettering.drawn(size);
    let scaling = if lettering == Lettering::Moving { size / drawn } else { 1.0 };
    let scale = f64::from(drawn * scaling / size);
    let spelled = marks::lettering::with_fallbacks(&label.text).into_owned();
    let galley = painter.layout_no_wrap(spelled, theme::lettering(label.face, drawn), colour);
    let (x, y) = marks::lettering::start_mm(label);
    let turn = Affine::translate(label.at.to_vec2()) * Affine::rotate(label.turn_deg.to_radians());
    let base = view.ui_from_mm(turn * Point::new(x * scale, y * scale));
    #[expect(clippy::cast_possible_truncation, reason = "screen angle")]
    let angle = -(label.turn_deg.to_radians()) as f32;
    // From the base line's start up to the galley's corner, turned with the text.
    let ascent = galley
        .rows
        .first()
        .map_or(drawn, |row| row.glyphs.first().map_or(drawn, |glyph| glyph.pos.y));
    let up = egui::emath::Rot2::from_angle(angle) * egui::vec2(0.0, -ascent * scaling);
    let mut shape = TextShape::new(Pos2::ZERO, galley, colour).with_angle(angle);
    if scaling != 1.0 {
        shape.transform(egui::emath::TSTransform::from_scaling(scaling));
    }
    shape.pos = base + up;
    painter.add(shape);
}

/// A path as straight pieces on the screen, each with whether it is closed.
pub(crate) fn flattened(view: &View, path: &BezPath) -> Vec<(Vec<Pos2>, bool)> {
    let mut lines: Vec<(Vec<Pos2>, bool)> = Vec::new();
    let tolerance = FLAT / view.camera.points_per_mm;
    kurbo::flatten(path.iter(), tolerance, |element| match element {
        PathEl::MoveTo(p) => lines.push((vec![view.ui_from_mm(p)], false)),
        PathEl::LineTo(p) => {
            if let Some((line, _)) = lines.last_mut() {
                line.push(view.ui_from_mm(p));
            }
        }
        PathEl::ClosePath => {
            if let Some((line, closed)) = lines.last_mut() {
                if line.len() > 1 && line.first() == line.last() {
                    line.pop();
                }
                *closed = true;
            }
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    lines
}

fn length(line: &[Pos2]) -> f32 {
    line.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

/// Dashes and gaps in turn along a line, only where they are seen.
fn dashed(painter: &Painter, line: &[Pos2], ink: &Ink, clip: Rect) {
    let period: f32 = ink.dashes.iter().sum();
    if period < 2.0 {
        let pale = Stroke::new(ink.width, ink.colour.gamma_multiply(0.6));
        painter.add(Shape::line(line.to_vec(), pale));
        return;
    }
    let stroke = Stroke::new(ink.width, ink.colour);
    let mut before = 0.0;
    for pair in line.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let long = from.distance(to);
        if let Some((start, end)) = inside(from, to, clip) {
            let direction = (to - from) / long.max(1e-6);
            each_dash(&ink.dashes, before + start, before + end, |a, b| {
                let piece = [from + direction * (a - before), from + direction * (b - before)];
                painter.line_segment(piece, stroke);
            });
        }
        before += long;
    }
}

/// The drawn pieces between two lengths along a dashed line.
fn each_dash(dashes: &[f32], from: f32, to: f32, mut draw: impl FnMut(f32, f32)) {
    let period: f32 = dashes.iter().sum();
    let mut at = (from / period).floor() * period;
    while at < to {
        for (i, dash) in dashes.iter().enumerate() {
            if i % 2 == 0 && at + dash > from && at < to {
                draw(at.max(from), (at + dash).min(to));
            }
            at += dash;
        }
    }
}

/// The part of a straight piece inside a box, as lengths along it (Liang and Barsky's way).
fn inside(from: Pos2, to: Pos2, clip: Rect) -> Option<(f32, f32)> {
    let by = to - from;
    let (mut start, mut end) = (0.0_f32, 1.0_f32);
    for (by, low, high) in [
        (by.x, clip.min.x - from.x, clip.max.x - from.x),
        (by.y, clip.min.y - from.y, clip.max.y - from.y),
    ] {
        if by.abs() < 1e-9 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
            continue;
        }
        let (a, b) = (low / by, high / by);
        start = start.max(a.min(b));
        end = end.min(a.max(b));
    }
    (start < end).then_some((start * by.length(), end * by.length()))
}

/// Whether a mark lies within `reach_mm` of a place; how near.
pub(crate) fn distance_to(mark: &Mark, at: Point) -> Option<f64> {
    match mark {
        Mark::Path(path) => path
            .segments()
            .map(|seg| kurbo::ParamCurveNearest::nearest(&seg, at, 1e-3).distance_sq.sqrt())
            .min_by(f64::total_cmp),
        Mark::Circle(circle) => Some((circle.center.distance(at) - circle.radius).abs()),
        Mark::Fill(_) | Mark::Text(_) => None,
    }
}

/// The topmost part drawn within reach of a place; a line before an area.
pub(crate) fn part_at(
    drawing: &Drawing,
    at: Point,
    reach_mm: f64,
    wanted: impl Fn(knife::PartId) -> bool,
) -> Option<knife::PartId> {
    let near = |item: &marks::Item| {
        let part =
            drawing::part_of(item).filter(|part| wanted(*part) && item.pen != Pen::Centre)?;
        let away = distance_to(&item.mark, at).filter(|mm| *mm <= reach_mm)?;
        Some((away, part))
    };
    let found = drawing.items.iter().filter_map(near);
    found.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, part)| part)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::Camera;
    use outline::{Knot, Run, arcs_split, closed_curve_through};
    use proptest::prelude::*;

    #[test]
    fn dashes_begin_and_end_where_the_line_is_seen() {
        let mut seen = Vec::new();
        each_dash(&[6.0, 4.0], 3.0, 24.0, |a, b| seen.push((a, b)));
        assert_eq!(seen, vec![(3.0, 6.0), (10.0, 16.0), (20.0, 24.0)]);
    }

    #[test]
    fn lettering_comes_in_few_sizes_next_to_its_own() {
        let mut sizes = std::collections::BTreeSet::new();
        for i in 0..4000_u16 {
            let size = MIN_TYPE + 0.01 * f32::from(i);
            let shown = Lettering::Still.drawn(size);
            assert!(shown <= size * 1.0001 && shown * TYPE_STEP > size, "{size} {shown}");
            sizes.insert(shown.to_bits());
        }
        assert!(sizes.len() < 90, "{}", sizes.len());
        let moving = |i: u16| Lettering::Moving.drawn(MIN_TYPE + 0.01 * f32::from(i)).to_bits();
        let sizes: std::collections::BTreeSet<_> = (0..60_000_u16).map(moving).collect();
        assert!(sizes.len() <= 7, "{}", sizes.len());
    }

    #[test]
    fn a_line_is_cut_to_its_window() {
        let clip = Rect::from_min_max(pos2(0.0, 0.0), pos2(10.0, 10.0));
        assert_eq!(inside(pos2(-5.0, 5.0), pos2(15.0, 5.0), clip), Some((5.0, 15.0)));
        assert_eq!(inside(pos2(-5.0, 11.0), pos2(15.0, 11.0), clip), None);
    }

    fn area_mm2(mesh: &Mesh, points_per_mm: f64) -> f64 {
        let triangle = |t: &[u32]| {
            let [a, b, c] = [t[0], t[1], t[2]].map(|i| mesh.vertices[i as usize].pos);
            let (u, v) = (b - a, c - a);
            f64::from(u.x * v.y - u.y * v.x).abs() / 2.0 / points_per_mm.powi(2)
        };
        mesh.indices.chunks(3).map(triangle).sum()
    }

    /// The area of a filled outline on the screen is the outline's own, whatever its shape.
    #[test]
    fn a_filled_outline_has_its_area() {
        let rect = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(800.0, 600.0));
        for starter in knife::STARTERS {
            let outline = starter.knife().profile.outline().unwrap();
            let camera = Camera { centre: outline.bounds().center(), points_per_mm: 8.0 };
            let view = View { rect, camera };
            let white = Color32::WHITE;
            let Some(Shape::Mesh(mesh)) = filled(&view, &outline.to_path(), white, white) else {
                panic!("{} is not filled", starter.key)
            };
            let off = (area_mm2(&mesh, 8.0) - outline.area()).abs() / outline.area();
            assert!(off < 2e-3, "{}: {off}", starter.key);
        }
    }

    /// Whether a mesh covers a place.
    fn covers(mesh: &Mesh, at: Pos2) -> bool {
        let side = |a: Pos2, b: Pos2| (b - a).x * (at - a).y - (b - a).y * (at - a).x;
        mesh.indices.chunks(3).any(|t| {
            let [a, b, c] = [t[0], t[1], t[2]].map(|i| mesh.vertices[i as usize].pos);
            let sides = [side(a, b), side(b, c), side(c, a)];
            sides.iter().all(|s| *s >= 0.0) || sides.iter().all(|s| *s <= 0.0)
        })
    }

    /// That what closing a drawing gives is covered by its triangles, and nothing else is.
    fn check_filled(points: &[(i32, i32, bool, i32)]) -> Result<(), TestCaseError> {
        let knots: Vec<Knot> = points
            .iter()
            .copied()
            .map(|(x, y, corner, run)| {
                let run = if run == 0 { Run::Straight } else { Run::Curve };
                Knot { at: Point::new(f64::from(x), f64::from(y)), corner, run }
            })
            .collect();
        let segs = closed_curve_through(&arcs_split(&knots, true));
        let path = BezPath::from_path_segments(segs.into_iter());
        // Where a curve runs far along x, kurbo's winding of the curve itself is wrong here and
        // there; that of lines is exact.
        let mut lines = BezPath::new();
        kurbo::flatten(path.iter(), 0.01, |element| lines.push(element));
        let rect = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(800.0, 600.0));
        let camera = Camera { centre: Point::new(150.0, 30.0), points_per_mm: 2.5 };
        let view = View { rect, camera };
        let white = Color32::WHITE;
        let Some(Shape::Mesh(mesh)) = filled(&view, &path, white, white) else {
            return Err(TestCaseError::reject("nothing to fill"));
        };
        for x in -8..42 {
            for y in -8..26 {
                let at = Point::new(f64::from(x) * 7.3 + 0.31, f64::from(y) * 3.1 + 0.17);
                let near = distance_to(&Mark::Path(path.clone()), at).unwrap_or(9.0);
                if near > 0.4 {
                    let inside = lines.winding(at) != 0;
                    prop_assert_eq!(covers(&mesh, view.ui_from_mm(at)), inside, "{:?}", at);
                }
            }
        }
        Ok(())
    }

    /// Found by chance: a curve that runs far out and comes back.
    #[test]
    fn a_far_swing_is_filled_without_wedges() {
        let points = [(4, 21, true, 1), (180, 21, false, 0), (0, 32, false, 0)];
        check_filled(&points).unwrap();
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// What closing a drawing would give, crossing itself or not, is filled all over and
        /// nowhere else: no wedge of the ground is left in it.
        #[test]
        fn a_closing_outline_is_filled_without_wedges(
            points in prop::collection::vec(((0..300), (0..60), any::<bool>(), 0..4), 3..14),
        ) {
            check_filled(&points)?;
        }
    }
}
