//! From a pointer move to the frame that shows what follows from it, while a node is dragged (every
//! figure, finding and line is renewed), the view is panned, or it is zoomed: at 40 nodes and at
//! 1 000, each with 12 holes; and at 40 nodes with the finished knife lit from the side, whose
//! picture is timed by itself too. Tells the median and the 95th percentile of single moves.
//!
//! A drag's frame takes two passes: one in which the pointer's place becomes an edit, and one in
//! which what follows from the edit is worked out and painted. Both count, with the tessellation of
//! what is painted; only what the graphics driver does with the triangles is left out. Figures come from a thread of
//! their own, as in the window: told are the processor time of the window's thread and of both,
//! the time on the clock, and in how many of the frames the new figures were there.

#[path = "../../reckon/benches/sample/mod.rs"]
mod sample;

use criterion::{Criterion, criterion_group, criterion_main};
use desk::shaded::{Light, ShadeRequest, Surface, Tones, lit};
use desk::{Desk, Document, MemoryHost, Settings, View};
use egui::{
    Context, Event, Modifiers, MouseWheelUnit, PointerButton, Pos2, RawInput, Rect, TouchPhase,
    vec2,
};
use knife::{Knife, NodeId};
use reckon::tables::Tables;
use reckon::{Shop, reckon};
use sample::knife;
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

/// Moves that are timed one by one.
const MOVES: usize = 400;

/// As long as a frame of the window waits for its figures.
const PATIENCE: Duration = Duration::from_millis(12);

/// What the pointer does.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Act {
    Drag,
    Pan,
    Zoom,
}

/// A desk on which the pointer does one thing again and again.
struct Window {
    act: Act,
    ctx: Context,
    desk: Desk,
    host: MemoryHost,
    from: Pos2,
    moves: u32,
    time_s: f64,
}

impl Window {
    fn of(knife: Knife, shaded: bool, act: Act) -> Self {
        // A node of the spine, well away from its neighbours' handles.
        let id = NodeId(u32::try_from(knife.profile.nodes.len() / 4).expect("few nodes"));
        let mut desk = Desk::new(Settings { shaded, ..Settings::default() });
        desk.work_in_background(PATIENCE, || ());
        desk.document = Document::fresh(knife);
        desk.session.dialogs.welcomed = true;
        let mut window = Self {
            act,
            ctx: Context::default(),
            desk,
            host: MemoryHost::with_data(),
            from: Pos2::ZERO,
            moves: 0,
            time_s: 0.0,
        };
        for _ in 0..4 {
            window.frame(Vec::new());
        }
        let seen = &window.desk.session.view;
        let view =
            View { rect: seen.canvas.expect("a canvas"), camera: seen.camera.expect("a camera") };
        let knife = window.desk.document.knife().clone();
        let node = knife.profile.node(id).expect("the node").at;
        window.from = view.ui_from_mm(window.desk.derived.plane().plane_from_knife(&knife) * node);
        let press = |button| Event::PointerButton {
            pos: window.from,
            button,
            pressed: true,
            modifiers: Modifiers::NONE,
        };
        let press = match act {
            Act::Drag => vec![press(PointerButton::Primary)],
            Act::Pan => vec![press(PointerButton::Middle)],
            Act::Zoom => Vec::new(),
        };
        window.frame(vec![Event::PointerMoved(window.from)]);
        window.frame(press);
        for _ in 0..4 {
            window.step();
        }
        assert_eq!(window.desk.document.history().in_gesture(), act == Act::Drag);
        window
    }

    /// One frame with its tessellation.
    fn frame(&mut self, events: Vec<Event>) {
        self.time_s += 1.0 / 60.0;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0))),
            time: Some(self.time_s),
            focused: true,
            events,
            ..RawInput::default()
        };
        let Self { ctx, desk, host, .. } = self;
        let output = ctx.run_ui(input, |ui| {
            desk.logic();
            desk.ui(ui);
            desk.act(ui.ctx(), host);
        });
        black_box(ctx.tessellate(output.shapes, output.pixels_per_point));
        assert!(!output.viewport_output.is_empty());
    }

    /// A pointer move to the frame that shows what follows from it. Whether anything did: a node
    /// that sticks to something stays where it is.
    fn step(&mut self) -> bool {
        self.moves += 1;
        let turn = f64::from(self.moves) * 0.37;
        #[expect(clippy::cast_possible_truncation, reason = "points of the screen")]
        let by = vec2(14.0 * turn.cos() as f32, 11.0 * turn.sin() as f32);
        let before = (self.desk.document.revision(), self.desk.session.view.camera);
        if self.act == Act::Zoom {
            // Ten notches nearer, ten back.
            let up = if (self.moves / 10).is_multiple_of(2) { 1.0 } else { -1.0 };
            self.frame(vec![Event::MouseWheel {
                unit: MouseWheelUnit::Line,
                delta: vec2(0.0, up),
                source: egui::MouseWheelSource::Unknown,
                phase: TouchPhase::Move,
                modifiers: Modifiers::NONE,
            }]);
        } else {
            self.frame(vec![Event::PointerMoved(self.from + by)]);
        }
        (self.desk.document.revision(), self.desk.session.view.camera) != before
    }
}

