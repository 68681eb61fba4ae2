//! A monkey at the desk: it clicks on whatever has a name, types, drags, turns the wheel and presses
//! keys, by seeds that are kept. The desk doesn't panic, undo leads back to the very bytes of the
//! beginning, and the memory that it takes stays where it was.
//!
//! `BLANKWRIGHT_MONKEY=10000` is how many things it does in all; without it a few hundred.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use desk::{COMMANDS, Command, Desk, Document, MemoryHost, Settings};
use egui::{
    Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, Pos2, Role, TouchPhase, Vec2, vec2,
};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use knife::{STARTERS, file};
use std::io::Write as _;

/// What it does in a quick run.
const QUICK: u32 = 240;
/// What it does on one blank, before undo and memory are looked at.
const ROUND: u32 = 120;
/// By so much the memory may grow from the third round to the last, MB.
const GROWS_MB: u64 = 20;
/// What it types: figures, words and rubbish.
const TEXTS: [&str; 16] = [
    "12",
    "1 1/2",
    "#30",
    "5 mm",
    "-3",
    "0",
    "1e99",
    "99999999",
    "heron",
    "",
    "1/0",
    "12,5",
    "nan",
    "0.0001",
    "\"\\<>&",
    "half a mile of steel that goes on and on and on and on and on",
];
/// The keys that it presses besides those of the commands.
const KEYS: [Key; 14] = [
    Key::Escape,
    Key::Enter,
    Key::Tab,
    Key::Space,
    Key::Backspace,
    Key::Delete,
    Key::ArrowLeft,
    Key::ArrowRight,
    Key::ArrowUp,
    Key::ArrowDown,
    Key::Home,
    Key::End,
    Key::PageUp,
    Key::PageDown,
];
const SIZE: Vec2 = vec2(1280.0, 800.0);

struct Bench {
    desk: Desk,
    host: MemoryHost,
}

/// Numbers of no pattern, the same for one seed (Marsaglia's xorshift, Journal of Statistical
/// Software 8, 2003, from memory).
struct Chance(u64);

impl Chance {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % count.max(1) as u64).unwrap()
    }

    fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }

    fn place(&mut self) -> Pos2 {
        #[expect(clippy::cast_precision_loss, reason = "points of the screen")]
        let part = |chance: &mut Self| chance.below(1000) as f32 / 1000.0;
        (vec2(part(self), part(self)) * SIZE).to_pos2()
    }
}

fn bench(seed: u64) -> Harness<'static, Bench> {
    let mut host = MemoryHost::with_data();
    let mut desk = Desk::new(Settings::default());
    desk.start_recovery(&format!("monkey-{seed}"), &mut host);
    let frame = |ui: &mut egui::Ui, bench: &mut Bench| {
        let window = ui.ctx().content_rect();
        let mut whole = ui.new_child(egui::UiBuilder::new().max_rect(window));
        whole.set_clip_rect(window);
        bench.host.now_ms += 16;
        bench.desk.logic();
        bench.desk.ui(&mut whole);
        bench.desk.act(ui.ctx(), &mut bench.host);
    };
    Harness::builder().with_size(SIZE).build_ui_state(frame, Bench { desk, host })
}

fn saved(harness: &Harness<'_, Bench>) -> Vec<u8> {
    file::save(harness.state().desk.document.knife())
}

/// Everything on the screen that can be used, by its name and place.
fn usable(harness: &Harness<'_, Bench>) -> Vec<(Role, String, Pos2)> {
    let works = |role: Role| {
        matches!(
            role,
            Role::Button
                | Role::CheckBox
                | Role::RadioButton
                | Role::TextInput
                | Role::MultilineTextInput
                | Role::Tab
                | Role::ComboBox
                | Role::MenuItem
                | Role::Slider
                | Role::SpinButton
                | Role::Link
                | Role::ListBoxOption
                | Role::Canvas
        )
    };
    let all = harness.query_all(by().predicate(move |node| works(node.role())));
    all.map(|node| {
        let kit = node.accesskit_node();
        (kit.role(), kit.label().unwrap_or_default(), node.rect().center())
    })
    .filter(|(_, _, at)| at.is_finite() && at.x < SIZE.x && at.y < SIZE.y && at.x.min(at.y) > 0.0)
    .collect()
}

fn press(harness: &Harness<'_, Bench>, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
}

fn click(harness: &mut Harness<'_, Bench>, at: Pos2) {
    harness.hover_at(at);
    harness.step();
    harness.drag_at(at);
    harness.drop_at(at);
    harness.step();
}

