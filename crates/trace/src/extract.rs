//! From a picture squared up to the contours of the thing in millimetres.

use crate::contour::{Contour, contours};
use crate::edge::edge;
use crate::illumination::Illumination;
use crate::line_side::LineSide;
use crate::region::Region;
use crate::shaded::Shaded;
use crate::{
    Gray, Note, Picture, Plane, Progress, SquaredUp, TraceError, camera_pose, fit_circle, line,
    otsu, tips,
};
use kurbo::{Circle, Point, Vec2};

/// Bins of the histogram of tones; lit ground is at [`GROUND_BIN`].
const BINS: usize = 256;
const GROUND_BIN: f32 = 200.0;
/// Contours with fewer points than this are specks.
const MIN_POINTS: usize = 16;
/// And those that enclose less, px².
const SPECK_PX2: f64 = 9.0;
/// A shape with less than this of its area dark is drawn by a line.
pub(crate) const FILLED: f64 = 0.5;
/// A contour that is nowhere wider than this is a line, mm.
const WIDEST_LINE_MM: f64 = 2.4;
/// What fills the picture both ways by this, or one way by less than that, and touches its border,
/// is no thing.
const FRAME: f64 = 0.9;
const STRIP: f64 = 0.05;
/// A hole's points may lie so far from its circle, mm.
pub(crate) const ROUND_MM: f64 = 0.2;
/// Openings smaller across than this are specks, mm.
pub(crate) const MIN_OPENING_MM: f64 = 1.2;
/// The widest gap that is closed, mm.
pub(crate) const MAX_GAP_MM: f64 = 10.0;
/// The thickest thing that a correction is made for, mm.
const MAX_THICKNESS_MM: f64 = 50.0;
/// Fewer pixels per millimetre than this are told.
const COARSE_PX_PER_MM: f64 = 5.0;

/// What the picture shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Subject {
    /// Whichever it looks like.
    #[default]
    Auto,
    /// A thing or cut-out of one tone.
    Filled,
    /// An outline drawn by a line.
    Line(LineSide),
}

/// What is looked for in a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct ExtractOptions {
    /// What the picture shows.
    pub subject: Subject,
    /// Gaps in a drawn line narrower than this are closed, mm.
    pub gap_mm: f64,
    /// The thing's thickness, mm; 0 for paper.
    pub thickness_mm: f64,
    /// A pixel inside the shape that is wanted; `None` for the largest.
    pub at: Option<Point>,
}

impl Default for ExtractOptions {
    fn default() -> Self {
        Self { subject: Subject::Auto, gap_mm: 0.6, thickness_mm: 0.0, at: None }
    }
}

/// The contours of a thing, mm, y up, counter-clockwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Contours {
    /// Its outline, closed: the last point joins the first.
    pub outline: Vec<Point>,
    /// The ends of its slender tips, which are corners.
    pub tips: Vec<Point>,
    /// Its round holes.
    pub holes: Vec<Circle>,
    /// How well the picture is squared up, mm.
    pub uncertainty_mm: f64,
    /// Millimetres per pixel at the thing.
    pub mm_per_px: f64,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// Finds the thing in a picture: its outline and its round holes.
///
/// # Errors
/// [`TraceError`] when no closed shape stands out, it runs out of view, or an option is out of
/// range.
pub fn extract(
    picture: &Picture,
    squared: &SquaredUp,
    options: &ExtractOptions,
    progress: &Progress,
) -> Result<Contours, TraceError> {
    check(options)?;
    progress.step(600, 900);
    let mut notes = squared.notes.clone();
    let dark_ground = squared.ground.is_none() && has_dark_border(&picture.gray);
    let turned;
    let gray = if dark_ground {
        notes.push(Note::Inverted);
        turned = picture.gray.inverted();
        &turned
    } else {
        &picture.gray
    };
    let light = Illumination::of(gray, &squared.inner);
    let level = level(gray, &squared.inner, &light)?;
    let field = Shaded { gray, region: &squared.region, light, level };
    let all = contours(&field, MIN_POINTS, progress)?;
    let size = (gray.width(), gray.height());
    let chosen = choose(&all, squared, size, options.at)?;
    let px_per_mm = squared.plane.px_per_mm(chosen.centroid());
    let line_side = match options.subject {
        Subject::Filled => None,
        Subject::Line(side) => Some(side),
        Subject::Auto => {
            let thin = mean_width(chosen) < WIDEST_LINE_MM * px_per_mm;
            let drawn = thin || dark_share(&all, chosen) < FILLED;
            notes.push(Note::Guessed { line: drawn });
            drawn.then_some(LineSide::Centre)
        }
    };
    if px_per_mm < COARSE_PX_PER_MM {
        notes.push(Note::Coarse { px_per_mm });
    }
    let (outline, tips, openings) = match line_side {
        None => filled(&field, &all, chosen, px_per_mm),
        Some(side) => {
            let dark = dark_on_ground(&all, squared, size).filter(|c| !c.at_border);
            let part = dark.map(|c| c.bounds).fold(chosen.bounds, |a, b| a.union(b));
            let gap_px = options.gap_mm * px_per_mm;
            let traced = line::trace(&field, part, options.at, (side, gap_px), progress)?;
            if traced.longest_gap_px > 0.5 * px_per_mm {
                notes.push(Note::GapsClosed { longest_mm: traced.longest_gap_px / px_per_mm });
            }
            (traced.outline, traced.tips, traced.openings)
        }
    };
    let lower = lowering(picture, &squared.plane, options.thickness_mm, &mut notes);
    let to_mm = |points: &[Point]| -> Vec<Point> {
        points.iter().map(|p| lower(squared.plane.mm(*p))).collect()
    };
    let mut outline = to_mm(&outline);
    if signed_area(&outline) < 0.0 {
        outline.reverse();
    }
    plausible(&outline)?;
    let openings: Vec<Vec<Point>> = openings.iter().map(|points| to_mm(points)).collect();
    let holes = round(&openings, &mut notes);
    Ok(Contours {
        outline,
        tips: to_mm(&tips),
        holes,
        uncertainty_mm: squared.uncertainty_mm,
        mm_per_px: 1.0 / px_per_mm,
        notes,
    })
}

