//! Unsaved work, kept beside the maker's own files so that a crash or a kill loses next to none.
//!
//! While a blank has unsaved changes, [`Recovery::tick`] writes it to a file of its own in the
//! program's folder, at most once a second. The file goes once the work is saved or given up.
//! At the next start [`found`] lists what was left behind.

mod drawing;

use crate::beside::{knife_for_file, resolve_picture};
use crate::stamp::{DiskStamp, sum};
use crate::text::blank_title;
use host::{FileError, Host};
use knife::file::{Faults, read_json};
use knife::{Knife, file};
use outline::Knot;
use serde_json::{Value, json};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Least time between two writings, milliseconds: work is never older than this and the time
/// that a frame takes.
pub const EVERY_MS: u64 = 1000;
/// The folder in the program's own.
const FOLDER: &str = "recovery";
/// The ending of a recovery file.
const ENDING: &str = ".recovery.json";
/// The ending of the file that a running program claims.
const CLAIM: &str = ".running";
/// What a kill in the middle of writing leaves, by its ending.
const PART: &str = ".part";
/// What can't be used is kept under this ending.
const DAMAGED: &str = ".damaged";
/// A part older than this belongs to no running program, milliseconds.
const STALE_MS: u64 = 60_000;
/// The format's name inside the file, and its version.
const FORMAT: (&str, u64) = ("blankwright recovery", 1);

/// The work as it stands in this frame.
#[derive(Clone, Copy, Debug)]
pub struct Work<'a> {
    /// The blank.
    pub knife: &'a Knife,
    /// Grows whenever the blank changes.
    pub revision: u64,
    /// The points of an outline that is being drawn.
    pub drawing: &'a [Knot],
    /// Whether leaving would lose work.
    pub dirty: bool,
    /// Its own file, once it has one.
    pub path: Option<&'a Path>,
    /// The file from which the path of its picture is told, where that can't begin at the root.
    pub base: Option<&'a Path>,
    /// What that file held when the work was read from it or saved to it.
    pub on_disk: Option<DiskStamp>,
}

/// Keeps one open document's unsaved work. The order around saving is: [`Recovery::before_save`],
/// save, [`Recovery::tick`].
#[derive(Debug)]
pub struct Recovery {
    file: Option<PathBuf>,
    claim: Option<PathBuf>,
    claimed: bool,
    /// The revision, file and points last written.
    written: Option<(u64, Option<PathBuf>, Vec<Knot>)>,
    tried_ms: Option<u64>,
    /// Left by an earlier run, taken over: they go once this one's is written.
    taken_over: Vec<PathBuf>,
    reported: Option<FileError>,
}

/// Work that an earlier run left behind.
#[derive(Clone, Debug, PartialEq)]
pub struct Recoverable {
    /// The blank.
    pub knife: Knife,
    /// The points of its outline, where that was still being drawn.
    pub drawing: Vec<Knot>,
    /// Its own file, where it has one.
    pub path: Option<PathBuf>,
    /// What that file held when the work was read from it or saved to it, where that is known.
    pub on_disk: Option<DiskStamp>,
    /// When it was kept, milliseconds since 1970 (UTC).
    pub kept_ms: u64,
    /// Whether its own file was written after that: by this program or another.
    pub file_is_newer: bool,
    /// The recovery file.
    pub file: PathBuf,
}

/// What [`found`] found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Work to offer, the newest first.
    pub works: Vec<Recoverable>,
    /// A sentence for each file that couldn't be used.
    pub faults: Vec<String>,
}

impl Recovery {
    /// For a document; `session` is a name that no other run and no other document of this one
    /// has, of letters, digits and hyphens (such as process and time of start).
    pub fn new(session: &str, host: &dyn Host) -> Self {
        let folder = host.data_folder().map(|data| data.join(FOLDER));
        let named = |ending: &str| Some(folder.as_ref()?.join(format!("{session}{ending}")));
        Self {
            file: named(ENDING),
            claim: named(CLAIM),
            claimed: false,
            written: None,
            tried_ms: None,
            taken_over: Vec::new(),
            reported: None,
        }
    }

