//! What is said beside the drilling sheet: the order of the bench, the lines, the drills.

use super::{stations, visible};
use crate::views::drills::{drill_list, shortened};
use knife::Knife;
use reckon::Reckoning;
use reckon::scribe::{ScribeLine, describe_cross_line, describe_line, end_label, reference_label};
use units::LengthUnit;

/// More shared lines than this are left to the table.
const LINES_TOLD: usize = 6;
/// More findings about holes are left to the profile sheet.
const FINDINGS_TOLD: usize = 6;
/// Longer lists of holes are cut short, characters.
const LIST_CHARS: usize = 260;

/// Short lines for beside the drawing: in which order to scribe, and what lies on one line.
pub fn drilling_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let (bar, unit, scribe) = (&knife.bar, knife.unit, &reckoning.scribe);
    let size = |mm: f64| units::write_length(mm, unit);
    let mut notes = vec![format!(
        "Bar {} × {}, {}. Scribe from its {}.",
        size(bar.width_mm),
        size(bar.thickness_mm),
        bar.grade,
        reference_label(bar.reference)
    )];
    notes.push(
        match unit {
            LengthUnit::Inch => {
                "Figures are inches [millimetres], then the nearest 64th and what is left over it. Spine, belly: \
                 through the hole's centre, square to the bar; row: from the hole before."
            }
            LengthUnit::Millimetre => {
                "Figures are millimetres [inches]. Spine, belly: through the hole's centre, square \
                 to the bar; row: from the hole before."
            }
        }
        .to_owned(),
    );
    if scribe.holes.is_empty() {
        notes.push("There are no holes to drill yet.".to_owned());
        return notes;
    }
    notes.push(format!(
        "Lines along the bar first, then the stations from the {}; centre-punch where they cross.",
        end_label(bar.reference.end)
    ));
    let shared: Vec<&ScribeLine> =
        scribe.lines.iter().filter(|line| line.holes.len() > 1).collect();
    for line in shared.iter().take(LINES_TOLD) {
        let words = format!("{}: {}.", line.name, describe_line(line, bar, unit));
        notes.push(shortened(&words, LIST_CHARS));
    }
    notes.extend(lone(&scribe.lines).map(|words| shortened(&words, LIST_CHARS)));
    let across = scribe.cross_lines.iter().filter(|line| line.holes.len() > 1);
    for line in across.take(LINES_TOLD) {
        let mut words = describe_cross_line(line, bar, unit);
        words[..1].make_ascii_uppercase();
        notes.push(shortened(&format!("{words}."), LIST_CHARS));
    }
    notes.push(format!("Drills: {}.", drill_list(reckoning, unit)));
    for finding in reckoning.hole_findings().take(FINDINGS_TOLD) {
        notes.push(format!("{}: {}", finding.severity.label().to_uppercase(), finding.short));
    }
    if let Some(visible) = visible(knife, reckoning) {
        let message = stations::all_told(knife, reckoning, visible);
        if message != (true, true) {
            notes.push("There are too many holes to dimension here: see the table.".to_owned());
        }
    }
    notes.push(
        "Clamp the work and wear eye protection; keep gloves, sleeves and hair away from a \
         turning drill. Rules on making and carrying knives differ: check those where you are."
            .to_owned(),
    );
    notes
}

/// `A, B and D: a line each, for holes 1, 6 and 2.`
fn lone(lines: &[ScribeLine]) -> Option<String> {
    let lone: Vec<&ScribeLine> = lines.iter().filter(|line| line.holes.len() == 1).collect();
    let names: Vec<String> = lone.iter().map(|line| line.name.clone()).collect();
    let holes: Vec<String> = lone.iter().map(|line| line.holes[0].to_string()).collect();
    match lone.len() {
        0 => None,
        1 => Some(format!("{}: a line for hole {}.", names[0], holes[0])),
        _ => Some(format!("{}: a line each, for holes {}.", listed(&names), listed(&holes))),
    }
}

/// `1, 2 and 5`.
fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
