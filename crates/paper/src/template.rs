//! What is on a page beside the drawing, from the fullest to the plainest.

use crate::corner::{Corner, SHORT_MM, ScaleCheck, TextPlacement};
use crate::ruler::{MM_PER_INCH, OVERHANG_MM, SLIM_LONG_MM};

/// An upright rule of 80 mm and 3 in with its overhang, mm.
const TIGHT_MM: f64 = 82.0 + OVERHANG_MM;
/// Slim upright rules of 5, 4, 3 and 2 in with their last figures, mm.
const TIGHT_SLIM_MM: [f64; 4] = [
    SLIM_LONG_MM - MM_PER_INCH,
    SLIM_LONG_MM - 2.0 * MM_PER_INCH,
    SLIM_LONG_MM - 3.0 * MM_PER_INCH,
    SLIM_LONG_MM - 4.0 * MM_PER_INCH,
];

/// What is on a page beside the drawing: title, rules, proof square and text.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PageTemplate {
    /// A title line along the top, or a block in the upper right corner.
    pub(crate) title_line: bool,
    /// The lower left corner.
    pub(crate) corner: Corner,
}

impl PageTemplate {
    const fn large(title_line: bool, level: bool, upright: bool, text: TextPlacement) -> Self {
        const fn length(full: bool) -> Option<f64> {
            if full { None } else { Some(SHORT_MM) }
        }
        let (level_mm, upright_mm) = (length(level), length(upright));
        Self { title_line, corner: Corner { check: ScaleCheck::Large, level_mm, upright_mm, text } }
    }

    const fn slim(title_line: bool, text: TextPlacement) -> Self {
        let (level_mm, upright_mm) = (Some(SLIM_LONG_MM), Some(SLIM_LONG_MM));
        Self { title_line, corner: Corner { check: ScaleCheck::Slim, level_mm, upright_mm, text } }
    }

    /// Templates for a level drawing, the best first.
    const LEVEL: [Self; 5] = [
        Self::large(true, true, true, TextPlacement::Beside),
        Self::large(true, true, false, TextPlacement::Beside),
        Self::large(true, true, true, TextPlacement::Above),
        Self::large(true, false, false, TextPlacement::Beside),
        Self::large(true, false, false, TextPlacement::Above),
    ];
    const MEASURED: [Self; 1] = [Self {
        title_line: true,
        corner: Corner {
            check: ScaleCheck::Itself,
            level_mm: None,
            upright_mm: None,
            text: TextPlacement::Beside,
        },
    }];
    const LEVEL_SLIM: [Self; 1] = [Self::slim(true, TextPlacement::Beside)];

    /// Templates with a shorter upright rule, for a drawing that would not go level without.
    const TIGHT: [Self; 1] =
        [Self::large(true, true, false, TextPlacement::Beside).upright(TIGHT_MM)];
    const TIGHT_SLIM: [Self; 5] = [
        Self::slim(true, TextPlacement::Beside).upright(TIGHT_SLIM_MM[0]),
        Self::slim(true, TextPlacement::Beside).upright(TIGHT_SLIM_MM[1]),
        Self::slim(true, TextPlacement::Beside).upright(TIGHT_SLIM_MM[2]),
        Self::slim(true, TextPlacement::Beside).upright(TIGHT_SLIM_MM[3]),
        Self::slim(true, TextPlacement::Above),
    ];
    const TILES_SLIM: [Self; 2] =
        [Self::slim(true, TextPlacement::Beside), Self::slim(true, TextPlacement::Above)];

    const fn upright(mut self, long_mm: f64) -> Self {
        self.corner.upright_mm = Some(long_mm);
        self
    }

    /// Templates for tiles.
    const TILES: [Self; 3] = [
        Self::large(true, true, false, TextPlacement::Beside),
        Self::large(true, true, true, TextPlacement::Beside),
        Self::large(true, true, true, TextPlacement::Above),
    ];

    /// Templates for a level drawing, the best first.
    pub(crate) fn level(check: ScaleCheck) -> &'static [Self] {
        match check {
            ScaleCheck::Large => &Self::LEVEL,
            ScaleCheck::Slim => &Self::LEVEL_SLIM,
            ScaleCheck::Itself => &Self::MEASURED,
        }
    }

    /// Templates for a level drawing that finds no room with those.
    pub(crate) fn tight(check: ScaleCheck) -> &'static [Self] {
        match check {
            ScaleCheck::Large => &Self::TIGHT,
            ScaleCheck::Slim => &Self::TIGHT_SLIM,
            ScaleCheck::Itself => &[],
        }
    }

    /// The template for a drawing on the diagonal from the upper left to the lower right.
    pub(crate) fn diagonal(check: ScaleCheck) -> Self {
        match check {
            ScaleCheck::Large | ScaleCheck::Itself => {
                Self::large(false, false, false, TextPlacement::FactsLow)
            }
            ScaleCheck::Slim => Self::slim(false, TextPlacement::FactsLow),
        }
    }

    /// Templates for tiles.
    pub(crate) fn tiles(check: ScaleCheck) -> &'static [Self] {
        match check {
            ScaleCheck::Large | ScaleCheck::Itself => &Self::TILES,
            ScaleCheck::Slim => &Self::TILES_SLIM,
        }
    }
}
