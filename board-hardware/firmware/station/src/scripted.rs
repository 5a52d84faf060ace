//! A converter that plays numbers from a rule, for images that run without one.

use board_wire::{Converter, Counts, FrameRate, Gain};

use crate::bridge::{Bridge, BridgeFault, Conversion, Input, nearest_rate};

/// Rates the played converter offers.
const RATES: [u16; 4] = [125, 250, 500, 1000];

/// Conversions of the empty board before the load comes on: 10 s at 250 a second.
const N_EMPTY: u32 = 2_500;

/// Counts of the first corner without and with load, and of the others two, three and four times as
/// much; 60,000 counts are 27 N on the board as drawn, so all four together carry 274 N.
const EMPTY_COUNTS: i32 = 10_000;
const LOADED_COUNTS: i32 = 70_000;

/// Plays an empty board, then a load at rest, with noise: the same numbers on every machine.
#[derive(Debug, Clone)]
pub struct ScriptedBridge {
    noise: u32,
    input: Input,
    n_read: u32,
}

impl ScriptedBridge {
    /// Begins the script.
    pub const fn new() -> Self {
        Self { noise: 1, input: Input::Cells, n_read: 0 }
    }

    /// The next number of a linear congruence (Numerical Recipes, 1992, "quick and dirty").
    fn next_noise(&mut self) -> i32 {
        self.noise = self.noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        // The high bits are the random ones: -256 to 255.
        (self.noise.cast_signed()) >> 23
    }
}

impl Default for ScriptedBridge {
    fn default() -> Self {
        Self::new()
    }
}

impl Bridge for ScriptedBridge {
    const CONVERTER: Converter = Converter::Simulated;
    const GAIN: Gain = Gain::DEFAULT;

    fn start(&mut self, rate: FrameRate) -> Result<FrameRate, BridgeFault> {
        self.input = Input::Cells;
        nearest_rate(rate, &RATES).ok_or(BridgeFault::Silent)
    }

    fn connect(&mut self, input: Input) -> Result<(), BridgeFault> {
        self.input = input;
        Ok(())
    }

    fn read(&mut self) -> Result<Conversion, BridgeFault> {
        let level = match self.input {
            Input::Shorted => 0,
            Input::Cells | Input::BurnOut if self.n_read < N_EMPTY => EMPTY_COUNTS,
            Input::Cells | Input::BurnOut => LOADED_COUNTS,
        };
        self.n_read = self.n_read.saturating_add(1);
        let counts =
            [1, 2, 3, 4].map(|corner| Counts::saturating(corner * level + self.next_noise()));
        Ok(Conversion { counts })
    }
}
