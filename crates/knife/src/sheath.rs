//! The sheath: what it is made of and how it is closed.

use units::LengthUnit;

/// Where the neutral line of a bend lies, as a share of the thickness from the inside: the middle,
/// as the Aviation Maintenance Technician Handbook (Airframe, FAA-H-8083-31, chapter 4) takes it.
pub const USUAL_NEUTRAL: f64 = 0.5;

/// A sheath as its maker decided it. What is usual is common practice, no source.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheath {
    /// Whether one piece is folded about the spine, or two are laid on each other.
    pub folded: bool,
    /// What it is made of, and how it is closed.
    pub body: SheathBody,
    /// On which side of the body it is worn: the side that shows, and where the belt loop goes.
    pub hand: Hand,
    /// How far it reaches up the handle, from the front of the scales (else from the heel), mm.
    pub cover_mm: f64,
    /// Room between the knife and the inner edge of the welt or of the formed flange, mm.
    pub clearance_mm: f64,
    /// What is laid on each scale while the sheath is formed, so that one that swells still comes
    /// out, mm.
    pub relief_mm: f64,
    /// Whether it follows the outline closely, choil and finger groove and all; else it is open
    /// enough for the knife to be drawn straight out.
    pub close_fit: bool,
    /// Diameter of the drain hole at the tip, mm, if there is one.
    pub drain_mm: Option<f64>,
    /// Thickness of the leather or the thermoplastic, mm.
    pub thickness_mm: f64,
    /// Where the neutral line of the bend lies, share of the thickness from the inside; `None` for
    /// the usual.
    pub neutral: Option<f64>,
    /// What is it called in the shop, once chosen.
    pub material: Option<String>,
}

/// What a sheath is made of, and how it is closed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SheathBody {
    /// Leather, stitched through a welt.
    Leather(LeatherSheath),
    /// Thermoplastic, formed over the knife and closed by eyelets.
    Formed(FormedSheath),
}

/// How a leather sheath is closed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeatherSheath {
    /// Width of the welt, from its inner edge to the rim, mm.
    pub welt_width_mm: f64,
    /// Thickness of the whole welt, mm; `None` for as many layers of the same leather as come
    /// nearest to the stock.
    pub welt_thickness_mm: Option<f64>,
    /// Wanted distance from stitch to stitch, mm.
    pub stitch_pitch_mm: f64,
    /// From the rim to the stitches, mm.
    pub stitch_margin_mm: f64,
    /// The belt loop, if any.
    pub loop_for: Option<BeltLoop>,
}

/// A loop for a belt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeltLoop {
    /// Width of the belt, mm.
    pub belt_mm: f64,
    /// Width of the loop along the belt, mm.
    pub width_mm: f64,
}

/// How a formed sheath is closed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FormedSheath {
    /// Diameter of the eyelets' holes, mm.
    pub eyelet_mm: f64,
    /// Wanted distance from eyelet to eyelet, mm.
    pub eyelet_pitch_mm: f64,
    /// From the knife's outline to the middle of an eyelet, mm.
    pub eyelet_offset_mm: f64,
    /// From the middle of an eyelet to the rim, mm.
    pub eyelet_margin_mm: f64,
    /// Distance of the two eyelets that hold the belt clip, mm, if there is one.
    pub clip_mm: Option<f64>,
    /// A ramp for the thumb at the mouth, if any.
    pub ramp: Option<ThumbRamp>,
    /// What the sheet is larger than the trimmed sheath on every side, mm.
    pub allowance_mm: f64,
}

/// A lip at the mouth over the spine: the thumb pushes on it when the knife is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThumbRamp {
    /// How far it reaches down from the spine, mm.
    pub width_mm: f64,
    /// How far it stands out from the mouth, mm.
    pub rise_mm: f64,
}

/// The side of the body on which a sheath is worn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Hand {
    /// At the right hip, the edge to the front: the knife's left side shows.
    #[default]
    Right,
    /// At the left hip, the edge to the front: the knife's right side shows.
    Left,
}

