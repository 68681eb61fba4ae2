//! Printing and trimming, killed.

use crate::Chance;
use std::fs;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const PROGRAM: &str = env!("CARGO_BIN_EXE_blankwright");
/// How many run at once.
const AT_ONCE: usize = 4;
/// Readings of a printer that is a hundredth short, and of the same measured anew.
const READINGS: [&str; 8] =
    ["--across", "178.2", "--up", "227.7", "--rising", "289.1", "--falling", "289.1"];
const ANEW: [&str; 9] =
    ["--anew", "--across", "178.3", "--up", "227.8", "--rising", "289.2", "--falling", "289.2"];

/// A command in a folder of its own.
struct Job {
    folder: tempfile::TempDir,
    words: Vec<&'static str>,
    /// The file that it writes.
    file: &'static str,
}

impl Job {
    fn new(prints: bool) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let path = |name: &str| folder.path().join(name);
        let starter = knife::starter("chefs-8in").expect("a starter");
        fs::write(path("a.blank.json"), knife::file::save(&starter.knife())).expect("written");
        let (words, file) = if prints {
            fs::write(path("o.pdf"), b"what was printed before").expect("written");
            (vec!["print", "a.blank.json", "--sheets", "profile", "--out", "o.pdf"], "o.pdf")
        } else {
            let words = ["trim", "club", "--shop", "s.json", "--paper", "letter"];
            let first = [&words[..], &READINGS].concat();
            let done = Command::new(PROGRAM).args(&first).current_dir(folder.path()).output();
            assert!(done.expect("the program runs").status.success());
            ([&words[..], &ANEW].concat(), "s.json")
        };
        Self { folder, words, file }
    }

    fn command(&self) -> Command {
        let mut command = Command::new(PROGRAM);
        command.args(&self.words).current_dir(self.folder.path());
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        command
    }

    fn held(&self) -> Vec<u8> {
        fs::read(self.folder.path().join(self.file)).expect("the file is there")
    }

    /// What is left behind besides the files that belong there.
    fn left(&self) -> Vec<PathBuf> {
        let entries = fs::read_dir(self.folder.path()).expect("a folder");
        let paths = entries.map(|entry| entry.expect("an entry").path());
        let own = |path: &PathBuf| {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            ["a.blank.json", self.file].contains(&name.as_str())
        };
        paths.filter(|path| !own(path)).collect()
    }
}

/// Kills so many, half of them printing and half trimming: at a moment of no pattern, or as soon as
/// the new file is begun beside the old one.
pub(crate) fn killed(count: usize, chance: &mut Chance) {
    let (mut in_writing, mut replaced) = (0, 0);
    for prints in [true, false] {
        let whole = Job::new(prints);
        let old = whole.held();
        let begun = Instant::now();
        assert!(whole.command().status().expect("the program runs").success());
        let long_us = u64::try_from(begun.elapsed().as_micros()).unwrap_or(u64::MAX);
        let new = whole.held();
        assert!(old != new && whole.left().is_empty(), "{:?}", whole.left());
        for first in (0..count / 2).step_by(AT_ONCE) {
            let kill = |i: usize, life: Duration| {
                let job = Job::new(prints);
                let began_to_write = end(&job, life, i % 2 == 1);
                (job, began_to_write)
            };
            let ended: Vec<(Job, bool)> = std::thread::scope(|scope| {
                let all: Vec<_> = (first..(first + AT_ONCE).min(count / 2))
                    .map(|i| (i, Duration::from_micros(chance.between(0, long_us))))
                    .map(|(i, life)| scope.spawn(move || kill(i, life)))
                    .collect();
                all.into_iter().map(|one| one.join().expect("killed")).collect()
            });
            for (job, began_to_write) in ended {
                in_writing += usize::from(began_to_write);
                let held = job.held();
                assert!(held == old || held == new, "{} is neither old nor new", job.file);
                replaced += usize::from(held == new);
                for path in job.left() {
                    let name = path.file_name().unwrap_or_default().to_string_lossy();
                    assert!(
                        name.starts_with(".blankwright-") && name.ends_with(".part"),
                        "{name} is left behind"
                    );
                }
                // Whatever was left is no hindrance.
                assert!(job.command().status().expect("the program runs").success());
                assert!(job.held() == new, "{} once more", job.file);
            }
        }
    }
    let message = format!(
        "{count} commands killed, {in_writing} of them while they wrote, {replaced} when they had\n"
    );
    let _ = std::io::stdout().write_all(message.as_bytes());
}

/// Starts a command and kills it after a while, or when it has begun to write: whether it had.
fn end(job: &Job, life: Duration, in_writing: bool) -> bool {
    let mut child = job.command().spawn().expect("the program runs");
    let begun = Instant::now();
    loop {
        let writes = !job.left().is_empty();
        let over = if in_writing { writes } else { begun.elapsed() >= life };
        if over || child.try_wait().expect("a child").is_some() {
            // One that has ended by itself can't be killed any more.
            let _ = child.kill();
            let _ = child.wait();
            return writes;
        }
        if !in_writing {
            std::thread::sleep(Duration::from_micros(200));
        }
    }
}
