//! Which ring is the outline, which are holes, and what is said about the rest.

use super::ring::{self, OpenPath, Ring};
use super::walk::{PathPiece, SkippedCounts};
use super::{
    FARTHEST_MM, ImportError, ImportWarning, ImportedOutline, MAX_LENGTH_MM, MIN_LENGTH_MM, remark,
    round,
};
use crate::limits;
use kurbo::{BezPath, Circle, ParamCurve, PathSeg, Point, Rect, Shape};
use outline::{Outline, OutlineError};
use units::LengthUnit;

/// Rings that agree to this are copies of each other, mm.
const SAME_MM: f64 = 0.01;
/// Closed paths smaller than this are dots, mm: no drill of the trade is as fine.
const DOT_MM: f64 = 0.1;
/// A second ring of more than this share of the outline's area …
const TWIN_SHARE: f64 = 0.9;
/// … whose box lies no farther off than this part of its length is the outline's other line.
const TWIN_PART: f64 = 0.05;
/// A rectangle is a frame if the shape inside is at least this part of its length.
const FRAMED_PART: f64 = 0.25;
/// An open run in a rectangle is the outline the rectangle frames if, closed, it would hold at
/// least this share of the rectangle's area.
const OPEN_SHARE: f64 = 0.05;
/// How many circles outside are told one by one.
const MAX_LISTED_CIRCLES: usize = 5;
/// The most holes a blank may have.
const MAX_HOLES: usize = 500;

/// A ring with the circle it may be.
struct Candidate {
    ring: Ring,
    circle: Option<Circle>,
}

/// What a drawing shows, in millimetres.
pub(super) struct Shown {
    /// Its stretches of path, in the drawing's order.
    pub(super) pieces: Vec<PathPiece>,
    /// Ends no farther apart than this are made to meet, mm.
    pub(super) gap_mm: f64,
    /// The page itself, when it has a size.
    pub(super) sheet_mm: Option<Rect>,
    /// The unit a person would read it in.
    pub(super) unit: LengthUnit,
    /// What is already to be said of it.
    pub(super) warnings: Vec<ImportWarning>,
    /// What was passed over.
    pub(super) skipped: SkippedCounts,
}

/// Sorts what was drawn.
pub(super) fn choose(shown: Shown) -> Result<ImportedOutline, ImportError> {
    let Shown { pieces, gap_mm, sheet_mm, unit, mut warnings, skipped } = shown;
    let (rings, open) = ring::rings(pieces, gap_mm);
    let (flat, rings): (Vec<_>, Vec<_>) = rings.into_iter().partition(Ring::is_flat);
    let mut candidates: Vec<Candidate> =
        rings.into_iter().map(|ring| Candidate { circle: round::circle(&ring), ring }).collect();
    if leave_out_page(&mut candidates, sheet_mm) {
        warnings.push(ImportWarning::PageFrame);
    }
    let Some(best) = largest(&candidates) else {
        return Err(nothing_closed(&open, &flat, &skipped));
    };
    let best = match leave_out_frames(&mut candidates, best) {
        Some(inner) => {
            warnings.push(ImportWarning::DrawnFrame);
            inner
        }
        None => best,
    };
    let chosen = candidates.remove(best).ring;
    if let Some(run) = open.iter().find(|run| is_larger(run, &chosen)) {
        return Err(opening(run, &open));
    }
    if let Some(run) = framed_run(&open, &chosen) {
        return Err(opening(run, &open));
    }
    check_size(chosen.bounds)?;
    check_handles(&chosen.segs)?;
    let max = *limits::NODES.end();
    if chosen.segs.len() > max {
        return Err(ImportError::TooManyNodes { found: chosen.segs.len(), max });
    }
    if chosen.pieces > 1 {
        warnings.push(ImportWarning::Joined { pieces: chosen.pieces });
    }
    if let Some((gap_mm, at)) = chosen.gap.filter(|(gap_mm, _)| *gap_mm > 1e-6) {
        warnings.push(ImportWarning::GapClosed { gap_mm, at });
    }
    let mut rest = OtherRings::new(&chosen);
    for candidate in &candidates {
        rest.sort(candidate);
        if rest.holes.len().max(rest.too_wide.len()) > MAX_HOLES {
            return Err(ImportError::TooManyHoles { limit: MAX_HOLES });
        }
    }
    let holes = std::mem::take(&mut rest.holes);
    warnings.append(&mut rest.warnings());
    warnings.extend(remark::counted(&[
        (flat.len(), |count| ImportWarning::Flat { count }),
        (open.len(), |count| ImportWarning::OpenPaths { count }),
    ]));
    warnings.append(&mut skipped.warnings());
    let outline = Outline::new(of_two_at_least(chosen.segs)).map_err(outline_fault)?;
    if !limits::NODES.contains(&outline.segs().len()) {
        return Err(ImportError::TooManySegments);
    }
    Ok(ImportedOutline { outline, holes, unit, warnings }.recentred())
}

