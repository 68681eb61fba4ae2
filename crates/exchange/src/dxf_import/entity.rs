//! From a DXF drawing's entities to stretches of path in millimetres.

use super::spline::Spline;
use super::{Counts, DxfFault};
use crate::bulge::{self, ARC_MM};
use dxf::entities::{Entity, EntityType, Insert};
use dxf::{Block, Drawing, Vector};
use knife::svg_import::{ImportError, PathPiece};
use kurbo::{Affine, Arc, BezPath, Circle, PathSeg, Point, Vec2};
use outline::{Knot, closed_curve_through, curve_through};
use std::collections::{HashMap, HashSet};
use std::f64::consts::TAU;

/// The most entities that are read, blocks expanded.
pub(super) const MAX_ENTITIES: usize = 100_000;
/// The most line and curve segments that are kept of them, as of other drawings: an arc takes
/// several.
const MAX_SEGMENTS: usize = 200_000;
/// How deep blocks may stand in blocks.
const DEEPEST: usize = 16;
/// A direction out of the drawing's plane by more than this is tilted.
const FLAT: f64 = 1e-9;

/// What a drawing holds.
#[derive(Default)]
pub(super) struct Found {
    pub(super) pieces: Vec<PathPiece>,
    pub(super) left_out: Counts,
    pub(super) hidden: usize,
    pub(super) tilted: usize,
    pub(super) through_points: usize,
}

/// Gathers everything that shows in the model space, in millimetres.
pub(super) fn gather(drawing: &Drawing, scale_mm: f64) -> Result<Found, DxfFault> {
    let off = drawing.layers().filter(|layer| !layer.is_layer_on);
    let hidden_layers = off.map(|layer| layer.name.to_lowercase()).collect();
    let blocks = drawing.blocks().map(|block| (block.name.to_lowercase(), block)).collect();
    let found = Found::default();
    let mut walk = Walk { blocks, hidden_layers, count: 0, segments: 0, found, number: 0 };
    let whole = Affine::scale(scale_mm);
    for entity in drawing.entities() {
        walk.number += 1;
        walk.entity(entity, whole, DEEPEST)?;
    }
    Ok(walk.found)
}

struct Walk<'a> {
    blocks: HashMap<String, &'a Block>,
    hidden_layers: HashSet<String>,
    count: usize,
    segments: usize,
    found: Found,
    /// Which entity of the model space is being read, from 1.
    number: usize,
}

/// The plane that an entity's numbers lie in, seen from above: as they are, or mirrored along x
/// where its normal points away (the arbitrary axis algorithm of the DXF reference); `None` for
/// one that is tilted.
fn plane(normal: &Vector) -> Option<Affine> {
    let length = normal.x.hypot(normal.y).hypot(normal.z);
    if !(length > 0.0 && normal.x.hypot(normal.y) <= FLAT * length) {
        return None;
    }
    let sign = if normal.z > 0.0 { 1.0 } else { -1.0 };
    Some(Affine::scale_non_uniform(sign, 1.0))
}

fn at(p: &dxf::Point) -> Point {
    Point::new(p.x, p.y)
}

