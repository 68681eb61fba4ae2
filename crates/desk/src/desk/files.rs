//! What the desk does with files: open, save, print, take an outline.

use super::{Desk, work};
use crate::asking::{Ask, Purpose, Question};
use crate::session::Aim;
use crate::{Host, Station, stations};
use knife::{Edit, Knife, svg_import};
use reckon::tables::Tables;
use sheets::printing;
use std::path::{Path, PathBuf};

impl Desk {
    /// A path was given for a purpose.
    pub(super) fn path(
        &mut self,
        purpose: Purpose,
        path: PathBuf,
        ctx: &egui::Context,
        host: &mut dyn Host,
    ) {
        match purpose {
            Purpose::Open if is_drawing(&path) => self.take_outline(&path, host),
            Purpose::Open => {
                if self.keeps(Question::Open(path.clone())) {
                    self.open_path(&path, host);
                }
            }
            Purpose::TakeOutline => self.take_outline(&path, host),
            Purpose::Save | Purpose::SaveAndLeave => {
                let named = host.absolute(&path);
                let path = with_ending(named.clone(), knife::file::EXTENSION);
                let own = self.open.path() == Some(&*path);
                // The system's own dialog has asked already, if it was for this very name.
                let asked = self.session.native_dialogs && path == named;
                let question = if own && self.open.changed_on_disk(&path, host) {
                    Some(Question::SaveOver(purpose, path.clone()))
                } else if !own && host.exists(&path) && !asked {
                    Some(Question::Replace(purpose, path.clone()))
                } else {
                    None
                };
                if let Some(question) = question {
                    self.session.ask = Some(Ask::Question(question));
                    return;
                }
                self.save(&path, host);
                if purpose == Purpose::SaveAndLeave {
                    self.leave_if_saved(ctx);
                }
            }
            Purpose::Print | Purpose::Proof if is_blank(&path) => {
                let path = path.display();
                let words = format!("{path} is a blank by its name; name a PDF to write");
                self.session.notices.say(words);
            }
            Purpose::Print => self.print(&with_ending(path, ".pdf"), host),
            Purpose::Proof => self.proof(&with_ending(path, ".pdf"), host),
        }
    }

    /// Files were dropped on the window: the first is opened or taken.
    pub(super) fn dropped(
        &mut self,
        paths: Vec<PathBuf>,
        ctx: &egui::Context,
        host: &mut dyn Host,
    ) {
        let count = paths.len();
        let Some(path) = paths.into_iter().next() else { return };
        if count > 1 {
            let words = format!("{count} files were dropped; only the first was looked at");
            self.session.notices.say(words);
        }
        if matches!(self.session.ask, Some(Ask::Typed(..))) {
            self.session.ask = None;
        }
        let is = |ending: &str| path.extension().is_some_and(|e| e.eq_ignore_ascii_case(ending));
        if is("json") || is_drawing(&path) {
            self.path(Purpose::Open, path, ctx, host);
        } else {
            self.session.notices.say(format!(
                "{} is neither a blank ({}) nor a vector drawing (.svg); drop one of those",
                path.display(),
                knife::file::EXTENSION
            ));
        }
    }

    pub(super) fn save(&mut self, path: &Path, host: &mut dyn Host) {
        if let Some(recovery) = &mut self.recovery {
            recovery.before_save(&work(&self.open), host);
        }
        match self.open.save(path, host) {
            Ok(()) => {
                self.session.notices.say(format!("Saved to {}", path.display()));
                self.settings.opened(&host.absolute(path));
            }
            Err(why) => self.session.notices.say(why.to_string()),
        }
    }

    pub(super) fn print(&mut self, path: &Path, host: &mut dyn Host) {
        let knife = self.open.knife().clone();
        let plane = self.derived.plane();
        self.derived.renew(&knife, self.open.revision(), plane);
        let wanted = stations::paper::wanted(&self.session, knife.unit, self.derived.shop());
        self.derived.renew_pages(&knife, self.open.revision(), &wanted);
        let laid = match self.derived.pages() {
            Some(Ok(laid)) if !laid.pages.is_empty() => laid,
            Some(Err(why)) => {
                self.session.notices.say(why.to_string());
                return;
            }
            _ => {
                self.session.notices.say("No sheet is chosen; choose one at the Paper station");
                return;
            }
        };
        let pages = &laid.pages;
        let counted =
            if pages.len() == 1 { "1 page".to_owned() } else { format!("{} pages", pages.len()) };
        let stops = self.derived.reckoning.stops();
        let missing = printing::missing_glyphs_warning(pages);
        let shop = self.derived.shop();
        let setup = printing::setup_for(&knife.name, &wanted, shop);
        let pdf = setup.and_then(|setup| {
            let meta = printing::meta(&knife, pages, shop, &setup);
            Ok((paper::pdf(pages, &meta)?, setup.heading.trim))
        });
        match pdf {
            Err(why) => self.session.notices.say(why.to_string()),
            Ok((bytes, trim)) => match host.write(path, &bytes) {
                Err(why) => self.session.notices.say(why.to_string()),
                Ok(()) => {
                    let mut words = format!(
                        "Wrote {counted} to {}. Print at actual size (100 %), then measure both \
                         rulers and the square before you trust it.",
                        path.display()
                    );
                    if !trim.is_empty() {
                        words.push_str(&format!(" Trim: {trim}."));
                    }
                    for reason in &laid.without_room {
                        words.push_str(&format!(" Not printed: {reason}"));
                    }
                    if let Some(missing) = missing {
                        words.push_str(&format!(" But {missing}."));
                    }
                    if stops > 0 {
                        words.push_str(" A finding says stop: don't cut steel by it.");
                    }
                    self.session.printed = Some(path.to_owned());
                    self.session.notices.say(words);
                }
            },
        }
    }

