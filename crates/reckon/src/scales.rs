//! The scales in the knife's plane: outline, front, bevel, bolsters, what is sawn and from what.

mod front;
mod part;
mod pieces;
#[cfg(test)]
mod tests;

pub use front::ScaleLayoutError;
pub(crate) use front::{CrossCut, CutSide, Front, ON_MM, cut};
pub use part::PiecePart;
pub use pieces::{Block, BookBlock, ScalePiece};

use crate::context::FigureContext;
use crate::scale_thickness_mm;
use knife::{Corner, Knife, Scales};
use kurbo::{Affine, BezPath, Line, ParamCurve, PathSeg, Point};
use outline::Outline;

/// The scales as they lie on the tang, with the bolsters that belong to them.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleFigures {
    /// The outline of one side, flush with the tang: its scale, and bolsters where there are any.
    pub outline: Outline,
    /// Its area, mm².
    pub area_mm2: f64,
    /// Its length along x, mm.
    pub length_mm: f64,
    /// The front line on the glue face, from the spine's side to the edge's.
    pub front: Vec<PathSeg>,
    /// Where the front line crosses the middle of the tang.
    pub middle: Point,
    /// How far the front face leans back from square, degrees.
    pub bevel_deg: f64,
    /// How far the front's line on the outer face lies behind the front line, square to it, mm:
    /// the thickness there times the bevel's tangent.
    pub setback_mm: f64,
    /// That line, from the spine's side to the edge's; `None` when the front is square, or when
    /// there is no room for it.
    pub outer_front: Option<Vec<PathSeg>>,
    /// On the outer face, how far in from the long edges chamfer or round begin: the line from
    /// the front along one edge, round the butt and back; empty without one.
    pub corner: Vec<PathSeg>,
    /// What one side is put together from, front to butt: one scale, and bolsters where there are
    /// any and where there is room for them.
    pub pieces: Vec<ScalePiece>,
    /// The block from which a book-matched pair of scales is sawn; `None` when the two are of
    /// different materials.
    pub book: Option<BookBlock>,
    /// From the knife's plane to the left scale seen from outside: tip to the left, edge down.
    pub left: Affine,
    /// To the right scale seen from outside: tip to the right, edge down. It is the left one's
    /// mirror image.
    pub right: Affine,
    /// What finds no room: a bolster, the front's bevel.
    pub no_room: Vec<ScaleLayoutError>,
}

impl ScaleFigures {
    /// The front line as a path, from the spine's side to the edge's.
    pub fn front_path(&self) -> BezPath {
        BezPath::from_path_segments(self.front.iter().copied())
    }

    /// The front line's two ends, the lower (of the knife's plane) first.
    pub fn front_ends(&self) -> Line {
        let ends = self.front.first().zip(self.front.last());
        let (a, b) = ends.map_or((self.middle, self.middle), |(a, b)| (a.start(), b.end()));
        if a.y <= b.y { Line::new(a, b) } else { Line::new(b, a) }
    }

    /// The piece that is wood, horn or laminate.
    pub fn scale(&self) -> Option<&ScalePiece> {
        self.pieces.iter().find(|piece| piece.part == PiecePart::Scale)
    }
}

/// The part of the blank behind the front line, and what follows from it.
///
/// The front line goes through the middle of the tang at the stated place; it ends where it first
/// leaves the blank on either side. Everything behind it, to the butt, is covered: there the
/// outline is the tang's own, curve for curve.
///
/// # Errors
/// [`ScaleLayoutError`]: why the front can't be laid there.
pub(crate) fn figures(
    ctx: &FigureContext<'_>,
    stated: Scales,
) -> Result<ScaleFigures, ScaleLayoutError> {
    let FigureContext { knife, outline: blank, profile, .. } = *ctx;
    let line = Front::at(stated.front_x_mm, knife.handle.front, blank, profile)?;
    let across = line.across(blank)?;
    let outline = cut(blank, &across, CutSide::Behind).ok_or(ScaleLayoutError::Off)?;
    let (area_mm2, length_mm) = (outline.area(), outline.bounds().width());
    let bevel_deg = knife.handle.front.bevel_deg();
    let setback_mm = setback_mm(knife, &line, bevel_deg);
    let mut no_room = Vec::new();
    let pieces = pieces::layout(ctx, &line, &across, &outline, &mut no_room);
    let face = outer_face(&line, setback_mm, &pieces, blank);
    if face.is_none() {
        no_room.push(ScaleLayoutError::Bevel { setback_mm });
    }
    let corner = face.as_ref().map_or_else(Vec::new, |face| corner(knife, blank, face));
    let book = pieces::book(ctx, &pieces);
    let direction = |sign: f64| {
        let turned = if profile.edge_is_up { -1.0 } else { 1.0 };
        Affine::scale_non_uniform(sign * profile.towards_butt, turned)
    };
    Ok(ScaleFigures {
        outline,
        area_mm2,
        length_mm,
        front: across.run,
        middle: line.middle,
        bevel_deg,
        setback_mm,
        outer_front: face
            .filter(|_| setback_mm > 0.0)
            .and_then(|face| Some(face.across(blank).ok()?.run)),
        corner,
        pieces,
        book,
        left: direction(1.0),
        right: direction(-1.0),
        no_room,
    })
}

/// How far the front's line on the outer face lies behind the front line.
///
/// The front face rises from the front line by the cotangent of its lean; it ends where it meets
/// the outer face, in the middle of the handle. With even thickness t that is t tan β behind.
fn setback_mm(knife: &Knife, line: &Front, bevel_deg: f64) -> f64 {
    let tan = bevel_deg.to_radians().tan();
    let thick = |behind: f64| {
        let at = line.parallel_at(behind);
        scale_thickness_mm(knife, at.x).unwrap_or_default()
    };
    let stations = &knife.handle.shaping.thickness;
    if stations.is_empty() {
        return thick(0.0) * tan;
    }
    // Halved 60 times: to the last bit of a handle's length.
    let max = stations.iter().map(|at| at.thickness_mm).fold(0.0, f64::max);
    let (mut near, mut far) = (0.0, max * tan);
    for _ in 0..60 {
        let middle = 0.5 * (near + far);
        if middle < thick(middle) * tan { near = middle } else { far = middle }
    }
    0.5 * (near + far)
}

/// The front's line on the outer face; `None` when it leaves the foremost piece.
fn outer_face(
    line: &Front,
    setback_mm: f64,
    pieces: &[ScalePiece],
    blank: &Outline,
) -> Option<Front> {
    let face = line.parallel(setback_mm)?;
    if setback_mm > 0.0 {
        let first = &pieces.first()?.outline;
        let across = face.across(first).ok()?;
        if !across.lies_on(blank) {
            return None;
        }
    }
    Some(face)
}

/// Where a chamfer or a round begins on the outer face: everywhere so far from the tang's outline,
/// behind the front's line there.
fn corner(knife: &Knife, blank: &Outline, face: &Front) -> Vec<PathSeg> {
    let over_face_mm = match knife.handle.shaping.corner {
        None => 0.0,
        Some(Corner::Chamfer { width_mm, .. }) => width_mm,
        Some(Corner::Round(radius_mm)) => radius_mm,
    };
    if over_face_mm <= 0.0 {
        return Vec::new();
    }
    blank
        .offset(-over_face_mm)
        .iter()
        .find_map(|ring| Some(front::behind(ring, &face.across(ring).ok()?)))
        .unwrap_or_default()
}
