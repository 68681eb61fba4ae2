//! Files on a real disk that can't be read or written, at the command line and at the desk: one
//! plain sentence each, nothing half written, and the work still there.

#[path = "support/program.rs"]
mod program;
mod support;

use desk::{Action, Desk, Host as _, Purpose, Settings, recovery};
use eframe::egui;
use knife::{Edit, file};
use program::{PROGRAM, failed, folder, names, run};
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::thread;
use support::Bench;

/// Larger than anything the program reads, bytes.
const HUGE: u64 = 100_000_000;

/// Files that are no blank, by what is wrong with them.
fn unusable(folder: &Path) -> Vec<(PathBuf, &'static str)> {
    let whole = file::save(&knife::STARTERS[0].knife());
    let damaged: [(&str, Vec<u8>); 4] = [
        ("empty", Vec::new()),
        ("cut", whole[..whole.len() / 3].to_vec()),
        ("bytes", (0..=255).cycle().take(9000).collect()),
        ("deep", [vec![b'['; 300_000], vec![b']'; 300_000]].concat()),
    ];
    let mut files = Vec::new();
    for (name, bytes) in damaged {
        let path = folder.join(format!("{name}.blank.json"));
        fs::write(&path, bytes).expect("written");
        files.push((path, "can't be used"));
    }
    let huge = folder.join("huge.blank.json");
    fs::File::create(&huge).and_then(|file| file.set_len(HUGE)).expect("a sparse file");
    files.push((huge, "is larger than 50 MB"));
    let inside = folder.join("folder.blank.json");
    fs::create_dir(&inside).expect("a folder");
    files.push((inside, "is a folder"));
    files.push((folder.join("missing.blank.json"), "is not there"));
    files
}

#[test]
fn every_command_tells_what_is_wrong_with_its_file_in_one_sentence() {
    let folder = folder();
    let files = unusable(folder.path());
    let before = names(folder.path());
    for (path, words) in &files {
        let path = path.to_str().expect("a plain path");
        let svg = path.replace(".blank.json", ".svg");
        if Path::new(path).is_file() {
            fs::rename(path, &svg).and_then(|()| fs::copy(&svg, path)).expect("moved");
        }
        for command in [
            vec!["check", path],
            vec!["check", path, "--json"],
            vec!["numbers", path],
            vec!["print", path, "--out", "o.pdf"],
            vec!["draw", path, "--out", "o.svg"],
            vec!["draw", path, "--out", "o.png"],
            vec!["new", "--outline", path, "--out", "o.blank.json"],
        ] {
            let message = failed(&run(&command, folder.path()));
            assert!(message.contains(words) && message.contains(path), "{command:?}: {message}");
        }
        let _ = fs::remove_file(&svg);
    }
    assert_eq!(names(folder.path()), before, "nothing was written");
}

#[test]
fn output_that_cant_be_written_is_told_and_nothing_is_left() {
    let folder = folder();
    let blank = folder.path().join("a.blank.json");
    fs::write(&blank, file::save(&knife::STARTERS[0].knife())).expect("written");
    fs::create_dir(folder.path().join("taken.pdf")).expect("a folder");
    let before = names(folder.path());
    for (command, words) in [
        (["print", "a.blank.json", "--out", "gone/o.pdf"], "make the folder first"),
        (["print", "a.blank.json", "--out", "a.blank.json/o.pdf"], "make the folder first"),
        (["print", "a.blank.json", "--out", "taken.pdf"], "is a folder"),
        (["draw", "a.blank.json", "--out", "gone/o.svg"], "make the folder first"),
        (["draw", "a.blank.json", "--out", "gone/o.png"], "make the folder first"),
        (["new", "drop-point", "--out", "gone/o.blank.json"], "make the folder first"),
    ] {
        let message = failed(&run(&command, folder.path()));
        assert!(message.contains(words) && message.contains(command[3]), "{message}");
    }
    assert_eq!(names(folder.path()), before);
}

/// A write that breaks off in its middle, as on a full disk: the system lets this program write
/// no file of more than a kilobyte (POSIX `ulimit -f`, in units of 512 bytes).
#[cfg(unix)]
#[test]
fn a_write_that_breaks_off_leaves_what_was_there() {
    let folder = folder();
    let blank = folder.path().join("a.blank.json");
    fs::write(&blank, file::save(&knife::STARTERS[0].knife())).expect("written");
    fs::write(folder.path().join("o.pdf"), b"an earlier print").expect("written");
    let before = names(folder.path());
    let commands = [
        "new chefs-8in --out a.blank.json",
        "new chefs-8in --out b.blank.json",
        "print a.blank.json --out o.pdf",
        "draw a.blank.json --out o.svg",
        "draw a.blank.json --out o.png",
    ];
    for command in commands {
        let script = format!("ulimit -f 2; trap '' XFSZ; exec \"$0\" {command}");
        let done = Command::new("sh")
            .args(["-c", &script, PROGRAM])
            .current_dir(folder.path())
            .output()
            .expect("a shell");
        let message = failed(&done);
        assert!(message.contains("can't be written"), "{command}: {message}");
    }
    assert_eq!(names(folder.path()), before, "no half-written file is left");
    assert_eq!(fs::read(folder.path().join("o.pdf")).expect("there"), b"an earlier print");
    assert_eq!(fs::read(&blank).expect("there"), file::save(&knife::STARTERS[0].knife()));
}

