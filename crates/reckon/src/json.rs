//! The stable JSON of `numbers` and `check`. Lengths in mm, angles in degrees; what is not
//! known is `null`. Its fields are documented in README.md; a field is never renamed.

mod fit;
mod heat;
mod scales;
mod scribe;
mod shaping;

use crate::{
    FilingFigures, Finding, InsideReach, MassFigures, PinFit, Reach, Reckoning, SharpeningFigures,
    TangFigures, TangSection,
};
use knife::Knife;
use kurbo::Point;
use serde_json::{Value, json};

/// Every reading as JSON.
pub fn numbers_json(knife: &Knife, reckoning: &Reckoning) -> Value {
    json!({
        "format": "blankwright-numbers",
        "version": 1,
        "name": knife.name,
        "origin": origin(knife, reckoning),
        "profile": profile(knife, reckoning),
        "holes": reckoning.holes.iter().map(hole).collect::<Vec<_>>(),
        "bar": bar(knife, reckoning),
        "bevel": bevel(knife, reckoning),
        "filing": reckoning.filing.as_ref().map(filing),
        "scales": scales::scales(knife, reckoning),
        "jimping": reckoning.jimping.as_ref().map(shaping::jimping),
        "scallops": reckoning.scallops.as_ref().map(shaping::scallops),
        "shaping": reckoning.shaping.as_ref().map(shaping::shaping),
        "finger_notches": reckoning.finger_notches.iter().map(shaping::finger_notch).collect::<Vec<_>>(),
        "fit": reckoning.fit.as_ref().map(fit::fit),
        "drilling": drilling(reckoning),
        "scribe": scribe::scribe(knife, reckoning),
        "tang": reckoning.tang.as_ref().map(tang),
        "mass": reckoning.mass.as_ref().map(mass),
        "whole": whole(reckoning),
        "sharpening": reckoning.sharpening.as_ref().map(sharpening),
        "heat": heat::heat(knife, &reckoning.heat),
        "inside": reckoning.inside.as_ref().map(inside),
    })
}

/// Every finding as JSON.
pub fn check_json(knife: &Knife, reckoning: &Reckoning) -> Value {
    json!({
        "format": "blankwright-check",
        "version": 1,
        "name": knife.name,
        "stops": reckoning.stops(),
        "findings": reckoning.findings.iter().map(finding).collect::<Vec<_>>(),
    })
}

fn point(p: Point) -> Value {
    json!([p.x, p.y])
}

/// Where a person reads coordinates from. No other field of the JSON counts from there.
fn origin(knife: &Knife, reckoning: &Reckoning) -> Value {
    let origin = &reckoning.origin;
    json!({
        "name": origin.origin.word(),
        "chosen": knife.origin.word(),
        "at_mm": point(origin.at),
        "x_sign": origin.x_sign,
    })
}

fn profile(knife: &Knife, reckoning: &Reckoning) -> Value {
    let Some(figures) = &reckoning.profile else { return Value::Null };
    let mark = |id| knife.profile.node(id).map(|node| point(node.at));
    json!({
        "length_mm": figures.length_mm,
        "width_mm": figures.width_mm,
        "bounds_mm": [figures.bounds.x0, figures.bounds.y0, figures.bounds.x1, figures.bounds.y1],
        "area_mm2": figures.area_mm2,
        "net_area_mm2": figures.net_area_mm2,
        "perimeter_mm": figures.perimeter_mm,
        "centroid_mm": point(figures.centroid),
        "second_moments_mm4": {
            "ixx": figures.second_moments.ixx_mm4,
            "iyy": figures.second_moments.iyy_mm4,
            "ixy": figures.second_moments.ixy_mm4,
        },
        "least_width_mm": figures.least_width.width_mm,
        "least_width_turn_deg": figures.least_width.turn_rad.to_degrees(),
        "tightest_inside_radius_mm": figures.tightest_inside.as_ref().map(|r| r.radius_mm),
        "tightest_inside_at_mm": figures.tightest_inside.as_ref().map(|r| point(r.at)),
        "inside_corners": figures.inside_corners.iter().map(|corner| json!({
            "at_mm": point(corner.at),
            "turn_deg": corner.angle_rad.to_degrees(),
        })).collect::<Vec<_>>(),
        "self_contacts": figures.contacts.iter().map(|c| point(c.at)).collect::<Vec<_>>(),
        "nodes": knife.profile.nodes.len(),
        "tip_mm": knife.profile.tip.and_then(mark),
        "heel_mm": knife.profile.heel.and_then(mark),
        "edge_length_mm": figures.edge.as_ref().map(|edge| edge.length_mm),
    })
}

