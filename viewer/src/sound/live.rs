//! The state of a trial, handed from whoever runs it to the audio callback.
//!
//! One 64-bit word holds all of it, so that the callback never sees half of one state and half of
//! another, and neither side ever waits.

use std::sync::Arc;
use std::sync::atomic::{AtomicU16, AtomicU32, AtomicU64, Ordering};
use std::time::Duration;

use acquisition::home::LanguageKey;

use super::cue::SessionCue;
use super::guidance::{Guidance, Position, WobbleZone};
use super::phrase::Phrase;
use super::trial_cues::Progress;

/// Bits of a word that name a phrase; above them those that name the phrase right after it, and the
/// language both are said in. The rest number what was asked for.
const PHRASE_BITS: u32 = 8;
const LANGUAGE_BITS: u32 = 4;
const SAID_BITS: u32 = 2 * PHRASE_BITS + LANGUAGE_BITS;

/// What those bits hold where no phrase is meant.
const NO_PHRASE: u32 = (1 << PHRASE_BITS) - 1;

/// A phrase, and the language it is said in.
pub(super) type Said = (Phrase, LanguageKey);

/// Where trials and session cues are published; clones share one.
#[derive(Debug, Clone, Default)]
pub struct LiveFeed {
    words: Arc<Words>,
}

#[derive(Debug)]
struct Words {
    trial: AtomicU64,
    n_trials: AtomicU16,
    n_stops: AtomicU32,
    n_sound_checks: AtomicU32,
    phrase: AtomicU32,
    next_phrase: AtomicU32,
    /// Position of the language in which phrases are said.
    language: AtomicU32,
    volume: AtomicU32,
}

impl Default for Words {
    fn default() -> Self {
        Self {
            trial: AtomicU64::default(),
            n_trials: AtomicU16::default(),
            n_stops: AtomicU32::default(),
            n_sound_checks: AtomicU32::default(),
            phrase: AtomicU32::default(),
            next_phrase: AtomicU32::default(),
            language: AtomicU32::default(),
            volume: AtomicU32::new(1.0_f32.to_bits()),
        }
    }
}

/// A measured or practice trial: it has no way to publish anything that could become advice.
#[derive(Debug)]
pub struct MeasuredFeed {
    words: Arc<Words>,
    number: u16,
}

/// A guided trial.
#[derive(Debug)]
pub struct GuidedFeed {
    words: Arc<Words>,
    number: u16,
}

impl LiveFeed {
    /// Nothing published yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// A new measured or practice trial; it takes the place of any other.
    pub fn begin_measured(&self) -> MeasuredFeed {
        let feed = MeasuredFeed { words: Arc::clone(&self.words), number: self.next_number() };
        feed.publish(Progress::Waiting);
        feed
    }

    /// A new guided trial; it takes the place of any other.
    pub fn begin_guided(&self) -> GuidedFeed {
        let feed = GuidedFeed { words: Arc::clone(&self.words), number: self.next_number() };
        feed.publish(Progress::Waiting, Guidance::default());
        feed
    }

    /// Asks for a cue between trials; during a stand it waits until that is over.
    pub fn ask(&self, cue: SessionCue) {
        let n_asked = match cue {
            SessionCue::Stop => &self.words.n_stops,
            SessionCue::SoundCheck => &self.words.n_sound_checks,
        };
        n_asked.fetch_add(1, Ordering::Release);
    }

    /// Has a phrase said, in the place of any that is being said or waits. During a stand nothing is
    /// said.
    pub fn say(&self, phrase: Phrase) {
        // What waited belonged to what is over.
        self.ask_for(&self.words.next_phrase, [None; 2]);
        self.ask_for(&self.words.phrase, [Some(phrase), None]);
    }

    /// Cuts off what is being said, and what waits.
    pub fn hush(&self) {
        self.ask_for(&self.words.next_phrase, [None; 2]);
        self.ask_for(&self.words.phrase, [None; 2]);
    }

    /// Has a phrase said once the one that is being said has come to its end, in the place of any
    /// that waits.
    pub fn say_next(&self, phrase: Phrase) {
        self.ask_for(&self.words.next_phrase, [Some(phrase), None]);
    }

