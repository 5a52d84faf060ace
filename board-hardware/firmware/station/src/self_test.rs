//! The board measures itself: shorted inputs, then broken wires.

use board_wire::{Corner, Counts, Status};

use crate::bridge::{Conversion, Input};

/// Conversions thrown away after the inputs were switched: the digital filter still holds the old
/// input for a few, and the analogue filter for some milliseconds.
const N_SETTLING: u32 = 8;

/// Conversions with shorted inputs that go into mean and standard deviation.
const N_MEASURED: u32 = 64;

/// What to do after a conversion.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Next {
    /// Wait for the next one.
    Wait,
    /// Connect the inputs so, then wait.
    Connect(Input),
    /// Everything is measured and the cells are connected again.
    Report(Findings),
}

/// What a self-test found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Findings {
    pub(crate) shorted_mean: [Counts; 4],
    pub(crate) shorted_rms_counts: [u16; 4],
    pub(crate) status: Status,
}

/// A self-test under way; it begins with the inputs shorted.
#[derive(Debug)]
pub(crate) struct SelfTest {
    input: Input,
    n_conversions: u32,
    sums: [Sum; 4],
    open: Status,
}

/// Sum and sum of squares of one channel; 64 readings of 24 bits stay far inside 64 bits.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    values: i64,
    squares: i64,
}

impl SelfTest {
    pub(crate) const fn new() -> Self {
        let sums = [Sum { values: 0, squares: 0 }; 4];
        Self { input: Input::Shorted, n_conversions: 0, sums, open: Status::CLEAR }
    }

    /// Takes the next conversion.
    pub(crate) fn take(&mut self, conversion: &Conversion) -> Next {
        self.n_conversions += 1;
        if self.n_conversions <= N_SETTLING {
            return Next::Wait;
        }
        match self.input {
            Input::Shorted => {
                for (sum, counts) in self.sums.iter_mut().zip(conversion.counts) {
                    let value = i64::from(counts.value());
                    sum.values += value;
                    sum.squares += value * value;
                }
                if self.n_conversions < N_SETTLING + N_MEASURED {
                    return Next::Wait;
                }
                self.switch(Input::BurnOut)
            }
            Input::BurnOut => {
                for (corner, counts) in Corner::ALL.into_iter().zip(conversion.counts) {
                    if counts.is_saturated() {
                        self.open |= Status::open_bridge(corner);
                    }
                }
                self.switch(Input::Cells)
            }
            Input::Cells => Next::Report(Findings {
                shorted_mean: self.sums.map(Sum::mean),
                shorted_rms_counts: self.sums.map(Sum::rms),
                status: self.open | conversion.status(),
            }),
        }
    }

    const fn switch(&mut self, input: Input) -> Next {
        self.input = input;
        self.n_conversions = 0;
        Next::Connect(input)
    }
}

impl Sum {
    /// Mean of the measured conversions, to the nearest count.
    fn mean(self) -> Counts {
        let n = i64::from(N_MEASURED);
        let mean = (self.values + n / 2).div_euclid(n);
        Counts::saturating(i32::try_from(mean).unwrap_or(i32::MAX))
    }

    /// Standard deviation (population form) of the measured conversions, rounded down.
    fn rms(self) -> u16 {
        let n = i64::from(N_MEASURED);
        let variance = (self.squares - self.values * self.values / n) / n;
        let deviation = u64::try_from(variance).unwrap_or_default().isqrt();
        u16::try_from(deviation).unwrap_or(u16::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn conversion(value: i32) -> Conversion {
        Conversion { counts: [value, -value, Counts::MAX.value(), 0].map(Counts::saturating) }
    }

    /// Half the readings at 90, half at 110: mean 100 and standard deviation 10, by hand.
    #[test]
    fn mean_and_deviation_are_those_worked_by_hand() {
        let mut test = SelfTest::new();
        let mut input = Input::Shorted;
        let findings = loop {
            let value = if test.n_conversions.is_multiple_of(2) { 90 } else { 110 };
            match test.take(&conversion(value)) {
                Next::Wait => (),
                Next::Connect(next) => input = next,
                Next::Report(findings) => break findings,
            }
        };
        assert_eq!(input, Input::Cells);
        assert_eq!(findings.shorted_mean.map(Counts::value), [100, -100, 0x7F_FFFF, 0]);
        assert_eq!(findings.shorted_rms_counts, [10, 10, 0, 0]);
        let third = Status::open_bridge(Corner::RearLeft) | Status::saturated(Corner::RearLeft);
        assert_eq!(findings.status, third);
    }
}
