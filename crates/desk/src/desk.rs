//! The desk itself: what is open, what follows from it, what the maker is at, and the frame.

mod draws;
mod enabled;
mod files;

use crate::asking::{self, Ask, PathAsk, Purpose, Question};
use crate::canvas::{self, Plane, Read};
use crate::command::{self, Command, Commands, Wish};
use crate::derived::Derived;
use crate::menu::{self, Told};
use crate::open::Open;
use crate::recovery::{self, Recovery, Work};
use crate::session::{Aim, Session};
use crate::{
    FileProblem, Host, Settings, Station, aside, draw, dropped, findings, heat, help, keys,
    new_bar, shop_card, starters, stations, theme,
};
use egui::{Frame, Margin, Panel, Ui};
use enabled::enabled;
use knife::PartId;
use knife::{Edit, GrindLine, Knife, Origin, Placement, starter};
use std::path::Path;
use units::LengthUnit;

/// The starter that stands on the desk when it is first opened.
const FIRST: &str = "drop-point";

/// The desk.
pub struct Desk {
    /// The blank that is open.
    pub open: Open,
    /// What follows from it.
    pub derived: Derived,
    /// What the maker is at.
    pub session: Session,
    /// What is kept between runs.
    pub settings: Settings,
    /// What this frame wants done.
    pub commands: Commands,
    /// Keeps unsaved work, once there is somewhere to keep it.
    recovery: Option<Recovery>,
    /// The settings as they were last kept.
    kept: Settings,
    /// Whether that failed: it is told once, and tried once more when the desk is left.
    unkept: bool,
    /// The shop's file as it was last read or written.
    shop_file: shop_card::keep::ShopFile,
}

impl Desk {
    /// A desk with a finished blank on it, so that the first look shows what it is for.
    pub fn new(settings: Settings) -> Self {
        let knife = starter(FIRST).map_or_else(Knife::empty, knife::Starter::knife);
        let knife = Knife { unit: settings.unit, ..knife };
        Self {
            open: Open::fresh(knife),
            derived: Derived::new(),
            session: Session {
                paper: settings.paper.clone(),
                left_out: sheets::printing::excluded_by_default(),
                ..Session::default()
            },
            kept: settings.clone(),
            unkept: false,
            settings,
            commands: Commands::default(),
            recovery: None,
            shop_file: shop_card::keep::ShopFile::default(),
        }
    }

    /// Goes by the shop that was kept, from now on.
    pub fn open_shop(&mut self, host: &dyn Host) {
        let kept = shop_card::keep::read(host);
        self.derived.take_shop(kept.shop);
        self.shop_file = kept.file;
        if let Some(words) = kept.told {
            self.session.notices.say(words);
        }
    }

    /// Takes a changed shop and keeps it.
    fn change_shop(&mut self, shop: reckon::Shop, host: &mut dyn Host) {
        match shop_card::keep::write(&shop, &mut self.shop_file, host) {
            Ok(told) => told.into_iter().for_each(|words| self.session.notices.say(words)),
            Err(why) => {
                self.session.notices.say(why.to_string());
                if matches!(why.problem, FileProblem::Unreadable(_)) {
                    // It could never be kept.
                    return;
                }
            }
        }
        self.derived.take_shop(shop);
    }

    /// Keeps unsaved work from now on, under a name that no other run has, and offers what an
    /// earlier run left.
    pub fn keep_work(&mut self, session: &str, host: &mut dyn Host) {
        let found = recovery::found(host);
        for fault in found.faults {
            self.session.notices.say(fault);
        }
        self.session.found = found.works;
        self.session.found_ms = host.now_ms();
        self.recovery = Some(Recovery::new(session, host));
    }

    /// Lets go of what was kept: the desk is left in good order.
    pub fn close(&mut self, host: &mut dyn Host) {
        if let Some(recovery) = &mut self.recovery {
            recovery.close(host);
        }
        if self.unkept {
            let _ = self.settings.write(host);
        }
        self.keep_settings(host);
    }

    /// Opens a file. What was wrong with it is said.
    pub fn open_path(&mut self, path: &Path, host: &dyn Host) {
        match Open::read(path, host) {
            Ok((open, opened)) => {
                self.put(open);
                self.session.greeted = true;
                self.settings.opened(&host.absolute(path));
                if let Some(first) = opened.faults.first() {
                    let more = match opened.faults.len() + opened.more_faults {
                        1 => String::new(),
                        n => format!(" and {} more", n - 1),
                    };
                    self.session.notices.say(format!("Opened, but not all of it: {first}{more}"));
                }
            }
            Err(why) => self.session.notices.say(why.to_string()),
        }
    }

