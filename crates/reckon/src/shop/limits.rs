//! The limits that findings measure against, each with its words, its range and its source.

use std::ops::RangeInclusive;

/// What a limit is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitUnit {
    /// A length, mm.
    Length,
    /// Times a hole's diameter.
    Diameters,
    /// A share of the whole, 0 to 1.
    Share,
    /// So many times.
    Times,
}

/// One limit: what it is called, what it may be and where its default comes from.
#[derive(Debug)]
pub struct LimitRow {
    /// Its key in the shop file.
    pub key: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// What it is measured in.
    pub unit: LimitUnit,
    /// What it may be.
    pub range: RangeInclusive<f64>,
    /// Where the default comes from.
    pub source: &'static str,
    /// Its value.
    pub get: fn(&Limits) -> f64,
    /// Its place.
    pub slot: fn(&mut Limits) -> &mut f64,
}

macro_rules! limits {
    ($($(#[doc = $words:literal])+ $key:ident: $unit:ident in $range:expr, $usual:literal, $source:expr;)+) => {
        /// The limits that findings measure against. [`LIMITS`] tells of each its source.
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct Limits {
            $($(#[doc = $words])+ pub $key: f64,)+
        }

        impl Default for Limits {
            fn default() -> Self {
                Self { $($key: $usual,)+ }
            }
        }

        /// Every limit, in the order of the work.
        pub static LIMITS: &[LimitRow] = &[$(LimitRow {
            key: stringify!($key),
            label: concat!($($words),+).trim_ascii(),
            unit: LimitUnit::$unit,
            range: $range,
            source: $source,
            get: |limits| limits.$key,
            slot: |limits| &mut limits.$key,
        }),+];
    };
}

/// AISC 360-16 Table J3.4 asks 1.25 to 1.5 diameters from centre to edge, never under 1.
const EDGE: &str = "this program's choice between published rules for joints: AISC 360-16 Table J3.4 \
     (1.25 to 1.5 hole diameters from centre to edge, never under 1)";
const OWN: &str = "common practice, no source";

limits! {
    /// Hole's centre to the outline, in its diameters: stop below
    edge_stop_diameters: Diameters in 0.5..=10.0, 1.0, EDGE;
    /// Hole's centre to the outline, in its diameters: caution below
    edge_care_diameters: Diameters in 0.5..=10.0, 1.5, EDGE;
    /// Web between holes, in diameters of the larger: caution below
    web_care_diameters: Diameters in 0.0..=10.0, 1.0,
        "this program's choice after AISC 360-16 section J3.3 (a clear distance of at least one \
         diameter between holes)";
    /// Web between holes: caution below
    web_care_mm: Length in 0.0..=50.0, 3.0, OWN;
    /// Web between holes: stop below
    web_stop_mm: Length in 0.0..=50.0, 0.5, OWN;
    /// A hole's diameter may differ from its named drill's by
    drill_slack_mm: Length in 0.0..=1.0, 0.005, "the drill table's own rounding";
    /// Least gap around a pin for glue, on the diameter
    pin_gap_least_mm: Length in 0.0..=2.0, 0.0381,
        "this program's choice of 0.0015 in, from the gaps that published rivet tables leave \
         (0.0010 to 0.0043 in)";
    /// Most gap around a pin for glue, on the diameter
    pin_gap_most_mm: Length in 0.0..=5.0, 0.1524,
        "this program's choice of 0.0060 in: twice the thickest glue line of best strength told \
         for epoxy (0.002 to 0.005 in a side)";
    /// Pin's centre to the front of the scales, in pin diameters: caution below
    scale_front_diameters: Diameters in 0.5..=10.0, 2.0,
        "aircraft sheet practice for rivets, FAA-H-8083-31 (centre to edge at least 2 diameters)";
    /// Pin's centre to an edge or joint of its scale or bolster, in pin diameters: caution below
    scale_edge_diameters: Diameters in 0.5..=10.0, 2.0,
        "aircraft sheet practice for rivets, FAA-H-8083-31 (centre to edge at least 2 diameters)";
    /// Scale left beside, under and between the heads of screws: caution below
    head_web_mm: Length in 0.0..=50.0, 2.0, OWN;
    /// Width left in the tang at its holes: caution below
    tang_net_share: Share in 0.0..=1.0, 0.5, OWN;
    /// Stiffness left in the tang at its holes: caution below
    tang_stiffness_share: Share in 0.0..=1.0, 0.75, OWN;
    /// Least radius of an inside corner in hardened steel
    inside_radius_mm: Length in 0.0..=50.0, 1.0, OWN;
    /// From the plunge line to the front of the scales at least
    plunge_front_mm: Length in 0.0..=100.0, 3.0, OWN;
    /// From the heel to the plunge line at most
    plunge_heel_mm: Length in 0.0..=100.0, 10.0, OWN;
    /// Where the width of the tip is taken, behind the tip
    tip_back_mm: Length in 0.1..=50.0, 3.0, OWN;
    /// Width of the blade there at least
    tip_width_mm: Length in 0.0..=50.0, 1.0, OWN;
    /// Steel left outside the line when sawing
    saw_leave_mm: Length in 0.0..=20.0, 0.5, OWN;
    /// Room around a blade in forge, oven or quench tank
    chamber_clearance_mm: Length in 0.0..=100.0, 6.0, OWN;
    /// Blade's length in thicknesses of its steel: caution above
    slender_times: Times in 10.0..=500.0, 125.0,
        "this program's choice; that long thin blades warp is common practice, no source";
    /// Welt between the edge and the stitches of a sheath at least
    welt_guard_mm: Length in 0.0..=50.0, 5.0, OWN;
    /// From the knife to the hole of a sheath's eyelet at least
    eyelet_guard_mm: Length in 0.0..=50.0, 3.0, OWN;
    /// Stitches from the rim of a sheath at least
    stitch_rim_mm: Length in 0.0..=50.0, 2.5, OWN;
    /// A sheath's holes for eyelets from its rim at least
    eyelet_rim_mm: Length in 0.0..=50.0, 3.0, OWN;
    /// What leather gives where a knife is drawn past it, at most
    leather_give_mm: Length in 0.0..=50.0, 3.0, OWN;
    /// What a formed sheath gives where a knife is drawn past it, at most
    formed_give_mm: Length in 0.0..=50.0, 2.0, OWN;
    /// Of the handle in its sheath at least
    handle_held_mm: Length in 0.0..=300.0, 20.0, OWN;
    /// Of the handle out of its sheath at least
    handle_free_mm: Length in 0.0..=300.0, 50.0, OWN;
    /// Length of the shop's piece of leather
    hide_length_mm: Length in 10.0..=5000.0, 609.6, OWN;
    /// Width of the shop's piece of leather
    hide_width_mm: Length in 10.0..=5000.0, 304.8, OWN;
    /// Length of the shop's sheet of thermoplastic
    sheet_length_mm: Length in 10.0..=5000.0, 304.8, OWN;
    /// Width of the shop's sheet of thermoplastic
    sheet_width_mm: Length in 10.0..=5000.0, 304.8, OWN;
}

impl Limits {
    /// Limits of which the first must not be above the second, by their keys.
    pub const IN_ORDER: [(&'static str, &'static str); 3] = [
        ("edge_stop_diameters", "edge_care_diameters"),
        ("web_stop_mm", "web_care_mm"),
        ("pin_gap_least_mm", "pin_gap_most_mm"),
    ];

    /// After the limit of this key was changed: the one that must not be below or above it moves
    /// along.
    pub fn keep_in_order(&mut self, changed: &str) {
        for (lower, upper) in Self::IN_ORDER {
            let (Some(low), Some(high)) = (Self::row(lower), Self::row(upper)) else { continue };
            let (min, max) = ((low.get)(self), (high.get)(self));
            if min <= max || ![lower, upper].contains(&changed) {
                continue;
            }
            if changed == upper {
                *(low.slot)(self) = max;
            } else {
                *(high.slot)(self) = min;
            }
        }
    }

    /// The row of a limit, by its key.
    pub fn row(key: &str) -> Option<&'static LimitRow> {
        LIMITS.iter().find(|row| row.key == key)
    }
}
