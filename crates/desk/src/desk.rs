//! The desk itself: what is open, what follows from it, what the maker is doing, and the frame.

mod actions;
mod drawing;
mod editing;
mod enabled;
mod exporting;
mod files;
mod keeping;
mod open_knives;
mod picture;
mod storage;

use crate::action::{Action, ActionQueue};
use crate::canvas::input;
use crate::command::{self, COMMANDS, Command};
use crate::context::ViewContext;
use crate::derived::Derived;
use crate::dialogs;
use crate::document::Document;
use crate::panels::menu::{self, MenuContext};
use crate::panels::{
    canvas, card, file_drop, findings, status, tabs, toasts, tools, turning, welcome,
};
use crate::settings::Settings;
use crate::state::{PathRequest, Plane, PrintState, Prompt, Session, Station};
use crate::{stations, theme};
use egui::{CentralPanel, Frame, Margin, Panel, Ui, UiBuilder};
use enabled::enabled;
use host::Host;
use knife::{GrindLine, Knife, Origin, PartId, starter};
use open_knives::Tabs;
use std::time::Duration;
use storage::Storage;

/// The starter that stands on the desk when it is first opened.
const FIRST: &str = "drop-point";

/// The desk.
pub struct Desk {
    /// The blank that is open.
    pub document: Document,
    /// What follows from it.
    pub derived: Derived,
    /// What the maker is doing.
    pub session: Session,
    /// What is stored between runs.
    pub settings: Settings,
    /// What this frame wants done.
    pub actions: ActionQueue,
    /// How settings, shop and unsaved work are stored.
    storage: Storage,
    /// The other knives that are open.
    tabs: Tabs,
    /// From one frame to the next, in the mean of the last few, seconds.
    frame_s: f32,
    /// How many frames took a second pass, modulo three.
    second_passes: u8,
    /// Whether what is dragged is worked out while its frame is painted: from the first slow frame
    /// until it is let go, as frames without a second pass come faster again.
    works_ahead: bool,
}

/// Frames that come more slowly than this, at less than some fifty-five a second, are worth working
/// something out beside, seconds.
const SLOW_S: f32 = 0.018;

impl Desk {
    /// A desk with a finished blank on it, so that the first look shows what it is for.
    pub fn new(settings: Settings) -> Self {
        let knife = starter(FIRST).map_or_else(Knife::empty, knife::Starter::knife);
        let knife = Knife { unit: settings.unit, ..knife };
        let print = PrintState {
            paper: settings.paper.clone(),
            left_out: sheets::printing::excluded_by_default(),
            ..PrintState::default()
        };
        Self {
            document: Document::fresh(knife),
            derived: Derived::new(),
            session: Session { print, ..Session::default() },
            storage: Storage::new(settings.clone()),
            settings,
            actions: ActionQueue::default(),
            tabs: Tabs::default(),
            frame_s: 0.0,
            second_passes: 0,
            works_ahead: false,
        }
    }

    /// What the window is called: the blank's name, with a mark while there is unsaved work.
    pub fn title(&self) -> String {
        let mark = if self.is_unsaved() { "• " } else { "" };
        format!("{mark}{} – Blankwright", self.document.title())
    }

    /// Asks before unsaved work is lost; whether the window may close at once.
    pub fn may_close(&mut self) -> bool {
        self.session.quit || self.may_quit()
    }

    /// The path that the window's own dialog is to ask for, handed over once.
    pub fn take_path_request(&mut self) -> Option<PathRequest> {
        match self.session.dialogs.prompt.take() {
            Some(Prompt::Native(request)) => Some(request),
            other => {
                self.session.dialogs.prompt = other;
                None
            }
        }
    }

    /// Asks for a path by a field of the desk's own.
    pub fn prompt_path(&mut self, request: PathRequest) {
        let text = request.offered.display().to_string();
        self.session.dialogs.prompt = Some(Prompt::Typed(request, text));
    }

    /// From now on a thread works out what can be slow, so that no frame waits for it: as long as
    /// `patience`, and `wake` is called when something comes later.
    pub fn work_in_background(&mut self, patience: Duration, wake: impl Fn() + Send + 'static) {
        self.derived.work_in_background(patience, wake);
    }

    /// Brings everything that follows from the knife up to the knife as it stands, however long
    /// it takes: before something is done by it.
    pub(crate) fn catch_up(&mut self) {
        let (knife, revision) = (self.document.knife().clone(), self.document.revision());
        self.derived.refresh(&knife, revision, self.derived.plane());
        self.derived.finish();
    }

