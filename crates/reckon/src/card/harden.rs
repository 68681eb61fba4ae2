//! The card for fire and oven: hardening and tempering.

use super::text::{Fill, card_lines, list};
use super::{CardContext, Figure, Line, Part, band, stated, worked, written};
use crate::heat::{ChamberFit, SteelHeat, TemperCurve, circle_mm, oven_setting};
use crate::tables::Quench;
use knife::{Heating, Temper};
use units::{LengthUnit, Temperature, show_number};

card_lines! { "harden":
    TITLE_STEEL [];
    TITLE_HARDENING [];
    TITLE_TEMPERING [];
    TITLE_BRICKS [];
    COMPOSITION [grade composition];
    HARDNESS_BY_TEMPER [points];
    USUAL_VALUES [];
    NEAR_GRADE [grade hardness heat];
    NEAR_GRADE_BOTH [grade hardness heat];
    UNKNOWN [grade];
    HARDENING_HEAT [heats];
    HEATS_DIFFER [];
    NORMALISE [heat times];
    BEFORE_FIRE [grit];
    CHECK_EDGE [thickness];
    NO_AIR [];
    OVEN [];
    CHAMBER [chamber goes length circle room spare volume];
    GOES_IN [];
    GOES_NOT_IN [];
    ALL_IN_HEAT [];
    TO_AND_FRO [];
    FORGE [heat];
    CUE [step];
    SOAK [time];
    SOAK_IN_FORGE [time];
    SOAK_BY_DATA_SHEET [];
    AIR [];
    AIR_TOO [];
    WATER [start volume heat];
    WATER_TANK [start heat];
    WATER_AFTER_OIL [];
    WATER_ALONE [];
    OIL_VOLUME [volume short];
    TANK_SHORT [];
    OIL [start oil warmth ceiling];
    OIL_FIRST [];
    OIL_ALONE [];
    STRAIGHTEN [time];
    FILE_TEST [];
    FILE_TEST_OVEN [];
    TEMPER_CYCLES [times time];
    KITCHEN_OVERSHOOTS [];
    KEEP_COOL [];
    TEMPER_FAULT [fault];
    WANTED_HARDNESS [hardness heats gives];
    WANTED_HEAT [heat hardness];
    AVOID [heats];
    FORGE_LOSS [loss];
    BRITTLE [heats where_it_lies keeps];
    BRITTLE_ALL [];
    BRITTLE_PART [];
    BRITTLE_KEEPS [hardness];
    NO_POINTS [grade];
    NO_HARDNESS_OVEN [heat hardness];
    NO_HARDNESS [heat hardness];
    KITCHEN_LIMIT [heat];
    BRICK_BORE [bore bricks length volume];
    BRICK_BURNER [angle wall run];
    BRICK_ROOM [circle room];
    BRICK_TIGHT [circle];
    BRICK_CAUTIONS [];
}

/// What is known of the steel.
pub(super) fn steel_part(bench: &CardContext<'_>) -> Part {
    Part { title: TITLE_STEEL.words(), lines: steel(bench) }
}

/// Hardening and tempering.
pub(super) fn fire_parts(bench: &CardContext<'_>) -> Vec<Part> {
    vec![
        Part { title: TITLE_HARDENING.words(), lines: harden(bench) },
        Part { title: TITLE_TEMPERING.words(), lines: temper(bench) },
    ]
}

/// A chamber of soft bricks, which is an open forge: no place for a steel that needs an oven.
pub(super) fn brick_part(bench: &CardContext<'_>) -> Option<Part> {
    let needs_oven = bench.reckoning.heat.steel.as_ref().is_some_and(|steel| steel.needs_oven);
    (!needs_oven).then(|| Part { title: TITLE_BRICKS.words(), lines: bricks(bench) })
}

/// What is known of the steel: composition, and each source's hardness by temper.
fn steel(bench: &CardContext<'_>) -> Vec<Line> {
    let Some(steel) = &bench.reckoning.heat.steel else { return vec![unknown(bench)] };
    let mut lines = Vec::new();
    if let Some((words, origin)) = &steel.composition {
        let grade = stated(steel.grade.clone());
        lines.push(COMPOSITION.line([grade, written(words.clone(), origin)]));
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
            lines.push(HARDNESS_BY_TEMPER.line([written(text, &series.origin)]));
        }
    }
    if let Some((near, curve)) = &steel.compare {
        lines.extend(compare(bench, steel, near, curve));
    }
    lines.push(USUAL_VALUES.plain());
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
    let figures = [near.to_owned(), band(band_there), own_heat(heat_c, bench)]
        .map(|text| written(text, origin));
    let text = if steel.curve.is_weak() { NEAR_GRADE_BOTH } else { NEAR_GRADE };
    Some(text.line(figures))
}