fn hole(hole: &crate::HoleFigures) -> Value {
    json!({
        "number": hole.number,
        "name": hole.name,
        "kind": hole.kind.words(),
        "at_mm": point(hole.at),
        "diameter_mm": hole.diameter_mm,
        "drill": hole.drill,
        "edge_web_mm": hole.edge_web_mm,
        "nearest_hole_web_mm": hole.nearest.map(|nearest| nearest.web_mm),
        "nearest_hole": hole.nearest.map(|nearest| nearest.number),
        "from_bar_edge_mm": hole.from_bar_edge_mm,
        "from_bar_end_mm": hole.from_bar_end_mm,
        "from_upper_mm": hole.from_upper_mm,
        "from_lower_mm": hole.from_lower_mm,
        "pin_gap_mm": hole.pin_gap_mm,
        "pin_mm": hole.pin_fit.as_ref().map(|fit| fit.pin_mm),
        "pin_gap_suits": hole.pin_fit.as_ref().map(PinFit::suits),
        "pin_drills": hole.pin_fit.as_ref().map(|fit| fit.drills.iter().map(|drill| json!({
            "drill": drill.label,
            "diameter_mm": drill.diameter_mm,
            "gap_mm": drill.gap_mm,
        })).collect::<Vec<_>>()),
    })
}

fn bar(knife: &Knife, reckoning: &Reckoning) -> Value {
    let bar = &knife.bar;
    let figures = reckoning.bar.as_ref();
    json!({
        "grade": bar.grade,
        "width_mm": bar.width_mm,
        "thickness_mm": bar.thickness_mm,
        "length_mm": bar.length_mm,
        "at_mm": point(bar.placement.at),
        "turn_deg": bar.placement.turn_deg,
        "fits": figures.map(|f| f.fits),
        "margin_mm": figures.map(|f| f.margins.least_mm()),
        "margins_mm": figures.map(|f| json!({
            "lower": f.margins.lower_mm,
            "upper": f.margins.upper_mm,
            "left": f.margins.left_mm,
            "right": f.margins.right_mm,
        })),
        "could_fit": figures.map(crate::BarFigures::could_fit),
        "best_turn_deg": figures.map(|f| f.best_turn_deg),
        "best_margin_mm": figures.map(|f| f.best_margin_mm),
    })
}

fn bevel(knife: &Knife, reckoning: &Reckoning) -> Option<Value> {
    let (stated, figures) = (knife.bevel?, reckoning.bevel.as_ref()?);
    Some(json!({
        "plunge_x_mm": stated.plunge_x_mm,
        "grind_height_mm": stated.grind_height_mm,
        "edge_thickness_mm": stated.edge_thickness_mm,
        "angle_deg": figures.angle_deg,
        "height_mm": figures.height_mm,
        "fall_mm": figures.fall_mm,
    }))
}

fn filing(filing: &FilingFigures) -> Value {
    let facets = filing.facets.iter().map(|facet| {
        json!({
            "height_mm": facet.height_mm,
            "angle_deg": facet.angle_deg,
            "section_mm2": facet.section_mm2,
            "share": facet.share,
            "volume_mm3": facet.volume_mm3,
        })
    });
    json!({
        "edge_lines_mm": filing.edge_lines_mm,
        "centre_drill": filing.centre_drill,
        "facets": facets.collect::<Vec<_>>(),
        "time": filing.time.map(|time| json!({
            "rate_mm3_per_min": time.rate_mm3,
            "whole_min": time.whole_min,
            "left_min": time.left_min,
        })),
    })
}

fn drilling(reckoning: &Reckoning) -> Option<Value> {
    let chain = reckoning.chain.as_ref()?;
    let bridges = chain.bridges_mm();
    Some(json!({
        "drill": chain.cutting.drill,
        "drill_mm": chain.cutting.drill_mm,
        "bridge_mm": chain.cutting.bridge_mm,
        "leave_mm": chain.cutting.leave_mm,
        "pitch_mm": chain.cutting.pitch_mm(),
        "count": chain.holes.len(),
        "thinnest_bridge_mm": bridges.map(|(thin, _)| thin),
        "thickest_bridge_mm": bridges.map(|(_, thick)| thick),
        "uneven_rows": chain.uneven_rows().count(),
        "depth_mm": chain.depth_mm,
        "travel_mm": chain.travel_mm,
        "line_mm": chain.line_mm,
        "left_out_mm": chain.left_out_mm,
        "drilled_share": chain.drilled_share,
        "centres_mm": chain.holes.iter().map(|p| point(*p)).collect::<Vec<_>>(),
        "rows": chain.rows.iter().map(|row| json!({
            "holes": row.holes,
            "closed": row.closed,
            "bridge_mm": row.bridge_mm,
        })).collect::<Vec<_>>(),
        "saw_cuts": chain.cuts.iter().map(saw_cut).collect::<Vec<_>>(),
    }))
}

fn saw_cut(cut: &crate::SawCut) -> Value {
    json!({
        "from_mm": point(cut.from),
        "to_mm": point(cut.to),
        "length_mm": cut.length_mm(),
        "kerf_mm": cut.kerf_mm,
    })
}

