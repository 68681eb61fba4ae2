//! The pieces of one side, what is sawn of each, and the blocks they come from.

use super::{CrossCut, CutSide, Front, ON_MM, PiecePart, ScaleLayoutError, cut};
use crate::context::FigureContext;
use crate::scale_thickness_mm;
use knife::{Bolster, HoleId, HoleKind, ScaleFront};
use kurbo::{Rect, Vec2};
use outline::Outline;

/// A rough block, along the handle, across it and through it, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Along x.
    pub length_mm: f64,
    /// Along y.
    pub width_mm: f64,
    /// Of one side.
    pub thickness_mm: f64,
}

/// A block that is sawn into a pair and opened like a book.
#[derive(Clone, Debug, PartialEq)]
pub struct BookBlock {
    /// Its size, thick enough for both.
    pub block: Block,
    /// What the saw takes, mm.
    pub kerf_mm: f64,
    /// Whose kerf that is.
    pub kerf_of: String,
    /// What flattening takes off each sawn face, mm.
    pub flat_mm: f64,
}

/// A piece of one side.
#[derive(Clone, Debug, PartialEq)]
pub struct ScalePiece {
    /// What it is.
    pub part: PiecePart,
    /// Its outline, flush with the tang.
    pub outline: Outline,
    /// As it is sawn: larger by the overhang along the tang's outline, exact along its front and
    /// its joints.
    pub waste: Outline,
    /// Its area, mm².
    pub area_mm2: f64,
    /// Its rough block: along and across the handle the larger of the flush outline's box with the
    /// allowance added on all four sides and of the sawn one's box, which has the overhang;
    /// allowance and overhang are not added up. As thick as one side is at its thickest.
    pub block: Block,
    /// Pin and thong holes in it, by their centres.
    pub holes: Vec<HoleId>,
    /// Those of them that its joint with another piece cuts through.
    pub on_joint: Vec<HoleId>,
}

/// One line of joint: across the flush outline.
type Joint = Option<CrossCut>;

/// The pieces from the front to the butt. A bolster that finds no room is left out and told.
pub(super) fn layout(
    ctx: &FigureContext<'_>,
    line: &Front,
    across: &CrossCut,
    whole: &Outline,
    no_room: &mut Vec<ScaleLayoutError>,
) -> Vec<ScalePiece> {
    let handle = &ctx.knife.handle;
    let towards_butt = ctx.profile.towards_butt;
    let mut rest = whole.clone();
    let mut bolsters: [Joint; 2] = [None, None];
    let mut outlines = [None, None];
    if let Some(bolster) = &handle.front_bolster {
        // The front line itself, moved along the handle by the bolster's length.
        let joint = line.moved(Vec2::new(towards_butt * bolster.length_mm, 0.0));
        match part(&rest, &joint, ctx.outline) {
            Some((joint, ahead, behind)) => {
                (bolsters[0], outlines[0], rest) = (Some(joint), Some(ahead), behind);
            }
            None => no_room.push(ScaleLayoutError::Bolster(PiecePart::FrontBolster)),
        }
    }
    if let Some(bolster) = &handle.rear_bolster {
        match rear(ctx, bolster, whole, &rest) {
            Some((joint, ahead, behind)) => {
                (bolsters[1], outlines[1], rest) = (Some(joint), Some(behind), ahead);
            }
            None => no_room.push(ScaleLayoutError::Bolster(PiecePart::RearBolster)),
        }
    }
    let is_over = handle.overhang_mm() > 0.0;
    let large = is_over.then(|| whole.offset(handle.overhang_mm()).into_iter().next()).flatten();
    let sawn = |ahead: Option<&CrossCut>, behind: Option<&CrossCut>| {
        let mut kept = large.clone()?;
        for (joint, side) in [(ahead, CutSide::Behind), (behind, CutSide::Ahead)] {
            if let Some(joint) = joint {
                kept = cut(&kept, &joint.widened(&kept)?, side)?;
            }
        }
        Some(kept)
    };
    let holds = |waste: &Outline, flush: &Outline| {
        waste.area() >= flush.area()
            && flush.nodes().all(|n| waste.contains(n) || waste.nearest(n).distance_mm < ON_MM)
    };
    let [first, last] = &bolsters;
    let mut pieces = Vec::new();
    let mut add = |part, outline: Outline, ahead, behind| {
        let mut waste = outline.clone();
        if is_over {
            match sawn(ahead, behind).filter(|sawn| holds(sawn, &outline)) {
                Some(sawn) => waste = sawn,
                None => no_room.push(ScaleLayoutError::Overhang(part)),
            }
        }
        pieces.push(piece(ctx, whole, part, outline, waste));
    };
    let [front, butt] = outlines;
    if let Some(outline) = front {
        add(PiecePart::FrontBolster, outline, Some(across), first.as_ref());
    }
    add(PiecePart::Scale, rest, Some(first.as_ref().unwrap_or(across)), last.as_ref());
    if let Some(outline) = butt {
        add(PiecePart::RearBolster, outline, last.as_ref(), None);
    }
    pieces
}

