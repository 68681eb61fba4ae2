//! The card for fire and oven: hardening and tempering.

use super::{CardContext, Figure, Line, LineKind, Part, band, note, step, worked, written};
use crate::heat::{ChamberFit, SteelHeat, TemperCurve, circle_mm, oven_setting};
use crate::tables::Quench;
use knife::{Heating, Temper};
use units::{LengthUnit, Temperature, show_number};

/// Hardening and tempering, with what is known of the steel first.
pub fn heat_parts(bench: &CardContext<'_>) -> Vec<Part> {
    let part = |title: &str, lines: Vec<Line>| Part { title: title.to_owned(), lines };
    let mut parts = vec![
        part("The steel", steel(bench)),
        part("Hardening", harden(bench)),
        part("Tempering", temper(bench)),
    ];
    // A chamber of soft bricks is an open forge: no place for a steel that needs an oven.
    if !bench.reckoning.heat.steel.as_ref().is_some_and(|steel| steel.needs_oven) {
        parts.push(part("If you build a forge from soft bricks", bricks(bench)));
    }
    parts
}

/// What is known of the steel: composition, and each source's hardness by temper.
fn steel(bench: &CardContext<'_>) -> Vec<Line> {
    let Some(steel) = &bench.reckoning.heat.steel else { return vec![unknown(bench)] };
    let mut lines = Vec::new();
    if let Some((words, origin)) = &steel.composition {
        let grade = super::stated(steel.grade.clone());
        lines.push(note("{}, mass %: {}.", [grade, written(words.clone(), origin)]));
    }
    let shown = bench.reckoning.heat.chart.map_or((f64::MIN, f64::MAX), |chart| chart.0);
    for series in &steel.curve.series {
        let points = series.points.iter().filter(|at| (shown.0..=shown.1).contains(&at.0));
        let points = points.map(|(heat, low, high)| {
            let hrc = band((*low, *high)).replace(" HRC", "");
            format!("{} {hrc}", own_heat(*heat, bench))
        });
        let text = points.collect::<Vec<_>>().join("; ");
        if !text.is_empty() {
            lines.push(note("HRC after tempering at: {}.", [written(text, &series.origin)]));
        }
    }
    if let Some((near, curve)) = &steel.compare {
        lines.extend(compare(bench, steel, near, curve));
    }
    lines.push(note(
        "These are usual values: ask for your steel maker's data sheet, it goes before them.",
        [],
    ));
    lines
}

/// A near grade's band beside this one's own, where they lie farthest apart.
fn compare(
    bench: &CardContext<'_>,
    steel: &SteelHeat,
    near: &str,
    curve: &TemperCurve,
) -> Option<Line> {
    let heat_c = (steel.curve.stations_c().into_iter().chain(curve.stations_c()))
        .filter(|heat| curve.at(*heat).is_some())
        .max_by(|a, b| apart(steel, curve, *a).total_cmp(&apart(steel, curve, *b)))?;
    let origin = &curve.series.first()?.origin;
    let band_there = curve.at(heat_c)?;
    let figures = vec![
        written(near.to_owned(), origin),
        written(band(band_there), origin),
        written(own_heat(heat_c, bench), origin),
    ];
    let words = "A table for {}, which is near to it, gives {} at {}: test a piece.";
    if steel.curve.is_weak() {
        let words = format!("{words} The temper below is told by both.");
        return Some(note(&words, figures));
    }
    Some(note(words, figures))
}

/// How far two curves lie apart at a heat, HRC.
fn apart(steel: &SteelHeat, curve: &TemperCurve, heat_c: f64) -> f64 {
    let both = steel.curve.at(heat_c).zip(curve.at(heat_c));
    both.map_or(0.0, |(a, b)| (a.0 - b.0).abs().max((a.1 - b.1).abs()))
}

fn unknown(bench: &CardContext<'_>) -> Line {
    let grade = bench.knife.bar.grade.trim();
    let grade = if grade.is_empty() { "this steel" } else { grade };
    note(
        "No table has {}: take its hardening and tempering from your steel maker's data sheet, or \
         give the steel to the shop with its source.",
        [super::stated(grade)],
    )
}

