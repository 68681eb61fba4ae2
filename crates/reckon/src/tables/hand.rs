//! Sizes of hands.

use super::read::{Row, TableError};
use super::{Provenance, Tables};

/// How large a hand is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HandSize {
    /// Few grown people have a smaller one.
    Small,
    /// As many have a smaller one as have a larger.
    Medium,
    /// Few have a larger one.
    Large,
}

impl HandSize {
    /// All of them, the smallest first.
    pub const ALL: [Self; 3] = [Self::Small, Self::Medium, Self::Large];

    /// Its name, as it is typed and read.
    pub fn label(self) -> &'static str {
        match self {
            Self::Small => "small",
            Self::Medium => "medium",
            Self::Large => "large",
        }
    }
}

/// A hand's measures.
#[derive(Clone, Debug, PartialEq)]
pub struct Hand {
    /// How large it is.
    pub size: HandSize,
    /// Whose it is, in words.
    pub whose: String,
    /// From the crease of the wrist to the tip of the middle finger, mm.
    pub length_mm: f64,
    /// Across the palm at the knuckles, without the thumb, mm.
    pub breadth_mm: f64,
    /// Across the index finger next to the hand, mm.
    pub index_mm: f64,
    /// How the figures are known.
    pub origin: Provenance,
}

impl Hand {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let name = row.text("name")?;
        let size = HandSize::ALL.into_iter().find(|size| size.label() == name);
        Ok(Self {
            size: size.ok_or_else(|| row.fault("name", "one of small, medium, large"))?,
            whose: row.text("whose")?.to_owned(),
            length_mm: row.positive("length_mm")?,
            breadth_mm: row.positive("breadth_mm")?,
            index_mm: row.positive("index_mm")?,
            origin: row.origin()?,
        })
    }
}

impl Tables {
    /// Sizes of hands, the smallest first.
    pub fn hands(&self) -> &[Hand] {
        &self.hands
    }

    /// The hand of this size.
    pub fn hand(&self, size: HandSize) -> Option<&Hand> {
        self.hands.iter().find(|hand| hand.size == size)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Held against a second publication: hand lengths and breadths of MIL-STD-1472 and of NASA's
    // MSIS lie between 159 and 219 mm, and 69 and 98 mm, for 5 to 95 of 100 women and men (both
    // from memory). A hand is a little more than twice as long as it is broad.
    #[test]
    fn hands_grow_and_keep_their_shape() {
        let hands = Tables::built_in().hands();
        assert_eq!(hands.iter().map(|hand| hand.size).collect::<Vec<_>>(), HandSize::ALL);
        for pair in hands.windows(2) {
            assert!(pair[0].length_mm < pair[1].length_mm);
            assert!(pair[0].breadth_mm < pair[1].breadth_mm);
            assert!(pair[0].index_mm < pair[1].index_mm);
        }
        for hand in hands {
            assert!((159.0..219.0).contains(&hand.length_mm), "{hand:?}");
            assert!((69.0..=98.0).contains(&hand.breadth_mm), "{hand:?}");
            let shape = hand.length_mm / hand.breadth_mm;
            assert!((2.1..2.35).contains(&shape), "{hand:?}");
            // Four fingers side by side are no broader than the hand.
            assert!(4.0 * hand.index_mm < 1.02 * hand.breadth_mm, "{hand:?}");
        }
    }
}
