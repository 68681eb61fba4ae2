//! Squaring up: how the picture's pixels lie on the plane of the thing, and how well.

use crate::region::Region;
use crate::{Note, Picture, Plane, Progress, TraceError, rectangle, targets};
use kurbo::{Point, Rect, Size};
use nalgebra::Matrix3;

/// Densities that programs write when they know none (screens), dots per inch.
const SCREEN_DPI: [f64; 2] = [72.0, 96.0];
/// Usual sheets by which a picture is squared up when nothing is said, mm: ANSI letter
/// (ANSI/ASME Y14.1, 8.5 × 11 in) and A4 (ISO 216).
const USUAL_SHEETS: [(&str, Size); 2] =
    [("letter", Size::new(215.9, 279.4)), ("a4", Size::new(210.0, 297.0))];
/// Ground beside a sheet's edge that is not looked at, mm.
const SHEET_BORDER_MM: f64 = 2.0;
/// Ground around a mat's targets that is looked at too, mm.
const MAT_BORDER_MM: f64 = 8.0;

/// How a picture is squared up.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Squaring {
    /// A tracing mat, else a letter or A4 sheet, else the file's scan density, whichever is there.
    #[default]
    Auto,
    /// A flat scan: dots per inch, `None` for those that the file states.
    Density(Option<f64>),
    /// Two pixels and the distance of what they show, mm.
    TwoPoints {
        /// One pixel.
        from: Point,
        /// The other.
        to: Point,
        /// Their distance, mm.
        mm: f64,
    },
    /// A sheet of known sides.
    Rectangle {
        /// Its sides, mm; either may be the longer.
        size: Size,
        /// Its corners, px: top left, top right, bottom right, bottom left of the picture; `None`
        /// to find them.
        corners: Option<[Point; 4]>,
    },
    /// The tracing mat that this program prints.
    Mat,
}

/// By what a picture was squared up.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A scan density, dots per inch.
    Density {
        /// Dots per inch.
        dpi: f64,
    },
    /// Two points.
    TwoPoints,
    /// A sheet.
    Rectangle {
        /// Its sides as the picture shows them, mm.
        size: Size,
        /// Its name where it was guessed.
        guessed: Option<&'static str>,
    },
    /// A mat.
    Mat {
        /// Its number of targets along its lower and its left side.
        columns: u32,
        /// Rows of targets.
        rows: u32,
        /// Targets used.
        used: usize,
    },
}

