//! The Paper station: sheets, date and notes, printed as the command line prints them.

use super::*;
use sheets::sharing::{self, Sharing};
use sheets::{PrintRequest, printing};

fn printed(harness: &mut Harness<'_, Bench>) -> Option<Vec<u8>> {
    let wish = desk::Action::PathChosen(desk::Purpose::Print, "/bench/out.pdf".into());
    harness.state_mut().desk.actions.push(wish);
    harness.run_steps(4);
    harness.state_mut().host.files.remove(Path::new("/bench/out.pdf"))
}

/// A window so tall that no sheet of the list has to be scrolled to.
fn tall_bench() -> Harness<'static, Bench> {
    let mut harness = bench();
    harness.set_size(vec2(1280.0, 1400.0));
    harness.run_steps(3);
    harness
}

/// What `print --sheets … --date …` writes.
fn by_command(harness: &Harness<'_, Bench>, keys: &[&str], date: Option<&str>) -> Option<Vec<u8>> {
    let knife = harness.state().desk.document.knife().clone();
    let tables = reckon::tables::Tables::built_in();
    let reckoning = reckon::reckon(&knife, &reckon::Shop::default(), tables);
    let sheets = keys.iter().map(|key| printing::sheet(key, &knife, &reckoning));
    let sheets: Vec<_> = sheets.collect::<Option<_>>()?;
    let setup = printing::setup(&knife.name, "letter", date.map(ToOwned::to_owned)).ok()?;
    let setup = printing::for_knife(setup, &knife);
    let laid = sharing::lay_out(sheets, &Sharing::default(), &setup, &mut |_, _, _| ()).ok()?;
    printing::pdf(&knife, &laid.pages, date).ok()
}

/// The sheets that are ticked at first; the bench's knife has no strips.
fn first() -> Vec<&'static str> {
    printing::DEFAULT_SHEETS.iter().copied().filter(|key| *key != "strips").collect()
}

/// Ticks every sheet.
fn tick_all(harness: &mut Harness<'_, Bench>) {
    harness.state_mut().desk.session.print.left_out.clear();
    harness.run_steps(4);
}

/// Every sheet that the bench's knife has: it has neither strips nor sheath.
fn every() -> Vec<&'static str> {
    printing::SHEETS.iter().copied().filter(|key| !["strips", "sheath"].contains(key)).collect()
}

#[test]
fn a_date_is_printed_only_when_there_is_one() {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Paper));
    assert_eq!(printed(&mut harness), by_command(&harness, &first(), None));
    harness.state_mut().host.today = "2024-02-29".to_owned();
    harness.get_by_label("Today").click();
    harness.run_steps(4);
    let dated = printed(&mut harness);
    assert_eq!(dated, by_command(&harness, &first(), Some("2024-02-29")));
    fill(&mut harness, "Date", "the ninth of March");
    let typed = printed(&mut harness);
    assert_eq!(typed, by_command(&harness, &first(), Some("the ninth of March")));
    harness.get_by_label("No date").click();
    harness.run_steps(4);
    assert_eq!(printed(&mut harness), by_command(&harness, &first(), None));
}

#[test]
fn what_is_laid_on_the_steel_is_ticked_at_first_and_the_rest_can_be() {
    let mut harness = tall_bench();
    run(&mut harness, Command::Station(Station::Paper));
    assert_eq!(printed(&mut harness), by_command(&harness, &first(), None));
    harness.get_by_role_and_label(Role::CheckBox, "Build").click();
    harness.run_steps(4);
    let more = printing::SHEETS.iter().copied();
    let more: Vec<&str> = more.filter(|key| first().contains(key) || *key == "build").collect();
    assert_eq!(printed(&mut harness), by_command(&harness, &more, None));
}

#[test]
fn every_sheet_can_be_left_out() {
    let mut harness = tall_bench();
    run(&mut harness, Command::Station(Station::Paper));
    tick_all(&mut harness);
    let titles = harness.state().desk.derived.sheets.clone();
    assert_eq!(titles.len(), every().len());
    for (key, title) in &titles {
        harness.get_by_role_and_label(Role::CheckBox, title).click();
        harness.run_steps(4);
        let others: Vec<&str> = every().into_iter().filter(|other| other != key).collect();
        if others.is_empty() {
            assert!(printed(&mut harness).is_none());
            let said = harness.state().desk.session.toasts.latest().unwrap();
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
    let notes = harness.state().desk.document.knife().notes.clone();
    assert!(notes.ends_with("Quench in warm oil"), "shown at once: {notes}");
    harness.get_by_role_and_label(Role::Tab, "Profile").click();
    harness.run_steps(4);
    let labels = |harness: &Harness<'_, Bench>| {
        let past = harness.state().desk.document.history().past().to_vec();
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
    let wish = desk::Action::PathChosen(desk::Purpose::Print, "/bench/out.pdf".into());
    harness.state_mut().desk.actions.push(wish);
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

/// What is printed of all sheets with this sharing, on this paper.
fn by_sharing(harness: &Harness<'_, Bench>, sharing: &Sharing, paper: &str) -> Option<Vec<u8>> {
    let state = &harness.state().desk;
    let (knife, shop) = (state.document.knife().clone(), reckon::Shop::default());
    let reckoning = reckon::reckon(&knife, &shop, reckon::tables::Tables::built_in());
    let wanted = PrintRequest { paper: paper.to_owned(), ..PrintRequest::default() };
    let setup = printing::setup_for(&knife.name, &wanted, &shop).ok()?;
    let setup = printing::for_knife(setup, &knife);
    let mut sheets = printing::sheets(&knife, &reckoning);
    sharing.order(&mut sheets);
    let laid = sharing::lay_out(sheets, sharing, &setup, &mut |_, _, _| ()).ok()?;
    printing::pdf(&knife, &laid.pages, None).ok()
}

fn arranged(pages: &[&[&str]]) -> Sharing {
    let owned = |keys: &&[&str]| keys.iter().map(|key| (*key).to_owned()).collect();
    Sharing::Arranged(pages.iter().map(owned).collect())
}

/// The Paper station with paper of this size.
fn on_paper(name: &str) -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Paper));
    harness.state_mut().desk.session.print.paper = Some(name.to_owned());
    harness.state_mut().desk.session.print.sharing = Sharing::Apart;
    tick_all(&mut harness);
    harness
}

