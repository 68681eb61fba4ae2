//! What the desk reads and keeps beside the knife that is open: small pictures of recent files,
//! dated versions, another knife to compare with, and the file itself where that is wished.

use super::Desk;
use crate::beside::{knife_for_file, resolve_picture};
use crate::document::Document;
use crate::state::{BarPlan, Dialog, Ghost, Thumbnail};
use host::{FileError, Host};
use knife::{Bar, Edit, Knife, Placement, file};
use reckon::tables::Tables;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// So many recent files are shown as pictures.
const RECENTS: usize = 6;
/// So many versions are shown, the newest.
const VERSIONS: usize = 60;
/// The ending of the folder with versions.
const FOLDER: &str = ".versions";
/// A change is saved to the file so long after it was seen first, milliseconds.
const AUTOSAVE_MS: u64 = 30_000;

impl Desk {
    /// Opens the file that was open last, where the maker wishes that and it is there.
    pub fn open_last(&mut self, host: &dyn Host) {
        let last = self.settings.recents.first().cloned();
        if let Some(path) = last.filter(|path| self.settings.reopen && host.exists(path)) {
            self.open_path(&path, host);
        }
    }

    /// Reads small pictures of the recent files while they are shown.
    pub(super) fn read_thumbnails(&mut self, ctx: &egui::Context, host: &dyn Host) {
        let dialogs = &self.session.dialogs;
        let shown = !dialogs.welcomed || matches!(dialogs.open, Some(Dialog::Begin(_)));
        let wanted: Vec<PathBuf> = self.settings.recents.iter().take(RECENTS).cloned().collect();
        if !shown || self.session.thumbnails.asked == wanted {
            return;
        }
        let one = |path: &PathBuf| {
            let name = path.file_name()?.to_string_lossy();
            let name = name.trim_end_matches(file::EXTENSION).to_owned();
            read_thumbnail(path, name, host)
        };
        self.session.thumbnails.recents = wanted.iter().filter_map(one).collect();
        self.session.thumbnails.asked = wanted;
        ctx.request_repaint();
    }

    /// Shows the knife of a file under this one.
    pub(super) fn ghost_from_file(&mut self, path: &Path, host: &dyn Host) {
        let read = Document::read(path, host);
        let Some((document, _)) = self.session.toasts.report(read) else { return };
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let name = name.trim_end_matches(file::EXTENSION).to_owned();
        self.session.ghost = Some(Ghost::new(name, document.knife().as_ref().clone()));
        self.session.dialogs.open = Some(Dialog::Compare);
    }

    /// Opens the plan of a bar with this knife on it.
    pub(super) fn plan_bar(&mut self) {
        let knife = self.document.knife();
        let plan = BarPlan::new(knife, self.document.title(), self.derived.shop());
        self.session.dialogs.open = Some(Dialog::PlanBar(Box::new(plan)));
    }

    /// Lays the knife of a file on the planned bar too.
    pub(super) fn add_to_bar(&mut self, path: &Path, host: &dyn Host) {
        let read = Document::read(path, host);
        let Some((document, _)) = self.session.toasts.report(read) else { return };
        let Some(Dialog::PlanBar(plan)) = &mut self.session.dialogs.open else { return };
        match plan.add_kind(document.title(), document.knife()) {
            Some(kind) => plan.add_copy(kind),
            None => self.session.toasts.push("That blank has no outline to lay on a bar"),
        }
    }

    /// Lays the blanks of the planned bar out as closely as is quickly found.
    pub(super) fn lay_out_bar(&mut self) {
        if let Some(Dialog::PlanBar(plan)) = &mut self.session.dialogs.open {
            plan.lay_out(self.derived.shop());
        }
    }