    /// As [`say_next`](Self::say_next), with another phrase right after it.
    pub fn say_next_both(&self, phrase: Phrase, then: Phrase) {
        self.ask_for(&self.words.next_phrase, [Some(phrase), Some(then)]);
    }

    /// Numbers another phrase and the one after it in a word, or none, in the language that is spoken
    /// now.
    fn ask_for(&self, word: &AtomicU32, phrases: [Option<Phrase>; 2]) {
        let index = |phrase: Phrase| position(Phrase::ALL, &phrase);
        let [first, then] = phrases.map(|phrase| phrase.map_or(NO_PHRASE, index));
        let language = self.words.language.load(Ordering::Relaxed);
        let said = language << (2 * PHRASE_BITS) | then << PHRASE_BITS | first;
        let next = |word: u32| {
            let number = (word >> SAID_BITS).wrapping_add(1);
            Some(number << SAID_BITS | said)
        };
        // Never refuses, so there is nothing to look at.
        word.fetch_update(Ordering::AcqRel, Ordering::Acquire, next).ok();
    }

    /// Sets the language in which phrases are said from now on; English at first.
    pub fn speak(&self, language: LanguageKey) {
        self.words.language.store(position(LanguageKey::ALL, &language), Ordering::Relaxed);
    }

    /// The running number of the newest phrase asked for, and the phrase and the one right after it
    /// with the language they were asked for in; number 0 before the first.
    pub(super) fn phrase(&self) -> (u32, [Option<Said>; 2]) {
        asked_for(&self.words.phrase)
    }

    /// The same of what waits for the end of another phrase.
    pub(super) fn next_phrase(&self) -> (u32, [Option<Said>; 2]) {
        asked_for(&self.words.next_phrase)
    }

    /// Sets the volume, from 0 to 1.
    pub fn set_volume(&self, volume: f32) {
        self.words.volume.store(volume.to_bits(), Ordering::Relaxed);
    }

    fn next_number(&self) -> u16 {
        self.words.n_trials.fetch_add(1, Ordering::Relaxed).wrapping_add(1)
    }

    /// The number of the newest trial and its state; `None` before the first.
    pub(super) fn trial(&self) -> Option<(u16, LiveTrial)> {
        unpack(self.words.trial.load(Ordering::Acquire))
    }

    pub(super) fn asked(&self) -> Asked {
        Asked {
            n_stops: self.words.n_stops.load(Ordering::Acquire),
            n_sound_checks: self.words.n_sound_checks.load(Ordering::Acquire),
        }
    }

    pub(super) fn volume(&self) -> f32 {
        f32::from_bits(self.words.volume.load(Ordering::Relaxed))
    }
}

fn asked_for(word: &AtomicU32) -> (u32, [Option<Said>; 2]) {
    let word = word.load(Ordering::Acquire);
    let language = at(LanguageKey::ALL, (word >> (2 * PHRASE_BITS)) & ((1 << LANGUAGE_BITS) - 1));
    let phrases = [word, word >> PHRASE_BITS].map(|word| at(Phrase::ALL, word & NO_PHRASE));
    (word >> SAID_BITS, phrases.map(|phrase| phrase.zip(language)))
}

fn position<T: PartialEq>(all: &[T], one: &T) -> u32 {
    let index = all.iter().position(|known| known == one).unwrap_or(0);
    u32::try_from(index).unwrap_or(0)
}

fn at<T: Copy>(all: &[T], index: u32) -> Option<T> {
    all.get(usize::try_from(index).ok()?).copied()
}

impl MeasuredFeed {
    /// Replaces the state of the trial.
    pub fn publish(&self, progress: Progress) {
        self.words.trial.store(pack(self.number, LiveTrial::Measured(progress)), Ordering::Release);
    }
}

impl GuidedFeed {
    /// Replaces the state of the trial.
    pub fn publish(&self, progress: Progress, guidance: Guidance) {
        self.words
            .trial
            .store(pack(self.number, LiveTrial::Guided(progress, guidance)), Ordering::Release);
    }
}

/// How often each session cue was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Asked {
    pub(super) n_stops: u32,
    pub(super) n_sound_checks: u32,
}

/// The state of a trial, by its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LiveTrial {
    Measured(Progress),
    Guided(Progress, Guidance),
}