    /// Keeps the work if that is due, and lets go of what was kept once nothing is unsaved. To
    /// be called every frame, and again after the milliseconds it gives back (`None`: only when
    /// something changes).
    ///
    /// # Errors
    /// [`FileError`] when it can't be kept; the same fault is told once, and tried again every
    /// second.
    pub fn tick(&mut self, work: &Work<'_>, host: &mut dyn Host) -> Result<Option<u64>, FileError> {
        let Some(file) = self.file.clone() else { return Ok(None) };
        if !work.dirty {
            self.let_go(host);
            return Ok(None);
        }
        let known = self.written.as_ref();
        let is_same = |(at, path, drawn): &(u64, Option<PathBuf>, Vec<Knot>)| {
            *at == work.revision && path.as_deref() == work.path && drawn == work.drawing
        };
        if known.is_some_and(is_same) {
            return Ok(None);
        }
        let now_ms = host.now_ms();
        // A clock that was set back must not stop the keeping.
        let since = self.tried_ms.and_then(|tried| now_ms.checked_sub(tried));
        if let Some(left) = since.and_then(|since| EVERY_MS.checked_sub(since)).filter(|l| *l > 0) {
            return Ok(Some(left));
        }
        self.tried_ms = Some(now_ms);
        match self.keep(work, &file, now_ms, host) {
            Ok(()) => {
                let path = work.path.map(Path::to_owned);
                self.written = Some((work.revision, path, work.drawing.to_vec()));
                self.reported = None;
                Ok(None)
            }
            Err(fault) if self.reported.as_ref() == Some(&fault) => Ok(Some(EVERY_MS)),
            Err(fault) => {
                self.reported = Some(fault.clone());
                Err(fault)
            }
        }
    }

    fn keep(
        &mut self,
        work: &Work<'_>,
        file: &Path,
        now_ms: u64,
        host: &mut dyn Host,
    ) -> Result<(), FileError> {
        if let (false, Some(claim), Some(folder)) = (self.claimed, &self.claim, file.parent()) {
            host.create_private_folder(folder)?;
            self.claimed = host.claim(claim);
        }
        host.write_without_sync(file, &written(work, file, now_ms, host)?)?;
        for old in self.taken_over.drain(..) {
            forget(&old, host);
        }
        Ok(())
    }

    /// To be called right before the work is saved to its file: keeps it as it stands now, so
    /// that a kill between saving and the next tick leaves just what the file holds, which
    /// [`found`] then clears away. That it can't be kept must not stop the saving.
    pub fn before_save(&mut self, work: &Work<'_>, host: &mut dyn Host) {
        if let (true, Some(file)) = (self.written.is_some(), self.file.clone()) {
            let now_ms = host.now_ms();
            let _ = self.keep(work, &file, now_ms, host);
        }
    }

    /// Works on with what an earlier run left: its file goes once this document's own is
    /// written, saved or given up.
    pub fn take_over(&mut self, work: &Recoverable) {
        self.taken_over.push(work.file.clone());
    }

    /// The work is saved or given up: nothing of it is kept any more. To be called when the
    /// desk closes in good order, and before another document takes the place of this one.
    pub fn close(&mut self, host: &mut dyn Host) {
        self.let_go(host);
        if let (true, Some(claim)) = (self.claimed, &self.claim) {
            // Left behind it does no harm: the next start sweeps it.
            let _ = host.remove(claim);
            self.claimed = false;
        }
    }

    fn let_go(&mut self, host: &mut dyn Host) {
        let kept = self.written.take().and(self.file.as_ref());
        if let Some(file) = kept {
            let _ = host.remove(file);
        }
        for old in self.taken_over.drain(..) {
            forget(&old, host);
        }
        self.tried_ms = None;
    }
}

impl Recoverable {
    /// What it is called: its name, else its file's, else a word for having none.
    pub fn title(&self) -> String {
        blank_title(&self.knife, self.path.as_deref())
    }

