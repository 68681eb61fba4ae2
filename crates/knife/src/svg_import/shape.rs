//! Basic shapes and paths as stretches of segments in user units.
//!
//! SVG 2, chapter 10 (basic shapes).

use super::path::{self, Subpath};
use super::{ImportError, arc, arc::EndpointArc, length, style::StyleSheets, tree};
use kurbo::{Line, ParamCurve, PathSeg, Point, Rect, Size, Vec2};
use roxmltree::Node;
use std::cell::Cell;
use std::f64::consts::FRAC_1_SQRT_2;
use svgtypes::{Length, NumberListParser};

/// What an element draws, in user units.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct ShapePath {
    /// Its stretches.
    pub(super) subpaths: Vec<Subpath>,
    /// Centre and radii, when it is a circle or an ellipse.
    pub(super) ellipse: Option<(Point, Vec2)>,
}

/// An element with what is needed to read its numbers.
pub(super) struct ShapeReader<'a, 'i, 's> {
    /// The element.
    pub(super) node: Node<'a, 'i>,
    /// What style says of it.
    pub(super) sheet: &'s StyleSheets<'a>,
    /// What percentages refer to.
    pub(super) viewport: Option<Size>,
    /// Length of a user unit, mm.
    pub(super) unit_mm: f64,
    /// How many segments may be read.
    pub(super) max_segments: usize,
    /// Set when a percentage had no page to refer to.
    pub(super) lacks_page: Cell<bool>,
    /// Set when style says a size or a shape that can't be read.
    pub(super) ignores_style: Cell<bool>,
}

/// Which side of the page a percentage refers to.
#[derive(Clone, Copy)]
pub(super) enum PercentBasis {
    /// Its width.
    Width,
    /// Its height.
    Height,
    /// Its diagonal divided by √2.
    Diagonal,
}

impl ShapeReader<'_, '_, '_> {
    /// What the element draws; nothing if it is none of the shapes.
    pub(super) fn draw(&self) -> Result<ShapePath, ImportError> {
        let mut ellipse = None;
        let subs = match self.node.tag_name().name() {
            "path" => self.path()?,
            "polygon" => self.points(true)?,
            "polyline" => self.points(false)?,
            "line" => self.line()?,
            "rect" => self.rect()?,
            "circle" | "ellipse" => {
                ellipse = self.round()?;
                match ellipse {
                    Some((at, radii)) => ring(arc::ellipse(at, radii, self.unit_mm)),
                    None => Vec::new(),
                }
            }
            _ => Vec::new(),
        };
        Ok(ShapePath { subpaths: subs, ellipse })
    }

    /// The property or attribute in user units; nothing if it isn't stated or can't be resolved.
    pub(super) fn px(
        &self,
        attribute: &'static str,
        of: PercentBasis,
    ) -> Result<Option<f64>, ImportError> {
        let Some(parsed) = self.length(attribute)? else { return Ok(None) };
        let whole = self.viewport.map(|page| match of {
            PercentBasis::Width => page.width,
            PercentBasis::Height => page.height,
            PercentBasis::Diagonal => page.width.hypot(page.height) * FRAC_1_SQRT_2,
        });
        let px = length::px(parsed, whole);
        self.lacks_page.set(self.lacks_page.get() || px.is_none());
        Ok(px)
    }

    /// The length that style says, or else the attribute; nothing where it is left to the reader.
    fn length(&self, attribute: &'static str) -> Result<Option<Length>, ImportError> {
        if let Some(css) = self.sheet.styled(self.node, attribute) {
            if css == "auto" {
                return Ok(None);
            }
            if let Some(length) = length::parse_css(css) {
                return Ok(Some(length));
            }
            self.ignores_style.set(true);
        }
        match self.node.attribute(attribute) {
            Some(text) if text.trim() != "auto" => {
                length::parse(text).map(Some).ok_or_else(|| self.bad(attribute, text))
            }
            _ => Ok(None),
        }
    }

    fn px_or_zero(&self, attribute: &'static str, of: PercentBasis) -> Result<f64, ImportError> {
        Ok(self.px(attribute, of)?.unwrap_or(0.0))
    }

    fn bad(&self, attribute: &'static str, text: &str) -> ImportError {
        ImportError::BadNumber {
            line: tree::line(self.node),
            element: self.node.tag_name().name().to_owned(),
            attribute,
            text: tree::quote(text),
        }
    }

    fn path(&self) -> Result<Vec<Subpath>, ImportError> {
        if self.sheet.styled(self.node, "d").is_some() {
            self.ignores_style.set(true);
        }
        let data = self.node.attribute("d").unwrap_or_default();
        path::parse(data, self.unit_mm, self.max_segments)
            .map_err(|character| ImportError::BadPath { line: tree::line(self.node), character })
    }

    fn points(&self, closed: bool) -> Result<Vec<Subpath>, ImportError> {
        let text = self.node.attribute("points").unwrap_or_default();
        let numbers: Result<Vec<f64>, _> = NumberListParser::from(text.trim())
            .take(2 * self.max_segments.saturating_add(2))
            .collect();
        let numbers = numbers.map_err(|_nothing_more| self.bad("points", text))?;
        let corners: Vec<Point> =
            numbers.chunks_exact(2).map(|pair| Point::new(pair[0], pair[1])).collect();
        Ok(polygon(&corners, closed))
    }

    fn line(&self) -> Result<Vec<Subpath>, ImportError> {
        let from = Point::new(
            self.px_or_zero("x1", PercentBasis::Width)?,
            self.px_or_zero("y1", PercentBasis::Height)?,
        );
        let to = Point::new(
            self.px_or_zero("x2", PercentBasis::Width)?,
            self.px_or_zero("y2", PercentBasis::Height)?,
        );
        Ok(polygon(&[from, to], false))
    }

    /// Centre and radii of a circle or an ellipse that shows.
    fn round(&self) -> Result<Option<(Point, Vec2)>, ImportError> {
        let at = Point::new(
            self.px_or_zero("cx", PercentBasis::Width)?,
            self.px_or_zero("cy", PercentBasis::Height)?,
        );
        let radii = if self.node.tag_name().name() == "circle" {
            let r = self.px_or_zero("r", PercentBasis::Diagonal)?;
            Vec2::new(r, r)
        } else {
            let (rx, ry) =
                (self.px("rx", PercentBasis::Width)?, self.px("ry", PercentBasis::Height)?);
            Vec2::new(rx.or(ry).unwrap_or(0.0), ry.or(rx).unwrap_or(0.0))
        };
        Ok((radii.x > 0.0 && radii.y > 0.0).then_some((at, radii)))
    }

    fn rect(&self) -> Result<Vec<Subpath>, ImportError> {
        let (x, y) = (
            self.px_or_zero("x", PercentBasis::Width)?,
            self.px_or_zero("y", PercentBasis::Height)?,
        );
        let (w, h) = (
            self.px_or_zero("width", PercentBasis::Width)?,
            self.px_or_zero("height", PercentBasis::Height)?,
        );
        if !(w > 0.0 && h > 0.0) {
            return Ok(Vec::new());
        }
        let (rx, ry) = (self.px("rx", PercentBasis::Width)?, self.px("ry", PercentBasis::Height)?);
        let rx_said = rx.or(ry).unwrap_or(0.0).max(0.0);
        let ry_said = ry.or(rx).unwrap_or(0.0).max(0.0);
        let radii = Vec2::new(rx_said.min(w / 2.0), ry_said.min(h / 2.0));
        Ok(ring(rounded(Rect::new(x, y, x + w, y + h), radii, self.unit_mm)))
    }
}

