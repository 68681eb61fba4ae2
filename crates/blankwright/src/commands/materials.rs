//! `materials`: what to have before the work begins.

use super::{LoadedKnife, json_of};
use crate::{Failure, Outcome};
use reckon::tables::Tables;
use reckon::{MaterialLine, Shop};
use std::fmt::Write as _;
use units::{LengthUnit, Mass, show_decimal, show_mass, show_number};

pub(super) fn run(
    work: &LoadedKnife,
    shop: &Shop,
    csv: bool,
    json: bool,
) -> Result<Outcome, Failure> {
    let LoadedKnife { knife, reckoning } = work;
    let list = reckon::material_list(knife, reckoning, shop, Tables::built_in());
    if csv {
        let out = reckon::material_csv(&list).map_err(|why| Failure::Usage(why.to_string()))?;
        return Ok(Outcome { out, ..Outcome::default() });
    }
    if json {
        let out = json_of(&reckon::materials_json(knife, &list));
        return Ok(Outcome { out, ..Outcome::default() });
    }
    let mut out = String::new();
    let _ = writeln!(out, "{}: material list", knife.name);
    for line in &list {
        let _ = writeln!(out, "  [ ] {:16}{}", line.part, describe(line, knife.unit));
        if !line.note.is_empty() {
            let _ = writeln!(out, "      {:16}({})", "", line.note);
        }
    }
    Ok(Outcome { out, ..Outcome::default() })
}

/// One line in words: `2 of sugar maple, 88 × 38 × 6 mm, 28.3 g`.
fn describe(line: &MaterialLine, unit: LengthUnit) -> String {
    let length = |mm: f64| show_decimal(mm, unit, (2, 3));
    let material = line.material.as_deref().unwrap_or("material not chosen");
    let mut words = match line.volume_ml {
        Some(ml) => format!("{material}, mix {} ml", show_number(ml, 2)),
        None => format!("{} of {material}", line.count),
    };
    let sides = [line.length_mm, line.width_mm, line.thickness_mm];
    if let [Some(long), Some(wide), Some(thick)] = sides {
        words += &format!(", {} × {} × {}", length(long), length(wide), length(thick));
    }
    if let Some(mm) = line.diameter_mm {
        words += &format!(", {} thick", length(mm));
    }
    if let Some(mm) = line.second_diameter_mm {
        let what = if line.part == "tube" { "bore" } else { "heads" };
        words += &format!(", {what} {}", length(mm));
    }
    if let (Some(mm), None) = (line.length_mm, line.width_mm) {
        let of = if line.part == "screws" { "long" } else { "in all" };
        words += &format!(", {} {of}", length(mm));
    }
    if let Some(g) = line.mass_g {
        words += &format!(", {}", show_mass(Mass::grams(g)));
    }
    words
}
