//! The card for fire and oven: hardening and tempering.

use super::{Bench, Figure, Line, Part, band, both_heats, note, step, told, worked};
use crate::heat::{RoomFigures, SteelHeat, TemperCurve, circle_mm};
use crate::tables::{Degrees, Hardening, Quench};
use knife::{Heating, Temper};
use units::{LengthUnit, Temperature, show_number};

/// Hardening and tempering, with what is known of the steel first.
pub fn heat_parts(bench: &Bench<'_>) -> Vec<Part> {
    let part = |title: &str, lines: Vec<Line>| Part { title: title.to_owned(), lines };
    vec![
        part("The steel", steel(bench)),
        part("Hardening", harden(bench)),
        part("Tempering", temper(bench)),
        part("If you build a forge from soft bricks", bricks(bench)),
    ]
}

/// What each source tells of the steel.
fn steel(bench: &Bench<'_>) -> Vec<Line> {
    let Some(steel) = &bench.reckoning.heat.steel else { return vec![unknown(bench)] };
    let mut lines = Vec::new();
    if let Some((words, origin)) = &steel.composition {
        let grade = super::stated(steel.grade.clone());
        lines.push(note("{}, mass %: {}.", [grade, told(words.clone(), origin)]));
    }
    for row in &steel.hardening {
        let mut text = format!("{}, {}", heats(row), row.quench.words());
        if let Some(hrc) = row.quenched_hrc {
            text += &format!(", {} as quenched", band(hrc));
        }
        if !row.remark.is_empty() {
            text += &format!("; {}", row.remark);
        }
        let trust = told(row.origin.confidence.clone(), &row.origin);
        lines.push(note("Harden from {}. Trust: {}.", [told(text, &row.origin), trust]));
    }
    for series in &steel.curve.series {
        let points = series.points.iter().map(|(heat, low, high)| {
            format!("{} {}", both(*heat, bench), band((*low, *high)).replace(" HRC", ""))
        });
        let text = points.collect::<Vec<_>>().join("; ");
        let trust = told(series.origin.confidence.clone(), &series.origin);
        lines.push(note(
            "Temper and HRC after it: {}. Trust: {}.",
            [told(text, &series.origin), trust],
        ));
    }
    if let Some((near, curve)) = &steel.compare {
        lines.extend(compare(bench, steel, near, curve));
    }
    lines
}

/// A near grade's band beside this one's own, at the usual temper.
fn compare(bench: &Bench<'_>, steel: &SteelHeat, near: &str, curve: &TemperCurve) -> Option<Line> {
    let heat_c = (steel.curve.stations_c().into_iter().chain(curve.stations_c()))
        .filter(|heat| curve.at(*heat).is_some())
        .max_by(|a, b| apart(steel, curve, *a).total_cmp(&apart(steel, curve, *b)))?;
    let origin = &curve.series.first()?.origin;
    let band_there = curve.at(heat_c)?;
    let figures = vec![
        told(near.to_owned(), origin),
        told(band(band_there), origin),
        told(both(heat_c, bench), origin),
    ];
    Some(note("A table for {}, which is near to it, gives {} at {}: test a piece.", figures))
}

/// How far two curves lie apart at a heat, HRC.
fn apart(steel: &SteelHeat, curve: &TemperCurve, heat_c: f64) -> f64 {
    let both = steel.curve.at(heat_c).zip(curve.at(heat_c));
    both.map_or(0.0, |(a, b)| (a.0 - b.0).abs().max((a.1 - b.1).abs()))
}

fn unknown(bench: &Bench<'_>) -> Line {
    let grade = bench.knife.bar.grade.trim();
    let grade = if grade.is_empty() { "this steel" } else { grade };
    note(
        "No table has {}: take its hardening and tempering from your steel maker's data sheet, or \
         give the steel to the shop with its source.",
        [super::stated(grade)],
    )
}

/// The hardening heat of a row, in the scale of its source first.
fn heats(row: &Hardening) -> String {
    both_heats(row.heat.0, row.heat.1, row.degrees == Degrees::Fahrenheit)
}

fn both(celsius: f64, bench: &Bench<'_>) -> String {
    let heat = Temperature::celsius(celsius);
    both_heats(heat, heat, bench.knife.unit == LengthUnit::Inch)
}

/// Every source's hardening heat, `or` between.
fn all_heats(steel: &SteelHeat) -> (String, Vec<Figure>) {
    let figures: Vec<Figure> =
        steel.hardening.iter().map(|row| told(heats(row), &row.origin)).collect();
    (vec!["{}"; figures.len()].join(" or "), figures)
}

