//! A whole session with the screen off: what is said and sounded, found again in the samples.

use acquisition::home::{Ask, LanguageKey, Part, Stand};
use acquisition::{Ending, Progress, Stage};
use analysis::readiness::Thresholds;

use super::session_sound::cues;
use super::spoken;
use crate::sound::{CuePlayer, LiveFeed, Phrase, SessionCue};

const RATE_HZ: u32 = 8_000;
const BLOCK: usize = 80;
const BLOCK_S: f64 = 0.01;

/// A session's sound track as it is rendered, with what was asked of it when.
struct Track {
    feed: LiveFeed,
    player: CuePlayer,
    samples: Vec<f32>,
    said: Vec<(usize, Phrase)>,
    language: LanguageKey,
}

impl Track {
    fn new(language: LanguageKey) -> Self {
        let feed = LiveFeed::new();
        feed.speak(language);
        let player = CuePlayer::new(feed.clone(), RATE_HZ);
        Self { feed, player, samples: Vec::new(), said: Vec::new(), language }
    }

    fn render(&mut self, seconds: f64) {
        let end = self.samples.len() as f64 + seconds * f64::from(RATE_HZ);
        while (self.samples.len() as f64) < end {
            let mut block = [0.0; BLOCK];
            self.player.fill(&mut block);
            self.samples.extend(block);
        }
    }

    fn say(&mut self, phrase: Phrase) {
        self.said.push((self.samples.len(), phrase));
        self.feed.say(phrase);
        self.render(phrase.lasts_s(self.language) + 0.5);
    }

    /// A stand of a few seconds, with the stages the board goes through.
    fn stand(&mut self, stand: &Stand) {
        let mut sound = cues(&self.feed, stand.kind(), &Thresholds::default());
        for stage in [Stage::AwaitingLoad, Stage::AwaitingStillness, Stage::Settling] {
            sound.progress(&progress(stage, 0.0, stand));
            self.say(spoken::of_stage(&stage, stand).expect("before a record there are words"));
        }
        let mut elapsed_s = 0.0;
        while elapsed_s < stand.hold_s {
            sound.progress(&progress(Stage::Recording, elapsed_s, stand));
            self.render(BLOCK_S);
            elapsed_s += BLOCK_S;
        }
        let over = Stage::Ended(Ending::HoldReached);
        sound.progress(&progress(over, stand.hold_s, stand));
        self.render(2.5);
        self.say(spoken::of_stage(&over, stand).expect("stepping off is asked for"));
    }

    /// How alike the samples from `at` on are to those of a phrase alone, as their squared
    /// correlation: 1 is the same.
    fn likeness(&self, at: usize, alone: &[f32]) -> f64 {
        let begin = |samples: &[f32]| samples.iter().position(|sample| *sample != 0.0);
        let heard = &self.samples[at..];
        let (Some(here), Some(there)) = (begin(heard), begin(alone)) else { return 0.0 };
        let pairs = || {
            heard[here..].iter().zip(&alone[there..]).map(|(a, b)| (f64::from(*a), f64::from(*b)))
        };
        let product: f64 = pairs().map(|(a, b)| a * b).sum();
        let (ours, theirs): (f64, f64) =
            pairs().fold((0.0, 0.0), |(a2, b2), (a, b)| (a2 + a * a, b2 + b * b));
        product * product.abs() / (ours * theirs)
    }

    /// Whether the samples from `at` on are this phrase.
    fn is_heard_at(&self, at: usize, phrase: Phrase) -> bool {
        0.998 < self.likeness(at, &phrase_alone(phrase, self.language))
    }

    /// Seconds, from `at` on, in which something is heard, as starts of runs without a second's rest.
    fn sounds_from(&self, at: usize, to: usize) -> Vec<f64> {
        let mut starts = Vec::new();
        let mut last: Option<usize> = None;
        for index in at..to {
            if self.samples[index].abs() < 1e-4 {
                continue;
            }
            let rest = RATE_HZ as usize;
            if last.is_none_or(|last| last + rest < index) {
                starts.push((index - at) as f64 / f64::from(RATE_HZ));
            }
            last = Some(index);
        }
        starts
    }
}

fn phrase_alone(phrase: Phrase, language: LanguageKey) -> Vec<f32> {
    let mut track = Track::new(language);
    track.say(phrase);
    track.samples
}

fn progress(stage: Stage, elapsed_s: f64, stand: &Stand) -> Progress {
    Progress { stage, elapsed_s, asked_s: Some(stand.hold_s), live: None }
}

fn a_stand(part: Part, hold_s: f64) -> Stand {
    let condition = "foam/hip-width/closed".parse().unwrap();
    Stand { condition, part, number: 1, of: 1, settle_s: 12.0, hold_s, heard: true }
}

#[test]
fn each_message_of_a_session_is_heard_as_itself_and_as_no_other_in_any_language() {
    let pairs = LanguageKey::ALL
        .iter()
        .flat_map(|&language| Phrase::ALL.iter().map(move |&phrase| (phrase, language)));
    let alone: Vec<_> = pairs
        .map(|(phrase, language)| (phrase, language, phrase_alone(phrase, language)))
        .collect();
    for &language in LanguageKey::ALL {
        let mut track = Track::new(language);
        for phrase in Phrase::ALL {
            track.say(*phrase);
        }
        for &(at, phrase) in &track.said {
            for (other, in_language, samples) in &alone {
                let alike = track.likeness(at, samples);
                if (*other, *in_language) == (phrase, language) {
                    assert!(0.998 < alike, "{phrase} in {language}: {alike}");
                } else {
                    assert!(alike < 0.8, "{phrase} sounds like {other}: {alike}");
                }
            }
        }
    }
}