/// How far two curves lie apart at a heat, HRC.
fn apart(steel: &SteelHeat, curve: &TemperCurve, heat_c: f64) -> f64 {
    let both = steel.curve.at(heat_c).zip(curve.at(heat_c));
    both.map_or(0.0, |(a, b)| (a.0 - b.0).abs().max((a.1 - b.1).abs()))
}

fn unknown(bench: &CardContext<'_>) -> Line {
    let grade = bench.knife.bar.grade.trim();
    let grade = if grade.is_empty() { "this steel" } else { grade };
    UNKNOWN.line([stated(grade)])
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
    }
    HARDENING_HEAT.line([list(figures, "; or ")])
}

/// What to do from the cold blade to the hard one.
pub(super) fn harden(bench: &CardContext<'_>) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let Some(steel) = heat.steel.as_ref().filter(|steel| !steel.hardening.is_empty()) else {
        let mut lines = bench.cautions(&["hot-work", "gas", "hot-steel"]);
        lines.push(unknown(bench));
        return lines;
    };
    let heating = bench.knife.treatment.heating;
    let in_oven = steel.needs_oven || heating == Some(Heating::Oven);
    let mut lines = bench.cautions(&["hot-work"]);
    if !in_oven {
        lines.extend(bench.caution("gas"));
    }
    lines.extend(bench.caution("hot-steel"));
    lines.push(hardening_heat(bench, steel));
    if steel.hardening.iter().any(|row| row.heat != steel.hardening[0].heat) {
        lines.push(HEATS_DIFFER.plain());
    }
    if !steel.needs_oven {
        lines
            .push(NORMALISE.line([bench.practice("normalise"), bench.practice("normalise-times")]));
    }
    lines.push(BEFORE_FIRE.line([bench.practice("before-hardening")]));
    if let Some(bevel) = bench.knife.bevel {
        lines.push(CHECK_EDGE.line([bench.stated(bevel.edge_thickness_mm)]));
    }
    let rooms = heat.chambers.iter().filter(|room| !(steel.needs_oven && room.name == "forge"));
    lines.extend(rooms.map(|room| fits(bench, room)));
    if steel.needs_oven {
        lines.extend(bench.caution("air-steel"));
        lines.push(NO_AIR.plain());
    } else if heating != Some(Heating::Oven) {
        lines.extend(forge(bench));
    }
    if in_oven || heating.is_none() {
        lines.push(OVEN.plain());
    }
    lines.push(soak(bench, steel, !in_oven));
    lines.extend(quenching(bench, steel));
    lines.push(file_test(steel));
    lines.extend(bench.caution("brittle"));
    lines
}

fn fits(bench: &CardContext<'_>, room: &ChamberFit) -> Line {
    let goes = if room.fits { GOES_IN } else { GOES_NOT_IN };
    let length = if room.spare_mm < 0.0 { TO_AND_FRO } else { ALL_IN_HEAT };
    let length = if room.name == "forge" { length.words() } else { String::new() };
    let circle = worked(
        bench.length(circle_mm(room.piece)),
        "circle around width and thickness: √(width² + thickness²)",
    );
    let around = bench.worked(room.circle_mm, "half of opening less circle");
    let spare = bench.worked(room.spare_mm, "inside length less the piece's");
    let volume = worked(bench.litres(room.litres), "inside section times inside length");
    CHAMBER.line([
        room.name.to_string().into(),
        goes.words().into(),
        Fill::from(length),
        circle.into(),
        around.into(),
        spare.into(),
        volume.into(),
    ])
}

/// By eye and magnet: no further than the steel's own range.
fn forge(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = vec![FORGE.line([bench.practice("curie")])];
    let curie = bench.tables.practice("curie").map(|row| row.range.0);
    let cue = bench.reckoning.heat.cue_c.zip(bench.tables.practice("hand-cue")).zip(curie);
    if let Some((((low, high), row), curie)) = cue {
        let above = bench.heat_step(low - curie, high - curie);
        lines.push(CUE.line([written(above, &row.origin)]));
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
            return SOAK_BY_DATA_SHEET.plain();
        }
        None => bench.practice("soak-carbon"),
    };
    let text = if told_soak.is_some() && in_forge { SOAK_IN_FORGE } else { SOAK };
    text.line([figure])
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
    lines.push(if other { AIR_TOO.plain() } else { AIR.plain() });
    lines
}