/// What to do from the cold blade to the hard one.
pub(super) fn harden(bench: &Bench<'_>) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let mut lines: Vec<Line> =
        ["hot-work", "gas", "hot-steel"].into_iter().filter_map(|key| bench.caution(key)).collect();
    let Some(steel) = heat.steel.as_ref().filter(|steel| !steel.hardening.is_empty()) else {
        lines.push(unknown(bench));
        return lines;
    };
    let quench = steel.quench().unwrap_or(Quench::Oil);
    if quench.is_oil() {
        lines.extend(bench.caution("oil"));
    }
    lines.push(step(
        "Drill every hole first, round sharp inside corners, finish to {} and break the edges: \
         scratches across the blade start cracks.",
        [bench.practice("before-hardening")],
    ));
    if let Some(bevel) = bench.knife.bevel {
        lines.push(step(
            "Check the edge: {} thick all along before the fire.",
            [bench.stated(bevel.edge_thickness_mm)],
        ));
    }
    lines.extend(heat.rooms.iter().map(|room| fits(bench, room)));
    let forge_c = bench.tables.practice("forge-most").map_or(f64::INFINITY, |row| row.range.0);
    let hot = steel.harden_c().is_some_and(|(low, _)| low > forge_c);
    if hot || quench == Quench::Air {
        lines.extend(bench.caution("air-steel"));
    } else if bench.knife.treatment.heating != Some(Heating::Oven) {
        lines.extend(forge(bench, steel));
    }
    if bench.knife.treatment.heating != Some(Heating::OpenForge) || hot {
        lines.push(oven(steel));
    }
    lines.extend(quenching(bench, quench));
    lines.push(step(
        "Test it when it can be touched: a file skates over hard steel and bites into soft. If it \
         bites, it isn't hard: heat and quench again.",
        [],
    ));
    lines.extend(bench.caution("brittle"));
    lines
}

fn fits(bench: &Bench<'_>, room: &RoomFigures) -> Line {
    let goes = if room.goes_in { "goes in" } else { "does NOT go in with its clearance" };
    let long = if room.spare_mm < 0.0 { "move it to and fro" } else { "all of it is in the heat" };
    let long = if room.name == "forge" { format!("; {long}") } else { String::new() };
    let circle = worked(
        bench.length(circle_mm(room.piece)),
        "circle around width and thickness: √(width² + thickness²)",
    );
    let around = bench.worked(room.around_mm, "half of opening less circle");
    let spare = bench.worked(room.spare_mm, "inside length less the piece's");
    let volume =
        worked(format!("{} l", show_number(room.litres, 2)), "inside section times inside length");
    let words = format!(
        "Your {}: it {goes}{long}. Circle around the section {{}}, room around it {{}}, length to \
         spare {{}}, volume {{}}.",
        room.name
    );
    note(&words, [circle, around, spare, volume])
}

/// By eye and magnet.
fn forge(bench: &Bench<'_>, steel: &SteelHeat) -> Vec<Line> {
    let (words, figures) = all_heats(steel);
    let mut lines = Vec::new();
    let curie = bench.practice("curie");
    let above = bench.reckoning.heat.above_curie_c;
    let words = format!(
        "Open forge: heat slowly and evenly, thick parts first, the tip last and never longest. \
         Touch it to a magnet: iron lets go at {{}}. That is only the floor: this steel hardens \
         from {words}"
    );
    let mut all = vec![curie];
    all.extend(figures);
    match above.filter(|(low, _)| *low > 0.0) {
        Some((low, high)) => {
            let apart = |by: f64| show_number(by, 0);
            let f = range_text(apart(low * 1.8), apart(high * 1.8));
            let c = range_text(apart(low), apart(high));
            let how = "the tables' range less the Curie point";
            all.push(worked(format!("{f} °F ({c} °C)"), how));
            lines.push(step(&format!("{words}, which is {{}} above."), all));
        }
        None => lines.push(step(&format!("{words}."), all)),
    }
    lines.extend(hand_cue(bench, steel));
    lines
}

fn range_text(low: String, high: String) -> String {
    if low == high { low } else { format!("{low}–{high}") }
}

/// The bladesmith's cue beside the table's own range.
fn hand_cue(bench: &Bench<'_>, steel: &SteelHeat) -> Option<Line> {
    let (cue, curie) = (bench.tables.practice("hand-cue")?, bench.tables.practice("curie")?);
    let (_, table_c) = steel.harden_c()?;
    let at = |apart_f: f64| Temperature::celsius(curie.range.0 + apart_f / 1.8);
    let (low, high) = (at(cue.range.0), at(cue.range.1));
    let by_hand = told(both_heats(low, high, true), &cue.origin);
    let over_c = high.to_celsius() - table_c;
    let words = "Hand cue of bladesmiths for carbon steel: {} above where the magnet lets go, which \
                 is {}.";
    let mut figures = vec![bench.practice("hand-cue"), by_hand];
    if over_c <= 0.0 {
        return Some(note(words, figures));
    }
    let over = format!("{} °F ({} °C)", show_number(over_c * 1.8, 0), show_number(over_c, 0));
    figures.push(worked(over, "the cue's upper end less the tables' upper end"));
    let words = format!(
        "{words} Its upper end lies {{}} over the tables' range: stay at the low end, too hot \
         makes the grain coarse and the edge brittle."
    );
    Some(note(&words, figures))
}