/// A heat in the knife's own scale alone.
fn own_heat(celsius: f64, bench: &CardContext<'_>) -> String {
    match bench.knife.unit {
        LengthUnit::Millimetre => format!("{} °C", show_number(celsius, 0)),
        LengthUnit::Inch => {
            let heat = Temperature::celsius(celsius);
            format!("{} °F", show_number(heat.to_fahrenheit(), 0))
        }
    }
}

/// The hardening heats, hardness as quenched and what each source adds: the figures that the
/// steps below call by name.
fn hardening_heat(bench: &CardContext<'_>, steel: &SteelHeat) -> Line {
    let mut words = Vec::new();
    let mut figures: Vec<Figure> = Vec::new();
    for row in &steel.hardening {
        let mut text = bench.heats(row.heat.0, row.heat.1);
        if let Some(hrc) = row.quenched_hrc {
            text += &format!(", {} as quenched", band(hrc));
        }
        if !row.remark.is_empty() {
            text += &format!(" ({})", row.remark);
        }
        figures.push(written(text, &row.origin));
        words.push("{}");
    }
    note(&format!("Its hardening heat: {}.", words.join("; or ")), figures)
}

/// What to do from the cold blade to the hard one.
pub(super) fn harden(bench: &CardContext<'_>) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let Some(steel) = heat.steel.as_ref().filter(|steel| !steel.hardening.is_empty()) else {
        let mut lines = cautions(bench, &["hot-work", "gas", "hot-steel"]);
        lines.push(unknown(bench));
        return lines;
    };
    let heating = bench.knife.treatment.heating;
    let in_oven = steel.needs_oven || heating == Some(Heating::Oven);
    let mut lines = cautions(bench, &["hot-work"]);
    if !in_oven {
        lines.extend(bench.caution("gas"));
    }
    lines.extend(bench.caution("hot-steel"));
    lines.push(hardening_heat(bench, steel));
    if !steel.needs_oven {
        lines.push(step(
            "If it was forged, or hot before: normalise it first, {} all through, then still air \
             until it is dark; {} times, each a little less hot. A bar bought annealed and only cut \
             to shape needs none.",
            [bench.practice("normalise"), bench.practice("normalise-times")],
        ));
    }
    lines.push(step(
        "Every hole drilled, sharp inside corners rounded, finished to {}, edges broken: scratches \
         across the blade start cracks.",
        [bench.practice("before-hardening")],
    ));
    if let Some(bevel) = bench.knife.bevel {
        lines.push(step(
            "Check the edge: {} thick all along before the fire.",
            [bench.stated(bevel.edge_thickness_mm)],
        ));
    }
    let rooms = heat.chambers.iter().filter(|room| !(steel.needs_oven && room.name == "forge"));
    lines.extend(rooms.map(|room| fits(bench, room)));
    if steel.needs_oven {
        lines.extend(bench.caution("air-steel"));
        lines.push(step(
            "Keep the air from it at that heat: a wrap of stainless tool foil, or a coating made \
             for it. Preheat as its data sheet says.",
            [],
        ));
    } else if heating != Some(Heating::Oven) {
        lines.extend(forge(bench));
    }
    if in_oven || heating.is_none() {
        lines.push(step(
            "Oven: set it to the hardening heat, for a thin blade to the lower half of it; the blade \
             in when it stands steady.",
            [],
        ));
    }
    lines.push(soak(bench, steel, !in_oven));
    lines.extend(quenching(bench, steel));
    lines.push(file_test(steel));
    lines.extend(bench.caution("brittle"));
    lines
}

fn cautions(bench: &CardContext<'_>, keys: &[&str]) -> Vec<Line> {
    keys.iter().filter_map(|key| bench.caution(key)).collect()
}

fn fits(bench: &CardContext<'_>, room: &ChamberFit) -> Line {
    let goes = if room.fits { "goes in" } else { "does NOT go in with its clearance" };
    let long = if room.spare_mm < 0.0 { "move it to and fro" } else { "all of it is in the heat" };
    let long = if room.name == "forge" { format!("; {long}") } else { String::new() };
    let circle = worked(
        bench.length(circle_mm(room.piece)),
        "circle around width and thickness: √(width² + thickness²)",
    );
    let around = bench.worked(room.circle_mm, "half of opening less circle");
    let spare = bench.worked(room.spare_mm, "inside length less the piece's");
    let volume = worked(bench.litres(room.litres), "inside section times inside length");
    let words = format!(
        "Your {}: it {goes}{long}. Circle around the section {{}}, room around it {{}}, length to \
         spare {{}}, volume {{}}.",
        room.name
    );
    note(&words, [circle, around, spare, volume])
}

