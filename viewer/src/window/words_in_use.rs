//! The language of the window, as its threads see it too.

use std::sync::{Arc, Mutex, PoisonError};

use crate::strings::Language;

/// The words in use; clones share them, so that a thread speaks the language chosen last.
#[derive(Debug, Clone)]
pub(crate) struct WordsInUse(Arc<Mutex<&'static Language>>);

impl WordsInUse {
    pub(crate) fn new(words: &'static Language) -> Self {
        Self(Arc::new(Mutex::new(words)))
    }

    /// The words now.
    pub(crate) fn now(&self) -> &'static Language {
        // A reference is whole whatever happened to whoever held the lock.
        *self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Has everybody use these words from the next request on.
    pub(crate) fn set(&self, words: &'static Language) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = words;
    }
}