fn in_water(bench: &CardContext<'_>, other: bool) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.caution("water").into_iter().collect();
    let start = if other { WATER_AFTER_OIL.words() } else { WATER_ALONE.words() };
    let kg = bench.reckoning.mass.as_ref().and_then(|mass| mass.ground_g()).map(|g| g / 1000.0);
    let warmth = bench.practice("water-warmth");
    lines.push(match kg.zip(bench.tables.practice("water-share")) {
        Some((kg, share)) => {
            let volume = written(bench.litres(kg * share.range.0), &share.origin);
            WATER.line([Fill::from(start), volume.into(), warmth.into()])
        }
        None => WATER_TANK.line([Fill::from(start), warmth.into()]),
    });
    lines
}

fn in_oil(bench: &CardContext<'_>, quench: Quench, first: bool) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let mut lines: Vec<Line> = bench.caution("oil").into_iter().collect();
    if let Some((litres, row)) = heat.oil_l.zip(bench.tables.practice("oil-share")) {
        let tank = heat.chambers.iter().find(|room| room.name == "quench tank");
        let short = tank.is_some_and(|tank| tank.litres < litres);
        let short = if short { TANK_SHORT.words() } else { String::new() };
        let volume = written(bench.litres(litres), &row.origin);
        lines.push(OIL_VOLUME.line([Fill::from(volume), short.into()]));
    }
    let start = if first { OIL_FIRST } else { OIL_ALONE };
    lines.push(OIL.line([
        Fill::from(start.words()),
        quench.label().to_owned().into(),
        bench.practice("oil-warmth").into(),
        bench.practice("oil-ceiling").into(),
    ]));
    lines.push(STRAIGHTEN.line([bench.practice("quench-seconds")]));
    lines
}

fn file_test(steel: &SteelHeat) -> Line {
    if steel.needs_oven { FILE_TEST_OVEN.plain() } else { FILE_TEST.plain() }
}

/// What to do from the hard blade to the tempered one.
pub(super) fn temper(bench: &CardContext<'_>) -> Vec<Line> {
    let steel = bench.reckoning.heat.steel.as_ref();
    let oily = steel.is_none_or(|steel| steel.quenches().iter().any(|quench| quench.is_oil()));
    let mut lines: Vec<Line> = bench.caution("temper-oven").filter(|_| oily).into_iter().collect();
    lines.extend(chosen(bench));
    lines.push(
        TEMPER_CYCLES.line([bench.practice("temper-cycles"), bench.practice("temper-hours")]),
    );
    lines.push(KITCHEN_OVERSHOOTS.plain());
    lines.push(KEEP_COOL.plain());
    lines
}

