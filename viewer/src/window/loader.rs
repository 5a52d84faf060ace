//! A thread that does what takes time, so that the window never waits.
//!
//! Both channels are bounded. The window never blocks on them: a request that does not fit yet is
//! kept and sent at the next frame. When the window goes, the thread ends at its next answer.

use std::collections::VecDeque;
use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, SyncSender, TryRecvError, TrySendError, sync_channel};
use std::thread::{self, JoinHandle};

/// How many requests may wait for the thread, and how many answers for the window.
const MOST_WAITING: usize = 16;

/// Where the thread puts its answers.
pub(crate) struct Outlet<A> {
    steps: SyncSender<Step<A>>,
    ctx: egui::Context,
    stopped: Arc<AtomicBool>,
}

enum Step<A> {
    Answer(A),
    Done,
}

impl<A> Outlet<A> {
    /// Hands over one answer and wakes the window. Waits while too many are waiting for it.
    pub(crate) fn give(&self, answer: A) {
        self.step(Step::Answer(answer));
    }

    /// Whether nobody wants more answers.
    pub(crate) fn is_stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }

    fn step(&self, step: Step<A>) {
        if self.steps.send(step).is_err() {
            self.stopped.store(true, Ordering::Relaxed);
        }
        self.ctx.request_repaint();
    }
}

/// A thread that turns requests into answers, one request after the other.
pub(crate) struct Loader<R, A> {
    /// `None` only while it is being dropped, as are the answers and the thread.
    requests: Option<SyncSender<R>>,
    steps: Option<Receiver<Step<A>>>,
    thread: Option<JoinHandle<()>>,
    unsent: VecDeque<R>,
    n_under_way: usize,
    stopped: Arc<AtomicBool>,
}

impl<R: Send + 'static, A: Send + 'static> Loader<R, A> {
    /// Starts the thread; it calls `work` for each request and wakes `ctx` at each answer.
    ///
    /// # Errors
    /// If the system gives no thread.
    pub(crate) fn start(
        ctx: &egui::Context,
        mut work: impl FnMut(R, &Outlet<A>) + Send + 'static,
    ) -> io::Result<Self> {
        let (requests, wanted) = sync_channel::<R>(MOST_WAITING);
        let (sender, steps) = sync_channel(MOST_WAITING);
        let stopped = Arc::new(AtomicBool::new(false));
        let outlet = Outlet { steps: sender, ctx: ctx.clone(), stopped: Arc::clone(&stopped) };
        let thread = thread::Builder::new().name("loader".to_owned()).spawn(move || {
            for request in wanted {
                work(request, &outlet);
                outlet.step(Step::Done);
                if outlet.is_stopped() {
                    break;
                }
            }
        })?;
        Ok(Self {
            requests: Some(requests),
            steps: Some(steps),
            thread: Some(thread),
            unsent: VecDeque::new(),
            n_under_way: 0,
            stopped,
        })
    }

    /// Asks for something; the answers come with [`Self::answers`].
    pub(crate) fn ask(&mut self, request: R) {
        self.unsent.push_back(request);
        self.send();
    }

    /// Whether something that was asked for is not yet done.
    pub(crate) fn is_busy(&self) -> bool {
        0 < self.n_under_way || !self.unsent.is_empty()
    }

    /// The answers that are there, without waiting.
    pub(crate) fn answers(&mut self) -> Vec<A> {
        self.send();
        let mut answers = Vec::new();
        let Some(steps) = &self.steps else { return answers };
        loop {
            match steps.try_recv() {
                Ok(Step::Answer(answer)) => answers.push(answer),
                Ok(Step::Done) => self.n_under_way -= 1,
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => {
                    self.n_under_way = 0;
                    break;
                }
            }
        }
        answers
    }

    /// Waits until all that was asked for is done, and gives its answers.
    pub(crate) fn finish(&mut self) -> Vec<A> {
        let mut answers = self.answers();
        while self.is_busy() {
            match self.steps.as_ref().map(Receiver::recv) {
                Some(Ok(Step::Answer(answer))) => answers.push(answer),
                Some(Ok(Step::Done)) => self.n_under_way -= 1,
                Some(Err(_)) | None => break,
            }
            self.send();
        }
        answers
    }

    fn send(&mut self) {
        let Some(requests) = &self.requests else { return };
        while let Some(request) = self.unsent.pop_front() {
            match requests.try_send(request) {
                Ok(()) => self.n_under_way += 1,
                Err(TrySendError::Full(request) | TrySendError::Disconnected(request)) => {
                    self.unsent.push_front(request);
                    break;
                }
            }
        }
    }
}

impl<R, A> Drop for Loader<R, A> {
    fn drop(&mut self) {
        self.stopped.store(true, Ordering::Relaxed);
        drop(self.requests.take());
        drop(self.steps.take());
        // A panic of the thread has printed its own message.
        drop(self.thread.take().map(JoinHandle::join));
    }
}

impl<R, A> std::fmt::Debug for Loader<R, A> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Loader").field("n_under_way", &self.n_under_way).finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_requests_than_fit_are_all_answered_in_order() {
        let ctx = egui::Context::default();
        let mut loader = Loader::start(&ctx, |n: usize, outlet: &Outlet<usize>| {
            outlet.give(n);
            outlet.give(n);
        })
        .unwrap();
        for n in 0..100 {
            loader.ask(n);
        }
        assert!(loader.is_busy());
        let expected: Vec<usize> = (0..100).flat_map(|n| [n, n]).collect();
        assert_eq!(loader.finish(), expected);
        assert!(!loader.is_busy());
    }

    #[test]
    fn a_window_that_goes_does_not_wait_for_endless_work() {
        let ctx = egui::Context::default();
        let mut loader = Loader::start(&ctx, |(): (), outlet: &Outlet<u8>| {
            while !outlet.is_stopped() {
                outlet.give(0);
            }
        })
        .unwrap();
        loader.ask(());
        drop(loader);
    }
}