    /// What the window is called: the blank's name, with a mark while there is unsaved work.
    pub fn title(&self) -> String {
        let mark = if self.is_unsaved() { "• " } else { "" };
        format!("{mark}{} – Blankwright", self.open.title())
    }

    /// Asks before unsaved work is lost; whether the window may close at once.
    pub fn may_close(&mut self) -> bool {
        if self.session.leave || !self.is_unsaved() {
            return true;
        }
        self.session.ask = Some(Ask::Question(Question::Leave));
        false
    }

    /// The path that the window's own dialog is to ask for, handed over once.
    pub fn take_native_ask(&mut self) -> Option<PathAsk> {
        match self.session.ask.take() {
            Some(Ask::Native(ask)) => Some(ask),
            other => {
                self.session.ask = other;
                None
            }
        }
    }

    /// Asks for a path by a field of the desk's own.
    pub fn ask_typed(&mut self, ask: PathAsk) {
        let text = ask.offered.display().to_string();
        self.session.ask = Some(Ask::Typed(ask, text));
    }

    /// Everything before painting: keys, dropped files, and what follows from the knife.
    pub fn logic(&mut self) {
        let (knife, revision) = (self.open.knife().clone(), self.open.revision());
        self.derived.renew(&knife, revision, Plane::of(self.session.station));
        // What is dragged doesn't take the origin along; the bar's corner never goes with it.
        let origin = self.derived.reckoning.origin;
        if self.session.grip.is_none() || origin.origin == Origin::BarCorner {
            self.session.origin = origin;
        }
        if self.session.station == Station::Profile && self.session.grip.is_none() {
            self.derived.renew_lengths();
        }
        if self.session.comb {
            self.derived.renew_comb(&knife);
        }
        if self.session.paper != self.settings.paper {
            self.settings.paper.clone_from(&self.session.paper);
        }
        if self.session.station != Station::Paper {
            let at = self.session.pinned_mm.or(self.session.section_mm);
            self.derived.renew_section(&knife, revision, at);
        } else {
            let wanted = stations::paper::wanted(&self.session, knife.unit, self.derived.shop());
            self.derived.renew_pages(&knife, revision, &wanted);
        }
        self.derived.renew_shaded(revision, self.session.shaded.as_ref());
        if self.session.station == Station::Holes && stations::relief::has_room(&knife) {
            let ask = self.session.relief.ask(self.derived.shop());
            self.derived.renew_relief(&knife, revision, &ask);
        }
        let points =
            if let GrindLine::Through(points) = &knife.grind_line { points.len() } else { 0 };
        self.session.grind_point = self.session.grind_point.filter(|at| *at < points);
        let known = |part: &PartId| match part {
            PartId::Node(id) | PartId::Stretch(id) => knife.profile.node(*id).is_some(),
            // A hole that was just added is chosen before it is there.
            PartId::Hole(id) => knife.hole(*id).is_some(),
            _ => true,
        };
        self.session.selection.retain(known);
    }