fn oven(steel: &SteelHeat) -> Line {
    let (words, mut figures) = all_heats(steel);
    let soak = steel.hardening.iter().find_map(|row| row.soak_min.as_ref());
    let start = "Oven: set it to {}, put the blade in when it stands steady, and";
    let start = start.replacen("{}", &words, 1);
    match soak {
        Some(soak) => {
            let (low, high) = soak.range;
            let origin = crate::tables::Origin {
                source: soak.source.clone(),
                confidence: "low-medium".to_owned(),
            };
            let text = format!("{}–{} min", show_number(low, 0), show_number(high, 0));
            figures.push(told(text, &origin));
            step(&format!("{start} soak it {{}} once it is evenly hot."), figures)
        }
        None => {
            let words = "take the soak from your steel maker's data sheet: the tables have none for \
                         this steel.";
            step(&format!("{start} {words}"), figures)
        }
    }
}

fn quenching(bench: &Bench<'_>, quench: Quench) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let mut lines = Vec::new();
    match quench {
        Quench::Air => lines.push(step(
            "Cool it in still air or between two thick plates, with nothing wet near it.",
            [],
        )),
        Quench::Water => lines.push(step(
            "Quench in water or brine, straight down and edge first; thin blades crack in it: many \
             take fast oil instead.",
            [],
        )),
        Quench::FastOil | Quench::Oil | Quench::WarmOil => {
            if let Some(litres) = heat.oil_l {
                let gallons = show_number(litres / 3.785_411_784, 2);
                let text = format!("{} l ({gallons} US gal)", show_number(litres, 1));
                let row = bench.tables.practice("oil-share");
                let oil = row.map_or_else(
                    || worked(text.clone(), "mass times the share"),
                    |row| told(text.clone(), &row.origin),
                );
                let tank = heat.rooms.iter().find(|room| room.name == "quench tank");
                let short = tank.filter(|tank| tank.litres < litres);
                let words = if short.is_some() {
                    "Oil for this blade's mass: {} at least, deep enough for the whole blade; more stays \
                     cooler. YOUR \
                     TANK HOLDS LESS."
                } else {
                    "Oil for this blade's mass: {} at least, deep enough for the whole blade; more stays \
                     cooler."
                };
                lines.push(step(words, [oil]));
            }
            let words = format!(
                "Quench in {}, warmed to {{}}: straight down, edge or tip first, moved to and fro \
                 along the blade only.",
                quench.words()
            );
            lines.push(step(&words, [bench.practice("oil-warmth")]));
        }
    }
    if quench.is_oil() {
        lines.push(step(
            "After {} out of the oil and into the straightening clamp, while it can still be moved; \
             gloves and tongs, the oil on it may flare. Once cold it breaks sooner than it bends.",
            [bench.practice("quench-seconds")],
        ));
    }
    lines
}

/// What to do from the hard blade to the tempered one.
pub(super) fn temper(bench: &Bench<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.caution("temper-oven").into_iter().collect();
    lines.extend(chosen(bench));
    lines.push(step(
        "Temper {} times, {} at heat each, at once after the hardening; let it cool to the hand in \
         still air between.",
        [bench.practice("temper-cycles"), bench.practice("temper-hours")],
    ));
    lines.push(step(
        "A kitchen oven overshoots: a thermometer beside the blade, and the blade in only after the \
         first swing, when it stands steady. Never the blade near the flame or the element.",
        [],
    ));
    lines
}

