//! The loudspeaker of a session at home.

use analysis::TrialKind;
use analysis::readiness::Thresholds;

use crate::sound::{LiveFeed, Loudspeaker, Phrase, SessionCue, Volume};
use crate::standing::cues::Cues;
use crate::strings::Language;

/// The loudspeaker of a session, and the language it speaks.
pub(crate) struct SessionSound {
    loudspeaker: Loudspeaker,
    words: &'static Language,
}

impl SessionSound {
    /// Opens the sound device, if there is one, to speak a language.
    pub(crate) fn open(volume: Volume, words: &'static Language) -> Self {
        let mut sound = Self::none(volume, words);
        sound.loudspeaker.open_anew();
        sound
    }

    /// No sound at all, for who is guided by sight: the device is left alone. A plan that comes
    /// meanwhile may be by sound: it is opened then.
    pub(crate) fn none(volume: Volume, words: &'static Language) -> Self {
        let loudspeaker = Loudspeaker::new();
        loudspeaker.feed().set_volume(volume.gain());
        loudspeaker.feed().speak(words.key);
        Self { loudspeaker, words }
    }

    /// Sets how loud it plays.
    pub(crate) fn set_volume(&self, volume: Volume) {
        self.loudspeaker.feed().set_volume(volume.gain());
    }

    /// Whether there is a device that plays.
    pub(crate) fn plays(&self) -> bool {
        self.loudspeaker.plays()
    }

    /// Whether nobody can tell yet whether the stand, which is over, was heard to its end; ask again.
    pub(crate) fn is_in_doubt(&mut self) -> bool {
        self.loudspeaker.is_in_doubt()
    }

    /// Why the stand that [`begin`](Self::begin) began was not heard as a whole until now; `None` if
    /// it was.
    pub(crate) fn why_lost(&self) -> Option<String> {
        let message = (self.words.sound.lost)(&self.loudspeaker.lost()?);
        message.map(|message| message.why)
    }

    /// Whether there is a device that plays, once one that was lost has been opened anew.
    pub(crate) fn plays_again(&mut self) -> bool {
        if !self.plays() {
            self.loudspeaker.open_anew();
        }
        self.plays()
    }

    /// Plays the notes of the sound check; nothing is said over them.
    pub(crate) fn check(&self) {
        self.loudspeaker.feed().hush();
        self.loudspeaker.feed().ask(SessionCue::SoundCheck);
    }

    /// Has a phrase said, in the place of any other.
    pub(crate) fn say(&self, phrase: Phrase) {
        self.loudspeaker.feed().say(phrase);
    }

    /// Has a phrase said once what is being said has come to its end.
    pub(crate) fn say_next(&self, phrase: Phrase) {
        self.loudspeaker.feed().say_next(phrase);
    }

    /// As [`say_next`](Self::say_next), with another phrase right after it.
    pub(crate) fn say_next_both(&self, phrase: Phrase, then: Phrase) {
        self.loudspeaker.feed().say_next_both(phrase, then);
    }

    /// The cues of one stand.
    pub(crate) fn begin(&mut self, kind: TrialKind, limits: &Thresholds) -> Cues {
        self.loudspeaker.begin_stand();
        cues(self.loudspeaker.feed(), kind, limits)
    }
}

/// The cues of one stand, by the plan's wobble window.
pub(super) fn cues(feed: &LiveFeed, kind: TrialKind, limits: &Thresholds) -> Cues {
    Cues::begin(feed, kind, [limits.wobble_lower_mm, limits.wobble_upper_mm])
}

#[cfg(test)]
mod tests {
    use acquisition::home::HomeSettings;

    use super::*;
    use crate::sound::CuePlayer;
    use crate::strings::GERMAN;

    /// Half a second of "stand still" as a feed says it.
    fn samples(feed: &LiveFeed) -> Vec<f32> {
        let mut player = CuePlayer::new(feed.clone(), 8_000);
        feed.say(Phrase::StandStill);
        let mut samples = vec![0.0; 4_000];
        player.fill(&mut samples);
        samples
    }

    /// The plan that comes from the clinic meanwhile may be by sound.
    #[test]
    fn who_was_guided_by_sight_hears_their_language_as_loud_as_it_was_set() {
        let volume = Volume::of(&HomeSettings { volume: Some(3), ..HomeSettings::default() });
        let sound = SessionSound::none(volume, &GERMAN);
        let wanted = LiveFeed::new();
        wanted.speak(GERMAN.key);
        wanted.set_volume(volume.gain());
        let heard = samples(sound.loudspeaker.feed());
        assert!(heard.iter().any(|sample| *sample != 0.0));
        assert!(heard == samples(&wanted), "another language, or another volume");
    }
}
