//! The tracing mat: targets around a free middle, and marks that tell which way is up and how
//! large it is. Plain numbers in millimetres, for the sheet that prints it and for the picture in
//! which it is found. The design is our own.
//!
//! Targets are black squares with a white square in them, in a ring of [`Mat::columns`] by
//! [`Mat::rows`] at a fixed pitch. Between the two targets next to each corner, on the lower and
//! the upper side, stands a mark of 5 × 5 cells that tells columns, rows and the corner.
//!
//! ```
//! use mat::{Mat, MatCorner};
//!
//! let mat = Mat::within(195.9, 259.4).expect("a letter sheet has room");
//! let mark = mat.mark(MatCorner::LowerLeft);
//! assert_eq!(Mat::read_mark(&mark), Some((mat, MatCorner::LowerLeft)), "the mark tells the mat");
//! ```

use kurbo::{Point, Rect, Vec2};

/// From centre to centre of neighbouring targets, mm.
pub const PITCH_MM: f64 = 20.0;
/// Side of a target's black square, mm.
pub const TARGET_MM: f64 = 8.0;
/// Side of the white square in it, mm.
pub const OPENING_MM: f64 = 4.8;
/// Cells of a mark along each side.
pub const MARK_CELLS: usize = 5;
/// Side of a mark's cell, mm.
pub const CELL_MM: f64 = 1.6;
/// The fewest targets along a side, and the most.
pub const MIN_ALONG: u32 = 4;
/// The most targets along a side.
pub const MAX_ALONG: u32 = 63;
/// The fewest targets of a mat in all.
pub const MIN_TARGETS: u32 = 24;

/// Bits of the check in a mark.
const CHECK_BITS: u32 = 11;
/// Generator of the check, x¹¹ + x⁹ + x⁸ + x⁷ + x² + 1: of even weight, so that every odd number of
/// wrong cells is found (own choice among the usual ones).
const CHECK_POLYNOMIAL: u32 = 0b1011_1000_0101;
/// What the check starts from, so that white paper is no mark.
const CHECK_START: u32 = 0x2A5;

/// A corner of the mat, and the mark next to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MatCorner {
    /// Lower left.
    LowerLeft,
    /// Lower right.
    LowerRight,
    /// Upper right.
    UpperRight,
    /// Upper left.
    UpperLeft,
}

impl MatCorner {
    /// All four.
    pub const ALL: [Self; 4] =
        [Self::LowerLeft, Self::LowerRight, Self::UpperRight, Self::UpperLeft];
}

/// A mat by its number of targets. Its origin is its centre, x right, y up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mat {
    /// Targets along the lower side.
    pub columns: u32,
    /// Targets along the left side.
    pub rows: u32,
}

impl Mat {
    /// A mat of so many targets; `None` if it has fewer than [`MIN_TARGETS`] or a side is outside
    /// [`MIN_ALONG`] to [`MAX_ALONG`].
    pub fn new(columns: u32, rows: u32) -> Option<Self> {
        let along = MIN_ALONG..=MAX_ALONG;
        let mat = Self { columns, rows };
        let sound = along.contains(&columns) && along.contains(&rows);
        (sound && mat.count() >= MIN_TARGETS).then_some(mat)
    }

    /// The mat with the most targets whose black squares fit into a width and a height, mm;
    /// `None` where none does.
    pub fn within(width_mm: f64, height_mm: f64) -> Option<Self> {
        let along = |mm: f64| {
            let count = ((mm - TARGET_MM) / PITCH_MM + 1e-9).floor() + 1.0;
            count.clamp(0.0, f64::from(MAX_ALONG)) as u32
        };
        Self::new(along(width_mm), along(height_mm))
    }

    /// How many targets it has.
    pub fn count(&self) -> u32 {
        2 * (self.columns + self.rows) - 4
    }

    /// Its outer sides, over the black squares, mm.
    pub fn bounds(&self) -> Rect {
        let half =
            Vec2::new(f64::from(self.columns - 1), f64::from(self.rows - 1)) * PITCH_MM / 2.0;
        let half = half + Vec2::new(TARGET_MM, TARGET_MM) / 2.0;
        Rect::new(-half.x, -half.y, half.x, half.y)
    }

    /// Its free middle, inside the targets, mm.
    pub fn middle(&self) -> Rect {
        self.bounds().inset(-TARGET_MM)
    }

    /// The centre of the target in this column and row, whether there is one or not.
    pub fn place(&self, column: f64, row: f64) -> Point {
        let middle = Point::new(f64::from(self.columns - 1) / 2.0, f64::from(self.rows - 1) / 2.0);
        ((Point::new(column, row) - middle) * PITCH_MM).to_point()
    }

    /// Whether a target stands in this column and row.
    pub fn has(&self, column: i64, row: i64) -> bool {
        let (last_column, last_row) = (i64::from(self.columns) - 1, i64::from(self.rows) - 1);
        let inside = (0..=last_column).contains(&column) && (0..=last_row).contains(&row);
        inside && (column == 0 || row == 0 || column == last_column || row == last_row)
    }