/// A ring of a single curve in two halves: a profile has two nodes at the least.
fn of_two_at_least(segs: Vec<PathSeg>) -> Vec<PathSeg> {
    match segs.as_slice() {
        [one] => vec![one.subsegment(0.0..0.5), one.subsegment(0.5..1.0)],
        _ => segs,
    }
}

/// Takes out a rectangle that is the page itself, if there is something else on the page.
fn leave_out_page(candidates: &mut Vec<Candidate>, sheet: Option<Rect>) -> bool {
    let Some(sheet) = sheet else { return false };
    let tolerance = 1e-6 * sheet.width().max(sheet.height());
    let is_page = |one: &Candidate| {
        one.ring.segs.len() == 4
            && one.ring.segs.iter().all(|seg| matches!(seg, PathSeg::Line(_)))
            && off(one.ring.bounds, sheet) <= tolerance
            && (one.ring.area_mm2 - sheet.area().abs()).abs() <= tolerance * sheet.width().max(1.0)
    };
    let others = candidates.iter().any(|one| {
        !is_page(one) && one.circle.is_none() && longest(one.ring.bounds) >= MIN_LENGTH_MM
    });
    let before = candidates.len();
    if others {
        candidates.retain(|one| !is_page(one));
    }
    candidates.len() < before
}

/// Takes out the rectangles drawn around a shape, from the outermost at `best` inward; gives the
/// shape's index, or `None` when `best` is no such rectangle.
fn leave_out_frames(candidates: &mut Vec<Candidate>, best: usize) -> Option<usize> {
    let mut chosen = within_frame(candidates, best)?;
    let mut frames = vec![best];
    while let Some(inner) = within_frame(candidates, chosen) {
        frames.push(std::mem::replace(&mut chosen, inner));
    }
    // A frame of two lines, or drawn twice, goes whole.
    let framed: Vec<Rect> = frames.iter().map(|index| candidates[*index].ring.bounds).collect();
    let is_copy = |one: &Candidate| {
        is_upright_rectangle(&one.ring) && framed.iter().any(|frame| is_twin(one, *frame))
    };
    let keep: Vec<bool> = candidates
        .iter()
        .enumerate()
        .map(|(index, one)| index == chosen || !(frames.contains(&index) || is_copy(one)))
        .collect();
    let before = keep.iter().take(chosen).filter(|kept| **kept).count();
    let mut kept = keep.into_iter();
    candidates.retain(|_| kept.next().unwrap_or(true));
    Some(before)
}

/// The largest shape that a rectangle may be a frame of: not round, no copy of the rectangle, of
/// a length to be a blank and not far shorter than the rectangle.
fn within_frame(candidates: &[Candidate], frame: usize) -> Option<usize> {
    let frame = &candidates[frame].ring;
    if !is_upright_rectangle(frame) {
        return None;
    }
    let min = MIN_LENGTH_MM.max(FRAMED_PART * longest(frame.bounds));
    let is_framed = |one: &Candidate| {
        one.circle.is_none()
            && one.ring.area_mm2 < frame.area_mm2
            && longest(one.ring.bounds) >= min
            && frame.bounds.contains_rect(one.ring.bounds)
            && !is_twin(one, frame.bounds)
    };
    let area = |index: &usize| candidates[*index].ring.area_mm2;
    // `rev`: among equals the first drawn.
    (0..candidates.len())
        .rev()
        .filter(|index| is_framed(&candidates[*index]))
        .max_by(|a, b| area(a).total_cmp(&area(b)))
}

/// Whether a ring is a rectangle of straight sides along the axes.
fn is_upright_rectangle(ring: &Ring) -> bool {
    ring.segs.iter().all(|seg| matches!(seg, PathSeg::Line(_)))
        && ring.area_mm2 >= (1.0 - 1e-9) * ring.bounds.area()
}

/// Whether a ring all but fills a box: then it is the box's own second line.
fn is_twin(one: &Candidate, frame: Rect) -> bool {
    one.ring.area_mm2 > TWIN_SHARE * frame.area()
        && off(one.ring.bounds, frame) <= TWIN_PART * longest(one.ring.bounds)
}

fn longest(bounds: Rect) -> f64 {
    bounds.width().max(bounds.height())
}

