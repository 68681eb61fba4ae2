//! What the desk does with files: open, save, print, import an outline.

use super::Desk;
use super::keeping::{bar_edit, placed_on};
use crate::document::{Document, OpenError};
use crate::state::{PICTURES, Prompt, Purpose, Question, Station, ViewRequest};
use crate::stations::paper::proof_pdf;
use crate::text::fault_summary;
use host::{Host, UnusableFile};
use knife::{Edit, Knife, svg_import};
use reckon::tables::Tables;
use sheets::printing;
use std::path::{Path, PathBuf};

impl Desk {
    /// Opens a file. What was wrong with it is reported.
    pub fn open_path(&mut self, path: &Path, host: &dyn Host) {
        let opened = Document::read(path, host);
        let Some((document, opened)) = self.session.toasts.report(opened) else { return };
        self.open_document(document);
        self.settings.opened(&host.absolute(path));
        if let Some(faults) = fault_summary(&opened.faults, opened.more_faults) {
            self.session.toasts.push(format!("Opened, but not all of it: {faults}"));
        }
    }

    /// A path was given for a purpose.
    pub(super) fn use_path(
        &mut self,
        purpose: Purpose,
        path: PathBuf,
        ctx: &egui::Context,
        host: &mut dyn Host,
    ) {
        match purpose {
            Purpose::Open | Purpose::ImportOutline if has_extension(&path, "dxf") => {
                self.import_dxf(&path, host);
            }
            Purpose::Open if is_drawing(&path) => self.import_outline(&path, host),
            Purpose::Open if is_picture(&path) => self.trace_picture(&path, ctx, host),
            Purpose::TracePicture => self.trace_picture(&path, ctx, host),
            Purpose::SwapPicture => self.swap_picture(&path, ctx, host),
            Purpose::Open => {
                if self.may_discard(Question::Open(path.clone())) {
                    self.open_path(&path, host);
                }
            }
            Purpose::ImportOutline => self.import_outline(&path, host),
            Purpose::AddToBar => self.add_to_bar(&path, host),
            Purpose::Compare => self.ghost_from_file(&path, host),
            Purpose::Save | Purpose::SaveAndQuit => {
                let named = host.absolute(&path);
                let path = with_ending(named.clone(), knife::file::EXTENSION);
                let own = self.document.path() == Some(&*path);
                // The system's own dialog has asked already, if it was for this very name.
                let asked = self.session.dialogs.native && path == named;
                let changed = self.document.changed_on_disk(&path, host);
                let Some(changed) = self.session.toasts.report(changed) else { return };
                let question = if changed {
                    Question::SaveOver(purpose, path)
                } else if !own && host.exists(&path) && !asked {
                    Question::Replace(purpose, path)
                } else {
                    return self.save_for(purpose, &path, ctx, host);
                };
                self.session.dialogs.prompt = Some(Prompt::Question(question));
            }
            Purpose::Export(format) => self.export_to(format, path, host),
            Purpose::Print | Purpose::Proof | Purpose::Mat if is_blank(&path) => {
                let path = path.display();
                let message = format!("{path} is named like a blank; name a PDF to write");
                self.session.toasts.push(message);
            }
            Purpose::Print | Purpose::Proof | Purpose::Mat => {
                let named = path.clone();
                let path = with_ending(path, ".pdf");
                let asked = self.session.dialogs.native && path == named;
                // What was printed there last is printed again without a question.
                let again = self.session.print.printed.as_ref() == Some(&path);
                if host.exists(&path) && !asked && !again {
                    let question = Question::Replace(purpose, path);
                    self.session.dialogs.prompt = Some(Prompt::Question(question));
                } else {
                    self.print_for(purpose, &path, host);
                }
            }
        }
    }

    /// Prints what is printed for a purpose.
    pub(super) fn print_for(&mut self, purpose: Purpose, path: &Path, host: &mut dyn Host) {
        match purpose {
            Purpose::Proof => self.proof(path, host),
            Purpose::Mat => self.print_mat(path, host),
            _ => self.print(path, host),
        }
    }

