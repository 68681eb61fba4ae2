//! A printer's trim from what was measured on its proof: the same for the Paper station and for
//! the command `trim`.

use knife::limits;
use kurbo::{Size, Vec2};
use paper::{PageSetup, Paper, PaperError};
use reckon::Shop;
use reckon::shop::trim::{ProofReading, Trim, TrimError};
use reckon::shop::{Printer, file};
use units::{LengthUnit, ParseError, parse_length};

/// A line of the proof, or two that are alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProofLine {
    /// A and B.
    Across,
    /// C and D.
    Up,
    /// E.
    Rising,
    /// F.
    Falling,
}

impl ProofLine {
    /// From its one end to the other on a proof with these sides, paper upright, mm.
    pub fn true_mm(self, sides: Size) -> Vec2 {
        match self {
            Self::Across => Vec2::new(sides.width, 0.0),
            Self::Up => Vec2::new(0.0, sides.height),
            Self::Rising => Vec2::new(sides.width, sides.height),
            Self::Falling => Vec2::new(sides.width, -sides.height),
        }
    }
}

/// How a proof was printed whose readings are typed in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PrintedWith {
    /// Nobody said. For a printer without a trim there is no question.
    #[default]
    Unsaid,
    /// Through the trim that the shop has for the printer.
    ItsTrim,
    /// Without a trim.
    NoTrim,
}

/// Why no trim comes of the readings.
#[derive(Debug, thiserror::Error)]
pub enum TrimRefusal {
    /// The proof is said to be printed with a trim that isn't there.
    #[error(
        "there is no correction for {0} to confirm; type in its first proof, printed without \
             one"
    )]
    NothingToConfirm(String),
    /// The printer has a trim, and nobody said whether the proof was printed with it. Taken
    /// wrongly, a good trim would be lost: a proof through it comes out true.
    #[error(
        "{name} has a correction already ({trim}); say whether this proof was printed with it or \
         without"
    )]
    Unsaid {
        /// The printer.
        name: String,
        /// Its trim in words.
        trim: String,
    },
    /// The printer has no name, or one too long to be kept, or of more than one line.
    #[error(
        "a printer needs a name of 1 to {} characters on one line, to be kept and found by",
        limits::NAME_CHARS
    )]
    Name,
    /// More readings than are kept.
    #[error(
        "{name} would have {count} readings, and at most {} are kept; measure it again with a \
         proof printed without its correction",
        file::ENTRIES.end()
    )]
    TooManyReadings {
        /// The printer.
        name: String,
        /// How many there would be.
        count: usize,
    },
    /// More printers than are kept.
    #[error("the shop has {} printers, and no more are kept; remove one first", file::ENTRIES.end())]
    TooManyPrinters,
    /// The readings make no trim.
    #[error(transparent)]
    Readings(#[from] TrimError),
    /// The paper has no room for a proof.
    #[error(transparent)]
    Paper(#[from] PaperError),
}

/// The printer with the trim that these readings of a proof on this paper give, each a line and
/// its measured length in mm. Of a proof that was printed with the trim that the shop has for it,
/// all readings count together; of one without, these alone.
///
/// # Errors
/// [`TrimRefusal`]
pub fn measure(
    shop: &Shop,
    name: &str,
    setup: &PageSetup,
    printed: PrintedWith,
    readings: &[(ProofLine, f64)],
) -> Result<Printer, TrimRefusal> {
    let is_long = !(1..=limits::NAME_CHARS).contains(&name.trim().chars().count());
    if is_long || name.trim().chars().any(char::is_control) {
        return Err(TrimRefusal::Name);
    }
    let known = find_printer(shop, name);
    if known.is_none() && shop.printers.len() >= *file::ENTRIES.end() {
        return Err(TrimRefusal::TooManyPrinters);
    }
    let earlier = match (printed, known.and_then(|printer| printer.trim.as_ref())) {
        (PrintedWith::ItsTrim, None) => return Err(TrimRefusal::NothingToConfirm(name.to_owned())),
        (PrintedWith::Unsaid, Some(trim)) => {
            return Err(TrimRefusal::Unsaid {
                name: name.trim().to_owned(),
                trim: trim.to_string(),
            });
        }
        (PrintedWith::ItsTrim, trim) => trim,
        (PrintedWith::NoTrim | PrintedWith::Unsaid, _) => None,
    };
    let sides = paper::proof_sides(setup)?;
    let sent = |line: ProofLine| {
        let line = line.true_mm(sides);
        earlier.map_or(line, |trim| {
            let [[a, b], [c, d]] = trim.correction();
            Vec2::new(a * line.x + b * line.y, c * line.x + d * line.y)
        })
    };
    let readings = readings
        .iter()
        .map(|(line, measured_mm)| ProofReading { sent_mm: sent(*line), measured_mm: *measured_mm })
        .collect();
    let trim = match earlier {
        Some(earlier) => earlier.confirm(readings)?,
        None => Trim::measure(&setup.paper.name, readings)?,
    };
    let count = trim.readings.len();
    if !file::ENTRIES.contains(&count) {
        return Err(TrimRefusal::TooManyReadings { name: name.trim().to_owned(), count });
    }
    let name = known.map_or_else(|| name.trim().to_owned(), |printer| printer.name.clone());
    Ok(Printer { name, trim: Some(trim) })
}

/// Puts a printer in the place of the one of its name, or after all others.
pub fn store_printer(shop: &mut Shop, printer: Printer) {
    match shop.printers.iter_mut().find(|known| is_called(known, &printer.name)) {
        Some(known) => *known = printer,
        None => shop.printers.push(printer),
    }
}

/// The shop's printer of this name; case does not matter.
pub fn find_printer<'a>(shop: &'a Shop, name: &str) -> Option<&'a Printer> {
    shop.printers.iter().find(|printer| is_called(printer, name))
}

