//! A session at home: what is asked next, of whom what may be asked, and what stops it.
//!
//! [`HomeSession`] is a state machine without a clock, a board or a screen: it says what to
//! [`Ask`], takes the [`Answer`] with the time of it, and says what is to be recorded. What it asks
//! follows from what is recorded, so a session that was cut off goes on where it stopped. The words
//! are the screen's.

mod answer;
mod ask;
mod board;
mod language;
mod lock;
mod offer;
mod open;
mod search;
mod session;
mod settings;
#[cfg(test)]
mod tests;
mod today;

pub use answer::{Answer, Deed, NotAsked, StandOutcome, StandShown};
pub use ask::{Ask, Missing, Part, Reached, Sign, Stand};
pub use board::{HomeStandError, StandObserver, check_board, stand};
pub use language::LanguageKey;
pub use lock::Lock;
pub use open::{OpenHomeError, open};
pub use session::{HomeSession, Known, StandDone};
pub use settings::{BadHomeSettings, HomeSettings, SETTINGS_NAME};
