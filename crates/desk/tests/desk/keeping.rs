//! Beginning a knife, recent files, versions, history, and another knife under this one.

use super::*;
use std::path::PathBuf;

/// A desk whose blank is saved to a file.
fn saved_at(path: &str) -> Harness<'static, Bench> {
    let mut harness = bench();
    harness.state_mut().host.today = "2026-03-09".to_owned();
    let Bench { desk, host } = harness.state_mut();
    desk.session.dialogs.welcomed = true;
    desk.document.save(Path::new(path), host).expect("a host in memory");
    desk.settings.opened(Path::new(path));
    harness.run_steps(3);
    harness
}

fn remove_a_hole(harness: &mut Harness<'_, Bench>) {
    let hole = harness.state().desk.document.knife().holes.last().expect("a hole").id;
    harness.state_mut().desk.document.edit(&[Edit::RemoveHole(hole)]).expect("it is there");
    harness.run_steps(3);
}

#[test]
fn a_new_knife_begins_with_its_bar() {
    let mut harness = bench();
    harness.state_mut().desk.session.dialogs.welcomed = true;
    run(&mut harness, Command::New);
    for way in ["Start from a knife", "Draw my own", "Trace a picture", "Import outline"] {
        harness.get_by_role_and_label(Role::Button, way);
    }
    fill(&mut harness, "Width", "2 in");
    fill(&mut harness, "Length", "20 in");
    pick(&mut harness, Role::Button, "Start from a knife");
    let name = knife::STARTERS[2].knife().name.trim().to_owned();
    pick(&mut harness, Role::Button, &name);
    let desk = &harness.state().desk;
    assert_eq!(desk.document.knife().name.trim(), name);
    let bar = &desk.document.knife().bar;
    assert!((bar.width_mm - 50.8).abs() < 1e-9 && (bar.length_mm - 508.0).abs() < 1e-9);
    assert!(desk.derived.reckoning.bar.unwrap().fits);

    // A bar that nobody typed leaves the starter its own.
    run(&mut harness, Command::New);
    pick(&mut harness, Role::Button, "Start from a knife");
    pick(&mut harness, Role::Button, &name);
    let own = knife::STARTERS[2].knife().bar.width_mm;
    assert_eq!(harness.state().desk.document.knife().bar.width_mm, own);

    run(&mut harness, Command::New);
    fill(&mut harness, "Width", "1 1/4 in");
    pick(&mut harness, Role::Button, "Draw my own");
    let knife = harness.state().desk.document.knife();
    assert!((knife.bar.width_mm - 31.75).abs() < 1e-9 && knife.profile.nodes.is_empty());
}

#[test]
fn recent_files_are_offered_as_pictures_and_the_last_is_opened_again() {
    let harness = saved_at("/bench/gull.blank.json");
    let host = harness.state().host.clone();
    let mut settings = harness.state().desk.settings.clone();
    settings.opened(Path::new("/bench/gone.blank.json"));
    settings.opened(Path::new("/bench/gull.blank.json"));
    let mut again = with(Bench { desk: Desk::new(settings.clone()), host: host.clone() });
    again.run_steps(4);
    assert!(again.query_by_role_and_label(Role::Button, "gone").is_none(), "it isn't there");
    again.get_by_role_and_label(Role::Button, "gull").click();
    again.run_steps(4);
    let path = again.state().desk.document.path().map(Path::to_owned);
    assert_eq!(path, Some(PathBuf::from("/bench/gull.blank.json")));

    let mut desk = Desk::new(settings.clone());
    desk.open_last(&host);
    assert_eq!(desk.document.path(), None, "only where it is wished");
    let mut desk = Desk::new(Settings { reopen: true, ..settings });
    desk.open_last(&host);
    assert_eq!(desk.document.path(), Some(Path::new("/bench/gull.blank.json")));
}

