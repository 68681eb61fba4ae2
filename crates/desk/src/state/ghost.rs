//! Another knife shown under this one.

use knife::Knife;
use std::sync::atomic::{AtomicU64, Ordering};

/// Another knife shown under this one: a version, a starter, a step or a file.
#[derive(Clone, Debug)]
pub struct Ghost {
    /// What it is called.
    pub name: String,
    /// The knife.
    pub knife: Knife,
    /// Tells it from every other.
    number: u64,
}

impl Ghost {
    /// A knife to be shown.
    pub fn new(name: impl Into<String>, knife: Knife) -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        Self { name: name.into(), knife, number: NEXT.fetch_add(1, Ordering::Relaxed) }
    }

    /// Tells it from every other.
    pub(crate) fn number(&self) -> u64 {
        self.number
    }
}
