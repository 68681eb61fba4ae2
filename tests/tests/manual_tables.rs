//! Pages of the manual that are made from the tables of the trade: drills for pins, and steels.

use bench_tests::hold_page;
use reckon::tables::{Hardening, Tables, TemperPoint};
use std::fmt::Write as _;
use units::{Temperature, show_inch, show_mm};

#[test]
fn the_page_of_drills_is_that_of_the_tables() {
    let limits = reckon::shop::Limits::default();
    let (least, most) = (limits.pin_gap_least_mm, limits.pin_gap_most_mm);
    let gap = |mm: f64| format!("{} ({})", show_inch(mm, 4), show_mm(mm, 2));
    let mut page = format!(
        "# Drills for pins\n\nWhich drill makes the hole for a pin: every drill of the number, \
         letter, fraction and metric sets that leaves between {} and {} on the diameter for glue, \
         the closest fit first. The limits can be changed in [the shop](shop.md); with a shop file \
         `numbers` names the drills you own. Measure your pin stock with a caliper, and try the \
         pin in a hole in scrap first.\n\n| Pin | Drills, each with the gap it leaves |\n|---|---|\n",
        gap(least),
        gap(most),
    );
    let tables = Tables::built_in();
    for pin in tables.pin_stock() {
        let fits = tables.drills_for_pin(pin.diameter_mm, least, most);
        assert!(!fits.is_empty(), "{}", pin.name);
        let told = fits.iter().map(|fit| format!("`{}` {}", fit.drill.label, gap(fit.gap_mm)));
        let told: Vec<String> = told.collect();
        let _ = writeln!(page, "| {} | {} |", pin.name, told.join("; "));
    }
    hold_page("drills", &page);
}

/// Degrees in both scales, to whole ones.
fn heat(at: Temperature) -> String {
    format!("{:.0} °F ({:.0} °C)", at.to_fahrenheit(), at.to_celsius())
}

/// A range, or one figure where both ends are the same.
fn range(from: f64, to: f64) -> String {
    if from.to_bits() == to.to_bits() { format!("{from}") } else { format!("{from} to {to}") }
}

fn heats(heat_range: (Temperature, Temperature)) -> String {
    let (from, to) = heat_range;
    let f = range(from.to_fahrenheit().round(), to.to_fahrenheit().round());
    format!("{f} °F ({} °C)", range(from.to_celsius().round(), to.to_celsius().round()))
}

fn hardening(row: &Hardening) -> String {
    let mut words = format!("- Harden at {}, quench in {}", heats(row.heat), row.quench.label());
    if let Some(other) = row.other_quench {
        let _ = write!(words, " or {}", other.label());
    }
    if let Some((least, most)) = row.quenched_hrc {
        let _ = write!(words, ", {} HRC as quenched", range(least, most));
    }
    if let Some(soak) = &row.soak_min {
        let _ = write!(words, "; soak {} min ({})", range(soak.range.0, soak.range.1), soak.source);
    }
    if !row.remark.is_empty() {
        let _ = write!(words, "; {}", row.remark);
    }
    let origin = &row.origin;
    let _ = write!(words, ". Source: {}. Confidence: {}.", origin.source, origin.confidence);
    if let Some(avoid) = &row.avoid_c {
        let (least, most) = avoid.range;
        let avoided = heats((Temperature::celsius(least), Temperature::celsius(most)));
        let _ = write!(words, " Keep out of {avoided} when tempering ({}).", avoid.source);
    }
    words
}

fn tempering(points: &[&TemperPoint]) -> String {
    let told = points.iter().map(|point| {
        let (least, most) = point.hrc;
        format!("{} {}", heat(point.heat), range(least, most))
    });
    let told: Vec<String> = told.collect();
    let origin = &points[0].origin;
    format!(
        "- HRC after tempering at: {}. Source: {}. Confidence: {}.",
        told.join("; "),
        origin.source,
        origin.confidence
    )
}

#[test]
fn the_page_of_steels_is_that_of_the_tables() {
    let mut page = "# Steels\n\nHow hot, into what, and how hard: hardening and tempering of every \
        steel in the tables, one line for each source. These are usual values. Your steel maker's \
        data sheet goes before them, and `build` gives the steps for your knife with its cautions: \
        read [Heat](heat.md) and [Safety](safety.md) before you light anything. A steel of your own \
        goes into [the shop](shop.md).\n"
        .to_owned();
    let tables = Tables::built_in();
    for steel in tables.steels() {
        let _ = write!(page, "\n## {}\n\n", steel.grade);
        if !steel.other_names.is_empty() {
            let _ = write!(page, "Also called {}.\n\n", steel.other_names.join(", "));
        }
        let mut lines: Vec<String> = tables.hardenings(&steel.grade).map(hardening).collect();
        let points: Vec<&TemperPoint> = tables.temper_points(&steel.grade).collect();
        lines.extend(points.chunk_by(|a, b| a.origin == b.origin).map(tempering));
        assert!(!lines.is_empty(), "{}", steel.grade);
        let _ = writeln!(page, "{}", lines.join("\n"));
    }
    hold_page("steels", &page);
}

#[test]
fn the_page_of_sheath_stock_is_that_of_the_table() {
    use reckon::tables::SheathStockKind;
    let mut page = "# Sheath stock\n\nWhat sheaths are made of and with, as it is sold. This page is made \
        from the program's own table; the desk's Sheath station offers the same sizes, and any other can \
        be typed. Measure what you have: leather differs over one hide.\n"
        .to_owned();
    for kind in SheathStockKind::ALL {
        let _ = write!(
            page,
            "\n## {}\n\n| Sold as | mm | in | Source |\n|---|---|---|---|\n",
            kind.label()
        );
        for row in Tables::built_in().sheath_sizes(kind, None) {
            let _ = writeln!(
                page,
                "| {} | {} | {} | {} |",
                row.name,
                units::show_number(row.size_mm, 2),
                units::show_number(row.size_mm / 25.4, 3),
                row.origin.source
            );
        }
    }
    hold_page("sheath-stock", &page);
}