#[test]
fn a_version_is_kept_compared_with_and_gone_back_to() {
    let mut harness = saved_at("/bench/gull.blank.json");
    run(&mut harness, Command::SaveVersion);
    let kept = PathBuf::from("/bench/gull.versions/2026-03-09 01.blank.json");
    let first = saved(&harness);
    assert_eq!(harness.state().host.files.get(&kept), Some(&first));
    run(&mut harness, Command::SaveVersion);
    assert_eq!(harness.state().host.list_of_versions(), 1, "nothing has changed");
    remove_a_hole(&mut harness);
    run(&mut harness, Command::SaveVersion);
    assert_eq!(harness.state().host.list_of_versions(), 2);

    run(&mut harness, Command::Versions);
    pick(&mut harness, Role::Button, "2026-03-09 01");
    let desk = &harness.state().desk;
    assert_eq!(desk.session.ghost.as_ref().map(|ghost| ghost.name.as_str()), Some("2026-03-09 01"));
    assert!(harness.query_by_label("Figures that differ").is_some());
    pick(&mut harness, Role::Button, "Close");
    run(&mut harness, Command::Versions);
    let steps = harness.state().desk.document.history().past().len();
    let all: Vec<_> = harness.get_all_by_label("Go back to it").map(|node| node.rect()).collect();
    // The newest stands first.
    click_at(&mut harness, all[1].center());
    assert_eq!(saved(&harness), first);
    assert_eq!(harness.state().desk.document.history().past().len(), steps + 1);
    run(&mut harness, Command::Undo);
    assert_ne!(saved(&harness), first);
}

/// The folder of versions may be moved along with the file, and the picture is found from both.
#[test]
fn a_version_tells_the_picture_from_its_own_folder() {
    let mut harness = saved_at("/bench/gull.blank.json");
    let placement = knife::PicturePlacement::level(50.0);
    let picture = knife::Picture { path: "/bench/scan.png".to_owned(), sum: 7, placement };
    let edit = Edit::SetPicture(Some(picture.clone()));
    harness.state_mut().desk.document.edit(&[edit]).expect("a picture");
    run(&mut harness, Command::SaveVersion);
    let kept = Path::new("/bench/gull.versions/2026-03-09 01.blank.json");
    let text = String::from_utf8_lossy(&harness.state().host.files[kept]).into_owned();
    assert!(text.contains("\"../scan.png\""), "{text}");
    run(&mut harness, Command::SaveVersion);
    assert_eq!(harness.state().host.list_of_versions(), 1, "nothing has changed");
    harness.state_mut().desk.document.edit(&[Edit::SetPicture(None)]).expect("without it");
    run(&mut harness, Command::Versions);
    pick(&mut harness, Role::Button, "Go back to it");
    assert_eq!(harness.state().desk.document.knife().picture, Some(picture));
}

/// How many versions there are.
trait Versions {
    fn list_of_versions(&self) -> usize;
}

impl Versions for MemoryHost {
    fn list_of_versions(&self) -> usize {
        self.files.keys().filter(|path| path.starts_with("/bench/gull.versions")).count()
    }
}

#[test]
fn without_a_file_there_are_no_versions_and_nothing_is_written() {
    let mut harness = bench();
    let before = harness.state().host.files.len();
    run(&mut harness, Command::SaveVersion);
    assert_eq!(harness.state().host.files.len(), before);
    assert!(harness.query_by_label_contains("its versions are kept beside it").is_some());
    run(&mut harness, Command::Versions);
    assert!(harness.query_by_label_contains("There is no version yet").is_some());
}

#[test]
fn history_goes_back_to_a_named_step_and_forward_again() {
    let mut harness = bench();
    harness.state_mut().desk.session.dialogs.welcomed = true;
    let first = saved(&harness);
    remove_a_hole(&mut harness);
    let second = saved(&harness);
    remove_a_hole(&mut harness);
    let third = saved(&harness);
    run(&mut harness, Command::History);
    harness.get_by_label("1  Remove hole").click();
    harness.run_steps(4);
    assert_eq!(saved(&harness), second);
    harness.get_by_label("0  As opened").click();
    harness.run_steps(4);
    assert_eq!(saved(&harness), first);
    harness.get_by_label("2  Remove hole").click();
    harness.run_steps(4);
    assert_eq!(saved(&harness), third);
}