impl<'a> Walk<'a> {
    fn entity(&mut self, entity: &'a Entity, to_mm: Affine, deeper: usize) -> Result<(), DxfFault> {
        self.count += 1;
        if self.count > MAX_ENTITIES {
            return Err(DxfFault::TooManyEntities { limit: MAX_ENTITIES });
        }
        let common = &entity.common;
        let is_off = self.hidden_layers.contains(&common.layer.to_lowercase());
        if !common.is_visible || common.is_in_paper_space || is_off {
            self.found.hidden += 1;
            return Ok(());
        }
        match &entity.specific {
            EntityType::Line(line) => {
                let mut path = BezPath::new();
                path.move_to(at(&line.p1));
                path.line_to(at(&line.p2));
                self.path("LINE", &path, to_mm, false)
            }
            EntityType::Arc(arc) => {
                let Some(flat) = self.flat(&arc.normal) else { return Ok(()) };
                let (from, to) = (arc.start_angle.to_radians(), arc.end_angle.to_radians());
                let turn = turned(from, to);
                let path =
                    curve(at(&arc.center), Vec2::new(arc.radius, arc.radius), from, turn, 0.0);
                self.path("ARC", &path, to_mm * flat, false)
            }
            EntityType::Circle(circle) => {
                let Some(flat) = self.flat(&circle.normal) else { return Ok(()) };
                self.circle(at(&circle.center), circle.radius, to_mm * flat)
            }
            EntityType::Ellipse(ellipse) => self.ellipse(ellipse, to_mm),
            EntityType::LwPolyline(line) => {
                let Some(flat) = self.flat(&line.extrusion_direction) else { return Ok(()) };
                let corners = line.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge));
                let closed = line.is_closed();
                self.polyline("LWPOLYLINE", &corners.collect::<Vec<_>>(), closed, to_mm * flat)
            }
            EntityType::Polyline(line) => {
                if line.is_3d_polygon_mesh() || line.is_polyface_mesh() {
                    *self.found.left_out.entry("POLYLINE".to_owned()).or_insert(0) += 1;
                    return Ok(());
                }
                // A line in space lies in the drawing's own coordinates.
                let flat = if line.is_3d_polyline() {
                    Affine::IDENTITY
                } else {
                    let Some(flat) = self.flat(&line.normal) else { return Ok(()) };
                    flat
                };
                let corners: Vec<(Point, f64)> = line
                    .vertices()
                    .filter(|vertex| !vertex.is_spline_frame_control_point())
                    .map(|vertex| (at(&vertex.location), vertex.bulge))
                    .collect();
                self.polyline("POLYLINE", &corners, line.is_closed(), to_mm * flat)
            }
            EntityType::Spline(spline) => self.spline(spline, to_mm),
            EntityType::Insert(insert) => self.insert(insert, to_mm, deeper),
            _ => Ok(()),
        }
    }

    fn flat(&mut self, normal: &Vector) -> Option<Affine> {
        let flat = plane(normal);
        self.found.tilted += usize::from(flat.is_none());
        flat
    }

    /// Takes up a path once it is in millimetres.
    fn path(
        &mut self,
        kind: &'static str,
        path: &BezPath,
        to_mm: Affine,
        closed: bool,
    ) -> Result<(), DxfFault> {
        let segs: Vec<PathSeg> = (to_mm * path).segments().collect();
        let ends = |seg: &PathSeg| seg.to_cubic();
        let is_finite = segs.iter().map(ends).all(|c| {
            [c.p0, c.p1, c.p2, c.p3].iter().all(|p| p.is_finite() && p.to_vec2().hypot() < 1e12)
        });
        if !is_finite {
            return Err(DxfFault::NotFinite { kind, number: self.number });
        }
        if !segs.is_empty() {
            self.has_room(segs.len())?;
            self.segments += segs.len();
            self.found.pieces.push(PathPiece { segs, closed, circle: None });
        }
        Ok(())
    }

    /// Refuses more segments than are kept, before they take memory.
    fn has_room(&self, more: usize) -> Result<(), DxfFault> {
        let is_too_many = self.segments + more > MAX_SEGMENTS;
        if is_too_many { Err(ImportError::TooManySegments.into()) } else { Ok(()) }
    }

    fn circle(&mut self, centre: Point, radius: f64, to_mm: Affine) -> Result<(), DxfFault> {
        if !(radius.is_finite() && radius > 0.0) {
            return Err(DxfFault::NotFinite { kind: "CIRCLE", number: self.number });
        }
        let path = curve(centre, Vec2::new(radius, radius), 0.0, TAU, 0.0);
        self.path("CIRCLE", &path, to_mm, true)?;
        let [a, b, c, d, ..] = to_mm.as_coeffs();
        let is_round = (a.hypot(b) - c.hypot(d)).abs() < 1e-9 * a.hypot(b)
            && (a * c + b * d).abs() < 1e-9 * (a * a + b * b);
        if let Some(piece) = self.found.pieces.last_mut().filter(|_| is_round) {
            piece.circle = Some(Circle::new(to_mm * centre, radius * a.hypot(b)));
        }
        Ok(())
    }

    fn ellipse(&mut self, ellipse: &dxf::entities::Ellipse, to_mm: Affine) -> Result<(), DxfFault> {
        let axis = Vec2::new(ellipse.major_axis.x, ellipse.major_axis.y);
        if self.flat(&ellipse.normal).is_none() {
            return Ok(());
        }
        if ellipse.major_axis.z.abs() > FLAT * axis.hypot() {
            self.found.tilted += 1;
            return Ok(());
        }
        // The minor axis is the normal crossed with the major one: to its left seen from there.
        let minor = ellipse.minor_axis_ratio * ellipse.normal.z.signum();
        let radii = Vec2::new(axis.hypot(), axis.hypot() * minor.abs());
        let turn = turned(ellipse.start_parameter, ellipse.end_parameter);
        let path = curve(Point::ORIGIN, radii, ellipse.start_parameter, turn, 0.0);
        let place = Affine::translate(at(&ellipse.center).to_vec2())
            * Affine::rotate(axis.atan2())
            * Affine::scale_non_uniform(1.0, minor.signum());
        self.path("ELLIPSE", &path, to_mm * place, turn >= TAU)
    }

    fn polyline(
        &mut self,
        kind: &'static str,
        corners: &[(Point, f64)],
        closed: bool,
        to_mm: Affine,
    ) -> Result<(), DxfFault> {
        let Some(&(first, _)) = corners.first() else { return Ok(()) };
        if corners.iter().any(|(p, bulge)| !p.is_finite() || !bulge.is_finite()) {
            return Err(DxfFault::NotFinite { kind, number: self.number });
        }
        let mut path = BezPath::new();
        path.move_to(first);
        for pair in corners.windows(2) {
            bulge::append(&mut path, pair[0].0, pair[1].0, pair[0].1);
            self.has_room(path.elements().len())?;
        }
        if let Some(&(last, bulge)) = corners.last().filter(|_| closed) {
            bulge::append(&mut path, last, first, bulge);
        }
        self.path(kind, &path, to_mm, closed)
    }

    fn spline(&mut self, spline: &dxf::entities::Spline, to_mm: Affine) -> Result<(), DxfFault> {
        let control: Vec<Point> = spline.control_points.iter().map(at).collect();
        let through: Vec<Point> = spline.fit_points.iter().map(at).collect();
        let closed = spline.is_closed();
        let segs = if control.is_empty() && through.len() > 1 {
            self.found.through_points += 1;
            let mut knots: Vec<Knot> = through.iter().map(|p| Knot::smooth(*p)).collect();
            if closed {
                if through.first() == through.last() {
                    knots.pop();
                }
                closed_curve_through(&knots)
            } else {
                curve_through(&knots)
            }
        } else {
            let whole = Spline::new(
                spline.degree_of_curve,
                &spline.knot_values,
                &control,
                &spline.weight_values,
            );
            whole.ok_or(DxfFault::BadSpline { number: self.number })?.segments()
        };
        let path = BezPath::from_path_segments(segs.into_iter());
        self.path("SPLINE", &path, to_mm, closed)
    }

    /// What a block holds, wherever it is inserted.
    fn insert(&mut self, insert: &Insert, to_mm: Affine, deeper: usize) -> Result<(), DxfFault> {
        let Some(deeper) = deeper.checked_sub(1) else {
            return Err(DxfFault::TooDeep { limit: DEEPEST });
        };
        let Some(flat) = self.flat(&insert.extrusion_direction) else { return Ok(()) };
        let Some(block) = self.blocks.get(&insert.name.to_lowercase()).copied() else {
            *self.found.left_out.entry("INSERT".to_owned()).or_insert(0) += 1;
            return Ok(());
        };
        let scale = Affine::scale_non_uniform(insert.x_scale_factor, insert.y_scale_factor);
        let turn = Affine::rotate(insert.rotation.to_radians());
        let base = Affine::translate(-at(&block.base_point).to_vec2());
        for row in 0..insert.row_count.max(1) {
            for column in 0..insert.column_count.max(1) {
                let step = Vec2::new(
                    f64::from(column) * insert.column_spacing,
                    f64::from(row) * insert.row_spacing,
                );
                let place = Affine::translate(at(&insert.location).to_vec2())
                    * turn
                    * Affine::translate(step)
                    * scale
                    * base;
                for entity in &block.entities {
                    self.entity(entity, to_mm * flat * place, deeper)?;
                }
                // An empty block many times over is work too.
                self.count += 1;
                if self.count > MAX_ENTITIES {
                    return Err(DxfFault::TooManyEntities { limit: MAX_ENTITIES });
                }
            }
        }
        Ok(())
    }
}

/// How far an arc turns, counter-clockwise: all round where its ends are one.
fn turned(from: f64, to: f64) -> f64 {
    let turn = (to - from).rem_euclid(TAU);
    if turn < 1e-12 || (to - from - TAU).abs() < 1e-9 { TAU } else { turn }
}

fn curve(centre: Point, radii: Vec2, from: f64, turn: f64, lean: f64) -> BezPath {
    let arc = Arc::new(centre, radii, from, turn, lean);
    let start = centre + Vec2::new(radii.x * from.cos(), radii.y * from.sin());
    let mut path = BezPath::new();
    if !(start.is_finite() && turn.is_finite() && radii.hypot() < 1e12) {
        // Told by whoever takes it up.
        path.move_to((f64::NAN, f64::NAN));
        path.line_to((f64::NAN, f64::NAN));
        return path;
    }
    path.move_to(start);
    arc.to_cubic_beziers(ARC_MM.max(radii.hypot() * 1e-12), |a, b, c| path.curve_to(a, b, c));
    path
}
