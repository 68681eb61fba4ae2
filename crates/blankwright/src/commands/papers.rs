//! `papers`: the papers there are, and the longest blank each takes in one piece.

use crate::{Failure, Outcome};
use sheets::printing;
use std::fmt::Write as _;
use units::{LengthUnit, parse_length, show_fraction_and_mm};

/// The bar a first blank is usually cut from is that wide, mm: 1 1/2 in.
const WIDTH_MM: f64 = 38.1;

pub(super) fn run(typed: &[String], width: Option<&str>) -> Result<Outcome, Failure> {
    let width_mm = match width {
        None => WIDTH_MM,
        Some(text) => parse_length(text, LengthUnit::Millimetre)
            .map_err(|why| Failure::Usage(format!("--width: {why}")))?
            .to_mm(),
    };
    if !(5.0..=1000.0).contains(&width_mm) {
        return Err(Failure::Usage("--width must lie between 5 mm and 1000 mm".to_owned()));
    }
    let mut papers: Vec<String> = typed.to_vec();
    if papers.is_empty() {
        papers.extend(paper::Paper::all()?.into_iter().map(|paper| paper.name));
    }
    let mut out = format!(
        "The longest bar {} wide that stands whole on one page:\n",
        show_fraction_and_mm(width_mm)
    );
    for name in papers {
        let setup = printing::setup("", &name, None)?;
        let (size, title) = (setup.paper.size_mm, setup.paper.title());
        let sides = [size.width, size.height].map(|mm| units::show_number(mm, 1)).join(" × ");
        let message = match paper::longest(&setup, width_mm) {
            Err(paper::PaperError::NoRoom { .. }) => "too small for a full-size sheet".to_owned(),
            Err(why) => return Err(why.into()),
            Ok(longest) if longest.turned_mm > longest.level_mm => format!(
                "{} level, {} on the diagonal",
                show_fraction_and_mm(longest.level_mm),
                show_fraction_and_mm(longest.turned_mm)
            ),
            Ok(longest) => format!("{} level", show_fraction_and_mm(longest.level_mm)),
        };
        let _ = writeln!(out, "  {title:<12} {sides:>16} mm   {message}");
    }
    out.push_str("Names and notes beside it take some of that; what is longer is tiled.\n");
    Ok(Outcome { out, ..Outcome::default() })
}
