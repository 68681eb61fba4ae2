//! The card of abrasives: from the surface that is there to the finish that is wanted.

use super::{Basis, CardContext, Figure, Line, LineKind, Part, note, step, worked, written};
use crate::heat::GritStep;
use knife::Finish;
use units::show_number;

/// Finish of blade, scale fronts and handle.
pub fn finish_parts(bench: &CardContext<'_>) -> Vec<Part> {
    let part = |title: &str, lines: Vec<Line>| Part { title: title.to_owned(), lines };
    vec![
        part("Blade before hardening", before(bench)),
        part("Blade after tempering", blade(bench)),
        part("Fronts of the scales", fronts(bench)),
        part("Handle", handle(bench)),
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
    for (hard, words) in [(true, "hard backing"), (false, "soft backing")] {
        let own: Vec<&GritStep> = steps.iter().filter(|grit| grit.hard == hard).collect();
        if own.is_empty() {
            continue;
        }
        let figures: Vec<Figure> =
            own.iter().map(|grit| written(rung(grit), &grit.origin)).collect();
        let list = vec!["{}"; figures.len()].join("; ");
        lines.push(step(&format!("On {words}: {list}."), figures));
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
    lines.push(note(
        "From {}, as filing leaves it, to {}. Last strokes along the blade.",
        [bench.practice("surface-filed"), bench.practice("before-hardening")],
    ));
    lines
}

fn blade(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.caution("eyes").into_iter().collect();
    let Some(finish) = bench.knife.treatment.finish else {
        lines.push(note(
            "No finish is chosen yet: stonewash, satin, etched or mirror (in the blank's file, \
             under treatment).",
            [],
        ));
        return lines;
    };
    if finish == Finish::Etched {
        lines.extend(bench.caution("acid"));
    }
    lines.extend(rungs(&bench.reckoning.heat.ladders.blade));
    lines.extend(last(bench, finish.label()));
    lines.push(note(
        "Each grit across the one before, until its scratches are gone; a grit takes out scratches \
         up to {} times its size. Hard backing down to {} keeps flats and lines crisp.",
        [bench.practice("step-most"), bench.practice("hard-backing")],
    ));
    lines.push(note(
        "P grits and plain-numbered grits part above about {}: go by micrometres.",
        [worked("220", "both tables agree to about a tenth up to there")],
    ));
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
    let figure = |text: String| Figure { text, basis: Basis::Table(row.origin.clone()) };
    let words = "{} for {}. {}";
    let figures = [figure(range), figure(row.name.clone()), figure(row.words.clone())];
    Some(Line::new(LineKind::Step, words, figures))
}

fn fronts(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = vec![step(
        "Finish both front ends together, pinned as a pair, before they are glued: as fine as the \
         handle or finer, for they can't be reached afterwards.",
        [],
    )];
    lines.extend(rungs(&bench.reckoning.heat.ladders.fronts));
    lines
}

fn handle(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = super::build::dust(bench).into_iter().collect();
    lines.extend(rungs(&bench.reckoning.heat.ladders.handle));
    lines.extend(last(bench, "handle"));
    lines
}
