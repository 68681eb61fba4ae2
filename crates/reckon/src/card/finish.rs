//! The card of abrasives: from the surface that is there to the finish that is wanted.

use super::text::{card_lines, list};
use super::{CardContext, Figure, Line, Part, worked, written};
use crate::heat::GritStep;
use knife::Finish;
use units::show_number;

card_lines! { "finish":
    TITLE_BEFORE [];
    TITLE_BLADE [];
    TITLE_FRONTS [];
    TITLE_HANDLE [];
    HARD_BACKING [grits];
    SOFT_BACKING [grits];
    BEFORE [from to];
    NONE_CHOSEN [];
    EACH_GRIT [times grit];
    NUMBERS [number];
    LAST [grits finish words];
    FRONTS [];
}

/// The blade as it goes into the fire.
pub(super) fn before_part(bench: &CardContext<'_>) -> Part {
    Part { title: TITLE_BEFORE.words(), lines: before(bench) }
}

/// Finish of blade, scale fronts and handle.
pub(super) fn finish_parts(bench: &CardContext<'_>) -> Vec<Part> {
    vec![
        Part { title: TITLE_BLADE.words(), lines: blade(bench) },
        Part { title: TITLE_FRONTS.words(), lines: fronts(bench) },
        Part { title: TITLE_HANDLE.words(), lines: handle(bench) },
    ]
}

/// `P400 35 µm (plain 320, 36 µm) ×1.3 hard`.
fn rung(grit: &GritStep) -> String {
    let um = |size: f64| show_number(size, usize::from(size.fract() != 0.0));
    let plain = grit.plain.as_ref();
    let plain =
        plain.map_or_else(String::new, |(name, size)| format!(" (plain {name}, {} µm)", um(*size)));
    let ratio = grit.ratio;
    let ratio = ratio.map_or_else(String::new, |by| format!(", step ×{}", show_number(by, 2)));
    format!("{} {} µm{plain}{ratio}", grit.name, um(grit.um))
}

/// One line for the grits on hard backing, one for those on soft.
fn rungs(steps: &[GritStep]) -> Vec<Line> {
    let mut lines = Vec::new();
    for (hard, text) in [(true, HARD_BACKING), (false, SOFT_BACKING)] {
        let own: Vec<&GritStep> = steps.iter().filter(|grit| grit.hard == hard).collect();
        if own.is_empty() {
            continue;
        }
        let figures: Vec<Figure> =
            own.iter().map(|grit| written(rung(grit), &grit.origin)).collect();
        lines.push(text.line([list(figures, "; ")]));
    }
    lines
}

/// Only the names, for the build sheet.
pub(super) fn names(steps: &[GritStep]) -> Figure {
    let names: Vec<&str> = steps.iter().map(|grit| grit.name.as_str()).collect();
    let how = "usual grits, no step larger than the table of practice says";
    worked(names.join(", "), how)
}

fn before(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = rungs(&bench.reckoning.heat.ladders.before);
    lines.push(BEFORE.line([bench.practice("surface-filed"), bench.practice("before-hardening")]));
    lines
}

fn blade(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.caution("eyes").into_iter().collect();
    let Some(finish) = bench.knife.treatment.finish else {
        lines.push(NONE_CHOSEN.plain());
        return lines;
    };
    if finish == Finish::Etched {
        lines.extend(bench.caution("acid"));
    }
    lines.extend(rungs(&bench.reckoning.heat.ladders.blade));
    lines.extend(last(bench, finish.label()));
    lines.push(EACH_GRIT.line([bench.practice("step-most"), bench.practice("hard-backing")]));
    lines.push(NUMBERS.line([worked("220", "both tables agree to about a tenth up to there")]));
    lines
}

/// The grit a finish ends on, and how its last strokes go.
fn last(bench: &CardContext<'_>, name: &str) -> Option<Line> {
    let row = bench.tables.finish(name)?;
    let grit = |um: f64| {
        let near = bench.tables.nearest_grit(crate::tables::GritSystem::P, um);
        near.map_or_else(String::new, |grit| grit.name.clone())
    };
    let (fine, coarse) = (grit(row.um.0), grit(row.um.1));
    let range = if fine == coarse { fine } else { format!("{coarse} to {fine}") };
    let figures = [range, row.name.clone(), row.words.clone()];
    Some(LAST.line(figures.map(|text| written(text, &row.origin))))
}

fn fronts(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = vec![FRONTS.plain()];
    lines.extend(rungs(&bench.reckoning.heat.ladders.fronts));
    lines
}

fn handle(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.dust().into_iter().collect();
    lines.extend(rungs(&bench.reckoning.heat.ladders.handle));
    lines.extend(last(bench, "handle"));
    lines
}
