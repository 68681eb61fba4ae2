//! What the sheath takes.

use super::MaterialLine;
use crate::SheathFigures;
use crate::tables::Tables;
use knife::{Knife, SheathBody};
use units::{show_decimal, show_number};

/// Leather or sheet, welt, belt loop, thread or eyelets.
pub(super) fn lines(knife: &Knife, sheath: &SheathFigures, tables: &Tables) -> Vec<MaterialLine> {
    let stated = &sheath.stated;
    let thickness_mm = stated.thickness_mm;
    let leather = stated.kind().is_leather();
    let ounces = tables.leather_ounces(thickness_mm).filter(|_| leather);
    let usual = if leather { "vegetable-tanned leather" } else { "thermoplastic sheet" };
    let material = || Some(stated.material.clone().unwrap_or_else(|| usual.to_owned()));
    let flat = |part, count: u32, (long, broad): (f64, f64), thick_mm: f64| MaterialLine {
        part,
        material: material(),
        count: count as usize,
        length_mm: Some(long),
        width_mm: Some(broad),
        thickness_mm: Some(thick_mm),
        ..MaterialLine::default()
    };
    let mut body = flat("sheath", sheath.pieces, sheath.blank_mm, thickness_mm);
    body.note = match (ounces, sheath.pieces) {
        (Some(ounces), 1) => format!("{ounces}; one piece, folded"),
        (Some(ounces), _) => format!("{ounces}; the second piece is the mirror image"),
        (None, 1) => "one piece, folded".to_owned(),
        (None, _) => "the second piece is the mirror image".to_owned(),
    };
    let mut lines = vec![body];
    if let Some(welt) = &sheath.welt {
        let bounds = welt.piece.outline.bounds();
        let size = (bounds.width(), bounds.height());
        let (count, thick_mm) = match welt.layers {
            Some(layers) => (layers, thickness_mm),
            None => (1, welt.thickness_mm),
        };
        let mut line = flat("welt", count, size, thick_mm);
        line.note = "may be pieced together from offcuts".to_owned();
        lines.push(line);
    }
    if let Some(own) = &sheath.belt_loop {
        let size = (own.length_mm, own.stated.width_mm);
        lines.push(flat("belt loop", 1, size, thickness_mm));
    }
    match &stated.body {
        SheathBody::Leather(_) => {
            let own = sheath.belt_loop.as_ref();
            let all_mm = sheath.thread_mm.unwrap_or(0.0) + own.map_or(0.0, |own| own.thread_mm);
            lines.push(MaterialLine {
                part: "thread",
                material: Some("waxed thread".to_owned()),
                count: 1,
                length_mm: Some(all_mm),
                note: format!(
                    "{} stitches, {} to the inch; with what is left over at the ends",
                    sheath.row.steps + own.map_or(0, |own| own.row.steps),
                    show_number(sheath.per_inch(), 1)
                ),
                ..MaterialLine::default()
            });
        }
        SheathBody::Formed(formed) => lines.push(MaterialLine {
            part: "eyelets",
            material: Some("eyelets".to_owned()),
            count: sheath.row.holes.len(),
            length_mm: Some(2.0 * thickness_mm),
            diameter_mm: Some(formed.eyelet_mm),
            note: format!(
                "diameter of the hole; they grip two sheets, {} together",
                show_decimal(2.0 * thickness_mm, knife.unit, (2, 3))
            ),
            ..MaterialLine::default()
        }),
    }
    lines
}

#[cfg(test)]
mod tests {
    use crate::sample::{blank, reckoned};
    use crate::{Shop, material_list, tables::Tables};
    use knife::{Sheath, SheathKind};
    use units::LengthUnit;

    #[test]
    fn leather_welt_loop_and_thread_are_listed_or_sheet_and_eyelets() {
        let parts = |kind| {
            let mut knife = blank();
            knife.sheath = Some(Sheath::usual(kind, LengthUnit::Inch));
            let reckoning = reckoned(&knife);
            let shop = Shop::default();
            let lines = material_list(&knife, &reckoning, &shop, Tables::built_in());
            let own: Vec<_> = lines.into_iter().skip(1).collect();
            own
        };
        let leather = parts(SheathKind::FoldedLeather);
        let names: Vec<&str> = leather.iter().map(|line| line.part).collect();
        assert_eq!(names, ["sheath", "welt", "belt loop", "thread"]);
        assert!(leather[0].note.starts_with("8 oz"), "{}", leather[0].note);
        assert!(leather[3].length_mm.unwrap() > 4.0 * 130.0);
        let formed = parts(SheathKind::TwoSidedThermoplastic);
        let names: Vec<&str> = formed.iter().map(|line| line.part).collect();
        assert_eq!((names.as_slice(), formed[0].count), (&["sheath", "eyelets"][..], 2));
    }
}
