//! Sound in German.

use super::cause::technical;
use crate::sound::{Cue, OpenSoundError, SoundState};
use crate::strings::message::Message;
use crate::strings::sound::SoundWords;

pub(super) const SOUND: SoundWords = SoundWords { meaning, sounds_like, not_opened, lost };

const fn meaning(cue: Cue) -> &'static str {
    match cue {
        Cue::Start => "Der Stand beginnt",
        Cue::TooMuch => "Zu viel Wackeln: Werden Sie ruhiger",
        Cue::TooLittle => "Zu wenig Wackeln: Lassen Sie etwas locker",
        Cue::PositionLost => "Position verloren: Kommen Sie zur Mitte zurück",
        Cue::TenSecondsLeft => "Noch zehn Sekunden",
        Cue::End => "Der Stand ist vorbei: Öffnen Sie die Augen",
        Cue::Stop => "Stopp: Halten Sie sich fest und öffnen Sie die Augen",
        Cue::SoundCheck => "Tonprobe: Hören Sie alle fünf?",
    }
}

const fn sounds_like(cue: Cue) -> &'static str {
    match cue {
        Cue::Start => "eine Glocke, drei Stufen aufwärts",
        Cue::TooMuch => "drei schnelle fallende Rufe",
        Cue::TooLittle => "zwei langsame steigende Rufe",
        Cue::PositionLost => "ein Summen, hin und her",
        Cue::TenSecondsLeft => "zweimal Klopfen",
        Cue::End => "eine Glocke, eine Stufe abwärts",
        Cue::Stop => "zweimal langes tiefes Summen",
        Cue::SoundCheck => "fünf Töne, jeder von eigener Art",
    }
}

const EYES_OPEN: &str = "Prüfen Sie Lautsprecher oder Kopfhörer, und versuchen Sie es noch einmal. \
                         Ohne Ton gibt es nur Durchgänge mit offenen Augen.";

fn not_opened(error: &OpenSoundError) -> Message {
    let why = match error {
        OpenSoundError::NoDevice => "Dieser Computer hat kein Tongerät.".to_owned(),
        OpenSoundError::NotAvailable(_) => "Das Tongerät ist nicht verfügbar.".to_owned(),
        OpenSoundError::SampleForm(_) | OpenSoundError::Open(_) | OpenSoundError::Thread(_) => {
            format!("Das Tongerät lässt sich nicht öffnen. {}", technical(error))
        }
    };
    Message { what: "Es gibt keinen Ton.".to_owned(), why, what_to_do: EYES_OPEN.to_owned() }
}

fn lost(state: &SoundState) -> Option<Message> {
    let why = match state {
        SoundState::Playing => return None,
        SoundState::Lost { reason } => {
            format!("Das Tongerät meldet (englisch): {}.", reason.trim_end_matches('.'))
        }
        SoundState::Interrupted => "Der Ton setzte eine Weile aus und kam wieder.".to_owned(),
        SoundState::Stalled => "Das Tongerät nimmt keinen Ton mehr an.".to_owned(),
    };
    Some(Message {
        what: "Der Ton ging während des Stands verloren; der Stand ist markiert.".to_owned(),
        why,
        what_to_do: EYES_OPEN.to_owned(),
    })
}
