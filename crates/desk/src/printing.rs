//! From a knife to its printed pages: the same for the Paper station and for the PDF.

use drawing::{Drawing, Mark, lettering, views};
use knife::Knife;
use paper::{Heading, Meta, Page, Paper, PaperError, Setup, Sheet};
use reckon::{Nest, NestBar, Reckoning};
use units::LengthUnit;

/// The paper usually printed on by those who read in this unit.
pub fn usual_paper(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Inch => "letter",
        LengthUnit::Millimetre => "a4",
    }
}

/// The sheets there are, in the order of the work.
pub const SHEETS: &[&str] = &["profile", "drilling", "bar", "heat", "build"];

/// One sheet of a knife; `None` when there is no such sheet.
pub fn sheet(key: &str, knife: &Knife, reckoning: &Reckoning) -> Option<Sheet> {
    match key {
        "profile" => Some(Sheet {
            key: "profile",
            title: "Profile".to_owned(),
            drawing: views::profile_sheet(knife, reckoning),
            notes: views::profile_notes(knife, reckoning),
            inserts: Vec::new(),
        }),
        "drilling" => Some(Sheet {
            key: "drilling",
            title: "Drilling".to_owned(),
            drawing: views::drilling_sheet(knife, reckoning),
            notes: views::drilling_notes(knife, reckoning),
            inserts: views::drilling_tables(knife, reckoning),
        }),
        "bar" => Some(Sheet {
            key: "bar",
            title: "Bar".to_owned(),
            drawing: views::bar_sheet(knife, reckoning),
            notes: views::bar_notes(knife, reckoning),
            inserts: Vec::new(),
        }),
        "heat" => Some(Sheet {
            key: "heat",
            title: "Heat, temper, finish".to_owned(),
            drawing: views::heat_sheet(knife, reckoning),
            notes: views::heat_notes(knife, reckoning),
            inserts: views::heat_cards(knife, reckoning),
        }),
        "build" => Some(Sheet {
            key: "build",
            title: "Build".to_owned(),
            drawing: Drawing::new(),
            notes: Vec::new(),
            inserts: views::build_cards(knife, reckoning),
        }),
        _ => None,
    }
}

/// Every sheet of a knife, in the order of the work.
pub fn sheets(knife: &Knife, reckoning: &Reckoning) -> Vec<Sheet> {
    SHEETS.iter().filter_map(|key| sheet(key, knife, reckoning)).collect()
}

/// The knife under whose name a laying is printed: the first, named with all that are laid.
pub fn nest_title(knives: &[&Knife], nest: &Nest) -> Knife {
    let mut titled = knives.first().map_or_else(Knife::empty, |knife| (*knife).clone());
    let kinds = knives.len();
    titled.name = match (nest.count(), kinds) {
        (count, 0 | 1) => format!("{count} × {}", titled.name),
        (count, kinds) => format!("{count} blanks of {kinds} kinds"),
    };
    titled
}

/// Two sheets for each bar of a laying: all of it, reduced, and at true size.
pub fn nest_sheets(knives: &[&Knife], nest: &Nest) -> Vec<Sheet> {
    let many = nest.bars.len();
    let title = |number: usize| {
        if many == 1 { "Bar".to_owned() } else { format!("Bar {number} of {many}") }
    };
    let both = |(number, bar): (usize, &NestBar)| {
        let notes = views::nest_notes(knives, nest, bar);
        [
            Sheet {
                key: "bar-overview",
                title: format!("{}, overview", title(number)),
                drawing: views::nest_overview(knives, nest, bar),
                notes: notes.iter().take(2).cloned().collect(),
                inserts: Vec::new(),
            },
            Sheet {
                key: "bar",
                title: title(number),
                drawing: views::nest_sheet(knives, nest, bar),
                notes,
                inserts: Vec::new(),
            },
        ]
    };
    (1..).zip(&nest.bars).flat_map(both).collect()
}

/// The pages of these sheets as they will print.
///
/// # Errors
/// [`PaperError`] when there is no such paper or the sheets don't go on it.
pub fn pages(
    knife: &Knife,
    sheets: &[Sheet],
    paper: &str,
    date: Option<String>,
) -> Result<Vec<Page>, PaperError> {
    let heading = Heading { name: knife.name.clone(), date, trim: "no trim".to_owned() };
    paper::lay_out(sheets, &Setup::new(Paper::named(paper)?, heading))
}

/// What to say when the pages hold signs that the lettering doesn't have; `None` when it has all.
pub fn missing_signs(pages: &[Page]) -> Option<String> {
    let labels = pages.iter().flat_map(|page| &page.drawing.items);
    let mut missing: Vec<char> = labels
        .filter_map(|item| match &item.mark {
            Mark::Text(label) => Some(lettering::missing(&label.text)),
            _ => None,
        })
        .flatten()
        .collect();
    missing.sort_unstable();
    missing.dedup();
    if missing.is_empty() {
        return None;
    }
    let told: Vec<String> = missing.iter().take(8).map(|sign| format!("\"{sign}\"")).collect();
    let more = if missing.len() > told.len() { " and others" } else { "" };
    Some(format!(
        "the lettering has no sign for {}{more}: \"{}\" is printed there",
        told.join(", "),
        lettering::UNKNOWN
    ))
}

/// The pages as a PDF.
///
/// # Errors
/// [`PaperError`] when the file can't be put together.
pub fn pdf(knife: &Knife, pages: &[Page]) -> Result<Vec<u8>, PaperError> {
    paper::pdf(pages, &Meta { title: knife.name.clone(), ..Meta::default() })
}