/// Whether a printer has this name; case does not matter.
fn is_called(printer: &Printer, name: &str) -> bool {
    printer.name.trim().to_lowercase() == name.trim().to_lowercase()
}

/// A reading of a line that is so long when true, mm; a bare number that makes sense in inches
/// only is taken so.
///
/// # Errors
/// [`ParseError`], when it is no length.
pub fn reading_mm(text: &str, true_mm: f64) -> Result<f64, ParseError> {
    let read = |unit| parse_length(text, unit).map(|length| length.to_mm());
    let (mm, by_inch) = (read(LengthUnit::Millimetre)?, read(LengthUnit::Inch)?);
    let near = |length: f64| (length / true_mm - 1.0).abs() < 0.2;
    Ok(if !near(mm) && near(by_inch) { by_inch } else { mm })
}

/// Readings typed side by side, of a line that is so long when true, mm. A comma parts two
/// readings, unless what is before it is far too short for the line and the two together, as a
/// decimal comma, are not.
pub fn split_readings(text: &str, true_mm: f64) -> Vec<String> {
    let near = |text: &str| {
        let mm = reading_mm(text, true_mm);
        mm.is_ok_and(|mm| (mm / true_mm - 1.0).abs() < 0.2)
    };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let mut readings: Vec<String> = Vec::new();
    let mut parts = text.split([',', ';']).peekable();
    while let Some(part) = parts.next() {
        if let Some(next) = parts.peek() {
            // The decimals are digits, with a unit behind them at most.
            let decimals = next.trim_end_matches(|sign: char| !sign.is_ascii_digit());
            let joined = format!("{part}.{next}");
            if digits(part.trim()) && digits(decimals) && near(&joined) && !near(next) {
                readings.push(joined);
                parts.next();
                continue;
            }
        }
        readings.push(part.to_owned());
    }
    readings.retain(|reading| !reading.trim().is_empty());
    readings
}