/// Does one thing; what, in words.
fn act(harness: &mut Harness<'_, Bench>, chance: &mut Chance) -> String {
    let what = chance.below(100);
    let all = usable(harness);
    let some = (!all.is_empty()).then(|| all[chance.below(all.len())].clone());
    match (what, some) {
        (0..40, Some((role, name, at))) => {
            click(harness, at);
            format!("click on {role:?} {name:?}")
        }
        (40..60, _) => {
            let is_field = |(role, ..): &&(Role, String, Pos2)| {
                matches!(role, Role::TextInput | Role::MultilineTextInput)
            };
            let fields: Vec<_> = all.iter().filter(is_field).cloned().collect();
            let Some((_, name, at)) = fields.get(chance.below(fields.len())).cloned() else {
                return "no field".to_owned();
            };
            let (text, end) = (chance.of(&TEXTS), chance.of(&[Key::Enter, Key::Tab, Key::Escape]));
            click(harness, at);
            press(harness, Modifiers::COMMAND, Key::A);
            harness.event(Event::Text(text.to_owned()));
            harness.step();
            press(harness, Modifiers::NONE, end);
            harness.step();
            format!("type {text:?} into {name:?}, {end:?}")
        }
        (60..75, Some((role, name, at))) => {
            let to = if chance.below(2) == 0 { chance.place() } else { at + vec2(9.0, -7.0) };
            harness.hover_at(at);
            harness.step();
            harness.drag_at(at);
            harness.step();
            harness.hover_at(at + (to - at) * 0.5);
            harness.step();
            harness.hover_at(to);
            if chance.below(8) == 0 {
                press(harness, Modifiers::NONE, Key::Escape);
            }
            harness.step();
            harness.drop_at(to);
            harness.step();
            format!("drag {role:?} {name:?} to {to}")
        }
        (75..83, _) => {
            let key = chance.of(&KEYS);
            press(harness, chance.of(&[Modifiers::NONE, Modifiers::SHIFT, Modifiers::CTRL]), key);
            harness.step();
            format!("{key:?}")
        }
        (83..90, _) => {
            let row = &COMMANDS[chance.below(COMMANDS.len())];
            if let Some(key) = row.shortcut {
                press(harness, key.modifiers, key.logical_key);
                harness.step();
            }
            format!("the key of {:?}", row.command)
        }
        (90..94, _) => {
            let (at, by) = (chance.place(), chance.of(&[-240.0, -30.0, 30.0, 240.0]));
            harness.hover_at(at);
            harness.event_modifiers(
                Event::MouseWheel {
                    unit: MouseWheelUnit::Point,
                    delta: vec2(0.0, by),
                    phase: TouchPhase::Move,
                    source: MouseWheelSource::Unknown,
                    modifiers: Modifiers::NONE,
                },
                chance.of(&[Modifiers::NONE, Modifiers::COMMAND]),
            );
            harness.step();
            format!("wheel {by} at {at}")
        }
        (94..97, _) => {
            let at = chance.place();
            click(harness, at);
            format!("click at {at}")
        }
        _ => {
            let command = chance.of(&[Command::Undo, Command::Redo]);
            harness.state_mut().desk.actions.run(command);
            harness.step();
            format!("{command:?}")
        }
    }
}

/// One blank, worked on for a while; then undo leads back to its first bytes.
fn round(harness: &mut Harness<'_, Bench>, chance: &mut Chance, acts: u32, say: bool) {
    let starter = &STARTERS[chance.below(STARTERS.len())];
    let state = harness.state_mut();
    state.desk.document = Document::fresh(starter.knife());
    state.desk.derived.forget();
    state.host.files.retain(|path, _| path.starts_with("/data"));
    harness.run_steps(2);
    let mut first = saved(harness);
    for _ in 0..acts {
        let before = harness.state().desk.document.revision();
        let tab = in_front(harness);
        let done = act(harness, chance);
        if say {
            tell(&done);
        }
        let is_other_tab = in_front(harness) != tab;
        let document = &mut harness.state_mut().desk.document;
        // Another blank was opened or brought to the front: it has a beginning of its own.
        if is_other_tab || document.revision() < before || before == 0 {
            document.commit();
            while document.undo().is_some() {}
            first = file::save(document.knife());
        }
    }
    for _ in 0..4 {
        press(harness, Modifiers::NONE, Key::Escape);
        harness.step();
    }
    let document = &mut harness.state_mut().desk.document;
    document.commit();
    while document.undo().is_some() {}
    harness.run_steps(2);
    assert_eq!(String::from_utf8(saved(harness)), String::from_utf8(first), "undo to the start");
}

/// How many tabs there are, and which is in front.
fn in_front(harness: &Harness<'_, Bench>) -> (usize, usize) {
    let (names, at) = harness.state().desk.tabs();
    (names.len(), at)
}

fn tell(line: &str) {
    let _ = writeln!(std::io::stdout(), "{line}");
}

/// What this process holds in memory, MB; `None` where the system doesn't tell.
fn memory_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<u64>().ok()? / 1000)
}

#[test]
fn a_monkey_breaks_nothing() {
    let told = std::env::var("BLANKWRIGHT_MONKEY").ok().and_then(|count| count.parse().ok());
    let acts: u32 = told.unwrap_or(QUICK);
    // `BLANKWRIGHT_MONKEY_SEED=3` runs that seed alone and says what it does.
    let one: Option<u64> =
        std::env::var("BLANKWRIGHT_MONKEY_SEED").ok().and_then(|seed| seed.parse().ok());
    let rounds = u64::from(acts.div_ceil(ROUND));
    let mut settled = None;
    for seed in one.map_or(1..rounds + 1, |seed| seed..seed + 1) {
        tell(&format!("seed {seed}: {:?} MB", memory_mb()));
        let mut harness = bench(seed);
        harness.run_steps(3);
        round(
            &mut harness,
            &mut Chance(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15)),
            ROUND,
            one.is_some(),
        );
        drop(harness);
        // By then every view was opened once: from here on it must stay flat.
        if rounds >= 6 && seed == rounds / 2 {
            settled = memory_mb();
        }
    }
    if let Some((before, after)) = settled.zip(memory_mb()) {
        tell(&format!("memory after half of the rounds {before} MB, at the end {after} MB"));
        assert!(after <= before + GROWS_MB, "{before} MB became {after} MB");
    }
}