fn chosen(bench: &CardContext<'_>) -> Vec<Line> {
    let heat = &bench.reckoning.heat;
    let mut lines = Vec::new();
    let origin = heat.steel.as_ref().and_then(|steel| steel.advice().origin());
    match (&heat.temper, bench.knife.treatment.temper, &origin) {
        (Some(Err(fault)), _, _) => {
            lines.push(TEMPER_FAULT.line([worked(fault.to_string(), "held against the tables")]));
            lines.extend(brittle(bench));
        }
        (Some(Ok(temper)), Some(Temper::Hardness(hrc)), Some(origin)) => {
            let expected = stated(format!("{} HRC", show_number(hrc, 1)));
            let heats = oven_setting(temper.heats_c, bench.knife.unit);
            lines.push(WANTED_HARDNESS.line([
                expected,
                written(heats, origin),
                written(band(temper.swing_hrc), origin),
            ]));
            lines.extend(kitchen(bench, temper.heats_c.0));
            lines.extend(brittle(bench));
        }
        (Some(Ok(temper)), Some(Temper::Heat(celsius)), Some(origin)) => {
            let expected = stated(stated_heat(bench, celsius));
            let hrc = written(band(temper.swing_hrc), origin);
            lines.push(WANTED_HEAT.line([expected, hrc]));
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
            lines.push(AVOID.line([written(range, &origin)]));
        }
        if bench.knife.treatment.heating != Some(Heating::Oven)
            && origin.is_some()
            && !steel.needs_oven
        {
            lines.push(FORGE_LOSS.line([bench.practice("forge-loss")]));
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
    let lies = if temper.is_all() { BRITTLE_ALL } else { BRITTLE_PART };
    let advice = bench.reckoning.heat.steel.as_ref().map(SteelHeat::advice);
    let keeps = advice
        .and_then(|advice| Some((advice.at(low)?, advice.origin()?)))
        .map(|(hrc, origin)| BRITTLE_KEEPS.spans([written(band(hrc), &origin)]));
    Some(BRITTLE.line([
        Fill::from(written(range, &row.origin)),
        lies.words().into(),
        keeps.unwrap_or_default().into(),
    ]))
}

/// As long as nothing is chosen: what many take, and what the tables say of it.
fn usual(bench: &CardContext<'_>) -> Vec<Line> {
    let Some(steel) = &bench.reckoning.heat.steel else { return vec![unknown(bench)] };
    let advice = steel.advice();
    let (Some(origin), false) = (advice.origin(), steel.curve.is_empty()) else {
        let grade = stated(steel.grade.clone());
        return vec![NO_POINTS.line([grade])];
    };
    let swing_c = bench.tables.practice("oven-swing-c").map_or(0.0, |row| row.heats_c().0);
    if steel.needs_oven {
        let first = advice.heats_c().and_then(|(cool, _)| Some((cool, advice.at(cool)?)));
        let Some((cool, hrc)) = first else { return Vec::new() };
        return vec![NO_HARDNESS_OVEN.line([
            written(oven_setting((cool, cool), bench.knife.unit), &origin),
            written(band(hrc), &origin),
        ])];
    }
    let usual = bench.tables.practice("temper-usual");
    let at = usual.map(|row| row.heats_c().0);
    let there = at.and_then(|celsius| advice.band_within(celsius, swing_c));
    let hrc = there.map(|hrc| written(band(hrc), &origin));
    hrc.map(|hrc| NO_HARDNESS.line([bench.practice("temper-usual"), hrc])).into_iter().collect()
}

/// A heat that the maker stated: as an oven is set, and as on the chart, unless it is finer.
fn stated_heat(bench: &CardContext<'_>, celsius: f64) -> String {
    let heat = Temperature::celsius(celsius);
    let (exact, set) =
        (bench.heats(heat, heat), oven_setting((celsius, celsius), bench.knife.unit));
    let own = |words: &str| words.split(" (").next().map(str::to_owned);
    if own(&exact) == own(&set) { set } else { exact }
}

/// Whether a kitchen oven goes so far.
fn kitchen(bench: &CardContext<'_>, celsius: f64) -> Option<Line> {
    let max = bench.tables.practice("kitchen-oven")?;
    let max_c = Temperature::fahrenheit(max.range.0).to_celsius();
    (celsius > max_c).then(|| KITCHEN_LIMIT.line([bench.practice("kitchen-oven")]))
}

/// Plain figures for those who build a chamber.
fn bricks(bench: &CardContext<'_>) -> Vec<Line> {
    let figure = |key: &str| bench.tables.practice(key).map(|row| row.range.0);
    let (Some(bore), Some(long), Some(back)) =
        (figure("brick-chamber"), figure("brick-length"), figure("burner-back"))
    else {
        return Vec::new();
    };
    let chamber = bench.reckoning.jigs.as_ref().and_then(|jigs| jigs.chamber.as_ref());
    let count = chamber.map_or(1, |chamber| chamber.bricks);
    let in_row =
        if count == 1 { "one brick".to_owned() } else { format!("{count} bricks in a row, each") };
    let volume = std::f64::consts::PI / 4.0 * bore * bore * long * f64::from(count);
    let litres = volume * 25.4_f64.powi(3) / 1e6;
    let volume = match bench.knife.unit {
        LengthUnit::Inch => format!("{} in³", show_number(volume, 1)),
        LengthUnit::Millimetre => format!("{} l", show_number(litres, 2)),
    };
    let (bore_mm, length) = (bore * 25.4, |mm| bench.length(mm));
    let mut lines = vec![
        BRICK_BORE.line([
            bench.practice("brick-chamber"),
            worked(in_row, "blade and an inch over the length of a brick"),
            bench.practice("brick-length"),
            worked(volume, "π/4 · bore² · length"),
        ]),
        BRICK_BURNER.line([
            bench.practice("burner-back"),
            worked(length(25.4), "a unit of wall"),
            worked(length(25.4 * back.to_radians().tan()), "wall times the angle's tangent"),
        ]),
    ];
    if let Some(profile) = &bench.reckoning.profile {
        let circle = profile.width_mm.hypot(bench.knife.bar.thickness_mm);
        let around = (bore_mm - circle) / 2.0;
        let circle = worked(length(circle), "√(width² + thickness²)");
        lines.push(if around > 0.0 {
            BRICK_ROOM.line([circle, worked(length(around), "half of bore less circle")])
        } else {
            BRICK_TIGHT.line([circle])
        });
    }
    lines.push(BRICK_CAUTIONS.plain());
    lines
}