/// What a sheath is, in one word for file and desk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheathKind {
    /// One piece of leather, folded about the spine.
    FoldedLeather,
    /// Two pieces of leather with a welt all round.
    TwoSidedLeather,
    /// One sheet of thermoplastic, folded about the spine.
    FoldedThermoplastic,
    /// Two sheets of thermoplastic.
    TwoSidedThermoplastic,
}

impl SheathKind {
    /// Every kind.
    pub const ALL: [Self; 4] = [
        Self::FoldedLeather,
        Self::TwoSidedLeather,
        Self::FoldedThermoplastic,
        Self::TwoSidedThermoplastic,
    ];
    /// Their words, in the same order.
    pub const LABELS: &'static [&'static str] =
        &["folded leather", "two-sided leather", "folded thermoplastic", "two-sided thermoplastic"];

    /// The words a person reads.
    pub fn label(self) -> &'static str {
        match self {
            Self::FoldedLeather => "folded leather",
            Self::TwoSidedLeather => "two-sided leather",
            Self::FoldedThermoplastic => "folded thermoplastic",
            Self::TwoSidedThermoplastic => "two-sided thermoplastic",
        }
    }

    /// Whether it is of leather.
    pub fn is_leather(self) -> bool {
        matches!(self, Self::FoldedLeather | Self::TwoSidedLeather)
    }
}

impl Hand {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Right, Self::Left];
    /// Their words, in the same order.
    pub const LABELS: &'static [&'static str] = &["right", "left"];

    /// The word a person reads.
    pub fn label(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }
}

impl BeltLoop {
    /// A loop for a belt as it is most often sold, 1-1/2 in or 40 mm (common practice, no source).
    pub fn usual(unit: LengthUnit) -> Self {
        let inch = unit == LengthUnit::Inch;
        Self { belt_mm: if inch { 38.1 } else { 40.0 }, width_mm: if inch { 31.75 } else { 32.0 } }
    }
}

impl LeatherSheath {
    /// As usual (common practice, no source).
    pub fn usual(unit: LengthUnit) -> Self {
        let inch = unit == LengthUnit::Inch;
        Self {
            welt_width_mm: if inch { 12.7 } else { 12.0 },
            welt_thickness_mm: None,
            stitch_pitch_mm: if inch { 25.4 / 6.0 } else { 4.0 },
            stitch_margin_mm: if inch { 25.4 * 5.0 / 32.0 } else { 4.0 },
            loop_for: Some(BeltLoop::usual(unit)),
        }
    }
}

impl FormedSheath {
    /// As usual (common practice, no source).
    pub fn usual(unit: LengthUnit) -> Self {
        let inch = unit == LengthUnit::Inch;
        Self {
            eyelet_mm: if inch { 6.35 } else { 6.0 },
            eyelet_pitch_mm: if inch { 25.4 } else { 25.0 },
            eyelet_offset_mm: if inch { 9.525 } else { 10.0 },
            eyelet_margin_mm: if inch { 7.9375 } else { 8.0 },
            clip_mm: Some(if inch { 38.1 } else { 40.0 }),
            ramp: None,
            allowance_mm: 15.0,
        }
    }
}

impl Sheath {
    /// A sheath of a kind to begin with (common practice, no source).
    pub fn usual(kind: SheathKind, unit: LengthUnit) -> Self {
        let inch = unit == LengthUnit::Inch;
        let (body, thickness_mm, clearance_mm) = if kind.is_leather() {
            // 8 oz leather.
            let thickness_mm = if inch { 25.4 / 8.0 } else { 3.2 };
            (SheathBody::Leather(LeatherSheath::usual(unit)), thickness_mm, 1.0)
        } else {
            let thickness_mm = if inch { 25.4 * 0.08 } else { 2.0 };
            (SheathBody::Formed(FormedSheath::usual(unit)), thickness_mm, 0.0)
        };
        Self {
            folded: matches!(kind, SheathKind::FoldedLeather | SheathKind::FoldedThermoplastic),
            body,
            hand: Hand::default(),
            cover_mm: if inch { 31.75 } else { 32.0 },
            clearance_mm,
            relief_mm: 0.0,
            close_fit: !kind.is_leather(),
            drain_mm: Some(if inch { 3.175 } else { 3.0 }),
            thickness_mm,
            neutral: None,
            material: None,
        }
    }

