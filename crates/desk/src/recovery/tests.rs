//! Work is kept in time, let go when saved, found again, and never taken when damaged.

use super::*;
use host::{FileProblem, MemoryHost};
use knife::Edit;
use proptest::prelude::*;

const KEPT: &str = "/data/recovery/a-1.recovery.json";

fn knife(notes: &str) -> Knife {
    let knife = knife::starter("drop-point").unwrap().knife();
    Edit::SetNotes(notes.to_owned()).apply(&knife).unwrap()
}

fn work(knife: &Knife, revision: u64, dirty: bool) -> Work<'_> {
    let path = Some(Path::new("/k/a.blank.json"));
    Work { knife, revision, drawing: &[], dirty, path, base: None, on_disk: None }
}

/// A host on which work was kept and then the program was killed.
fn killed(notes: &str) -> MemoryHost {
    let mut host = MemoryHost::with_data();
    host.now_ms = 10_000;
    let mut recovery = Recovery::new("a-1", &host);
    recovery.tick(&work(&knife(notes), 1, true), &mut host).unwrap();
    host.claimed.clear();
    host
}

#[test]
fn it_is_kept_at_once_then_every_second_and_let_go_when_saved() {
    let mut host = MemoryHost::with_data();
    let mut recovery = Recovery::new("a-1", &host);
    let (one, two) = (knife("one"), knife("two"));
    let kept = Path::new(KEPT);
    host.now_ms = 50_000;
    assert_eq!(recovery.tick(&work(&one, 0, false), &mut host), Ok(None));
    assert!(host.files.is_empty(), "nothing unsaved, nothing kept");
    assert_eq!(recovery.tick(&work(&one, 1, true), &mut host), Ok(None));
    assert_eq!(host.modified(kept), Some(50_000));
    assert_eq!(recovery.tick(&work(&one, 1, true), &mut host), Ok(None), "idle: no more to do");
    host.now_ms = 50_400;
    assert_eq!(recovery.tick(&work(&two, 2, true), &mut host), Ok(Some(600)));
    host.now_ms = 50_999;
    assert_eq!(recovery.tick(&work(&two, 2, true), &mut host), Ok(Some(1)));
    assert_eq!(host.modified(kept), Some(50_000), "at most once a second");
    host.now_ms = 51_000;
    assert_eq!(recovery.tick(&work(&two, 2, true), &mut host), Ok(None));
    assert_eq!(host.modified(kept), Some(51_000));
    // The clock is set back by an hour.
    host.now_ms = 0;
    assert_eq!(recovery.tick(&work(&one, 3, true), &mut host), Ok(None));
    assert_eq!(host.modified(kept), Some(0));
    recovery.tick(&work(&one, 3, false), &mut host).unwrap();
    assert!(!host.exists(kept));
    recovery.tick(&work(&two, 4, true), &mut host).unwrap();
    assert!(host.exists(kept), "the next change is kept at once");
    recovery.close(&mut host);
    assert!(host.files.is_empty(), "{:?}", host.files.keys());
}

#[test]
fn what_a_killed_run_left_is_found_and_taken_over() {
    let mut host = killed("before the kill");
    let found = found(&mut host);
    assert_eq!(found.faults, Vec::<String>::new());
    let left = &found.works[0];
    assert_eq!(left.knife, knife("before the kill"));
    assert_eq!(left.path.as_deref(), Some(Path::new("/k/a.blank.json")));
    assert_eq!((left.title(), left.kept_ms), ("Drop point, 4 in".to_owned(), 10_000));
    assert_eq!(left.age(10_500), "less than a minute ago");
    assert_eq!(left.age(10_000 + 61_000), "1 minute ago");
    assert_eq!(left.age(10_000 + 7_300_000), "2 hours ago");

    // Taken over: the old file goes only once the new one is written.
    let mut recovery = Recovery::new("b-2", &host);
    recovery.take_over(left);
    assert!(host.exists(Path::new(KEPT)));
    recovery.tick(&work(&left.knife, 0, true), &mut host).unwrap();
    let names: Vec<_> = host.list(Path::new("/data/recovery"));
    assert_eq!(
        names,
        ["b-2.recovery.json", "b-2.running"].map(|n| Path::new("/data/recovery").join(n))
    );
}

#[test]
fn a_running_programs_work_is_left_alone_and_saved_work_cleared() {
    let mut host = killed("x");
    host.claimed.insert("/data/recovery/a-1.running".into());
    assert_eq!(found(&mut host), Found::default());
    assert!(host.exists(Path::new(KEPT)));
    host.claimed.clear();
    // Killed between saving and letting go: the file holds just that.
    host.files.insert("/k/a.blank.json".into(), file::save(&knife("x")));
    assert_eq!(found(&mut host), Found::default());
    assert!(!host.exists(Path::new(KEPT)));
    let mut host = killed("x");
    found(&mut host).works[0].discard(&mut host);
    assert!(host.files.is_empty(), "{:?}", host.files.keys());
}

