//! A converter that plays numbers from a rule, for images that run without one.

use board_wire::{Converter, Counts, FrameRate, Gain};

use crate::bridge::{Bridge, BridgeFault, Conversion, Input, nearest_rate};

/// Rates the played converter offers.
const RATES: [u16; 4] = [125, 250, 500, 1000];

/// Plays noise around a level for each corner: the same numbers on every machine.
#[derive(Debug, Clone)]
pub struct ScriptedBridge {
    noise: u32,
    input: Input,
}

impl ScriptedBridge {
    /// Begins the script.
    pub const fn new() -> Self {
        Self { noise: 1, input: Input::Cells }
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
        let level = if self.input == Input::Shorted { 0 } else { 750_000 };
        let counts =
            [1, 2, 3, 4].map(|corner| Counts::saturating(corner * level + self.next_noise()));
        Ok(Conversion { counts })
    }
}