/// The ring of the largest area; but a ring that crosses itself, so that its area cancels,
/// still goes before a circle within it.
fn largest(candidates: &[Candidate]) -> Option<usize> {
    let by_area = |a: &usize, b: &usize| {
        let (a, b) = (&candidates[*a].ring, &candidates[*b].ring);
        a.area_mm2.total_cmp(&b.area_mm2).then(a.bounds.area().total_cmp(&b.bounds.area()))
    };
    // `rev`: among equals the first drawn.
    let best = (0..candidates.len()).rev().max_by(by_area)?;
    if candidates[best].circle.is_none() {
        return Some(best);
    }
    let inner = candidates[best].ring.bounds;
    let around = |index: &usize| {
        let one = &candidates[*index];
        one.circle.is_none() && one.ring.bounds.contains_rect(inner)
    };
    Some((0..candidates.len()).filter(around).max_by(by_area).unwrap_or(best))
}

/// Whether an open run, were it closed, would be larger than the ring: then it is the outline.
fn is_larger(run: &OpenPath, ring: &Ring) -> bool {
    is_nearly_closed(run) && ring::area(&run.segs) > ring.area_mm2
}

/// The largest open run that a rectangle may be a frame of: then that is the outline, and open.
fn framed_run<'a>(open: &'a [OpenPath], frame: &Ring) -> Option<&'a OpenPath> {
    if !is_upright_rectangle(frame) {
        return None;
    }
    let min = MIN_LENGTH_MM.max(FRAMED_PART * longest(frame.bounds));
    let is_framed = |run: &&OpenPath| {
        is_nearly_closed(run)
            && longest(run.bounds) >= min
            && frame.bounds.contains_rect(run.bounds)
            && ring::area(&run.segs) >= OPEN_SHARE * frame.area_mm2
    };
    let area = |run: &&OpenPath| ring::area(&run.segs);
    open.iter().filter(is_framed).max_by(|a, b| area(a).total_cmp(&area(b)))
}

/// Whether a run's two ends lie near each other beside its size.
fn is_nearly_closed(run: &OpenPath) -> bool {
    run.start().distance(run.end()) < 0.5 * run.bounds.width().hypot(run.bounds.height())
}

fn nothing_closed(open: &[OpenPath], flat: &[Ring], skipped: &SkippedCounts) -> ImportError {
    let size = |run: &&OpenPath| run.bounds.width().hypot(run.bounds.height());
    if let Some(run) = open.iter().max_by(|a, b| size(a).total_cmp(&size(b))) {
        return opening(run, open);
    }
    match flat.first() {
        Some(ring) => ImportError::NoArea { at: ring.segs[0].start() },
        None if skipped.pictures > 0 => ImportError::OnlyPicture,
        None if skipped.texts > 0 => ImportError::OnlyText,
        None if skipped.hidden > 0 => ImportError::AllHidden,
        None => ImportError::Empty,
    }
}

/// Where the run is open: at its end from which the next end of any run is farthest.
fn opening(run: &OpenPath, open: &[OpenPath]) -> ImportError {
    let others = || {
        open.iter()
            .filter(|other| !std::ptr::eq(*other, run))
            .flat_map(|other| [other.start(), other.end()])
    };
    let gap = |from: Point, own: Point| {
        others().map(|p| p.distance(from)).fold(own.distance(from), f64::min)
    };
    let at_start = (gap(run.start(), run.end()), run.start());
    let at_end = (gap(run.end(), run.start()), run.end());
    let (gap_mm, at) = if at_start.0 > at_end.0 { at_start } else { at_end };
    ImportError::Open { gap_mm, at, pieces: open.len() }
}

/// The longest handle that is taken, mm.
const MAX_HANDLE_MM: f64 = 1e6;

fn check_size(bounds: Rect) -> Result<(), ImportError> {
    let distance_mm = [bounds.x0, bounds.x1, bounds.y0, bounds.y1]
        .into_iter()
        .fold(0.0, |max: f64, v| max.max(v.abs()));
    let length_mm = bounds.width().max(bounds.height());
    if length_mm > MAX_LENGTH_MM {
        Err(ImportError::TooLarge { length_mm })
    } else if distance_mm > FARTHEST_MM {
        Err(ImportError::TooFar { distance_mm })
    } else if length_mm < MIN_LENGTH_MM {
        Err(ImportError::TooSmall { length_mm })
    } else {
        Ok(())
    }
}

