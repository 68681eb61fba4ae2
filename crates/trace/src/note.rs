//! What was guessed, left out or can't be told, beside a trace that succeeded.

use units::show_mm;

/// A remark on a trace that succeeded; shown as one sentence.
#[derive(Clone, Debug, PartialEq)]
pub enum Note {
    /// Only a scale was taken: the camera had to look straight down.
    ScaleOnly,
    /// Drawn line or filled shape was guessed.
    Guessed {
        /// Whether a drawn line was taken, along its centre.
        line: bool,
    },
    /// The picture was taken with light and dark exchanged.
    Inverted,
    /// Openings that no circle fits.
    NotRound {
        /// How many.
        count: usize,
        /// The size of the largest, mm.
        largest_mm: f64,
    },
    /// Places where the drawn line was missing.
    GapsClosed {
        /// The longest, mm.
        longest_mm: f64,
    },
    /// The correction for thickness was made.
    ThicknessCorrected {
        /// The camera's height over the plane, mm.
        camera_mm: f64,
        /// By how much the shape was reduced, percent.
        percent: f64,
    },
    /// The correction for thickness could not be made.
    ThicknessUnknown {
        /// The thickness, mm.
        thickness_mm: f64,
    },
    /// Targets that were left out.
    TargetsLeftOut {
        /// How many were used.
        used: usize,
        /// How many the mat has.
        of: usize,
    },
    /// Few pixels for what is wanted.
    Coarse {
        /// Pixels per millimetre.
        px_per_mm: f64,
    },
    /// A density usual for screens, not for scans, was not used.
    ScreenDensity {
        /// The density in the file, dots per inch.
        dpi: f64,
    },
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::ScaleOnly => write!(
                f,
                "Only the scale was set: the picture must be scanned, or taken square from above."
            ),
            Self::Guessed { line: true } => {
                write!(f, "It was taken as a drawn line, and its centre was traced.")
            }
            Self::Guessed { line: false } => write!(f, "It was taken as a filled shape."),
            Self::Inverted => write!(f, "The shape is lighter than its background."),
            Self::NotRound { count: 1, largest_mm } => write!(
                f,
                "An opening of about {} mm isn't round and was left out.",
                show_mm(*largest_mm, 1)
            ),
            Self::NotRound { count, largest_mm } => write!(
                f,
                "{count} openings, the largest of about {} mm, aren't round and were left out.",
                show_mm(*largest_mm, 1)
            ),
            Self::GapsClosed { longest_mm } => write!(
                f,
                "Gaps in the drawn line of up to {} mm were closed.",
                show_mm(*longest_mm, 1)
            ),
            Self::ThicknessCorrected { camera_mm, percent } => write!(
                f,
                "Corrected for thickness: the camera was {} mm above, so the outline was reduced \
                 by {percent:.2} %.",
                show_mm(*camera_mm, 0)
            ),
            Self::ThicknessUnknown { thickness_mm } => {
                // Heights from which hand-held pictures of a sheet are taken, mm.
                let percent = |height: f64| 100.0 * thickness_mm / (height - thickness_mm);
                write!(
                    f,
                    "The camera's height can't be told from this picture, so thickness was not \
                     corrected: the outline may be {:.1} to {:.1} % too large.",
                    percent(800.0),
                    percent(300.0)
                )
            }
            Self::TargetsLeftOut { used, of } => {
                write!(f, "{used} of the mat's {of} targets were used; the others are hidden.")
            }
            Self::Coarse { px_per_mm } => write!(
                f,
                "There are only {px_per_mm:.1} pixels per mm; come nearer for a more exact outline."
            ),
            Self::ScreenDensity { dpi } => write!(
                f,
                "The density in the file, {dpi:.0} dpi, is that of a screen and was not used."
            ),
        }
    }
}