fn whole(reckoning: &Reckoning) -> Option<Value> {
    let whole = reckoning.whole.as_ref()?.as_ref().ok()?;
    Some(json!({
        "mass_g": whole.mass_g(),
        "steel_g": whole.steel_g,
        "scales_g": whole.scales_g,
        "right_scale_g": whole.right_scale_g,
        "liners_g": whole.liners_g,
        "bolsters_g": whole.bolsters_g,
        "pins_g": whole.pins_g,
        "glue_g": whole.glue_g,
        "centre_mm": point(whole.centre),
        "behind_scale_front_mm": whole.behind_scale_front_mm,
        "behind_front_pin_mm": whole.behind_front_pin_mm,
    }))
}

fn sharpening(sharpening: &SharpeningFigures) -> Value {
    json!({
        "angle_deg": sharpening.angle_deg,
        "edge_mm": sharpening.edge_mm,
        "facet_height_mm": sharpening.facet_height_mm,
        "facet_width_mm": sharpening.facet_width_mm,
        "shoulder_mm": sharpening.shoulder_mm,
    })
}

fn mass(mass: &MassFigures) -> Value {
    json!({
        "density_g_cm3": mass.density_g_cm3,
        "flat_mm3": mass.flat_mm3,
        "ground_mm3": mass.ground_mm3,
        "flat_g": mass.flat_g(),
        "ground_g": mass.ground_g(),
        "removed_g": mass.removed_g(),
        "centre_mm": point(mass.centre),
        "behind_scale_front_mm": mass.behind_scale_front_mm,
        "behind_front_pin_mm": mass.behind_front_pin_mm,
    })
}

fn tang(tang: &TangFigures) -> Value {
    let section = |section: &TangSection| {
        json!({
            "x_mm": section.x_mm,
            "full_mm": section.full_mm,
            "net_mm": section.net_mm,
            "second_moment_mm4": section.second_moment_mm4,
        })
    };
    json!({
        "from_x_mm": tang.from_x_mm,
        "to_x_mm": tang.to_x_mm,
        "least_width": section(&tang.least_width),
        "least_stiff": section(&tang.least_stiff),
        "narrowest_whole": section(&tang.narrowest_whole),
        "width_share": tang.width_share(),
        "stiffness_share": tang.stiffness_share(),
    })
}

fn inside(inside: &InsideReach) -> Value {
    let tool = |tool: &Option<Reach>| {
        tool.as_ref().map(|tool| json!({ "tool": tool.name, "radius_mm": tool.radius_mm }))
    };
    json!({
        "radius_mm": inside.radius_mm,
        "reaches": tool(&inside.tool),
        "smallest": tool(&inside.smallest),
        "to_get": tool(&inside.to_get),
    })
}

/// A laying of many blanks as JSON; `knives` are those it was made of.
pub fn nest_json(knives: &[&Knife], nest: &crate::Nest) -> Value {
    let bars = nest.bars.iter().map(|bar| {
        json!({
            "length_mm": bar.length_mm,
            "count": bar.blanks.len(),
            "taken_mm": bar.taken_mm,
            "offcut_mm": bar.offcut_mm,
            "used_share": bar.used_share,
            "blanks": bar.blanks.iter().map(|blank| nest_blank(knives, blank)).collect::<Vec<_>>(),
        })
    });
    json!({
        "format": "blankwright-bar",
        "version": 1,
        "grade": nest.grade,
        "width_mm": nest.width_mm,
        "thickness_mm": nest.thickness_mm,
        "gap_mm": nest.gap_mm,
        "margin_mm": nest.margin_mm,
        "count": nest.count(),
        "bars": bars.collect::<Vec<_>>(),
        "usual_bars": nest.usual.iter().map(|usual| json!({
            "name": usual.name,
            "length_mm": usual.length_mm,
            "bars": usual.bars,
            "offcut_mm": usual.offcut_mm,
        })).collect::<Vec<_>>(),
        "steps": nest.steps,
    })
}

fn nest_blank(knives: &[&Knife], blank: &crate::NestBlank) -> Value {
    json!({
        "file": blank.blank,
        "name": knives.get(blank.blank).map(|knife| knife.name.as_str()),
        "turn_deg": blank.turn_deg,
        "flipped": blank.flipped,
        "bar_from_knife": blank.bar_from_knife.as_coeffs(),
        "along_mm": [blank.along_mm.0, blank.along_mm.1],
        "across_mm": [blank.across_mm.0, blank.across_mm.1],
        "chain_centres_mm": blank.chain.as_ref().map(|chain| {
            chain.holes.iter().map(|p| point(*p)).collect::<Vec<_>>()
        }),
        "saw_cuts": blank.chain.as_ref().map(|chain| {
            chain.cuts.iter().map(saw_cut).collect::<Vec<_>>()
        }),
    })
}

fn finding(finding: &Finding) -> Value {
    json!({
        "rule": finding.rule,
        "case": finding.case,
        "severity": finding.severity.word(),
        "sentence": finding.sentence,
        "measured_mm": finding.measured_mm,
        "limit_mm": finding.limit_mm,
        "limit_source": finding.limit_source,
        "at_mm": finding.place.map(point),
        "set_aside_as": finding.key(),
        "parts": knife::file::part_words(&finding.parts),
        "set_aside": finding.set_aside,
        "remedy": finding.remedy.as_ref().map(|remedy| remedy.words.as_str()),
    })
}
