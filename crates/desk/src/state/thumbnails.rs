//! Small pictures of files.

use knife::Knife;
use outline::Outline;
use std::path::PathBuf;

/// A file as a small picture.
#[derive(Clone, Debug)]
pub(crate) struct Thumbnail {
    pub(crate) path: PathBuf,
    /// What it is called in the list.
    pub(crate) name: String,
    pub(crate) knife: Knife,
    pub(crate) outline: Outline,
}

impl Thumbnail {
    /// Of a knife that has an outline.
    pub(crate) fn new(path: PathBuf, name: String, knife: Knife) -> Option<Self> {
        let outline = knife.profile.outline().ok()?;
        Some(Self { path, name, knife, outline })
    }
}

/// The small pictures that were read.
#[derive(Clone, Debug, Default)]
pub struct Thumbnails {
    /// Of which files those of the recent files were read.
    pub(crate) asked: Vec<PathBuf>,
    /// The recent files.
    pub(crate) recents: Vec<Thumbnail>,
    /// The kept versions of this knife, the newest first.
    pub(crate) versions: Vec<Thumbnail>,
}
