//! Remedies of several rules: where a hole could go without hurting another rule about webs.

use super::{FindingContext, Remedy};
use crate::HoleFigures;
use knife::Edit;
use kurbo::{Circle, Point};

/// By so much more than is lacking a hole is moved, so that rounding leaves nothing to say, mm.
pub(super) const SPARE_MM: f64 = 0.01;
/// Webs that differ by less are the same, mm.
const SAME_MM: f64 = 1e-9;

/// Moves a hole there, unless that leaves it less steel to the outline or to another hole than
/// both the rule asks for and there is now.
pub(super) fn moved(
    ctx: &FindingContext<'_>,
    hole: &HoleFigures,
    to: Point,
    label: String,
) -> Option<Remedy> {
    if !to.is_finite() {
        return None;
    }
    let limits = &ctx.shop.limits;
    let circle = Circle::new(to, hole.diameter_mm / 2.0);
    let edge_limit_mm = (limits.edge_care_diameters - 0.5) * hole.diameter_mm;
    let keeps_edge = ctx.outline?.web(circle) >= edge_limit_mm.min(hole.edge_web_mm?) - SAME_MM;
    let mut others = ctx.holes.iter().filter(|other| other.id != hole.id);
    let keeps_others = others.all(|other| {
        let reach_mm = (hole.diameter_mm + other.diameter_mm) / 2.0;
        let limit_mm = pair_limit_mm(ctx, hole, other);
        let (now_mm, then_mm) = (hole.at.distance(other.at), to.distance(other.at));
        then_mm - reach_mm >= limit_mm.min(now_mm - reach_mm) - SAME_MM
    });
    let edit = Edit::MoveHole { hole: hole.id, to };
    (keeps_edge && keeps_others).then(|| Remedy::new(label, edit))
}

/// The web that the rules ask for between two holes, mm.
fn pair_limit_mm(ctx: &FindingContext<'_>, a: &HoleFigures, b: &HoleFigures) -> f64 {
    let limits = &ctx.shop.limits;
    (limits.web_care_diameters * a.diameter_mm.max(b.diameter_mm)).max(limits.web_care_mm)
}

/// Moves one of two holes straight away from the other until there is enough steel between them.
pub(super) fn apart(
    ctx: &FindingContext<'_>,
    (a, b): (&HoleFigures, &HoleFigures),
    web_mm: f64,
) -> Option<Remedy> {
    let by_mm = pair_limit_mm(ctx, a, b) - web_mm + SPARE_MM;
    [(b, a), (a, b)].into_iter().find_map(|(moving, fixed)| {
        let away = (moving.at - fixed.at).normalize();
        let label = format!("Move hole {} by {}", moving.number, ctx.brief(by_mm));
        moved(ctx, moving, moving.at + away * by_mm, label)
    })
}

/// Moves a hole that lies outside the outline, or breaks it, straight inside as far as the rule on
/// webs asks.
pub(super) fn moved_inside(ctx: &FindingContext<'_>, hole: &HoleFigures) -> Option<Remedy> {
    let (outline, edge_at) = (ctx.outline?, hole.edge_at?);
    let off = hole.at - edge_at;
    let inward = if outline.contains(hole.at) { off } else { -off }.normalize();
    let limits = &ctx.shop.limits;
    [limits.edge_care_diameters, limits.edge_stop_diameters].into_iter().find_map(|diameters| {
        let to = edge_at + inward * (diameters * hole.diameter_mm + SPARE_MM);
        let label = format!("Move it inside by {}", ctx.brief(to.distance(hole.at)));
        let limit_mm = (diameters - 0.5) * hole.diameter_mm;
        let web_mm = outline.web(Circle::new(to, hole.diameter_mm / 2.0));
        if web_mm >= limit_mm { moved(ctx, hole, to, label) } else { None }
    })
}

/// The scale that should be left between a pin's hole and the front, mm.
pub(super) fn pin_to_front_mm(ctx: &FindingContext<'_>, hole: &HoleFigures) -> f64 {
    let pin_mm = ctx.knife.hole(hole.id).and_then(|hole| hole.pin_mm).unwrap_or(hole.diameter_mm);
    ctx.shop.limits.scale_front_diameters * pin_mm - hole.diameter_mm / 2.0
}