    /// How long ago it was kept, in words: `3 minutes ago`.
    pub fn age(&self, now_ms: u64) -> String {
        let minutes = now_ms.saturating_sub(self.kept_ms) / 60_000;
        let show = |n: u64, what: &str| {
            if n == 1 { format!("1 {what} ago") } else { format!("{n} {what}s ago") }
        };
        match minutes {
            0 => "less than a minute ago".to_owned(),
            1..60 => show(minutes, "minute"),
            60..1440 => show(minutes / 60, "hour"),
            _ => show(minutes / 1440, "day"),
        }
    }

    /// Gives the work up for good.
    pub fn discard(&self, host: &mut dyn Host) {
        forget(&self.file, host);
    }
}

/// What earlier runs left behind. Work of a program that still runs is left alone; work that is
/// just what its own file holds was saved, and is cleared away. A damaged file is told of once
/// and kept under another ending.
pub fn found(host: &mut dyn Host) -> Found {
    let mut found = Found::default();
    let Some(folder) = host.data_folder().map(|data| data.join(FOLDER)) else { return found };
    let now_ms = host.now_ms();
    for path in host.list(&folder) {
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
        let name = name.unwrap_or_default();
        if let Some(session) = name.strip_suffix(ENDING) {
            if !host.is_claimed(&folder.join(format!("{session}{CLAIM}"))) {
                one(path, &mut found, host);
            }
        } else if name.ends_with(PART) {
            let age = host.modified(&path).map(|at| now_ms.saturating_sub(at));
            if age.is_some_and(|age| age > STALE_MS) {
                let _ = host.remove(&path);
            }
        } else if name.ends_with(CLAIM) && !host.is_claimed(&path) {
            let _ = host.remove(&path);
        }
    }
    found.works.sort_by_key(|work| std::cmp::Reverse(work.kept_ms));
    found
}

fn one(path: PathBuf, found: &mut Found, host: &mut dyn Host) {
    let bytes = match host.read(&path) {
        Ok(bytes) => bytes,
        Err(fault) => return found.faults.push(fault.to_string()),
    };
    match read(&bytes, &path) {
        Some((mut work, blank)) => {
            // A path that doesn't begin at the root led from a folder nobody knows any more.
            let own = work.path.as_deref().filter(|own| own.is_absolute());
            let own_ms = own.and_then(|own| host.modified(own));
            let own = own.and_then(|own| host.read(own).ok());
            work.file_is_newer = own_ms.is_some_and(|own_ms| own_ms > work.kept_ms);
            if own.as_deref() == Some(blank.as_bytes()) && work.drawing.is_empty() {
                work.discard(host);
            } else {
                found.works.push(work);
            }
        }
        None => found.faults.push(set_aside(&path, &bytes, host)),
    }
}

/// Keeps a damaged file out of the way; the sentence that tells so.
fn set_aside(path: &Path, bytes: &[u8], host: &mut dyn Host) -> String {
    let mut aside = path.as_os_str().to_owned();
    aside.push(DAMAGED);
    let aside = PathBuf::from(aside);
    if host.write_without_sync(&aside, bytes).is_ok() && host.remove(path).is_ok() {
        let aside = aside.display();
        return format!(
            "unsaved work of an earlier run is damaged and can't be used; it is kept as {aside}"
        );
    }
    let path = path.display();
    format!("unsaved work of an earlier run is damaged and can't be used; it lies in {path}")
}

/// Removes a recovery file and the claim beside it.
fn forget(file: &Path, host: &mut dyn Host) {
    let _ = host.remove(file);
    let name = file.file_name().map(|name| name.to_string_lossy().into_owned());
    if let Some(session) = name.as_deref().and_then(|name| name.strip_suffix(ENDING)) {
        let claim = file.with_file_name(format!("{session}{CLAIM}"));
        if !host.is_claimed(&claim) {
            let _ = host.remove(&claim);
        }
    }
}