/// By eye and magnet: no further than the steel's own range.
fn forge(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = vec![step(
        "Open forge: heat slowly and evenly, thick parts first, the tip last and never longest. \
         Touch it to a magnet: iron lets go at {}. That is only the floor.",
        [bench.practice("curie")],
    )];
    let curie = bench.tables.practice("curie").map(|row| row.range.0);
    let cue = bench.reckoning.heat.cue_c.zip(bench.tables.practice("hand-cue")).zip(curie);
    if let Some((((low, high), row), curie)) = cue {
        let above = bench.heat_step(low - curie, high - curie);
        lines.push(step(
            "By eye: {} hotter than where the magnet lets go, and no hotter: there this steel's own \
             hardening heat ends. More heat coarsens the grain; a coarse blade is brittle, and \
             cracks in the quench.",
            [written(above, &row.origin)],
        ));
    }
    lines
}

/// How long it is held at its hardening heat.
fn soak(bench: &CardContext<'_>, steel: &SteelHeat, in_forge: bool) -> Line {
    let told_soak = steel.hardening.iter().find_map(|row| row.soak_min.as_ref());
    let figure = match told_soak {
        Some(soak) => {
            let (low, high) = soak.range;
            let origin = crate::tables::Provenance {
                source: soak.source.clone(),
                confidence: "low-medium".to_owned(),
            };
            written(format!("{}–{} min", show_number(low, 0), show_number(high, 0)), &origin)
        }
        None if steel.needs_oven => {
            return step("Soak: as long as your steel maker's data sheet says.", []);
        }
        None => bench.practice("soak-carbon"),
    };
    let words = if told_soak.is_some() && in_forge {
        "Soak: {} once it is evenly hot. An open forge hardly holds a heat so long: an oven does \
         this steel better."
    } else {
        "Soak: {} once it is evenly hot, no longer."
    };
    step(words, [figure])
}

/// Every quench that the steel's sources name, each with its caution, quantity and warmth.
fn quenching(bench: &CardContext<'_>, steel: &SteelHeat) -> Vec<Line> {
    let quenches = steel.quenches();
    let several = quenches.len() > 1;
    let mut lines = Vec::new();
    for quench in quenches {
        match quench {
            Quench::Air => lines.extend(in_air(bench, several)),
            Quench::Water => lines.extend(in_water(bench, several)),
            Quench::FastOil | Quench::Oil | Quench::WarmOil => {
                lines.extend(in_oil(
                    bench,
                    quench,
                    several && steel.quench() == Some(Quench::Water),
                ));
            }
        }
    }
    lines
}

fn in_air(bench: &CardContext<'_>, other: bool) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.caution("air").into_iter().collect();
    lines.push(step(
        if other {
            "Or let it cool in still air between two thick plates that cover all of it, with nothing \
             wet near it: slower, and it bends less."
        } else {
            "Cool it in still air or between two thick plates that cover all of it, with nothing wet \
             near it."
        },
        [],
    ));
    lines
}

fn in_water(bench: &CardContext<'_>, other: bool) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.caution("water").into_iter().collect();
    let mut figures = Vec::new();
    let start = if other {
        "Water or brine, only if oil leaves it soft: it hardens deeper, but a thin blade often \
         cracks in it."
    } else {
        "Quench in water or brine: a thin blade often cracks in it."
    };
    let kg = bench.reckoning.mass.as_ref().and_then(|mass| mass.ground_g()).map(|g| g / 1000.0);
    let share = bench.tables.practice("water-share");
    let mut words = start.to_owned();
    match kg.zip(share) {
        Some((kg, share)) => {
            words += " {} of it at least for this blade's mass, at {}:";
            figures.push(written(bench.litres(kg * share.range.0), &share.origin));
        }
        None => words += " A tank deep enough for the whole blade, at {}:",
    }
    figures.push(bench.practice("water-warmth"));
    words += " straight down, edge first, moved up and down.";
    lines.push(step(&words, figures));
    lines
}