    /// Shows everything; wishes are queued, nothing is changed.
    pub fn ui(&mut self, ui: &mut Ui) {
        if self.dress(ui.ctx()) {
            return;
        }
        self.keys(ui);
        dropped::watch(ui, self.settings.room.palette(), &mut self.commands);
        let Self { open, derived, session, settings, commands, .. } = self;
        let palette = settings.room.palette();
        let knife = open.knife().clone();
        let read = Read { knife: &knife, derived, settings, palette, origin: session.origin };
        let enabled = |command| enabled(command, open, session, derived);
        let told = Told { open, settings, palette, enabled: &enabled };
        let margin = |x, y| Frame::new().inner_margin(Margin::symmetric(x, y));
        Panel::top("head").frame(margin(14, 6).fill(palette.head)).show(ui, |ui| {
            menu::bar(ui, &told, commands);
            menu::stations(ui, session, palette, commands);
        });
        let screen = ui.ctx().content_rect();
        let most = (screen.height() * 0.2).clamp(54.0, 150.0);
        Panel::bottom("findings")
            .frame(margin(14, 8).fill(palette.card))
            .resizable(false)
            .max_size(most)
            .show(ui, |ui| {
                ui.set_max_height(most - 16.0);
                findings::ui(ui, &read, session, commands);
            });
        let wide = if screen.width() < 800.0 { 268.0 } else { 318.0 };
        Panel::right("card")
            .frame(margin(16, 12).fill(palette.card))
            .resizable(false)
            .exact_size(wide)
            .show(ui, |ui| stations::card(ui, &read, session, commands));
        let canvas = egui::CentralPanel::no_frame().show(ui, |ui| {
            let rect = ui.available_rect_before_wrap();
            if session.station == Station::Paper {
                stations::paper::pages_ui(ui, &read, session);
            } else {
                canvas::ui(ui, &read, session, commands);
                crate::greeting::ui(ui, rect, session, palette, commands);
            }
            rect
        });
        crate::recovering::ui(ui, &session.found, session.found_ms, palette, commands);
        starters::ui(ui, session, palette, commands);
        new_bar::ui(ui, &read, session, commands);
        keys::ui(ui, session, palette);
        help::ui(ui, session, palette);
        shop_card::ui(ui, &read, session, commands);
        heat::ui(ui, &read, session, commands);
        aside::ui(ui, session, palette, commands);
        crate::matching::ui(ui, settings.pixels_per_mm, session, palette, commands);
        if let Some(ask) = session.ask.take() {
            session.ask = asking::ui(ui, ask, palette, commands);
        }
        session.notices.ui(ui, canvas.inner, palette);
        session.typing = ui.ctx().text_edit_focused();
    }

    /// Gives fonts, colours and scale when they changed; whether this pass must wait for them.
    fn dress(&mut self, ctx: &egui::Context) -> bool {
        let first = self.session.dressed.is_none();
        if self.session.dressed != Some(self.settings.room) {
            if first {
                theme::give_fonts(ctx);
            }
            theme::dress(ctx, self.settings.room);
            self.session.dressed = Some(self.settings.room);
            ctx.request_repaint();
        }
        if (ctx.zoom_factor() - self.settings.scale).abs() > 1e-3 {
            ctx.set_zoom_factor(self.settings.scale);
        }
        first
    }

    fn keys(&mut self, ui: &Ui) {
        let asked = self.session.ask.is_some()
            || self.session.starters
            || self.session.new_bar.is_some()
            || self.session.keys
            || self.session.manual.is_some()
            || self.session.matching
            || self.session.shop.is_some()
            || self.session.heat
            || self.session.aside.is_some()
            || !self.session.found.is_empty()
            // An open menu takes Escape and whatever is typed.
            || egui::Popup::is_any_open(ui.ctx());
        if asked || canvas::escape(ui, &mut self.session, &mut self.commands) {
            return;
        }
        if draw::hand::keys(ui, &mut self.session, self.open.knife(), &mut self.commands) {
            return;
        }
        for command in command::pressed(ui.ctx()) {
            if enabled(command, &self.open, &self.session, &self.derived) {
                self.commands.run(command);
            }
        }
    }

    /// Grants what the frame wished.
    pub fn act(&mut self, ctx: &egui::Context, host: &mut dyn Host) {
        let wishes = self.commands.take();
        if !wishes.is_empty() {
            ctx.request_repaint();
        }
        for wish in wishes {
            self.grant(wish, ctx, host);
        }
        self.keep(ctx, host);
        self.keep_settings(host);
    }

    /// Keeps unsaved work, at most once a second.
    fn keep(&mut self, ctx: &egui::Context, host: &mut dyn Host) {
        let Some(recovery) = &mut self.recovery else { return };
        match recovery.tick(&work(&self.open), host) {
            Ok(None) => {}
            Ok(Some(ms)) => ctx.request_repaint_after(std::time::Duration::from_millis(ms)),
            Err(why) => self.session.notices.say(why.to_string()),
        }
    }

    fn keep_settings(&mut self, host: &mut dyn Host) {
        if self.settings == self.kept {
            return;
        }
        self.kept = self.settings.clone();
        let kept = self.settings.write(host);
        self.unkept = kept.is_err();
        if let Err(why) = kept {
            self.session.notices.say(why.to_string());
        }
    }