fn chosen(bench: &Bench<'_>) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let mut lines = Vec::new();
    let curve = heat.steel.as_ref().map(|steel| &steel.curve);
    let origin = curve.and_then(TemperCurve::origin);
    match (&heat.temper, bench.knife.treatment.temper, &origin) {
        (Some(Err(fault)), _, _) => {
            lines.push(note("{}", [worked(fault.to_string(), "held against the tables")]));
        }
        (Some(Ok(temper)), Some(Temper::Hardness(hrc)), Some(origin)) => {
            let wanted = super::stated(format!("{} HRC", show_number(hrc, 1)));
            let (cool, hot) = temper.heats_c;
            let f = bench.knife.unit == LengthUnit::Inch;
            let heats = both_heats(Temperature::celsius(cool), Temperature::celsius(hot), f);
            lines.push(step(
                "Wanted: {}. By the tables at {}. Begin at the cooler end, which gives {}; test, \
                 and temper again hotter if it chips. It can't be made harder again.",
                [wanted, told(heats, origin), told(band(temper.hrc), origin)],
            ));
            lines.extend(kitchen(bench, cool));
        }
        (Some(Ok(temper)), Some(Temper::Heat(celsius)), Some(origin)) => {
            let wanted = super::stated(both(celsius, bench));
            let hrc = told(band(temper.hrc), origin);
            lines.push(step("Temper at {}: by the tables {}.", [wanted, hrc]));
            lines.extend(kitchen(bench, celsius));
        }
        _ => lines.extend(usual(bench)),
    }
    if bench.knife.treatment.heating != Some(Heating::Oven) && origin.is_some() {
        lines.push(note(
            "The tables take full hardness for granted: from an open forge it may be {} softer.",
            [bench.practice("forge-loss")],
        ));
    }
    lines
}

/// As long as nothing is chosen: what many take, and what the tables say of it.
fn usual(bench: &Bench<'_>) -> Vec<Line> {
    let Some(steel) = &bench.reckoning.heat.steel else { return vec![unknown(bench)] };
    if steel.curve.is_empty() {
        let grade = super::stated(steel.grade.clone());
        return vec![note(
            "The tables have no tempering points for {}: take them from your steel maker's data \
             sheet, or give the steel to the shop with its source.",
            [grade],
        )];
    }
    let usual = bench.tables.practice("temper-usual");
    let at = usual.map(|row| Temperature::fahrenheit(row.range.0).to_celsius());
    let there = at.and_then(|celsius| steel.curve.at(celsius));
    let origin = steel.curve.origin();
    let mut lines = Vec::new();
    if let Some((hrc, origin)) = there.zip(origin) {
        lines.push(step(
            "No hardness is chosen yet. Many temper a first blade of plain carbon steel at {}: for \
             this steel that gives {} by the tables.",
            [bench.practice("temper-usual"), told(band(hrc), &origin)],
        ));
    }
    lines
}

/// Whether a kitchen oven goes so far.
fn kitchen(bench: &Bench<'_>, celsius: f64) -> Option<Line> {
    let most = bench.tables.practice("kitchen-oven")?;
    let most_c = Temperature::fahrenheit(most.range.0).to_celsius();
    (celsius > most_c).then(|| {
        note(
            "A kitchen oven goes up to about {}: this temper needs a heat-treating oven.",
            [bench.practice("kitchen-oven")],
        )
    })
}

/// Plain figures for those who build a chamber.
fn bricks(bench: &Bench<'_>) -> Vec<Line> {
    let figure = |key: &str| bench.tables.practice(key).map(|row| row.range.0);
    let (Some(bore), Some(long), Some(back)) =
        (figure("brick-chamber"), figure("brick-length"), figure("burner-back"))
    else {
        return Vec::new();
    };
    let volume = std::f64::consts::PI / 4.0 * bore * bore * long;
    let litres = volume * 25.4_f64.powi(3) / 1e6;
    let volume = format!("{} in³ ({} l)", show_number(volume, 1), show_number(litres, 2));
    let (bore_mm, length) = (bore * 25.4, |mm| bench.length(mm));
    let mut lines = vec![
        note(
            "Bore {}, one brick of {} long: {} of chamber.",
            [
                bench.practice("brick-chamber"),
                bench.practice("brick-length"),
                worked(volume, "π/4 · bore² · length"),
            ],
        ),
        note(
            "Burner hole into the side of the bore, turned {} back from square so that the flame \
             swirls: over {} of wall it runs {} back.",
            [
                bench.practice("burner-back"),
                worked(length(25.4), "a unit of wall"),
                worked(length(25.4 * back.to_radians().tan()), "wall times the angle's tangent"),
            ],
        ),
    ];
    if let Some(profile) = &bench.reckoning.profile {
        let circle = profile.width_mm.hypot(bench.knife.bar.thickness_mm);
        let around = (bore_mm - circle) / 2.0;
        lines.push(note(
            "This blank's section is a circle of {}: in that bore {} around it; a minus means it \
             doesn't go in.",
            [
                worked(length(circle), "√(width² + thickness²)"),
                worked(length(around), "half of bore less circle"),
            ],
        ));
    }
    lines.push(note(
        "Brick dust and ceramic fibre harm the lungs: respirator while cutting, wet cuts, no bare \
         fibre in the flame. A burner and its hose are gas work: follow their makers' rules.",
        [],
    ));
    lines
}