fn check(options: &ExtractOptions) -> Result<(), TraceError> {
    let range = |what, value: f64, min: f64, max: f64| {
        let out = TraceError::OutOfRange { what, min, max, unit: "mm" };
        if (min..=max).contains(&value) { Ok(()) } else { Err(out) }
    };
    range("the thickness", options.thickness_mm, 0.0, MAX_THICKNESS_MM)?;
    range("the width of gaps", options.gap_mm, 0.0, MAX_GAP_MM)
}

/// Whether the picture's border is mostly dark: a light thing on a dark ground.
pub(crate) fn has_dark_border(gray: &Gray) -> bool {
    let mut histogram = [0_u64; BINS];
    gray.data().iter().step_by(7).for_each(|tone| histogram[usize::from(*tone)] += 1);
    let Some(level) = otsu(&histogram) else { return false };
    let (w, h) = (gray.width(), gray.height());
    let level = level as f64;
    // A little inside, as scans have edges of their own.
    let (dx, dy) = (w / 25, h / 25);
    let across = (dx..w - dx).step_by(3).flat_map(|x| [(x, dy), (x, h - 1 - dy)]);
    let down = (dy..h - dy).step_by(3).flat_map(|y| [(dx, y), (w - 1 - dx, y)]);
    let (mut dark, mut all) = (0_usize, 0_usize);
    for (x, y) in across.chain(down) {
        all += 1;
        dark += usize::from(gray.at(x, y) <= level);
    }
    dark * 5 > all * 3
}

/// The part of the ground's tone that parts dark from light, by Otsu's method over the
/// illumination.
pub(crate) fn level(gray: &Gray, region: &Region, light: &Illumination) -> Result<f32, TraceError> {
    let mut histogram = [0_u64; BINS];
    for (y, (from, to)) in region.rows() {
        let along = light.along(y as f64 + 0.5);
        for (x, tone) in (from..to).zip(&gray.row(y)[from..to]) {
            let bin = f32::from(*tone) / along(x) * GROUND_BIN;
            histogram[(bin as usize).min(BINS - 1)] += 1;
        }
    }
    let bin = otsu(&histogram).ok_or(TraceError::OneTone)?;
    Ok((bin as f32 + 1.0) / GROUND_BIN)
}

/// The dark contour that is wanted: around the given pixel, else the largest on the ground.
fn choose<'a>(
    all: &'a [Contour],
    squared: &SquaredUp,
    size: (usize, usize),
    at: Option<Point>,
) -> Result<&'a Contour, TraceError> {
    let dark = dark_on_ground(all, squared, size);
    let by_area = |a: &&Contour, b: &&Contour| a.area().total_cmp(&b.area());
    let chosen = match at {
        Some(at) => all
            .iter()
            .filter(|c| c.is_dark() && c.contains(at))
            .min_by(by_area)
            .ok_or(TraceError::NothingThere),
        None => dark.max_by(by_area).ok_or(TraceError::NoContour),
    }?;
    if chosen.at_border { Err(TraceError::RunsOut) } else { Ok(chosen) }
}

/// The dark contours whose middle lies on the ground; not what frames the picture or lies along
/// its border, such as a scanner's lid.
fn dark_on_ground<'a>(
    all: &'a [Contour],
    squared: &SquaredUp,
    (width, height): (usize, usize),
) -> impl Iterator<Item = &'a Contour> {
    all.iter().filter(move |c| {
        let (across, down) = (c.bounds.width() / width as f64, c.bounds.height() / height as f64);
        let is_frame = c.at_border && (across.min(down) > FRAME || across.min(down) < STRIP);
        let middle = squared.plane.mm(c.bounds.center());
        c.is_dark() && !is_frame && squared.ground.is_none_or(|ground| ground.contains(middle))
    })
}

