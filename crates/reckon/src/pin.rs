//! The drill for a pin: which drill on hand leaves the gap that the glue wants.

use crate::Shop;
use crate::tables::Tables;
use knife::{Edit, HoleId};
use units::{LengthUnit, show_decimal};

/// A pin is turned or sanded down by no more than this, mm (this program's own choice: more is
/// work for a lathe, and other stock is to be had).
const MAX_TURN_DOWN_MM: f64 = 0.5;
/// Gaps are judged to a hundred-thousandth of a millimetre: a tenth of the drill table's last
/// figure.
const ROUNDING_MM: f64 = 1e-5;

/// A drill and the gap it leaves around a pin.
#[derive(Clone, Debug, PartialEq)]
pub struct GapDrill {
    /// Its designation, such as `#30`.
    pub label: String,
    /// Its diameter, mm.
    pub diameter_mm: f64,
    /// Its diameter less the pin's, mm.
    pub gap_mm: f64,
}

/// A pin made thinner for a drill on hand.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnedDown {
    /// The drill on hand.
    pub label: String,
    /// By how much the pin is to be thinner, on its diameter, mm.
    pub by_mm: f64,
}

/// How a pin goes into its hole, and which drills would suit it.
#[derive(Clone, Debug, PartialEq)]
pub struct PinFit {
    /// Diameter of the pin, mm.
    pub pin_mm: f64,
    /// The hole's diameter less the pin's, as drawn, mm.
    pub gap_mm: f64,
    /// The least gap wanted, mm.
    pub min_mm: f64,
    /// The most gap wanted, mm.
    pub max_mm: f64,
    /// The drills on hand that leave a gap within the two, the closest fit first.
    pub drills: Vec<GapDrill>,
    /// When none on hand does: the drill to get, the closest fit of the table.
    pub to_get: Option<GapDrill>,
    /// When none on hand does: the pin turned down for the largest drill below.
    pub turned_down: Option<TurnedDown>,
}

impl PinFit {
    pub(crate) fn new(pin_mm: f64, hole_mm: f64, shop: &Shop, tables: &Tables) -> Self {
        let (min_mm, max_mm) = (shop.limits.pin_gap_least_mm, shop.limits.pin_gap_most_mm);
        let fits = tables.drills_for_pin(pin_mm, min_mm, max_mm);
        let gap_drill = |fit: &crate::tables::PinDrill<'_>| GapDrill {
            label: fit.drill.label.clone(),
            diameter_mm: fit.drill.diameter_mm,
            gap_mm: fit.gap_mm,
        };
        let on_hand = fits.iter().filter(|fit| shop.has_drill(fit.drill.name));
        let drills: Vec<GapDrill> = on_hand.map(gap_drill).collect();
        let lacks = drills.is_empty();
        Self {
            pin_mm,
            gap_mm: hole_mm - pin_mm,
            min_mm,
            max_mm,
            to_get: fits.first().filter(|_| lacks).map(gap_drill),
            turned_down: lacks.then(|| turned_down(pin_mm, min_mm, shop, tables)).flatten(),
            drills,
        }
    }

    /// Whether the gap as drawn is one the glue wants.
    pub fn suits(&self) -> bool {
        let allowed = self.min_mm - ROUNDING_MM..=self.max_mm + ROUNDING_MM;
        allowed.contains(&self.gap_mm)
    }

    /// The smallest drill on hand that suits.
    pub fn best(&self) -> Option<&GapDrill> {
        self.drills.first()
    }

    /// Which drill to take, in words: `#30, 0.0035 in over; also 3.3 mm (0.0049 in)`.
    pub fn describe(&self, unit: LengthUnit) -> String {
        let Some((best, others)) = self.drills.split_first() else { return self.lacking(unit) };
        let mut words = format!("{}, {} over", best.label, show_gap(best.gap_mm, unit));
        if !others.is_empty() {
            let others: Vec<String> = (others.iter())
                .map(|drill| format!("{} ({})", drill.label, show_gap(drill.gap_mm, unit)))
                .collect();
            words += &format!("; also {}", others.join(", "));
        }
        words
    }

    /// What to do when no drill on hand suits.
    fn lacking(&self, unit: LengthUnit) -> String {
        let get = self
            .to_get
            .as_ref()
            .map(|drill| format!("get a {} ({} over)", drill.label, show_gap(drill.gap_mm, unit)));
        let turn = self.turned_down.as_ref().map(|turned| {
            format!("turn the pin down by {} for {}", show_gap(turned.by_mm, unit), turned.label)
        });
        let directions: Vec<String> = get.into_iter().chain(turn).collect();
        if directions.is_empty() {
            return "none on hand and none in the table; take other pin stock".to_owned();
        }
        format!("none on hand: {}", directions.join(", or "))
    }

    /// The edit that gives the hole the smallest drill that suits.
    pub fn drill_edit(&self, hole: HoleId) -> Option<Edit> {
        let best = self.best()?;
        Some(Edit::SizeHole {
            hole,
            diameter_mm: best.diameter_mm,
            drill: Some(best.label.clone()),
            pin_mm: Some(self.pin_mm),
        })
    }
}

/// A gap, to a ten-thousandth of an inch or a thousandth of a millimetre.
pub(crate) fn show_gap(gap_mm: f64, unit: LengthUnit) -> String {
    show_decimal(gap_mm, unit, (3, 4))
}