/// What to mind when a trim is used on another paper than it was measured on.
pub fn other_paper_warning(printer: &Printer, paper: &Paper) -> Option<String> {
    let trim = printer.trim.as_ref()?;
    let other = !trim.paper.is_empty() && trim.paper != paper.name;
    other.then(|| {
        format!(
            "the correction of {} was measured on {}; print and measure a proof on {} before you \
             trust it",
            printer.name, trim.paper, paper.name
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::printing;

    /// By hand: a true 7 in line is 177.8 mm; 7 alone is no such line in mm.
    #[test]
    fn a_bare_number_is_taken_in_the_unit_that_makes_sense() {
        assert_eq!(reading_mm("179.9", 180.0), Ok(179.9));
        assert!((reading_mm("7", 180.0).unwrap() - 177.8).abs() < 1e-9);
        assert!((reading_mm("7 1/16 in", 180.0).unwrap() - 179.3875).abs() < 1e-9);
        assert!(reading_mm("long", 180.0).is_err());
    }

    #[test]
    fn a_comma_parts_readings_unless_it_can_only_be_a_decimal_comma() {
        assert_eq!(split_readings("179.9,180.1", 180.0), ["179.9", "180.1"]);
        assert_eq!(split_readings("180,181", 180.0), ["180", "181"]);
        assert_eq!(split_readings("176,1", 180.0), ["176.1"]);
        assert_eq!(split_readings("176,1,175,9", 180.0), ["176.1", "175.9"]);
        assert_eq!(split_readings("176,1 mm;175,9", 180.0), ["176.1 mm", "175.9"]);
        assert_eq!(split_readings("7,7 1/16 in", 180.0), ["7", "7 1/16 in"]);
        assert_eq!(split_readings("180, 180,", 180.0), ["180", " 180"]);
        assert_eq!(split_readings("wide", 180.0), ["wide"]);
    }

    /// A printer that prints 1 % short both ways: true over printed is 1/0.99 = 1.010101 by hand.
    #[test]
    fn a_trim_is_measured_and_kept_under_its_printers_name() {
        let setup = printing::setup("", "a4", None).unwrap();
        let sides = paper::proof_sides(&setup).unwrap();
        let lines = [
            ProofLine::Across,
            ProofLine::Across,
            ProofLine::Up,
            ProofLine::Up,
            ProofLine::Rising,
            ProofLine::Falling,
        ];
        let readings = lines.map(|line| (line, 0.99 * line.true_mm(sides).hypot()));
        let mut shop = Shop::default();
        let refused = measure(&shop, "club", &setup, PrintedWith::ItsTrim, &readings).unwrap_err();
        assert!(refused.to_string().contains("no correction for club"));
        let printer = measure(&shop, "club", &setup, PrintedWith::Unsaid, &readings).unwrap();
        let trim = printer.trim.clone().unwrap();
        assert!((trim.scale_x - 1.010_101).abs() < 1e-6 && (trim.scale_y - 1.010_101).abs() < 1e-6);
        store_printer(&mut shop, printer);
        // Its second proof, sent through the trim, comes out true.
        let second = lines.map(|line| (line, line.true_mm(sides).hypot()));
        let refused = measure(&shop, "Club ", &setup, PrintedWith::Unsaid, &second).unwrap_err();
        assert!(refused.to_string().starts_with("Club has a correction already (101.01 % across"));
        let anew = measure(&shop, "club", &setup, PrintedWith::NoTrim, &second).unwrap();
        assert!((anew.trim.unwrap().scale_x - 1.0).abs() < 1e-6);
        let better = measure(&shop, "Club ", &setup, PrintedWith::ItsTrim, &second).unwrap();
        assert_eq!(better.name, "club");
        assert_eq!(better.trim.as_ref().unwrap().readings.len(), 12);
        store_printer(&mut shop, better.clone());
        assert_eq!(shop.printers.len(), 1);
        let letter = Paper::named("letter").unwrap();
        assert!(other_paper_warning(&better, &letter).unwrap().contains("measured on a4"));
        assert_eq!(other_paper_warning(&better, &setup.paper), None);
    }
}
