//! Files are safe with the commands, on a real disk: what is written can be read again, nothing is
//! lost by several runs at once, nothing is replaced that may not be, and whatever fails says so.

#[path = "support/program.rs"]
mod program;

use program::{PROGRAM, command, failed, folder, names, run};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn done(words: &[&str], folder: &Path) -> Output {
    let done = run(words, folder);
    assert_eq!(done.status.code(), Some(0), "{words:?}: {}", err(&done));
    done
}

fn err(done: &Output) -> String {
    String::from_utf8_lossy(&done.stderr).into_owned()
}

/// The one sentence of a command that could not be done.
fn refused(words: &[&str], folder: &Path) -> String {
    let message = failed(&run(words, folder));
    assert!(!message.contains(".blankwright-"), "{message}");
    message
}

fn drawing(shapes: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"500mm\" height=\"300mm\" \
         viewBox=\"0 0 500 300\">{shapes}</svg>"
    )
}

/// Readings of a proof on letter by a printer that is a hundredth short: lines of 180 and 230 mm.
const READINGS: [&str; 8] =
    ["--across", "178.2", "--up", "227.7", "--rising", "289.1", "--falling", "289.1"];

fn trim<'a>(name: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [&["trim", name, "--shop", "shop.json", "--paper", "letter"], &READINGS[..], more].concat()
}

#[test]
fn what_new_writes_can_be_read_again() {
    let folder = folder();
    let at = |name: &str, shapes: &str| {
        fs::write(folder.path().join(name), drawing(shapes)).expect("written");
    };
    let wide = "<path d='M5 5H495V250H5Z'/><circle cx='200' cy='130' r='60'/>\
                <circle cx='60' cy='60' r='3'/>";
    at("wide.svg", wide);
    at("far.svg", "<path transform='translate(2e8 -3e8)' d='M5 40 L60 20 H200 V40Z'/>");
    at("one.svg", "<path d='M5 150 C205 50 205 250 5 150Z'/>");
    let long = format!("{}.svg", "n".repeat(220));
    at(&long, "<path d='M5 40 L60 20 H200 V40Z'/>");
    at(" .svg", "<path d='M5 40 L60 20 H200 V40Z'/>");
    done(&["new", "--outline", " .svg", "--out", "s.blank.json"], folder.path());
    let saved = fs::read(folder.path().join("s.blank.json")).expect("written");
    assert_eq!(knife::file::open(&saved).expect("a blank").knife.name, "", "no name of spaces");
    for (name, says) in [
        ("wide.svg", "a circle of 120 mm at (200, -130) mm was left out"),
        ("far.svg", "far from the drawing's origin and was moved"),
        ("one.svg", ""),
        (long.as_str(), "the blank's name was cut to 200 characters"),
    ] {
        let new = done(&["new", "--outline", name, "--out", "a.blank.json"], folder.path());
        assert!(err(&new).contains(says), "{name}: {}", err(&new));
        done(&["numbers", "a.blank.json"], folder.path());
    }
    at("too-far.svg", "<path transform='translate(2e10 0)' d='M5 40 L60 20 H200 V40Z'/>");
    let message =
        refused(&["new", "--outline", "too-far.svg", "--out", "b.blank.json"], folder.path());
    assert!(message.contains("move it onto the page"), "{message}");
}

#[test]
fn trim_writes_no_shop_that_it_could_not_read() {
    let folder = folder();
    done(&trim("club", &[]), folder.path());
    let before = fs::read(folder.path().join("shop.json")).expect("a shop");
    for name in ["", "  ", &"n".repeat(201), "two\nlines", "a\ttab"] {
        let message = refused(&trim(name, &[]), folder.path());
        assert!(message.contains("name"), "{message}");
        let bare = ["trim", "", "--shop", "shop.json"];
        assert!(refused(&bare, folder.path()).contains("name"));
    }
    let many = vec!["178.2"; 501].join(",");
    let message = refused(&trim("other", &["--across", &many]), folder.path());
    assert!(message.contains("other would have 505 readings, and at most 500"), "{message}");
    assert_eq!(fs::read(folder.path().join("shop.json")).expect("a shop"), before);
    done(&trim(&"n".repeat(200), &[]), folder.path());
    done(&["trim", "club", "--shop", "shop.json"], folder.path());
}

/// Starts all at once and waits for each.
fn at_once(commands: Vec<Command>) {
    let started: Vec<_> = commands
        .into_iter()
        .map(|mut c| c.stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("started"))
        .collect();
    for child in started {
        let done = child.wait_with_output().expect("ended");
        assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    }
}

