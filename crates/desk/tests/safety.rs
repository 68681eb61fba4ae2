//! Files are safe with the desk: restored work replaces no other knife, and whichever call to the
//! world outside fails, a file is the old one or the new one whole, the work is there, and a
//! sentence names the file.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use desk::{
    Action, Command, Desk, FileProblem, Host as _, MemoryHost, Prompt, Purpose, Question, Settings,
    recovery,
};
use knife::{Edit, Knife, file, starter};
use reckon::Shop;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A desk on a host in memory, without its window.
struct Bench {
    desk: Desk,
    host: MemoryHost,
    ctx: egui::Context,
}

impl Bench {
    /// Started in a folder, on what the host holds, under a name of its own.
    fn start(mut host: MemoryHost, folder: &str, session: &str) -> Self {
        host.folder = folder.into();
        host.claimed.clear();
        let mut desk = Desk::new(Settings::default());
        desk.start_recovery(session, &mut host);
        Self { desk, host, ctx: egui::Context::default() }
    }

    fn wish(&mut self, wish: Action) {
        self.desk.actions.push(wish);
        self.desk.logic();
        self.desk.act(&self.ctx, &mut self.host);
    }

    fn open(&mut self, path: &str) {
        self.wish(Action::PathChosen(Purpose::Open, path.into()));
    }

    fn rename(&mut self, name: &str) {
        self.wish(Action::Edit(vec![Edit::Rename(name.into())]));
    }

    fn save(&mut self) {
        self.wish(Action::Command(Command::Save));
    }

    fn name(&self) -> &str {
        &self.desk.document.knife().name
    }

    /// The name of the knife in a file.
    fn named(&self, path: &str) -> String {
        file::open(&self.host.files[Path::new(path)]).unwrap().knife.name
    }

    fn asks_to_save_over(&self) -> bool {
        matches!(&self.desk.session.dialogs.prompt, Some(Prompt::Question(Question::SaveOver(..))))
    }

    fn told(&self) -> &str {
        self.desk.session.toasts.latest().unwrap_or_default()
    }
}

fn named(name: &str) -> Knife {
    Edit::Rename(name.into()).apply(&starter("drop-point").unwrap().knife()).unwrap()
}

/// A host on which `/A/w.blank.json` was opened by its bare name in its folder, edited and kept;
/// then the program was killed. In `/B` lies another knife of that name.
fn killed() -> MemoryHost {
    let mut host = MemoryHost::with_data();
    host.files.insert("/A/w.blank.json".into(), file::save(&named("Heron")));
    host.files.insert("/B/w.blank.json".into(), file::save(&named("Bittern")));
    let mut bench = Bench::start(host, "/A", "one-1");
    bench.open("w.blank.json");
    bench.rename("Heron, longer");
    assert!(bench.desk.document.is_dirty());
    bench.host
}

/// The desk started in `/B` after that, with the work taken up.
fn restored(host: MemoryHost) -> Bench {
    let mut bench = Bench::start(host, "/B", "two-2");
    assert_eq!(bench.desk.session.dialogs.found.len(), 1);
    bench.wish(Action::Recover(0));
    assert_eq!(bench.name(), "Heron, longer");
    bench
}

#[test]
fn restored_work_saves_over_the_file_it_was_read_from_and_no_other() {
    let mut bench = restored(killed());
    bench.save();
    assert_eq!(bench.desk.session.dialogs.prompt, None, "the very file, unchanged since");
    assert_eq!(bench.named("/A/w.blank.json"), "Heron, longer");
    assert_eq!(bench.named("/B/w.blank.json"), "Bittern", "another knife");
    assert_eq!(bench.desk.settings.recents, [PathBuf::from("/A/w.blank.json")]);
}

