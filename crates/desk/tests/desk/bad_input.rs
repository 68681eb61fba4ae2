//! Files that can't be read or written: one plain sentence each, and the work still there.

use super::{Bench, fill, run, saved, with};
use desk::{Action, Command, Desk, FileProblem, MemoryHost, Purpose, Settings, Station};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use knife::{Edit, file};
use std::path::Path;

const BLANK: &str = "/bench/work/a.blank.json";

/// A desk with unsaved work on it, and somewhere to keep that.
fn working() -> Harness<'static, Bench> {
    let mut host = MemoryHost::with_data();
    let mut desk = Desk::new(Settings::default());
    desk.start_recovery("first", &mut host);
    let mut harness = with(Bench { desk, host });
    wish(&mut harness, Purpose::Save, BLANK);
    harness.state_mut().desk.document.edit(&[Edit::Rename("Heron".into())]).expect("a name");
    harness.run_steps(3);
    harness
}

fn wish(harness: &mut Harness<'_, Bench>, purpose: Purpose, path: &str) {
    harness.state_mut().desk.actions.push(Action::PathChosen(purpose, path.into()));
    harness.run_steps(4);
}

/// The sentence that was said last: one, plain, with a stop, and seen on the screen.
fn told(harness: &Harness<'_, Bench>) -> String {
    let told = harness.state().desk.session.toasts.latest().expect("a sentence").to_owned();
    assert!(told.ends_with('.') && !told.contains('\n'), "{told}");
    assert!(!told.contains("os error") && !told.contains("Err("), "{told}");
    assert!(harness.query_by_label(&told).is_some(), "{told} is not on the screen");
    told
}

/// The name of the blank that would be offered after a kill.
fn kept(harness: &Harness<'_, Bench>) -> Option<String> {
    let mut host = harness.state().host.clone();
    host.claimed.clear();
    let found = desk::recovery::found(&mut host);
    assert!(found.faults.is_empty(), "{:?}", found.faults);
    found.works.first().map(|work| work.knife.name.clone())
}

#[test]
fn what_cant_be_read_is_told_and_the_work_stays() {
    let whole = file::save(&knife::STARTERS[0].knife());
    let text = String::from_utf8(whole.clone()).unwrap();
    let damaged: [(&str, Vec<u8>); 6] = [
        ("empty", Vec::new()),
        ("cut off", whole[..whole.len() / 2].to_vec()),
        ("no text", (0..=255).cycle().take(4000).collect()),
        ("another thing", b"[1, 2, 3]\n".to_vec()),
        ("nested", [vec![b'['; 200_000], vec![b']'; 200_000]].concat()),
        ("later", text.replacen("\"version\": 1", "\"version\": 999", 1).into_bytes()),
    ];
    for (what, bytes) in damaged {
        let mut harness = working();
        let before = saved(&harness);
        assert_ne!(bytes, whole, "{what}");
        // What is open has no unsaved work that would be asked about.
        wish(&mut harness, Purpose::Save, BLANK);
        let path = "/bench/x.blank.json";
        harness.state_mut().host.files.insert(path.into(), bytes.clone());
        wish(&mut harness, Purpose::Open, path);
        let told = told(&harness);
        assert!(told.contains(path), "{what}: {told}");
        assert_eq!(saved(&harness), before, "{what}");
        assert_eq!(harness.state().desk.document.path(), Some(Path::new(BLANK)), "{what}");
        assert_eq!(harness.state().host.files.get(Path::new(path)), Some(&bytes), "{what}");
    }
}

#[test]
fn a_file_with_faults_opens_as_unsaved_work_and_says_so() {
    let mut harness = working();
    wish(&mut harness, Purpose::Save, BLANK);
    let text = String::from_utf8(file::save(&knife::STARTERS[0].knife())).unwrap();
    let width = text.find("\"width_mm\": ").unwrap();
    let end = width + text[width..].find(',').unwrap();
    let faulty = format!("{}\"width_mm\": -4{}", &text[..width], &text[end..]);
    harness.state_mut().host.files.insert("/bench/f.blank.json".into(), faulty.into_bytes());
    wish(&mut harness, Purpose::Open, "/bench/f.blank.json");
    let told = told(&harness);
    assert!(told.starts_with("Opened, but not all of it"), "{told}");
    assert!(harness.state().desk.document.is_dirty(), "what was mended is not in the file yet");
}

