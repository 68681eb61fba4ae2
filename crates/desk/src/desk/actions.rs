//! What each action and each command does.

use super::Desk;
use super::keeping::placed_on;
use crate::action::Action;
use crate::command::Command;
use crate::dialogs::new_bar;
use crate::document::Document;
use crate::state::{
    Dialog, DrawTool, ManualReader, PathRequest, PictureState, Prompt, Purpose, Question,
    SectionState, ShopPage, Station, ViewRequest,
};
use crate::stations::bevels;
use host::Host;
use knife::{Edit, Knife, NodeId, PartId, Placement, starter};
use kurbo::Point;
use std::path::Path;
use units::LengthUnit;

impl Desk {
    pub(super) fn apply_action(
        &mut self,
        action: Action,
        ctx: &egui::Context,
        host: &mut dyn Host,
    ) {
        match action {
            Action::Command(command) => self.run_command(command, ctx, host),
            Action::Edit(edits) => self.edit(&edits),
            Action::BeginGesture => self.document.begin(),
            Action::Preview(edits) => {
                let done = self.document.preview(&edits);
                self.session.toasts.report(done);
            }
            Action::CommitGesture => self.document.commit(),
            Action::CancelGesture => self.document.cancel(),
            Action::OpenStarter(key) => {
                if self.may_discard(Question::Start(key)) {
                    self.open_starter(key);
                }
            }
            Action::BeginOn(bar, command) => {
                self.run_command(command, ctx, host);
                self.session.dialogs.bar = bar.map(|bar| *bar);
            }
            Action::GoToTab(at) => self.go_to_tab(at),
            Action::CloseTab(at) => self.close_tab(at, host),
            Action::SetSettings(settings) => self.settings = *settings,
            Action::GoToStep(steps) => self.document.go_to_step(steps),
            Action::ShowGhost(ghost) => {
                self.session.ghost = Some(*ghost);
                self.session.dialogs.open = Some(Dialog::Compare);
            }
            Action::GhostFromFile(path) => self.ghost_from_file(&path, host),
            Action::HideGhost => self.session.ghost = None,
            Action::Restore(label, knife) => {
                self.document.replace(&label, *knife);
                self.session.selection.clear();
            }
            Action::AskPath(purpose) => self.ask_path(purpose),
            Action::DrawOnBar(bar) => self.draw_on(*bar),
            Action::PathChosen(purpose, path) => self.use_path(purpose, path, ctx, host),
            Action::SaveAndQuit => self.save_and_quit(ctx, host),
            Action::Confirm(question) => self.confirm(question, ctx, host),
            Action::SetPixelsPerMm(dots) => self.settings.pixels_per_mm = dots,
            Action::View(request) => self.session.view.request = Some(request),
            Action::SetGridPitch(mm) => {
                self.settings.grid_mm = Some(mm);
                self.settings.grid = true;
            }
            Action::InsertToday => self.session.print.date = Some(host.today()),
            Action::FilesDropped(paths) => self.use_dropped(paths, ctx, host),
            Action::Recover(at) => self.recover(at),
            Action::Discard(at) => {
                let found = &mut self.session.dialogs.found;
                if at < found.len() {
                    found.remove(at).discard(host);
                }
            }
            Action::Dismiss => self.session.dialogs.found.clear(),
            Action::SetShop(shop) => self.set_shop(*shop, host),
            Action::TakeOutline(knife) => self.lay_outline(&knife),
            Action::UseTracing(tracing, of) => self.use_tracing(tracing, of, ctx),
            Action::SquareUp => self.square_up_picture(ctx, host),
            Action::AskExport(format) => self.ask_path(Purpose::Export(format)),
            Action::FindPicture => self.session.picture.look_again(),
            Action::LayOutBar => self.lay_out_bar(),
            Action::Toast(message) => self.session.toasts.push(message),
        }
    }

    /// Does edits as one step, or says why not.
    pub(super) fn edit(&mut self, edits: &[Edit]) {
        let done = self.document.edit(edits);
        self.session.toasts.report(done);
    }