#[test]
fn nothing_is_lost_by_several_runs_at_once() {
    for _ in 0..3 {
        let folder = folder();
        let printers = ["ash", "beech", "cherry", "dogwood", "elm", "fir"];
        at_once(printers.iter().map(|name| command(&trim(name, &[]), folder.path())).collect());
        let text = fs::read_to_string(folder.path().join("shop.json")).expect("a shop");
        for name in printers {
            assert!(text.contains(&format!("\"{name}\"")), "{name} is lost");
        }
        assert_eq!(names(folder.path()), ["shop.json"], "nothing else is left");

        let starters: Vec<&str> = knife::STARTERS.iter().map(|s| s.key).take(5).collect();
        let new = |key: &&str| command(&["new", key, "--out", "a.blank.json"], folder.path());
        at_once(starters.iter().map(new).collect());
        fs::remove_file(folder.path().join("shop.json")).expect("removed");
        let mut kept: Vec<Vec<u8>> = names(folder.path())
            .iter()
            .map(|name| fs::read(folder.path().join(name)).expect("read"))
            .collect();
        let mut wanted: Vec<Vec<u8>> =
            knife::STARTERS.iter().take(5).map(|s| knife::file::save(&s.knife())).collect();
        kept.sort();
        wanted.sort();
        assert!(kept == wanted, "each is there: {:?}", names(folder.path()));
    }
}

#[test]
fn a_day_that_no_calendar_has_is_refused() {
    let folder = folder();
    done(&["new", "drop-point", "--out", "a.blank.json"], folder.path());
    for command in [
        vec!["print", "a.blank.json", "--out", "a.pdf"],
        vec!["proof", "--paper", "a4", "--out", "a.pdf"],
        vec!["bar", "a.blank.json", "--out", "a.pdf", "--steps", "1"],
    ] {
        let dated = [command, vec!["--date", "2026-13-45"]].concat();
        let message = refused(&dated, folder.path());
        assert!(message.contains("--date: 2026-13-45 isn't a date"), "{message}");
    }
    done(
        &["print", "a.blank.json", "--out", "a.pdf", "--sheets", "profile", "--date", "9 March"],
        folder.path(),
    );
}

#[cfg(target_os = "linux")]
#[test]
fn output_that_goes_nowhere_is_told() {
    let folder = folder();
    done(&["new", "drop-point", "--out", "a.blank.json"], folder.path());
    for words in [vec!["numbers", "a.blank.json"], vec!["numbers", "a.blank.json", "--json"]] {
        let full = fs::File::options().write(true).open("/dev/full").expect("the full device");
        let done = command(&words, folder.path()).stdout(full).output().expect("runs");
        assert_eq!(done.status.code(), Some(2));
        let message = err(&done);
        assert!(
            message.contains("standard output can't be written: the disk is full"),
            "{message}"
        );
        assert_eq!(message.lines().count(), 1, "{message}");
    }
}

#[cfg(unix)]
#[test]
fn what_may_not_be_replaced_is_not() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let folder = folder();
    let at = |name: &str| folder.path().join(name);
    done(&["new", "drop-point", "--out", "a.blank.json"], folder.path());
    done(&trim("club", &[]), folder.path());
    for name in ["kept.blank.json", "kept.pdf", "kept.svg", "kept.json"] {
        fs::write(at(name), "kept").expect("written");
        fs::set_permissions(at(name), fs::Permissions::from_mode(0o444)).expect("protected");
        let link = format!("dangling{}", &name[4..]);
        symlink("nowhere", at(&link)).expect("a link");
        let fifo = Command::new("mkfifo").arg(at(&format!("pipe{}", &name[4..]))).status();
        assert!(fifo.expect("mkfifo").success());
    }
    let before = names(folder.path());
    let mut all = Vec::new();
    for (kind, says) in [
        ("kept", "can't be written: no permission"),
        ("dangling", "is a link to a file that is not there"),
        ("pipe", "is a pipe or a device, no plain file"),
    ] {
        let name = |ending: &str| format!("{kind}{ending}");
        all.push((vec!["new", "chefs-8in", "--out"], name(".blank.json"), says));
        all.push((vec!["print", "a.blank.json", "--out"], name(".pdf"), says));
        all.push((vec!["draw", "a.blank.json", "--out"], name(".svg"), says));
        all.push((vec!["proof", "--paper", "a4", "--out"], name(".pdf"), says));
        let mut trim: Vec<&str> = vec!["trim", "elm", "--paper", "letter"];
        trim.extend(READINGS);
        trim.push("--shop");
        all.push((trim, name(".json"), says));
    }
    // A pipe that lies in a folder is not read either: nobody may ever write into it.
    for words in [
        &["check"][..],
        &["numbers"],
        &["bar", "--out", "b.pdf"],
        &["new", "--out", "b.blank.json", "--outline"],
        &["numbers", "a.blank.json", "--shop"],
    ] {
        all.push((words.to_vec(), "pipe.svg".to_owned(), "is a pipe or a device, no plain file"));
    }
    for (words, name, says) in all {
        // A run that waits for the pipe's other end is ended.
        let words = [&["-k", "1", "20", PROGRAM], &words[..], &[&name]].concat();
        let done = Command::new("timeout").args(&words).current_dir(folder.path()).output();
        let done = done.expect("timeout runs");
        let message = err(&done);
        assert_eq!(done.status.code(), Some(2), "{words:?}: {message}");
        assert!(message.contains(&name) && message.contains(says), "{words:?}: {message}");
        assert_eq!(message.lines().count(), 1, "{message}");
    }
    assert_eq!(names(folder.path()), before);
    assert!(fs::symlink_metadata(at("dangling.pdf")).expect("there").is_symlink());
    assert_eq!(fs::read(at("kept.pdf")).expect("there"), b"kept");
}

