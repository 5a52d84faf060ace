//! Every word a person reads on a screen: one [`Language`] a language, each in its own folder.
//!
//! Screens never hold a sentence; they ask the language they are given. A new language is one more
//! value of [`Language`], and does not compile until it has words for everything.

mod board;
mod clinic;
mod english;
mod german;
mod language;
mod message;
mod number;
mod picture;
mod plan;
mod practice;
mod report;
mod sound;
mod stand;
#[cfg(test)]
pub(crate) mod walk;

pub use board::BoardWords;
pub use clinic::{ClinicMessages, CourseWords, PeopleWords};
pub use english::ENGLISH;
pub use german::GERMAN;
pub use language::{ChoiceWords, ChooseWords, CommonWords, CompareWords, Language, StartWords};
pub use message::Message;
pub(crate) use message::with_causes;
pub use number::{decimals, significant, typed};
pub use picture::PictureWords;
pub use plan::PlanWords;
pub use practice::{PageWords, PracticeWords};
pub use report::{FactWords, ReportWords};
pub use sound::SoundWords;
pub use stand::StandWords;

use acquisition::home::LanguageKey;

/// Every language there is, in the order of its key.
pub static LANGUAGES: [&Language; 2] = [&ENGLISH, &GERMAN];

impl Language {
    /// The words of the language with this key.
    pub const fn of(key: LanguageKey) -> &'static Self {
        match key {
            LanguageKey::English => &ENGLISH,
            LanguageKey::German => &GERMAN,
        }
    }
}
