//! Pins, tubes and screws in a section.

use super::NOTHING_MM;
use crate::{PinFigures, PinKind};
use knife::HoleId;

/// A pin, tube or screw in a section, filed flush with both scales.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPin {
    /// The hole it goes through.
    pub hole: HoleId,
    /// What is cut of its shank, y in mm.
    pub span: (f64, f64),
    /// The bore of a tube, where it is cut too, y in mm.
    pub bore: Option<(f64, f64)>,
    /// Half its length: from the centre plane to the scale's face, mm.
    pub half_mm: f64,
    /// The head of a screw in each scale: what is cut of it, y in mm, and how deep it goes in, mm.
    pub head: Option<((f64, f64), f64)>,
}

/// A pin where it is cut, if it is.
pub(super) fn pin_at(pin: &PinFigures, x_mm: f64) -> Option<SectionPin> {
    let off_mm = x_mm - pin.at.x;
    let chord = |diameter_mm: f64| {
        let half_mm = ((diameter_mm / 2.0).powi(2) - off_mm.powi(2)).max(0.0).sqrt();
        (half_mm > NOTHING_MM).then_some((pin.at.y - half_mm, pin.at.y + half_mm))
    };
    let (bore, head) = match pin.kind {
        PinKind::Rod => (None, None),
        PinKind::Tube { bore_mm } => (chord(bore_mm), None),
        PinKind::Screw { head_mm, head_deep_mm } => {
            (None, chord(head_mm).map(|span| (span, head_deep_mm)))
        }
    };
    let half_mm = pin.flush_mm / 2.0;
    // Past its shank a screw's head alone may be cut: its shank is then a mere point.
    let span = chord(pin.diameter_mm).or(head.map(|_| (pin.at.y, pin.at.y)))?;
    Some(SectionPin { hole: pin.hole, span, bore, half_mm, head })
}
