//! The build card: every step from bar to finished knife, in the order of the bench.

use super::finish::names;
use super::{Card, CardContext, Figure, Line, Part, have, note, stated, step, worked, written};
use super::{harden, sharpen, stock};
use crate::HoleFigures;
use crate::scribe::reference_label;
use crate::tables::{MaterialKind, Provenance};
use knife::Groove;
use units::show_angle;

/// More holes than these are not told one by one.
const MAX_HOLES: usize = 12;

/// The whole build.
pub fn build_card(bench: &CardContext<'_>) -> Card {
    let parts: [(&str, Vec<Line>); 15] = [
        ("Before you begin", before(bench)),
        ("Have at hand", at_hand(bench)),
        ("Bar", bar(bench)),
        ("Mark out", mark_out(bench)),
        ("Template", template()),
        // The holes are measured from the bar's edges: as long as these are there.
        ("Drill the tang", drill(bench)),
        ("Cut out", cut_out(bench)),
        ("Profile", profile(bench)),
        ("Bevels", bevels(bench)),
        ("Harden", harden::harden(bench)),
        ("Temper", harden::temper(bench)),
        ("Finish the blade", finish(bench)),
        ("Handle", handle(bench)),
        ("Edge", sharpen::lines(bench)),
        ("Done", done(bench)),
    ];
    let numbered = parts.into_iter().map(|(title, lines)| Part { title: title.to_owned(), lines });
    Card { parts: numbered.filter(|part| !part.lines.is_empty()).collect() }
}

fn cautions(bench: &CardContext<'_>, keys: &[&str]) -> Vec<Line> {
    keys.iter().filter_map(|key| bench.caution(key)).collect()
}

fn before(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = cautions(bench, &["check", "law"]);
    let stops = bench.reckoning.stops();
    if stops > 0 {
        let count = worked(stops.to_string(), "findings that say stop");
        lines.push(step(
            "Findings that say stop: {}. Don't cut steel by this plan before blankwright check has \
             none.",
            [count],
        ));
    }
    lines
}

fn at_hand(bench: &CardContext<'_>) -> Vec<Line> {
    let (knife, reckoning) = (bench.knife, bench.reckoning);
    let stock = &knife.bar;
    let mut lines = vec![have(
        "Steel: {}, {} × {} × {}.",
        [
            stated(if stock.grade.trim().is_empty() { "grade not stated" } else { &stock.grade }),
            bench.stated(stock.width_mm),
            bench.stated(stock.thickness_mm),
            bench.stated(stock.length_mm),
        ],
    )];
    lines.extend(stock::lines(bench));
    let mut drills: Vec<String> =
        reckoning.holes.iter().map(|hole| drill_name(bench, hole)).collect();
    drills.extend(reckoning.chain.as_ref().and_then(|chain| chain.drilling.drill.clone()));
    drills.sort();
    drills.dedup();
    if !drills.is_empty() {
        lines.push(have("Drills: {}.", [stated(drills.join(", "))]));
    }
    let ladders = &reckoning.heat.ladders;
    let mut grits = [&ladders.before, &ladders.blade, &ladders.handle].map(Vec::as_slice).concat();
    grits.sort_by(|a, b| b.um.total_cmp(&a.um));
    grits.dedup_by(|a, b| a.name == b.name);
    lines.push(have("Abrasives: {}; a flat hard block and a soft one.", [names(&grits)]));
    let needs_oven = reckoning.heat.steel.as_ref().is_some_and(|steel| steel.needs_oven);
    lines.push(have(
        if needs_oven {
            "Saw, files and file card, clamps, rule, square, scriber, centre punch, marking fluid; \
             for the heat: an oven that holds it, tool foil, tongs, two thick plates, extinguisher."
        } else {
            "Saw, files and file card, clamps, rule, square, scriber, centre punch, marking fluid; \
             for the fire: magnet, tongs, thermometer, straightening clamp, tank with a lid, \
             extinguisher."
        },
        [],
    ));
    lines.push(have(
        "On you: eye protection, fitted respirator, hearing protection, leather gloves for hot \
         work, nitrile ones for glue; hair and sleeves tied back.",
        [],
    ));
    lines
}