    /// Takes up what an earlier run left.
    fn take_up(&mut self, at: usize) {
        if at >= self.session.found.len() {
            return;
        }
        let left = self.session.found.remove(at);
        if let Some(recovery) = &mut self.recovery {
            recovery.take_over(&left);
        }
        self.put(Open::recovered(left.knife, left.path, left.on_disk));
        self.session.found.clear();
        self.session.greeted = true;
    }

    fn grant(&mut self, wish: Wish, ctx: &egui::Context, host: &mut dyn Host) {
        match wish {
            Wish::Run(command) => self.run(command, ctx, host),
            Wish::Edit(edits) => {
                let done = self.open.edit(&edits);
                self.say_refused(done);
            }
            Wish::Begin => self.open.begin(),
            Wish::Preview(edits) => {
                let done = self.open.preview(&edits);
                self.say_refused(done);
            }
            Wish::Commit => self.open.commit(),
            Wish::Cancel => self.open.cancel(),
            Wish::Start(key) => {
                if self.keeps(Question::Start(key)) {
                    self.start(key);
                }
            }
            Wish::Draw(bar) => self.draw_on(*bar),
            Wish::Path(purpose, path) => self.path(purpose, path, ctx, host),
            Wish::SaveAndLeave => self.save_and_leave(ctx, host),
            Wish::Yes(question) => self.yes(question, ctx, host),
            Wish::Match(dots) => self.settings.pixels_per_mm = dots,
            Wish::Look(aim) => self.session.aim = Some(aim),
            Wish::GridPitch(mm) => {
                self.settings.grid_mm = Some(mm);
                self.settings.grid = true;
            }
            Wish::Today => self.session.date = Some(host.today()),
            Wish::Dropped(paths) => self.dropped(paths, ctx, host),
            Wish::TakeUp(at) => self.take_up(at),
            Wish::GiveUp(at) => {
                if at < self.session.found.len() {
                    self.session.found.remove(at).discard(host);
                }
            }
            Wish::Later => self.session.found.clear(),
            Wish::Shop(shop) => self.change_shop(*shop, host),
            Wish::Say(words) => self.session.notices.say(words),
        }
    }

    fn say_refused(&mut self, done: Result<(), knife::Refusal>) {
        if let Err(why) = done {
            self.session.notices.say(why.to_string());
        }
    }

    fn run(&mut self, command: Command, ctx: &egui::Context, host: &mut dyn Host) {
        match command {
            Command::New => self.session.starters = true,
            Command::DrawOwn => {
                self.session.starters = false;
                self.session.new_bar = Some(new_bar::usual(self.settings.unit));
            }
            Command::DrawOutline => self.draw_outline(),
            Command::CloseOutline => self.close_outline(),
            Command::Open => self.ask(Purpose::Open),
            Command::TakeOutline => self.ask(Purpose::TakeOutline),
            Command::Save | Command::SaveAs if !self.has_outline_to_save() => {}
            Command::Save => match self.open.path().map(Path::to_owned) {
                Some(path) => self.path(Purpose::Save, path, ctx, host),
                None => self.ask(Purpose::Save),
            },
            Command::SaveAs => self.ask(Purpose::Save),
            Command::Print => self.ask(Purpose::Print),
            Command::OpenPdf => self.open_pdf(host),
            Command::Proof => self.ask(Purpose::Proof),
            Command::Quit => {
                if self.may_close() {
                    self.leave(ctx);
                }
            }
            Command::Undo => self.undo(),
            Command::Redo => self.redo(),
            Command::Station(station) => self.go_to(station),
            Command::Fit => self.session.aim = Some(Aim::Fit),
            Command::TrueSize => self.session.aim = Some(Aim::TrueSize),
            Command::MatchScreen => self.session.matching = true,
            Command::Shop => self.session.shop = Some(shop_card::ShopPage::default()),
            Command::Heat => self.session.heat = true,
            Command::ZoomIn => self.session.aim = Some(Aim::Zoom(1.25)),
            Command::ZoomOut => self.session.aim = Some(Aim::Zoom(0.8)),
            Command::Grid => self.settings.grid = !self.settings.grid,
            Command::Section => self.settings.section = !self.settings.section,
            Command::PinSection => {
                let here = self.derived.section_mm();
                let pinned = &mut self.session.pinned_mm;
                *pinned = if pinned.is_some() { None } else { here };
            }
            Command::Shaded => self.settings.shaded = !self.settings.shaded,
            Command::Stiffness => self.settings.stiffness = !self.settings.stiffness,
            Command::Comb => self.session.comb = !self.session.comb,
            Command::Chain => {
                // From another station the first wish is to see it.
                let here = self.session.station == Station::Bar;
                self.session.chain = !(here && self.session.chain);
                self.go_to(Station::Bar);
            }
            Command::Room => self.settings.room = self.settings.room.other(),
            Command::Larger => self.settings.scale = (self.settings.scale + 0.125).min(2.0),
            Command::Smaller => self.settings.scale = (self.settings.scale - 0.125).max(1.0),
            Command::Keys => self.session.keys = true,
            Command::Manual => self.session.manual = manual::PAGES.first(),
            Command::AddHole => {
                self.go_to(Station::Holes);
                self.session.placing = true;
                self.session.selection.clear();
            }
            Command::ChooseNone => {
                self.session.placing = false;
                self.session.selection.clear();
            }
            Command::ChooseAll => self.choose_all(),
            _ => self.work(command),
        }
    }

