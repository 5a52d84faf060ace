//! The board's clock.

/// Board time in microseconds, as a 32-bit counter that wraps every 71.6 minutes.
///
/// Taken when the converter says its data are ready, not when they are sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Ticks(u32);

impl Ticks {
    /// Board time from the counter's microseconds.
    pub const fn from_us(us: u32) -> Self {
        Self(us)
    }

    /// The counter's microseconds.
    pub const fn us(self) -> u32 {
        self.0
    }
}

/// Makes one long time out of a counter that wraps.
///
/// A step of less than half the counter's range is taken as forward, the rest as back; a silence
/// of more than 35 minutes can therefore not be told from one that is 71.6 minutes shorter.
#[derive(Debug, Clone, Copy, Default)]
pub struct TimeUnwrapper {
    last: Option<Unwrapped>,
}

#[derive(Debug, Clone, Copy)]
struct Unwrapped {
    ticks: Ticks,
    us: u64,
}

impl TimeUnwrapper {
    /// Ready for the first stamp, which keeps its own value.
    pub const fn new() -> Self {
        Self { last: None }
    }

    /// Microseconds on a clock that does not wrap, for the next stamp in order of arrival.
    pub fn unwrap_us(&mut self, ticks: Ticks) -> u64 {
        let us = match self.last {
            None => u64::from(ticks.us()),
            Some(last) => {
                let forward = ticks.us().wrapping_sub(last.ticks.us());
                if forward < 1 << 31 {
                    last.us.saturating_add(u64::from(forward))
                } else {
                    last.us.saturating_sub(u64::from(forward.wrapping_neg()))
                }
            }
        };
        self.last = Some(Unwrapped { ticks, us });
        us
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_goes_on_past_the_wrap() {
        let mut time = TimeUnwrapper::new();
        let stamps = [u32::MAX - 3999, 0, 4000, 2_000_004_000, 4_000_004_000, 1_705_036_704];
        let first = u64::from(u32::MAX) - 3999;
        let wanted = [0, 4000, 8000, 2_000_008_000, 4_000_008_000, 6_000_008_000];
        for (stamp, after) in stamps.into_iter().zip(wanted) {
            assert_eq!(time.unwrap_us(Ticks::from_us(stamp)), first + after);
        }
    }

    #[test]
    fn a_small_step_back_stays_a_step_back() {
        let mut time = TimeUnwrapper::new();
        assert_eq!(time.unwrap_us(Ticks::from_us(9000)), 9000);
        assert_eq!(time.unwrap_us(Ticks::from_us(5000)), 5000);
        assert_eq!(time.unwrap_us(Ticks::from_us(u32::MAX)), 0);
    }
}