    fn run_command(&mut self, command: Command, ctx: &egui::Context, host: &mut dyn Host) {
        match command {
            Command::New => {
                let bar = new_bar::usual(self.settings.unit);
                self.open_dialog(Dialog::Begin(Box::new(bar)));
            }
            Command::Starters => {
                self.session.dialogs.bar = None;
                self.open_dialog(Dialog::Starters);
            }
            Command::DrawNew => {
                self.open_dialog(Dialog::NewBar(new_bar::usual(self.settings.unit)))
            }
            Command::DrawOutline => self.draw_outline(),
            Command::CloseOutline => self.close_outline(),
            Command::Open => self.ask_path(Purpose::Open),
            Command::ImportOutline => {
                self.session.dialogs.bar = None;
                self.ask_path(Purpose::ImportOutline);
            }
            Command::TracePicture => {
                self.session.dialogs.bar = None;
                self.ask_path(Purpose::TracePicture);
            }
            Command::NewTab => self.new_tab(host),
            Command::NextTab => self.step_tab(true),
            Command::PreviousTab => self.step_tab(false),
            Command::CloseTab => self.close_tab(self.tabs().1, host),
            Command::SaveVersion => self.save_version(host),
            Command::Versions => self.open_versions(host),
            Command::PlanBar => self.plan_bar(),
            Command::History => self.open_dialog(Dialog::History),
            Command::Compare => self.open_dialog(Dialog::Compare),
            Command::Preferences => self.open_dialog(Dialog::Preferences),
            Command::About => self.open_dialog(Dialog::About),
            Command::Save | Command::SaveAs if !self.has_outline_to_save() => {}
            Command::Save => self.save_to_own_file(Purpose::Save, ctx, host),
            Command::SaveAs => self.ask_path(Purpose::Save),
            Command::Print => self.ask_path(Purpose::Print),
            Command::OpenPdf => self.open_pdf(host),
            Command::Proof => self.ask_path(Purpose::Proof),
            Command::Mat => self.ask_path(Purpose::Mat),
            Command::Export => self.open_dialog(Dialog::Export),
            Command::Quit => {
                if self.may_close() {
                    self.quit(ctx);
                }
            }
            Command::Undo => self.undo(),
            Command::Redo => self.redo(),
            Command::Station(station) => self.go_to(station),
            Command::MatchScreen => self.open_dialog(Dialog::MatchScreen),
            Command::Shop => self.open_dialog(Dialog::Shop(ShopPage::default())),
            Command::Heat => self.open_dialog(Dialog::Heat),
            Command::Shortcuts => self.open_dialog(Dialog::Shortcuts),
            Command::Manual => {
                if let Some(page) = manual::PAGES.first() {
                    self.open_dialog(Dialog::Manual(ManualReader::at(page)));
                }
            }
            Command::AddHole => {
                self.go_to(Station::Holes);
                self.session.holes.active = true;
                self.session.selection.clear();
            }
            Command::SelectNone if self.session.tools.measuring.active => {
                self.session.tools.measuring.escape();
            }
            Command::SelectNone if self.session.tools.fairing.active => {
                self.session.tools.fairing.active = false;
            }
            Command::SelectNone => {
                self.session.holes.active = false;
                self.session.selection.clear();
            }
            Command::SelectAll => self.select_all(),
            Command::Picture => self.session.picture.visible ^= true,
            _ if self.run_view_command(command) || self.run_drawing_command(command, ctx) => {}
            _ => self.run_edit_command(command),
        }
    }

    fn open_dialog(&mut self, dialog: Dialog) {
        self.session.dialogs.open = Some(dialog);
    }

    /// Commands that change what is seen; whether it was one.
    fn run_view_command(&mut self, command: Command) -> bool {
        let (settings, view) = (&mut self.settings, &mut self.session.view);
        match command {
            Command::Fit => view.request = Some(ViewRequest::Fit),
            Command::FitSelection => view.request = Some(ViewRequest::FitSelection),
            Command::Card => settings.card = !settings.card,
            Command::Findings => settings.findings = !settings.findings,
            Command::TrueSize => view.request = Some(ViewRequest::TrueSize),
            Command::ZoomIn => view.request = Some(ViewRequest::Zoom(1.25)),
            Command::ZoomOut => view.request = Some(ViewRequest::Zoom(0.8)),
            Command::Grid => settings.grid = !settings.grid,
            Command::Section => settings.section = !settings.section,
            Command::PinSection => {
                let here = self.derived.section_mm();
                let pinned = &mut self.session.section.pinned_mm;
                *pinned = if pinned.is_some() { None } else { here };
            }
            Command::Shaded => settings.shaded = !settings.shaded,
            Command::Turn => self.session.turning.toggle(),
            Command::Stiffness => settings.stiffness = !settings.stiffness,
            Command::Comb => view.comb = !view.comb,
            Command::Chain => {
                // From another station the first wish is to see it.
                view.chain = !(self.session.station == Station::Bar && view.chain);
                self.go_to(Station::Bar);
            }
            Command::Theme => settings.color_theme = settings.color_theme.other(),
            Command::Larger => settings.scale = (settings.scale + 0.125).min(2.0),
            Command::Smaller => settings.scale = (settings.scale - 0.125).max(1.0),
            _ => return false,
        }
        true
    }