/// Files of another person: what may not be read, and a folder that may not be written.
#[cfg(unix)]
#[test]
fn what_is_not_allowed_is_told_and_nothing_is_left() {
    use std::os::unix::fs::PermissionsExt as _;
    use std::os::unix::process::CommandExt as _;
    let folder = folder();
    let mode = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("permissions");
    };
    let text = file::save(&knife::STARTERS[0].knife());
    for (name, bits) in [("closed.blank.json", 0o000), ("a.blank.json", 0o444)] {
        fs::write(folder.path().join(name), &text).expect("written");
        mode(&folder.path().join(name), bits);
    }
    let copy = folder.path().join("program");
    fs::copy(PROGRAM, &copy).expect("copied");
    mode(&copy, 0o555);
    mode(folder.path(), 0o555);
    let before = names(folder.path());
    // The system's first person may do anything, so the program runs as one who may not.
    let is_root = fs::File::open(folder.path().join("closed.blank.json")).is_ok();
    let run = |words: &[&str]| {
        let mut command = Command::new(&copy);
        command.args(words).current_dir(folder.path());
        if is_root {
            command.uid(65_534).gid(65_534);
        }
        // A command that another test starts just then holds what was copied for a moment.
        loop {
            match command.output() {
                Err(why) if why.kind() == ErrorKind::ExecutableFileBusy => thread::yield_now(),
                done => return done.expect("the program runs"),
            }
        }
    };
    for (command, words) in [
        (vec!["check", "closed.blank.json"], "closed.blank.json can't be read: no permission"),
        (vec!["print", "closed.blank.json", "--out", "o.pdf"], "can't be read: no permission"),
        (vec!["print", "a.blank.json", "--out", "o.pdf"], "o.pdf can't be written: no permission"),
        (vec!["draw", "a.blank.json", "--out", "o.svg"], "o.svg can't be written: no permission"),
        (vec!["new", "drop-point", "--out", "o.blank.json"], "can't be written: no permission"),
    ] {
        let message = failed(&run(&command));
        assert!(message.contains(words), "{message}");
    }
    let read = run(&["check", "a.blank.json"]);
    assert_eq!(read.status.code(), Some(0), "a file that may only be read can be used");
    mode(folder.path(), 0o755);
    assert_eq!(names(folder.path()), before);
}

/// A desk on the real disk: what was wished, and what it said.
struct OnDisk {
    desk: Desk,
    host: Bench,
    ctx: egui::Context,
}

impl OnDisk {
    fn at(folder: &Path) -> Self {
        let mut host = Bench::at(folder);
        let mut desk = Desk::new(Settings::default());
        desk.start_recovery("desk-1", &mut host);
        Self { desk, host, ctx: egui::Context::default() }
    }

    fn options(&mut self, purpose: Purpose, path: &Path) -> String {
        self.desk.actions.push(Action::PathChosen(purpose, path.to_owned()));
        self.desk.logic();
        self.desk.act(&self.ctx, &mut self.host);
        self.desk.session.toasts.latest().unwrap_or_default().to_owned()
    }
}

#[test]
fn the_desk_tells_what_cant_be_opened_and_keeps_what_is_open() {
    let folder = folder();
    let files = unusable(folder.path());
    let mut desk = OnDisk::at(folder.path());
    let own = desk.host.blank();
    assert!(desk.options(Purpose::Save, &own).starts_with("Saved to"));
    let before = file::save(desk.desk.document.knife());
    for (path, words) in files {
        for purpose in [Purpose::Open, Purpose::ImportOutline] {
            let message = desk.options(purpose, &path);
            assert!(
                message.contains(words) && message.contains(&*path.to_string_lossy()),
                "{message}"
            );
            assert_eq!(file::save(desk.desk.document.knife()), before);
            assert_eq!(desk.desk.document.path(), Some(&*own));
        }
    }
}

#[test]
fn a_folder_that_vanished_is_told_and_the_work_is_kept() {
    let folder = folder();
    let inside = folder.path().join("stick");
    fs::create_dir(&inside).expect("a folder");
    let path = inside.join("a.blank.json");
    let mut desk = OnDisk::at(folder.path());
    assert!(desk.options(Purpose::Save, &path).starts_with("Saved to"));
    desk.desk.document.edit(&[Edit::Rename("Heron".into())]).expect("a name");
    fs::remove_dir_all(&inside).expect("gone");
    let message = desk.options(Purpose::Save, &path);
    assert!(message.contains("its folder is not there; make the folder first"), "{message}");
    assert!(desk.desk.document.is_dirty() && desk.desk.document.knife().name == "Heron");
    let message = desk.options(Purpose::Print, &inside.join("a.pdf"));
    assert!(message.contains("its folder is not there"), "{message}");

    let kept = folder.path().join("data/recovery");
    let files = desk.host.list(&kept);
    assert!(!files.is_empty(), "{:?}", names(folder.path()));
    // After a kill it is offered again: another run reads it once this one's claim is gone.
    let mut copy = Bench::at(&folder.path().join("copy"));
    let other = folder.path().join("copy/data/recovery");
    copy.create_folder(&other).expect("a folder");
    for file in files.iter().filter(|file| file.extension().is_some_and(|e| e != "running")) {
        fs::copy(file, other.join(file.file_name().expect("a name"))).expect("copied");
    }
    let found = recovery::found(&mut copy);
    assert_eq!(found.faults, Vec::<String>::new());
    assert_eq!(found.works.first().map(|work| work.knife.name.as_str()), Some("Heron"));
    assert_eq!(found.works.first().and_then(|work| work.path.clone()), Some(path));
}