#[test]
fn restored_work_asks_before_it_replaces_what_has_changed_since() {
    // With another time, and with the same: what it holds counts.
    for later_ms in [0, 5000] {
        let mut host = killed();
        host.now_ms = later_ms;
        host.write(Path::new("/A/w.blank.json"), &file::save(&named("Crane"))).unwrap();
        let mut bench = restored(host);
        bench.save();
        assert!(bench.asks_to_save_over());
        assert_eq!(bench.named("/A/w.blank.json"), "Crane");
        // By leaving it asks as well, and leaves once that is answered.
        bench.desk.session.dialogs.prompt = None;
        bench.wish(Action::SaveAndQuit);
        assert!(bench.asks_to_save_over() && !bench.desk.session.quit);
        let Some(Prompt::Question(question)) = bench.desk.session.dialogs.prompt.take() else {
            panic!()
        };
        bench.wish(Action::Confirm(question));
        assert_eq!(bench.named("/A/w.blank.json"), "Heron, longer");
        assert!(bench.desk.session.quit);
    }
}

/// Recovery files of earlier versions: no stamp, and the path as it was typed.
#[test]
fn what_an_earlier_version_kept_is_read_and_asks_before_it_replaces_anything() {
    let old = |path: &str| {
        let mut host = killed();
        let kept = Path::new("/data/recovery/one-1.recovery.json");
        let text = String::from_utf8(host.files[kept].clone()).unwrap();
        let mut value: serde_json::Value = serde_json::from_str(&text).unwrap();
        let fields = value.as_object_mut().unwrap();
        fields.remove("on_disk");
        fields.remove("path_signs");
        fields.insert("path".into(), path.into());
        host.files.insert(kept.into(), value.to_string().into_bytes());
        host
    };
    let mut bench = restored(old("/A/w.blank.json"));
    bench.save();
    assert!(bench.asks_to_save_over(), "nobody knows whether it is that file");
    assert_eq!(bench.named("/A/w.blank.json"), "Heron");

    let mut bench = restored(old("w.blank.json"));
    bench.save();
    assert!(
        matches!(bench.desk.session.dialogs.prompt, Some(Prompt::Typed(..))),
        "a place is asked for"
    );
    assert_eq!(bench.named("/A/w.blank.json"), "Heron");
    assert_eq!(bench.named("/B/w.blank.json"), "Bittern");
    // That a file of that name here happens to hold the same is no reason to give the work up.
    let mut host = old("w.blank.json");
    host.files.insert("/B/w.blank.json".into(), file::save(&named("Heron, longer")));
    restored(host);
}

#[cfg(unix)]
#[test]
fn a_name_that_is_no_unicode_is_kept_to_the_last_byte() {
    use std::os::unix::ffi::OsStringExt as _;
    let name = std::ffi::OsString::from_vec(b"heron-\xff\xe9.blank.json".to_vec());
    let path = Path::new("/A").join(&name);
    let mut host = MemoryHost::with_data();
    host.files.insert(path.clone(), file::save(&named("Heron")));
    let mut bench = Bench::start(host, "/A", "one-1");
    bench.wish(Action::PathChosen(Purpose::Open, name.into()));
    bench.rename("Heron, longer");
    let mut bench = restored(bench.host);
    assert_eq!(bench.desk.document.path(), Some(&*path));
    bench.save();
    assert_eq!(bench.desk.session.dialogs.prompt, None);
    let bytes = &bench.host.files[&path];
    assert_eq!(file::open(bytes).unwrap().knife.name, "Heron, longer");
}

#[test]
fn a_file_that_cant_be_read_any_more_is_not_replaced() {
    let mut bench = restored(killed());
    bench.host.problems.insert("/A/w.blank.json".into(), FileProblem::Forbidden);
    bench.save();
    let message = bench.desk.session.toasts.latest().unwrap_or_default().to_owned();
    assert!(message.contains("/A/w.blank.json can't be read: no permission"), "{message}");
    assert_eq!(bench.named("/A/w.blank.json"), "Heron");
    assert!(bench.desk.document.is_dirty());
}

