//! Four load cells and their converter: from newtons to counts, with the errors of real ones.

use board_wire::{Corner, Counts, FrameRate, NOMINAL, Status};

use crate::faults::Faults;
use crate::randomness::{Purpose, Randomness};
use crate::scene::Place;

/// How good the cells and their converter are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grade {
    /// No error but the rounding to counts.
    Exact,
    /// Each error as large as the recommended build may have it.
    Demanded,
    /// Half-bridge scale cells of 50 kg.
    Budget,
}

/// Sizes of the errors of a grade; normal, with these standard deviations.
#[derive(Debug, Clone, Copy)]
struct ErrorSizes {
    gain: f64,
    position_mm: f64,
    /// Largest deviation from a straight line, as a share of capacity.
    nonlinearity: f64,
    capacity_newtons: f64,
    zero_newtons: f64,
    noise_newtons_per_root_hz: f64,
    mains_newtons: f64,
    /// Of a quarter of the load.
    twist: f64,
}

impl Grade {
    /// Limits of the recommended build, and what half-bridge cells are assumed to do; neither has
    /// been measured on hardware. Noise and hum together are 0.043 N at 250 frames/s: read through
    /// the gain of the weakest cell, 0.049 of the 0.05 N that the board may have. Those of the
    /// budget build are 0.021 N of noise at 80 frames/s.
    const fn error_sizes(self) -> ErrorSizes {
        match self {
            Self::Exact => ErrorSizes {
                gain: 0.0,
                position_mm: 0.0,
                nonlinearity: 0.0,
                capacity_newtons: 980.665,
                zero_newtons: 0.0,
                noise_newtons_per_root_hz: 0.0,
                mains_newtons: 0.0,
                twist: 0.0,
            },
            Self::Demanded => ErrorSizes {
                gain: 0.05,
                position_mm: 0.3,
                nonlinearity: 0.0003,
                capacity_newtons: 980.665,
                zero_newtons: 10.0,
                noise_newtons_per_root_hz: 0.0034,
                mains_newtons: 0.02,
                twist: 0.1,
            },
            Self::Budget => ErrorSizes {
                gain: 0.1,
                position_mm: 1.5,
                nonlinearity: 0.001,
                capacity_newtons: 490.3325,
                zero_newtons: 20.0,
                noise_newtons_per_root_hz: 0.0033,
                mains_newtons: 0.03,
                twist: 0.1,
            },
        }
    }
}

/// One cell as built.
#[derive(Debug, Clone, Copy)]
struct Cell {
    /// Relative to nominal.
    gain: f64,
    bow: f64,
    zero_newtons: f64,
    mains_phase: f64,
}

/// Four cells as built: the same board seed gives the same board.
#[derive(Debug, Clone)]
pub struct Cells {
    sizes: ErrorSizes,
    built: [Cell; 4],
    position_errors: [Place; 4],
    twist: f64,
}

impl Cells {
    /// The cells of the board with this seed.
    pub fn built(grade: Grade, board_seed: u64) -> Self {
        let mut random = Randomness::new(board_seed, Purpose::Build);
        let sizes = grade.error_sizes();
        let cells = Corner::ALL.map(|_| Cell {
            gain: 1.0 + sizes.gain * random.normal().clamp(-2.5, 2.5),
            bow: sizes.nonlinearity * if random.happens(0.5) { 1.0 } else { -1.0 },
            zero_newtons: sizes.zero_newtons * random.normal(),
            mains_phase: std::f64::consts::TAU * random.unit(),
        });
        let position_errors = Corner::ALL.map(|_| Place {
            ml_mm: sizes.position_mm * random.normal(),
            ap_mm: sizes.position_mm * random.normal(),
        });
        Self { sizes, built: cells, position_errors, twist: sizes.twist * random.normal() }
    }

    /// How far each cell touches the plate from where it is drawn.
    pub const fn position_errors(&self) -> [Place; 4] {
        self.position_errors
    }

    /// Twist of floor and feet, as a share of a quarter of the load.
    pub const fn twist(&self) -> f64 {
        self.twist
    }

    /// Standard deviation of the noise of one cell at a rate, in newtons: white up to half of it.
    pub fn noise_newtons(&self, rate: FrameRate) -> f64 {
        let band_hz = f64::from(rate.frames_per_s()) / 2.0;
        self.sizes.noise_newtons_per_root_hz * band_hz.sqrt()
    }

    /// Readings of all four cells, and the flags that go with them.
    ///
    /// `time_s` is that since the start command; it carries mains hum and zero drift.
    pub fn read(
        &self,
        corner_newtons: [f64; 4],
        time_s: f64,
        rate: FrameRate,
        faults: &Faults,
        noise: &mut Randomness,
    ) -> ([Counts; 4], Status) {
        let mut status = Status::CLEAR;
        let mut counts = [Counts::default(); 4];
        for corner in Corner::ALL {
            let i = corner.index();
            let Cell { gain, bow, zero_newtons, mains_phase } = self.built[i];
            let share = corner_newtons[i] / self.sizes.capacity_newtons;
            let bent = 4.0 * bow * share * (1.0 - share) * self.sizes.capacity_newtons;
            let mains = self.sizes.mains_newtons
                * std::f64::consts::SQRT_2
                * (std::f64::consts::TAU * 50.0 * time_s + mains_phase).sin();
            let felt = corner_newtons[i] * gain
                + bent
                + zero_newtons
                + faults.zero_drift_newtons(corner, time_s)
                + mains
                + self.noise_newtons(rate) * noise.normal();
            counts[i] = counts_from_newtons(felt);
            if faults.dead_corner == Some(corner) {
                counts[i] = counts_from_newtons(zero_newtons);
                status |= Status::open_bridge(corner);
            }
            if counts[i].is_saturated() {
                status |= Status::saturated(corner);
            }
        }
        (counts, status)
    }
}

fn counts_from_newtons(newtons: f64) -> Counts {
    let value = (newtons / NOMINAL.newtons_per_count).round();
    let (low, high) = (f64::from(Counts::MIN.value()), f64::from(Counts::MAX.value()));
    #[expect(clippy::cast_possible_truncation, reason = "held to 24 bits just before")]
    Counts::saturating(value.clamp(low, high) as i32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_exact_cell_gives_rated_load_25_6_percent_of_the_range() {
        let cells = Cells::built(Grade::Exact, 1);
        let mut noise = Randomness::new(1, Purpose::Noise { stand: 0 });
        let (counts, status) = cells.read(
            [980.665, 0.0, -980.665, 5000.0],
            0.0,
            FrameRate::DEFAULT,
            &Faults::default(),
            &mut noise,
        );
        assert_eq!(counts.map(Counts::value), [2_147_484, 0, -2_147_484, 0x7F_FFFF]);
        assert_eq!(status, Status::saturated(Corner::RearRight));
    }

    /// 0.05 N at 250 frames/s is the demand on what is read, the weakest cell's gain divided out.
    #[test]
    fn noise_is_just_within_the_demand() {
        let cells = Cells::built(Grade::Demanded, 1);
        let sizes = Grade::Demanded.error_sizes();
        let weakest = 1.0 - 2.5 * sizes.gain;
        let noise = cells.noise_newtons(FrameRate::DEFAULT).hypot(sizes.mains_newtons) / weakest;
        assert!((0.048..0.05).contains(&noise), "{noise}");
    }
}