// From the lowest bit: kind 2 (0 for no trial), progress 2, wobble 2, position 2, number 16,
// elapsed 20, left 20; times in hundredths of a second, at most 2.9 hours.
const TIME_BITS: u32 = 20;
const LONGEST: u64 = (1 << TIME_BITS) - 1;
const HUNDREDTH: Duration = Duration::from_millis(10);

fn pack(number: u16, trial: LiveTrial) -> u64 {
    let (kind, progress, guidance) = match trial {
        LiveTrial::Measured(progress) => (1, progress, Guidance::default()),
        LiveTrial::Guided(progress, guidance) => (2, progress, guidance),
    };
    let (progress, elapsed, left) = match progress {
        Progress::Waiting => (0, 0, 0),
        Progress::Holding { elapsed, left } => (1, hundredths(elapsed), hundredths(left)),
        Progress::Ended => (2, 0, 0),
        Progress::Stopped => (3, 0, 0),
    };
    let wobble = match guidance.wobble {
        WobbleZone::Unknown => 0,
        WobbleZone::Under => 1,
        WobbleZone::Inside => 2,
        WobbleZone::Over => 3,
    };
    let position = match guidance.position {
        Position::Unknown => 0,
        Position::Held => 1,
        Position::Lost => 2,
    };
    kind | progress << 2
        | wobble << 4
        | position << 6
        | u64::from(number) << 8
        | elapsed << 24
        | left << (24 + TIME_BITS)
}

fn hundredths(time: Duration) -> u64 {
    u64::try_from(time.as_millis() / HUNDREDTH.as_millis()).unwrap_or(LONGEST).min(LONGEST)
}

fn unpack(word: u64) -> Option<(u16, LiveTrial)> {
    let time = |shift: u32| Duration::from_millis(((word >> shift) & LONGEST) * 10);
    let progress = match (word >> 2) & 3 {
        0 => Progress::Waiting,
        1 => Progress::Holding { elapsed: time(24), left: time(24 + TIME_BITS) },
        2 => Progress::Ended,
        _ => Progress::Stopped,
    };
    let guidance = Guidance {
        wobble: match (word >> 4) & 3 {
            0 => WobbleZone::Unknown,
            1 => WobbleZone::Under,
            2 => WobbleZone::Inside,
            _ => WobbleZone::Over,
        },
        position: match (word >> 6) & 3 {
            1 => Position::Held,
            2 => Position::Lost,
            _ => Position::Unknown,
        },
    };
    let trial = match word & 3 {
        1 => LiveTrial::Measured(progress),
        2 => LiveTrial::Guided(progress, guidance),
        _ => return None,
    };
    #[expect(clippy::cast_possible_truncation, reason = "the 16 bits of the number are wanted")]
    let number = (word >> 8) as u16;
    Some((number, trial))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_state_comes_out_as_it_went_in() {
        let holding = |elapsed, left| Progress::Holding {
            elapsed: Duration::from_millis(elapsed),
            left: Duration::from_millis(left),
        };
        let all = [
            Progress::Waiting,
            holding(0, 60_000),
            holding(10_485_750, 10_485_750),
            holding(10, 0),
            Progress::Ended,
            Progress::Stopped,
        ];
        for progress in all {
            for number in [0, 1, u16::MAX] {
                let measured = LiveTrial::Measured(progress);
                assert_eq!(unpack(pack(number, measured)), Some((number, measured)));
                for wobble in
                    [WobbleZone::Unknown, WobbleZone::Under, WobbleZone::Inside, WobbleZone::Over]
                {
                    for position in [Position::Unknown, Position::Held, Position::Lost] {
                        let guided = LiveTrial::Guided(progress, Guidance { wobble, position });
                        assert_eq!(unpack(pack(number, guided)), Some((number, guided)));
                    }
                }
            }
        }
        assert_eq!(unpack(0), None);
    }

    #[test]
    fn a_stand_of_days_is_told_as_the_longest() {
        let day = Duration::from_hours(24);
        let word = pack(7, LiveTrial::Measured(Progress::Holding { elapsed: day, left: day }));
        let longest = Duration::from_millis(LONGEST * 10);
        let told = LiveTrial::Measured(Progress::Holding { elapsed: longest, left: longest });
        assert_eq!(unpack(word), Some((7, told)));
    }
}