    /// Files were dropped on the window: the first is opened or imported.
    pub(super) fn use_dropped(
        &mut self,
        paths: Vec<PathBuf>,
        ctx: &egui::Context,
        host: &mut dyn Host,
    ) {
        let count = paths.len();
        let Some(path) = paths.into_iter().next() else { return };
        if count > 1 {
            let message = format!("{count} files were dropped; only the first was used");
            self.session.toasts.push(message);
        }
        if matches!(self.session.dialogs.prompt, Some(Prompt::Typed(..))) {
            self.session.dialogs.prompt = None;
        }
        if has_extension(&path, "json") || is_drawing(&path) || is_picture(&path) {
            self.use_path(Purpose::Open, path, ctx, host);
        } else {
            self.session.toasts.push(format!(
                "{} is neither a blank ({}) nor a vector drawing (.svg, .dxf) nor a picture; drop one of \
                 those",
                path.display(),
                knife::file::EXTENSION
            ));
        }
    }

    pub(super) fn save(&mut self, path: &Path, host: &mut dyn Host) {
        self.storage.before_save(&self.document, host);
        let saved = self.document.save(path, host);
        if self.session.toasts.report(saved).is_some() {
            self.session.toasts.push(format!("Saved to {}", path.display()));
            self.settings.opened(&host.absolute(path));
        }
    }

    pub(super) fn print(&mut self, path: &Path, host: &mut dyn Host) {
        let message = self.printed(path, host).unwrap_or_else(|why| why);
        self.session.toasts.push(message);
    }

    /// Prints to a PDF: what was printed, or why it couldn't be.
    fn printed(&mut self, path: &Path, host: &mut dyn Host) -> Result<String, String> {
        let knife = self.document.knife().clone();
        self.catch_up();
        let request = self.session.print.request(knife.unit, self.derived.shop());
        self.derived.refresh_pages(&request);
        self.derived.finish();
        if self.derived.is_behind() || self.derived.are_pages_behind() {
            return Err("The pages can't be worked out for the blank as it stands: undo the last \
                        change, and print again"
                .to_owned());
        }
        let layout = match self.derived.pages() {
            Some(Ok(layout)) if !layout.pages.is_empty() => layout,
            Some(Err(why)) => return Err(why.to_string()),
            _ => return Err("No sheet is chosen; choose one at the Paper station".to_owned()),
        };
        let (pages, shop) = (&layout.pages, self.derived.shop());
        let setup = printing::setup_for(&knife.name, &request, shop).map_err(|w| w.to_string())?;
        let meta = printing::meta(&knife, pages, shop, &setup);
        let bytes = paper::pdf(pages, &meta).map_err(|why| why.to_string())?;
        host.write(path, &bytes).map_err(|why| why.to_string())?;
        let counted =
            if pages.len() == 1 { "1 page".to_owned() } else { format!("{} pages", pages.len()) };
        let mut message = format!(
            "Wrote {counted} to {}. Print at actual size (100 %), then measure both \
             rulers and the square before you trust it.",
            path.display()
        );
        if !setup.heading.trim.is_empty() {
            message.push_str(&format!(" Printer correction: {}.", setup.heading.trim));
        }
        for reason in &layout.without_room {
            message.push_str(&format!(" Not printed: {reason}"));
        }
        if let Some(missing) = printing::missing_glyphs_warning(pages) {
            message.push_str(&format!(" But {missing}."));
        }
        if self.derived.reckoning.stops() > 0 {
            message.push_str(" A problem says stop: don't cut steel from it.");
        }
        self.session.print.printed = Some(path.to_owned());
        Ok(message)
    }

    /// Shows the PDF that was written last.
    pub(super) fn open_pdf(&mut self, host: &mut dyn Host) {
        let Some(path) = self.session.print.printed.clone() else { return };
        self.session.toasts.push(match host.open_externally(&path) {
            Err(why) => why.to_string(),
            Ok(()) => format!(
                "Opened {}. Print it at actual size (100 %): no fitting to the page.",
                path.display()
            ),
        });
    }

