//! What the audio callback calls: takes the newest state, decides, sounds.

use std::time::Duration;

use super::cue::{Cue, SessionCue};
use super::live::{Asked, LiveFeed, LiveTrial, Said};
use super::mixer::Mixer;
use super::speech::Speech;
use super::trial_cues::{GuidedTrial, MeasuredTrial, Progress};

/// How often within a block the newest state is looked at.
const LOOKS_PER_S: u32 = 200;

/// Silence before a session cue, in seconds, so that it is not heard as part of the last one (our
/// own choice; rests within a cue are at most 0.2 s).
const REST_S: f64 = 0.5;

/// Silence before a phrase, in seconds (our own choice): words right behind a sound are lost.
const BREATH_S: f64 = 0.3;

/// Turns what is published in a [`LiveFeed`] into samples.
///
/// Nothing here allocates, locks or waits.
#[derive(Debug)]
pub struct CuePlayer {
    feed: LiveFeed,
    mixer: Mixer,
    rate_hz: u32,
    n_samples: u64,
    /// Since when nothing has sounded, counted as `n_samples`.
    silent_since: u64,
    trial: Option<Followed>,
    speech: Speech,
    /// The running number of the last phrase that was begun.
    said: u32,
    /// The running number of the last phrase that waited and was begun, or was passed over.
    said_next: u32,
    /// What comes right after it.
    then: Option<Said>,
    /// The session cues that were answered.
    answered: Asked,
}

/// The trial being followed.
#[derive(Debug)]
struct Followed {
    number: u16,
    cues: TrialCues,
    holding: bool,
}

#[derive(Debug)]
enum TrialCues {
    Measured(MeasuredTrial),
    Guided(GuidedTrial),
}

impl CuePlayer {
    /// A player for a device that takes `rate_hz` samples a second; session cues asked for before
    /// this are not heard.
    pub fn new(feed: LiveFeed, rate_hz: u32) -> Self {
        let rate_hz = rate_hz.max(1);
        Self {
            mixer: Mixer::new(rate_hz),
            answered: feed.asked(),
            speech: Speech::new(rate_hz),
            said: feed.phrase().0,
            said_next: feed.next_phrase().0,
            then: None,
            feed,
            rate_hz,
            n_samples: 0,
            silent_since: 0,
            trial: None,
        }
    }

    /// Writes the next samples, one channel, for the device to play.
    pub fn fill(&mut self, samples: &mut [f32]) {
        self.mixer.set_volume(self.feed.volume());
        let n_between_looks = usize::try_from(self.rate_hz / LOOKS_PER_S).unwrap_or(1).max(1);
        for part in samples.chunks_mut(n_between_looks) {
            if let Some(cue) = self.due() {
                self.mixer.play(cue);
            }
            self.mixer.fill(part);
            self.speak(part);
            self.n_samples += part.len() as u64;
            if !self.mixer.is_silent() {
                self.silent_since = self.n_samples;
            }
        }
    }

    fn due(&mut self) -> Option<Cue> {
        let now = Duration::from_secs_f64(self.n_samples as f64 / f64::from(self.rate_hz));
        if let Some((number, live)) = self.feed.trial() {
            if self.trial.as_ref().is_none_or(|trial| trial.number != number) {
                let last = self.trial.replace(Followed::new(number, live));
                // Its end came and went between two looks.
                if last.is_some_and(|last| last.holding) {
                    return Some(Cue::End);
                }
            }
            let cue = self.trial.as_mut().and_then(|trial| trial.due(now, live));
            if cue.is_some() {
                return cue;
            }
        }
        self.session_due()
    }

