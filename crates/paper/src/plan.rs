//! How a sheet goes on paper, before any of it is drawn.

use crate::template::PageTemplate;
use crate::tiling::Tiling;
use kurbo::{Size, Vec2};
use marks::Drawing;

/// How a sheet goes on paper.
pub(crate) enum Plan {
    Single {
        size: Size,
        template: PageTemplate,
        turn_deg: f64,
        by: Vec2,
    },
    Tiles(Tiling),
    /// Inserts on pages of their own.
    Tables(Vec<TablePage>),
    /// Text on pages of its own.
    Text(Vec<TextPage>),
    /// The page that measures the printer.
    Proof,
}

impl Plan {
    /// How many pages it takes.
    pub(crate) fn pages(&self) -> usize {
        match self {
            Self::Single { .. } | Self::Proof => 1,
            Self::Tiles(tiling) => tiling.count(),
            Self::Tables(pages) => pages.len(),
            Self::Text(pages) => pages.len(),
        }
    }

    /// In how many pieces the drawing is on them: what is not cut is one.
    pub(crate) fn pieces(&self) -> usize {
        match self {
            Self::Tiles(tiling) => tiling.pieces(),
            _ => 1,
        }
    }
}

/// One page of inserts: which, and where each goes.
pub(crate) struct TablePage {
    pub(crate) size: Size,
    /// How the page is furnished where something on it is to be measured.
    pub(crate) template: Option<PageTemplate>,
    pub(crate) placed: Vec<(usize, Vec2)>,
}

/// One page of text.
pub(crate) struct TextPage {
    pub(crate) size: Size,
    pub(crate) drawing: Drawing,
    /// On a page that the text shares with its sheet's drawing: how it is furnished, and how far
    /// the drawing is moved to its place.
    pub(crate) frame: Option<(PageTemplate, Vec2)>,
}
