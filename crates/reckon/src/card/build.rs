//! The build card: every step from bar to finished knife, in the order of the bench.

use super::finish::names;
use super::text::{CardLine, Fill, card_lines, list};
use super::{Card, CardContext, Figure, Line, Part, stated, worked, written};
use super::{harden, sharpen, sheath, stock};
use crate::scribe::reference_label;
use crate::tables::Provenance;
use crate::{HoleFigures, PiecePart};
use knife::Groove;
use units::show_angle;

/// More holes than these are not told one by one.
const MAX_HOLES: usize = 12;
/// More findings about holes are left to the profile sheet.
const MAX_FINDINGS: usize = 6;

card_lines! { "build":
    TITLE_BEFORE [];
    TITLE_AT_HAND [];
    TITLE_BAR [];
    TITLE_MARK_OUT [];
    TITLE_DRILL [];
    TITLE_CUT_OUT [];
    TITLE_PROFILE [];
    TITLE_BEVELS [];
    TITLE_HARDEN [];
    TITLE_TEMPER [];
    TITLE_FINISH [];
    TITLE_HANDLE [];
    TITLE_EDGE [];
    TITLE_SHEATH [];
    TITLE_DONE [];
    STOPS [count];
    STEEL [grade width thickness length];
    DRILLS [drills];
    ABRASIVES [grits];
    TOOLS_OVEN [];
    TOOLS_FORGE [];
    ON_YOU [];
    NO_OUTLINE [];
    LIES_ON_BAR [margin];
    LIES_OFF_BAR [margin];
    SORT_OUT_BAR [];
    PRINT [];
    STICK [];
    SCRIBE [reference];
    CHECK_SHAPE [];
    CHAIN_DRILL [count drill pitch offset];
    SAW_ALONG [length];
    SAW_CUTS [count kerf];
    BREAK_EDGES [];
    TO_THE_LINE [];
    INSIDE_CURVES [radius tool];
    INSIDE_NO_TOOL [radius];
    JIMPING [count groove depth pitch];
    VEE_FILE [angle];
    ROUND_FILE [diameter];
    SCALLOPS [above below drum depth angle];
    NO_HOLES [];
    DRILL_NOW [];
    DRILL_CARE [finding];
    EACH_HOLE [];
    HOLE [number drill edge end];
    MORE_HOLES [count];
    BOLSTER_UNPINNED [bolster];
    FRONT_BOLSTER [];
    REAR_BOLSTER [];
    COUNTERSINK [];
    NO_BEVELS [];
    GRIND_LINE [height angle edge];
    EDGE_LINES [low high];
    FACETS [facets];
    NO_FINISH [];
    FINISH [finish grits words];
    NO_SCALES [];
    SHARP_ALREADY [];
    LINERS_FIRST [];
    FIT_BOLSTERS [];
    DRILL_SCALES [grits];
    GLUE [line];
    SHAPE_HANDLE [grits];
    WEIGH_AHEAD [mass balance];
    WEIGH_BEHIND [mass balance];
    STEEL_ALONE [mass];
    HAND_ON [];
}

/// The whole build.
pub fn build_card(bench: &CardContext<'_>) -> Card {
    let parts: [(CardLine<0>, Vec<Line>); 15] = [
        (TITLE_BEFORE, before(bench)),
        (TITLE_AT_HAND, at_hand(bench)),
        (TITLE_BAR, bar(bench)),
        (TITLE_MARK_OUT, mark_out(bench)),
        // The holes are measured from the bar's edges: as long as these are there.
        (TITLE_DRILL, drill(bench)),
        (TITLE_CUT_OUT, cut_out(bench)),
        (TITLE_PROFILE, profile(bench)),
        (TITLE_BEVELS, bevels(bench)),
        (TITLE_HARDEN, harden::harden(bench)),
        (TITLE_TEMPER, harden::temper(bench)),
        (TITLE_FINISH, finish(bench)),
        (TITLE_HANDLE, handle(bench)),
        (TITLE_EDGE, sharpen::lines(bench)),
        (TITLE_SHEATH, sheath::lines(bench)),
        (TITLE_DONE, done(bench)),
    ];
    let numbered = parts.into_iter().map(|(title, lines)| Part { title: title.words(), lines });
    Card { parts: numbered.filter(|part| !part.lines.is_empty()).collect() }
}