    fn go_to(&mut self, station: Station) {
        if self.session.station != station {
            // Whatever is being typed into the knife ends with its station.
            self.open.commit();
            self.session.station = station;
            self.session.placing = false;
            self.session.selection.clear();
            self.session.draw.just_closed = false;
        }
    }

    /// Commands that are edits.
    fn work(&mut self, command: Command) {
        let knife = self.open.knife().clone();
        let nodes = self.session.nodes();
        let stretches = self.session.stretches();
        let bevels = self.session.station == Station::Bevels;
        let edits: Vec<Edit> = match command {
            Command::Delete => {
                let holes = self.session.holes().into_iter().map(Edit::RemoveHole);
                let point = self.session.grind_point.filter(|_| bevels);
                let point = point.and_then(|at| self.without_line_point(&knife, at));
                nodes.into_iter().map(Edit::RemoveNode).chain(holes).chain(point).collect()
            }
            Command::AddLinePoint => self.line_point(&knife).into_iter().collect(),
            Command::Corner => nodes.into_iter().map(Edit::MakeCorner).collect(),
            Command::Smooth => nodes.into_iter().map(Edit::MakeSmooth).collect(),
            Command::Straighten => {
                stretches.into_iter().map(|stretch| Edit::Straighten { stretch }).collect()
            }
            Command::Bend => stretches.into_iter().map(|stretch| Edit::Bend { stretch }).collect(),
            Command::MarkTip => nodes.into_iter().map(Edit::MarkTip).collect(),
            Command::MarkHeel => nodes.into_iter().map(Edit::MarkHeel).collect(),
            Command::MirrorAcross => vec![Edit::MirrorAcross],
            Command::MirrorAlong => vec![Edit::MirrorAlong],
            Command::AddNode => self.node_at_pointer(&knife).into_iter().collect(),
            Command::TurnToFit => self
                .derived
                .reckoning
                .bar
                .map(|bar| Edit::Place(Placement { at: bar.best_at, turn_deg: bar.best_turn_deg }))
                .into_iter()
                .collect(),
            Command::Unit => {
                let unit = match knife.unit {
                    LengthUnit::Inch => LengthUnit::Millimetre,
                    LengthUnit::Millimetre => LengthUnit::Inch,
                };
                self.settings.unit = unit;
                vec![Edit::SetUnit(unit)]
            }
            _ => Vec::new(),
        };
        if !edits.is_empty() {
            let done = self.open.edit(&edits);
            self.say_refused(done);
        }
    }

    /// A node on the outline nearest to the pointer.
    fn node_at_pointer(&self, knife: &Knife) -> Option<Edit> {
        let outline = self.derived.reckoning.outline.as_ref()?;
        let knife_from_plane = self.derived.plane().plane_from_knife(knife).inverse();
        let at = knife_from_plane * self.session.pointer?;
        let nearest = outline.nearest(at);
        let stretch = knife.profile.nodes.get(nearest.segment)?.id;
        Some(Edit::AddNode { stretch, t: nearest.t.clamp(0.001, 0.999) })
    }

    /// A point of the grind line where the pointer is, if it is over the canvas.
    fn line_point(&self, knife: &Knife) -> Option<Edit> {
        let knife_from_plane = self.derived.plane().plane_from_knife(knife).inverse();
        let at = self.session.pointer.map(|at| knife_from_plane * at);
        stations::bevels::one_more(knife, &self.derived.reckoning, at)
    }

