//! `build`: every step from bar to finished knife, as text to tick off.

use super::{LoadedKnife, json_of};
use crate::{Failure, Outcome};
use reckon::card::{CardContext, LineKind, build_card};
use reckon::tables::Tables;
use std::fmt::Write as _;

/// Columns of the text.
const COLUMNS: usize = 96;

pub(super) fn run(work: &LoadedKnife, json: bool) -> Result<Outcome, Failure> {
    let LoadedKnife { knife, reckoning } = work;
    let card = build_card(&CardContext { knife, reckoning, tables: Tables::built_in() });
    if json {
        let out = json_of(&reckon::build_json(knife, &card));
        return Ok(Outcome { out, ..Outcome::default() });
    }
    let sources = card.sources();
    let mut out = String::new();
    let _ = writeln!(out, "{}: the build", knife.name);
    for (number, part) in (1..).zip(&card.parts) {
        let _ = writeln!(out, "\n{number}. {}", part.title);
        for line in &part.lines {
            let sign = match line.kind {
                LineKind::Step | LineKind::Prepare => "  [ ] ",
                LineKind::Note => "      ",
                LineKind::Caution => "   !  ",
            };
            indented(&mut out, sign, &line.text(&sources));
        }
    }
    let _ = writeln!(out, "\nWhat the figures rest on");
    if card.has_practice() {
        indented(&mut out, "  *   ", "Common practice or this program's choice, no source.");
    }
    for (number, source) in (1..).zip(&sources) {
        indented(&mut out, &format!("  {:<4}", format!("[{number}]")), source);
    }
    Ok(Outcome { out, err: super::likely_grade(work), ..Outcome::default() })
}

/// A text behind a sign, its further lines as far in.
fn indented(out: &mut String, sign: &str, text: &str) {
    let mut line = sign.to_owned();
    for (i, word) in text.split_whitespace().enumerate() {
        let wide = line.chars().count() + 1 + word.chars().count();
        if i > 0 && wide > COLUMNS {
            let _ = writeln!(out, "{line}");
            line = " ".repeat(sign.chars().count());
        } else if i > 0 {
            line.push(' ');
        }
        line += word;
    }
    let _ = writeln!(out, "{line}");
}