fn before(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = bench.cautions(&["check", "law"]);
    let stops = bench.reckoning.stops();
    if stops > 0 {
        let count = worked(stops.to_string(), "findings that say stop");
        lines.push(STOPS.line([count]));
    }
    lines
}

fn at_hand(bench: &CardContext<'_>) -> Vec<Line> {
    let (knife, reckoning) = (bench.knife, bench.reckoning);
    let stock = &knife.bar;
    let mut lines = vec![STEEL.line([
        stated(if stock.grade.trim().is_empty() { "grade not stated" } else { &stock.grade }),
        bench.stated(stock.width_mm),
        bench.stated(stock.thickness_mm),
        bench.stated(stock.length_mm),
    ])];
    lines.extend(stock::lines(bench));
    let mut drills: Vec<String> =
        reckoning.holes.iter().map(|hole| drill_name(bench, hole)).collect();
    drills.extend(reckoning.chain.as_ref().and_then(|chain| chain.drilling.drill.clone()));
    drills.sort();
    drills.dedup();
    if !drills.is_empty() {
        lines.push(DRILLS.line([stated(drills.join(", "))]));
    }
    let ladders = &reckoning.heat.ladders;
    let mut grits = [&ladders.before, &ladders.blade, &ladders.handle].map(Vec::as_slice).concat();
    grits.sort_by(|a, b| b.um.total_cmp(&a.um));
    grits.dedup_by(|a, b| a.name == b.name);
    lines.push(ABRASIVES.line([names(&grits)]));
    let needs_oven = reckoning.heat.steel.as_ref().is_some_and(|steel| steel.needs_oven);
    lines.push(if needs_oven { TOOLS_OVEN.plain() } else { TOOLS_FORGE.plain() });
    lines.push(ON_YOU.plain());
    lines
}

fn drill_name(bench: &CardContext<'_>, hole: &HoleFigures) -> String {
    let Some(name) = &hole.drill else { return bench.length(hole.diameter_mm) };
    hole.drill_size(bench.knife.unit).map_or(name.clone(), |size| format!("{name} ({size})"))
}

fn bar(bench: &CardContext<'_>) -> Vec<Line> {
    let Some(figures) = &bench.reckoning.bar else {
        return vec![NO_OUTLINE.plain()];
    };
    let margin = bench.worked(figures.margins.min_mm(), "least distance to edges and ends");
    let mut lines =
        vec![if figures.fits { LIES_ON_BAR.line([margin]) } else { LIES_OFF_BAR.line([margin]) }];
    lines.push(SORT_OUT_BAR.plain());
    lines
}

/// Paper on the steel hides what is scribed: one way or the other.
fn mark_out(bench: &CardContext<'_>) -> Vec<Line> {
    let reference = reference_label(bench.knife.bar.reference);
    vec![
        PRINT.plain(),
        // The same words as on the profile sheet.
        STICK.plain(),
        SCRIBE.line([reference.to_string()]),
        CHECK_SHAPE.plain(),
    ]
}

fn cut_out(bench: &CardContext<'_>) -> Vec<Line> {
    let keys: &[&str] =
        if bench.reckoning.holes.is_empty() { &["eyes", "drilling", "unplug"] } else { &["eyes"] };
    let mut lines = bench.cautions(keys);
    let Some(chain) = &bench.reckoning.chain else { return lines };
    let cutting = &chain.drilling;
    let drill = cutting.drill.clone().unwrap_or_else(|| bench.length(cutting.drill_mm));
    if !chain.holes.is_empty() {
        lines.push(CHAIN_DRILL.line([
            worked(chain.holes.len().to_string(), "evenly divided between corners"),
            stated(drill),
            bench.worked(cutting.pitch_mm(), "drill and bridge"),
            bench.worked(cutting.offset_mm(), "half a drill and what is left to file"),
        ]));
    }
    if !chain.holes.is_empty() && chain.left_out_mm > cutting.pitch_mm() {
        let out = bench.worked(chain.left_out_mm, "of the line, where no hole lies on the bar");
        lines.push(SAW_ALONG.line([out]));
    }
    if let Some(cut) = chain.cuts.first() {
        lines.push(SAW_CUTS.line([
            worked(chain.cuts.len().to_string(), "one into each hollow"),
            bench.worked(cut.kerf_mm, "the narrowest saw of the shop"),
        ]));
    }
    lines.push(BREAK_EDGES.plain());
    lines
}