    /// What it is.
    pub fn kind(&self) -> SheathKind {
        match (self.body, self.folded) {
            (SheathBody::Leather(_), true) => SheathKind::FoldedLeather,
            (SheathBody::Leather(_), false) => SheathKind::TwoSidedLeather,
            (SheathBody::Formed(_), true) => SheathKind::FoldedThermoplastic,
            (SheathBody::Formed(_), false) => SheathKind::TwoSidedThermoplastic,
        }
    }

    /// The same sheath of another kind: what both have in common stays.
    #[must_use]
    pub fn made_as(&self, kind: SheathKind, unit: LengthUnit) -> Self {
        let folded = Self::usual(kind, unit).folded;
        if kind.is_leather() == self.kind().is_leather() {
            return Self { folded, ..self.clone() };
        }
        let Self { hand, cover_mm, relief_mm, drain_mm, .. } = *self;
        Self { hand, cover_mm, relief_mm, drain_mm, ..Self::usual(kind, unit) }
    }

    /// Where the neutral line lies, share of the thickness from the inside.
    pub fn neutral(&self) -> f64 {
        self.neutral.unwrap_or(USUAL_NEUTRAL)
    }

    /// How it is stitched, if it is of leather.
    pub fn leather(&self) -> Option<&LeatherSheath> {
        match &self.body {
            SheathBody::Leather(leather) => Some(leather),
            SheathBody::Formed(_) => None,
        }
    }

    /// How it is riveted, if it is formed.
    pub fn formed(&self) -> Option<&FormedSheath> {
        match &self.body {
            SheathBody::Leather(_) => None,
            SheathBody::Formed(formed) => Some(formed),
        }
    }

    /// From the knife's outline, with its clearance, to the row of stitches or eyelets, mm.
    pub fn row_mm(&self) -> f64 {
        match &self.body {
            SheathBody::Leather(l) => self.clearance_mm + l.welt_width_mm - l.stitch_margin_mm,
            SheathBody::Formed(f) => f.eyelet_offset_mm,
        }
    }

    /// From the knife's outline to the rim, mm.
    pub fn rim_mm(&self) -> f64 {
        match &self.body {
            SheathBody::Leather(leather) => self.clearance_mm + leather.welt_width_mm,
            SheathBody::Formed(f) => f.eyelet_offset_mm + f.eyelet_margin_mm,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kind_is_what_its_words_say() {
        assert_eq!(SheathKind::ALL.map(SheathKind::label), *SheathKind::LABELS);
        assert_eq!(Hand::ALL.map(Hand::label), *Hand::LABELS);
        for unit in [LengthUnit::Inch, LengthUnit::Millimetre] {
            for kind in SheathKind::ALL {
                let usual = Sheath::usual(kind, unit);
                assert_eq!(usual.kind(), kind);
                for other in SheathKind::ALL {
                    assert_eq!(usual.made_as(other, unit).kind(), other);
                }
                assert!(usual.rim_mm() > usual.row_mm());
            }
        }
    }

    // By hand: 1 mm of room, a welt of 12 mm, stitches 4 mm from the rim.
    #[test]
    fn rows_are_counted_from_the_outline() {
        let sheath = Sheath::usual(SheathKind::FoldedLeather, LengthUnit::Millimetre);
        assert_eq!((sheath.row_mm(), sheath.rim_mm()), (9.0, 13.0));
        let sheath = Sheath::usual(SheathKind::FoldedThermoplastic, LengthUnit::Millimetre);
        assert_eq!((sheath.row_mm(), sheath.rim_mm()), (10.0, 18.0));
    }
}