#[test]
fn another_knife_is_shown_under_this_one_with_what_differs() {
    let mut harness = bench();
    harness.state_mut().desk.session.dialogs.welcomed = true;
    let before = saved(&harness);
    let other = knife::STARTERS[4].knife();
    let ghost = desk::Ghost::new("another", other);
    harness.state_mut().desk.actions.push(desk::Action::ShowGhost(Box::new(ghost)));
    harness.run_steps(4);
    assert!(harness.query_by_label_contains("The outlines differ by").is_some());
    assert!(harness.query_by_label("Figures that differ").is_some());
    harness.get_by_label("Hide the other knife").click();
    harness.run_steps(4);
    assert!(harness.state().desk.session.ghost.is_none());
    assert_eq!(saved(&harness), before, "it changes nothing");
}

#[test]
fn changes_are_saved_by_themselves_only_where_that_is_wished() {
    for wished in [false, true] {
        let mut harness = saved_at("/bench/gull.blank.json");
        harness.state_mut().desk.settings.autosave = wished;
        remove_a_hole(&mut harness);
        assert!(harness.state().desk.document.is_dirty());
        harness.state_mut().host.now_ms += 31_000;
        harness.run_steps(3);
        assert_eq!(harness.state().desk.document.is_dirty(), !wished);
    }
    // What another program wrote meanwhile is left alone.
    let mut harness = saved_at("/bench/gull.blank.json");
    harness.state_mut().desk.settings.autosave = true;
    remove_a_hole(&mut harness);
    let path = PathBuf::from("/bench/gull.blank.json");
    harness.state_mut().host.files.insert(path.clone(), b"another's".to_vec());
    harness.state_mut().host.written_ms.insert(path.clone(), 77);
    harness.state_mut().host.now_ms += 31_000;
    harness.run_steps(3);
    assert_eq!(harness.state().host.files.get(&path), Some(&b"another's".to_vec()));
}

#[test]
fn several_knives_are_planned_on_one_bar() {
    let mut harness = bench();
    harness.state_mut().desk.session.dialogs.welcomed = true;
    let bar = harness.state().desk.document.knife().bar.clone();
    let on_hand = reckon::shop::BarOnHand {
        grade: bar.grade.clone(),
        width_mm: bar.width_mm,
        thickness_mm: bar.thickness_mm,
        length_mm: bar.length_mm,
        count: 1,
        price_per_m: Some(10.0),
    };
    let shop = reckon::Shop { bars: vec![on_hand], ..reckon::Shop::default() };
    harness.state_mut().desk.actions.push(desk::Action::SetShop(Box::new(shop)));
    harness.run_steps(2);
    let before = saved(&harness);
    run(&mut harness, Command::PlanBar);
    assert!(harness.query_by_label_contains("1 blank  ·  takes").is_some());
    assert!(harness.query_by_label_contains("  ·  steel ").is_some(), "its price is in the shop");
    harness.get_by_label("One more").click();
    harness.run_steps(4);
    assert!(harness.query_by_label_contains("2 blanks  ·  takes").is_some());
    // The second is dragged onto the first: both are told of.
    let second = harness.get_by_label_contains(", blank 2").rect().center();
    drag(&mut harness, second, vec2(-120.0, 0.0));
    assert!(harness.query_by_label_contains("Blanks 1 and 2 are").is_some());
    harness.get_by_label("Lay out").click();
    harness.run_steps(4);
    assert!(harness.query_by_label_contains("Blanks 1 and 2 are").is_none());
    assert!(harness.query_by_label_contains("2 blanks  ·  takes").is_some());
    harness.get_by_label("Close").click();
    harness.run_steps(3);
    assert_eq!(saved(&harness), before, "a plan changes no knife");
}
