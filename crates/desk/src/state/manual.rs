//! The manual as it is read: its page, and what of it the graphics driver has.

use super::PictureTexture;
use manual::Page;
use std::collections::BTreeMap;

/// The manual, open at a page.
#[derive(Clone, Debug)]
pub struct ManualReader {
    /// The page.
    pub page: &'static Page,
    /// Its pictures by the names of their files, once they were shown.
    pub(crate) pictures: BTreeMap<String, PictureTexture>,
}

impl ManualReader {
    /// Opens a page.
    pub fn at(page: &'static Page) -> Self {
        Self { page, pictures: BTreeMap::new() }
    }
}