fn profile(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = bench.cautions(&["grinder", "hearing", "sparks"]);
    lines.push(TO_THE_LINE.plain());
    if let Some(inside) = &bench.reckoning.inside {
        let radius = bench.worked(inside.radius_mm, "least radius over the hollow stretches");
        match inside.tool.as_ref() {
            Some(tool) => lines.push(INSIDE_CURVES.line([radius, stated(tool.name.clone())])),
            None => lines.push(INSIDE_NO_TOOL.line([radius])),
        }
    }
    lines.extend(jimping(bench));
    lines
}

/// The jimping as designed; nothing where there is none.
fn jimping(bench: &CardContext<'_>) -> Option<Line> {
    let figures = bench.reckoning.jimping.as_ref().filter(|own| !own.notches.is_empty())?;
    let groove = match figures.groove {
        Groove::Vee(angle_deg) => VEE_FILE.spans([stated(show_angle(angle_deg, 0))]),
        Groove::Round(file_mm) => ROUND_FILE.spans([bench.stated(file_mm)]),
    };
    let count = worked(figures.notches.len().to_string(), "as many as go on the run at this pitch");
    Some(JIMPING.line([
        count.into(),
        Fill::from(groove),
        bench.stated(figures.depth_mm).into(),
        bench.stated(figures.pitch_mm).into(),
    ]))
}

/// The scallops as designed; nothing where there are none.
fn scallops(bench: &CardContext<'_>) -> Option<Line> {
    let figures = bench.reckoning.scallops.as_ref()?;
    let (above, below) = (figures.upper.places.len(), figures.lower.places.len());
    (above + below > 0).then(|| {
        SCALLOPS.line([
            worked(above.to_string(), "even along the handle's axis"),
            worked(below.to_string(), "half a pitch farther back"),
            bench.stated(figures.stated.drum_mm),
            bench.stated(figures.stated.depth_mm),
            stated(show_angle(figures.stated.angle_deg, 0)),
        ])
    })
}

fn drill(bench: &CardContext<'_>) -> Vec<Line> {
    let (knife, reckoning) = (bench.knife, bench.reckoning);
    if reckoning.holes.is_empty() {
        return vec![NO_HOLES.plain()];
    }
    let mut lines = bench.cautions(&["eyes", "drilling", "unplug"]);
    lines.push(DRILL_NOW.plain());
    for finding in bench.reckoning.hole_findings().take(MAX_FINDINGS) {
        let words = finding.short.trim_end_matches('.').to_owned();
        lines.push(DRILL_CARE.line([worked(words, "a finding")]));
    }
    lines.push(EACH_HOLE.plain());
    for hole in reckoning.holes.iter().take(MAX_HOLES) {
        let scribed = reckoning.scribe.holes.iter().find(|scribed| scribed.number == hole.number);
        let Some(scribed) = scribed else { continue };
        let reference = knife.bar.reference;
        lines.push(HOLE.line([
            stated(hole.number.to_string()),
            stated(drill_name(bench, hole)),
            bench.place(scribed.from.edge_mm(reference.edge)),
            bench.place(scribed.from.end_mm(reference.end)),
        ]));
    }
    if reckoning.holes.len() > MAX_HOLES {
        let more = worked((reckoning.holes.len() - MAX_HOLES).to_string(), "counted");
        lines.push(MORE_HOLES.line([more]));
    }
    lines.extend(unpinned_bolsters(bench));
    lines.push(COUNTERSINK.plain());
    lines
}

