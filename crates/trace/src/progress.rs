//! How far a trace is, and whether it is to go on.

use crate::TraceError;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering::Relaxed};

/// How far a trace is, and whether it is to go on: shared between the thread at work and whoever
/// waits for it. The work looks at it once a row of pixels.
#[derive(Debug, Default)]
pub struct Progress {
    cancelled: AtomicBool,
    /// Thousandths of the whole: done, and where the step under way begins and ends.
    done: AtomicU32,
    from: AtomicU32,
    to: AtomicU32,
}

impl Progress {
    /// The work ends soon, with [`TraceError::Cancelled`].
    pub fn cancel(&self) {
        self.cancelled.store(true, Relaxed);
    }

    /// Whether it was cancelled.
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Relaxed)
    }

    /// How much is done, 0 to 1.
    pub fn share(&self) -> f32 {
        self.done.load(Relaxed) as f32 / 1000.0
    }

    /// Begins a step that takes the work from one share of the whole to another, thousandths.
    pub(crate) fn step(&self, from: u32, to: u32) {
        self.from.store(from, Relaxed);
        self.to.store(to, Relaxed);
        self.done.fetch_max(from, Relaxed);
    }

    /// So much of the step under way is done; whether the work is to go on.
    pub(crate) fn at(&self, done: usize, of: usize) -> Result<(), TraceError> {
        if self.is_cancelled() {
            return Err(TraceError::Cancelled);
        }
        let (from, to) = (self.from.load(Relaxed), self.to.load(Relaxed));
        let within = to.saturating_sub(from) as usize * done / of.max(1);
        self.done.fetch_max(from + within as u32, Relaxed);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_only_grows_and_ends_when_it_is_cancelled() {
        let progress = Progress::default();
        progress.step(200, 600);
        assert_eq!(progress.at(50, 100), Ok(()));
        assert_eq!(progress.share(), 0.4);
        progress.step(300, 500);
        assert_eq!(progress.at(0, 10), Ok(()));
        assert_eq!(progress.share(), 0.4);
        progress.cancel();
        assert_eq!(progress.at(1, 10), Err(TraceError::Cancelled));
    }
}
