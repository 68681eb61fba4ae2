//! The paper sizes: those of the table, typed ones, and rolls.

use crate::PaperError;
use crate::number_format::number;
use kurbo::Size;
use units::{LengthUnit, parse_length, show_mm};

/// The table: name, width and height in mm, source, confidence.
const TABLE: &str = include_str!("../../../assets/papers.csv");

/// Sides that some printer takes, mm: from a card to the longest piece off a roll.
const SIDE_MM: std::ops::RangeInclusive<f64> = 80.0..=5000.0;
/// The longest piece cut off a roll of which no length is typed, mm.
const ROLL_MM: f64 = 3000.0;

/// A paper size.
#[derive(Clone, Debug, PartialEq)]
pub struct Paper {
    /// Its name in the table: "letter", "a4".
    pub name: String,
    /// Width and height as the table lists them, mm.
    pub size_mm: Size,
    /// Of a roll, the longest piece that may be cut off it, mm; the width is the roll's own.
    pub roll_mm: Option<f64>,
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

    /// The paper that was typed: a name of the table, two sides such as `300x600mm` or `12x18in`,
    /// or a roll such as `roll:610mm` or `roll:24x48in`, of which each sheet is cut as long as it
    /// must be (no longer than 3 m, or what was typed). Bare numbers are millimetres.
    ///
    /// # Errors
    /// [`PaperError::NoSize`] and [`PaperError::Side`] say what can be typed.
    pub fn parse(typed: &str) -> Result<Self, PaperError> {
        if let Ok(paper) = Self::named(typed) {
            return Ok(paper);
        }
        let text = typed.trim().to_lowercase();
        let roll = text.strip_prefix("roll:");
        let lengths = sides(roll.unwrap_or(&text));
        let no_size = || {
            let names = Self::all().unwrap_or_default().into_iter().map(|paper| paper.name);
            let known = names.collect::<Vec<_>>().join(", ");
            PaperError::NoSize { typed: typed.trim().to_owned(), known }
        };
        let lengths = lengths.filter(|sides| sides.len() == 2 || roll.is_some());
        let lengths = lengths.ok_or_else(no_size)?;
        if let Some(wrong) = lengths.iter().find(|mm| !SIDE_MM.contains(*mm)) {
            return Err(PaperError::Side {
                side: show_mm(*wrong, 1),
                min: show_mm(*SIDE_MM.start(), 0),
                max: show_mm(*SIDE_MM.end(), 0),
            });
        }
        let (width, length) = match lengths[..] {
            [width, length] => (width, length),
            [width] => (width, ROLL_MM),
            _ => return Err(no_size()),
        };
        let size_mm = Size::new(width, length);
        Ok(Self { size_mm, roll_mm: roll.map(|_| length), name: text.clone() })
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
            Some(Self { name: row.get(0)?.to_lowercase(), size_mm, roll_mm: None })
        });
        rows.collect::<Option<Vec<_>>>().filter(|all| !all.is_empty()).ok_or_else(broken)
    }

    /// The name as a title shows it: "Letter", "A4", "Size C", "300x600mm", "Roll of 610 mm".
    pub fn title(&self) -> String {
        if self.name.len() == 1 {
            return format!("Size {}", self.name.to_uppercase());
        }
        if self.roll_mm.is_some() {
            return format!("Roll of {} mm", number(self.size_mm.width));
        }
        let mut signs = self.name.chars();
        signs
            .next()
            .map(|first| first.to_uppercase().collect::<String>() + signs.as_str())
            .unwrap_or_default()
    }

    /// The sides upright: the shorter one across; of a roll, its width.
    pub fn portrait_mm(&self) -> Size {
        let Size { width, height } = self.size_mm;
        if self.roll_mm.is_some() {
            return self.size_mm;
        }
        Size::new(width.min(height), width.max(height))
    }

    /// The sides lying: the longer one across; of a roll, the length.
    pub fn landscape_mm(&self) -> Size {
        let upright = self.portrait_mm();
        Size::new(upright.height, upright.width)
    }

    /// Whether a page of this paper lies: held upright, its left side would be up or down.
    pub(crate) fn is_landscape(&self, size: Size) -> bool {
        match self.roll_mm {
            Some(_) => (size.width - self.size_mm.width).abs() > 1e-6,
            None => size.width > size.height,
        }
    }
}

/// The lengths between the signs × or x; a side without a unit has the last one's.
fn sides(text: &str) -> Option<Vec<f64>> {
    let parts: Vec<&str> = text.split(['x', '×']).map(str::trim).collect();
    let last = parts.last()?;
    let unit =
        last.trim_start_matches(|sign: char| !(sign.is_alphabetic() || "\"″'′".contains(sign)));
    let read = |part: &&str| {
        let bare = part.ends_with(|sign: char| sign.is_ascii_digit());
        let whole = if bare { format!("{part} {unit}") } else { (*part).to_owned() };
        parse_length(&whole, LengthUnit::Millimetre).ok().map(|length| length.to_mm())
    };
    parts.iter().map(read).collect()
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
            let size = Paper::named(name).unwrap().portrait_mm();
            assert!((size.width - width_in * 25.4).abs() < 1e-9);
            assert!((size.height - height_in * 25.4).abs() < 1e-9);
        }
        assert_eq!(Paper::named("ledger").unwrap().portrait_mm().width, 279.4);
    }

    #[test]
    fn sizes_can_be_typed() {
        for (typed, width, height) in [
            ("300x600mm", 300.0, 600.0),
            ("300 × 600", 300.0, 600.0),
            ("12x18in", 304.8, 457.2),
            ("8 1/2 x 11in", 215.9, 279.4),
            ("30cmx100cm", 300.0, 1000.0),
            ("A4", 210.0, 297.0),
        ] {
            let paper = Paper::parse(typed).unwrap();
            assert!((paper.size_mm.width - width).abs() < 1e-9, "{typed}: {paper:?}");
            assert!((paper.size_mm.height - height).abs() < 1e-9, "{typed}: {paper:?}");
            assert_eq!(paper.roll_mm, None);
        }
        let roll = Paper::parse("roll:24in").unwrap();
        assert!((roll.size_mm.width - 609.6).abs() < 1e-9 && roll.roll_mm == Some(ROLL_MM));
        assert_eq!(Paper::parse("Roll:610x900mm").unwrap().roll_mm, Some(900.0));
        assert_eq!(Paper::parse("roll:610mm").unwrap().title(), "Roll of 610 mm");
    }

    #[test]
    fn what_is_no_size_is_refused_with_what_is() {
        for typed in
            ["", "foolscap", "300", "x", "300x", "1x2x3", "roll:", "roll:axb", "0x", "nanxnan"]
        {
            let message = Paper::parse(typed).unwrap_err().to_string();
            assert!(
                message.contains("300x600mm") && message.contains("letter"),
                "{typed}: {message}"
            );
        }
        for typed in ["0x300mm", "-210x297mm", "300x9000mm", "roll:10mm", "1e9x10mm"] {
            let message = Paper::parse(typed).unwrap_err();
            let refused = matches!(message, PaperError::Side { .. } | PaperError::NoSize { .. });
            assert!(refused, "{typed}: {message}");
        }
    }

    #[test]
    fn an_unknown_name_is_told_with_the_known_ones() {
        let error = Paper::named("foolscap").unwrap_err().to_string();
        assert!(error.contains("foolscap") && error.contains("letter") && error.contains("a4"));
        assert_eq!(Paper::named("a4").unwrap().title(), "A4");
        assert_eq!(Paper::named(" Letter ").unwrap().title(), "Letter");
    }
}
