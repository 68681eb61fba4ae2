//! The shop's pages for drills, and for files, drums, dowels and saws.

use super::{add, length_beside, remove, retain};
use crate::widgets::{Field, Form};
use reckon::Shop;
use reckon::shop::{DrillSet, InsideTool, Saw};
use reckon::tables::Tables;
use units::DrillName;

pub(super) fn drills(form: &mut Form<'_>, shop: &mut Shop) {
    form.heading("Whole sets");
    form.group("sets", |form| sets(form, shop));
    form.heading("Single drills");
    let names: Vec<String> = shop.drills.iter().map(ToString::to_string).collect();
    let caption = ("Other drills", "Single drills, separated by commas: #30, F, 5/32, 3.2 mm.");
    if let Some(drills) =
        form.field(Field::new(caption, names.join(", ")).width(300.0), read_drills).value
    {
        shop.drills = drills;
    }
    let count = shop.drills_on_hand(Tables::built_in()).count();
    form.note(&format!("{count} drills on hand."));
}

fn sets(form: &mut Form<'_>, shop: &mut Shop) {
    Form::outline_ticks(form.ui, form.context);
    for (set, label) in [
        (DrillSet::Number, "Number drills, #1 to #80"),
        (DrillSet::Letter, "Letter drills, A to Z"),
        (DrillSet::Fraction, "Fractional drills, 1/16 to 1/2 in by 64ths"),
        (DrillSet::Metric, "Metric drills, to 3 mm by 0.05, to 13 mm by 0.1"),
    ] {
        let mut has = shop.drill_sets.contains(&set);
        if form.ui.checkbox(&mut has, label).changed() {
            shop.drill_sets.retain(|other| *other != set);
            shop.drill_sets.extend(has.then_some(set));
            shop.drill_sets.sort_by_key(|set| DrillSet::ALL.iter().position(|s| s == set));
        }
    }
}

fn read_drills(text: &str) -> Result<Vec<DrillName>, String> {
    let names = text.split([',', ';']).map(str::trim).filter(|name| !name.is_empty());
    names
        .map(|name| {
            let drill = Tables::built_in().drill(name);
            drill.map(|drill| drill.name).ok_or_else(|| {
                format!(
                    "\"{name}\" isn't in the drill table; type one such as #30, F, 5/32 or \
                         3.2 mm"
                )
            })
        })
        .collect()
}

pub(super) fn tools(form: &mut Form<'_>, shop: &mut Shop) {
    form.heading("Files, drums and dowels for inside curves");
    form.note("Measure yours: a tool leaves a radius of half its diameter plus its paper.");
    retain(&mut shop.inside_tools, |_, tool| {
        let leaves = form.context.full_length(tool.radius_mm());
        let label = format!("Diameter of {}", tool.name);
        let tooltip = format!("As measured; it leaves a radius of {leaves}.");
        let size = tool.measured_mm.unwrap_or(tool.diameter_mm);
        let mut stays = true;
        let typed = length_beside(form, (&label, &tooltip), size, &(0.2..=500.0), |form| {
            stays = !remove(form.ui, &tool.name);
            form.note(&format!("leaves {leaves}"));
        });
        tool.measured_mm = typed.or(tool.measured_mm);
        if tool.kind.takes_abrasive_paper() {
            let label = format!("Paper on {}", tool.name);
            let caption = (label.as_str(), "Thickness of the paper around it.");
            let typed = length_beside(form, caption, tool.paper_mm, &(0.0..=5.0), |_| {});
            tool.paper_mm = typed.unwrap_or(tool.paper_mm);
        }
        stays
    });
    let rows = Tables::built_in().inside_tools();
    let names = rows.iter().map(|row| row.name.clone());
    let chosen = add(form.ui, "Add a file, drum or dowel", names);
    shop.inside_tools.extend(chosen.and_then(|i| rows.get(i)).map(InsideTool::from));

    form.heading("Saws");
    retain(&mut shop.saws, |_, saw| {
        let label = format!("Cut of {}", saw.name);
        let caption = (label.as_str(), "Width of its cut.");
        let mut stays = true;
        let typed = length_beside(form, caption, saw.kerf_mm, &(0.05..=10.0), |form| {
            stays = !remove(form.ui, &saw.name);
        });
        saw.kerf_mm = typed.unwrap_or(saw.kerf_mm);
        stays
    });
    let rows = Tables::built_in().saws();
    let chosen = add(form.ui, "Add a saw", rows.iter().map(|row| row.name.clone()));
    shop.saws.extend(chosen.and_then(|i| rows.get(i)).map(Saw::from));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_drills_are_read_or_refused() {
        assert_eq!(read_drills("#30, F ;3.2mm,").unwrap().len(), 3);
        assert_eq!(read_drills(""), Ok(vec![]));
        assert!(read_drills("#30, 7.77 mm").unwrap_err().contains("7.77 mm"));
    }
}
