//! Several knives open at once: the one in front is the desk's own document, the others wait with
//! whatever the maker was doing with them.

use super::Desk;
use super::storage::{drawn, work};
use crate::dialogs::new_bar;
use crate::document::Document;
use crate::recovery::Recovery;
use crate::state::{
    Dialog, DrawTool, Ghost, HoleTool, MeasureTool, PictureState, Prompt, Question, SectionState,
    Selection, Session, Station, ViewState,
};
use host::Host;
use knife::Knife;
use std::time::Duration;

/// No more knives than this are open at once.
const MAX_TABS: usize = 12;

/// The knives that wait, and where the one in front stands among them.
#[derive(Default)]
pub(super) struct Tabs {
    waiting: Vec<Waiting>,
    at: usize,
    /// Counts the tabs that were ever opened, so that each stores its work under its own name.
    opened: usize,
}

/// A knife that waits in another tab.
struct Waiting {
    document: Document,
    recovery: Option<Recovery>,
    station: Station,
    view: ViewState,
    selection: Selection,
    section: SectionState,
    holes: HoleTool,
    drawing: DrawTool,
    picture: PictureState,
    measuring: MeasureTool,
    ghost: Option<Ghost>,
}

impl Waiting {
    /// A knife that nothing was done with yet.
    fn new(document: Document, recovery: Option<Recovery>) -> Self {
        let drawing = DrawTool::on(document.knife());
        Self {
            document,
            recovery,
            station: Station::default(),
            view: ViewState::default(),
            selection: Selection::default(),
            section: SectionState::default(),
            holes: HoleTool::default(),
            drawing,
            picture: PictureState::default(),
            measuring: MeasureTool::default(),
            ghost: None,
        }
    }

    /// Whether leaving it would lose work.
    fn is_unsaved(&self) -> bool {
        !drawn(&self.document, &self.drawing).is_empty() || self.document.is_dirty()
    }
}

impl Desk {
    /// The names of all open knives, in the order of their tabs, and which is in front.
    pub fn tabs(&self) -> (Vec<String>, usize) {
        let name = |document: &Document, unsaved: bool| {
            let mark = if unsaved { "• " } else { "" };
            format!("{mark}{}", document.title())
        };
        let waiting = self.tabs.waiting.iter();
        let mut names: Vec<String> =
            waiting.map(|tab| name(&tab.document, tab.is_unsaved())).collect();
        names.insert(self.tabs.at, name(&self.document, self.is_unsaved()));
        (names, self.tabs.at)
    }

    /// Opens a tab of its own and asks how to begin there.
    pub(super) fn new_tab(&mut self, host: &dyn Host) {
        if self.tabs.waiting.len() + 1 >= MAX_TABS {
            let message = format!("{MAX_TABS} knives are open already; close one first");
            return self.session.toasts.push(message);
        }
        self.tabs.opened += 1;
        let name = self.storage.session().map(|session| format!("{session}-{}", self.tabs.opened));
        let recovery = name.map(|name| Recovery::new(&name, host));
        let knife = Knife { unit: self.settings.unit, ..Knife::empty() };
        let bar = new_bar::usual(self.settings.unit);
        let document = Document::fresh(Knife { bar: bar.clone(), ..knife });
        self.tabs.waiting.push(Waiting::new(document, recovery));
        self.go_to_tab(self.tabs.waiting.len());
        self.session.dialogs.open = Some(Dialog::Begin(Box::new(bar)));
    }

    /// Brings another tab to the front.
    pub(super) fn go_to_tab(&mut self, to: usize) {
        let at = self.tabs.at;
        if to == at || to > self.tabs.waiting.len() {
            return;
        }
        let coming = self.tabs.waiting.remove(if to < at { to } else { to - 1 });
        let leaving = self.put_in_front(coming);
        self.tabs.waiting.insert(if at < to { at } else { at - 1 }, leaving);
        self.tabs.at = to;
    }

