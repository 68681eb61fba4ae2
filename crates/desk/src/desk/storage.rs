//! What the desk stores on its own: settings, the shop, and unsaved work.

use super::Desk;
use crate::document::Document;
use crate::recovery::{self, Recovery, Work};
use crate::settings::Settings;
use crate::shop_file::{self, ShopFile};
use crate::state::{DrawTool, Station};
use crate::theme::ColorTheme;
use host::{FileProblem, Host};
use outline::Knot;
use std::time::Duration;

/// How settings, shop and unsaved work are stored.
pub(super) struct Storage {
    /// Stores unsaved work, once there is somewhere to store it.
    recovery: Option<Recovery>,
    /// The name under which this run stores work.
    session: Option<String>,
    /// The settings as they were last stored.
    settings: Settings,
    /// Whether that failed: it is reported once, and tried once more on quitting.
    failed: bool,
    /// The shop's file as it was last read or written.
    shop_file: ShopFile,
    /// When changes that are to be saved to the file were seen first.
    pub(super) changed_ms: Option<u64>,
    /// The theme whose fonts and colours were applied.
    pub(super) applied_theme: Option<ColorTheme>,
}

impl Storage {
    /// Nothing stored but the settings.
    pub(super) fn new(settings: Settings) -> Self {
        let (recovery, shop_file) = (None, ShopFile::default());
        Self {
            recovery,
            session: None,
            settings,
            failed: false,
            shop_file,
            changed_ms: None,
            applied_theme: None,
        }
    }

    /// The name under which this run stores work, once it does.
    pub(super) fn session(&self) -> Option<&str> {
        self.session.as_deref()
    }

    /// Stores the work of another tab from now on; gives what stored that of the one before.
    pub(super) fn replace_recovery(&mut self, recovery: Option<Recovery>) -> Option<Recovery> {
        std::mem::replace(&mut self.recovery, recovery)
    }

    /// To be called right before the document is saved to its file.
    pub(super) fn before_save(&mut self, document: &Document, host: &mut dyn Host) {
        if let Some(recovery) = &mut self.recovery {
            recovery.before_save(&work(document, &[]), host);
        }
    }
}

impl Desk {
    /// Goes by the shop that was stored, from now on.
    pub fn open_shop(&mut self, host: &dyn Host) {
        let stored = shop_file::read(host);
        self.derived.set_shop(stored.shop);
        self.storage.shop_file = stored.file;
        if let Some(message) = stored.message {
            self.session.toasts.push(message);
        }
    }

    /// Changes the shop and stores it.
    pub(super) fn set_shop(&mut self, shop: reckon::Shop, host: &mut dyn Host) {
        match shop_file::write(&shop, &mut self.storage.shop_file, host) {
            Ok(message) => message.into_iter().for_each(|text| self.session.toasts.push(text)),
            Err(why) => {
                self.session.toasts.push(why.to_string());
                if matches!(why.problem, FileProblem::Unreadable(_)) {
                    // It could never be stored.
                    return;
                }
            }
        }
        self.derived.set_shop(shop);
    }

    /// Stores unsaved work from now on, under a name that no other run has, and offers what an
    /// earlier run left.
    pub fn start_recovery(&mut self, session: &str, host: &mut dyn Host) {
        let found = recovery::found(host);
        for fault in found.faults {
            self.session.toasts.push(fault);
        }
        self.session.dialogs.found = found.works;
        self.session.dialogs.found_ms = host.now_ms();
        self.storage.session = Some(session.to_owned());
        self.storage.recovery = Some(Recovery::new(session, host));
    }

    /// Recovers what an earlier run left.
    pub(super) fn recover(&mut self, at: usize) {
        let found = &mut self.session.dialogs.found;
        if at >= found.len() {
            return;
        }
        let left = found.remove(at);
        found.clear();
        if let Some(recovery) = &mut self.storage.recovery {
            recovery.take_over(&left);
        }
        self.open_document(Document::recovered(left.knife, left.path, left.on_disk));
        if self.document.knife().profile.nodes.is_empty() && !left.drawing.is_empty() {
            self.session.drawing.recover(left.drawing);
            self.session.station = Station::Profile;
        }
    }

    /// Lets go of what was stored: the desk is left in good order.
    pub fn close(&mut self, host: &mut dyn Host) {
        if let Some(recovery) = &mut self.storage.recovery {
            recovery.close(host);
        }
        self.close_waiting(host);
        if self.storage.failed {
            let _ = self.settings.write(host);
        }
        self.store_settings(host);
    }

    /// Stores unsaved work, at most once a second.
    pub(super) fn store_work(&mut self, ctx: &egui::Context, host: &mut dyn Host) {
        self.store_waiting(ctx, host);
        let unsaved = self.is_unsaved();
        let drawn = drawn(&self.document, &self.session.drawing);
        let work = Work { dirty: unsaved, ..work(&self.document, drawn) };
        let Some(recovery) = &mut self.storage.recovery else { return };
        let stored = recovery.tick(&work, host);
        if let Some(Some(ms)) = self.session.toasts.report(stored) {
            ctx.request_repaint_after(Duration::from_millis(ms));
        }
    }

    pub(super) fn store_settings(&mut self, host: &mut dyn Host) {
        if self.settings == self.storage.settings {
            return;
        }
        self.storage.settings = self.settings.clone();
        let stored = self.settings.write(host);
        self.storage.failed = stored.is_err();
        self.session.toasts.report(stored);
    }
}

/// The points of an outline that isn't closed yet.
pub(super) fn drawn<'a>(document: &Document, drawing: &'a DrawTool) -> &'a [Knot] {
    if document.knife().profile.nodes.is_empty() { drawing.knots() } else { &[] }
}

/// The work as it stands, to be stored.
pub(super) fn work<'a>(document: &'a Document, drawing: &'a [Knot]) -> Work<'a> {
    Work {
        knife: document.knife(),
        revision: document.revision(),
        drawing,
        dirty: document.is_dirty(),
        path: document.path(),
        base: document.base(),
        on_disk: document.on_disk(),
    }
}
