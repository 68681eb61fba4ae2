//! How the handle fills the hand: its girth and its length against a table of hands.

use crate::ScaleFigures;
use crate::context::FigureContext;
use crate::shaping::{GripStation, stations};
use crate::tables::{Hand, Tables};

/// The handle against hands of all sizes.
#[derive(Clone, Debug, PartialEq)]
pub struct HandFigures {
    /// The handle cut through at five places, from the front to the butt.
    pub stations: Vec<GripStation>,
    /// Length of the scales along the knife, which the hand has, mm.
    pub length_mm: f64,
    /// Each size of hand, the smallest first.
    pub fits: Vec<HandFit>,
}

/// The handle against one size of hand.
#[derive(Clone, Debug, PartialEq)]
pub struct HandFit {
    /// The hand.
    pub hand: Hand,
    /// What the handle is longer than the hand is broad, mm; negative when it is shorter.
    pub spare_mm: f64,
    /// Girth of the round handle that this hand grips hard most comfortably, mm: π times the share
    /// of the hand's length that the table of practice tells.
    pub best_girth_mm: f64,
}

impl HandFit {
    /// Of a handle of this length, mm; `None` without the figure of practice.
    fn of(hand: &Hand, handle_mm: f64, tables: &Tables) -> Option<Self> {
        let percent = tables.practice("grip-share")?.range.0;
        Some(Self {
            hand: hand.clone(),
            spare_mm: handle_mm - hand.breadth_mm,
            best_girth_mm: std::f64::consts::PI * hand.length_mm * percent / 100.0,
        })
    }
}

/// `None` where the scales cover nothing.
pub(crate) fn figures(ctx: &FigureContext<'_>, scales: &ScaleFigures) -> Option<HandFigures> {
    let stations = stations(ctx, scales);
    if stations.is_empty() {
        return None;
    }
    let length_mm = scales.length_mm;
    let fit = |hand| HandFit::of(hand, length_mm, ctx.tables);
    let fits = ctx.tables.hands().iter().filter_map(fit).collect();
    Some(HandFigures { stations, length_mm, fits })
}

#[cfg(test)]
mod tests {
    use crate::sample::{blank, reckoned};
    use crate::tables::HandSize;
    use knife::Scales;

    // By hand: scales from 100 to 200 on a tang 30 × 4.35 with scales of 6: 2 (30 + 16.35) round;
    // the large hand of the table is 98 across and grips best 0.197 × 211 mm through.
    #[test]
    fn a_handle_is_held_against_every_hand() {
        let mut knife = blank();
        assert!(reckoned(&knife).hand.is_none());
        knife.scales = Some(Scales { front_x_mm: 100.0, thickness_mm: 6.0 });
        knife.handle.glue_mm = Some(0.0);
        let found = reckoned(&knife).hand.unwrap();
        assert_eq!((found.stations.len(), found.fits.len()), (5, 3));
        assert!((found.length_mm - 100.0).abs() < 1e-9);
        let round = 2.0 * (30.0 + knife.bar.thickness_mm + 12.0);
        for station in &found.stations {
            assert!((station.girth_mm.unwrap() - round).abs() < 1e-9);
        }
        let large = &found.fits[2];
        assert_eq!(large.hand.size, HandSize::Large);
        assert!((large.spare_mm - 2.0).abs() < 1e-9);
        assert!((large.best_girth_mm - 130.587).abs() < 1e-3, "{}", large.best_girth_mm);
        // A shorter handle has no room for it.
        knife.scales = Some(Scales { front_x_mm: 110.0, thickness_mm: 6.0 });
        assert!(reckoned(&knife).hand.unwrap().fits[2].spare_mm < 0.0);
    }
}