    pub(super) fn go_to(&mut self, station: Station) {
        if self.session.station != station {
            // Whatever is being typed into the knife ends with its station.
            self.document.commit();
            self.session.station = station;
            self.session.holes.active = false;
            self.session.selection.clear();
            self.session.drawing.just_closed = false;
        }
    }

    /// Commands that are edits.
    fn run_edit_command(&mut self, command: Command) {
        self.catch_up();
        let knife = self.document.knife().clone();
        let nodes = self.session.selection.nodes().into_iter();
        let segments = self.session.selection.segments().into_iter();
        let edits: Vec<Edit> = match command {
            Command::Delete => {
                let holes = self.session.selection.holes().into_iter().map(Edit::RemoveHole);
                let bevels = self.session.station == Station::Bevels;
                let point = self.session.selection.grind_point.filter(|_| bevels);
                let point = point.and_then(|at| self.without_line_point(&knife, at));
                let nodes: Vec<NodeId> = nodes.collect();
                let nodes = match nodes.len() {
                    0 => None,
                    1 => Some(Edit::RemoveNode(nodes[0])),
                    _ => Some(Edit::RemoveNodes(nodes)),
                };
                nodes.into_iter().chain(holes).chain(point).collect()
            }
            Command::AddLinePoint => self.added_line_point(&knife).into_iter().collect(),
            Command::MakeCorner => nodes.map(Edit::MakeCorner).collect(),
            Command::MakeSmooth => nodes.map(Edit::MakeSmooth).collect(),
            Command::Straighten => segments.map(|stretch| Edit::Straighten { stretch }).collect(),
            Command::MakeCurved => segments.map(|stretch| Edit::Bend { stretch }).collect(),
            Command::MarkTip => nodes.map(Edit::MarkTip).collect(),
            Command::MarkHeel => nodes.map(Edit::MarkHeel).collect(),
            Command::FlipVertical => vec![Edit::MirrorAcross],
            Command::FlipHorizontal => vec![Edit::MirrorAlong],
            Command::AddNode => self.node_at_pointer(&knife).into_iter().collect(),
            Command::RotateToFit => {
                let bar = self.derived.reckoning.bar;
                let place =
                    bar.map(|bar| Placement { at: bar.best_at, turn_deg: bar.best_turn_deg });
                place.map(Edit::Place).into_iter().collect()
            }
            Command::Unit => {
                self.settings.unit = match knife.unit {
                    LengthUnit::Inch => LengthUnit::Millimetre,
                    LengthUnit::Millimetre => LengthUnit::Inch,
                };
                vec![Edit::SetUnit(self.settings.unit)]
            }
            _ => Vec::new(),
        };
        if !edits.is_empty() {
            self.edit(&edits);
        }
    }

    /// Where the pointer is, in the knife's plane.
    pub(super) fn pointer_on(&self, knife: &Knife) -> Option<Point> {
        let knife_from_plane = self.derived.plane().plane_from_knife(knife).inverse();
        self.session.pointer.at().map(|at| knife_from_plane * at)
    }

    /// A node on the outline nearest to the pointer.
    fn node_at_pointer(&self, knife: &Knife) -> Option<Edit> {
        let outline = self.derived.reckoning.outline.as_ref()?;
        let nearest = outline.nearest(self.pointer_on(knife)?);
        let stretch = knife.profile.nodes.get(nearest.segment)?.id;
        Some(Edit::AddNode { stretch, t: nearest.t.clamp(0.001, 0.999) })
    }

    /// A point of the grind line where the pointer is, if it is over the canvas.
    fn added_line_point(&self, knife: &Knife) -> Option<Edit> {
        bevels::added_point(knife, &self.derived.reckoning, self.pointer_on(knife))
    }

    /// The grind line without its selected point; two must stay.
    fn without_line_point(&mut self, knife: &Knife, at: usize) -> Option<Edit> {
        let removed = bevels::removed_point(knife, at);
        match removed {
            Some(_) => self.session.selection.grind_point = None,
            None => self.session.toasts.push("A grind line needs at least two points."),
        }
        removed
    }

    fn select_all(&mut self) {
        let knife = self.document.knife();
        self.session.selection.parts = match self.session.station {
            Station::Profile => knife.profile.nodes.iter().map(|n| PartId::Node(n.id)).collect(),
            Station::Holes => knife.holes.iter().map(|h| PartId::Hole(h.id)).collect(),
            _ => return,
        };
    }

