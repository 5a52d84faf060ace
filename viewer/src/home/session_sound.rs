//! The loudspeaker of a session at home.

use analysis::TrialKind;
use analysis::readiness::Thresholds;

use crate::sound::{LiveFeed, Phrase, SessionCue, SoundOutput, SoundState, Volume};
use crate::standing::cues::Cues;
use crate::strings::Language;

/// The loudspeaker of a session.
pub(crate) struct SessionSound {
    feed: LiveFeed,
    output: Option<SoundOutput>,
    /// How often the sound had broken off when the stand under way was begun.
    n_before: u32,
    words: &'static Language,
}

impl SessionSound {
    /// Opens the sound device, if there is one, to speak a language.
    pub(crate) fn open(volume: Volume, words: &'static Language) -> Self {
        let feed = LiveFeed::new();
        feed.set_volume(volume.gain());
        feed.speak(words.key);
        let output = SoundOutput::open(&feed).ok();
        Self { feed, output, n_before: 0, words }
    }

    /// No sound at all, for who is guided by sight: the device is left alone.
    pub(crate) fn none(words: &'static Language) -> Self {
        Self { feed: LiveFeed::new(), output: None, n_before: 0, words }
    }

    /// Sets how loud it plays.
    pub(crate) fn set_volume(&self, volume: Volume) {
        self.feed.set_volume(volume.gain());
    }

    /// Whether there is a device that plays.
    pub(crate) fn plays(&self) -> bool {
        self.output.as_ref().is_some_and(|output| output.state() == SoundState::Playing)
    }

    /// Whether nobody can tell yet whether the sound is lost; ask again.
    pub(crate) fn is_in_doubt(&self) -> bool {
        self.output.as_ref().is_some_and(SoundOutput::is_in_doubt)
    }

    /// Why the stand that [`begin`](Self::begin) began was not heard as a whole until now; `None` if
    /// it was, or where there is no device at all.
    pub(crate) fn why_lost(&self) -> Option<String> {
        let output = self.output.as_ref()?;
        let state = match output.state() {
            SoundState::Playing if output.n_interruptions() != self.n_before => {
                SoundState::Interrupted
            }
            state => state,
        };
        (self.words.sound.lost)(&state).map(|message| message.why)
    }

    /// Whether there is a device that plays, once one that was lost has been opened anew.
    pub(crate) fn plays_again(&mut self) -> bool {
        if !self.plays() {
            // One that is still open may keep the device from being opened anew.
            self.output = None;
            self.output = SoundOutput::open(&self.feed).ok();
        }
        self.plays()
    }

    /// Plays the notes of the sound check; nothing is said over them.
    pub(crate) fn check(&self) {
        self.feed.hush();
        self.feed.ask(SessionCue::SoundCheck);
    }

    /// Has a phrase said, in the place of any other.
    pub(crate) fn say(&self, phrase: Phrase) {
        self.feed.say(phrase);
    }

    /// Has a phrase said once what is being said has come to its end.
    pub(crate) fn say_next(&self, phrase: Phrase) {
        self.feed.say_next(phrase);
    }

    /// The cues of one stand.
    pub(crate) fn begin(&mut self, kind: TrialKind, limits: &Thresholds) -> Cues {
        self.n_before = self.output.as_ref().map_or(0, SoundOutput::n_interruptions);
        cues(&self.feed, kind, limits)
    }
}

/// The cues of one stand, by the plan's wobble window.
pub(super) fn cues(feed: &LiveFeed, kind: TrialKind, limits: &Thresholds) -> Cues {
    Cues::begin(feed, kind, [limits.wobble_lower_mm, limits.wobble_upper_mm])
}
