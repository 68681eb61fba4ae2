//! How the knife lies in its sheath: which line it is folded about, where the mouth is.

use super::SheathError;
use super::hull::upper_side;
use crate::context::FigureContext;
use knife::Sheath;
use kurbo::{Affine, Point, Vec2};

/// Curves are flattened within this, mm; of a knife far larger than any, within this share of its
/// size.
const FLAT_MM: f64 = 0.005;
const FLAT_SHARE: f64 = 1e-6;
/// The fold leans no more than this from the knife's length, tangent (20°).
const STEEPEST: f64 = 0.364;
/// A sheath is at least so long, mm.
const SHORTEST_MM: f64 = 10.0;

/// The knife as it lies in the sheath's plane.
pub(super) struct KnifeInSheath {
    /// From the knife's plane.
    pub lay: Affine,
    /// Its outline there, flattened.
    pub ring: Vec<Point>,
    pub tip: Point,
    pub mouth_mm: f64,
    /// Where the handle begins and where it ends, x.
    pub front_mm: f64,
    pub butt_mm: f64,
}

pub(super) fn lay(ctx: &FigureContext<'_>, sheath: &Sheath) -> Result<KnifeInSheath, SheathError> {
    let profile = ctx.profile;
    let level = Affine::scale_non_uniform(
        profile.towards_butt,
        if profile.edge_is_up { -1.0 } else { 1.0 },
    );
    let mut ring: Vec<Point> = Vec::new();
    let path = level * ctx.outline.to_path();
    let flat_mm = FLAT_MM.max(FLAT_SHARE * profile.bounds.width().max(profile.bounds.height()));
    kurbo::flatten(path, flat_mm, |el| ring.extend(el.end_point()));
    ring.dedup();
    let front_x = profile.towards_butt * handle_x(ctx).ok_or(SheathError::NoHandle)?;
    let mouth_x = front_x + sheath.cover_mm;
    let butt_x = ring.iter().map(|p| p.x).fold(f64::MIN, f64::max);
    let tip_x = ring.iter().map(|p| p.x).fold(f64::MAX, f64::min);
    if mouth_x >= butt_x {
        return Err(SheathError::PastButt);
    }
    if mouth_x < tip_x + SHORTEST_MM {
        return Err(SheathError::BeforeTip);
    }
    let turn = if sheath.folded { fold(&ring, mouth_x) } else { Affine::IDENTITY };
    // A place along the knife is one of its middle there.
    let middle = |x: f64| {
        let (low, high) = height_at(&ring, x).unwrap_or((0.0, 0.0));
        (turn * Point::new(x, f64::midpoint(low, high))).x
    };
    let (mouth_mm, front_mm) = (middle(mouth_x), middle(front_x));
    let ring: Vec<Point> = ring.into_iter().map(|p| turn * p).collect();
    let tip = ring.iter().copied().min_by(|a, b| a.x.total_cmp(&b.x)).ok_or(SheathError::NoRoom)?;
    let butt_mm = ring.iter().map(|p| p.x).fold(f64::MIN, f64::max);
    Ok(KnifeInSheath { lay: turn * level, ring, tip, mouth_mm, front_mm, butt_mm })
}

/// Where the handle begins: at the front of the scales, else at the plunge line, else at the heel.
fn handle_x(ctx: &FigureContext<'_>) -> Option<f64> {
    let knife = ctx.knife;
    let heel = || Some(knife.profile.node(knife.profile.heel?)?.at.x);
    let plunge = || knife.bevel.map(|bevel| bevel.plunge_x_mm);
    knife.scales.map(|scales| scales.front_x_mm).or_else(plunge).or_else(heel)
}

/// The lowest and the highest place of the ring at a station.
pub(super) fn height_at(ring: &[Point], x: f64) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        if (x - a.x) * (x - b.x) > 0.0 {
            continue;
        }
        let ends = if a.x == b.x { [a.y, b.y] } else { [a.lerp(b, (x - a.x) / (b.x - a.x)).y; 2] };
        for y in ends {
            let (low, high) = found.unwrap_or((y, y));
            found = Some((low.min(y), high.max(y)));
        }
    }
    found
}

/// Brings the straight line about which leather lies nearest to the spine, from above, to y = 0: of
/// the sides of the covered part's hull the one that leaves the least between itself and the
/// spine. (Leather bends about a straight line only.)
fn fold(ring: &[Point], mouth_x: f64) -> Affine {
    let upper = upper_hull(ring, mouth_x);
    let top: Vec<Point> = {
        let (from, to) = (upper[0].x, upper[upper.len() - 1].x);
        (0..=TOP_STEPS)
            .filter_map(|i| {
                let x = from + (to - from) * f64::from(i) / f64::from(TOP_STEPS);
                height_at(ring, x).map(|(_, high)| Point::new(x, high))
            })
            .collect()
    };
    let gap = |at: Point, slope: f64| -> f64 {
        top.iter().map(|p| (at.y + slope * (p.x - at.x) - p.y).max(0.0)).sum()
    };
    let highest = upper.iter().copied().max_by(|a, b| a.y.total_cmp(&b.y)).unwrap_or(Point::ORIGIN);
    let sides = upper.windows(2).map(|side| {
        let by = side[1] - side[0];
        (side[0], if by.x > 0.0 { by.y / by.x } else { f64::MAX })
    });
    let lines = sides.filter(|(_, slope)| slope.abs() <= STEEPEST).chain([(highest, 0.0)]);
    let (at, slope) =
        lines.min_by(|a, b| gap(a.0, a.1).total_cmp(&gap(b.0, b.1))).unwrap_or((highest, 0.0));
    let turn = Affine::rotate(-Vec2::new(1.0, slope).angle());
    let on = turn * at;
    turn.then_translate(Vec2::new(0.0, -on.y))
}

/// So many steps tell how far a line lies from the spine.
const TOP_STEPS: u32 = 200;

/// The upper side of the hull of what is covered, from the tip to the mouth.
fn upper_hull(ring: &[Point], mouth_x: f64) -> Vec<Point> {
    let mut points: Vec<Point> = ring.iter().copied().filter(|p| p.x <= mouth_x).collect();
    points.extend(height_at(ring, mouth_x).map(|(_, high)| Point::new(mouth_x, high)));
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    upper_side(points)
}
