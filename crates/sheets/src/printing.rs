//! From a knife to its printed pages: the same for the Paper station and for the PDF.

use crate::{PrintRequest, printer_trim};
use drawing::views;
use knife::Knife;
use marks::{Drawing, Insert, Mark, lettering};
use paper::{Heading, Meta, Page, PageSetup, Paper, PaperError, Sheet};
use rayon::iter::{IntoParallelIterator as _, ParallelIterator as _};
use reckon::shop::Printer;
use reckon::tables::{HandSize, Tables};
use reckon::{Nest, NestBar, Reckoning, Shop};
use std::collections::BTreeSet;
use std::hash::Hasher as _;
use units::LengthUnit;

/// The paper usually printed on by those who read in this unit.
pub fn default_paper(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Inch => "letter",
        LengthUnit::Millimetre => "a4",
    }
}

/// The sheets there are, in the order of the work.
pub const SHEETS: &[&str] = &[
    "profile", "drilling", "bevels", "sections", "scales", "strips", "sheath", "bar", "heat",
    "jigs", "build", "plan", "offsets",
];

/// The shop set: what is printed until more is asked for.
pub const DEFAULT_SHEETS: &[&str] = &["profile", "drilling", "bevels", "scales", "strips", "plan"];

/// The sheets that steel is cut by: they carry the long rulers and the large square.
const CUT_BY: &[&str] = &["profile"];

/// Stands for every sheet where sheets are asked for by name.
pub const ALL: &str = "all";

/// The sheets that are left out until they are asked for.
pub fn excluded_by_default() -> BTreeSet<String> {
    let rest = SHEETS.iter().filter(|key| !DEFAULT_SHEETS.contains(key));
    rest.map(|key| (*key).to_owned()).collect()
}

fn tables(drawings: Vec<Drawing>) -> Vec<Insert> {
    drawings.into_iter().map(Insert::Table).collect()
}

fn spare(drawings: Vec<Drawing>) -> Vec<Insert> {
    drawings.into_iter().map(Insert::Spare).collect()
}

/// One sheet of a knife; `None` when there is no such sheet.
pub fn sheet(key: &str, knife: &Knife, reckoning: &Reckoning) -> Option<Sheet> {
    match key {
        "profile" => Some(Sheet {
            key: "profile",
            title: "Profile".to_owned(),
            drawing: views::profile_sheet(knife, reckoning),
            notes: views::profile_notes(knife, reckoning),
            inserts: spare(views::profile_other_face(knife, reckoning)),
            ..Sheet::default()
        }),
        "drilling" => Some(drilling(knife, reckoning)),
        "bevels" => Some(Sheet {
            key: "bevels",
            title: "Bevels".to_owned(),
            drawing: views::bevel_sheet(knife, reckoning),
            notes: views::bevel_notes(knife, reckoning),
            inserts: tables(views::bevel_inserts(knife, reckoning)),
            ..Sheet::default()
        }),
        "sections" => Some(Sheet {
            key: "sections",
            title: "Sections".to_owned(),
            drawing: Drawing::new(),
            notes: Vec::new(),
            inserts: tables(views::bevel_sections(knife, reckoning)),
            ..Sheet::default()
        }),
        "scales" => Some(Sheet {
            key: "scales",
            title: "Scales".to_owned(),
            drawing: views::scales_sheet(knife, reckoning),
            notes: views::scales_notes(knife, reckoning),
            inserts: Vec::new(),
            ..Sheet::default()
        }),
        "strips" => Some(Sheet {
            key: "strips",
            title: "Strips".to_owned(),
            drawing: views::strips_sheet(knife, reckoning),
            notes: views::strips_notes(knife, reckoning),
            inserts: Vec::new(),
            ..Sheet::default()
        }),
        "bar" => Some(Sheet {
            key: "bar",
            title: "Bar".to_owned(),
            drawing: views::bar_sheet(knife, reckoning),
            notes: views::bar_notes(knife, reckoning),
            inserts: Vec::new(),
            ..Sheet::default()
        }),
        "heat" => Some(Sheet {
            key: "heat",
            title: "Heat, temper, finish".to_owned(),
            drawing: views::heat_sheet(knife),
            notes: Vec::new(),
            inserts: vec![
                Insert::Chart(views::chart(knife, reckoning)),
                Insert::Text(views::heat_text(knife, reckoning)),
            ],
            ..Sheet::default()
        }),
        "build" => Some(Sheet {
            key: "build",
            title: "Build".to_owned(),
            drawing: Drawing::new(),
            notes: Vec::new(),
            inserts: vec![Insert::Text(views::build_text(knife, reckoning))],
            ..Sheet::default()
        }),
        "sheath" => Some(Sheet {
            key: "sheath",
            title: "Sheath".to_owned(),
            drawing: views::sheath_sheet(knife, reckoning),
            notes: views::sheath_notes(knife, reckoning),
            inserts: tables(views::sheath_inserts(knife, reckoning)),
            ..Sheet::default()
        }),
        "jigs" => Some(Sheet {
            key: "jigs",
            title: "Jigs".to_owned(),
            drawing: Drawing::new(),
            notes: views::jig_notes(knife, reckoning),
            inserts: tables(views::jig_inserts(knife, reckoning)),
            ..Sheet::default()
        }),
        "plan" => Some(Sheet {
            key: "plan",
            title: "Plan".to_owned(),
            drawing: views::plan_sheet(knife, reckoning),
            notes: views::plan_notes(knife, reckoning, 1),
            inserts: {
                let mut inserts = tables(vec![views::title_block(knife, reckoning, 1)]);
                inserts.extend(spare(views::plan_tables(knife, reckoning)));
                inserts
            },
            reduced: reduced_plans(knife, reckoning),
        }),
        "offsets" => Some(Sheet {
            key: "offsets",
            title: "Offsets".to_owned(),
            drawing: Drawing::new(),
            notes: Vec::new(),
            inserts: {
                let mut all = views::offset_tables(knife, reckoning);
                let marks = views::drilling_tables(knife, reckoning).pop();
                all.extend(marks.filter(|_| !reckoning.scribe.marks.is_empty()));
                tables(all)
            },
            ..Sheet::default()
        }),
        _ => None,
    }
}