#[test]
fn a_measured_stand_is_followed_by_ear_and_is_without_words_between_start_and_end() {
    let mut track = Track::new(LanguageKey::German);
    let stand = a_stand(Part::Measured, 35.0);
    track.say(spoken::of_ask(&Ask::Stand(stand)));
    track.stand(&stand);
    let said: Vec<Phrase> = track.said.iter().map(|(_, phrase)| *phrase).collect();
    let wanted =
        [Phrase::Measured, Phrase::StepOn, Phrase::StandStill, Phrase::EyesClosed, Phrase::StepOff];
    assert_eq!(said, wanted);
    // From the last words before the stand to the first after it: start and end, nothing else.
    let (begin, eyes_closed) = track.said[3];
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a length")]
    let begin =
        begin + ((eyes_closed.lasts_s(track.language) + 0.45) * f64::from(RATE_HZ)) as usize;
    let heard = track.sounds_from(begin, track.said[4].0);
    assert_eq!(heard.len(), 2, "{heard:?}");
    let apart_s = heard[1] - heard[0];
    assert!((apart_s - 35.0).abs() < 0.1, "the end comes 35 s after the start: {apart_s}");
}

#[test]
fn what_follows_waits_for_the_end_of_what_is_said() {
    let mut track = Track::new(LanguageKey::English);
    let begun = track.samples.len();
    track.feed.say(Phrase::StepOff);
    track.feed.say_next(Phrase::Touched);
    // A breath comes before each phrase: the first is over now, the second has not begun.
    track.render(0.4 + Phrase::StepOff.lasts_s(LanguageKey::English));
    let between = track.samples.len();
    track.render(Phrase::Touched.lasts_s(LanguageKey::English) + 1.0);
    assert!(track.is_heard_at(begun, Phrase::StepOff));
    assert!(track.is_heard_at(between, Phrase::Touched));

    // Whoever answers at once hears the next question at once, and nothing of what waited.
    track.feed.say(Phrase::Room);
    track.feed.say_next(Phrase::StandStill);
    track.render(1.0);
    let answered = track.samples.len();
    track.feed.say(Phrase::Company);
    track.render(4.0);
    assert!(track.is_heard_at(answered, Phrase::Company));
    let heard = track.sounds_from(answered, track.samples.len());
    assert_eq!(heard.len(), 1, "{heard:?}");
}

/// Stand after stand without a rest: what the next one is, and how to stand.
#[test]
fn what_waits_may_be_two_phrases_and_both_are_said() {
    let mut track = Track::new(LanguageKey::English);
    let breath_s = 0.35;
    let [off, measured, stance] = [Phrase::StepOff, Phrase::Measured, Phrase::StanceHipWidth];
    track.feed.say(off);
    track.feed.say_next_both(measured, stance);
    for phrase in [off, measured, stance] {
        let begun = track.samples.len();
        track.said.push((begun, phrase));
        track.render(breath_s + phrase.lasts_s(LanguageKey::English));
    }
    track.render(2.0);
    for &(at, phrase) in &track.said {
        assert!(track.is_heard_at(at, phrase), "{phrase}");
    }

    // What the board asks for since comes in the place of the second.
    track.feed.say(off);
    track.feed.say_next_both(measured, stance);
    track.render(breath_s + off.lasts_s(LanguageKey::English) + 1.0);
    track.feed.say_next(Phrase::StepOn);
    track.render(measured.lasts_s(LanguageKey::English) - 1.0);
    let since = track.samples.len();
    track.render(Phrase::StepOn.lasts_s(LanguageKey::English) + 3.0);
    assert!(track.is_heard_at(since, Phrase::StepOn));
    assert_eq!(track.sounds_from(since, track.samples.len()).len(), 1);
}

#[test]
fn the_notes_of_a_check_come_before_the_words_about_them() {
    let mut track = Track::new(LanguageKey::English);
    track.feed.say(Phrase::Room);
    track.render(1.0);
    let begun = track.samples.len();
    track.feed.hush();
    track.feed.ask(SessionCue::SoundCheck);
    track.feed.say(Phrase::SoundCheck);
    // Half a second of silence, 1.7 s of notes, and the beginning of a breath.
    track.render(2.3);
    let words = track.samples.len();
    track.render(2.5);
    let notes: Vec<f32> = track.samples[begun..words].to_vec();
    let half_a_second = RATE_HZ as usize / 2;
    assert!(notes[100..half_a_second].iter().all(|sample| *sample == 0.0));
    assert!(notes[half_a_second..].iter().any(|sample| 0.1 < sample.abs()));
    assert!(track.is_heard_at(words, Phrase::SoundCheck));
}

#[test]
fn words_give_way_to_a_stand() {
    let mut track = Track::new(LanguageKey::English);
    // A long phrase is still being said when the record begins: it is cut off.
    track.feed.say(Phrase::Room);
    track.render(1.0);
    let stand = a_stand(Part::Guided, 30.0);
    let mut sound = cues(&track.feed, stand.kind(), &Thresholds::default());
    sound.progress(&progress(Stage::Recording, 0.0, &stand));
    let begun = track.samples.len();
    track.render(4.0);
    let heard = track.sounds_from(begun, track.samples.len());
    assert_eq!(heard.len(), 1, "only the start: {heard:?}");
}
