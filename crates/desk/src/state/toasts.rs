//! Short messages that come and go.

use crate::text::sentence;

/// The most that are shown at once.
const MAX: usize = 4;

/// The messages shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Toasts {
    pub(crate) shown: Vec<Toast>,
}

/// One message.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Toast {
    pub(crate) message: String,
    /// When it was first shown, seconds of the window's clock.
    pub(crate) since: Option<f64>,
}

impl Toasts {
    /// Shows a message; the same one is not shown twice.
    pub fn push(&mut self, message: impl AsRef<str>) {
        let message = sentence(message.as_ref());
        self.shown.retain(|known| known.message != message);
        self.shown.push(Toast { message, since: None });
        if self.shown.len() > MAX {
            self.shown.remove(0);
        }
    }

    /// Shows why something failed, if it did; what came of it else.
    pub(crate) fn report<T>(&mut self, result: Result<T, impl std::fmt::Display>) -> Option<T> {
        result.map_err(|why| self.push(why.to_string())).ok()
    }

    /// The latest message.
    pub fn latest(&self) -> Option<&str> {
        self.shown.last().map(|toast| toast.message.as_str())
    }
}