/// The drilling sheet; on paper that is a little too short for it its heights stand in the table
/// alone, rather than the drawing in tiles.
fn drilling(knife: &Knife, reckoning: &Reckoning) -> Sheet {
    let mut inserts = tables(views::drilling_tables(knife, reckoning));
    // Tip, heel and lines stand on the drawing too, and on the offsets sheet.
    if !reckoning.scribe.marks.is_empty()
        && let Some(Insert::Table(marks)) = inserts.pop()
    {
        inserts.push(Insert::Spare(marks));
    }
    let whole = Sheet {
        key: "drilling",
        title: "Drilling".to_owned(),
        drawing: views::drilling_sheet(knife, reckoning),
        notes: views::drilling_notes(knife, reckoning),
        inserts,
        ..Sheet::default()
    };
    if reckoning.holes.is_empty() {
        return whole;
    }
    let mut short = whole.clone();
    short.drawing = views::short_drilling_sheet(knife, reckoning);
    short.notes.insert(0, "Distances from the reference edge are in the table.".to_owned());
    Sheet { reduced: vec![whole.clone(), short], ..whole }
}

/// The plan smaller than the knife, for paper on which that doesn't go: with as many of its tables
/// as go on the page with it. All of them are on the offsets sheet.
fn reduced_plans(knife: &Knife, reckoning: &Reckoning) -> Vec<Sheet> {
    let length_mm = reckoning.profile.as_ref().map_or(0.0, |profile| profile.length_mm);
    let scales = views::PLAN_SCALES.iter().filter(|(_, from_mm)| length_mm > *from_mm);
    let all = views::plan_tables(knife, reckoning);
    let plans = |(scale, _): &(u32, f64)| {
        let scale = *scale;
        let drawing = views::reduced_plan(knife, reckoning, scale);
        let block = views::title_block(knife, reckoning, scale);
        let notes = views::plan_notes(knife, reckoning, scale);
        let plan = |many: usize| {
            let mut inserts = vec![Insert::Chart(drawing.clone()), Insert::Table(block.clone())];
            inserts.extend(tables(all[..many].to_vec()));
            let (title, notes) = (format!("Plan, 1 : {scale}"), notes.clone());
            Sheet { key: "plan", title, notes, inserts, ..Sheet::default() }
        };
        (0..=all.len()).rev().map(plan).collect::<Vec<_>>()
    };
    scales.flat_map(plans).collect()
}

/// Every sheet of a knife, in the order of the work.
pub fn sheets(knife: &Knife, reckoning: &Reckoning) -> Vec<Sheet> {
    those_of(SHEETS, knife, reckoning)
}

/// The sheets of a knife that are printed until more is asked for: [`DEFAULT_SHEETS`].
pub fn default_sheets(knife: &Knife, reckoning: &Reckoning) -> Vec<Sheet> {
    those_of(DEFAULT_SHEETS, knife, reckoning)
}