/// A disk that takes no file of more than a kilobyte (POSIX `ulimit -f`, in units of 512 bytes).
#[cfg(unix)]
#[test]
fn no_number_of_the_system_and_no_temporary_name_reaches_a_person() {
    let folder = folder();
    done(&["new", "drop-point", "--out", "a.blank.json"], folder.path());
    let script = "ulimit -f 2; trap '' XFSZ; exec \"$0\" print a.blank.json --out o.pdf";
    let done = Command::new("sh")
        .args(["-c", script, PROGRAM])
        .current_dir(folder.path())
        .output()
        .expect("a shell");
    let message = err(&done);
    assert!(
        message.contains(
            "o.pdf can't be written: the disk, or a limit set for this program, takes no file"
        ),
        "{message}"
    );
    assert!(!message.contains("os error") && !message.contains(".blankwright-"), "{message}");
    let long = format!("{}.pdf", "n".repeat(300));
    let message = refused(&["print", "a.blank.json", "--out", &long], folder.path());
    assert!(message.contains("its name is too long"), "{message}");
}

/// The sheets of a set are larger and smaller: on a disk that takes the small ones only, it is
/// told which were written.
#[cfg(unix)]
#[test]
fn a_set_that_breaks_off_tells_what_was_written() {
    let folder = folder();
    done(&["new", "drop-point", "--out", "a.blank.json"], folder.path());
    let sheets = ["profile", "plan", "drilling", "bevels", "bar"];
    let set = sheets.join(",");
    let words = ["print", "a.blank.json", "--out", "s.pdf", "--split", "--sheets", &set];
    done(&words, folder.path());
    let mut sizes = Vec::new();
    for key in sheets {
        let path = folder.path().join(format!("s-{key}.pdf"));
        sizes.push(fs::metadata(&path).expect("a file").len());
        fs::remove_file(path).expect("removed");
    }
    // The first that is larger than all before it.
    let largest = |count: usize| *sizes[..count].iter().max().expect("some");
    let breaks = (1..sizes.len()).find(|at| sizes[*at] > largest(*at) + 1024).expect("a larger");
    let limit = largest(breaks).div_ceil(512);
    let script = format!("ulimit -f {limit}; trap '' XFSZ; exec \"$0\" {}", words.join(" "));
    let done = Command::new("sh")
        .args(["-c", &script, PROGRAM])
        .current_dir(folder.path())
        .output()
        .expect("a shell");
    let message = err(&done);
    assert_eq!(done.status.code(), Some(2), "{message}");
    let written: Vec<String> = sheets[..breaks].iter().map(|key| format!("s-{key}.pdf")).collect();
    assert!(message.contains(&format!("s-{}.pdf can't be written", sheets[breaks])), "{message}");
    for name in &written {
        assert!(message.contains(name), "{message}");
    }
    assert!(message.contains("written before it, the others are as they were"), "{message}");
    let mut there = names(folder.path());
    there.retain(|name| name.ends_with(".pdf"));
    let mut wanted = written;
    wanted.sort();
    assert_eq!(there, wanted);
}

