//! One thread on which what can be slow is worked out, so that the window never waits for it.
//! Only the newest job waits for its turn: one that is asked for takes the place of the one before.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// What a job asks between two steps: whether its result is still wanted.
pub(crate) type Wanted<'a> = &'a dyn Fn() -> bool;

type Job<T> = Box<dyn FnOnce(Wanted<'_>) -> Option<T> + Send>;

/// The thread and what goes to and from it.
pub(crate) struct Worker<T> {
    shared: Arc<Shared<T>>,
    patience: Duration,
}

struct Shared<T> {
    state: Mutex<State<T>>,
    changed: Condvar,
}

struct State<T> {
    next: Option<Job<T>>,
    is_running: bool,
    /// Whether the job that runs is to give up, and whether the one before it did.
    give_up: bool,
    gave_up: bool,
    done: Option<T>,
    /// Whether a frame waits for it, and whether the window sleeps and is to be woken for it.
    is_awaited: bool,
    is_to_wake: bool,
    is_closed: bool,
}

impl<T> Shared<T> {
    /// No job runs while this is held, so a panic never leaves it half changed.
    fn lock(&self) -> MutexGuard<'_, State<T>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<T> State<T> {
    fn is_busy(&self) -> bool {
        self.is_running || self.next.is_some()
    }
}

impl<T: Send + 'static> Worker<T> {
    /// Starts the thread; `None` where the system has none left. `wake` is called when something
    /// was worked out for which no frame waited. A frame waits for as long as `patience` for what
    /// it asks for, so that what is quick is seen in the same frame.
    pub(crate) fn start(patience: Duration, wake: impl Fn() + Send + 'static) -> Option<Self> {
        let state = State {
            next: None,
            is_running: false,
            give_up: false,
            gave_up: false,
            done: None,
            is_awaited: false,
            is_to_wake: false,
            is_closed: false,
        };
        let shared = Arc::new(Shared { state: Mutex::new(state), changed: Condvar::new() });
        let theirs = Arc::clone(&shared);
        let thread = std::thread::Builder::new().name("figures".to_owned());
        thread.spawn(move || work(&theirs, &wake)).ok()?;
        Some(Self { shared, patience })
    }

    /// Asks for something in place of what waits. What runs is given up for it, but never two in a
    /// row: something must come of a drag without a pause. For a window that paints its next frame
    /// anyhow: it is woken only if that frame comes too early.
    pub(crate) fn ask(&self, job: impl FnOnce(Wanted<'_>) -> Option<T> + Send + 'static) {
        self.put_next(Box::new(job)).0.is_to_wake = false;
    }

    /// The same; then waits, if nothing else was running: what came of it in time.
    pub(crate) fn ask_and_wait(
        &self,
        job: impl FnOnce(Wanted<'_>) -> Option<T> + Send + 'static,
    ) -> Option<T> {
        let (mut state, was_busy) = self.put_next(Box::new(job));
        state.is_to_wake = true;
        if was_busy || self.patience.is_zero() {
            return state.done.take();
        }
        state.is_awaited = true;
        let waits = |state: &mut State<T>| state.done.is_none() && state.is_busy();
        let waited = self.shared.changed.wait_timeout_while(state, self.patience, waits);
        let mut state = waited.unwrap_or_else(PoisonError::into_inner).0;
        state.is_awaited = false;
        state.done.take()
    }

    /// Puts a job in place of what waits; whether anything was running or waiting before.
    fn put_next(&self, job: Job<T>) -> (MutexGuard<'_, State<T>>, bool) {
        let mut state = self.shared.lock();
        let was_busy = state.is_busy();
        state.give_up = state.is_running && !state.gave_up;
        state.next = Some(job);
        self.shared.changed.notify_all();
        (state, was_busy)
    }

    /// What was worked out since this was last asked, if anything was.
    pub(crate) fn take(&self) -> Option<T> {
        let mut state = self.shared.lock();
        state.is_to_wake |= state.done.is_none() && state.is_busy();
        state.done.take()
    }

    /// Waits until nothing is left to do.
    pub(crate) fn finish(&self) {
        let state = self.shared.lock();
        drop(self.shared.changed.wait_while(state, |state| state.is_busy()));
    }

    /// Whether anything is being worked out, waits for it, or was and is not taken yet.
    pub(crate) fn is_busy(&self) -> bool {
        let state = self.shared.lock();
        state.is_busy() || state.done.is_some()
    }
}

impl<T> Drop for Worker<T> {
    fn drop(&mut self) {
        let mut state = self.shared.lock();
        (state.is_closed, state.next, state.give_up) = (true, None, true);
        self.shared.changed.notify_all();
    }
}

/// What the thread does until its worker is dropped. A job that panics leaves nothing, and the
/// thread goes on: the desk stands, and what was worked out last with it.
fn work<T>(shared: &Shared<T>, wake: &dyn Fn()) {
    loop {
        let waits = |state: &mut State<T>| state.next.is_none() && !state.is_closed;
        let waited = shared.changed.wait_while(shared.lock(), waits);
        let mut state = waited.unwrap_or_else(PoisonError::into_inner);
        let Some(job) = state.next.take() else { return };
        (state.is_running, state.give_up) = (true, false);
        drop(state);
        let wanted = || !shared.lock().give_up;
        let done = catch_unwind(AssertUnwindSafe(|| job(&wanted))).ok().flatten();
        let mut state = shared.lock();
        state.is_running = false;
        state.gave_up = state.give_up && done.is_none();
        let is_seen = done.is_some() && (state.is_awaited || !state.is_to_wake);
        if done.is_some() {
            state.done = done;
        }
        drop(state);
        shared.changed.notify_all();
        if !is_seen {
            wake();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::{Receiver, Sender, channel};

    fn worker(patience: Duration) -> Worker<u32> {
        Worker::start(patience, || ()).expect("a thread")
    }

    /// A job that tells that it has begun, and goes on when it is told to; it gives up then if it
    /// is no longer wanted.
    fn held(
        value: u32,
        begun: Sender<()>,
        go_on: Receiver<()>,
    ) -> impl FnOnce(Wanted<'_>) -> Option<u32> {
        move |wanted| {
            begun.send(()).expect("somebody waits");
            go_on.recv().expect("somebody goes on");
            wanted().then_some(value)
        }
    }

    #[test]
    fn what_is_quick_is_there_at_once() {
        let worker = worker(Duration::from_secs(600));
        assert_eq!(worker.ask_and_wait(|_| Some(7)), Some(7));
        assert!(!worker.is_busy() && worker.take().is_none());
    }

    #[test]
    fn only_what_no_frame_waits_for_wakes_the_window() {
        let (wakes, woken) = channel();
        let wake = move || wakes.send(()).expect("the test waits");
        let worker = Worker::start(Duration::from_secs(600), wake).expect("a thread");
        for value in 0..9 {
            assert_eq!(worker.ask_and_wait(move |_| Some(value)), Some(value));
        }
        assert_eq!(worker.ask_and_wait(|_| None), None);
        woken.recv().expect("what came to nothing is told");
        worker.finish();
        assert!(woken.try_recv().is_err(), "what was seen at once is not told again");
    }

    #[test]
    fn a_window_that_paints_anyhow_is_woken_only_when_it_came_too_early() {
        let (wakes, woken) = channel();
        let wake = move || wakes.send(()).expect("the test waits");
        let worker = Worker::start(Duration::ZERO, wake).expect("a thread");
        worker.ask(|_| Some(1));
        worker.finish();
        assert_eq!(worker.take(), Some(1));
        assert!(woken.try_recv().is_err(), "the next frame found it");
        let (begun, begins) = channel();
        let (go_on, goes_on) = channel();
        worker.ask(held(2, begun, goes_on));
        begins.recv().expect("it begins");
        assert_eq!(worker.take(), None, "too early");
        go_on.send(()).expect("it waits");
        woken.recv().expect("the window is woken");
        worker.finish();
        assert_eq!(worker.take(), Some(2));
    }

    #[test]
    fn the_newest_takes_the_place_of_what_waits_and_of_what_runs() {
        let worker = worker(Duration::ZERO);
        let (begun, begins) = channel();
        let (go_on, goes_on) = channel();
        assert_eq!(worker.ask_and_wait(held(1, begun, goes_on)), None, "without patience");
        begins.recv().expect("it begins");
        for value in 2..9 {
            worker.ask(move |_| Some(value));
        }
        go_on.send(()).expect("it waits");
        worker.finish();
        assert_eq!(worker.take(), Some(8), "neither the first nor any between");
    }

    #[test]
    fn no_two_in_a_row_are_given_up() {
        let worker = worker(Duration::ZERO);
        let start = |value| {
            let (begun, begins) = channel();
            let (go_on, goes_on) = channel();
            worker.ask(held(value, begun, goes_on));
            (begins, go_on)
        };
        let (begins, go_on) = start(1);
        begins.recv().expect("it begins");
        let (second, second_goes_on) = start(2);
        go_on.send(()).expect("it waits");
        second.recv().expect("it begins");
        assert_eq!(worker.take(), None, "the first gave up");
        let (third, third_goes_on) = start(3);
        second_goes_on.send(()).expect("it waits");
        third.recv().expect("it begins");
        assert_eq!(worker.take(), Some(2), "the second was spared");
        third_goes_on.send(()).expect("it waits");
        worker.finish();
        assert_eq!(worker.take(), Some(3));
    }

    #[test]
    fn a_job_that_panics_leaves_nothing_and_the_next_is_done() {
        let worker = worker(Duration::ZERO);
        worker.ask(|_| panic!("a job of a test that panics"));
        worker.finish();
        assert_eq!(worker.take(), None);
        worker.ask(|_| Some(2));
        worker.finish();
        assert_eq!(worker.take(), Some(2));
    }
}
