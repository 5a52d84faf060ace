//! Which language the program is read and heard in.

use analysis::keyed_enum;
use serde::{Serialize, Serializer};

keyed_enum! {
    /// A language the program has words and a voice for.
    pub enum LanguageKey ("language") {
        /// English, British spelling.
        English = "english",
        /// German.
        German = "german",
    }
}

impl Serialize for LanguageKey {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}
