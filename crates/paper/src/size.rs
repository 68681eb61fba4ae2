//! The paper sizes, read from their table.

use crate::PaperError;
use kurbo::Size;

/// The table: name, width and height in mm, source, confidence.
const TABLE: &str = include_str!("../../../assets/papers.csv");

/// A paper size.
#[derive(Clone, Debug, PartialEq)]
pub struct Paper {
    /// Its name in the table: "letter", "a4".
    pub name: String,
    /// Width and height as the table lists them, mm.
    pub size_mm: Size,
}

impl Paper {
    /// The paper of that name; case does not matter.
    ///
    /// # Errors
    /// [`PaperError::UnknownPaper`] tells the names there are.
    pub fn named(name: &str) -> Result<Self, PaperError> {
        let all = Self::all()?;
        let wanted = name.trim().to_lowercase();
        let known = all.iter().map(|paper| paper.name.as_str()).collect::<Vec<_>>().join(", ");
        all.into_iter()
            .find(|paper| paper.name == wanted)
            .ok_or_else(|| PaperError::UnknownPaper { name: name.into(), known })
    }

    /// Every paper in the table, in its order.
    ///
    /// # Errors
    /// [`PaperError::Shipped`] when the table can't be read.
    pub fn all() -> Result<Vec<Self>, PaperError> {
        let broken = || PaperError::Shipped { what: "The table of paper sizes" };
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .from_reader(TABLE.as_bytes());
        let rows = reader.records().map(|row| {
            let row = row.ok()?;
            let side = |at: usize| row.get(at)?.parse::<f64>().ok().filter(|mm| *mm > 0.0);
            let size_mm = Size::new(side(1)?, side(2)?);
            Some(Self { name: row.get(0)?.to_lowercase(), size_mm })
        });
        rows.collect::<Option<Vec<_>>>().filter(|all| !all.is_empty()).ok_or_else(broken)
    }

    /// The name as a title shows it: "Letter", "A4".
    pub fn title(&self) -> String {
        let mut signs = self.name.chars();
        signs
            .next()
            .map(|first| first.to_uppercase().collect::<String>() + signs.as_str())
            .unwrap_or_default()
    }

    /// The sides upright: the shorter one across.
    pub fn upright_mm(&self) -> Size {
        let Size { width, height } = self.size_mm;
        Size::new(width.min(height), width.max(height))
    }

    /// The sides lying: the longer one across.
    pub fn lying_mm(&self) -> Size {
        let upright = self.upright_mm();
        Size::new(upright.height, upright.width)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 216: A(n) has sides of 1000·2^(-(2n±1)/4) mm, rounded to whole millimetres as its
    /// table prints them.
    #[test]
    fn a_sizes_are_iso_216() {
        for n in 0..=5 {
            let power = |k: f64| (1000.0 * (-(2.0 * f64::from(n) + k) / 4.0).exp2() + 0.2).floor();
            let paper = Paper::named(&format!("A{n}")).unwrap();
            assert_eq!(paper.size_mm, Size::new(power(1.0), power(-1.0)), "{}", paper.name);
        }
    }

    /// ASME Y14.1: size A is 8.5 × 11 in, size B 11 × 17 in.
    #[test]
    fn inch_sizes_are_whole_half_inches() {
        for (name, width_in, height_in) in
            [("letter", 8.5, 11.0), ("legal", 8.5, 14.0), ("tabloid", 11.0, 17.0)]
        {
            let size = Paper::named(name).unwrap().upright_mm();
            assert!((size.width - width_in * 25.4).abs() < 1e-9);
            assert!((size.height - height_in * 25.4).abs() < 1e-9);
        }
        assert_eq!(Paper::named("ledger").unwrap().upright_mm().width, 279.4);
    }

    #[test]
    fn an_unknown_name_is_told_with_the_known_ones() {
        let error = Paper::named("foolscap").unwrap_err().to_string();
        assert!(error.contains("foolscap") && error.contains("letter") && error.contains("a4"));
        assert_eq!(Paper::named("a4").unwrap().title(), "A4");
        assert_eq!(Paper::named(" Letter ").unwrap().title(), "Letter");
    }
}
