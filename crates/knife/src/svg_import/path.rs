//! Path data to segments, in the numbers as written.
//!
//! SVG 2, chapter 9 (paths) and appendix B.2 (arcs).

use super::arc::{self, EndpointArc};
use kurbo::{CubicBez, Line, ParamCurve, PathSeg, Point, QuadBez, Vec2};
use svgtypes::{PathParser, PathSegment};

/// A stretch of path without a break.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Subpath {
    /// Its segments, each starting where the one before ended.
    pub(super) segs: Vec<PathSeg>,
    /// Whether it was closed by a closing command.
    pub(super) closed: bool,
}

/// Reads path data. `unit_mm` is the length of a unit, by which arcs are made fine enough;
/// reading ends once there are more than `max` segments.
///
/// # Errors
/// The character from which on the data can't be read, from 1.
pub(super) fn parse(data: &str, unit_mm: f64, max: usize) -> Result<Vec<Subpath>, usize> {
    let mut pen = PathBuilder::default();
    let data = data.trim();
    if data.is_empty() || data == "none" {
        return Ok(Vec::new());
    }
    for segment in PathParser::from(data) {
        let segment = segment.map_err(|error| character(&error))?;
        pen.draw(segment, unit_mm);
        if pen.count > max {
            break;
        }
    }
    pen.lift();
    Ok(pen.subpaths)
}

fn character(error: &svgtypes::Error) -> usize {
    match error {
        svgtypes::Error::UnexpectedData(at)
        | svgtypes::Error::InvalidNumber(at)
        | svgtypes::Error::InvalidChar(_, at)
        | svgtypes::Error::InvalidString(_, at) => *at,
        _ => 1,
    }
}

/// Where the pen is and what it drew.
#[derive(Default)]
struct PathBuilder {
    subpaths: Vec<Subpath>,
    current: Subpath,
    at: Point,
    start: Point,
    /// How many segments were drawn.
    count: usize,
    /// The handle that a smooth cubic would mirror, if the last command was a cubic.
    cubic: Option<Point>,
    /// The same for quadratics.
    quad: Option<Point>,
}

impl PathBuilder {
    /// Draws one command.
    fn draw(&mut self, segment: PathSegment, unit_mm: f64) {
        let (cubic, quad) = (self.cubic.take(), self.quad.take());
        let at = self.at;
        let to = |abs: bool, x: f64, y: f64| {
            if abs { Point::new(x, y) } else { Point::new(at.x + x, at.y + y) }
        };
        match segment {
            PathSegment::MoveTo { abs, x, y } => self.move_to(to(abs, x, y)),
            PathSegment::LineTo { abs, x, y } => self.line_to(to(abs, x, y)),
            PathSegment::HorizontalLineTo { abs, x } => {
                self.line_to(Point::new(to(abs, x, 0.0).x, at.y));
            }
            PathSegment::VerticalLineTo { abs, y } => {
                self.line_to(Point::new(at.x, to(abs, 0.0, y).y));
            }
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                self.cubic_to(to(abs, x1, y1), to(abs, x2, y2), to(abs, x, y));
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let first = cubic.map_or(at, |handle| mirrored(handle, at));
                self.cubic_to(first, to(abs, x2, y2), to(abs, x, y));
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                self.quad_to(to(abs, x1, y1), to(abs, x, y));
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let handle = quad.map_or(at, |handle| mirrored(handle, at));
                self.quad_to(handle, to(abs, x, y));
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                self.arc_to(
                    &EndpointArc {
                        from: at,
                        to: to(abs, x, y),
                        radii: Vec2::new(rx, ry),
                        turn_rad: x_axis_rotation.to_radians(),
                        large: large_arc,
                        sweep,
                    },
                    unit_mm,
                );
            }
            PathSegment::ClosePath { .. } => self.close(),
        }
    }

    fn move_to(&mut self, to: Point) {
        self.lift();
        self.at = to;
        self.start = to;
    }

    fn line_to(&mut self, to: Point) {
        self.push(PathSeg::Line(Line::new(self.at, to)));
    }

    fn cubic_to(&mut self, p1: Point, p2: Point, p3: Point) {
        self.push(PathSeg::Cubic(CubicBez::new(self.at, p1, p2, p3)));
        self.cubic = Some(p2);
    }

    fn quad_to(&mut self, p1: Point, p2: Point) {
        self.push(PathSeg::Quad(QuadBez::new(self.at, p1, p2)));
        self.quad = Some(p1);
    }

    fn arc_to(&mut self, arc: &EndpointArc, unit_mm: f64) {
        if arc.from == arc.to {
            return;
        }
        let segs = arc::cubics(arc, unit_mm);
        if segs.is_empty() {
            self.line_to(arc.to);
        }
        segs.into_iter().for_each(|seg| self.push(seg));
    }

    fn close(&mut self) {
        if self.current.segs.is_empty() {
            return;
        }
        if self.at != self.start {
            self.line_to(self.start);
        }
        self.current.closed = true;
        self.lift();
        self.at = self.start;
    }

    fn push(&mut self, seg: PathSeg) {
        self.at = seg.end();
        self.count += 1;
        self.current.segs.push(seg);
    }

    /// Ends the stretch.
    fn lift(&mut self) {
        if !self.current.segs.is_empty() {
            self.subpaths.push(std::mem::take(&mut self.current));
        }
        self.current = Subpath::default();
    }
}

fn mirrored(handle: Point, about: Point) -> Point {
    about + (about - handle)
}