/// Refuses handles that no blank file can hold: a curve may keep within bounds with them.
fn check_handles(segs: &[PathSeg]) -> Result<(), ImportError> {
    for seg in segs {
        let c = seg.to_cubic();
        let length_mm = c.p0.distance(c.p1).max(c.p3.distance(c.p2));
        if !(0.0..=MAX_HANDLE_MM).contains(&length_mm) {
            return Err(ImportError::LongHandle { at: c.p0, length_mm });
        }
    }
    Ok(())
}

fn outline_fault(fault: OutlineError) -> ImportError {
    match fault {
        OutlineError::Open { gap_mm, at, .. } => ImportError::Open { gap_mm, at, pieces: 1 },
        OutlineError::NotFinite { .. } => ImportError::TooFar { distance_mm: f64::INFINITY },
        OutlineError::Empty | OutlineError::ManyRings { .. } => ImportError::Empty,
    }
}

/// The rings that are not the outline, sorted.
struct OtherRings<'a> {
    outline: &'a Ring,
    path: BezPath,
    holes: Vec<Circle>,
    outside: Vec<Circle>,
    too_wide: Vec<Circle>,
    twins: Vec<ImportWarning>,
    not_round: usize,
    shapes_outside: usize,
    specks: usize,
}

impl<'a> OtherRings<'a> {
    fn new(outline: &'a Ring) -> Self {
        Self {
            path: outline.path(),
            outline,
            holes: Vec::new(),
            outside: Vec::new(),
            too_wide: Vec::new(),
            twins: Vec::new(),
            not_round: 0,
            shapes_outside: 0,
            specks: 0,
        }
    }

    fn sort(&mut self, candidate: &Candidate) {
        let ring = &candidate.ring;
        if longest(ring.bounds) < DOT_MM {
            self.specks += 1;
            return;
        }
        let off_mm = off(ring.bounds, self.outline.bounds);
        let share = ring.area_mm2 / self.outline.area_mm2;
        if off_mm <= SAME_MM && share > 0.999 {
            return;
        }
        if share > TWIN_SHARE && off_mm <= TWIN_PART * longest(ring.bounds) {
            self.twins.push(ImportWarning::Twin { off_mm });
            return;
        }
        match candidate.circle {
            Some(circle) if self.holds(circle.center) => {
                if limits::DIAMETER_MM.contains(&(2.0 * circle.radius)) {
                    add_new(&mut self.holes, circle);
                } else if circle.radius < DOT_MM {
                    self.specks += 1;
                } else {
                    add_new(&mut self.too_wide, circle);
                }
            }
            Some(circle) => add_new(&mut self.outside, circle),
            None if self.holds(ring.segs[0].start()) => self.not_round += 1,
            None => self.shapes_outside += 1,
        }
    }

    fn holds(&self, p: Point) -> bool {
        self.outline.bounds.contains(p) && self.path.contains(p)
    }

    fn warnings(self) -> Vec<ImportWarning> {
        let mut warnings = self.twins;
        warnings.extend(self.too_wide.iter().take(MAX_LISTED_CIRCLES).map(|circle| {
            ImportWarning::HoleTooWide { diameter_mm: 2.0 * circle.radius, at: circle.center }
        }));
        warnings.extend(self.outside.iter().take(MAX_LISTED_CIRCLES).map(|circle| {
            ImportWarning::CircleOutside { diameter_mm: 2.0 * circle.radius, at: circle.center }
        }));
        warnings.extend(remark::counted(&[
            (self.outside.len().saturating_sub(MAX_LISTED_CIRCLES), |count| {
                ImportWarning::MoreCirclesOutside { count }
            }),
            (self.too_wide.len().saturating_sub(MAX_LISTED_CIRCLES), |count| {
                ImportWarning::MoreTooWide { count }
            }),
            (self.not_round, |count| ImportWarning::NotRound { count }),
            (self.shapes_outside, |count| ImportWarning::ShapesOutside { count }),
            (self.specks, |count| ImportWarning::Specks { count }),
        ]));
        warnings
    }
}

/// Adds a circle unless it is a copy of one that is there.
fn add_new(circles: &mut Vec<Circle>, circle: Circle) {
    let same = |other: &Circle| {
        other.center.distance(circle.center) <= SAME_MM
            && (other.radius - circle.radius).abs() <= SAME_MM / 2.0
    };
    if !circles.iter().any(same) {
        circles.push(circle);
    }
}

/// The farthest that two boxes' sides lie apart.
fn off(a: Rect, b: Rect) -> f64 {
    [a.x0 - b.x0, a.x1 - b.x1, a.y0 - b.y0, a.y1 - b.y1]
        .into_iter()
        .fold(0.0, |max: f64, v| max.max(v.abs()))
}
