//! The distal taper.

use crate::ProfileFigures;
use knife::Knife;

/// Distal taper: the stock's thickness falls evenly along x from one station to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taper {
    /// Where it begins, x in mm.
    pub from_x_mm: f64,
    /// Where it ends (the tip), x in mm.
    pub to_x_mm: f64,
    /// Thickness at its end, mm.
    pub to_mm: f64,
}

/// The distal taper, from where it begins to the tip (the blank's end, when none is marked).
pub(crate) fn taper(knife: &Knife, profile: &ProfileFigures) -> Option<Taper> {
    let stated = knife.taper?;
    let tip = knife.profile.tip.and_then(|id| knife.profile.node(id)).map(|node| node.at.x);
    let end = if profile.towards_butt > 0.0 { profile.bounds.x0 } else { profile.bounds.x1 };
    let to_x_mm = tip.unwrap_or(end);
    let sound = (stated.from_x_mm - to_x_mm) * profile.towards_butt > 0.0;
    sound.then_some(Taper {
        from_x_mm: stated.from_x_mm,
        to_x_mm,
        to_mm: stated.tip_mm.min(knife.bar.thickness_mm),
    })
}

/// Thickness of a stock with a taper at a station, mm.
pub(crate) fn tapered(stock_mm: f64, taper: Option<Taper>, x_mm: f64) -> f64 {
    let Some(taper) = taper else { return stock_mm };
    let span = taper.to_x_mm - taper.from_x_mm;
    if span == 0.0 {
        return stock_mm;
    }
    let share = ((x_mm - taper.from_x_mm) / span).clamp(0.0, 1.0);
    stock_mm + (taper.to_mm - stock_mm) * share
}
