//! Cues as samples.

use super::cue::Cue;
use super::score::{self, Note};
use super::timbre::ramp;

/// No sample is ever larger than this.
pub const PEAK: f32 = 0.5;

/// How long a cue takes to fall silent when another one interrupts it, in seconds (our own
/// choice): below that the ear hears a click, above it the new cue comes late.
const CUT_S: f64 = 0.008;

/// How long the volume takes from silent to full, in seconds (our own choice).
const VOLUME_S: f64 = 0.05;

/// Sounds one cue at a time; a newer one lets the older fall silent first.
///
/// Works at any sample rate. Nothing here allocates, locks or waits.
#[derive(Debug, Clone)]
pub struct Mixer {
    rate_hz: f64,
    sounding: Option<Voice>,
    next: Option<Cue>,
    volume: f64,
    wanted_volume: f64,
}

/// A cue under way.
#[derive(Debug, Clone)]
struct Voice {
    notes: &'static [Note],
    /// Seconds since the cue began.
    at_s: f64,
    /// Turns of the fundamental since the note began, its whole turns taken off.
    turns: f64,
    /// Seconds since it was cut, if it was.
    cut_s: Option<f64>,
}

impl Mixer {
    /// Silent, at full volume; `rate_hz` is the device's, 0 is taken as 1.
    pub fn new(rate_hz: u32) -> Self {
        Self {
            rate_hz: f64::from(rate_hz.max(1)),
            sounding: None,
            next: None,
            volume: 1.0,
            wanted_volume: 1.0,
        }
    }

    /// Begins a cue as soon as what sounds has fallen silent, which takes 8 ms at most. Of several
    /// asked for meanwhile, the last is heard.
    pub fn play(&mut self, cue: Cue) {
        if let Some(voice) = &mut self.sounding {
            voice.cut_s.get_or_insert(0.0);
        }
        self.next = Some(cue);
    }

    /// Moves the volume, from 0 (silent) to 1; anything else is brought into that range.
    pub fn set_volume(&mut self, volume: f32) {
        let volume = f64::from(volume);
        self.wanted_volume = if volume.is_finite() { volume.clamp(0.0, 1.0) } else { 1.0 };
    }

    /// Whether nothing sounds and nothing is about to.
    pub fn is_silent(&self) -> bool {
        self.sounding.is_none() && self.next.is_none()
    }

    /// Writes the next samples, one channel, each at most [`PEAK`].
    pub fn fill(&mut self, samples: &mut [f32]) {
        let step_s = 1.0 / self.rate_hz;
        for sample in samples {
            if self.sounding.is_none() {
                self.sounding = self.next.take().map(Voice::new);
            }
            let Some(voice) = &mut self.sounding else {
                self.volume = self.wanted_volume;
                *sample = 0.0;
                continue;
            };
            let step = step_s / VOLUME_S;
            self.volume += (self.wanted_volume - self.volume).clamp(-step, step);
            #[expect(clippy::cast_possible_truncation, reason = "between -1 and 1")]
            let wave = (voice.sample(step_s) * self.volume) as f32;
            *sample = PEAK * wave;
            if voice.is_over() {
                self.sounding = None;
            }
        }
    }
}

impl Voice {
    fn new(cue: Cue) -> Self {
        Self { notes: score::notes(cue), at_s: 0.0, turns: 0.0, cut_s: None }
    }

    fn is_over(&self) -> bool {
        self.notes.is_empty() || self.cut_s.is_some_and(|cut_s| CUT_S <= cut_s)
    }