#[test]
fn a_kill_right_after_saving_leaves_nothing_old_to_offer() {
    let mut host = MemoryHost::with_data();
    let own = Path::new("/k/a.blank.json");
    let mut recovery = Recovery::new("a-1", &host);
    let (one, two) = (knife("one"), knife("two"));
    recovery.tick(&work(&one, 1, true), &mut host).unwrap();
    host.now_ms = 100;
    recovery.before_save(&work(&two, 2, true), &mut host);
    host.write(own, &file::save(&two)).unwrap();
    host.claimed.clear();
    assert_eq!(found(&mut host), Found::default());
    // Its file was written later by something else: told, so that nobody takes old for new.
    let mut host = killed("x");
    host.now_ms = 20_000;
    host.write(own, b"other").unwrap();
    assert!(found(&mut host).works[0].file_is_newer);
    assert!(!found(&mut killed("x")).works[0].file_is_newer);
}

/// Its file tells the picture from its own folder, and the desk from the root on.
#[test]
fn saved_work_with_a_picture_is_cleared_and_unsaved_work_finds_it_again() {
    let placement = knife::PicturePlacement::level(50.0);
    let with = |path: &str, notes: &str| Knife {
        picture: Some(knife::Picture { path: path.to_owned(), sum: 7, placement }),
        ..knife(notes)
    };
    let mut host = MemoryHost::with_data();
    let mut recovery = Recovery::new("a-1", &host);
    let open = with("/pictures/scan.png", "one");
    recovery.tick(&work(&open, 1, true), &mut host).unwrap();
    host.claimed.clear();
    let left = found(&mut host).works.remove(0);
    assert_eq!(left.knife, open);
    host.write(Path::new("/k/a.blank.json"), &file::save(&with("../pictures/scan.png", "one")))
        .unwrap();
    assert_eq!(found(&mut host), Found::default(), "just this was saved");
}

#[test]
fn damage_is_told_once_in_a_sentence() {
    let mut host = killed("whole");
    let bytes = host.files[Path::new(KEPT)].clone();
    let text = String::from_utf8(bytes).unwrap().replace("whole", "hole!");
    host.files.insert(KEPT.into(), text.into_bytes());
    let told = found(&mut host);
    assert!(told.works.is_empty());
    assert!(told.faults[0].contains("damaged and can't be used; it is kept as"), "{told:?}");
    assert_eq!(found(&mut host), Found::default());
    assert!(host.exists(Path::new(&format!("{KEPT}.damaged"))));
}

#[test]
fn a_full_disk_is_told_once_and_tried_again() {
    let mut host = MemoryHost::with_data();
    let mut recovery = Recovery::new("a-1", &host);
    let knife = knife("x");
    host.write_problem = Some(FileProblem::DiskFull);
    assert!(recovery.tick(&work(&knife, 1, true), &mut host).is_err());
    host.now_ms = 1000;
    assert_eq!(recovery.tick(&work(&knife, 1, true), &mut host), Ok(Some(EVERY_MS)));
    host.now_ms = 2000;
    host.write_problem = None;
    assert_eq!(recovery.tick(&work(&knife, 1, true), &mut host), Ok(None));
    assert!(host.exists(Path::new(KEPT)));
    // Without a folder of its own the program keeps nothing and says nothing.
    let mut bare = MemoryHost::default();
    let mut recovery = Recovery::new("a-1", &bare);
    assert_eq!(recovery.tick(&work(&knife, 1, true), &mut bare), Ok(None));
    assert_eq!(found(&mut bare), Found::default());
}

#[test]
fn parts_of_a_killed_write_are_swept_when_stale() {
    let mut host = MemoryHost::with_data();
    host.write(Path::new("/data/recovery/.blankwright-x.part"), b"{").unwrap();
    host.now_ms = 30_000;
    found(&mut host);
    assert_eq!(host.files.len(), 1, "it may be another program's, just being written");
    host.now_ms = 90_000;
    found(&mut host);
    assert!(host.files.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_cut_and_no_changed_byte_is_taken_for_work(at in 0.0..1.0f64, byte in any::<u8>()) {
        let whole = killed("whole");
        let bytes = whole.files[Path::new(KEPT)].clone();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index")]
        let at = (at * (bytes.len() - 1) as f64) as usize;
        let mut cut = whole.clone();
        cut.files.insert(KEPT.into(), bytes[..at].to_vec());
        prop_assert!(found(&mut cut).works.is_empty());
        let mut changed = whole.clone();
        let mut other = bytes.clone();
        other[at] = byte;
        changed.files.insert(KEPT.into(), other);
        let found = found(&mut changed);
        // Where the change is outside the blank's text it may still be whole.
        prop_assert!(found.works.iter().all(|work| work.knife == knife("whole")));
    }
}