/// The recovery file's bytes: the blank's own text, and a sum by which damage is seen. They are
/// read back; a blank with faults is kept all the same, as that loses least.
fn written(
    work: &Work<'_>,
    file: &Path,
    now_ms: u64,
    host: &dyn Host,
) -> Result<Vec<u8>, FileError> {
    let path = work.path.map(|path| host.absolute(path));
    // As its own file holds it once it is saved.
    let blank = match &path {
        Some(path) => file::save(&knife_for_file(work.knife, work.base, path)),
        None => file::save(work.knife),
    };
    let blank = String::from_utf8(blank).unwrap_or_default();
    let value = json!({
        "format": FORMAT.0,
        "version": FORMAT.1,
        "path": path.as_deref().and_then(Path::to_str),
        "path_signs": path.as_deref().filter(|path| path.to_str().is_none()).map(signs),
        "on_disk": work.on_disk.map(DiskStamp::to_json),
        "kept_ms": now_ms,
        "drawing": (!work.drawing.is_empty()).then(|| drawing::write(work.drawing)),
        "sum": format!("{:016x}", sum(blank.as_bytes())),
        "blank": blank,
    });
    let mut text = serde_json::to_string_pretty(&value).unwrap_or_default();
    text.push('\n');
    let bytes = text.into_bytes();
    match read(&bytes, file) {
        Some((again, _)) if again.path == path && again.drawing == work.drawing => Ok(bytes),
        _ => Err(FileError::unreadable(file, "the work is not whole in it")),
    }
}

/// A path that is no Unicode, as the system's own signs.
#[cfg(unix)]
fn signs(path: &Path) -> Vec<u16> {
    use std::os::unix::ffi::OsStrExt as _;
    path.as_os_str().as_bytes().iter().map(|byte| u16::from(*byte)).collect()
}

/// The path of such signs.
#[cfg(unix)]
fn of_signs(signs: &[u16]) -> Option<PathBuf> {
    use std::os::unix::ffi::OsStringExt as _;
    let bytes: Result<Vec<u8>, _> = signs.iter().map(|sign| u8::try_from(*sign)).collect();
    Some(OsString::from_vec(bytes.ok()?).into())
}

#[cfg(windows)]
fn signs(path: &Path) -> Vec<u16> {
    use std::os::windows::ffi::OsStrExt as _;
    path.as_os_str().encode_wide().collect()
}

#[cfg(windows)]
fn of_signs(signs: &[u16]) -> Option<PathBuf> {
    use std::os::windows::ffi::OsStringExt as _;
    Some(OsString::from_wide(signs).into())
}

/// The work in a recovery file, and the blank's text; `None` when it is damaged.
fn read(bytes: &[u8], path: &Path) -> Option<(Recoverable, String)> {
    let value = read_json(bytes, &mut Faults::default()).ok()?;
    let text = |name: &str| value.get(name).and_then(Value::as_str);
    let known = value.get("version").and_then(Value::as_u64) == Some(FORMAT.1);
    if text("format") != Some(FORMAT.0) || !known {
        return None;
    }
    let blank = text("blank")?;
    if text("sum")? != format!("{:016x}", sum(blank.as_bytes())) {
        return None;
    }
    let mut work = Recoverable {
        knife: file::open(blank.as_bytes()).ok()?.knife,
        drawing: drawing::read(value.get("drawing")),
        path: text("path").map(PathBuf::from).or_else(|| {
            let signs = value.get("path_signs")?.as_array()?.iter();
            let signs: Option<Vec<u16>> =
                signs.map(|sign| u16::try_from(sign.as_u64()?).ok()).collect();
            of_signs(&signs?)
        }),
        on_disk: value.get("on_disk").and_then(DiskStamp::from_json),
        kept_ms: value.get("kept_ms").and_then(Value::as_u64)?,
        file_is_newer: false,
        file: path.to_owned(),
    };
    if let Some(own) = &work.path {
        resolve_picture(&mut work.knife, own);
    }
    Some((work, blank.to_owned()))
}

#[cfg(test)]
mod tests;