    /// Says what is to be said, over nothing else: a cue waits for no word, and a stand is without
    /// words. The notes of a sound check come before the words about them.
    fn speak(&mut self, part: &mut [f32]) {
        let (number, [phrase, then]) = self.feed.phrase();
        if number != self.said {
            self.said = number;
            self.speech.begin(phrase);
            self.then = then;
        }
        if self.trial.as_ref().is_some_and(|trial| trial.holding) {
            self.speech.begin(None);
            self.then = None;
            self.said_next = self.feed.next_phrase().0;
        } else if self.mixer.is_silent() && self.feed.asked() == self.answered {
            self.take_next();
            let is_due = self.speech.has_begun() || BREATH_S <= self.silent_s();
            if is_due && !self.speech.is_over() {
                self.speech.fill(part, self.feed.volume());
                self.silent_since = self.n_samples + part.len() as u64;
            }
        }
    }

    /// Takes up the phrase that waited, if nothing else is being said. One that was asked for since
    /// takes the place of what would come right after the last.
    fn take_next(&mut self) {
        if !self.speech.is_over() {
            return;
        }
        let (number, [phrase, then]) = self.feed.next_phrase();
        if number != self.said_next {
            self.said_next = number;
            self.speech.begin(phrase);
            self.then = then;
        } else if self.then.is_some() {
            self.speech.begin(self.then.take());
        }
    }

    fn silent_s(&self) -> f64 {
        (self.n_samples - self.silent_since) as f64 / f64::from(self.rate_hz)
    }

    fn session_due(&mut self) -> Option<Cue> {
        let asked = self.feed.asked();
        let standing = self.trial.as_ref().is_some_and(|trial| trial.holding);
        if asked == self.answered || standing || self.silent_s() < REST_S {
            return None;
        }
        // Of both, the one that matters.
        let stop = asked.n_stops != self.answered.n_stops;
        self.answered = asked;
        Some(if stop { SessionCue::Stop } else { SessionCue::SoundCheck }.into())
    }
}

impl Followed {
    fn new(number: u16, live: LiveTrial) -> Self {
        let cues = match live {
            LiveTrial::Measured(_) => TrialCues::Measured(MeasuredTrial::default()),
            LiveTrial::Guided(..) => TrialCues::Guided(GuidedTrial::default()),
        };
        Self { number, cues, holding: false }
    }