/// A picture squared up.
#[derive(Clone, Debug, PartialEq)]
pub struct SquaredUp {
    /// How its pixels lie on the plane.
    pub plane: Plane,
    /// By what.
    pub found: Found,
    /// Root mean square residual of the mat's targets, or what one pixel of error at each point
    /// given does at the far corner, mm.
    pub uncertainty_mm: f64,
    /// The part of the plane in which the thing lies, mm, if it is known.
    pub(crate) ground: Option<Rect>,
    /// What is looked at.
    pub(crate) region: Region,
    /// Where ground and thing are told apart.
    pub(crate) inner: Region,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// Squares a picture up.
///
/// # Errors
/// [`TraceError`] when what is asked for isn't in the picture or makes no sense.
pub fn square_up(
    picture: &Picture,
    how: &Squaring,
    progress: &Progress,
) -> Result<SquaredUp, TraceError> {
    progress.step(300, 550);
    match how {
        Squaring::Auto => automatic(picture, progress),
        Squaring::Density(typed) => density(picture, *typed),
        Squaring::TwoPoints { from, to, mm } => two_points(picture, *from, *to, *mm),
        Squaring::Rectangle { size, corners } => by_rectangle(picture, *size, *corners, progress),
        Squaring::Mat => by_mat(picture, progress),
    }
}

fn automatic(picture: &Picture, progress: &Progress) -> Result<SquaredUp, TraceError> {
    match by_mat(picture, progress) {
        Err(TraceError::NoMat | TraceError::Cluttered) => {}
        found => return found,
    }
    progress.step(550, 600);
    if let Ok(sheet) = rectangle::find(&picture.gray, progress) {
        let on = |(name, size)| {
            let focal = picture.focal_35mm;
            let on = rectangle::on_sheet(&picture.gray, &sheet, size, focal).ok()?;
            Some((name, on))
        };
        let nearest = USUAL_SHEETS
            .into_iter()
            .filter_map(on)
            .min_by(|a, b| a.1.mismatch.total_cmp(&b.1.mismatch));
        if let Some((name, on)) = nearest {
            return on_plane(picture, on, Some(name));
        }
    }
    match density(picture, None) {
        Err(TraceError::NoDensity) => Err(TraceError::NoScale),
        found => found,
    }
}

fn whole(picture: &Picture, plane: Plane, found: Found, uncertainty_mm: f64) -> SquaredUp {
    let region = Region::whole(&picture.gray);
    SquaredUp {
        plane,
        found,
        uncertainty_mm,
        ground: None,
        inner: region.clone(),
        region,
        notes: Vec::new(),
    }
}

fn density(picture: &Picture, typed: Option<f64>) -> Result<SquaredUp, TraceError> {
    let dpi = match typed {
        Some(dpi) if (20.0..=10_000.0).contains(&dpi) => dpi,
        Some(dpi) => return Err(TraceError::BadDensity { dpi }),
        None => match picture.dpi {
            Some(dpi) if !SCREEN_DPI.iter().any(|s| (s - dpi).abs() < 0.6) => dpi,
            _ => return Err(TraceError::NoDensity),
        },
    };
    let mm_per_px = 25.4 / dpi;
    let plane = Plane::scaled(&picture.gray, mm_per_px).ok_or(TraceError::BadDensity { dpi })?;
    // A pixel at either end of the picture's longer side.
    Ok(whole(picture, plane, Found::Density { dpi }, mm_per_px))
}

fn two_points(picture: &Picture, from: Point, to: Point, mm: f64) -> Result<SquaredUp, TraceError> {
    let gray = &picture.gray;
    let px = from.distance(to);
    let sound = gray.contains(from) && gray.contains(to) && px >= 20.0;
    if !(sound && (1.0..=3000.0).contains(&mm)) {
        return Err(TraceError::BadPoints);
    }
    let plane = Plane::scaled(gray, mm / px).ok_or(TraceError::BadPoints)?;
    // One pixel of error at each point, over the picture's diagonal.
    let uncertainty = mm / px * std::f64::consts::SQRT_2 * 2.0 * gray.half_diagonal() / px;
    let mut squared = whole(picture, plane, Found::TwoPoints, uncertainty);
    squared.notes.push(Note::ScaleOnly);
    Ok(squared)
}

fn by_rectangle(
    picture: &Picture,
    size: Size,
    corners: Option<[Point; 4]>,
    progress: &Progress,
) -> Result<SquaredUp, TraceError> {
    let sound = |mm: f64| (10.0..=3000.0).contains(&mm);
    if !(sound(size.width) && sound(size.height)) {
        return Err(TraceError::BadSides);
    }
    let sheet = match corners {
        Some([tl, tr, br, bl]) => rectangle::given(&picture.gray, [bl, br, tr, tl])?,
        None => rectangle::find(&picture.gray, progress)?,
    };
    let on = rectangle::on_sheet(&picture.gray, &sheet, size, picture.focal_35mm)?;
    on_plane(picture, on, None)
}

/// The sheet as it lies in the picture, turned so that its side that is lowest there is below.
fn on_plane(
    picture: &Picture,
    on: rectangle::OnSheet,
    guessed: Option<&'static str>,
) -> Result<SquaredUp, TraceError> {
    let (plane, size) = upright(on.plane, on.size).ok_or(TraceError::BadCorners)?;
    let ground = Rect::from_origin_size((0.0, 0.0), size);
    let inner = ground.inset(-SHEET_BORDER_MM);
    let region = region_of(picture, &plane, inner);
    Ok(SquaredUp {
        plane,
        found: Found::Rectangle { size, guessed },
        uncertainty_mm: on.uncertainty_mm,
        ground: Some(ground),
        inner: region.clone(),
        region,
        notes: Vec::new(),
    })
}

/// Turns a sheet's plane by quarter turns until up is up in the picture.
fn upright(plane: Plane, size: Size) -> Option<(Plane, Size)> {
    let (mut plane, mut size) = (plane, size);
    for _ in 0..4 {
        let middle = (size.to_vec2() / 2.0).to_point();
        let up = plane.px(middle + kurbo::Vec2::new(0.0, 10.0)) - plane.px(middle);
        if -up.y >= up.x.abs() {
            return Some((plane, size));
        }
        // A quarter turn counter-clockwise about the origin, then back into the first quadrant.
        let turn = Matrix3::new(0.0, -1.0, size.height, 1.0, 0.0, 0.0, 0.0, 0.0, 1.0);
        plane = plane.then(&turn)?;
        size = Size::new(size.height, size.width);
    }
    Some((plane, size))
}

fn by_mat(picture: &Picture, progress: &Progress) -> Result<SquaredUp, TraceError> {
    let found = targets::find(&picture.gray, progress)?;
    let mat = found.mat;
    let outer = mat.bounds().inflate(MAT_BORDER_MM, MAT_BORDER_MM);
    let region = region_of(picture, &found.plane, outer);
    let inner = region_of(picture, &found.plane, mat.middle());
    let of = mat.count() as usize;
    let hidden = (found.used < of).then_some(Note::TargetsLeftOut { used: found.used, of });
    Ok(SquaredUp {
        plane: found.plane,
        found: Found::Mat { columns: mat.columns, rows: mat.rows, used: found.used },
        uncertainty_mm: found.rms_mm,
        ground: Some(mat.middle()),
        inner,
        region,
        notes: hidden.into_iter().collect(),
    })
}

/// The pixels that show a rectangle of the plane; its sides are followed as the lens bends them.
fn region_of(picture: &Picture, plane: &Plane, rect: Rect) -> Region {
    const PIECES: usize = 16;
    let corners = [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)];
    let corners = corners.map(Point::from);
    let side = |i: usize| {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        (0..PIECES).map(move |k| a.lerp(b, k as f64 / PIECES as f64))
    };
    let outline: Vec<Point> = (0..4).flat_map(side).map(|mm| plane.px(mm)).collect();
    Region::polygon(&picture.gray, &outline)
}