fn drill_name(bench: &CardContext<'_>, hole: &HoleFigures) -> String {
    hole.drill.clone().unwrap_or_else(|| bench.length(hole.diameter_mm))
}

fn bar(bench: &CardContext<'_>) -> Vec<Line> {
    let Some(figures) = &bench.reckoning.bar else {
        return vec![note("There is no outline yet: nothing can be cut.", [])];
    };
    let margin = bench.worked(figures.margins.min_mm(), "least distance to edges and ends");
    let mut lines = vec![if figures.fits {
        step("The blank lies on the bar with {} to its edges and ends.", [margin])
    } else {
        step("The blank does NOT lie on the bar ({}): take another bar or turn it.", [margin])
    }];
    lines.push(step(
        "Sort out the bar: straight, no cracks, annealed (a file bites). Measure its thickness: the \
         angles follow from it.",
        [],
    ));
    lines
}

fn template() -> Vec<Line> {
    vec![
        step(
            "Print the sheets at actual size; measure rulers and squares before you trust them.",
            [],
        ),
        // The same words as on the profile sheet.
        step(
            "Cut the profile sheet along its dashed scissor line, stick it on the steel, centre-punch \
             the holes through it (on the scribed crosses), cut outside the full line and file to \
             it. A second print, glued to card, checks the shape.",
            [],
        ),
    ]
}

fn mark_out(bench: &CardContext<'_>) -> Vec<Line> {
    let words = format!(
        "Degrease, colour with marking fluid and let it dry. Scribe from the {} only: holes, plunge \
         and scale front.",
        reference_label(bench.knife.bar.reference)
    );
    vec![step(&words, [])]
}

fn cut_out(bench: &CardContext<'_>) -> Vec<Line> {
    let keys: &[&str] =
        if bench.reckoning.holes.is_empty() { &["eyes", "drilling", "unplug"] } else { &["eyes"] };
    let mut lines = cautions(bench, keys);
    let Some(chain) = &bench.reckoning.chain else { return lines };
    let cutting = &chain.drilling;
    let drill = cutting.drill.clone().unwrap_or_else(|| bench.length(cutting.drill_mm));
    if !chain.holes.is_empty() {
        lines.push(step(
            "Chain-drill: {} holes of {}, {} apart, {} outside the line; saw or break the bridges.",
            [
                worked(chain.holes.len().to_string(), "evenly divided between corners"),
                stated(drill),
                bench.worked(cutting.pitch_mm(), "drill and bridge"),
                bench.worked(cutting.offset_mm(), "half a drill and what is left to file"),
            ],
        ));
    }
    if let Some(cut) = chain.cuts.first() {
        lines.push(step(
            "Relief saw cuts: {}, with a saw that cuts {} wide, to the stops on the bar sheet.",
            [
                worked(chain.cuts.len().to_string(), "one into each hollow"),
                bench.worked(cut.kerf_mm, "the narrowest saw of the shop"),
            ],
        ));
    }
    lines.push(step("Break all sharp edges of the sawn blank.", []));
    lines
}

fn profile(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = cautions(bench, &["grinder", "hearing", "sparks"]);
    lines.push(step("File or grind to the line, square to the face; check with the template.", []));
    if let Some(inside) = &bench.reckoning.inside {
        let radius = bench.worked(inside.radius_mm, "least radius over the hollow stretches");
        match inside.tool.as_ref() {
            Some(tool) => lines.push(step(
                "Inside curves, down to a radius of {}: {} reaches in.",
                [radius, stated(tool.name.clone())],
            )),
            None => lines.push(step(
                "Inside curves go down to a radius of {}: no tool of the shop reaches in.",
                [radius],
            )),
        }
    }
    lines.extend(jimping(bench));
    lines
}

