//! `papers`: the papers there are, and the longest blank each takes in one piece.

use super::json_of;
use crate::{Failure, Outcome};
use schemars::JsonSchema;
use serde::Serialize;
use sheets::printing;
use std::fmt::Write as _;
use units::{LengthUnit, parse_length, show_fraction_and_mm};

/// Papers told at once: there are some dozen.
const MAX_PAPERS: usize = 100;
/// The bar a first blank is usually cut from is that wide, mm: 1 1/2 in.
const WIDTH_MM: f64 = 38.1;

/// Papers, and the longest blank that each takes (`blankwright papers --json`).
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Papers {
    /// Always `blankwright-papers`.
    format: &'static str,
    /// Always 1: fields are added, never renamed.
    version: u32,
    /// Width of the bar that is laid on each.
    bar_width_mm: f64,
    /// The papers.
    papers: Vec<Row>,
}

/// One paper.
#[derive(Debug, Serialize, JsonSchema)]
struct Row {
    /// Its name for `--paper`.
    name: String,
    /// Width, as the paper stands upright.
    width_mm: f64,
    /// Height, as the paper stands upright.
    height_mm: f64,
    /// The longest bar that lies level on one page; `null` when no full-size sheet has room.
    level_mm: Option<f64>,
    /// The longest bar on one page however it is turned; `null` likewise.
    turned_mm: Option<f64>,
    #[serde(skip)]
    title: String,
}

impl Row {
    fn of(name: String, width_mm: f64) -> Result<Self, Failure> {
        let setup = printing::setup("", &name, None)?;
        let longest = match paper::longest(&setup, width_mm) {
            Err(paper::PaperError::NoRoom { .. }) => None,
            longest => Some(longest?),
        };
        let size = setup.paper.size_mm;
        Ok(Self {
            name,
            width_mm: size.width,
            height_mm: size.height,
            level_mm: longest.map(|longest| longest.level_mm),
            turned_mm: longest.map(|longest| longest.turned_mm),
            title: setup.paper.title(),
        })
    }

    fn line(&self) -> String {
        let Self { title, width_mm, height_mm, .. } = self;
        let sides = [*width_mm, *height_mm].map(|mm| units::show_number(mm, 1)).join(" × ");
        let message = match (self.level_mm, self.turned_mm) {
            (Some(level), Some(turned)) if turned > level => {
                format!(
                    "{} level, {} on the diagonal",
                    show_fraction_and_mm(level),
                    show_fraction_and_mm(turned)
                )
            }
            (Some(level), _) => format!("{} level", show_fraction_and_mm(level)),
            (None, _) => "too small for a full-size sheet".to_owned(),
        };
        format!("  {title:<12} {sides:>16} mm   {message}")
    }
}

pub(super) fn run(typed: &[String], width: Option<&str>, json: bool) -> Result<Outcome, Failure> {
    let bar_width_mm = match width {
        None => WIDTH_MM,
        Some(text) => parse_length(text, LengthUnit::Millimetre)
            .map_err(|why| Failure::Usage(format!("--width: {why}")))?
            .to_mm(),
    };
    if !(5.0..=1000.0).contains(&bar_width_mm) {
        return Err(Failure::Usage("--width must lie between 5 mm and 1000 mm".to_owned()));
    }
    if typed.len() > MAX_PAPERS {
        let count = typed.len();
        return Err(Failure::Usage(format!("{count} papers are named; name at most {MAX_PAPERS}")));
    }
    let mut names: Vec<String> = typed.to_vec();
    if names.is_empty() {
        names.extend(paper::Paper::all()?.into_iter().map(|paper| paper.name));
    }
    let papers: Vec<Row> =
        names.into_iter().map(|name| Row::of(name, bar_width_mm)).collect::<Result<_, _>>()?;
    if json {
        let papers = Papers { format: "blankwright-papers", version: 1, bar_width_mm, papers };
        return Ok(Outcome { out: json_of(&papers), ..Outcome::default() });
    }
    let mut out = format!(
        "The longest bar {} wide that fits whole on one page:\n",
        show_fraction_and_mm(bar_width_mm)
    );
    for row in papers {
        let _ = writeln!(out, "{}", row.line());
    }
    out.push_str("Names and notes beside it need some of that room; longer ones are tiled.\n");
    Ok(Outcome { out, ..Outcome::default() })
}
