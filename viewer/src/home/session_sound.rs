//! The loudspeaker of a session at home.

use analysis::TrialKind;
use analysis::readiness::Thresholds;

use crate::sound::{LiveFeed, Phrase, SessionCue, SoundOutput, SoundState};
use crate::standing::cues::Cues;
use crate::strings::ENGLISH;

/// The loudspeaker of a session.
pub(crate) struct SessionSound {
    feed: LiveFeed,
    output: Option<SoundOutput>,
}

impl SessionSound {
    /// Opens the sound device, if there is one.
    pub(crate) fn open() -> Self {
        let feed = LiveFeed::new();
        let output = SoundOutput::open(&feed).ok();
        Self { feed, output }
    }

    /// Whether there is a device that plays.
    pub(crate) fn plays(&mut self) -> bool {
        self.output.as_mut().is_some_and(|output| output.state() == SoundState::Playing)
    }

    /// Why nothing is heard any more; `None` while it plays, or where there is no device at all.
    pub(crate) fn why_lost(&mut self) -> Option<String> {
        let state = self.output.as_mut()?.state();
        (ENGLISH.sound.lost)(&state).map(|message| message.why)
    }

    /// Whether there is a device that plays, once one that was lost has been opened anew.
    pub(crate) fn plays_again(&mut self) -> bool {
        if !self.plays() {
            self.output = SoundOutput::open(&self.feed).ok();
        }
        self.plays()
    }

    /// Plays the notes of the sound check.
    pub(crate) fn check(&self) {
        self.feed.ask(SessionCue::SoundCheck);
    }

    /// Has a phrase said.
    pub(crate) fn say(&self, phrase: Phrase) {
        self.feed.say(phrase);
    }

    /// The cues of one stand.
    pub(crate) fn begin(&self, kind: TrialKind, limits: &Thresholds) -> Cues {
        cues(&self.feed, kind, limits)
    }
}

/// The cues of one stand, by the plan's wobble window.
pub(super) fn cues(feed: &LiveFeed, kind: TrialKind, limits: &Thresholds) -> Cues {
    Cues::begin(feed, kind, [limits.wobble_lower_mm, limits.wobble_upper_mm])
}
