//! Kills programs in the middle of editing, printing and trimming, at moments of no pattern and
//! right while a file is written, and looks at what is left: the work is never older than two
//! seconds, and every file is the old or the new one whole.
//!
//! The program that is killed in editing is this one, started again with the word `edit`. It does
//! what the desk does each frame: an edit, then a tick of the recovery; now and then it saves. What
//! is killed in printing and trimming is the program itself.
//!
//! `BLANKWRIGHT_KILLS=1000` is how many are killed in all; without it a hundred and a half.

#[path = "kill/commands.rs"]
mod commands;
mod support;

use blankwright::Disk;
use desk::{Host as _, recovery};
use knife::{Edit, History, file};
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use support::Bench;

/// How many editing programs are killed in a quick run, and how many run at once.
const KILLS: (usize, usize) = (100, 20);
/// They live between so long and so long, milliseconds.
const LIFE_MS: (u64, u64) = (30, 2600);
/// Work may be lost that was done within this time before the kill, milliseconds.
const LOST_MS: u64 = 2000;
/// A frame of the edited program, milliseconds.
const FRAME_MS: u64 = 4;
/// It saves the blank to its file every so many edits: one program often, the next rarely.
const SAVE_EVERY: [u64; 2] = [61, 997];

fn main() {
    let mut typed = std::env::args_os().skip(1);
    match (typed.next(), typed.next(), typed.next()) {
        (Some(word), Some(folder), Some(every)) if word == "edit" => {
            let every = every.to_str().and_then(|every| every.parse().ok());
            edit(&PathBuf::from(folder), every.expect("how often to save"));
        }
        // Asked for a list of tests, as some runners do: there is one, and it has no name.
        (Some(word), ..) if word == "--list" => {}
        _ => kill_and_look(),
    }
}

/// Edits for ever. Each edit writes its number into the notes and tells number and time.
fn edit(folder: &Path, save_every: u64) {
    let mut host = Bench::at(folder);
    let path = host.blank();
    let starter = knife::starter("chefs-8in").expect("a starter");
    let mut history = History::new(starter.knife());
    let mut recovery = recovery::Recovery::new("killed-1", &host);
    let mut saved = String::new();
    let mut message = std::io::stdout().lock();
    for number in 1_u64.. {
        history.edit(&Edit::SetNotes(number.to_string())).expect("short notes");
        let at_ms = host.now_ms();
        writeln!(message, "{number} {at_ms}").expect("the killer reads");
        message.flush().expect("the killer reads");
        let work = |saved: &str| recovery::Work {
            knife: history.knife(),
            revision: history.revision(),
            drawing: &[],
            dirty: history.knife().notes != saved,
            path: Some(&path),
            base: None,
            on_disk: None,
        };
        if number.is_multiple_of(save_every) {
            recovery.before_save(&work(&saved), &mut host);
            host.write(&path, &file::save(history.knife())).expect("a disk");
            saved.clone_from(&history.knife().notes);
        }
        recovery.tick(&work(&saved), &mut host).expect("a disk");
        std::thread::sleep(Duration::from_millis(FRAME_MS));
    }
}

fn kill_and_look() {
    let wanted = std::env::var("BLANKWRIGHT_KILLS").ok().and_then(|count| count.parse().ok());
    let count: usize = wanted.map_or(KILLS.0, |count: usize| (count * 2 / 5).next_multiple_of(20));
    let others = wanted.map_or(KILLS.0 / 2, |all| all.saturating_sub(count));
    let mut chance = Chance(0x2545_f491_4f6c_dd1d);
    edits_killed(count, &mut chance);
    commands::killed(others, &mut chance);
}

fn edits_killed(count: usize, chance: &mut Chance) {
    let mut worst_ms = 0;
    let mut recovered = 0;
    for _ in 0..count / KILLS.1 {
        let running: Vec<Victim> =
            (0..KILLS.1).map(|i| Victim::start(chance, SAVE_EVERY[i % 2])).collect();
        for victim in running {
            let look = victim.kill();
            worst_ms = worst_ms.max(look.lost_ms);
            recovered += usize::from(look.recovered);
            assert!(look.lost_ms <= LOST_MS, "work of {} ms was lost", look.lost_ms);
        }
    }
    assert!(recovered > count / 2, "only {recovered} left work to recover");
    let message = format!("{count} kills, {recovered} recoveries, at most {worst_ms} ms lost\n");
    let _ = std::io::stdout().write_all(message.as_bytes());
}

/// A program that is about to be killed, by a thread of its own that also reads what it tells.
struct Victim {
    folder: tempfile::TempDir,
    killer: std::thread::JoinHandle<(u64, Vec<(u64, u64)>)>,
}

/// What a kill left.
struct Look {
    lost_ms: u64,
    recovered: bool,
}

impl Victim {
    fn start(chance: &mut Chance, save_every: u64) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let program = std::env::current_exe().expect("this program");
        let child = Command::new(program)
            .arg("edit")
            .arg(folder.path())
            .arg(save_every.to_string())
            .stdout(Stdio::piped())
            .spawn()
            .expect("this program again");
        let life = Duration::from_millis(chance.between(LIFE_MS.0, LIFE_MS.1));
        Self { folder, killer: std::thread::spawn(move || end(child, life)) }
    }

    fn kill(self) -> Look {
        let (killed_ms, edits) = self.killer.join().expect("killed");
        let mut host = Bench::at(self.folder.path());
        let notes = |knife: &knife::Knife| knife.notes.parse::<u64>().unwrap_or_default();
        let mut kept = 0;
        if let Ok(bytes) = host.read(&host.blank()) {
            let opened = file::open(&bytes).expect("the blank's own file is whole");
            assert!(opened.faults.is_empty(), "{:?}", opened.faults);
            kept = notes(&opened.knife);
        }
        let found = recovery::found(&mut host);
        assert_eq!(found.faults, Vec::<String>::new(), "no recovery file is damaged");
        assert!(found.works.len() <= 1);
        let recovered = !found.works.is_empty();
        for work in &found.works {
            assert_eq!(work.path, Some(host.blank()));
            assert!(notes(&work.knife) >= kept, "older than what was saved");
            kept = notes(&work.knife);
        }
        // The oldest edit that is lost tells how much is.
        let lost = edits.iter().find(|(number, _)| *number > kept);
        Look { lost_ms: lost.map_or(0, |(_, at_ms)| killed_ms.saturating_sub(*at_ms)), recovered }
    }
}

/// Lets a program live for a while from its first edit on, kills it (SIGKILL on Unix) and gives
/// back when, with the number and time of every edit that it told of.
fn end(mut child: Child, life: Duration) -> (u64, Vec<(u64, u64)>) {
    let mut message = BufReader::new(child.stdout.take().expect("its output"));
    let mut first = String::new();
    message.read_line(&mut first).expect("its first edit");
    let reader = std::thread::spawn(move || {
        let rest = message.lines().map_while(Result::ok);
        let read = |line: String| {
            let (number, at_ms) = line.trim().split_once(' ')?;
            Some((number.parse().ok()?, at_ms.parse().ok()?))
        };
        std::iter::once(first).chain(rest).filter_map(read).collect()
    });
    std::thread::sleep(life);
    let killed_ms = Disk.now_ms();
    child.kill().expect("killed");
    child.wait().expect("ended");
    (killed_ms, reader.join().expect("its edits"))
}

/// Marsaglia's xorshift (Journal of Statistical Software 8, 2003, from memory): moments of no
/// pattern, the same in every run.
struct Chance(u64);

impl Chance {
    fn between(&mut self, min: u64, max: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        min + self.0 % (max - min + 1)
    }
}
