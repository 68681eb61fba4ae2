//! What was left out or adjusted while a drawing was taken.

use crate::limits;
use kurbo::Point;
use std::fmt;

/// Something a person should know about how a drawing was taken; not a fault.
#[derive(Clone, Debug, PartialEq)]
pub enum ImportWarning {
    /// The drawing states no size in a unit of length.
    NoPhysicalSize,
    /// The drawing states a size but no viewBox, so its bare numbers are px.
    BareNumbers,
    /// The page is stretched by different amounts along x and y.
    Stretched {
        /// Scale along y over scale along x.
        ratio: f64,
    },
    /// The outline was joined from several paths.
    Joined {
        /// How many.
        pieces: usize,
    },
    /// Ends that did not quite meet were made to.
    GapClosed {
        /// The widest gap closed, mm.
        gap_mm: f64,
        /// Where it was, mm.
        at: Point,
    },
    /// Open paths left out.
    OpenPaths {
        /// How many.
        count: usize,
    },
    /// A circle with its centre outside the outline.
    CircleOutside {
        /// Its diameter, mm.
        diameter_mm: f64,
        /// Its centre, mm.
        at: Point,
    },
    /// A circle within the outline that is wider than any hole may be.
    HoleTooWide {
        /// Its diameter, mm.
        diameter_mm: f64,
        /// Its centre, mm.
        at: Point,
    },
    /// Many more of them, told together.
    MoreTooWide {
        /// How many.
        count: usize,
    },
    /// The outline lay far from the drawing's origin and was brought to it.
    BroughtNear {
        /// What lies at (0, 0) now.
        what: &'static str,
        /// Where that lay, mm.
        from: Point,
    },
    /// Many more circles outside the outline, told together.
    MoreCirclesOutside {
        /// How many.
        count: usize,
    },
    /// Closed shapes within the outline that are no circles.
    NotRound {
        /// How many.
        count: usize,
    },
    /// Other closed shapes beside the outline.
    ShapesOutside {
        /// How many.
        count: usize,
    },
    /// A second ring all but the same as the outline, such as the far side of a traced line.
    Twin {
        /// How far apart the sides of their boxes lie at most, mm.
        off_mm: f64,
    },
    /// A rectangle that covers the page exactly.
    PageFrame,
    /// One or more rectangles drawn around the outline.
    DrawnFrame,
    /// Closed paths that enclose nothing.
    Flat {
        /// How many.
        count: usize,
    },
    /// Closed paths too small to be anything but dots.
    Specks {
        /// How many.
        count: usize,
    },
    /// Layers of this program's own drawing besides the cut line and the holes.
    OtherLayers {
        /// How many.
        count: usize,
    },
    /// Hidden parts.
    Hidden {
        /// How many.
        count: usize,
    },
    /// Texts.
    Texts {
        /// How many.
        count: usize,
    },
    /// Embedded pictures.
    Pictures {
        /// How many.
        count: usize,
    },
    /// Parts cut by a clip path or a mask, taken whole.
    Clipped {
        /// How many.
        count: usize,
    },
    /// Style rules about place or visibility that are not followed.
    StyleIgnored {
        /// How many.
        count: usize,
    },
    /// Copies that refer to nothing in the drawing, or to themselves.
    CopiesLost {
        /// How many.
        count: usize,
    },
    /// Shapes sized by percentages of a page that has no size.
    NoSize {
        /// How many.
        count: usize,
    },
}