    /// Everything before painting: what follows from the knife.
    pub fn logic(&mut self) {
        let (knife, revision) = (self.document.knife().clone(), self.document.revision());
        let Self { derived, session, settings, .. } = self;
        let station = session.station;
        derived.refresh(&knife, revision, Plane::of(station));
        // What is dragged doesn't take the origin along; the bar's corner never goes with it.
        let origin = derived.reckoning.origin;
        let dragging = session.pointer.is_dragging();
        if !dragging || origin.origin == Origin::BarCorner {
            session.view.origin = origin;
        }
        if station == Station::Profile && !dragging {
            derived.refresh_lengths();
        }
        if session.view.comb {
            derived.refresh_comb();
        }
        if session.print.paper != settings.paper {
            settings.paper.clone_from(&session.print.paper);
        }
        if station == Station::Paper {
            let request = session.print.request(knife.unit, derived.shop());
            derived.refresh_pages(&request);
        } else {
            let at = session.section.pinned_mm.or(session.section.hovered_mm);
            derived.refresh_section(at);
        }
        derived.refresh_shaded(session.view.shade_request.as_ref());
        if !dragging {
            derived.refresh_ghost(session.ghost.as_ref());
        }
        if station == Station::Holes && stations::relief::has_room(&knife) {
            let ask = session.holes.relief.ask(derived.shop());
            derived.refresh_relief(&ask);
        }
        self.prune_selection(&knife);
        self.refresh_fairing();
    }

    /// Forgets selected parts that are gone.
    fn prune_selection(&mut self, knife: &Knife) {
        let session = &mut self.session;
        let points =
            if let GrindLine::Through(points) = &knife.grind_line { points.len() } else { 0 };
        let selection = &mut session.selection;
        selection.grind_point = selection.grind_point.filter(|at| *at < points);
        selection.parts.retain(|part| match part {
            PartId::Node(id) | PartId::Stretch(id) => knife.profile.node(*id).is_some(),
            // A hole that was just added is selected before it is there.
            PartId::Hole(id) => knife.hole(*id).is_some(),
            _ => true,
        });
    }

    /// Shows everything; actions are queued, nothing is changed.
    pub fn ui(&mut self, ui: &mut Ui) {
        if self.apply_style(ui.ctx()) {
            return;
        }
        self.keys(ui);
        let tabs = self.tabs();
        let palette = self.settings.color_theme.palette();
        file_drop::watch(ui, palette, &mut self.actions);
        let Self { document, derived, session, settings, actions, .. } = self;
        let knife = document.knife().clone();
        let context = |session: &Session| ViewContext {
            knife: &knife,
            derived,
            settings,
            palette,
            station: session.station,
            origin: session.view.origin,
        };
        let margin = |x, y| Frame::new().inner_margin(Margin::symmetric(x, y));
        // As things stand before this frame: whatever it asks for is done after it.
        let may: Vec<Command> = (COMMANDS.iter().map(|info| info.command))
            .filter(|command| enabled(*command, document, session, derived, tabs.0.len()))
            .collect();
        let enabled = |command| may.contains(&command);
        let menus = MenuContext { document, settings, palette, enabled: &enabled };
        Panel::top("head").frame(margin(14, 6).fill(palette.head)).show(ui, |ui| {
            menu::bar(ui, &menus, actions);
            tabs::ui(ui, &tabs, palette, actions);
            menu::stations(ui, session.station, palette, actions);
        });
        let screen = ui.ctx().content_rect();
        let foot = Panel::bottom("status")
            .frame(Frame::new().fill(palette.head))
            .resizable(false)
            .exact_size(status::HEIGHT)
            .show(ui, |ui| ui.max_rect());
        let strip = tools::width(ui.available_height());
        Panel::left("tools")
            .frame(Frame::new().fill(palette.head))
            .resizable(false)
            .exact_size(strip)
            .show(ui, |ui| tools::ui(ui, session, &menus, actions));
        if settings.findings {
            // As high as the maker wants it, never as high as what it holds: what is dragged must
            // not move the canvas.
            let max = (screen.height() * 0.4).max(54.0);
            Panel::bottom("findings")
                .frame(margin(14, 8).fill(palette.card))
                .resizable(true)
                .default_size((screen.height() * 0.1).clamp(48.0, 96.0))
                .size_range(44.0..=max)
                .show(ui, |ui| {
                    let rect = ui.available_rect_before_wrap();
                    ui.advance_cursor_after_rect(rect);
                    let mut inside = ui.new_child(UiBuilder::new().max_rect(rect));
                    inside.set_clip_rect(rect.intersect(ui.clip_rect()));
                    findings::ui(&mut inside, &context(session), session, actions);
                });
        }
        // A finding may have chosen another station.
        let context = context(session);
        if settings.card {
            let wide: f32 = if screen.width() < 800.0 { 268.0 } else { 318.0 };
            let max = (screen.width() * 0.5).clamp(180.0, 620.0);
            Panel::right("card")
                .frame(margin(16, 12).fill(palette.card))
                .resizable(true)
                .default_size(wide.min(max))
                .size_range(wide.min(max).min(240.0)..=max)
                .show(ui, |ui| card::ui(ui, &context, session, actions));
        }
        let middle = CentralPanel::no_frame().show(ui, |ui| {
            let rect = ui.available_rect_before_wrap();
            if context.station == Station::Paper {
                stations::paper::pages_ui(ui, &context, session);
            } else if session.turning.shown {
                turning::ui(ui, &context, session, actions);
            } else {
                canvas::ui(ui, &context, session, &menus, actions);
                let welcomed = &mut session.dialogs.welcomed;
                let files = &session.thumbnails;
                welcome::ui(ui, rect, (welcomed, files), palette, actions);
                *welcomed |= session.pointer.is_dragging() || !session.selection.parts.is_empty();
            }
            rect
        });
        status::show(ui, foot.inner, &context, session, actions);
        dialogs::ui(ui, &context, document.history(), session, actions);
        toasts::ui(ui, &mut session.toasts, middle.inner, palette);
        session.form.typing = ui.ctx().text_edit_focused();
    }