/// In 600 MB of address space (`ulimit -v`, in kilobytes), which is more than the largest file
/// that is read needs and less than a tree of its values.
#[cfg(target_os = "linux")]
#[test]
fn a_file_of_millions_of_values_is_refused_in_little_memory() {
    let folder = folder();
    let head = "{ \"format\": \"blankwright\", \"version\": 1, ";
    let shop = "{ \"format\": \"blankwright-shop\", \"version\": 1, ";
    let ones = "1,".repeat(23_900_000);
    let mut fields = String::new();
    for i in 0..3_500_000 {
        let _ = write!(fields, "\"f{i}\":1,");
    }
    let at = |name: &str, text: String| fs::write(folder.path().join(name), text).expect("written");
    at("ones.blank.json", format!("{head}\"holes\": [{ones}1] }}"));
    at("fields.blank.json", format!("{head}{fields}\"unit\": \"mm\" }}"));
    at("ones.json", format!("{shop}\"bars\": [{ones}1] }}"));
    done(&["new", "drop-point", "--out", "a.blank.json"], folder.path());
    for words in [
        "numbers ones.blank.json",
        "numbers fields.blank.json",
        "numbers a.blank.json --shop ones.json",
    ] {
        let script = format!("ulimit -v 600000; exec \"$0\" {words}");
        let done = Command::new("sh")
            .args(["-c", &script, PROGRAM])
            .current_dir(folder.path())
            .output()
            .expect("a shell");
        let message = err(&done);
        assert_eq!(done.status.code(), Some(2), "{words}: {message}");
        assert!(message.contains("values"), "{words}: {message}");
        assert_eq!(message.lines().count(), 1, "{message}");
    }
}

#[test]
fn twenty_faults_are_told_and_the_others_counted() {
    let folder = folder();
    let text = String::from_utf8(knife::file::save(&knife::STARTERS[0].knife())).expect("text");
    let many: String = (0..70).map(|i| format!("\"f{i}\": 1, ")).collect();
    fs::write(folder.path().join("f.blank.json"), text.replacen('{', &format!("{{ {many}"), 1))
        .expect("written");
    let done = run(&["check", "f.blank.json"], folder.path());
    let message = err(&done);
    assert_eq!(done.status.code(), Some(2), "{message}");
    assert_eq!(message.lines().count(), 1 + 20 + 1, "{message}");
    assert!(message.contains("f.blank.json has 70 faults to fix first"), "{message}");
    assert!(message.ends_with("  and 50 more\n"), "{message}");
}

#[cfg(unix)]
#[test]
fn unsaved_work_is_for_this_person_alone() {
    use blankwright::Disk;
    use host::Host as _;
    use std::os::unix::fs::PermissionsExt as _;
    let folder = folder();
    let mode = |path: &Path| fs::metadata(path).expect("there").permissions().mode() & 0o777;
    let kept = folder.path().join("data/recovery");
    fs::create_dir_all(&kept).expect("as an earlier version left it");
    fs::set_permissions(&kept, fs::Permissions::from_mode(0o755)).expect("open to all");
    let file = kept.join("a.recovery.json");
    fs::write(&file, "old").expect("written");
    Disk.create_private_folder(&kept).expect("there");
    Disk.write_without_sync(&file, b"new").expect("written");
    assert_eq!((mode(&kept), mode(&file)), (0o700, 0o600));
    let deep = folder.path().join("share/blankwright/recovery");
    Disk.create_private_folder(&deep).expect("made");
    assert_eq!((mode(&deep), mode(deep.parent().expect("above"))), (0o700, 0o700));
    // A copy beside a file is for those who may use that one.
    let copy = kept.join("a.recovery.json~");
    Disk.write_like(&file, &copy, b"new").expect("written");
    assert_eq!(mode(&copy), 0o600);
    // The folder of a blank's versions is the maker's, and stays as it was made.
    let versions = folder.path().join("gull.versions");
    fs::create_dir(&versions).expect("the maker's");
    fs::set_permissions(&versions, fs::Permissions::from_mode(0o750)).expect("shared with a group");
    Disk.create_folder(&versions).expect("there");
    assert_eq!(mode(&versions), 0o750);
}

#[test]
fn a_path_is_whole_wherever_the_program_stands_later() {
    use blankwright::Disk;
    use host::Host as _;
    let here = std::env::current_dir().expect("a folder");
    assert_eq!(Disk.absolute(Path::new("w.blank.json")), here.join("w.blank.json"));
    assert_eq!(Disk.absolute(Path::new("/k/w.blank.json")), Path::new("/k/w.blank.json"));
}
