//! Bytes for a file, read back before they replace what is there: what a writer writes, its
//! reader reads.

use crate::{FileFault, FileProblem};
use knife::file::Unreadable;
use knife::{Knife, file};
use reckon::{Shop, shop};
use std::path::Path;

/// A blank's file.
///
/// # Errors
/// [`FileFault`] naming the file and the first thing that its reader would refuse.
pub fn blank_bytes(knife: &Knife, path: &Path) -> Result<Vec<u8>, FileFault> {
    file::save_read_back(knife).map_err(|why| unreadable(path, why))
}

/// A shop's file.
///
/// # Errors
/// [`FileFault`] likewise.
pub fn shop_bytes(shop: &Shop, path: &Path) -> Result<Vec<u8>, FileFault> {
    let text = shop::file::save_read_back(shop).map_err(|why| unreadable(path, why))?;
    Ok(text.into_bytes())
}

/// The fault of what could not be read back.
pub(crate) fn unreadable(path: &Path, Unreadable(why): Unreadable) -> FileFault {
    FileFault { path: path.to_owned(), writing: true, problem: FileProblem::Unreadable(why) }
}
