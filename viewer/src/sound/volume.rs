//! How loud this computer plays: ten steps, each as much louder as the one before.

use acquisition::home::HomeSettings;

/// Where nobody has set it: two steps are left to make it louder.
const USUAL: u8 = 8;

/// By what samples are multiplied at each step: 3 decibels from one to the next, rounded to four
/// places (our own choice: a step is heard, ten reach from loud to hardly heard).
const GAINS: [f32; HomeSettings::LOUDEST as usize] =
    [0.0447, 0.0631, 0.0891, 0.1259, 0.1778, 0.2512, 0.3548, 0.5012, 0.7079, 1.0];

/// A volume, from 1 to 10.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Volume(u8);

impl Volume {
    /// As it was set, or the usual one.
    pub fn of(settings: &HomeSettings) -> Self {
        let step = settings.volume.unwrap_or(USUAL);
        Self(step.clamp(1, HomeSettings::LOUDEST))
    }

    /// The step, as it is kept and shown.
    pub const fn step(self) -> u8 {
        self.0
    }

    /// One step louder, if there is one.
    #[must_use]
    pub fn louder(self) -> Self {
        Self((self.0 + 1).min(HomeSettings::LOUDEST))
    }

    /// One step quieter; the quietest is still heard.
    #[must_use]
    pub fn quieter(self) -> Self {
        Self(self.0.saturating_sub(1).max(1))
    }

    /// By what samples are multiplied: 1 at the loudest step.
    pub fn gain(self) -> f32 {
        GAINS[usize::from(self.0) - 1]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_step_is_three_decibels_and_none_is_silent() {
        let mut volume = Volume::of(&HomeSettings::default());
        assert_eq!(volume.step(), 8);
        for _ in 0..20 {
            volume = volume.louder();
        }
        assert_eq!((volume.step(), volume.gain()), (10, 1.0));
        for n_below in 0..10 {
            // A decibel is a tenth of the common logarithm of a ratio of powers: amplitudes squared.
            let decibels = 20.0 * f64::from(volume.gain()).log10();
            assert!((decibels + 3.0 * f64::from(n_below)).abs() < 0.01, "{decibels}");
            volume = volume.quieter();
        }
        assert_eq!((volume.step(), volume.quieter().step()), (1, 1));
    }
}