    /// The centres of all targets, mm.
    pub fn targets(&self) -> impl Iterator<Item = Point> + '_ {
        let all = (0..self.rows).flat_map(move |r| (0..self.columns).map(move |c| (c, r)));
        all.filter(|(c, r)| self.has(i64::from(*c), i64::from(*r)))
            .map(|(c, r)| self.place(f64::from(c), f64::from(r)))
    }

    /// The centre of a corner's mark, mm.
    pub fn mark_at(&self, corner: MatCorner) -> Point {
        let (right, top) = (f64::from(self.columns) - 1.5, f64::from(self.rows) - 1.0);
        match corner {
            MatCorner::LowerLeft => self.place(0.5, 0.0),
            MatCorner::LowerRight => self.place(right, 0.0),
            MatCorner::UpperRight => self.place(right, top),
            MatCorner::UpperLeft => self.place(0.5, top),
        }
    }

    /// The cells of a corner's mark, black ones true, rows from the top.
    pub fn mark(&self, corner: MatCorner) -> [[bool; MARK_CELLS]; MARK_CELLS] {
        let payload = (self.columns << 8) | (self.rows << 2) | corner as u32;
        let code = (payload << CHECK_BITS) | check(payload);
        let mut cells = [[false; MARK_CELLS]; MARK_CELLS];
        for (i, cell) in cells.iter_mut().flatten().enumerate() {
            *cell = code >> (MARK_CELLS * MARK_CELLS - 1 - i) & 1 == 1;
        }
        cells
    }

    /// The mat and the corner that a mark tells; `None` if it is none.
    pub fn read_mark(cells: &[[bool; MARK_CELLS]; MARK_CELLS]) -> Option<(Self, MatCorner)> {
        let code = cells.iter().flatten().fold(0_u32, |code, cell| code << 1 | u32::from(*cell));
        let (payload, found) = (code >> CHECK_BITS, code & ((1 << CHECK_BITS) - 1));
        let corner = MatCorner::ALL[(payload & 3) as usize];
        let mat = Self::new(payload >> 8, payload >> 2 & 63)?;
        (check(payload) == found).then_some((mat, corner))
    }
}

/// The offset of a mark's cell from the mark's centre, mm; rows count from the top.
pub fn cell_at(column: usize, row: usize) -> Vec2 {
    let middle = (MARK_CELLS - 1) as f64 / 2.0;
    Vec2::new(column as f64 - middle, middle - row as f64) * CELL_MM
}

/// The remainder of 14 bits, shifted up, by the generator.
fn check(payload: u32) -> u32 {
    let mut rest = (payload << CHECK_BITS) ^ (CHECK_START << 14);
    for bit in (CHECK_BITS..25).rev() {
        if rest >> bit & 1 == 1 {
            rest ^= CHECK_POLYNOMIAL << (bit - CHECK_BITS);
        }
    }
    rest & ((1 << CHECK_BITS) - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mark_is_read_back_and_one_wrong_cell_is_noticed() {
        for (columns, rows) in [(4, 10), (9, 12), (63, 63), (12, 4)] {
            let mat = Mat::new(columns, rows).unwrap();
            for corner in MatCorner::ALL {
                let cells = mat.mark(corner);
                assert_eq!(Mat::read_mark(&cells), Some((mat, corner)));
                for i in 0..25 {
                    let mut wrong = cells;
                    wrong[i / 5][i % 5] ^= true;
                    assert_eq!(Mat::read_mark(&wrong), None);
                }
            }
        }
        for all in [false, true] {
            assert_eq!(Mat::read_mark(&[[all; 5]; 5]), None);
        }
    }

    #[test]
    fn a_mark_turned_is_not_another() {
        let turned = |cells: [[bool; 5]; 5]| {
            std::array::from_fn(|r| std::array::from_fn(|c| cells[4 - c][r]))
        };
        for rows in MIN_ALONG..=MAX_ALONG {
            let Some(mat) = Mat::new(rows.max(8), rows) else { continue };
            for corner in MatCorner::ALL {
                let mut cells = mat.mark(corner);
                for _ in 0..3 {
                    cells = turned(cells);
                    let read = Mat::read_mark(&cells);
                    assert!(read.is_none_or(|(other, _)| other.count() != mat.count()));
                }
            }
        }
    }

    #[test]
    fn a_mat_is_as_large_as_its_paper_allows() {
        let mat = Mat::within(180.0, 240.0).unwrap();
        assert_eq!((mat.columns, mat.rows, mat.count()), (9, 12, 38));
        assert_eq!(mat.targets().count(), 38);
        assert!(mat.bounds().width() <= 180.0 && mat.bounds().height() <= 240.0);
        assert!(mat.targets().all(|p| mat.bounds().contains(p) && !mat.middle().contains(p)));
        assert_eq!(Mat::within(60.0, 60.0), None);
        assert_eq!(mat.place(4.0, 5.5), Point::ORIGIN);
    }
}