/// One closed stretch, or none if it is empty.
fn ring(segs: Vec<PathSeg>) -> Vec<Subpath> {
    if segs.is_empty() { Vec::new() } else { vec![Subpath { segs, closed: true }] }
}

/// The lines through the corners.
fn polygon(corners: &[Point], closed: bool) -> Vec<Subpath> {
    let mut segs: Vec<PathSeg> =
        corners.windows(2).map(|pair| PathSeg::Line(Line::new(pair[0], pair[1]))).collect();
    if segs.is_empty() {
        return Vec::new();
    }
    if closed {
        segs.push(PathSeg::Line(Line::new(corners[corners.len() - 1], corners[0])));
    }
    vec![Subpath { segs, closed }]
}

/// A rectangle with rounded corners, each a quarter of an ellipse.
fn rounded(rect: Rect, radii: Vec2, unit_mm: f64) -> Vec<PathSeg> {
    let (dx, dy) = (radii.x, radii.y);
    // Eight ends: where each side starts and ends.
    let ends = [
        (rect.x0 + dx, rect.y0),
        (rect.x1 - dx, rect.y0),
        (rect.x1, rect.y0 + dy),
        (rect.x1, rect.y1 - dy),
        (rect.x1 - dx, rect.y1),
        (rect.x0 + dx, rect.y1),
        (rect.x0, rect.y1 - dy),
        (rect.x0, rect.y0 + dy),
    ]
    .map(Point::from);
    let mut segs = Vec::new();
    for side in 0..4 {
        let (a, b, c) = (ends[2 * side], ends[2 * side + 1], ends[(2 * side + 2) % 8]);
        segs.push(PathSeg::Line(Line::new(a, b)));
        let corner =
            EndpointArc { from: b, to: c, radii, turn_rad: 0.0, large: false, sweep: true };
        let arc = arc::cubics(&corner, unit_mm);
        if arc.is_empty() && b != c {
            segs.push(PathSeg::Line(Line::new(b, c)));
        }
        segs.extend(arc);
    }
    debug_assert!(segs.first().zip(segs.last()).is_none_or(|(a, b)| a.start() == b.end()));
    segs
}