#[test]
fn what_the_disk_refuses_is_told_and_the_work_stays() {
    let max = 50_000_000;
    let reading = [
        (FileProblem::IsFolder, "is a folder"),
        (FileProblem::Forbidden, "no permission"),
        (FileProblem::TooLarge { max }, "larger than 50 MB"),
        (FileProblem::NotFound, "is not there"),
        (FileProblem::Other("the cable was pulled".into()), "the cable was pulled"),
    ];
    for (problem, words) in reading {
        let mut harness = working();
        wish(&mut harness, Purpose::Save, BLANK);
        let before = saved(&harness);
        harness.state_mut().host.problems.insert("/stick".into(), problem.clone());
        for (purpose, path) in [
            (Purpose::Open, "/stick/x.blank.json"),
            (Purpose::Open, "/stick/x.svg"),
            (Purpose::ImportOutline, "/stick/y.svg"),
        ] {
            wish(&mut harness, purpose, path);
            let told = told(&harness);
            assert!(told.contains(words) && told.contains(path), "{told}");
            assert_eq!(saved(&harness), before, "{problem:?}");
        }
    }
}

#[test]
fn what_cant_be_saved_is_told_stays_and_is_kept() {
    let writing = [
        (FileProblem::DiskFull, "the disk is full"),
        (FileProblem::Forbidden, "no permission"),
        (FileProblem::NotFound, "its folder is not there; make the folder first"),
        (FileProblem::IsFolder, "is a folder"),
        (FileProblem::Other("the cable was pulled".into()), "the cable was pulled"),
    ];
    for (problem, words) in writing {
        let mut harness = working();
        let before = saved(&harness);
        let file = harness.state().host.files[Path::new(BLANK)].clone();
        harness.state_mut().host.problems.insert("/bench/work".into(), problem.clone());
        run(&mut harness, Command::Save);
        let sentence = told(&harness);
        assert!(sentence.contains(words) && sentence.contains(BLANK), "{sentence}");
        assert_eq!(saved(&harness), before, "{problem:?}: the work is on the screen");
        assert!(harness.state().desk.document.is_dirty(), "{problem:?}");
        assert!(!harness.state_mut().desk.may_close(), "{problem:?}: leaving asks");
        assert_eq!(harness.state().host.files[Path::new(BLANK)], file, "{problem:?}");
        assert_eq!(kept(&harness).as_deref(), Some("Heron"), "{problem:?}");
        harness.state_mut().desk.session.dialogs.prompt = None;
        harness.run_steps(3);

        run(&mut harness, Command::Station(Station::Paper));
        wish(&mut harness, Purpose::Print, "/bench/work/a.pdf");
        let told = told(&harness);
        assert!(told.contains(words) && told.contains("/bench/work/a.pdf"), "{told}");
        assert!(!harness.state().host.files.contains_key(Path::new("/bench/work/a.pdf")));

        // Elsewhere it goes, and is saved.
        wish(&mut harness, Purpose::Save, "/bench/b.blank.json");
        assert_eq!(harness.state().host.files.get(Path::new("/bench/b.blank.json")), Some(&before));
        assert!(!harness.state().desk.document.is_dirty());
    }
}

#[test]
fn where_nothing_can_be_kept_that_is_said_once_and_work_goes_on() {
    let mut harness = working();
    harness.state_mut().host.write_problem = Some(FileProblem::DiskFull);
    harness.state_mut().desk.document.edit(&[Edit::Rename("Bittern".into())]).unwrap();
    for _ in 0..5 {
        harness.state_mut().host.now_ms += 1_100;
        harness.run_steps(2);
    }
    let sentence = told(&harness);
    assert!(sentence.contains("the disk is full"), "{sentence}");
    let shown = harness.query_all_by_label_contains("the disk is full").count();
    assert_eq!(shown, 1, "it is said once");
    run(&mut harness, Command::Station(Station::Profile));
    fill(&mut harness, "Name", "Crane");
    assert_eq!(harness.state().desk.document.knife().name, "Crane");
    // Room was made: the next second keeps the work.
    harness.state_mut().host.write_problem = None;
    harness.state_mut().host.now_ms += 1_100;
    harness.run_steps(2);
    assert_eq!(kept(&harness).as_deref(), Some("Crane"));
}