    /// Shows the PDF that was written last.
    pub(super) fn open_pdf(&mut self, host: &mut dyn Host) {
        let Some(path) = self.session.printed.clone() else { return };
        self.session.notices.say(match host.open_externally(&path) {
            Err(why) => why.to_string(),
            Ok(()) => format!(
                "Opened {}. Print it at actual size (100 %): no fitting to the page.",
                path.display()
            ),
        });
    }

    /// Writes the page that measures a printer.
    pub(super) fn proof(&mut self, path: &Path, host: &mut dyn Host) {
        let unit = self.open.knife().unit;
        let wanted = stations::paper::wanted(&self.session, unit, self.derived.shop());
        let done = stations::paper::proof_pdf(&wanted, self.derived.shop())
            .map_err(|why| why.to_string())
            .and_then(|bytes| host.write(path, &bytes).map_err(|why| why.to_string()));
        let words = match done {
            Err(why) => why,
            Ok(()) => {
                self.session.printed = Some(path.to_owned());
                format!(
                    "Wrote the proof to {}. Print it at actual size (100 %), measure its lines and \
                     type the readings in at the Paper station.",
                    path.display()
                )
            }
        };
        self.session.notices.say(words);
    }

    /// Takes the outline and holes of a drawing: a step of the blank that is open.
    pub(super) fn take_outline(&mut self, path: &Path, host: &dyn Host) {
        let taken = host.read(path).map_err(|why| why.to_string()).and_then(|bytes| {
            svg_import::import_svg(&bytes)
                .map_err(|why| format!("{} can't be taken: {why}", path.display()))
        });
        match taken {
            Err(why) => self.session.notices.say(why),
            Ok(taken) => {
                let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
                let remarks: Vec<String> = taken.warnings.iter().map(ToString::to_string).collect();
                let knife = taken.into_knife(name, Knife::empty().bar);
                self.lay_taken(&knife);
                let words = match remarks.first() {
                    None => format!(
                        "Took the outline with {} nodes and {} holes",
                        knife.profile.nodes.len(),
                        knife.holes.len()
                    ),
                    Some(first) => format!("Took the outline. {first}"),
                };
                self.session.notices.say(words);
            }
        }
    }

    /// Puts a taken knife in place of the one that is open, as one step that undo takes back.
    fn lay_taken(&mut self, taken: &Knife) {
        let now = self.open.knife().clone();
        let mut edits: Vec<Edit> = now.holes.iter().map(|hole| Edit::RemoveHole(hole.id)).collect();
        edits.extend([Edit::SetBevel(None), Edit::SetScales(None)]);
        let unit = self.settings.unit;
        if let Ok(outline) = taken.profile.outline() {
            let (bar, at) = reckon::first_stock_bar(&taken.bar, &outline, unit, Tables::built_in());
            edits.push(Edit::SetBar {
                grade: bar.grade,
                width_mm: bar.width_mm,
                thickness_mm: bar.thickness_mm,
                length_mm: bar.length_mm,
            });
            edits.push(Edit::Place(at));
        }
        edits.push(Edit::SetUnit(unit));
        edits.push(Edit::Rename(taken.name.clone()));
        edits.extend(taken.holes.iter().map(|hole| Edit::AddHole {
            name: hole.name.clone(),
            kind: hole.kind,
            at: hole.at,
            diameter_mm: hole.diameter_mm,
            drill: hole.drill.clone(),
            pin_mm: hole.pin_mm,
        }));
        edits.push(Edit::TakeProfile(taken.profile.clone()));
        let done = self.open.edit(&edits);
        self.say_refused(done);
        self.session.selection.clear();
        self.session.aim = Some(Aim::Fit);
        self.session.station = Station::Profile;
    }
}

fn is_drawing(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("svg"))
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