/// The bolsters that no hole goes through, as long as one can still be drilled.
fn unpinned_bolsters(bench: &CardContext<'_>) -> Vec<Line> {
    let pieces = bench.reckoning.scales.iter().flat_map(|scales| &scales.pieces);
    let unpinned = pieces.filter(|piece| piece.holes.is_empty()).filter_map(|piece| {
        let name = match piece.part {
            PiecePart::FrontBolster => FRONT_BOLSTER.words(),
            PiecePart::RearBolster => REAR_BOLSTER.words(),
            PiecePart::Scale => return None,
        };
        Some(BOLSTER_UNPINNED.line([name]))
    });
    unpinned.collect()
}

fn bevels(bench: &CardContext<'_>) -> Vec<Line> {
    let Some((bevel, figures)) = bench.knife.bevel.zip(bench.reckoning.bevel.as_ref()) else {
        return vec![NO_BEVELS.plain()];
    };
    let mut lines = bench.cautions(&["eyes", "hearing", "sparks"]);
    lines.push(GRIND_LINE.line([
        bench.stated(bevel.grind_height_mm),
        worked(show_angle(figures.angle_deg, 2), "from stock, edge and height"),
        bench.stated(bevel.edge_thickness_mm),
    ]));
    if let Some(filing) = &bench.reckoning.filing {
        let [low, high] = filing.edge_lines_mm;
        let how = "half of stock less edge, and edge more";
        lines.push(EDGE_LINES.line([bench.worked(low, how), bench.worked(high, how)]));
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
            lines.push(FACETS.line([list(facets, ", ")]));
        }
    }
    lines
}

fn finish(bench: &CardContext<'_>) -> Vec<Line> {
    let ladders = &bench.reckoning.heat.ladders;
    let mut lines = bench.cautions(&["eyes"]);
    let Some(finish) = bench.knife.treatment.finish else {
        lines.push(NO_FINISH.plain());
        return lines;
    };
    if finish == knife::Finish::Etched {
        lines.extend(bench.caution("acid"));
    }
    if let Some(row) = bench.tables.finish(finish.label()) {
        lines.push(FINISH.line([
            stated(finish.label()),
            names(&ladders.blade),
            written(row.words.clone(), &row.origin),
        ]));
    }
    lines
}

fn handle(bench: &CardContext<'_>) -> Vec<Line> {
    let (knife, ladders) = (bench.knife, &bench.reckoning.heat.ladders);
    if knife.scales.is_none() {
        return vec![NO_SCALES.plain()];
    }
    let mut lines: Vec<Line> = bench.dust().into_iter().collect();
    lines.push(SHARP_ALREADY.plain());
    if knife.handle.liners.is_some() {
        lines.push(LINERS_FIRST.plain());
    }
    if knife.handle.front_bolster.is_some() || knife.handle.rear_bolster.is_some() {
        lines.push(FIT_BOLSTERS.plain());
    }
    lines.push(DRILL_SCALES.line([names(&ladders.fronts)]));
    lines.extend(bench.cautions(&["epoxy", "clamp"]));
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
    lines.push(GLUE.line([line]));
    lines.extend(scallops(bench));
    lines.push(SHAPE_HANDLE.line([names(&ladders.handle)]));
    lines
}

fn done(bench: &CardContext<'_>) -> Vec<Line> {
    let knife = bench.knife;
    let mut lines = Vec::new();
    let grams = |g: f64, how| worked(bench.mass(g), how);
    if let Some(Ok(whole)) = &bench.reckoning.whole {
        let text = if whole.behind_scale_front_mm < 0.0 { WEIGH_AHEAD } else { WEIGH_BEHIND };
        lines.push(text.line([
            grams(whole.mass_g(), "steel, scales, pins and glue"),
            worked(
                units::show_balance(whole.behind_scale_front_mm.abs(), knife.unit),
                "centre of mass of the whole",
            ),
        ]));
    } else if let Some(mass) = &bench.reckoning.mass
        && let Some(g) = mass.ground_g()
    {
        lines.push(STEEL_ALONE.line([grams(g, "ground volume times density")]));
    }
    lines.push(HAND_ON.plain());
    lines
}
