//! What a cutting shop would send back, found before the file is written.

use super::{CutBlank, CutSheet, polyline};
use kurbo::{Circle, Point};
use outline::circle_gap;
use units::one_line;

/// Pieces shorter than this make a machine stutter, and are mostly mistakes of drawing, mm
/// (common practice, no source).
const SHORTEST_MM: f64 = 0.05;
/// What lies nearer to each other overlaps, mm.
const TOUCHING_MM: f64 = 1e-6;

/// Why a blank can't be cut as it is.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CutFault {
    /// No outline, or one that crosses itself.
    #[error(
        "{} has no closed outline that doesn't cross itself; fix it first (check says where)",
        named(name)
    )]
    NoOutline {
        /// Which blank.
        name: String,
    },
    /// A hole that reaches over the outline.
    #[error(
        "the hole at ({:.1}, {:.1}) mm of {} meets its outline; move or shrink it, or leave the \
         holes out (--holes none)",
        at.x, at.y, named(name)
    )]
    HoleMeetsOutline {
        /// Which blank.
        name: String,
        /// The hole's centre.
        at: Point,
    },
    /// Two holes that meet.
    #[error(
        "the holes at ({:.1}, {:.1}) and ({:.1}, {:.1}) mm of {} meet; move one of them, or leave \
         the holes out (--holes none)",
        first.x, first.y, second.x, second.y, named(name)
    )]
    HolesMeet {
        /// Which blank.
        name: String,
        /// One hole's centre.
        first: Point,
        /// The other's.
        second: Point,
    },
}

/// What the maker should know before the file goes out.
#[derive(Clone, Debug, PartialEq)]
pub enum CutWarning {
    /// A piece of the outline too short to be cut well.
    ShortPiece {
        /// Which blank.
        name: String,
        /// Where.
        at: Point,
        /// How long it is, mm.
        length_mm: f64,
    },
    /// A hole smaller than the stock is thick.
    SmallHole {
        /// Which blank.
        name: String,
        /// Its centre.
        at: Point,
        /// Its diameter, mm.
        diameter_mm: f64,
        /// The stock's thickness, mm.
        thickness_mm: f64,
    },
}

impl std::fmt::Display for CutWarning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::ShortPiece { name, at, length_mm } => write!(
                f,
                "the outline of {} has a piece only {length_mm:.3} mm long at ({:.2}, {:.2}) mm; \
                 join its two nodes",
                named(name),
                at.x,
                at.y
            ),
            Self::SmallHole { name, at, diameter_mm, thickness_mm } => write!(
                f,
                "the hole of {diameter_mm:.2} mm at ({:.1}, {:.1}) mm of {} is smaller than the \
                 stock is thick ({thickness_mm:.2} mm): a jet may not cut it clean, so ask the shop, \
                 or drill it yourself (--holes) (common practice, no source)",
                at.x,
                at.y,
                named(name)
            ),
        }
    }
}

fn named(name: &str) -> String {
    if name.trim().is_empty() {
        "the blank".to_owned()
    } else {
        format!("\"{}\"", one_line(name.trim()))
    }
}

/// Checks every blank of a sheet once, whatever copies of it there are.
///
/// # Errors
/// [`CutFault`]: the first thing that can't be cut.
pub fn check(sheet: &CutSheet) -> Result<Vec<CutWarning>, CutFault> {
    let mut warnings: Vec<CutWarning> = Vec::new();
    for (i, blank) in sheet.blanks.iter().enumerate() {
        let is_copy = |other: &CutBlank| {
            other.name == blank.name && (other.outline.area() - blank.outline.area()).abs() < 1e-6
        };
        if !sheet.blanks.iter().take(i).any(is_copy) {
            warnings.extend(check_blank(blank)?);
        }
    }
    Ok(warnings)
}

fn check_blank(blank: &CutBlank) -> Result<Vec<CutWarning>, CutFault> {
    let name = &blank.name;
    if !blank.outline.contacts().is_empty() {
        return Err(CutFault::NoOutline { name: name.clone() });
    }
    for (i, hole) in blank.holes.iter().enumerate() {
        let is_inside = blank.outline.contains(hole.center);
        if !is_inside || blank.outline.web(*hole) <= TOUCHING_MM {
            return Err(CutFault::HoleMeetsOutline { name: name.clone(), at: hole.center });
        }
        let meets = |other: &&Circle| circle_gap(*hole, **other) <= TOUCHING_MM;
        if let Some(other) = blank.holes.iter().take(i).find(meets) {
            let (first, second) = (other.center, hole.center);
            return Err(CutFault::HolesMeet { name: name.clone(), first, second });
        }
    }
    let corners = polyline(&blank.outline);
    let ends = corners.iter().zip(corners.iter().cycle().skip(1));
    let short = ends.filter_map(|(from, to)| {
        let length_mm = from.at.distance(to.at);
        let at = from.at;
        (length_mm < SHORTEST_MM).then(|| CutWarning::ShortPiece {
            name: name.clone(),
            at,
            length_mm,
        })
    });
    let small = blank.holes.iter().filter_map(|hole| {
        let diameter_mm = 2.0 * hole.radius;
        (diameter_mm < blank.thickness_mm).then(|| CutWarning::SmallHole {
            name: name.clone(),
            at: hole.center,
            diameter_mm,
            thickness_mm: blank.thickness_mm,
        })
    });
    Ok(short.chain(small).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use outline::Outline;

    fn blank(holes: &[(f64, f64, f64)]) -> CutSheet {
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (0.0, 30.0)].map(Point::from);
        let holes = holes.iter().map(|(x, y, r)| Circle::new((*x, *y), *r)).collect();
        let blank = CutBlank {
            name: String::new(),
            outline: Outline::polygon(&corners).unwrap(),
            holes,
            drilled_later: 0,
            thickness_mm: 4.0,
        };
        CutSheet { blanks: vec![blank], bars: Vec::new() }
    }

    #[test]
    fn holes_that_meet_anything_are_refused() {
        assert_eq!(check(&blank(&[(50.0, 15.0, 3.0)])), Ok(Vec::new()));
        for at in [(2.0, 15.0, 3.0), (150.0, 15.0, 3.0), (50.0, 27.0, 3.0)] {
            let found = check(&blank(&[at]));
            assert!(matches!(found, Err(CutFault::HoleMeetsOutline { .. })), "{found:?}");
        }
        let two = check(&blank(&[(50.0, 15.0, 3.0), (55.0, 15.0, 3.0)]));
        let message = two.unwrap_err().to_string();
        assert!(message.contains("(50.0, 15.0) and (55.0, 15.0)"), "{message}");
    }

    #[test]
    fn small_holes_and_short_pieces_are_told() {
        let warnings = check(&blank(&[(50.0, 15.0, 1.9)])).unwrap();
        assert!(matches!(warnings[..], [CutWarning::SmallHole { diameter_mm: 3.8, .. }]));
        let mut sheet = blank(&[]);
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 0.04), (100.0, 30.0), (0.0, 30.0)];
        sheet.blanks[0].outline = Outline::polygon(&corners.map(Point::from)).unwrap();
        let warnings = check(&sheet).unwrap();
        assert_eq!(warnings.len(), 1);
        assert!(warnings[0].to_string().contains("0.040 mm long at (100.00, 0.00)"));
    }
}