impl fmt::Display for ImportWarning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPhysicalSize => {
                write!(f, "the drawing gives no physical size; 96 px to the inch was assumed")
            }
            Self::BareNumbers => write!(
                f,
                "the drawing gives a size but no viewBox; its bare numbers were read as px, 96 to \
                 the inch"
            ),
            Self::Stretched { ratio } => {
                write!(f, "the page stretches the drawing {ratio:.4} times as much in y as in x")
            }
            Self::Joined { pieces } => write!(f, "the outline was joined from {pieces} paths"),
            Self::GapClosed { gap_mm, at } => {
                write!(f, "a gap of {} mm near {} mm was closed", mm(*gap_mm), place(*at))
            }
            Self::OpenPaths { count: n } => write!(f, "{} left out", were(*n, "open path")),
            Self::CircleOutside { diameter_mm, at } => write!(
                f,
                "a circle of {} mm at {} mm lies outside the outline and was left out",
                mm(*diameter_mm),
                place(*at)
            ),
            Self::HoleTooWide { diameter_mm, at } => write!(
                f,
                "a circle of {} mm at {} mm was left out because a hole has at most {} mm",
                mm(*diameter_mm),
                place(*at),
                mm(*limits::DIAMETER_MM.end())
            ),
            Self::MoreTooWide { count: n } => {
                write!(f, "{} wider than any hole and left out as well", were(*n, "more circle"))
            }
            Self::BroughtNear { what, from } => write!(
                f,
                "the outline lies far from the drawing's origin and was moved: its {what}, drawn at \
                 ({:.0}, {:.0}) mm, is at (0, 0)",
                from.x, from.y
            ),
            Self::MoreCirclesOutside { count: n } => {
                write!(f, "{} outside the outline and left out as well", were(*n, "more circle"))
            }
            Self::NotRound { count: n } => {
                write!(
                    f,
                    "{} left out because only round holes are taken",
                    were(*n, "closed shape")
                )
            }
            Self::ShapesOutside { count: n } => {
                write!(f, "{} left out", were(*n, "closed shape beside the outline"))
            }
            Self::Twin { off_mm } => write!(
                f,
                "a second outline within {} mm of the first was left out, as a line saved with its \
                 width has two; the larger one was taken, so check its size",
                mm(*off_mm)
            ),
            Self::PageFrame => {
                write!(f, "a rectangle exactly as large as the page was left out")
            }
            Self::DrawnFrame => {
                write!(f, "a rectangle drawn around it was taken for a frame and left out")
            }
            Self::Flat { count: n } => {
                write!(f, "{} left out because nothing is enclosed", were(*n, "closed path"))
            }
            Self::Specks { count: n } => {
                write!(f, "{} left out because a hole is larger", were(*n, "dot"))
            }
            Self::OtherLayers { count: n } => write!(
                f,
                "{} left out, as the drawing names its cut line",
                were(*n, "layer beside cut line and holes")
            ),
            Self::Hidden { count: n } => write!(f, "{} left out", were(*n, "hidden part")),
            Self::Texts { count: n } => write!(f, "{} left out", were(*n, "text")),
            Self::Pictures { count: n } => write!(f, "{} left out", were(*n, "picture")),
            Self::Clipped { count: n } => {
                write!(f, "{} taken whole, without the clip path or mask", were(*n, "part"))
            }
            Self::StyleIgnored { count: n } => {
                write!(
                    f,
                    "{} not followed; check the outline's place and size",
                    were(*n, "style rule")
                )
            }
            Self::CopiesLost { count: n } => write!(
                f,
                "{} left out because what is copied isn't in the drawing",
                were(*n, "copy")
            ),
            Self::NoSize { count: n } => write!(
                f,
                "{} left out: sized by percentages of a page without a size",
                were(*n, "shape")
            ),
        }
    }
}

/// Makes a remark of a count.
pub(super) type CountWarning = fn(usize) -> ImportWarning;

/// A remark for every count that isn't zero.
pub(super) fn counted(counts: &[(usize, CountWarning)]) -> Vec<ImportWarning> {
    counts.iter().filter(|(n, _)| *n > 0).map(|(n, of)| of(*n)).collect()
}

/// "1 path was", "3 paths were".
fn were(n: usize, what: &str) -> String {
    format!("{} {}", count(n, what), if n == 1 { "was" } else { "were" })
}

/// "1 path", "3 paths"; the plural falls on the noun before any "beside …".
pub(super) fn count(n: usize, what: &str) -> String {
    if n == 1 {
        return format!("1 {what}");
    }
    let (noun, rest) = what.split_at(what.find(" beside").unwrap_or(what.len()));
    let plural = match noun.strip_suffix('y') {
        Some(stem) => format!("{stem}ies"),
        None => format!("{noun}s"),
    };
    format!("{n} {plural}{rest}")
}

/// A length with as many digits as are of use: three significant ones, or whole thousandths.
pub(super) fn mm(length_mm: f64) -> String {
    let size = length_mm.abs();
    if size != 0.0 && !(1e-3..1e6).contains(&size) {
        return format!("{length_mm:.1e}");
    }
    let text = format!("{length_mm:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A place as a person writes it, to hundredths.
pub(super) fn place(at: Point) -> String {
    let round = |v: f64| (v * 100.0).round() / 100.0 + 0.0;
    format!("({}, {})", mm(round(at.x)), mm(round(at.y)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_read_as_a_person_writes_them() {
        for (length, text) in [
            (6.0, "6"),
            (3.2, "3.2"),
            (0.0078, "0.008"),
            (-0.0, "0"),
            (20000.0, "20000"),
            (100.0, "100"),
            (0.00002, "2.0e-5"),
            (1e12, "1.0e12"),
        ] {
            assert_eq!(mm(length), text);
        }
        assert_eq!(place(Point::new(-0.001, 12.345)), "(0, 12.35)");
    }

    #[test]
    fn one_is_told_from_many() {
        assert_eq!(ImportWarning::OpenPaths { count: 1 }.to_string(), "1 open path was left out");
        assert_eq!(ImportWarning::OpenPaths { count: 3 }.to_string(), "3 open paths were left out");
        assert_eq!(
            ImportWarning::ShapesOutside { count: 2 }.to_string(),
            "2 closed shapes beside the outline were left out"
        );
        assert_eq!(count(2, "copy"), "2 copies");
    }
}