    /// Applies fonts, colours and scale when they changed; whether this pass must wait for them.
    fn apply_style(&mut self, ctx: &egui::Context) -> bool {
        let applied = self.storage.applied_theme.replace(self.settings.color_theme);
        if applied != Some(self.settings.color_theme) {
            if applied.is_none() {
                theme::install_fonts(ctx);
            }
            theme::apply_style(ctx, self.settings.color_theme);
            ctx.request_repaint();
        }
        if (ctx.zoom_factor() - self.settings.scale).abs() > 1e-3 {
            ctx.set_zoom_factor(self.settings.scale);
        }
        applied.is_none()
    }

    fn keys(&mut self, ui: &Ui) {
        let open = self.tabs().0.len();
        let Self { document, session, actions, .. } = self;
        if session.dialogs.is_blocking() {
            return;
        }
        menu::watch_keys(ui);
        // An open menu takes Escape and whatever is typed.
        if egui::Popup::is_any_open(ui.ctx())
            || input::cancel_drag(ui, &mut session.pointer, actions)
        {
            return;
        }
        let typing = session.form.typing || ui.ctx().text_edit_focused();
        if session.is_drawing(document.knife())
            && !typing
            && stations::drawing::canvas::keys(ui, &mut session.drawing, actions)
        {
            return;
        }
        self.clipboard_events(ui.ctx());
        let Self { document, derived, session, actions, .. } = self;
        for command in command::pressed(ui.ctx()) {
            if enabled(command, document, session, derived, open) {
                actions.run(command);
            }
        }
    }

    /// Does what the frame wanted. What a drag changed is shown by the same frame, in a second pass,
    /// so that the picture of what was before is never painted; where painting takes long, it is
    /// worked out meanwhile and shown by the next frame.
    pub fn act(&mut self, ctx: &egui::Context, host: &mut dyn Host) {
        // A pause is no frame; a second pass takes no time.
        let since_s = ctx.input(|input| input.unstable_dt).min(3.0 * SLOW_S);
        if since_s > 0.0 {
            self.frame_s += (since_s - self.frame_s) / 8.0;
        }
        if !self.session.pointer.is_dragging() {
            self.works_ahead = false;
        }
        let actions = self.actions.take();
        if !actions.is_empty() {
            self.apply_all(actions, ctx, host);
        }
        self.refresh_picture(ctx, host);
        self.read_thumbnails(ctx, host);
        self.autosave(ctx, host);
        self.store_work(ctx, host);
        self.store_settings(host);
    }

    /// Applies actions in their order, and asks for the frame that shows what came of them.
    fn apply_all(&mut self, actions: Vec<Action>, ctx: &egui::Context, host: &mut dyn Host) {
        let is_dragging = actions.iter().all(|action| matches!(action, Action::Preview(_)));
        let before = (self.document.revision(), self.session.toasts.clone());
        for action in actions {
            self.apply_action(action, ctx, host);
        }
        if !is_dragging {
            ctx.request_repaint();
        } else if (self.document.revision(), &self.session.toasts) != (before.0, &before.1) {
            // What is held still asks for the same again and again.
            self.show_at_once(ctx);
        }
    }

    /// Lets this frame show what was just changed, or the next one, whichever is sooner.
    fn show_at_once(&mut self, ctx: &egui::Context) {
        // Where egui is built to find faults it writes a warning over the third such frame in a row.
        let too_many = cfg!(debug_assertions) && self.second_passes == 2;
        self.works_ahead |= self.frame_s > SLOW_S;
        if too_many || self.works_ahead {
            self.second_passes = 0;
            self.derived.refresh_ahead(self.document.knife(), self.document.revision());
            ctx.request_repaint();
        } else {
            self.second_passes = (self.second_passes + 1) % 3;
            ctx.request_discard("what is dragged has moved");
        }
    }
}