    fn due(&mut self, now: Duration, live: LiveTrial) -> Option<Cue> {
        let (LiveTrial::Measured(progress) | LiveTrial::Guided(progress, _)) = live;
        self.holding = matches!(progress, Progress::Holding { .. });
        match (&mut self.cues, live) {
            (TrialCues::Measured(trial), _) => trial.cue(progress).map(Cue::from),
            (TrialCues::Guided(trial), LiveTrial::Guided(_, guidance)) => {
                trial.cue(now, progress, guidance).map(Cue::from)
            }
            // A number belongs to one kind; nothing is said rather than anything wrong.
            (TrialCues::Guided(_), LiveTrial::Measured(_)) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;
    use crate::sound::guidance::{Guidance, Position, WobbleZone};

    const RATE_HZ: u32 = 48_000;
    /// Frames of the detector: 10 ms.
    const FRAME: usize = 480;

    /// Power of one frequency in a stretch of samples, 1 for a full-scale sine of that frequency.
    ///
    /// # Source
    /// Goertzel 1958, An algorithm for the evaluation of finite trigonometric series, American
    /// Mathematical Monthly 65:34.
    fn goertzel_power(samples: &[f32], hz: f64) -> f64 {
        let step = TAU * hz / f64::from(RATE_HZ);
        let (mut before, mut last) = (0.0, 0.0);
        for &sample in samples {
            (before, last) = (last, f64::from(sample) + 2.0 * step.cos() * last - before);
        }
        let power = last * last + before * before - 2.0 * step.cos() * last * before;
        power * 4.0 / (samples.len() * samples.len()) as f64
    }

    /// How a cue is to be recognised, written down apart from the synthesis: how long it lasts, and
    /// which pitch in hertz is heard when, in milliseconds from its beginning.
    struct Portrait(Cue, usize, &'static [(usize, f64)]);

    const PORTRAITS: &[Portrait] = &[
        Portrait(Cue::Start, 840, &[(65, 392.0), (235, 523.0), (450, 784.0)]),
        Portrait(Cue::TooMuch, 540, &[(35, 630.0), (105, 490.0), (435, 630.0), (505, 490.0)]),
        Portrait(Cue::TooLittle, 900, &[(100, 372.0), (300, 458.0), (600, 372.0), (800, 458.0)]),
        Portrait(Cue::PositionLost, 700, &[(80, 520.0), (260, 340.0), (440, 520.0), (620, 340.0)]),
        Portrait(Cue::TenSecondsLeft, 220, &[(20, 600.0), (170, 600.0)]),
        Portrait(Cue::End, 1120, &[(150, 784.0), (550, 392.0)]),
        Portrait(Cue::Stop, 1600, &[(350, 220.0), (1250, 220.0)]),
        Portrait(Cue::SoundCheck, 1700, &[(100, 262.0), (500, 392.0), (850, 784.0), (1200, 392.0)]),
    ];

    /// Everything heard in a track with its beginning in milliseconds. Between what is found, every
    /// sample is 0.
    fn heard(track: &[f32]) -> Vec<(usize, Cue)> {
        let loud: Vec<bool> =
            track.chunks(FRAME).map(|frame| frame.iter().any(|s| *s != 0.0)).collect();
        let mut found = Vec::new();
        let mut at = 0;
        while let Some(begin) = (at..loud.len()).find(|&i| loud[i]) {
            // Rests inside a cue are at most 200 ms, between cues at least 500 ms.
            let is_end = |&i: &usize| !loud[i..(i + 25).min(loud.len())].contains(&true);
            at = (begin..loud.len()).find(is_end).unwrap_or(loud.len());
            found.push((begin * 10, recognise(&track[begin * FRAME..at * FRAME])));
        }
        found
    }

    fn recognise(sound: &[f32]) -> Cue {
        let per_ms = RATE_HZ as usize / 1000;
        let lasts_ms = sound.len() / per_ms;
        // Share of the energy around a moment that lies at a pitch or its octave, where the rough
        // timbre is strongest.
        let share = |&(at_ms, hz): &(usize, f64)| {
            let from = (at_ms - 15) * per_ms;
            let part = sound.get(from..from + 30 * per_ms).unwrap_or_default();
            let energy: f64 = part.iter().map(|s| f64::from(*s).powi(2)).sum();
            if energy == 0.0 {
                return 0.0;
            }
            let at_pitch = goertzel_power(part, hz) + goertzel_power(part, 2.0 * hz);
            at_pitch * part.len() as f64 / (2.0 * energy)
        };
        let likely =
            PORTRAITS.iter().filter(|Portrait(_, its_ms, _)| its_ms.abs_diff(lasts_ms) <= 40);
        let scored = likely.map(|Portrait(cue, _, pitches)| {
            let least = pitches.iter().map(share).fold(f64::INFINITY, f64::min);
            (*cue, least)
        });
        let best = scored.max_by(|a, b| a.1.total_cmp(&b.1));
        match best {
            Some((cue, least)) if 0.2 < least => cue,
            other => panic!("a sound of {lasts_ms} ms is no cue: {other:?}"),
        }
    }

    /// Renders what a device would play, in blocks of 10 ms; `publish` is told the time before each.
    fn track(feed: &LiveFeed, lasts_ms: u64, mut publish: impl FnMut(u64)) -> Vec<f32> {
        let mut player = CuePlayer::new(feed.clone(), RATE_HZ);
        let mut track = Vec::new();
        for at_ms in (0..lasts_ms).step_by(10) {
            publish(at_ms);
            let mut block = [f32::NAN; FRAME];
            player.fill(&mut block);
            track.extend(block);
        }
        track
    }

    /// A hold that begins one second after the first sample.
    fn progress(at_ms: u64, hold_ms: u64) -> Progress {
        let ms = Duration::from_millis;
        match at_ms.checked_sub(1_000) {
            None => Progress::Waiting,
            Some(into) if into < hold_ms => {
                Progress::Holding { elapsed: ms(into), left: ms(hold_ms - into) }
            }
            Some(_) => Progress::Ended,
        }
    }

    #[test]
    fn a_guided_hold_is_heard_as_its_script_says() {
        let feed = LiveFeed::new();
        let trial = feed.begin_guided();
        let track = track(&feed, 34_000, |at_ms| {
            let wobble = match at_ms {
                0..4_000 => WobbleZone::Unknown,
                6_000..8_000 => WobbleZone::Over,
                10_000..14_500 => WobbleZone::Under,
                _ => WobbleZone::Inside,
            };
            let position =
                if (16_000..18_000).contains(&at_ms) { Position::Lost } else { Position::Held };
            trial.publish(progress(at_ms, 30_000), Guidance { wobble, position });
        });
        assert_eq!(
            heard(&track),
            [
                (1_000, Cue::Start),
                (6_400, Cue::TooMuch),
                (13_000, Cue::TooLittle),
                (17_000, Cue::PositionLost),
                (21_000, Cue::TenSecondsLeft),
                (31_000, Cue::End),
            ]
        );
    }

    #[test]
    fn a_measured_trial_has_start_and_end_and_nothing_between() {
        let feed = LiveFeed::new();
        let trial = feed.begin_measured();
        let track = track(&feed, 66_000, |at_ms| {
            trial.publish(progress(at_ms, 60_000));
            if at_ms == 30_000 {
                feed.ask(SessionCue::Stop);
            }
        });
        // What the session asked for waits until the end has been heard.
        let heard = heard(&track);
        assert_eq!(heard[..2], [(1_000, Cue::Start), (61_000, Cue::End)]);
        assert!(matches!(heard[2..], [(62_600..=62_640, Cue::Stop)]), "{heard:?}");
    }

    #[test]
    fn a_stop_cuts_advice_short() {
        let feed = LiveFeed::new();
        let trial = feed.begin_guided();
        let track = track(&feed, 9_000, |at_ms| {
            let over = Guidance { wobble: WobbleZone::Over, position: Position::Held };
            let live = if at_ms < 5_100 { progress(at_ms, 30_000) } else { Progress::Stopped };
            trial.publish(live, over);
        });
        // Advice begins 1.5 s after the start cue and comes again every 4 s.
        let from_stop = &track[5_110 * 48..];
        assert_eq!(heard(from_stop), [(0, Cue::Stop)]);
    }

    #[test]
    fn the_sound_check_is_heard_once_for_each_request() {
        let feed = LiveFeed::new();
        let track = track(&feed, 8_000, |at_ms| {
            if at_ms == 500 || at_ms == 5_000 {
                feed.ask(SessionCue::SoundCheck);
            }
        });
        assert_eq!(heard(&track), [(500, Cue::SoundCheck), (5_000, Cue::SoundCheck)]);
    }

    #[test]
    fn a_device_opened_in_mid_trial_does_not_say_start() {
        let feed = LiveFeed::new();
        let trial = feed.begin_measured();
        let track = track(&feed, 4_000, |at_ms| trial.publish(progress(at_ms + 20_000, 20_000)));
        assert_eq!(heard(&track), [(1_000, Cue::End)]);
    }

    #[test]
    fn a_trial_that_was_replaced_unseen_is_said_to_have_ended() {
        let feed = LiveFeed::new();
        let mut trial = feed.begin_measured();
        let track = track(&feed, 8_000, |at_ms| {
            if at_ms == 4_000 {
                trial = feed.begin_measured();
            }
            let hold = if at_ms < 4_000 { progress(at_ms, 30_000) } else { Progress::Waiting };
            trial.publish(hold);
        });
        assert_eq!(heard(&track), [(1_000, Cue::Start), (4_000, Cue::End)]);
    }
}