    /// The grind line without its chosen point; two must stay.
    fn without_line_point(&mut self, knife: &Knife, at: usize) -> Option<Edit> {
        let removed = stations::bevels::removed(knife, at);
        match removed {
            Some(_) => self.session.grind_point = None,
            None => self.session.notices.say("A grind line keeps two points at least."),
        }
        removed
    }

    fn choose_all(&mut self) {
        let knife = self.open.knife();
        self.session.selection = match self.session.station {
            Station::Profile => knife.profile.nodes.iter().map(|n| PartId::Node(n.id)).collect(),
            Station::Holes => knife.holes.iter().map(|h| PartId::Hole(h.id)).collect(),
            _ => return,
        };
    }

    fn ask(&mut self, purpose: Purpose) {
        let file = self.open.path();
        let stem = file
            .and_then(Path::file_name)
            .map(|name| name.to_string_lossy().into_owned())
            .map(|name| name.trim_end_matches(knife::file::EXTENSION).to_owned())
            .unwrap_or_else(|| self.open.title().replace(['/', '\\'], "-"));
        let folder = file.and_then(Path::parent).map(Path::to_owned).unwrap_or_default();
        let offered = match purpose {
            Purpose::Open | Purpose::TakeOutline => folder,
            Purpose::Save | Purpose::SaveAndLeave => {
                folder.join(format!("{stem}{}", knife::file::EXTENSION))
            }
            Purpose::Print => folder.join(format!("{stem}.pdf")),
            Purpose::Proof => folder.join("proof.pdf"),
        };
        let ask = PathAsk { purpose, offered };
        if self.session.native_dialogs {
            self.session.ask = Some(Ask::Native(ask));
        } else {
            self.ask_typed(ask);
        }
    }

    /// Whether nothing would be lost; else that is asked first.
    fn keeps(&mut self, question: Question) -> bool {
        if self.is_unsaved() {
            self.session.ask = Some(Ask::Question(question));
            return false;
        }
        true
    }

    fn start(&mut self, key: &'static str) {
        if let Some(starter) = starter(key) {
            self.put(Open::fresh(Knife { unit: self.settings.unit, ..starter.knife() }));
            self.session.greeted = true;
        }
    }

    fn put(&mut self, open: Open) {
        self.open = open;
        self.derived.forget();
        self.session.selection.clear();
        self.session.placing = false;
        self.session.grip = None;
        self.session.pinned_mm = None;
        self.session.section_mm = None;
        self.session.grind_point = None;
        self.session.draw = draw::DrawTool::on(self.open.knife());
        self.session.look_anew();
        self.session.drafts = crate::field::Drafts::default();
    }

    fn yes(&mut self, question: Question, ctx: &egui::Context, host: &mut dyn Host) {
        match question {
            Question::Leave => self.leave(ctx),
            Question::Start(key) => self.start(key),
            Question::Draw(bar) => self.empty_bar(*bar),
            Question::Open(path) => self.open_path(&path, host),
            Question::Replace(Purpose::Print, path) => self.print(&path, host),
            Question::SaveOver(Purpose::SaveAndLeave, path)
            | Question::Replace(Purpose::SaveAndLeave, path) => {
                self.save(&path, host);
                self.leave_if_saved(ctx);
            }
            Question::SaveOver(_, path) | Question::Replace(_, path) => self.save(&path, host),
        }
    }

    fn leave(&mut self, ctx: &egui::Context) {
        self.session.leave = true;
        ctx.send_viewport_cmd(egui::ViewportCommand::Close);
    }

    fn leave_if_saved(&mut self, ctx: &egui::Context) {
        if !self.is_unsaved() {
            self.leave(ctx);
        }
    }

    fn save_and_leave(&mut self, ctx: &egui::Context, host: &mut dyn Host) {
        if !self.has_outline_to_save() {
            return;
        }
        match self.open.path().map(Path::to_owned) {
            Some(path) => self.path(Purpose::SaveAndLeave, path, ctx, host),
            None => self.ask(Purpose::SaveAndLeave),
        }
    }
}

/// The work as it stands, to be kept.
fn work(open: &Open) -> Work<'_> {
    Work {
        knife: open.knife(),
        revision: open.revision(),
        dirty: open.is_dirty(),
        path: open.path(),
        on_disk: open.on_disk(),
    }
}
