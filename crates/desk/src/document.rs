//! The document, a blank that is open: its steps, its file, and whether it is saved. The only holder of
//! `&mut History`.

use crate::beside::{relative_path, resolved_path};
use crate::stamp::{DiskStamp, OnDisk};
use crate::text::blank_title;
use host::{FileError, Host, UnusableFile};
use knife::file::{self, BlankFileError, Opened};
use knife::svg_import::ImportError;
use knife::{Edit, History, Knife, Refusal};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Why a file could not be opened, as one plain sentence.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// It could not be read.
    #[error("{0}")]
    File(#[from] FileError),
    /// It is no blank file.
    #[error("{0}")]
    NotABlank(#[from] UnusableFile<BlankFileError>),
    /// No outline could be imported from it.
    #[error("{0}")]
    NoOutline(#[from] UnusableFile<ImportError>),
}

/// The blank that is open.
pub struct Document {
    history: History,
    path: Option<PathBuf>,
    saved: Option<Arc<Knife>>,
    on_disk: Option<DiskStamp>,
    /// The revision for which `dirty` was found, and what was found.
    dirty: std::cell::Cell<(u64, bool)>,
}

impl Document {
    /// A blank that is in no file yet; losing it as it stands is no loss.
    pub fn fresh(knife: Knife) -> Self {
        let history = History::new(knife);
        let saved = Some(history.knife().clone());
        Self { history, path: None, saved, on_disk: None, dirty: std::cell::Cell::new((0, false)) }
    }

    /// A blank that is in no file yet and would be lost.
    pub fn unsaved(knife: Knife) -> Self {
        Self { saved: None, dirty: std::cell::Cell::new((0, true)), ..Self::fresh(knife) }
    }

    /// Work that an earlier run left unsaved, the file it belongs to, and what that held when the
    /// work was read from it. A path that doesn't begin at the root led from a folder nobody knows
    /// any more: it is no place to save to.
    pub fn recovered(knife: Knife, path: Option<PathBuf>, on_disk: Option<DiskStamp>) -> Self {
        let path = path.filter(|path| path.is_absolute());
        Self { path, on_disk, ..Self::unsaved(knife) }
    }

    /// Opens a file: the blank, and what was read with every fault that was found and mended.
    ///
    /// # Errors
    /// [`OpenError`] when there is no blank in it.
    pub fn read(path: &Path, host: &dyn Host) -> Result<(Self, Opened), OpenError> {
        let path = &*host.absolute(path);
        let bytes = host.read(path)?;
        let mut opened =
            file::open(&bytes).map_err(|why| UnusableFile { path: path.to_owned(), why })?;
        if let (Some(picture), Some(folder)) = (&mut opened.knife.picture, path.parent()) {
            picture.path = resolved_path(folder, &picture.path).to_string_lossy().into_owned();
        }
        let mut open = if opened.faults.is_empty() {
            Self::fresh(opened.knife.clone())
        } else {
            Self::unsaved(opened.knife.clone())
        };
        open.path = Some(path.to_owned());
        open.on_disk = Some(DiskStamp::of(path, &bytes, host));
        Ok((open, opened))
    }

    /// The knife as it stands, a gesture under way included.
    pub fn knife(&self) -> &Arc<Knife> {
        self.history.knife()
    }

    /// Grows whenever the knife changes.
    pub fn revision(&self) -> u64 {
        self.history.revision()
    }

    /// Its file, once it has one.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// What its file held when it was read or saved here.
    pub fn on_disk(&self) -> Option<DiskStamp> {
        self.on_disk
    }

    /// Its steps, to read.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// Whether leaving would lose work.
    pub fn is_dirty(&self) -> bool {
        let (revision, known) = self.dirty.get();
        if revision == self.history.revision() {
            return known;
        }
        let dirty = self.saved.as_ref().is_none_or(|saved| **saved != **self.history.knife());
        self.dirty.set((self.history.revision(), dirty));
        dirty
    }

    /// What it is called: its name, else its file's, else a word for having none.
    pub fn title(&self) -> String {
        blank_title(self.knife(), self.path())
    }

    /// Does edits as one step.
    ///
    /// # Errors
    /// [`Refusal`] when one can't be done; nothing is changed then.
    pub fn edit(&mut self, edits: &[Edit]) -> Result<(), Refusal> {
        self.history.begin();
        let done = self.history.preview(edits);
        match done {
            Ok(()) => self.history.commit(),
            Err(_) => self.history.cancel(),
        }
        done
    }

    /// Begins a gesture.
    pub fn begin(&mut self) {
        self.history.begin();
    }

    /// Shows edits done to the knife as it was when the gesture began.
    ///
    /// # Errors
    /// [`Refusal`] when one can't be done.
    pub fn preview(&mut self, edits: &[Edit]) -> Result<(), Refusal> {
        self.history.preview(edits)
    }

    /// Ends the gesture as one step.
    pub fn commit(&mut self) {
        self.history.commit();
    }

    /// Ends the gesture and takes its changes back.
    pub fn cancel(&mut self) {
        self.history.cancel();
    }

    /// Takes a step back; what it was called.
    pub fn undo(&mut self) -> Option<String> {
        self.history.undo().map(ToOwned::to_owned)
    }

    /// Does a step again; what it was called.
    pub fn redo(&mut self) -> Option<String> {
        self.history.redo().map(ToOwned::to_owned)
    }

    /// Puts another knife in place of this one, as a step of this name.
    pub fn replace(&mut self, label: &str, knife: Knife) {
        self.history.replace(label, knife);
    }

    /// Goes to the knife as it was after so many steps.
    pub fn go_to_step(&mut self, steps: usize) {
        self.history.go_to(steps);
    }

    /// Whether something else has written the file since it was read or saved here.
    pub fn changed_on_disk(&mut self, path: &Path, host: &dyn Host) -> bool {
        if self.path.as_deref() != Some(path) {
            return false;
        }
        match &mut self.on_disk {
            Some(stamp) => stamp.now(path, host) == OnDisk::Changed,
            None => host.exists(path),
        }
    }

    /// Saves to a file, which is its file from then on. The picture under the blank is told there
    /// from that file's folder.
    ///
    /// # Errors
    /// [`FileError`] when it can't be written, or could not be read again; the work is unchanged
    /// and unsaved then.
    pub fn save(&mut self, path: &Path, host: &mut dyn Host) -> Result<(), FileError> {
        self.history.commit();
        let path = &*host.absolute(path);
        let mut knife = Knife::clone(self.history.knife());
        if let (Some(picture), Some(folder)) = (&mut knife.picture, path.parent()) {
            picture.path = relative_path(folder, Path::new(&picture.path));
        }
        let bytes = file::save_read_back(&knife).map_err(|why| FileError::unreadable(path, why))?;
        host.write(path, &bytes)?;
        self.on_disk = Some(DiskStamp::of(path, &bytes, host));
        self.path = Some(path.to_owned());
        self.saved = Some(self.history.knife().clone());
        self.dirty.set((self.history.revision(), false));
        Ok(())
    }
}
