//! Sound in English.

use crate::sound::{Cue, OpenSoundError, SoundState};
use crate::strings::message::{Message, with_causes};
use crate::strings::sound::SoundWords;

pub(crate) const SOUND: SoundWords = SoundWords { meaning, sounds_like, not_opened, lost };

const fn meaning(cue: Cue) -> &'static str {
    match cue {
        Cue::Start => "The stand begins",
        Cue::TooMuch => "Too much wobble: calm down",
        Cue::TooLittle => "Too little wobble: let go a little",
        Cue::PositionLost => "Position lost: come back to the middle",
        Cue::TenSecondsLeft => "Ten seconds left",
        Cue::End => "The stand is over: open your eyes",
        Cue::Stop => "Stop: hold on and open your eyes",
        Cue::SoundCheck => "Sound check: can you hear all five?",
    }
}

const fn sounds_like(cue: Cue) -> &'static str {
    match cue {
        Cue::Start => "a bell, three steps up",
        Cue::TooMuch => "three quick falling calls",
        Cue::TooLittle => "two slow rising calls",
        Cue::PositionLost => "a buzz, to and fro",
        Cue::TenSecondsLeft => "two knocks",
        Cue::End => "a bell, one step down",
        Cue::Stop => "two long low buzzes",
        Cue::SoundCheck => "five notes, each of its own kind",
    }
}

const EYES_OPEN: &str = "Check loudspeaker or headphones, then try again. Without sound, only stands with open eyes \
     are offered.";

fn not_opened(error: &OpenSoundError) -> Message {
    let why = match error {
        OpenSoundError::NoDevice
        | OpenSoundError::NotAvailable(_)
        | OpenSoundError::SampleForm(_)
        | OpenSoundError::Open(_)
        | OpenSoundError::Thread(_) => with_causes(error),
    };
    let why = format!("{}.", why.trim_end_matches('.'));
    Message { what: "There is no sound.".to_owned(), why, what_to_do: EYES_OPEN.to_owned() }
}

fn lost(state: &SoundState) -> Option<Message> {
    let why = match state {
        SoundState::Playing => return None,
        SoundState::Lost { reason } => {
            format!("The sound device reports: {}.", reason.trim_end_matches('.'))
        }
        SoundState::Stalled => "The sound device takes no more sound.".to_owned(),
        SoundState::Interrupted => "The sound broke off for a while, and came back.".to_owned(),
    };
    Some(Message {
        what: "Sound was lost during the stand; the stand is marked.".to_owned(),
        why,
        what_to_do: EYES_OPEN.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cue_is_told_by_words_of_its_own() {
        for (i, a) in Cue::ALL.iter().enumerate() {
            for b in &Cue::ALL[i + 1..] {
                assert_ne!(meaning(*a), meaning(*b));
                assert_ne!(sounds_like(*a), sounds_like(*b));
            }
        }
    }

    #[test]
    fn the_loss_of_sound_is_told_with_its_reason() {
        assert_eq!(lost(&SoundState::Playing), None);
        let told = lost(&SoundState::Lost { reason: "It went away.".to_owned() }).unwrap();
        assert_eq!(told.why, "The sound device reports: It went away.");
        let told = not_opened(&OpenSoundError::NoDevice);
        assert_eq!(told.why, "This computer has no sound device.");
    }
}