fn page_of(harness: &Harness<'_, Bench>, number: usize) -> egui::Rect {
    let page = format!("Page {number}, ");
    harness.get_by(|node| node.label().is_some_and(|label| label.starts_with(&page))).rect()
}

/// Takes a sheet by its name to somewhere.
fn carry(harness: &mut Harness<'_, Bench>, sheet: &str, to: egui::Pos2) {
    let from = middle_of(harness, sheet);
    drag(harness, from, to - from);
    harness.run_steps(4);
}

#[test]
fn sheets_share_pages_where_there_is_room() {
    let mut harness = on_paper("a1");
    let apart = harness.state().desk.derived.pages().unwrap().as_ref().unwrap().pages.len();
    pick(&mut harness, Role::ComboBox, "Share a page");
    pick(&mut harness, Role::Button, "Where there is room");
    assert_eq!(harness.state().desk.session.print.sharing, Sharing::Room);
    let laid = harness.state().desk.derived.pages().unwrap().as_ref().unwrap();
    assert!(laid.pages.len() < apart, "{} of {apart}", laid.pages.len());
    assert!(laid.keys[0].len() > 1 && laid.apart.is_empty());
    assert_eq!(printed(&mut harness), by_sharing(&harness, &Sharing::Room, "a1"));
}

#[test]
fn a_sheet_is_dragged_onto_anothers_page_and_off_again() {
    let mut harness = on_paper("a1");
    let onto = page_of(&harness, 2).center();
    carry(&mut harness, "Sheet Scales", onto);
    let want = arranged(&[
        &["profile"],
        &["drilling", "scales"],
        &["bevels"],
        &["sections"],
        &["bar"],
        &["heat"],
        &["jigs"],
        &["build"],
        &["plan"],
        &["offsets"],
    ]);
    assert_eq!(harness.state().desk.session.print.sharing, want);
    assert_eq!(printed(&mut harness), by_sharing(&harness, &want, "a1"));
    assert!(harness.query_by_label_contains("Page 2, Drilling · Scales").is_some());

    // Cards share their page as well.
    let heat = harness.query_by_label_contains(", Heat").unwrap().rect().center();
    carry(&mut harness, "Sheet Scales", heat);
    let keys = harness.state().desk.derived.pages().unwrap().as_ref().unwrap().keys.clone();
    assert!(keys.contains(&vec!["heat", "scales"]), "{keys:?}");
    let back = page_of(&harness, 2).center();
    carry(&mut harness, "Sheet Scales", back);
    assert_eq!(harness.state().desk.session.print.sharing, want);

    // What isn't printed leaves the arrangement as it is, and comes back into it.
    let tick = |harness: &mut Harness<'_, Bench>| {
        harness.get_by_role_and_label(Role::CheckBox, "Drilling").click();
        harness.run_steps(4);
    };
    tick(&mut harness);
    let keys = harness.state().desk.derived.pages().unwrap().as_ref().unwrap().keys.clone();
    assert_eq!(keys[..2], [vec!["profile"], vec!["scales"]]);
    tick(&mut harness);
    assert_eq!(printed(&mut harness), by_sharing(&harness, &want, "a1"));

    // Off the page: beneath the row of pages there is nothing.
    let page = page_of(&harness, 2);
    let bench = page.left_bottom() + vec2(4.0, 8.0);
    carry(&mut harness, "Sheet Drilling", bench);
    let keys = harness.state().desk.derived.pages().unwrap().as_ref().unwrap().keys.clone();
    assert_eq!(keys[..3], [vec!["profile"], vec!["scales"], vec!["drilling"]]);
}

#[test]
fn a_sheet_is_moved_by_its_menu_and_told_where_there_is_no_room() {
    let mut harness = on_paper("letter");
    let choose = |harness: &mut Harness<'_, Bench>, name: &str| {
        harness.get_by_role_and_label(Role::Button, "Sheet Bevels").focus();
        harness.run_steps(2);
        harness.key_press(Key::Enter);
        harness.run_steps(4);
        pick(harness, Role::Button, name);
    };
    choose(&mut harness, "Beside Profile");
    let shared = harness.state().desk.session.print.sharing.clone();
    assert!(shared.command_line_value().unwrap().starts_with("--sheets profile+bevels,"));
    let message = "Bevels has no room beside Profile on Letter";
    assert_eq!(harness.query_all_by_label_contains(message).count(), 2, "on the card and below");
    assert!(harness.state().desk.session.toasts.latest().unwrap().starts_with(message));
    assert_eq!(printed(&mut harness), by_sharing(&harness, &shared, "letter"));
    // With room, both are on one page; then not.
    harness.state_mut().desk.session.print.paper = Some("a1".to_owned());
    harness.run_steps(4);
    let laid = harness.state().desk.derived.pages().unwrap().as_ref().unwrap();
    assert!(laid.apart.is_empty());
    assert!(harness.query_by_label_contains("Page 1, Profile · Bevels").is_some());
    choose(&mut harness, "On a page of its own");
    let shared = harness.state().desk.session.print.sharing.clone();
    assert!(shared.command_line_value().unwrap().starts_with("--sheets profile,bevels,drilling"));
}
