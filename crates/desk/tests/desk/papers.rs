//! The Paper station: sheets, date and notes, printed as the command line prints them.

use super::*;
use desk::printing;

fn printed(harness: &mut Harness<'_, Bench>) -> Option<Vec<u8>> {
    let wish = desk::Wish::Path(desk::Purpose::Print, "/bench/out.pdf".into());
    harness.state_mut().desk.commands.push(wish);
    harness.run_steps(4);
    harness.state_mut().host.files.remove(Path::new("/bench/out.pdf"))
}

/// What `print --sheets … --date …` writes.
fn by_command(harness: &Harness<'_, Bench>, keys: &[&str], date: Option<&str>) -> Option<Vec<u8>> {
    let knife = harness.state().desk.open.knife().clone();
    let tables = reckon::tables::Tables::built_in();
    let reckoning = reckon::reckon(&knife, &reckon::Shop::default(), tables);
    let sheets = keys.iter().map(|key| printing::sheet(key, &knife, &reckoning));
    let sheets: Vec<_> = sheets.collect::<Option<_>>()?;
    let pages = printing::pages(&knife, &sheets, "letter", date.map(ToOwned::to_owned)).ok()?;
    printing::pdf(&knife, &pages, date).ok()
}

/// Every sheet that the bench's knife has: it has no strips.
fn every() -> Vec<&'static str> {
    printing::SHEETS.iter().copied().filter(|key| *key != "strips").collect()
}

#[test]
fn a_date_is_printed_only_when_there_is_one() {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Paper));
    assert_eq!(printed(&mut harness), by_command(&harness, &every(), None));
    harness.state_mut().host.today = "2024-02-29".to_owned();
    harness.get_by_label("Today").click();
    harness.run_steps(4);
    let dated = printed(&mut harness);
    assert_eq!(dated, by_command(&harness, &every(), Some("2024-02-29")));
    fill(&mut harness, "Date", "the ninth of March");
    let typed = printed(&mut harness);
    assert_eq!(typed, by_command(&harness, &every(), Some("the ninth of March")));
    harness.get_by_label("No date").click();
    harness.run_steps(4);
    assert_eq!(printed(&mut harness), by_command(&harness, &every(), None));
}

#[test]
fn every_sheet_can_be_left_out() {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Paper));
    let titles = harness.state().desk.derived.sheets.clone();
    assert_eq!(titles.len(), every().len());
    for (key, title) in &titles {
        harness.get_by_role_and_label(Role::CheckBox, title).click();
        harness.run_steps(4);
        let others: Vec<&str> = every().into_iter().filter(|other| other != key).collect();
        if others.is_empty() {
            assert!(printed(&mut harness).is_none());
            let said = harness.state().desk.session.notices.latest().unwrap();
            assert!(said.contains("No sheet is chosen"), "{said}");
        } else {
            assert_eq!(printed(&mut harness), by_command(&harness, &others, None));
        }
        harness.get_by_role_and_label(Role::CheckBox, title).click();
        harness.run_steps(4);
    }
    assert_eq!(printed(&mut harness), by_command(&harness, &every(), None));
}

#[test]
fn notes_are_one_step_each_time_they_are_written() {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Paper));
    let first = saved(&harness);
    let write = |harness: &mut Harness<'_, Bench>, words: &str| {
        harness.get_by_role_and_label(Role::MultilineTextInput, "Notes").focus();
        harness.run_steps(2);
        for word in words.split_inclusive(' ') {
            harness.get_by_role_and_label(Role::MultilineTextInput, "Notes").type_text(word);
            harness.run_steps(2);
        }
    };
    write(&mut harness, "Quench in warm oil");
    let notes = harness.state().desk.open.knife().notes.clone();
    assert!(notes.ends_with("Quench in warm oil"), "shown at once: {notes}");
    harness.get_by_role_and_label(Role::Tab, "Profile").click();
    harness.run_steps(4);
    let labels = |harness: &Harness<'_, Bench>| {
        let past = harness.state().desk.open.history().past().to_vec();
        past.into_iter().map(|step| step.label).collect::<Vec<_>>()
    };
    assert_eq!(labels(&harness), ["Write notes"]);
    let noted = saved(&harness);
    run(&mut harness, Command::Station(Station::Paper));
    write(&mut harness, " and temper");
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    assert!(saved(&harness) == noted, "Escape takes what was just written back");
    run(&mut harness, Command::Undo);
    assert!(saved(&harness) == first);
    run(&mut harness, Command::Redo);
    assert!(saved(&harness) == noted);
}

#[test]
fn the_pdf_written_last_can_be_opened_from_the_paper_station() {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Paper));
    let disabled = |harness: &Harness<'_, Bench>| {
        harness.get_by_label("Open the PDF").accesskit_node().is_disabled()
    };
    assert!(disabled(&harness), "nothing is written yet");
    let wish = desk::Wish::Path(desk::Purpose::Print, "/bench/out.pdf".into());
    harness.state_mut().desk.commands.push(wish);
    harness.run_steps(4);
    assert!(!disabled(&harness));
    harness.get_by_label("Open the PDF").scroll_to_me();
    harness.run_steps(4);
    harness.get_by_label("Open the PDF").click();
    harness.run_steps(4);
    assert_eq!(harness.state().host.shown, [Path::new("/bench/out.pdf")]);
    assert!(harness.query_by_label_contains("actual size (100 %): no fitting").is_some());
    // Gone since: told in words, and nothing is shown.
    harness.state_mut().host.files.remove(Path::new("/bench/out.pdf"));
    harness.get_by_label("Open the PDF").click();
    harness.run_steps(4);
    assert_eq!(harness.state().host.shown.len(), 1);
    assert!(harness.query_by_label_contains("/bench/out.pdf is not there").is_some());
}
