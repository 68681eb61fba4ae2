//! The window: the desk in an eframe, with the system's own dialogs where it has them.

use crate::{Disk, Failure};
use desk::{Action, Desk, Host as _, PathRequest, Settings};
use eframe::egui;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

/// A dialog that is answered with nothing sooner than this was never shown.
const UNSEEN: Duration = Duration::from_millis(250);
/// A frame waits so long for figures: those of a usual knife take a third of it, and are seen in
/// the frame of the change itself, so that what is dragged stays in step.
const PATIENCE: Duration = Duration::from_millis(12);
/// How often a screen that doesn't tell shows a new picture, and the least that is believed.
const USUAL_REFRESH_MILLIHERTZ: u32 = 60_000;
const MIN_REFRESH_MILLIHERTZ: u32 = 20_000;
/// Of the time for which a screen shows one picture, a frame waits for so much at most: the rest is
/// the driver's own wait for the screen, where it has one, which it must not come too late for.
const PACED: f64 = 0.95;
/// After so long a pause the window may stand on another screen.
const PAUSE: Duration = Duration::from_secs(1);
/// What the window system calls the program.
const NAME: &str = "Blankwright";
/// What windows of this program are known by: the name of its menu entry.
const APP_ID: &str = "blankwright";
/// The window's icon, as a PNG.
const ICON: &[u8] = include_bytes!("../../../assets/linux/icons/128.png");

/// Opens the desk, on a file if one is named, and stays until it is left.
///
/// # Errors
/// [`Failure`] when there is no display, or the window can't be opened.
pub(crate) fn open(file: Option<&Path>) -> Result<(), Failure> {
    if !has_display() {
        return Err(no_display("there is no display here"));
    }
    keep_freed_memory();
    let (settings, message) = Settings::read(&Disk);
    let mut desk = Desk::new(settings);
    if let Some(words) = message {
        desk.session.toasts.push(words);
    }
    desk.open_shop(&Disk);
    desk.start_recovery(&format!("{}-{}", std::process::id(), Disk.now_ms()), &mut Disk);
    desk.session.dialogs.native = has_dialogs();
    if let Some(file) = file {
        if !Disk.exists(file) {
            Disk.read(file)?;
        }
        desk.open_path(file, &Disk);
    } else {
        desk.open_last(&Disk);
    }
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title(desk.title())
            .with_app_id(APP_ID)
            .with_icon(icon())
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([640.0, 420.0]),
        persist_window: false,
        // The bar's gradient shows no bands without it, and a driver that draws in software pays for
        // it at every dot.
        dithering: false,
        ..eframe::NativeOptions::default()
    };
    let pace = Pace { began: Instant::now(), refresh_millihertz: None };
    let mut window = Window { desk, title: String::new(), dialog: None, pace };
    let open = Box::new(move |cx: &eframe::CreationContext<'_>| {
        let ctx = cx.egui_ctx.clone();
        window.desk.work_in_background(PATIENCE, move || ctx.request_repaint());
        Ok(Box::new(window) as Box<dyn eframe::App>)
    });
    eframe::run_native(NAME, options, open)
        .map_err(|why| no_display(&format!("the window can't be opened ({why})")))
}

/// The C library's allocator on Linux gives back what lies free beyond 128 KB, so that each frame
/// would fetch the memory of the one before anew, page by page. Once a block of its own mapping is
/// freed, it keeps twice that block's size (`mallopt(3)`, on the dynamic threshold).
fn keep_freed_memory() {
    const KEPT_BYTES: usize = 16 << 20;
    drop(std::hint::black_box(Vec::<u8>::with_capacity(KEPT_BYTES / 2)));
}

/// The window's icon; one that can't be read leaves the window without.
fn icon() -> egui::IconData {
    eframe::icon_data::from_png_bytes(ICON).unwrap_or_default()
}

fn no_display(why: &str) -> Failure {
    Failure::Usage(format!(
        "{why}, so the desk can't be shown; blankwright print FILE --out PDF prints without one"
    ))
}

/// Whether a window has somewhere to be shown.
fn has_display() -> bool {
    if !cfg!(all(unix, not(target_os = "macos"))) {
        return true;
    }
    ["WAYLAND_DISPLAY", "WAYLAND_SOCKET", "DISPLAY"]
        .iter()
        .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()))
}

/// Whether the system's own dialogs can be asked for: on Linux they come over the session bus.
fn has_dialogs() -> bool {
    if !cfg!(all(unix, not(target_os = "macos"))) {
        return true;
    }
    let named = std::env::var_os("DBUS_SESSION_BUS_ADDRESS").is_some_and(|value| !value.is_empty());
    let stands = std::env::var_os("XDG_RUNTIME_DIR")
        .is_some_and(|folder| Path::new(&folder).join("bus").exists());
    named || stands
}

/// A dialog that is open.
struct Dialog {
    request: PathRequest,
    since: Instant,
    answer: Receiver<Option<PathBuf>>,
}

struct Window {
    desk: Desk,
    title: String,
    dialog: Option<Dialog>,
    pace: Pace,
}