/// The line of the rear bolster, square across: its length ahead of the butt.
fn rear(
    ctx: &FigureContext<'_>,
    bolster: &Bolster,
    whole: &Outline,
    rest: &Outline,
) -> Option<(CrossCut, Outline, Outline)> {
    let (bounds, direction) = (whole.bounds(), ctx.profile.towards_butt);
    let butt_x_mm = if direction > 0.0 { bounds.x1 } else { bounds.x0 };
    let x_mm = butt_x_mm - direction * bolster.length_mm;
    let line = Front::at(x_mm, ScaleFront::default(), rest, ctx.profile).ok()?;
    part(rest, &line, ctx.outline)
}

/// What lies ahead of a line and what behind it; `None` unless it goes from one side of the tang
/// to the other.
fn part(rest: &Outline, line: &Front, blank: &Outline) -> Option<(CrossCut, Outline, Outline)> {
    let across = line.across(rest).ok().filter(|across| across.lies_on(blank))?;
    let (ahead, behind) =
        (cut(rest, &across, CutSide::Ahead)?, cut(rest, &across, CutSide::Behind)?);
    Some((across, ahead, behind))
}

fn piece(
    ctx: &FigureContext<'_>,
    whole: &Outline,
    part: PiecePart,
    outline: Outline,
    waste: Outline,
) -> ScalePiece {
    let through = ctx.knife.holes.iter().filter(|hole| hole.kind != HoleKind::Relief);
    let within = through.filter(|hole| outline.contains(hole.at));
    let holes: Vec<HoleId> = within.clone().map(|hole| hole.id).collect();
    let on_joint = within
        .filter(|hole| outline.web(hole.circle()) < 0.0 && whole.web(hole.circle()) >= 0.0)
        .map(|hole| hole.id)
        .collect();
    let (flush, sawn) = (outline.bounds(), waste.bounds());
    let room = 2.0 * ctx.knife.handle.allowance_mm();
    let block = Block {
        length_mm: (flush.width() + room).max(sawn.width()),
        width_mm: (flush.height() + room).max(sawn.height()),
        thickness_mm: thickest_mm(ctx, flush),
    };
    ScalePiece { part, area_mm2: outline.area(), outline, waste, block, holes, on_joint }
}

/// Thickness of one side where it is thickest between two stations, mm. Between the places
/// stated it never goes beyond theirs.
fn thickest_mm(ctx: &FigureContext<'_>, bounds: Rect) -> f64 {
    let stated = ctx.knife.handle.shaping.thickness.iter().map(|place| place.x_mm);
    let stations = stated.filter(|x| (bounds.x0..=bounds.x1).contains(x));
    stations
        .chain([bounds.x0, bounds.x1])
        .filter_map(|x| scale_thickness_mm(ctx.knife, x))
        .fold(0.0, f64::max)
}

/// The block for both scales: the kerf is that of the shop's widest saw, else of the table.
pub(super) fn book(ctx: &FigureContext<'_>, pieces: &[ScalePiece]) -> Option<BookBlock> {
    let handle = &ctx.knife.handle;
    if handle.right_scale.as_ref().is_some_and(|right| Some(right) != handle.scales.as_ref()) {
        return None;
    }
    let scale = pieces.iter().find(|piece| piece.part == PiecePart::Scale)?;
    let practice = |key: &str| ctx.tables.practice(key).map_or(0.0, |row| row.range.1);
    let widest = ctx.shop.saws.iter().max_by(|a, b| a.kerf_mm.total_cmp(&b.kerf_mm));
    let (kerf_mm, kerf_of) = match widest {
        Some(saw) => (saw.kerf_mm, saw.name.clone()),
        None => (practice("block-kerf"), "usual saw (common practice, no source)".to_owned()),
    };
    let flat_mm = practice("block-flat");
    let thickness_mm = 2.0 * (scale.block.thickness_mm + flat_mm) + kerf_mm;
    Some(BookBlock { block: Block { thickness_mm, ..scale.block }, kerf_mm, kerf_of, flat_mm })
}