    /// Keeps a dated copy of the knife in a folder beside its file.
    pub(super) fn save_version(&mut self, host: &mut dyn Host) {
        let Some(folder) = self.versions_folder() else {
            let message = "Save the blank to a file first; its versions are kept beside it";
            return self.session.toasts.push(message);
        };
        let today = host.today();
        let mut names = (1..).map(|n| folder.join(format!("{today} {n:02}{}", file::EXTENSION)));
        let Some(path) = names.find(|path| !host.exists(path)) else { return };
        let knife = knife_for_file(self.document.knife(), self.document.base(), &path);
        let bytes = file::save_read_back(&knife).map_err(|why| FileError::unreadable(&path, why));
        let Some(bytes) = self.session.toasts.report(bytes) else { return };
        if let Some(last) = newest(host.list(&folder))
            && host.read(&last).is_ok_and(|kept| kept == bytes)
        {
            return self.session.toasts.push("Nothing has changed since the last version");
        }
        let written = host.create_folder(&folder).and_then(|()| host.write(&path, &bytes));
        if self.session.toasts.report(written).is_some() {
            let name = label_of(&path);
            self.session.toasts.push(format!("Saved as version {name}"));
        }
    }

    /// Reads the versions of this knife, to be shown.
    pub(super) fn open_versions(&mut self, host: &dyn Host) {
        let mut paths = self.versions_folder().map_or_else(Vec::new, |folder| host.list(&folder));
        paths.retain(|path| path.to_string_lossy().ends_with(file::EXTENSION));
        paths.sort();
        let newest = paths.iter().rev().take(VERSIONS);
        let read = newest.filter_map(|path| read_thumbnail(path, label_of(path), host));
        self.session.thumbnails.versions = read.collect();
        self.session.dialogs.open = Some(Dialog::Versions);
    }

    /// Where the versions of this knife are kept, once it has a file.
    fn versions_folder(&self) -> Option<PathBuf> {
        let path = self.document.path()?;
        let name = path.file_name()?.to_string_lossy();
        let stem = name.trim_end_matches(file::EXTENSION);
        Some(path.with_file_name(format!("{stem}{FOLDER}")))
    }

    /// Saves changes to the knife's own file some time after they were made, where that is wished.
    pub(super) fn autosave(&mut self, ctx: &egui::Context, host: &mut dyn Host) {
        let path = self.document.path().map(Path::to_owned);
        let path = path.filter(|_| self.settings.autosave && self.document.is_dirty());
        let Some(path) = path.filter(|_| !self.document.knife().profile.nodes.is_empty()) else {
            self.storage.changed_ms = None;
            return;
        };
        let now_ms = host.now_ms();
        let since_ms = now_ms.saturating_sub(*self.storage.changed_ms.get_or_insert(now_ms));
        if since_ms < AUTOSAVE_MS || self.document.history().in_gesture() {
            let left_ms = AUTOSAVE_MS.saturating_sub(since_ms).max(100);
            ctx.request_repaint_after(Duration::from_millis(left_ms));
            return;
        }
        self.storage.changed_ms = Some(now_ms);
        // What another program wrote is never overwritten without being asked.
        let changed = self.document.changed_on_disk(&path, host);
        if self.session.toasts.report(changed) == Some(false) {
            self.save(&path, host);
        }
    }
}

/// A knife placed on a bar: as it lies, or where it fits best.
pub(super) fn placed_on(knife: Knife, bar: &Bar) -> Knife {
    let mut placed = Knife { bar: bar.clone(), ..knife };
    let figures =
        |knife: &Knife| reckon::reckon(knife, &reckon::Shop::default(), Tables::built_in()).bar;
    if let Some(best) = figures(&placed).filter(|figures| !figures.fits) {
        placed.bar.placement = Placement { at: best.best_at, turn_deg: best.best_turn_deg };
    }
    placed
}

/// The edits that take a bar of this size.
pub(super) fn bar_edit(bar: &Bar) -> Edit {
    Edit::SetBar {
        grade: bar.grade.clone(),
        width_mm: bar.width_mm,
        thickness_mm: bar.thickness_mm,
        length_mm: bar.length_mm,
    }
}

fn read_thumbnail(path: &Path, name: String, host: &dyn Host) -> Option<Thumbnail> {
    let mut opened = file::open(&host.read(path).ok()?).ok()?;
    resolve_picture(&mut opened.knife, path);
    Thumbnail::new(path.to_owned(), name, opened.knife)
}

fn newest(mut paths: Vec<PathBuf>) -> Option<PathBuf> {
    paths.retain(|path| path.to_string_lossy().ends_with(file::EXTENSION));
    paths.into_iter().max()
}

/// A version as it is called: its day and its number on that day.
fn label_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name.trim_end_matches(file::EXTENSION).to_owned()
}
