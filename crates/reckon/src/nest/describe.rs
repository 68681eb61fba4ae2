//! A laying in words, the same on the sheet and the command line.

use super::{MAX_BLANKS, Nest, NestBar, NestBlank};
use knife::{Reference, ReferenceEnd};
use units::{LengthUnit, show_length, show_number, write_length};

fn blanks(count: usize) -> String {
    if count == 1 { "1 blank".to_owned() } else { format!("{count} blanks") }
}

impl NestBlank {
    /// Its ends along the bar, from the end from which the maker scribes, mm: the nearer first.
    pub fn stations_mm(&self, bar: &NestBar, reference: Reference) -> (f64, f64) {
        match reference.end {
            ReferenceEnd::Left => self.along_mm,
            ReferenceEnd::Right => {
                (bar.length_mm - self.along_mm.1, bar.length_mm - self.along_mm.0)
            }
        }
    }

    /// How it lies: `straight`, `other face`, `turned 180°, other face`.
    pub fn orientation_label(&self) -> String {
        let turn = if self.turn_deg.abs() < 0.01 {
            "straight".to_owned()
        } else {
            let decimals = usize::from((self.turn_deg - self.turn_deg.round()).abs() > 0.05);
            format!("turned {}", units::show_angle(self.turn_deg, decimals))
        };
        match (self.flipped, turn.as_str()) {
            (false, _) => turn,
            (true, "straight") => "other face".to_owned(),
            (true, _) => format!("{turn}, other face"),
        }
    }
}

impl NestBar {
    /// Count, length taken, offcut and use of steel in one sentence.
    pub fn describe(&self, unit: LengthUnit) -> String {
        let mut message = format!(
            "{} on a bar {} long: they take {}, {} % of it used",
            blanks(self.blanks.len()),
            show_length(self.length_mm, unit),
            show_length(self.used_mm, unit),
            show_number(100.0 * self.used_share, 0),
        );
        message.push_str(&if self.offcut_mm > 0.05 {
            format!("; the offcut is {}.", show_length(self.offcut_mm, unit))
        } else {
            "; no offcut.".to_owned()
        });
        message
    }
}

impl Nest {
    /// Steel, and room between blanks, in one sentence.
    pub fn describe_bar(&self, unit: LengthUnit) -> String {
        let grade = self.grade.trim();
        format!(
            "Bar {} × {}{}; {} between blanks, {} along its edges and ends.",
            write_length(self.width_mm, unit),
            write_length(self.thickness_mm, unit),
            if grade.is_empty() { String::new() } else { format!(" of {grade}") },
            show_length(self.gap_mm, unit),
            show_length(self.margin_mm, unit),
        )
    }

    /// What is said when a blank was laid by its hull.
    pub fn coarse_warning(&self) -> Option<&'static str> {
        self.coarse.then_some(
            "An outline this intricate is laid by its convex hull: blanks may go closer than shown.",
        )
    }

    /// What is said when a bar was not filled to its end.
    pub fn limit_warning(&self) -> Option<String> {
        self.limited.then(|| {
            format!(
                "At most {MAX_BLANKS} blanks are laid at once: the bar may take more than these."
            )
        })
    }

    /// How many usual bars would take all: `2 of 24 in, 1 of 36 in`.
    pub fn describe_stock_counts(&self) -> Option<String> {
        let each =
            self.stock_counts.iter().map(|usual| format!("{} of {}", usual.bars, usual.name));
        let message: Vec<String> = each.collect();
        (!message.is_empty())
            .then(|| format!("Usual bars that take all: {}.", message.join(", or ")))
    }
}
