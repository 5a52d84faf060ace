//! Ctrl-C, taken as a wish while somebody heeds it.

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use tokio::runtime::Builder;
use tokio::signal::ctrl_c;

/// A second press within this time is no slip of the finger.
const IN_EARNEST: Duration = Duration::from_secs(1);

/// Presses of Ctrl-C since the program began to listen.
#[derive(Debug, Clone, Default)]
pub struct Interrupts {
    pressed: Arc<AtomicBool>,
    n_heeding: Arc<AtomicUsize>,
}

impl Interrupts {
    /// Takes Ctrl-C over from the system, for as long as the program runs.
    ///
    /// A press that somebody heeds is theirs; one that nobody heeds, and a second within a second,
    /// calls `leave`, which is to end the program.
    ///
    /// # Errors
    /// If the system gives no thread, or does not tell of signals.
    pub fn listen(leave: impl Fn() + Send + 'static) -> io::Result<Self> {
        let interrupts = Self::default();
        let listening = interrupts.clone();
        let runtime = Builder::new_current_thread().enable_io().build()?;
        thread::Builder::new().name("interrupts".to_owned()).spawn(move || {
            runtime.block_on(async {
                let mut last = None;
                while ctrl_c().await.is_ok() {
                    if !listening.press(Instant::now(), &mut last) {
                        leave();
                    }
                }
            });
        })?;
        Ok(interrupts)
    }

    /// From here on a press is collected, until the guard goes.
    #[must_use]
    pub fn heed(&self) -> Heeding {
        self.n_heeding.fetch_add(1, Ordering::SeqCst);
        self.pressed.store(false, Ordering::SeqCst);
        Heeding { interrupts: self.clone() }
    }

    /// Takes a press; false if the program is to be left.
    fn press(&self, now: Instant, last: &mut Option<Instant>) -> bool {
        let in_earnest =
            last.replace(now).is_some_and(|last| now.duration_since(last) < IN_EARNEST);
        let heeded = 0 < self.n_heeding.load(Ordering::SeqCst);
        if heeded && !in_earnest {
            self.pressed.store(true, Ordering::SeqCst);
        }
        heeded && !in_earnest
    }
}

/// Somebody who heeds presses; dropped, nobody does.
#[derive(Debug)]
pub struct Heeding {
    interrupts: Interrupts,
}

impl Heeding {
    /// Whether Ctrl-C was pressed since this was asked last.
    pub fn pressed(&self) -> bool {
        self.interrupts.pressed.swap(false, Ordering::SeqCst)
    }
}

impl Drop for Heeding {
    fn drop(&mut self) {
        self.interrupts.n_heeding.fetch_sub(1, Ordering::SeqCst);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_press_is_a_wish_and_two_within_a_second_leave() {
        let (interrupts, begun) = (Interrupts::default(), Instant::now());
        let mut last = None;
        let mut press_at = |ms: u64| interrupts.press(begun + Duration::from_millis(ms), &mut last);
        assert!(!press_at(0), "nobody heeds it");
        let heeding = interrupts.heed();
        assert!(!heeding.pressed());
        assert!(press_at(5_000));
        assert!(heeding.pressed());
        assert!(!heeding.pressed(), "taken once");
        assert!(press_at(6_000), "a second later it is another wish");
        assert!(!press_at(6_999));
        drop(heeding);
        assert!(!press_at(9_000));
    }
}
