//! Reads a table's CSV text row by row, telling where it is wrong.

use super::Provenance;
use csv::{ReaderBuilder, StringRecord};
use thiserror::Error;

/// Why a table can't be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TableError {
    /// Not CSV, or a row with too few or too many cells.
    #[error("table {table}: {what}")]
    NotCsv {
        /// The table.
        table: &'static str,
        /// What the CSV reader says.
        what: String,
    },
    /// A column is not there.
    #[error("table {table} has no column \"{column}\"; its first line must name it")]
    NoColumn {
        /// The table.
        table: &'static str,
        /// The column's heading.
        column: &'static str,
    },
    /// A cell holds something else than its column is for.
    #[error("table {table}, line {line}, column \"{column}\": \"{found}\" isn't {expected}")]
    Cell {
        /// The table.
        table: &'static str,
        /// The line of the text, the headings being line 1.
        line: u64,
        /// The column's heading.
        column: &'static str,
        /// What stands there.
        found: String,
        /// What should stand there.
        expected: &'static str,
    },
}

/// One row of a table.
pub(crate) struct Row<'a> {
    table: &'static str,
    headings: &'a StringRecord,
    cells: &'a StringRecord,
}

/// Reads every row of a CSV text.
pub(crate) fn rows<T>(
    table: &'static str,
    text: &str,
    read: impl Fn(&Row<'_>) -> Result<T, TableError>,
) -> Result<Vec<T>, TableError> {
    let not_csv = |error: csv::Error| TableError::NotCsv { table, what: error.to_string() };
    let mut reader = ReaderBuilder::new().from_reader(text.as_bytes());
    let headings = reader.headers().map_err(not_csv)?.clone();
    let row = |cells: Result<StringRecord, csv::Error>| {
        read(&Row { table, headings: &headings, cells: &cells.map_err(not_csv)? })
    };
    reader.records().map(row).collect()
}

impl Row<'_> {
    /// The text of a cell.
    pub(crate) fn text(&self, column: &'static str) -> Result<&str, TableError> {
        let at = self.headings.iter().position(|heading| heading == column);
        at.and_then(|at| self.cells.get(at))
            .ok_or(TableError::NoColumn { table: self.table, column })
    }

    /// A number above zero.
    pub(crate) fn positive(&self, column: &'static str) -> Result<f64, TableError> {
        match self.text(column)?.parse::<f64>() {
            Ok(value) if value.is_finite() && value > 0.0 => Ok(value),
            _ => Err(self.fault(column, "a number above zero")),
        }
    }

    /// Texts parted by `|`; none when the cell is empty.
    pub(crate) fn list(&self, column: &'static str) -> Result<Vec<String>, TableError> {
        let names = self.text(column)?.split('|').filter(|name| !name.is_empty());
        Ok(names.map(str::to_owned).collect())
    }

    /// How the row's figures are known.
    pub(crate) fn origin(&self) -> Result<Provenance, TableError> {
        Ok(Provenance {
            source: self.text("source")?.to_owned(),
            confidence: self.text("confidence")?.to_owned(),
        })
    }

    /// The line of the text it stands in, the headings being line 1.
    pub(crate) fn line(&self) -> u64 {
        self.cells.position().map_or(0, csv::Position::line)
    }

    /// The error for a cell that holds something else than `expected`.
    pub(crate) fn fault(&self, column: &'static str, expected: &'static str) -> TableError {
        TableError::Cell {
            table: self.table,
            line: self.line(),
            column,
            found: self.text(column).unwrap_or_default().to_owned(),
            expected,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn diameters(text: &str) -> Result<Vec<f64>, TableError> {
        rows("pins", text, |row| row.positive("mm"))
    }

    #[test]
    fn a_fault_is_told_with_its_place() {
        assert_eq!(diameters("name,mm\na,2\nb,3.5\n"), Ok(vec![2.0, 3.5]));
        let sentence = |text| diameters(text).unwrap_err().to_string();
        assert_eq!(
            sentence("name,mm\na,2\nb,wide\n"),
            "table pins, line 3, column \"mm\": \"wide\" isn't a number above zero"
        );
        assert_eq!(
            sentence("name,mm\na,NaN\n"),
            "table pins, line 2, column \"mm\": \"NaN\" isn't a number above zero"
        );
        assert_eq!(
            sentence("name\na\n"),
            "table pins has no column \"mm\"; its first line must name it"
        );
        assert!(sentence("name,mm\na\n").starts_with("table pins: "));
    }
}