    /// The next tab, or the one before.
    pub(super) fn step_tab(&mut self, forward: bool) {
        let count = self.tabs.waiting.len() + 1;
        let step = if forward { 1 } else { count - 1 };
        self.go_to_tab((self.tabs.at + step) % count);
    }

    /// Closes a tab; unsaved work is asked about first.
    pub(super) fn close_tab(&mut self, which: usize, host: &mut dyn Host) {
        if self.tabs.waiting.is_empty() {
            return self.session.toasts.push("This is the only knife that is open");
        }
        self.go_to_tab(which);
        if self.may_discard(Question::CloseTab) {
            self.drop_tab(host);
        }
    }

    /// Lets go of the tab in front, and of its work; the one beside it comes to the front.
    pub(super) fn drop_tab(&mut self, host: &mut dyn Host) {
        let at = self.tabs.at;
        if self.tabs.waiting.is_empty() {
            return;
        }
        // The one to the right takes its place, else the one to the left.
        let next = at.min(self.tabs.waiting.len() - 1);
        let coming = self.tabs.waiting.remove(next);
        let mut gone = self.put_in_front(coming);
        if let Some(recovery) = &mut gone.recovery {
            recovery.close(host);
        }
        self.tabs.at = next;
    }

    /// Whether no tab would lose work; the first that would is brought to the front and asked about.
    pub(super) fn may_quit(&mut self) -> bool {
        if !self.may_discard(Question::Quit) {
            return false;
        }
        let unsaved = self.tabs.waiting.iter().position(Waiting::is_unsaved);
        let Some(waiting) = unsaved else { return true };
        self.go_to_tab(if waiting < self.tabs.at { waiting } else { waiting + 1 });
        self.session.dialogs.prompt = Some(Prompt::Question(Question::Quit));
        false
    }

    /// Whether another tab would lose work.
    pub(super) fn is_unsaved_elsewhere(&self) -> bool {
        self.tabs.waiting.iter().any(Waiting::is_unsaved)
    }

    /// Stores unsaved work of the tabs that wait.
    pub(super) fn store_waiting(&mut self, ctx: &egui::Context, host: &mut dyn Host) {
        for tab in &mut self.tabs.waiting {
            if let Some(recovery) = &mut tab.recovery {
                let drawn = drawn(&tab.document, &tab.drawing);
                let stored = recovery.tick(&work(&tab.document, drawn), host);
                if let Some(Some(ms)) = self.session.toasts.report(stored) {
                    // A tab may be left before its last change was due.
                    ctx.request_repaint_after(Duration::from_millis(ms));
                }
            }
        }
    }

    /// Lets go of what was stored for the tabs that wait.
    pub(super) fn close_waiting(&mut self, host: &mut dyn Host) {
        for tab in &mut self.tabs.waiting {
            if let Some(recovery) = &mut tab.recovery {
                recovery.close(host);
            }
        }
    }

    /// Puts a tab in front; gives the one that was there.
    fn put_in_front(&mut self, coming: Waiting) -> Waiting {
        self.document.commit();
        let Session {
            station,
            view,
            selection,
            section,
            holes,
            drawing,
            picture,
            tools,
            ghost,
            ..
        } = &mut self.session;
        let leaving = Waiting {
            document: std::mem::replace(&mut self.document, coming.document),
            recovery: self.storage.replace_recovery(coming.recovery),
            station: std::mem::replace(station, coming.station),
            view: std::mem::replace(view, coming.view),
            selection: std::mem::replace(selection, coming.selection),
            section: std::mem::replace(section, coming.section),
            holes: std::mem::replace(holes, coming.holes),
            drawing: std::mem::replace(drawing, coming.drawing),
            picture: std::mem::replace(picture, coming.picture),
            measuring: std::mem::take(&mut tools.measuring),
            ghost: std::mem::replace(ghost, coming.ghost),
        };
        tools.reset();
        tools.measuring = coming.measuring;
        self.storage.changed_ms = None;
        self.session.pointer.drag = None;
        self.session.form.edits.clear();
        self.session.thumbnails.versions.clear();
        self.session.dialogs.welcomed = true;
        self.derived.forget();
        leaving
    }
}
