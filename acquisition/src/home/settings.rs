//! What a home has to know before its first session, in one small file.

use std::io;
use std::path::Path;

use serde::{Deserialize, Deserializer, Serialize};
use thiserror::Error;

use super::language::LanguageKey;
use crate::keys::{ReadOwnerFileError, read_owned, replace_owned};

/// Name of the file in the data folder.
pub const SETTINGS_NAME: &str = "home.toml";

const MAX_BYTES: u64 = 16 * 1024;
const MAX_CHARACTERS: usize = 100;

/// The settings of a home.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct HomeSettings {
    /// The local emergency number.
    pub emergency_number: Option<String>,
    /// How to reach the clinic, such as a telephone number.
    pub clinic_contact: Option<String>,
    /// The pad that lies on the board, by a name; another pad is another name.
    pub pad: Option<String>,
    /// The language of screens, pages and voice, in the clinic as well; English if not set, or if it
    /// is one of a later program.
    #[serde(deserialize_with = "known_language")]
    pub language: Option<LanguageKey>,
    /// How loud this computer plays, from 1 to [`LOUDEST`](Self::LOUDEST).
    pub volume: Option<u8>,
}

/// Why settings were not read or written.
#[derive(Debug, Error)]
pub enum BadHomeSettings {
    /// The file cannot be read.
    #[error("the settings of the home cannot be used")]
    File(#[from] ReadOwnerFileError),
    /// It holds something else.
    #[error("the file holds no settings of a home")]
    Shape,
    /// A text that no screen could show.
    #[error("{what} must have 1 to {MAX_CHARACTERS} characters and no control character")]
    Text {
        /// Which one.
        what: &'static str,
    },
    /// An emergency number that is none.
    #[error("an emergency number has 2 to 20 digits, not {found:?}")]
    Number {
        /// What was offered, at most 40 characters of it.
        found: String,
    },
    /// A volume there is not.
    #[error("a volume is 1 to {}, not {found}", HomeSettings::LOUDEST)]
    Volume {
        /// What was offered.
        found: u8,
    },
    /// The file cannot be written.
    #[error("the settings of the home cannot be written")]
    Write(#[source] io::Error),
}

/// `None` for a language there are no words for here: what else is set still counts.
fn known_language<'de, D: Deserializer<'de>>(from: D) -> Result<Option<LanguageKey>, D::Error> {
    Ok(String::deserialize(from)?.parse().ok())
}

impl HomeSettings {
    /// The highest volume.
    pub const LOUDEST: u8 = 10;

    /// Reads the settings in a data folder; none are the default, in which everything is missing.
    ///
    /// # Errors
    /// [`BadHomeSettings`].
    pub fn load(folder: &Path) -> Result<Self, BadHomeSettings> {
        let bytes = match read_owned(&folder.join(SETTINGS_NAME), MAX_BYTES) {
            Ok(bytes) => bytes,
            Err(ReadOwnerFileError::Missing) => return Ok(Self::default()),
            Err(error) => return Err(error.into()),
        };
        let text = String::from_utf8(bytes).ok().ok_or(BadHomeSettings::Shape)?;
        let settings: Self = toml::from_str(&text).ok().ok_or(BadHomeSettings::Shape)?;
        settings.check()?;
        Ok(settings)
    }

    /// Writes the settings into a data folder, as a whole.
    ///
    /// # Errors
    /// [`BadHomeSettings`].
    pub fn save(&self, folder: &Path) -> Result<(), BadHomeSettings> {
        self.check()?;
        let text = toml::to_string_pretty(self).ok().ok_or(BadHomeSettings::Shape)?;
        replace_owned(&folder.join(SETTINGS_NAME), text.as_bytes()).map_err(BadHomeSettings::Write)
    }

    fn check(&self) -> Result<(), BadHomeSettings> {
        if let Some(number) = &self.emergency_number {
            let digits = number.chars().filter(char::is_ascii_digit).count();
            let dialled = |c: char| c.is_ascii_digit() || matches!(c, ' ' | '+' | '-' | '#' | '*');
            if !(2..=20).contains(&digits) || !number.chars().all(dialled) {
                let found = number.chars().take(40).collect();
                return Err(BadHomeSettings::Number { found });
            }
        }
        if let Some(found) = self.volume
            && !(1..=Self::LOUDEST).contains(&found)
        {
            return Err(BadHomeSettings::Volume { found });
        }
        for (what, text) in [("the clinic's contact", &self.clinic_contact), ("a pad", &self.pad)] {
            let is_shown = |text: &String| {
                (1..=MAX_CHARACTERS).contains(&text.chars().count())
                    && !text.chars().any(char::is_control)
            };
            if !text.as_ref().is_none_or(is_shown) {
                return Err(BadHomeSettings::Text { what });
            }
        }
        Ok(())
    }
}
