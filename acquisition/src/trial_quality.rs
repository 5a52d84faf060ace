//! The worth of a recorded trial, from its samples, its loads and its status bits.

use analysis::{Continuity, LoadedCop, Quality, RecordFacts};
use board_wire::{Corner, Status};

use crate::stored_trial::{Origin, RawSamples, StoredTrial};

impl StoredTrial {
    /// What is known of this trial's worth; `None` for an import without forces, whose load is not
    /// known. `continuity` is that of [`trial`](Self::trial), `None` if nothing could be measured.
    ///
    /// The share of the board's noise is not among it: that takes a dead-weight check.
    pub fn quality(&self, continuity: Option<Continuity>) -> Option<Quality> {
        let samples = &self.samples;
        let forces = samples.forces_newtons.as_ref()?;
        let loaded: Vec<LoadedCop> = samples
            .time_us
            .iter()
            .zip(forces)
            .zip(&samples.cop)
            .map(|((&time_us, corners), &cop)| LoadedCop {
                time_us,
                load_newtons: corners.iter().sum(),
                cop,
            })
            .collect();
        let n_saturated = samples.raw.as_ref().map_or(0, count_saturated);
        let zero_moved_newtons = self.zero_moved_newtons();
        let facts = RecordFacts { continuity, n_saturated, noise: None, zero_moved_newtons };
        Some(Quality::of(&loaded, &facts))
    }

    /// Largest change of a cell's zero from before to after; `None` if it was not read afterwards.
    fn zero_moved_newtons(&self) -> Option<f64> {
        let Origin::Board(board) = &self.origin else { return None };
        let moved = board.zero_line().moved_newtons(&board.calibration.newtons_per_count)?;
        Some(moved.into_iter().map(f64::abs).fold(0.0, f64::max))
    }
}

fn count_saturated(raw: &RawSamples) -> usize {
    let saturated = |&bits: &u16| {
        let status = Status::from_bits(bits);
        Corner::ALL.iter().any(|&corner| status.contains(Status::saturated(corner)))
    };
    raw.status.iter().filter(|bits| saturated(bits)).count()
}