    /// The next sample, between -1 and 1.
    fn sample(&mut self, step_s: f64) -> f64 {
        let Some(note) = self.notes.first() else { return 0.0 };
        let lasts_s = f64::from(note.lasts_ms) * 1e-3;
        let into_s = self.at_s - f64::from(note.starts_ms) * 1e-3;
        let mut wave = 0.0;
        if 0.0 <= into_s {
            let highest_hz = note.from_hz.max(note.to_hz);
            wave = note.timbre.wave(self.turns, highest_hz, 1.0 / step_s)
                * note.timbre.envelope(into_s, lasts_s);
            let hz = note.from_hz + (note.to_hz - note.from_hz) * (into_s / lasts_s);
            self.turns = (self.turns + hz * step_s).fract();
        }
        self.at_s += step_s;
        if lasts_s <= into_s + step_s {
            self.notes = &self.notes[1..];
            self.turns = 0.0;
        }
        if let Some(cut_s) = &mut self.cut_s {
            wave *= ramp(1.0 - *cut_s / CUT_S);
            *cut_s += step_s;
        }
        wave
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATES_HZ: [u32; 5] = [8_000, 22_050, 44_100, 48_000, 192_000];

    fn render(mixer: &mut Mixer, seconds: f64) -> Vec<f32> {
        let n = (mixer.rate_hz * seconds).round();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a test's own")]
        let mut samples = vec![f32::NAN; n as usize];
        for block in samples.chunks_mut(441) {
            mixer.fill(block);
        }
        samples
    }

    #[test]
    fn every_cue_is_bounded_and_ends_at_every_rate() {
        for rate_hz in RATES_HZ {
            for &cue in Cue::ALL {
                let mut mixer = Mixer::new(rate_hz);
                mixer.play(cue);
                let samples = render(&mut mixer, 2.5);
                assert!(samples.iter().all(|s| s.abs() <= PEAK), "{cue:?} at {rate_hz}");
                let loudest = samples.iter().fold(0.0_f32, |a, s| a.max(s.abs()));
                assert!(0.2 < loudest, "{cue:?} at {rate_hz}: {loudest}");
                assert!(mixer.is_silent(), "{cue:?} at {rate_hz}");
            }
        }
    }

    /// A click has energy at all frequencies, the cues next to none above 4 kHz. The fourth
    /// difference tells them apart: it multiplies a sine of frequency f by (2 sin(pi f / rate))^4,
    /// 0.066 at 3.9 kHz, and a step by up to 3.
    #[test]
    fn nothing_clicks_even_when_interrupted() {
        let rate_hz = 48_000;
        let mut largest = (0.0, String::new());
        for &first in Cue::ALL {
            for &second in Cue::ALL {
                let mut mixer = Mixer::new(rate_hz);
                mixer.play(first);
                let mut samples = render(&mut mixer, 0.0337);
                mixer.set_volume(0.4);
                mixer.play(second);
                samples.extend(render(&mut mixer, 2.0));
                for (i, part) in samples.windows(5).enumerate() {
                    let [a, b, c, d, e] = [0, 1, 2, 3, 4].map(|k| f64::from(part[k]));
                    let bend = (a - 4.0 * b + 6.0 * c - 4.0 * d + e).abs();
                    if largest.0 < bend {
                        largest = (bend, format!("{first:?} {second:?} sample {i}"));
                    }
                }
            }
        }
        // A tenth of full scale at 3.9 kHz.
        assert!(largest.0 <= 0.0066, "{largest:?}");
    }

    #[test]
    fn the_last_cue_asked_for_is_heard_8_ms_later() {
        let mut mixer = Mixer::new(48_000);
        mixer.play(Cue::Stop);
        render(&mut mixer, 0.3);
        mixer.play(Cue::TooMuch);
        mixer.play(Cue::End);
        render(&mut mixer, 0.0085);
        let mut only = Mixer::new(48_000);
        only.play(Cue::End);
        let (after, alone) = (render(&mut mixer, 1.2), render(&mut only, 1.3));
        let shift = (0..60)
            .find(|&shift| after.iter().zip(&alone[shift..]).all(|(a, b)| (a - b).abs() < 1e-3));
        assert!(shift.is_some(), "the end cue does not follow");
    }

    #[test]
    fn a_volume_of_nought_is_silence() {
        let mut mixer = Mixer::new(48_000);
        mixer.set_volume(0.0);
        render(&mut mixer, 0.1);
        mixer.play(Cue::Stop);
        assert!(render(&mut mixer, 1.0).iter().all(|s| s.abs() < 1e-9));
    }
}