/// Draws a hand round the handle on the template, if that is among these sheets; whether it could
/// be: without scales there is no handle.
pub fn add_hand(
    sheets: &mut [Sheet],
    size: HandSize,
    knife: &Knife,
    reckoning: &Reckoning,
) -> bool {
    let Some(hand) = Tables::built_in().hand(size) else { return false };
    let drawn = views::hand_on_bar(knife, reckoning, hand);
    if drawn.items.is_empty() {
        return false;
    }
    for sheet in sheets.iter_mut().filter(|sheet| sheet.key == "profile") {
        sheet.drawing.extend(drawn.clone());
        sheet.notes.push(views::hand_note(knife, hand));
    }
    true
}

/// The keys of every sheet that a knife has; sections, scales, strips, sheath and jigs only when
/// there are any.
pub fn keys(reckoning: &Reckoning) -> Vec<&'static str> {
    let has = |key: &&str| match *key {
        "scales" => views::has_scales(reckoning),
        "strips" => views::has_strips(reckoning),
        "sheath" => views::has_sheath(reckoning),
        "jigs" => views::has_jigs(reckoning),
        "sections" => reckoning.bevel.is_some(),
        _ => true,
    };
    SHEETS.iter().copied().filter(has).collect()
}

fn those_of(request: &[&str], knife: &Knife, reckoning: &Reckoning) -> Vec<Sheet> {
    let keys = keys(reckoning).into_par_iter().filter(|key| request.contains(key));
    keys.filter_map(|key| sheet(key, knife, reckoning)).collect()
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
                ..Sheet::default()
            },
            Sheet {
                key: "bar",
                title: title(number),
                drawing: views::nest_sheet(knives, nest, bar),
                notes,
                inserts: Vec::new(),
                ..Sheet::default()
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
    paper::lay_out(sheets, &for_knife(setup(&knife.name, paper, date)?, knife))
}

/// The same setup, its pages marked with the state that the knife is in.
#[must_use]
pub fn for_knife(mut setup: PageSetup, knife: &Knife) -> PageSetup {
    setup.heading.revision = revision(knife);
    setup
}

/// A short digest of a knife's file: the same for the same file, another after any change (FNV-1a,
/// folded to 24 bits).
pub fn revision(knife: &Knife) -> String {
    let mut hasher = fnv::FnvHasher::default();
    hasher.write(&knife::file::save(knife));
    let whole = hasher.finish();
    format!("{:06x}", (whole ^ (whole >> 24) ^ (whole >> 48)) & 0xff_ffff)
}

/// The usual way to print on a paper, as typed, without a trim.
///
/// # Errors
/// [`PaperError`] when there is no such paper.
pub fn setup(name: &str, paper: &str, date: Option<String>) -> Result<PageSetup, PaperError> {
    let heading = Heading { name: name.to_owned(), date, ..Heading::default() };
    Ok(PageSetup { large_check: CUT_BY, ..PageSetup::new(Paper::parse(paper)?, heading) })
}

/// The same through a printer's trim; every page says for which printer.
#[must_use]
pub fn with_trim(mut setup: PageSetup, printer: &Printer) -> PageSetup {
    if let Some(trim) = &printer.trim {
        setup.trim = Some(trim.correction());
        setup.heading.trim = format!("{} ({trim}); true on this printer only", printer.name);
    }
    setup
}

/// The setup for what is wanted: paper, margin, date, and the trim of its printer.
///
/// # Errors
/// [`PaperError`] when there is no such paper, or the margin can't be.
pub fn setup_for(name: &str, request: &PrintRequest, shop: &Shop) -> Result<PageSetup, PaperError> {
    let setup = setup(name, &request.paper, request.date.clone())?;
    let setup = match request.margin_mm {
        Some(mm) => setup.with_margin_mm(mm)?,
        None => setup,
    };
    let printer =
        request.printer.as_deref().and_then(|name| printer_trim::find_printer(shop, name));
    Ok(match printer {
        Some(printer) => with_trim(setup, printer),
        None => setup,
    })
}

/// The proof: the page that measures the printer, with the words to type its readings in.
///
/// # Errors
/// [`PaperError`] when the paper is too small for one.
pub fn proof(setup: &PageSetup, printer: Option<&Printer>) -> Result<Page, PaperError> {
    Ok(paper::proof(setup, proof_notes(setup, printer))?.page)
}

/// The proof as a sheet among a knife's.
pub fn proof_sheet(setup: &PageSetup, printer: Option<&Printer>) -> Sheet {
    paper::proof_sheet(proof_notes(setup, printer))
}