#[test]
fn the_ending_that_the_dialog_did_not_ask_about_is_asked_about_here() {
    let mut host = MemoryHost::with_data();
    host.files.insert("/A/w.blank.json".into(), file::save(&named("Heron")));
    let mut bench = Bench::start(host, "/A", "one-1");
    bench.desk.session.dialogs.native = true;
    bench.wish(Action::PathChosen(Purpose::Save, "/A/w".into()));
    let asks =
        matches!(&bench.desk.session.dialogs.prompt, Some(Prompt::Question(Question::Replace(..))));
    assert!(asks && bench.named("/A/w.blank.json") == "Heron");
    bench.desk.session.dialogs.prompt = None;
    bench.wish(Action::PathChosen(Purpose::Print, "/A/w.blank.json".into()));
    assert!(bench.told().contains("/A/w.blank.json is named like a blank"), "{}", bench.told());
    assert_eq!(bench.named("/A/w.blank.json"), "Heron");
}

/// What the reader would refuse is not written, and what is there stays.
#[test]
fn what_could_not_be_read_again_is_refused_with_the_readers_words() {
    let mut host = MemoryHost::with_data();
    let node = |id: u32| format!(r#"{{ "id": {id}, "at_mm": [{id}, 0] }}"#);
    let nodes = format!(r#""profile": {{ "nodes": [{}, {}] }}"#, node(1), node(2));
    let text = String::from_utf8(file::save(&named("Heron"))).unwrap();
    let (at, end) = (text.find("\"profile\"").unwrap(), text.find("\"holes\"").unwrap());
    let broken = format!("{}{nodes},\n  {}", &text[..at], &text[end..]).into_bytes();
    host.files.insert("/A/w.blank.json".into(), broken.clone());
    let mut bench = Bench::start(host, "/A", "one-1");
    bench.open("w.blank.json");
    assert!(bench.told().contains("profile is 1 mm long"), "{}", bench.told());
    bench.save();
    let told = "/A/w.blank.json can't be written, as it could not be read again: profile is 1 mm";
    assert!(bench.told().starts_with(told), "{}", bench.told());
    assert_eq!(bench.host.files[Path::new("/A/w.blank.json")], broken);
    assert!(bench.desk.document.is_dirty());

    let shop = Shop { name: "x".repeat(300), ..Shop::default() };
    bench.wish(Action::SetShop(Box::new(shop)));
    assert!(bench.told().contains("name is longer than 200 characters"), "{}", bench.told());
    assert!(!bench.host.exists(Path::new("/data/shop.json")));
    assert_eq!(bench.desk.derived.shop(), &Shop::default());

    bench.desk.settings.grid_mm = Some(-3.0);
    bench.wish(Action::Toast(String::new()));
    assert!(bench.told().contains("grid_mm can't be -3"), "{}", bench.told());
}

type Files = BTreeMap<PathBuf, Vec<u8>>;

/// Does something once for every call to the host that it makes, with that call failing: each file
/// must be as it was or as it is when nothing fails, and `holds` must hold after each. Where the
/// end differs from that of no failure, the last sentence must name a file of `about`. Then it is
/// done again without a failure, and must come to its end.
fn fails_anywhere(
    begin: impl Fn() -> Bench,
    doing: impl Fn(&mut Bench),
    about: &str,
    holds: impl Fn(&Bench),
) {
    let mut whole = begin();
    let before: Files = whole.host.files.clone();
    let calls = whole.host.calls.get();
    doing(&mut whole);
    holds(&whole);
    let count = whole.host.calls.get() - calls;
    assert!(count > 0);
    let own = |files: &Files| -> Files {
        let kept = |path: &&PathBuf| {
            path.starts_with(about) && path.extension().is_some_and(|ending| ending != "running")
        };
        files.iter().filter(|(path, _)| kept(path)).map(|(p, b)| (p.clone(), b.clone())).collect()
    };
    for nth in 1..=count {
        for problem in [FileProblem::DiskFull, FileProblem::Other("the cable was pulled".into())] {
            let mut bench = begin();
            bench.host.fails_at = Some((calls + nth, problem));
            doing(&mut bench);
            // What is kept tells when; that it is whole, and whose, is looked at by reading it.
            offered(&bench);
            let recovery = Path::new("/data/recovery");
            for (path, bytes) in bench.host.files.iter().filter(|(p, _)| !p.starts_with(recovery)) {
                let known = [before.get(path), whole.host.files.get(path)];
                assert!(known.contains(&Some(bytes)), "{nth}: {} is another", path.display());
            }
            let kept = before.iter().filter(|(path, _)| whole.host.files.contains_key(*path));
            for (path, _) in kept {
                assert!(bench.host.exists(path), "{nth}: {} is gone", path.display());
            }
            if own(&bench.host.files) != own(&whole.host.files) || bench.name() != whole.name() {
                let told = match &bench.desk.session.dialogs.prompt {
                    Some(Prompt::Question(question)) => format!("{question:?}"),
                    _ => bench.told().to_owned(),
                };
                assert!(told.contains(about) && !told.contains("os error"), "{nth}: {told}");
            }
            holds(&bench);
            bench.host.fails_at = None;
            bench.host.now_ms += 10_000;
            doing(&mut bench);
            assert_eq!(bench.name(), whole.name(), "{nth}: done again");
        }
    }
}

/// The knives that a start after a kill would offer.
fn offered(bench: &Bench) -> Vec<String> {
    let mut host = bench.host.clone();
    host.claimed.clear();
    let found = recovery::found(&mut host);
    assert_eq!(found.faults, Vec::<String>::new());
    found.works.into_iter().map(|work| work.knife.name).collect()
}

fn on_heron() -> Bench {
    let mut host = MemoryHost::with_data();
    host.files.insert("/A/w.blank.json".into(), file::save(&named("Heron")));
    host.files.insert("/A/x.blank.json".into(), file::save(&named("Crane")));
    let mut bench = Bench::start(host, "/A", "one-1");
    bench.open("w.blank.json");
    bench
}

#[test]
fn whichever_call_fails_while_opening_what_was_open_stays() {
    let open = |bench: &mut Bench| bench.open("/A/x.blank.json");
    fails_anywhere(on_heron, open, "/A/x.blank.json", |bench| {
        assert!(["Heron", "Crane"].contains(&bench.name()));
        assert!(!bench.desk.document.is_dirty());
    });
}

#[test]
fn whichever_call_fails_while_saving_the_work_stays() {
    let begin = || {
        let mut bench = on_heron();
        bench.rename("Heron, longer");
        bench.host.now_ms += 5000;
        bench
    };
    fails_anywhere(begin, Bench::save, "/A/w.blank.json", |bench| {
        assert_eq!(bench.name(), "Heron, longer");
        let saved = bench.named("/A/w.blank.json") == "Heron, longer";
        assert_eq!(bench.desk.document.is_dirty(), !saved);
        assert!(saved || offered(bench) == ["Heron, longer"]);
    });
}

/// What is printed takes the place of a file that was not printed by it only once it is confirmed.
#[test]
fn a_file_is_not_printed_over_unasked() {
    for purpose in [Purpose::Print, Purpose::Proof, Purpose::Mat] {
        let mut bench = on_heron();
        bench.host.files.insert("/A/w.pdf".into(), b"a bill".to_vec());
        let path = || PathBuf::from("/A/w.pdf");
        bench.wish(Action::PathChosen(purpose, path()));
        let question = Question::Replace(purpose, path());
        assert!(bench.desk.session.dialogs.prompt == Some(Prompt::Question(question.clone())));
        assert_eq!(bench.host.files[&path()], b"a bill");
        bench.desk.session.dialogs.prompt = None;
        bench.wish(Action::Confirm(question));
        assert!(bench.host.files[&path()].starts_with(b"%PDF"), "{}", bench.told());
        // Printed again after a change without another question.
        bench.host.files.insert(path(), b"%PDF".to_vec());
        bench.wish(Action::PathChosen(purpose, path()));
        assert!(bench.desk.session.dialogs.prompt.is_none());
        assert!(bench.host.files[&path()].len() > 1000);
        // The system's dialog has asked.
        bench.host.files.insert("/A/v.pdf".into(), b"a bill".to_vec());
        bench.desk.session.dialogs.native = true;
        bench.wish(Action::PathChosen(purpose, "/A/v.pdf".into()));
        assert!(bench.host.files[Path::new("/A/v.pdf")].starts_with(b"%PDF"));
    }
}

#[test]
fn whichever_call_fails_while_printing_the_work_stays_and_so_does_what_was_printed() {
    let begin = || {
        let mut bench = on_heron();
        // Printed there already, so that it isn't asked about.
        bench.wish(Action::PathChosen(Purpose::Print, "/A/w.pdf".into()));
        bench.host.files.insert("/A/w.pdf".into(), b"what was printed before".to_vec());
        bench
    };
    let print = |bench: &mut Bench| {
        bench.wish(Action::PathChosen(Purpose::Print, "/A/w.pdf".into()));
    };
    fails_anywhere(begin, print, "/A/w.pdf", |bench| {
        assert_eq!((bench.name(), bench.desk.document.is_dirty()), ("Heron", false));
    });
    let proof = |bench: &mut Bench| {
        bench.wish(Action::PathChosen(Purpose::Proof, "/A/w.pdf".into()));
    };
    fails_anywhere(begin, proof, "/A/w.pdf", |bench| assert_eq!(bench.name(), "Heron"));
}

#[test]
fn whichever_call_fails_while_keeping_the_work_stays() {
    let rename = |bench: &mut Bench| bench.rename("Heron, longer");
    fails_anywhere(on_heron, rename, "/data/recovery", |bench| {
        assert_eq!(bench.name(), "Heron, longer");
        assert!(bench.desk.document.is_dirty());
        assert_eq!(bench.named("/A/w.blank.json"), "Heron");
    });
}

#[test]
fn whichever_call_fails_while_recovering_the_work_is_not_lost() {
    // A desk that is started anew is the failing thing, so each failure begins from the disk.
    let host = killed();
    let started = |fails: Option<u64>| {
        let mut host = host.clone();
        host.calls.set(0);
        host.fails_at = fails.map(|nth| (nth, FileProblem::Other("the cable was pulled".into())));
        let mut bench = Bench::start(host, "/B", "two-2");
        bench.wish(Action::Recover(0));
        bench
    };
    let count = started(None).host.calls.get();
    assert!(count > 3, "{count}");
    for nth in 1..=count {
        let bench = started(Some(nth));
        assert_eq!(bench.named("/A/w.blank.json"), "Heron");
        assert_eq!(bench.named("/B/w.blank.json"), "Bittern");
        let mut after = bench.host.clone();
        after.fails_at = None;
        if bench.name() != "Heron, longer" {
            assert!(bench.told().contains("/data/recovery/"), "{nth}: {}", bench.told());
        }
        let again = Bench { host: after, desk: Desk::new(Settings::default()), ctx: bench.ctx };
        let offered = offered(&again);
        assert!(!offered.is_empty(), "{nth}: after another kill");
        assert!(offered.iter().all(|name| name == "Heron, longer"), "{nth}: {offered:?}");
    }
}

#[test]
fn whichever_call_fails_while_the_shop_is_kept_it_is_the_old_or_the_new() {
    let begin = || {
        let mut bench = on_heron();
        let shop = Shop { name: "Elm".into(), ..Shop::default() };
        bench.wish(Action::SetShop(Box::new(shop)));
        bench
    };
    let rename = |bench: &mut Bench| {
        let shop = Shop { name: "Hollow Oak".into(), ..Shop::default() };
        bench.wish(Action::SetShop(Box::new(shop)));
    };
    fails_anywhere(begin, rename, "/data", |bench| {
        let shop = reckon::shop::file::open(&bench.host.files[Path::new("/data/shop.json")]);
        let shop = shop.unwrap();
        assert!(shop.faults.is_empty() && ["Elm", "Hollow Oak"].contains(&&*shop.shop.name));
    });
}

#[test]
fn whichever_call_fails_while_the_settings_are_kept_they_are_the_old_or_the_new() {
    let turn = |bench: &mut Bench| {
        bench.desk.settings.scale = 1.5;
        bench.wish(Action::Toast("x".into()));
    };
    fails_anywhere(on_heron, turn, "/data", |bench| {
        let host = MemoryHost { fails_at: None, ..bench.host.clone() };
        let (settings, told) = Settings::read(&host);
        assert_eq!(told, None);
        assert!([1.0, 1.5].contains(&settings.scale));
    });
}
