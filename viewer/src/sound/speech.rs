//! Plays a clip at the device's own rate.

use acquisition::home::LanguageKey;

use super::mixer::PEAK;
use super::phrase::{CLIP_RATE_HZ, Phrase};

/// The clip that is being said, if one is. Nothing here allocates.
#[derive(Debug)]
pub(super) struct Speech {
    clip: &'static [u8],
    /// Place in the clip, in samples of the clip.
    at: f64,
    step: f64,
}

impl Speech {
    pub(super) fn new(rate_hz: u32) -> Self {
        Self { clip: &[], at: 0.0, step: f64::from(CLIP_RATE_HZ) / f64::from(rate_hz) }
    }

    /// Says this in a language, in the place of whatever is being said.
    pub(super) fn begin(&mut self, said: Option<(Phrase, LanguageKey)>) {
        self.clip = said.map_or(&[], |(phrase, language)| phrase.clip(language));
        self.at = 0.0;
    }

    /// Whether some of it was heard already.
    pub(super) fn has_begun(&self) -> bool {
        0.0 < self.at
    }

    pub(super) fn is_over(&self) -> bool {
        self.clip.is_empty()
    }

    /// Writes the next samples, between two of the clip by a straight line.
    pub(super) fn fill(&mut self, samples: &mut [f32], volume: f32) {
        for sample in samples {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a place in a clip"
            )]
            let index = self.at as usize;
            let Some(&here) = self.clip.get(index) else {
                self.clip = &[];
                return;
            };
            let next = self.clip.get(index + 1).copied().unwrap_or(here);
            #[expect(clippy::cast_possible_truncation, reason = "between 0 and 1")]
            let between = (self.at - index as f64) as f32;
            let (here, next) = (linear(here), linear(next));
            *sample = PEAK * volume.clamp(0.0, 1.0) * (here + (next - here) * between);
            self.at += self.step;
        }
    }
}

/// A mu-law byte as a sample between -1 and 1.
///
/// # Source
/// ITU-T G.711 (1988), table 2a: bits inverted; sign, three bits of segment, four of step.
fn linear(byte: u8) -> f32 {
    let byte = !byte;
    let (segment, step) = ((byte >> 4) & 7, i16::from(byte & 15));
    let magnitude = (((step << 3) + 0x84) << segment) - 0x84;
    let signed = if byte & 0x80 == 0 { magnitude } else { -magnitude };
    f32::from(signed) / 32_124.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of G.711's table 2a, there on a scale of 8031, here of 32124 = 4 x 8031.
    #[test]
    fn mu_law_bytes_are_those_of_the_standard() {
        for (byte, value) in [
            (0x80, 8031.0),
            (0x8f, 4191.0),
            (0xaf, 1023.0),
            (0xff, 0.0),
            (0x7f, 0.0),
            (0x00, -8031.0),
        ] {
            let found = linear(byte) * 8031.0;
            assert!((found - value).abs() < 0.01, "{byte:#x}: {found}, not {value}");
        }
    }

    #[test]
    fn a_clip_lasts_as_long_at_any_rate() {
        for rate_hz in [8_000, 44_100, 48_000] {
            let mut speech = Speech::new(rate_hz);
            speech.begin(Some((Phrase::StepOn, LanguageKey::German)));
            let mut n_samples = 0_u32;
            while !speech.is_over() {
                speech.fill(&mut [0.0; 1], 1.0);
                n_samples += 1;
            }
            let lasted_s = f64::from(n_samples) / f64::from(rate_hz);
            let lasts_s = Phrase::StepOn.lasts_s(LanguageKey::German);
            assert!((lasted_s - lasts_s).abs() < 1e-3, "{rate_hz}: {lasted_s}");
        }
    }
}