/// Twice a contour's area over its length, px: the width of a line that is followed all round.
fn mean_width(contour: &Contour) -> f64 {
    let next = contour.points.iter().cycle().skip(1);
    let length: f64 = contour.points.iter().zip(next).map(|(a, b)| a.distance(*b)).sum();
    2.0 * contour.area() / length
}

/// The part of a contour's area that is dark.
pub(crate) fn dark_share(all: &[Contour], chosen: &Contour) -> f64 {
    let inside = openings_of(all, chosen).map(Contour::area).sum::<f64>();
    1.0 - inside / chosen.area()
}

/// The light contours straight inside a dark one.
fn openings_of<'a>(all: &'a [Contour], chosen: &'a Contour) -> impl Iterator<Item = &'a Contour> {
    all.iter().filter(move |c| {
        !c.is_dark()
            && chosen.bounds.contains_rect(c.bounds)
            && (SPECK_PX2..chosen.area()).contains(&c.area())
            && chosen.contains(c.points[0])
    })
}

/// The outline of a filled thing, its slender tips and its openings, each point half way between
/// its own plateaus.
fn filled(
    field: &Shaded<'_>,
    all: &[Contour],
    chosen: &Contour,
    px_per_mm: f64,
) -> (Vec<Point>, Vec<Point>, Vec<Vec<Point>>) {
    let reach = (0.5 * px_per_mm).clamp(3.0, 7.0);
    let min_px = MIN_OPENING_MM * px_per_mm;
    let openings = openings_of(all, chosen)
        .filter(|c| c.bounds.width().max(c.bounds.height()) >= min_px)
        .map(|c| placed(field.gray, &c.points, reach));
    let outline = placed(field.gray, &chosen.points, reach);
    let ground = (field.gray, &field.light);
    let (outline, tips) = tips::drawn_out(ground, &chosen.points, outline, (reach, px_per_mm));
    (outline, tips, openings.collect())
}

/// A contour with each point moved along its normal to the edge.
pub(crate) fn placed(gray: &Gray, points: &[Point], reach: f64) -> Vec<Point> {
    let n = points.len();
    let span = 4.min(n / 4).max(1);
    let moved = (0..n).map(|i| {
        let way = points[(i + span) % n] - points[(i + n - span) % n];
        // Dark lies on the left as the picture is seen, so light on the right.
        let light = way.turn_90().normalize();
        edge(gray, points[i], light, reach).unwrap_or(points[i])
    });
    moved.collect()
}

/// The correction for a thing's thickness, told among the notes.
fn lowering(
    picture: &Picture,
    plane: &Plane,
    thickness_mm: f64,
    notes: &mut Vec<Note>,
) -> impl Fn(Point) -> Point + use<> {
    let pose = if thickness_mm > 0.0 { camera_pose(plane, picture.focal_35mm) } else { None };
    // Closer than this the thing would touch the lens.
    let pose = pose.filter(|pose| pose.height_mm > 2.0 * thickness_mm);
    match pose {
        Some(pose) => notes.push(Note::ThicknessCorrected {
            camera_mm: pose.height_mm,
            percent: 100.0 * thickness_mm / pose.height_mm,
        }),
        None if thickness_mm > 0.0 => notes.push(Note::ThicknessUnknown { thickness_mm }),
        None => {}
    }
    move |seen| pose.map_or(seen, |pose| pose.lowered(seen, thickness_mm))
}

/// Twice the signed area of a closed polygon.
pub(crate) fn signed_area(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a.to_vec2().cross(b.to_vec2())).sum()
}

fn plausible(outline: &[Point]) -> Result<(), TraceError> {
    let first = outline.first().copied().ok_or(TraceError::NoContour)?;
    let bounds = outline.iter().fold(kurbo::Rect::from_points(first, first), |b, p| b.union_pt(*p));
    let length_mm = Vec2::new(bounds.width(), bounds.height()).hypot();
    if (5.0..=3000.0).contains(&length_mm) {
        Ok(())
    } else {
        Err(TraceError::ImplausibleSize { length_mm })
    }
}

/// The openings that a circle fits; the others are told.
fn round(openings: &[Vec<Point>], notes: &mut Vec<Note>) -> Vec<Circle> {
    let mut holes = Vec::new();
    let (mut count, mut largest_mm) = (0, 0.0_f64);
    for points in openings {
        match fit_circle(points) {
            Some(fitted) if fitted.max_distance <= ROUND_MM => holes.push(fitted.circle),
            _ => {
                count += 1;
                let x = points.iter().map(|p| p.x);
                let (min_px, most) =
                    (x.clone().fold(f64::MAX, f64::min), x.fold(f64::MIN, f64::max));
                largest_mm = largest_mm.max(most - min_px);
            }
        }
    }
    if count > 0 {
        notes.push(Note::NotRound { count, largest_mm });
    }
    holes
}