/// The jimping as designed; nothing where there is none.
fn jimping(bench: &CardContext<'_>) -> Option<Line> {
    let figures = bench.reckoning.jimping.as_ref().filter(|own| !own.notches.is_empty())?;
    let groove = match figures.groove {
        Groove::Vee(angle_deg) => format!("a V of {}", show_angle(angle_deg, 0)),
        Groove::Round(file_mm) => format!("a round file of {}", bench.length(file_mm)),
    };
    Some(step(
        "Jimping, while the steel is soft: {} notches with {}, {} deep, {} from one to the next, \
         the first on its mark; both marks stand on the profile sheet.",
        [
            worked(figures.notches.len().to_string(), "as many as go on the run at this pitch"),
            stated(groove),
            bench.stated(figures.depth_mm),
            bench.stated(figures.pitch_mm),
        ],
    ))
}

/// The scallops as designed; nothing where there are none.
fn scallops(bench: &CardContext<'_>) -> Option<Line> {
    let figures = bench.reckoning.scallops.as_ref()?;
    let (above, below) = (figures.upper.places.len(), figures.lower.places.len());
    (above + below > 0).then(|| {
        step(
            "Scallops along the corners, before these are rounded, both scales alike: {} above and \
             {} below, with a drum of {}, {} deep, held at {} to the face; places on the scales \
             sheet.",
            [
                worked(above.to_string(), "even along the handle's axis"),
                worked(below.to_string(), "half a pitch farther back"),
                bench.stated(figures.stated.drum_mm),
                bench.stated(figures.stated.depth_mm),
                stated(show_angle(figures.stated.angle_deg, 0)),
            ],
        )
    })
}

fn drill(bench: &CardContext<'_>) -> Vec<Line> {
    let (knife, reckoning) = (bench.knife, bench.reckoning);
    if reckoning.holes.is_empty() {
        return vec![note(
            "This blank has no holes: without pins, glue alone holds the scales.",
            [],
        )];
    }
    let mut lines = cautions(bench, &["eyes", "drilling", "unplug"]);
    lines.push(note(
        "Drill now, while the bar has the edge and end that the holes are measured from.",
        [],
    ));
    lines.push(note("Each hole: drill, from the reference edge, from the reference end.", []));
    for hole in reckoning.holes.iter().take(MAX_HOLES) {
        let scribed = reckoning.scribe.holes.iter().find(|scribed| scribed.number == hole.number);
        let Some(scribed) = scribed else { continue };
        let reference = knife.bar.reference;
        lines.push(step(
            "Hole {}: {}; {}; {}.",
            [
                stated(hole.number.to_string()),
                stated(drill_name(bench, hole)),
                bench.place(scribed.from.edge_mm(reference.edge)),
                bench.place(scribed.from.end_mm(reference.end)),
            ],
        ));
    }
    if reckoning.holes.len() > MAX_HOLES {
        let more = worked((reckoning.holes.len() - MAX_HOLES).to_string(), "counted");
        lines.push(note("And {} more: see the drilling sheet.", [more]));
    }
    lines.push(step("Countersink lightly, both sides. Try every pin: it slips in by hand.", []));
    lines
}

fn bevels(bench: &CardContext<'_>) -> Vec<Line> {
    let Some((bevel, figures)) = bench.knife.bevel.zip(bench.reckoning.bevel.as_ref()) else {
        return vec![note("No bevels are stated yet.", [])];
    };
    let mut lines = vec![step(
        "Grind line {} from the edge, {} a side; plunge as scribed. Leave {} at the edge.",
        [
            bench.stated(bevel.grind_height_mm),
            worked(show_angle(figures.angle_deg, 2), "from stock, edge and height"),
            bench.stated(bevel.edge_thickness_mm),
        ],
    )];
    if let Some(filing) = &bench.reckoning.filing {
        let [low, high] = filing.edge_lines_mm;
        let how = "half of stock less edge, and edge more";
        lines.push(step(
            "Scribe along the edge, from one face: {} and {}.",
            [bench.worked(low, how), bench.worked(high, how)],
        ));
        let facets: Vec<Figure> = filing
            .facets
            .iter()
            .map(|facet| {
                let text = format!(
                    "{} to {}",
                    show_angle(facet.angle_deg, 1),
                    bench.length(facet.height_mm)
                );
                worked(text, "atan of rise over height")
            })
            .collect();
        if !facets.is_empty() {
            let list = vec!["{}"; facets.len()].join(", ");
            lines.push(step(&format!("By hand, facet by facet, each face: {list}."), facets));
        }
    }
    lines
}

