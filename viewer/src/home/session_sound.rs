//! The loudspeaker of a session at home.

use analysis::TrialKind;
use analysis::readiness::Thresholds;

use crate::sound::{LiveFeed, Phrase, SessionCue, SoundOutput, SoundState};
use crate::standing::cues::Cues;

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
