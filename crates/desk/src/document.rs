//! The document, a blank that is open: its steps, its file, and whether it is saved. The only holder of
//! `&mut History`.

use crate::beside::{knife_for_file, picture_file, resolve_picture};
use crate::stamp::DiskStamp;
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
    /// The file from which a picture's path is told that can't begin at the root.
    base: Option<PathBuf>,
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
        let dirty = std::cell::Cell::new((0, false));
        Self { history, path: None, base: None, saved, on_disk: None, dirty }
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
        Self { base: path.clone(), path, on_disk, ..Self::unsaved(knife) }
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
        resolve_picture(&mut opened.knife, path);
        let mut open = if opened.faults.is_empty() {
            Self::fresh(opened.knife.clone())
        } else {
            Self::unsaved(opened.knife.clone())
        };
        open.path = Some(path.to_owned());
        open.base = open.path.clone();
        open.on_disk = Some(DiskStamp::of(&bytes));
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

    /// The file from which the path of its picture is told, where that can't begin at the root.
    pub fn base(&self) -> Option<&Path> {
        self.base.as_deref()
    }

    /// The file of the picture under the blank.
    pub fn picture_file(&self) -> Option<PathBuf> {
        let picture = self.knife().picture.as_ref()?;
        Some(picture_file(picture, self.base()))
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
    ///
    /// # Errors
    /// [`FileError`] when that can't be told, as it can't be read.
    pub fn changed_on_disk(&self, path: &Path, host: &dyn Host) -> Result<bool, FileError> {
        match self.on_disk {
            _ if self.path.as_deref() != Some(path) => Ok(false),
            Some(stamp) => stamp.is_changed(path, host),
            None => Ok(host.exists(path)),
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
        let knife = knife_for_file(self.knife(), self.base(), path);
        let bytes = file::save_read_back(&knife).map_err(|why| FileError::unreadable(path, why))?;
        host.write(path, &bytes)?;
        self.on_disk = Some(DiskStamp::of(&bytes));
        self.path = Some(path.to_owned());
        self.base.get_or_insert_with(|| path.to_owned());
        self.saved = Some(self.history.knife().clone());
        self.dirty.set((self.history.revision(), false));
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use host::MemoryHost;
    use knife::{Picture, PicturePlacement};

    fn with_picture(path: &str) -> Knife {
        let placement = PicturePlacement::level(50.0);
        let knife = knife::STARTERS[0].knife();
        Knife { picture: Some(Picture { path: path.to_owned(), sum: 7, placement }), ..knife }
    }

    #[cfg(unix)]
    #[test]
    fn a_picture_in_a_folder_that_is_no_unicode_stays_what_it_is() {
        use std::ffi::OsStr;
        use std::os::unix::ffi::OsStrExt as _;
        let folder = Path::new(OsStr::from_bytes(b"/k\xFF"));
        let mut host = MemoryHost::default();
        let own = folder.join("a.blank.json");
        let bytes = file::save(&with_picture("in/scan.png"));
        host.write(&own, &bytes).unwrap();
        let (mut open, _) = Document::read(&own, &host).unwrap();
        let scan = folder.join("in/scan.png");
        assert_eq!(open.picture_file(), Some(scan.clone()));
        open.save(&own, &mut host).unwrap();
        assert_eq!(host.files[&own], bytes);
        // Saved elsewhere, it is told from there, as far as that folder can be named.
        open.save(&folder.join("deep/b.blank.json"), &mut host).unwrap();
        assert_eq!(open.picture_file(), Some(scan.clone()));
        let (again, _) = Document::read(&folder.join("deep/b.blank.json"), &host).unwrap();
        assert_eq!(again.picture_file(), Some(scan));
    }
}
