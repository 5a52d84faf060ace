//! A value of which only the newest counts.

use std::sync::{Arc, Mutex, PoisonError};

/// The newest value, shared between the one who publishes and those who show.
///
/// Publishing never waits for a reader (the lock is held for one copy); values nobody took are
/// replaced.
#[derive(Debug)]
pub struct LatestValue<T> {
    value: Arc<Mutex<Option<T>>>,
}

impl<T> Clone for LatestValue<T> {
    fn clone(&self) -> Self {
        Self { value: Arc::clone(&self.value) }
    }
}

impl<T> Default for LatestValue<T> {
    fn default() -> Self {
        Self { value: Arc::new(Mutex::new(None)) }
    }
}

impl<T: Clone> LatestValue<T> {
    /// Nothing published yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Replaces the value.
    pub fn publish(&self, value: T) {
        *self.value.lock().unwrap_or_else(PoisonError::into_inner) = Some(value);
    }

    /// A copy of the newest value; `None` if there was none yet.
    pub fn latest(&self) -> Option<T> {
        self.value.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_newest_is_seen() {
        let shown = LatestValue::new();
        let recorder = shown.clone();
        assert_eq!(shown.latest(), None);
        recorder.publish(1);
        recorder.publish(2);
        assert_eq!(shown.latest(), Some(2));
        assert_eq!(shown.latest(), Some(2));
    }
}
