//! The chain in words, the same on the sheet, the desk and the command line.

use super::ChainFigures;
use units::{LengthUnit, show_decimal, show_length, show_number, write_length};

/// A length of many lines together.
fn long(length_mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch => format!("{} in", show_number(length_mm / 25.4, 0)),
        LengthUnit::Millimetre => format!("{} m", show_number(length_mm / 1000.0, 2)),
    }
}

/// A length too short for fractions.
fn short(length_mm: f64, unit: LengthUnit) -> String {
    show_decimal(length_mm, unit, (2, 3))
}

impl ChainFigures {
    /// What to drill and saw, in sentences.
    pub fn describe(&self, unit: LengthUnit) -> Vec<String> {
        let cutting = &self.drilling;
        let drill = match &cutting.drill {
            Some(name) => match write_length(cutting.drill_mm, LengthUnit::Millimetre) {
                size if size == *name => size,
                size => format!("{name} ({size})"),
            },
            None => show_length(cutting.drill_mm, unit),
        };
        let Some((thin, thick)) = self.bridges_mm() else {
            return vec![match self.holes.len() {
                0 => format!(
                    "There is no room for a chain of {drill} holes on this bar: saw it out."
                ),
                _ => format!("Chain: single holes, drill {drill}."),
            }];
        };
        let bridge = if thick - thin < 0.005 {
            format!("bridges of {}", short(thin, unit))
        } else {
            format!("bridges of {} to {}", short(thin, unit), short(thick, unit))
        };
        let mut message = vec![format!(
            "Chain: {} holes, drill {drill}, {bridge}, {} left to file; {} of steel to drill \
             through, which takes {} % of the steel along the line.",
            self.holes.len(),
            short(cutting.leave_mm, unit),
            long(self.depth_mm, unit),
            show_number(100.0 * self.drilled_share, 0),
        )];
        if self.left_out_mm > cutting.pitch_mm() {
            message.push(format!(
                "Where no hole goes on the bar ({} of the line) saw along it.",
                show_length(self.left_out_mm, unit)
            ));
        }
        if let Some(kerf) = self.cuts.first().map(|cut| cut.kerf_mm) {
            let n = self.cuts.len();
            message.push(format!(
                "Saw {n} relief {} into the hollows, {} wide, up to what is left to file.",
                if n == 1 { "cut" } else { "cuts" },
                short(kerf, unit)
            ));
        }
        message
    }
}
