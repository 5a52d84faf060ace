//! The notes of each cue. All of it is our own design.
//!
//! Any two cues differ in rhythm and in at least one of the way their pitch moves and their timbre,
//! most in all three. Fundamentals lie between 220 and 800 Hz, where age takes least.
//!
//! | cue | rhythm | pitch | timbre |
//! |---|---|---|---|
//! | start | short short long | steps up | bell |
//! | too much | three quick | each falls | reed |
//! | too little | two slow | each rises | flute |
//! | position lost | four even | to and fro | buzz |
//! | ten seconds left | two very short | one pitch | knock |
//! | end | long longer | steps down an octave | bell |
//! | stop | two very long | low, one pitch | buzz |
//! | sound check | five even | up, then down | each timbre |

use std::time::Duration;

use super::cue::Cue;
use super::timbre::Timbre::{self, Bell, Buzz, Flute, Knock, Reed};

/// One note; its pitch moves evenly from `from_hz` to `to_hz`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Note {
    pub(super) starts_ms: u32,
    pub(super) lasts_ms: u32,
    pub(super) from_hz: f64,
    pub(super) to_hz: f64,
    pub(super) timbre: Timbre,
}

const fn glide(timbre: Timbre, starts_ms: u32, lasts_ms: u32, from_hz: f64, to_hz: f64) -> Note {
    Note { starts_ms, lasts_ms, from_hz, to_hz, timbre }
}

const fn tone(timbre: Timbre, starts_ms: u32, lasts_ms: u32, hz: f64) -> Note {
    glide(timbre, starts_ms, lasts_ms, hz, hz)
}

const START: &[Note] =
    &[tone(Bell, 0, 130, 392.0), tone(Bell, 170, 130, 523.0), tone(Bell, 340, 500, 784.0)];

const TOO_MUCH: &[Note] = &[
    glide(Reed, 0, 140, 700.0, 420.0),
    glide(Reed, 200, 140, 700.0, 420.0),
    glide(Reed, 400, 140, 700.0, 420.0),
];

const TOO_LITTLE: &[Note] =
    &[glide(Flute, 0, 400, 330.0, 500.0), glide(Flute, 500, 400, 330.0, 500.0)];

const POSITION_LOST: &[Note] = &[
    tone(Buzz, 0, 160, 520.0),
    tone(Buzz, 180, 160, 340.0),
    tone(Buzz, 360, 160, 520.0),
    tone(Buzz, 540, 160, 340.0),
];

const TEN_SECONDS_LEFT: &[Note] = &[tone(Knock, 0, 70, 600.0), tone(Knock, 150, 70, 600.0)];

const END: &[Note] = &[tone(Bell, 0, 380, 784.0), tone(Bell, 420, 700, 392.0)];

const STOP: &[Note] = &[tone(Buzz, 0, 700, 220.0), tone(Buzz, 900, 700, 220.0)];

const SOUND_CHECK: &[Note] = &[
    tone(Bell, 0, 300, 262.0),
    tone(Flute, 350, 300, 392.0),
    tone(Reed, 700, 300, 784.0),
    tone(Buzz, 1050, 300, 392.0),
    tone(Knock, 1400, 300, 262.0),
];

/// The notes of a cue, in order, none beginning before the last has ended.
pub(super) const fn notes(cue: Cue) -> &'static [Note] {
    match cue {
        Cue::Start => START,
        Cue::TooMuch => TOO_MUCH,
        Cue::TooLittle => TOO_LITTLE,
        Cue::PositionLost => POSITION_LOST,
        Cue::TenSecondsLeft => TEN_SECONDS_LEFT,
        Cue::End => END,
        Cue::Stop => STOP,
        Cue::SoundCheck => SOUND_CHECK,
    }
}

/// How long the longest cue at the end of a stand sounds.
pub(super) fn longest_end() -> Duration {
    let lasts_ms = |cue| notes(cue).last().map_or(0, |note| note.starts_ms + note.lasts_ms);
    Duration::from_millis(lasts_ms(Cue::End).max(lasts_ms(Cue::Stop)).into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_follow_each_other() {
        for cue in Cue::ALL {
            for pair in notes(*cue).windows(2) {
                assert!(pair[0].starts_ms + pair[0].lasts_ms <= pair[1].starts_ms, "{cue:?}");
            }
        }
    }

    /// Rhythm, as the ear groups it: how many notes, and the lengths between their beginnings and
    /// of the last.
    fn rhythm(cue: Cue) -> Vec<u32> {
        let notes = notes(cue);
        let between = notes.windows(2).map(|pair| pair[1].starts_ms - pair[0].starts_ms);
        between.chain(notes.last().map(|last| last.lasts_ms)).collect()
    }

    /// Whether pitch rises, falls or stays, within and between notes.
    fn contour(cue: Cue) -> Vec<std::cmp::Ordering> {
        let pitches: Vec<f64> = notes(cue).iter().flat_map(|n| [n.from_hz, n.to_hz]).collect();
        pitches.windows(2).map(|pair| pair[1].total_cmp(&pair[0])).collect()
    }

    /// Ten seconds left and stop both stay on one pitch; their timbres differ.
    #[test]
    fn any_two_cues_differ_in_rhythm_and_but_for_one_pair_in_contour() {
        for (i, a) in Cue::ALL.iter().enumerate() {
            for b in &Cue::ALL[i + 1..] {
                assert_ne!(rhythm(*a), rhythm(*b), "{a:?} {b:?}");
                if [*a, *b] != [Cue::TenSecondsLeft, Cue::Stop] {
                    assert_ne!(contour(*a), contour(*b), "{a:?} {b:?}");
                }
            }
        }
    }
}
