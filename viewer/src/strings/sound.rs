//! What a language must have words for about sound.

use crate::sound::{Cue, OpenSoundError, SoundState};
use crate::strings::message::Message;

/// Words about sound.
#[derive(Debug)]
pub struct SoundWords {
    /// What a cue means.
    pub meaning: fn(Cue) -> &'static str,
    /// How a cue sounds, for a person who learns them.
    pub sounds_like: fn(Cue) -> &'static str,
    /// The message for a sound device that was not opened.
    pub not_opened: fn(&OpenSoundError) -> Message,
    /// The message for a sound device that was lost in mid-trial; `None` while it plays.
    pub lost: fn(&SoundState) -> Option<Message>,
}