fn in_oil(bench: &CardContext<'_>, quench: Quench, first: bool) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let mut lines: Vec<Line> = bench.caution("oil").into_iter().collect();
    if let Some((litres, row)) = heat.oil_l.zip(bench.tables.practice("oil-share")) {
        let tank = heat.chambers.iter().find(|room| room.name == "quench tank");
        let short = tank.is_some_and(|tank| tank.litres < litres);
        let short = if short { " YOUR TANK HOLDS LESS." } else { "" };
        let words = format!(
            "Oil for this blade's mass: {{}} at least, deep enough for the whole blade; more stays \
             cooler.{short}"
        );
        lines.push(step(&words, [written(bench.litres(litres), &row.origin)]));
    }
    let start = if first { "A thin blade goes into" } else { "Quench in" };
    let words = format!(
        "{start} {}, warmed to {{}}: straight down, edge or tip first, moved to and fro along the \
         blade only. Every blade warms it: never hotter than {{}}, whatever its flash point.",
        quench.label()
    );
    lines.push(step(&words, [bench.practice("oil-warmth"), bench.practice("oil-ceiling")]));
    lines.push(step(
        "After {} out of the oil and into the straightening clamp, while it can still be moved; \
         gloves and tongs, the oil on it may flare. Once cold it breaks sooner than it bends.",
        [bench.practice("quench-seconds")],
    ));
    lines
}

fn file_test(steel: &SteelHeat) -> Line {
    step(
        if steel.needs_oven {
            "Test it when it can be touched: a file skates over hard steel. If it bites under the \
             skin, heat or soak fell short: have it annealed and hardened anew by its data sheet."
        } else {
            "Test it when it can be touched: a file skates over hard steel. If it bites, file through \
             the skin first, which lost its carbon in the fire (decarburised). If it bites under it \
             too, it isn't hard: normalise it, then quench once more."
        },
        [],
    )
}

/// What to do from the hard blade to the tempered one.
pub(super) fn temper(bench: &CardContext<'_>) -> Vec<Line> {
    let steel = bench.reckoning.heat.steel.as_ref();
    let oily = steel.is_none_or(|steel| steel.quenches().iter().any(|quench| quench.is_oil()));
    let mut lines: Vec<Line> = bench.caution("temper-oven").filter(|_| oily).into_iter().collect();
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
    lines.push(step(
        "From now on keep it cool while grinding: bare fingers, dip it often. Where it turns straw \
         or blue the temper is lost.",
        [],
    ));
    lines
}

fn chosen(bench: &CardContext<'_>) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let mut lines = Vec::new();
    let origin = heat.steel.as_ref().and_then(|steel| steel.advice().origin());
    match (&heat.temper, bench.knife.treatment.temper, &origin) {
        (Some(Err(fault)), _, _) => {
            lines.push(note("{}", [worked(fault.to_string(), "held against the tables")]));
            lines.extend(brittle(bench));
        }
        (Some(Ok(temper)), Some(Temper::Hardness(hrc)), Some(origin)) => {
            let expected = super::stated(format!("{} HRC", show_number(hrc, 1)));
            let heats = oven_setting(temper.heats_c, bench.knife.unit);
            lines.push(step(
                "Wanted: {}. By the tables at {}. Begin at the cooler end, which gives {}; test, \
                 and temper again a little hotter if it chips. It can't be made harder again.",
                [expected, written(heats, origin), written(band(temper.swing_hrc), origin)],
            ));
            lines.extend(kitchen(bench, temper.heats_c.0));
            lines.extend(brittle(bench));
        }
        (Some(Ok(temper)), Some(Temper::Heat(celsius)), Some(origin)) => {
            let heat = Temperature::celsius(celsius);
            let expected = super::stated(bench.heats(heat, heat));
            let hrc = written(band(temper.swing_hrc), origin);
            lines.push(step("Temper at {}: by the tables {}.", [expected, hrc]));
            lines.extend(kitchen(bench, celsius));
            lines.extend(brittle(bench));
        }
        _ => lines.extend(usual(bench)),
    }
    if let Some(steel) = &heat.steel {
        if let Some(avoid) = steel.avoid() {
            let origin = crate::tables::Provenance {
                source: avoid.source.clone(),
                confidence: "medium".to_owned(),
            };
            let range = bench
                .heats(Temperature::celsius(avoid.range.0), Temperature::celsius(avoid.range.1));
            lines
                .push(note("Keep this steel out of {} when tempering.", [written(range, &origin)]));
        }
        if bench.knife.treatment.heating != Some(Heating::Oven)
            && origin.is_some()
            && !steel.needs_oven
        {
            lines.push(note(
                "The tables take full hardness for granted: from an open forge it may be {} softer.",
                [bench.practice("forge-loss")],
            ));
        }
    }
    lines
}