fn finish(bench: &CardContext<'_>) -> Vec<Line> {
    let ladders = &bench.reckoning.heat.ladders;
    let mut lines = cautions(bench, &["eyes"]);
    let Some(finish) = bench.knife.treatment.finish else {
        lines.push(note("No finish is chosen yet.", []));
        return lines;
    };
    if finish == knife::Finish::Etched {
        lines.extend(bench.caution("acid"));
    }
    if let Some(row) = bench.tables.finish(finish.label()) {
        lines.push(step(
            "For {}: {}. {}",
            [
                stated(finish.label()),
                names(&ladders.blade),
                written(row.words.clone(), &row.origin),
            ],
        ));
    }
    lines
}

/// The caution for the dust of the handle's material.
pub(super) fn dust(bench: &CardContext<'_>) -> Option<Line> {
    let name = bench.knife.handle.scales.as_deref();
    let material = name.and_then(|name| bench.tables.material(name));
    bench.caution(match material.map(|m| (m.kind, m.name.contains("glass"))) {
        Some((MaterialKind::Laminate, true)) => "glass",
        Some((MaterialKind::Laminate, false)) => "phenolic",
        Some((MaterialKind::Wood, _)) => "wood",
        _ => "handle-dust",
    })
}

fn handle(bench: &CardContext<'_>) -> Vec<Line> {
    let (knife, ladders) = (bench.knife, &bench.reckoning.heat.ladders);
    if knife.scales.is_none() {
        return vec![note("No scales are stated yet.", [])];
    }
    let mut lines: Vec<Line> = dust(bench).into_iter().collect();
    lines.push(note("A blade that is sharp already: tape or sheath its edge before this.", []));
    lines.push(step(
        "Drill the scales through the tang, one after the other; pin them as a pair, shape and \
         finish both fronts: {}.",
        [names(&ladders.fronts)],
    ));
    lines.extend(cautions(bench, &["epoxy", "clamp"]));
    let line = bench.length(knife.handle.glue_mm());
    let line = match knife.handle.glue_mm {
        Some(_) => stated(line),
        None => written(
            line,
            &Provenance {
                source: "data sheets of two epoxy makers: best lap shear at 0.05 to 0.13 mm, read"
                    .to_owned(),
                confidence: "medium-high".to_owned(),
            },
        ),
    };
    lines.push(step(
        "Roughen and degrease tang, scales and pins; glue by the label, a line of {}; clamp only \
         until it closes, wipe the fronts clean, let it cure in full.",
        [line],
    ));
    lines.extend(scallops(bench));
    lines.push(step(
        "Shape the handle flush to the tang, chamfer and finish: {}. Don't let pins or edge get hot: \
         it spoils glue and temper.",
        [names(&ladders.handle)],
    ));
    lines
}

fn done(bench: &CardContext<'_>) -> Vec<Line> {
    let knife = bench.knife;
    let mut lines = Vec::new();
    let grams = |g: f64, how| worked(bench.mass(g), how);
    if let Some(Ok(whole)) = &bench.reckoning.whole {
        lines.push(step(
            if whole.behind_scale_front_mm < 0.0 {
                "Weigh it: {}. Balance: {} ahead of the front of the scales."
            } else {
                "Weigh it: {}. Balance: {} behind the front of the scales."
            },
            [
                grams(whole.mass_g(), "steel, scales, pins and glue"),
                worked(
                    units::show_balance(whole.behind_scale_front_mm.abs(), knife.unit),
                    "centre of mass of the whole",
                ),
            ],
        ));
    } else if let Some(mass) = &bench.reckoning.mass
        && let Some(g) = mass.ground_g()
    {
        lines.push(step("The steel alone weighs {}.", [grams(g, "ground volume times density")]));
    }
    lines.push(step("Wash, dry, oil. Hand on the plan sheet with the knife's notes.", []));
    lines
}