    pub(super) fn ask_path(&mut self, purpose: Purpose) {
        let file = self.document.path();
        let stem = file
            .and_then(Path::file_name)
            .map(|name| name.to_string_lossy().into_owned())
            .map(|name| name.trim_end_matches(knife::file::EXTENSION).to_owned())
            .unwrap_or_else(|| self.document.title().replace(['/', '\\'], "-"));
        let folder = file.and_then(Path::parent).map(Path::to_owned).unwrap_or_default();
        let offered = match purpose {
            Purpose::Open
            | Purpose::ImportOutline
            | Purpose::TracePicture
            | Purpose::SwapPicture
            | Purpose::Compare
            | Purpose::AddToBar => folder,
            Purpose::Save | Purpose::SaveAndQuit => {
                folder.join(format!("{stem}{}", knife::file::EXTENSION))
            }
            Purpose::Print => folder.join(format!("{stem}.pdf")),
            Purpose::Proof => folder.join("proof.pdf"),
            Purpose::Mat => folder.join("tracing-mat.pdf"),
            Purpose::Export(format) => folder.join(format!("{stem}.{}", format.ending())),
        };
        let request = PathRequest { purpose, offered };
        if self.session.dialogs.native {
            self.session.dialogs.prompt = Some(Prompt::Native(request));
        } else {
            self.prompt_path(request);
        }
    }

    /// Whether nothing would be lost; else that is asked first.
    pub(super) fn may_discard(&mut self, question: Question) -> bool {
        if self.is_unsaved() {
            self.session.dialogs.prompt = Some(Prompt::Question(question));
            return false;
        }
        true
    }

    fn open_starter(&mut self, key: &'static str) {
        if let Some(starter) = starter(key) {
            let knife = Knife { unit: self.settings.unit, ..starter.knife() };
            let knife = match self.session.dialogs.bar.take() {
                Some(bar) => placed_on(knife, &bar),
                None => knife,
            };
            self.open_document(Document::fresh(knife));
        }
    }

    /// Puts a document in place of the one that is open.
    pub(super) fn open_document(&mut self, document: Document) {
        self.document = document;
        self.derived.forget();
        let session = &mut self.session;
        session.selection.clear();
        session.selection.grind_point = None;
        session.holes.active = false;
        session.pointer.drag = None;
        session.section =
            SectionState { panel_fits: session.section.panel_fits, ..SectionState::default() };
        session.drawing = DrawTool::on(self.document.knife());
        session.picture = PictureState::default();
        session.tools.reset();
        session.view.reset();
        session.form.edits.clear();
        session.dialogs.welcomed = true;
    }

    fn confirm(&mut self, question: Question, ctx: &egui::Context, host: &mut dyn Host) {
        match question {
            Question::Quit if self.is_unsaved_elsewhere() => {
                // This one is given up; each of the others is asked about.
                self.drop_tab(host);
                if self.may_quit() {
                    self.quit(ctx);
                }
            }
            Question::Quit => self.quit(ctx),
            Question::CloseTab => self.drop_tab(host),
            Question::Start(key) => self.open_starter(key),
            Question::Draw(bar) => self.open_empty_bar(*bar),
            Question::Open(path) => self.open_path(&path, host),
            Question::Replace(purpose @ (Purpose::Print | Purpose::Proof | Purpose::Mat), path) => {
                self.print_for(purpose, &path, host)
            }
            Question::Replace(Purpose::Export(format), path)
            | Question::ReplaceParts(format, path, _) => self.export(format, &path, true, host),
            Question::SaveOver(purpose, path) | Question::Replace(purpose, path) => {
                self.save_for(purpose, &path, ctx, host);
            }
        }
    }

    fn quit(&mut self, ctx: &egui::Context) {
        self.session.quit = true;
        ctx.send_viewport_cmd(egui::ViewportCommand::Close);
    }

    /// Saves, and quits where that is what it is saved for and nothing would be lost.
    pub(super) fn save_for(
        &mut self,
        purpose: Purpose,
        path: &Path,
        ctx: &egui::Context,
        host: &mut dyn Host,
    ) {
        self.save(path, host);
        if purpose == Purpose::SaveAndQuit && !self.is_unsaved() && self.may_quit() {
            self.quit(ctx);
        }
    }

    fn save_and_quit(&mut self, ctx: &egui::Context, host: &mut dyn Host) {
        if self.has_outline_to_save() {
            self.save_to_own_file(Purpose::SaveAndQuit, ctx, host);
        }
    }

    /// Saves to the file that the document has; without one, asks for it.
    fn save_to_own_file(&mut self, purpose: Purpose, ctx: &egui::Context, host: &mut dyn Host) {
        match self.document.path().map(Path::to_owned) {
            Some(path) => self.use_path(purpose, path, ctx, host),
            None => self.ask_path(purpose),
        }
    }
}