/// The pin made to go into the largest drill on hand that is too tight for it.
fn turned_down(pin_mm: f64, min_mm: f64, shop: &Shop, tables: &Tables) -> Option<TurnedDown> {
    let drill = (shop.drills_on_hand(tables))
        .filter(|drill| drill.diameter_mm < pin_mm + min_mm - ROUNDING_MM)
        .max_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm))?;
    let by_mm = pin_mm + min_mm - drill.diameter_mm;
    (by_mm <= MAX_TURN_DOWN_MM).then(|| TurnedDown { label: drill.label.clone(), by_mm })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::DrillSet;
    use proptest::prelude::*;
    use units::DrillName;

    fn fit(pin_in: f64, hole_mm: f64, shop: &Shop) -> PinFit {
        PinFit::new(pin_in * 25.4, hole_mm, shop, Tables::built_in())
    }

    /// Sizes of ASME B94.11M less the pin's, by hand: every pin's smallest suitable drill and
    /// its gap in ten-thousandths of an inch. 1/8 in into No. 30 is common practice and the
    /// published rivet table's own hole.
    #[test]
    fn usual_pins_take_these_drills() {
        for (pin_in, label, gap) in [
            (1.0 / 16.0, "1.65 mm", 25.0),
            (5.0 / 64.0, "2.05 mm", 26.0),
            (3.0 / 32.0, "#41", 23.0),
            (1.0 / 8.0, "#30", 35.0),
            (5.0 / 32.0, "#21", 28.0),
            (3.0 / 16.0, "#12", 15.0),
            (1.0 / 4.0, "6.4 mm", 20.0),
            (5.0 / 16.0, "8 mm", 25.0),
            (2.0 / 25.4, "2.05 mm", 20.0),
            (3.0 / 25.4, "#31", 19.0),
            (4.0 / 25.4, "#21", 15.0),
            (5.0 / 25.4, "#8", 21.0),
            (6.0 / 25.4, "B", 18.0),
            (8.0 / 25.4, "8.1 mm", 39.0),
        ] {
            let fit = fit(pin_in, 3.0, &Shop::default());
            let best = fit.best().unwrap();
            assert_eq!(best.label, label, "{pin_in}");
            let off = best.gap_mm / 25.4 * 1e4 - gap;
            assert!(off.abs() <= 0.51, "{pin_in}: {off}");
        }
    }

    #[test]
    fn the_gap_is_told_in_words() {
        let pin = fit(0.125, 3.2639, &Shop::default());
        assert!(pin.suits());
        assert_eq!(pin.describe(LengthUnit::Inch), "#30, 0.0035 in over; also 3.3 mm (0.0049 in)");
        let millimetres = pin.describe(LengthUnit::Millimetre);
        assert_eq!(millimetres, "#30, 0.089 mm over; also 3.3 mm (0.125 mm)");
        assert!(!fit(0.125, 3.175, &Shop::default()).suits());
        assert!(!fit(0.125, 3.4, &Shop::default()).suits());
    }

    #[test]
    fn without_a_drill_it_says_what_to_get_or_by_how_much_to_turn_down() {
        let fractions = Shop { drill_sets: vec![DrillSet::Fraction], ..Shop::default() };
        // 9/64 in is 0.0156 over; 1/8 in leaves nothing: the pin must lose the least gap.
        let fit_eighth = fit(0.125, 3.175, &fractions);
        assert!(fit_eighth.drills.is_empty());
        assert_eq!(
            fit_eighth.describe(LengthUnit::Inch),
            "none on hand: get a #30 (0.0035 in over), or turn the pin down by 0.0015 in for 1/8"
        );
        assert_eq!(fit_eighth.drill_edit(HoleId(1)), None);
        let no_drill = Shop { drill_sets: vec![], ..Shop::default() };
        assert_eq!(
            fit(0.125, 3.175, &no_drill).describe(LengthUnit::Inch),
            "none on hand: get a #30 (0.0035 in over)"
        );
        let thick = fit(2.0, 50.8, &Shop::default()).describe(LengthUnit::Inch);
        assert!(thick.ends_with("take other pin stock"), "{thick}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn every_drill_named_is_on_hand_and_suits(
            pin_mm in 0.4..13.0f64, min in 0.0..0.2f64, more in 0.0..0.3f64, single in 1..=80u32,
            sets in prop::sample::subsequence(DrillSet::ALL.to_vec(), 0..=4),
        ) {
            let mut shop = Shop { drill_sets: sets, ..Shop::default() };
            shop.drills.extend(DrillName::number(single));
            (shop.limits.pin_gap_least_mm, shop.limits.pin_gap_most_mm) = (min, min + more);
            let fit = PinFit::new(pin_mm, pin_mm, &shop, Tables::built_in());
            let mut before = f64::NEG_INFINITY;
            for drill in &fit.drills {
                let row = Tables::built_in().drill(&drill.label).unwrap();
                prop_assert!(shop.has_drill(row.name) && drill.gap_mm >= before);
                prop_assert!((min - 2e-5..=min + more + 2e-5).contains(&drill.gap_mm));
                before = drill.gap_mm;
            }
            if let Some(turned) = &fit.turned_down {
                let row = Tables::built_in().drill(&turned.label).unwrap();
                let left = row.diameter_mm - (pin_mm - turned.by_mm);
                prop_assert!(fit.drills.is_empty() && (left - min).abs() < 1e-9);
            }
        }
    }
}
