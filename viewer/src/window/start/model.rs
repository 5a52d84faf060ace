//! What the first screen shows.

use crate::strings::ChoiceWords;
use crate::strings::Language;

/// What the first screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StartView {
    /// What the program is for.
    pub purpose: &'static str,
    /// Ways to begin that need a board, or stand in for one.
    pub boards: [Choice; 2],
    /// The way to begin that needs only files.
    pub open: Choice,
    /// The way for a person who practises at home.
    pub home: Choice,
    /// What this is not.
    pub caution: &'static str,
}

/// One way to begin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// Its name.
    pub name: &'static str,
    /// What it does.
    pub about: &'static str,
    /// What to type in a terminal, if that is how it is done.
    pub command: Option<&'static str>,
}

impl StartView {
    /// The first screen in a language.
    pub fn new(words: &Language) -> Self {
        let choice = |from: &ChoiceWords| Choice {
            name: from.name,
            about: from.about,
            command: from.command,
        };
        Self {
            purpose: words.start.purpose,
            boards: [choice(&words.start.simulated), choice(&words.start.real)],
            open: choice(&words.start.open),
            home: choice(&words.start.home),
            caution: words.common.caution,
        }
    }
}
