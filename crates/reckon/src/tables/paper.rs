//! Papers by name.

use super::read::{Row, TableError};
use super::{Provenance, Tables, is_same_name};

/// A paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Paper {
    /// Its name, such as `letter` or `a4`.
    pub name: String,
    /// Width as it usually lies, mm.
    pub width_mm: f64,
    /// Height as it usually lies, mm.
    pub height_mm: f64,
    /// How the figures are known.
    pub origin: Provenance,
}

impl Paper {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        Ok(Self {
            name: row.text("name")?.to_owned(),
            width_mm: row.positive("width_mm")?,
            height_mm: row.positive("height_mm")?,
            origin: row.origin()?,
        })
    }
}

impl Tables {
    /// The paper of this name, in either case.
    pub fn paper(&self, name: &str) -> Option<&Paper> {
        self.papers().iter().find(|paper| is_same_name(&paper.name, name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn papers_by_name() {
        let size =
            |name| Tables::built_in().paper(name).map(|paper| (paper.width_mm, paper.height_mm));
        assert_eq!(size("A4"), Some((210.0, 297.0)));
        assert_eq!(size("Letter"), Some((215.9, 279.4)));
        assert_eq!(size("foolscap"), None);
    }
}