    /// Writes the page that measures a printer.
    pub(super) fn proof(&mut self, path: &Path, host: &mut dyn Host) {
        let shop = self.derived.shop();
        let request = self.session.print.request(self.document.knife().unit, shop);
        let written = proof_pdf(&request, shop)
            .map_err(|why| why.to_string())
            .and_then(|bytes| host.write(path, &bytes).map_err(|why| why.to_string()));
        if self.session.toasts.report(written).is_some() {
            self.session.print.printed = Some(path.to_owned());
            self.session.toasts.push(format!(
                "Wrote the proof to {}. Print it at actual size (100 %), measure its lines and \
                 type the readings in at the Paper station.",
                path.display()
            ));
        }
    }

    /// Imports the outline and holes of a drawing: a step of the blank that is open.
    fn import_outline(&mut self, path: &Path, host: &dyn Host) {
        let imported = host.read(path).map_err(OpenError::File).and_then(|bytes| {
            let failed = |why| OpenError::from(UnusableFile { path: path.to_owned(), why });
            svg_import::import_svg(&bytes).map_err(failed)
        });
        let Some(imported) = self.session.toasts.report(imported) else { return };
        let name = path.file_stem().unwrap_or_default().to_string_lossy().trim().to_owned();
        let warning = imported.warnings.first().map(ToString::to_string);
        let knife = imported.into_knife(name, Knife::empty().bar);
        self.lay_outline(&knife);
        self.session.toasts.push(match warning {
            None => format!(
                "Imported an outline with {} nodes and {} holes",
                knife.profile.nodes.len(),
                knife.holes.len()
            ),
            Some(warning) => format!("Imported the outline. {warning}"),
        });
    }

    /// Puts an imported knife in place of the one that is open, as one step that undo takes back.
    pub(super) fn lay_outline(&mut self, imported: &Knife) {
        let edits = self.outline_edits(imported);
        self.edit(&edits);
        self.show_outline();
    }

    /// Looks at an outline that has just been laid.
    pub(super) fn show_outline(&mut self) {
        self.session.selection.clear();
        self.session.view.request = Some(ViewRequest::Fit);
        self.session.station = Station::Profile;
    }

    /// What puts an imported knife's outline and holes in place of those that are open.
    pub(super) fn outline_edits(&mut self, imported: &Knife) -> Vec<Edit> {
        let now = self.document.knife().clone();
        let mut edits: Vec<Edit> = now.holes.iter().map(|hole| Edit::RemoveHole(hole.id)).collect();
        edits.extend([Edit::SetBevel(None), Edit::SetScales(None)]);
        let unit = self.settings.unit;
        if let Some(bar) = self.session.dialogs.bar.take() {
            // The one that was chosen for it.
            let placed = placed_on(imported.clone(), &bar);
            edits.extend([bar_edit(&placed.bar), Edit::Place(placed.bar.placement)]);
        } else if let Ok(outline) = imported.profile.outline() {
            let (bar, at) =
                reckon::first_stock_bar(&imported.bar, &outline, unit, Tables::built_in());
            edits.extend([bar_edit(&bar), Edit::Place(at)]);
        }
        edits.push(Edit::SetUnit(unit));
        edits.push(Edit::Rename(imported.name.clone()));
        edits.extend(imported.holes.iter().map(|hole| Edit::AddHole {
            name: hole.name.clone(),
            kind: hole.kind,
            at: hole.at,
            diameter_mm: hole.diameter_mm,
            drill: hole.drill.clone(),
            pin_mm: hole.pin_mm,
        }));
        edits.push(Edit::TakeProfile(imported.profile.clone()));
        edits.push(Edit::SetTraced(imported.traced_mm));
        edits
    }
}

fn is_drawing(path: &Path) -> bool {
    has_extension(path, "svg") || has_extension(path, "dxf")
}

fn is_picture(path: &Path) -> bool {
    PICTURES.iter().any(|extension| has_extension(path, extension))
}

fn has_extension(path: &Path, extension: &str) -> bool {
    path.extension().is_some_and(|other| other.eq_ignore_ascii_case(extension))
}

fn is_blank(path: &Path) -> bool {
    path.to_string_lossy().to_lowercase().ends_with(knife::file::EXTENSION)
}

/// The path with its ending, if it has none of its own.
fn with_ending(path: PathBuf, ending: &str) -> PathBuf {
    if path.extension().is_some() {
        return path;
    }
    let mut name = path.into_os_string();
    name.push(ending);
    name.into()
}