/// That the temper lies, or may be led, where the steel loses toughness; what to choose instead.
fn brittle(bench: &CardContext<'_>) -> Option<Line> {
    let temper = bench.reckoning.heat.brittle(bench.knife.treatment.temper)?;
    let (low, high) = temper.range_c;
    let row = bench.tables.practice("temper-brittle")?;
    let range = bench.heats(Temperature::celsius(low), Temperature::celsius(high));
    let mut figures = vec![written(range, &row.origin)];
    let mut words = "Between {} plain carbon and low-alloy steels lose toughness (temper \
                     embrittlement): the blade gets softer and yet more brittle."
        .to_owned();
    words += if temper.is_all() {
        " THIS TEMPER LIES IN IT."
    } else {
        " The hotter part of what is told above lies in it."
    };
    words += " Stay below";
    let advice = bench.reckoning.heat.steel.as_ref().map(SteelHeat::advice);
    let there = advice.and_then(|advice| Some((advice.at(low)?, advice.origin()?)));
    match there {
        Some((hrc, origin)) => {
            words += ", where this steel keeps {} or more.";
            figures.push(written(band(hrc), &origin));
        }
        None => words += ".",
    }
    Some(Line::new(LineKind::Caution, &words, figures))
}

/// As long as nothing is chosen: what many take, and what the tables say of it.
fn usual(bench: &CardContext<'_>) -> Vec<Line> {
    let Some(steel) = &bench.reckoning.heat.steel else { return vec![unknown(bench)] };
    let advice = steel.advice();
    let (Some(origin), false) = (advice.origin(), steel.curve.is_empty()) else {
        let grade = super::stated(steel.grade.clone());
        return vec![note(
            "The tables have no tempering points for {}: take them from your steel maker's data \
             sheet, or give the steel to the shop with its source.",
            [grade],
        )];
    };
    let swing_c = bench.tables.practice("oven-swing-c").map_or(0.0, |row| row.heats_c().0);
    if steel.needs_oven {
        let first = advice.heats_c().and_then(|(cool, _)| Some((cool, advice.at(cool)?)));
        let Some((cool, hrc)) = first else { return Vec::new() };
        return vec![step(
            "No hardness is chosen yet: take the temper from its data sheet. The tables begin at \
             {}, which leaves {}.",
            [
                written(oven_setting((cool, cool), bench.knife.unit), &origin),
                written(band(hrc), &origin),
            ],
        )];
    }
    let usual = bench.tables.practice("temper-usual");
    let at = usual.map(|row| row.heats_c().0);
    let there = at.and_then(|celsius| advice.band_within(celsius, swing_c));
    let hrc = there.map(|hrc| written(band(hrc), &origin));
    hrc.map(|hrc| {
        step(
            "No hardness is chosen yet. Many temper a first blade at {}: for this steel that gives \
             {} by the tables.",
            [bench.practice("temper-usual"), hrc],
        )
    })
    .into_iter()
    .collect()
}

/// Whether a kitchen oven goes so far.
fn kitchen(bench: &CardContext<'_>, celsius: f64) -> Option<Line> {
    let max = bench.tables.practice("kitchen-oven")?;
    let max_c = Temperature::fahrenheit(max.range.0).to_celsius();
    (celsius > max_c).then(|| {
        note(
            "A kitchen oven goes up to about {}: this temper needs a heat-treating oven.",
            [bench.practice("kitchen-oven")],
        )
    })
}

/// Plain figures for those who build a chamber.
fn bricks(bench: &CardContext<'_>) -> Vec<Line> {
    let figure = |key: &str| bench.tables.practice(key).map(|row| row.range.0);
    let (Some(bore), Some(long), Some(back)) =
        (figure("brick-chamber"), figure("brick-length"), figure("burner-back"))
    else {
        return Vec::new();
    };
    let volume = std::f64::consts::PI / 4.0 * bore * bore * long;
    let litres = volume * 25.4_f64.powi(3) / 1e6;
    let volume = match bench.knife.unit {
        LengthUnit::Inch => format!("{} in³", show_number(volume, 1)),
        LengthUnit::Millimetre => format!("{} l", show_number(litres, 2)),
    };
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