/// Processor time that was used, seconds, where the system tells it: what other programs do beside
/// must not count. (The kernel brings the figure up to date when a thread yields.)
#[derive(Clone, Copy)]
struct Clock {
    own_s: f64,
    all_s: f64,
    wall: Instant,
}

impl Clock {
    fn now() -> Self {
        std::thread::yield_now();
        let used_s = |task: &Path| -> Option<f64> {
            let text = std::fs::read_to_string(task.join("schedstat")).ok()?;
            Some(text.split_whitespace().next()?.parse::<f64>().ok()? * 1e-9)
        };
        let all = std::fs::read_dir("/proc/self/task").into_iter().flatten().flatten();
        Self {
            own_s: used_s(Path::new("/proc/thread-self")).unwrap_or(f64::NAN),
            all_s: all.filter_map(|task| used_s(&task.path())).sum(),
            wall: Instant::now(),
        }
    }

    /// Milliseconds since: of this thread, of all threads, on the clock.
    fn since(self) -> [f64; 3] {
        let now = Self::now();
        let wall_s = now.wall.duration_since(self.wall).as_secs_f64();
        [now.own_s - self.own_s, now.all_s - self.all_s, wall_s].map(|s| s * 1e3)
    }
}

fn frames(c: &mut Criterion) {
    let mut group = c.benchmark_group("a move to its frame, 12 holes");
    group.sample_size(60).measurement_time(Duration::from_secs(5));
    let mut text = Vec::new();
    let sizes = [(40, false), (40, true), (1_000, false)];
    let acts = [Act::Drag, Act::Pan, Act::Zoom];
    for (nodes, shaded, act) in sizes.iter().flat_map(|(n, s)| acts.map(|act| (*n, *s, act))) {
        let mut window = Window::of(knife(nodes), shaded, act);
        let name = format!("{act:?}, {nodes} nodes{}", if shaded { ", shaded" } else { "" });
        group.bench_function(&name, |b| b.iter(|| window.step()));
        let (mut times, mut in_step) = (Vec::new(), 0);
        for _ in 0..MOVES {
            let before = Clock::now();
            if window.step() {
                times.push(before.since());
                in_step += usize::from(!window.desk.derived.is_behind());
            }
            window.desk.derived.finish();
        }
        assert!(times.len() > MOVES / 2, "only {} moves did something", times.len());
        let part = |of: usize, part: usize| {
            let mut sorted: Vec<f64> = times.iter().map(|time| time[of]).collect();
            sorted.sort_by(f64::total_cmp);
            sorted[(sorted.len() - 1) * part / 100]
        };
        let row = |of| format!("{:.2}/{:.2}/{:.2}", part(of, 50), part(of, 95), part(of, 100));
        text.push(format!(
            "{name}: window's thread {}, all threads {}, clock {}; figures in the same frame: {} of {}",
            row(0),
            row(1),
            row(2),
            in_step,
            times.len()
        ));
    }
    group.finish();
    use std::io::Write as _;
    let text = text.join("\n");
    let _ = writeln!(std::io::stdout(), "single moves, ms: median/95th percentile/worst\n{text}");
}

/// The picture alone: while something moves, and at rest on screens of one and of two dots to the
/// point. The clock on the wall counts, since it is made on every core.
fn pictures(c: &mut Criterion) {
    let knife = knife(40);
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    let outline = reckoning.outline.as_ref().expect("an outline");
    let field = reckoning.field.as_deref().expect("a solid");
    let surface = Surface { field, outline, left: true };
    let tones = Tones::grey();
    let mut group = c.benchmark_group("the finished knife in light from the side");
    // As near as the whole blank is seen in a window of 1280 × 800.
    for (name, moves, pixels_per_mm) in
        [("moving", true, 4.2), ("at rest", false, 4.2), ("at rest, two dots", false, 8.4)]
    {
        let wanted = ShadeRequest {
            seen: outline.bounds(),
            pixels_per_mm,
            moves,
            knife_from_screen: kurbo::Affine::IDENTITY,
            tones: [egui::Color32::BLACK; 3],
        };
        let patch = wanted.patch(outline.bounds());
        let light = Light::over(outline.bounds());
        group.bench_function(name, |b| b.iter(|| black_box(lit(&surface, &patch, &light, &tones))));
    }
    group.finish();
}

criterion_group!(benches, frames, pictures);
criterion_main!(benches);
