//! Where the tiles of a cut drawing lie.

use crate::hull;
use crate::template::PageTemplate;
use kurbo::{Point, Rect, Size, Vec2};
use marks::{Label, lettering};

/// How a drawing is cut over pages.
#[derive(Clone)]
pub(crate) struct Tiling {
    pub(crate) size: Size,
    pub(crate) template: PageTemplate,
    /// The window on every page, page frame.
    pub(crate) window: Rect,
    /// Where the map stands on every page.
    pub(crate) map: Rect,
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    pub(crate) overlap_mm: f64,
    /// Lower left corner of the first window, the sheet's own plane.
    pub(crate) origin: Point,
    /// Size and look of a page of its own for the notes, where they leave no room for a tile.
    pub(crate) notes: Option<(Size, PageTemplate)>,
}

impl Tiling {
    /// The number of pages.
    pub(crate) fn count(&self) -> usize {
        self.pieces() + usize::from(self.notes.is_some())
    }

    /// The number of tiles.
    pub(crate) fn pieces(&self) -> usize {
        self.columns * self.rows
    }

    /// From one tile to the next, rightward and upward, mm.
    pub(crate) fn step(&self) -> Vec2 {
        self.window.size().to_vec2() - Vec2::new(self.overlap_mm, self.overlap_mm)
    }

    /// A tile's window on the sheet's own plane; columns count rightward, rows downward.
    pub(crate) fn tile(&self, column: usize, row: usize) -> Rect {
        let up = self.rows - 1 - row;
        let step = self.step();
        let corner = self.origin + Vec2::new(step.x * float(column), step.y * float(up));
        Rect::from_origin_size(corner, self.window.size())
    }

    /// The part of a tile's window that no neighbour shows.
    pub(crate) fn unshared(&self, (column, row): (usize, usize)) -> Rect {
        let mut rect = self.tile(column, row);
        let overlap = |shared: bool| if shared { self.overlap_mm } else { 0.0 };
        rect.x0 += overlap(column > 0);
        rect.x1 -= overlap(column + 1 < self.columns);
        rect.y0 += overlap(row + 1 < self.rows);
        rect.y1 -= overlap(row > 0);
        rect
    }

    pub(crate) fn tiles(&self) -> impl Iterator<Item = (usize, usize)> {
        let columns = self.columns;
        (0..self.rows).flat_map(move |row| (0..columns).map(move |column| (column, row)))
    }
}

pub(crate) fn label_box(label: &Label) -> Rect {
    let corners = lettering::corners(label);
    hull::bounds(&corners).unwrap_or_else(|| Rect::from_points(label.at, label.at))
}

#[expect(clippy::cast_precision_loss, reason = "page counts are small")]
pub(crate) fn float(n: usize) -> f64 {
    n as f64
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to a range that usize holds"
)]
pub(crate) fn whole(n: f64) -> usize {
    n.clamp(0.0, 1e6) as usize
}