fn proof_notes(setup: &PageSetup, printer: Option<&Printer>) -> Vec<String> {
    let name = printer.map_or("NAME", |printer| printer.name.as_str());
    let confirm = if setup.trim.is_some() { " --confirm" } else { "" };
    let usual = PageSetup::new(setup.paper.clone(), Heading::default()).margin_mm;
    let margin = if (setup.margin_mm - usual).abs() > 1e-9 {
        format!(" --margin {}mm", units::show_number(setup.margin_mm, 2))
    } else {
        String::new()
    };
    vec![
        "1. Lay a steel rule or calipers along each line, from the middle of one cross to the \
         middle of the other; of E and F only the ends are drawn. Read to 0.1 mm, write it down, \
         then do it all again from the other end."
            .to_owned(),
        "2. Type the readings in, in mm (or with in or \" after each), at the desk's Paper station \
         or by this command:"
            .to_owned(),
        format!(
            "blankwright trim {} --shop shop.json --paper {}{margin}{confirm} --across A,B,A,B \
             --up C,D,C,D --rising E,E --falling F,F",
            shell_quoted(name),
            shell_quoted(&setup.paper.name)
        ),
        if setup.trim.is_some() {
            "This proof was printed with the printer's trim: it confirms it and makes it better."
        } else {
            "3. Print a second proof with --trim, and type that in with --confirm. A printer that has a \
             trim already is measured anew with --anew."
        }
        .to_owned(),
    ]
}

/// A word as a shell takes it whole.
pub fn shell_quoted(word: &str) -> String {
    let plain = |sign: char| sign.is_alphanumeric() || "-_.:".contains(sign);
    if word.chars().all(plain) { word.to_owned() } else { format!("\"{word}\"") }
}

/// What to say when the pages hold signs that the lettering doesn't have; `None` when it has all.
pub fn missing_glyphs_warning(pages: &[Page]) -> Option<String> {
    let labels = pages.iter().flat_map(|page| &page.drawing.items);
    let text: String = labels
        .filter_map(|item| match &item.mark {
            Mark::Text(label) => Some(label.text.as_str()),
            _ => None,
        })
        .collect();
    lettering::check_printable(&text).err().map(|missing| missing.to_string())
}

/// What of a knife's own words the sheets can't print, each with what it is: "the name".
pub fn unprintable(knife: &Knife) -> Vec<(String, lettering::UnprintableSigns)> {
    let mut words = vec![
        ("the name".to_owned(), knife.name.as_str()),
        ("the notes".to_owned(), knife.notes.as_str()),
        ("the steel".to_owned(), knife.bar.grade.as_str()),
    ];
    for (number, hole) in (1..).zip(&knife.holes) {
        words.push((format!("the name of hole {number}"), hole.name.as_str()));
    }
    let faults = words.into_iter().map(|(what, text)| (what, lettering::check_printable(text)));
    faults.filter_map(|(what, checked)| Some((what, checked.err()?))).collect()
}

/// The pages as a PDF, dated if a date is given.
///
/// # Errors
/// [`PaperError`] when the file can't be put together.
pub fn pdf(knife: &Knife, pages: &[Page], date: Option<&str>) -> Result<Vec<u8>, PaperError> {
    let setup = setup(&knife.name, default_paper(knife.unit), date.map(str::to_owned))?;
    paper::pdf(pages, &meta(knife, pages, &Shop::default(), &setup))
}

/// What the file says about itself: the knife's name, what it is cut from and its sheets, the
/// shop's name and the date if they are given.
pub fn meta(knife: &Knife, pages: &[Page], shop: &Shop, setup: &PageSetup) -> Meta {
    let mut keywords = vec!["knife template".to_owned()];
    let grade = knife.bar.grade.trim();
    keywords.extend((!grade.is_empty()).then(|| grade.to_owned()));
    for page in pages {
        if !keywords.iter().any(|word| word == page.key) {
            keywords.push(page.key.to_owned());
        }
    }
    let trim = &setup.heading.trim;
    let trim =
        if trim.is_empty() { String::new() } else { format!(" Printer correction: {trim}.") };
    Meta {
        title: knife.name.clone(),
        author: Some(shop.name.clone()).filter(|name| !name.is_empty()),
        subject: Some(format!("Full size: print at actual size (100 %).{trim}")),
        keywords,
        date: setup.heading.date.clone(),
    }
}

/// The proof as a PDF.
///
/// # Errors
/// [`PaperError`] when the file can't be put together.
pub fn proof_pdf(setup: &PageSetup, page: &Page) -> Result<Vec<u8>, PaperError> {
    let title = format!("{}, proof", setup.heading.name);
    let date = setup.heading.date.clone();
    paper::pdf(std::slice::from_ref(page), &Meta { title, date, ..Meta::default() })
}