/// Keeps frames from coming faster than the screen can show them: not every driver waits for it, and
/// those that draw in software would keep every core busy for nothing.
struct Pace {
    /// When the last frame began.
    began: Instant,
    /// How often the window's screen shows a new picture; `None` until it is asked for.
    refresh_millihertz: Option<u32>,
}

impl Pace {
    /// How long a frame waits that comes so much later than the last one began.
    fn wait(&self, since: Duration) -> Duration {
        let rate = self.refresh_millihertz.unwrap_or(USUAL_REFRESH_MILLIHERTZ);
        let shown_s = 1_000.0 / f64::from(rate);
        Duration::from_secs_f64(shown_s * PACED).saturating_sub(since)
    }
}

/// How often the screen on which the window stands shows a new picture.
fn refresh_millihertz(frame: &eframe::Frame) -> u32 {
    let monitor = frame.winit_window().and_then(|window| window.current_monitor());
    let rate = monitor.and_then(|monitor| monitor.refresh_rate_millihertz());
    rate.filter(|rate| *rate >= MIN_REFRESH_MILLIHERTZ).unwrap_or(USUAL_REFRESH_MILLIHERTZ)
}

impl eframe::App for Window {
    fn raw_input_hook(&mut self, _ctx: &egui::Context, _raw_input: &mut egui::RawInput) {
        let since = self.pace.began.elapsed();
        if since > PAUSE {
            self.pace.refresh_millihertz = None;
        }
        std::thread::sleep(self.pace.wait(since));
        self.pace.began = Instant::now();
    }

    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        self.pace.refresh_millihertz.get_or_insert_with(|| refresh_millihertz(frame));
        if ctx.input(|input| input.viewport().close_requested()) && !self.desk.may_close() {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
        }
        self.answered(ctx);
        self.desk.logic();
        let title = self.desk.title();
        if title != self.title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.desk.close(&mut Disk);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.desk.ui(ui);
        self.desk.act(ui.ctx(), &mut Disk);
        if self.dialog.is_none()
            && let Some(request) = self.desk.take_path_request()
        {
            self.dialog = show(ui.ctx(), &request);
            if self.dialog.is_none() {
                self.desk.prompt_path(request);
            }
        }
    }
}

impl Window {
    /// Takes the answer of a dialog. One that was never shown is asked again by a field.
    fn answered(&mut self, ctx: &egui::Context) {
        let Some(dialog) = self.dialog.take() else { return };
        match dialog.answer.try_recv() {
            Ok(Some(path)) => {
                self.desk.actions.push(Action::PathChosen(dialog.request.purpose, path));
                ctx.request_repaint();
            }
            Ok(None) | Err(TryRecvError::Disconnected) => {
                if dialog.since.elapsed() < UNSEEN {
                    self.desk.session.dialogs.native = false;
                    self.desk.prompt_path(dialog.request);
                    ctx.request_repaint();
                }
            }
            Err(TryRecvError::Empty) => self.dialog = Some(dialog),
        }
    }
}

/// Shows the system's dialog from a thread of its own, so that the desk goes on.
fn show(ctx: &egui::Context, request: &PathRequest) -> Option<Dialog> {
    let (send, answer) = channel();
    let (wanted, ctx) = (request.clone(), ctx.clone());
    std::thread::Builder::new()
        .name("file dialog".to_owned())
        .spawn(move || {
            let (kind, endings) = wanted.purpose.kind();
            let mut dialog =
                rfd::FileDialog::new().set_title(wanted.purpose.title()).add_filter(kind, endings);
            let offered = &wanted.offered;
            let folder = if wanted.purpose.writes() { offered.parent() } else { Some(&**offered) };
            if let Some(folder) = folder.filter(|folder| !folder.as_os_str().is_empty()) {
                dialog = dialog.set_directory(folder);
            }
            let chosen = if wanted.purpose.writes() {
                let name = offered.file_name().unwrap_or_default().to_string_lossy();
                dialog.set_file_name(name).save_file()
            } else {
                dialog.pick_file()
            };
            // The desk may be gone by now; then nobody waits for the answer.
            let _ = send.send(chosen);
            ctx.request_repaint();
        })
        .ok()?;
    Some(Dialog { request: request.clone(), since: Instant::now(), answer })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a screen of 60 pictures a second shows each for 16.7 ms, 95 % of which is 15.8.
    #[test]
    fn a_frame_waits_only_where_it_comes_faster_than_the_screen() {
        let wait_ms = |rate, since_ms| {
            let pace = Pace { began: Instant::now(), refresh_millihertz: Some(rate) };
            pace.wait(Duration::from_millis(since_ms)).as_secs_f64() * 1e3
        };
        assert!((wait_ms(60_000, 5) - 10.83).abs() < 0.01);
        assert!((wait_ms(144_000, 5) - 1.60).abs() < 0.01);
        assert_eq!((wait_ms(60_000, 16), wait_ms(60_000, 5_000)), (0.0, 0.0));
    }
}
