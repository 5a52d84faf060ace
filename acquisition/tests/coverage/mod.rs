//! Calibrates many random boards and asks how far the centre of pressure is off afterwards.

use acquisition::calibrate::{GRAVITY_M_PER_S2, Knowledge, PlateUncertainty, TypeB, joint_fit};
use acquisition::cop_from_forces;

use crate::random_board::RandomBoard;

/// A person of this mass stands on the board afterwards, as in the promise.
const BODY_MASS_KG: f64 = 60.0;

/// What came of many boards.
#[derive(Debug, Clone, Default)]
pub(crate) struct Study {
    /// Boards whose calibration was refused although nothing was wrong.
    pub(crate) refused: usize,
    /// Largest distance from the true centre of pressure within 80 mm, one a board, millimetres.
    pub(crate) largest_mm: Vec<f64>,
    /// Share of places and axes within the stated expanded uncertainty, one a board.
    pub(crate) covered: Vec<f64>,
    /// Stated expanded uncertainty (k = 2) at the centre, mean of both axes, one a board.
    pub(crate) stated_mm: Vec<f64>,
}

impl Study {
    /// Calibrates `n_boards` boards with 20 kg and looks at them on another floor with a person on.
    pub(crate) fn run(
        first_seed: u64,
        n_boards: u64,
        corner_sd_mm: f64,
        knowledge: &Knowledge,
    ) -> Self {
        let mut study = Self::default();
        for seed in first_seed..first_seed + n_boards {
            study.add(RandomBoard::new(seed, corner_sd_mm), knowledge);
        }
        study
    }

    fn add(&mut self, mut board: RandomBoard, knowledge: &Knowledge) {
        let placements = board.placements(20.0, knowledge);
        let drawn = board.drawn().clone();
        let Ok(fit) = joint_fit(&drawn, &placements, knowledge) else {
            self.refused += 1;
            return;
        };
        let calibration = fit.into_calibration(&drawn, "fitted".to_owned(), 0);
        let uncertainty = PlateUncertainty::new(&calibration, TypeB::DEMANDED).expect("fitted");
        board.move_elsewhere();
        let (mut largest_mm, mut n_covered, mut n_places) = (0.0_f64, 0_u32, 0_u32);
        let places = (-4..=4).map(|step| 20.0 * f64::from(step));
        for ml_mm in places.clone() {
            for ap_mm in places.clone() {
                let newtons = BODY_MASS_KG * GRAVITY_M_PER_S2;
                let counts = board.counts(newtons, ml_mm, ap_mm, 40.0);
                let forces = std::array::from_fn(|i| counts[i] * calibration.newtons_per_count[i]);
                let cop = cop_from_forces(forces, &calibration.corners).expect("60 kg");
                let (right, forward) = (cop.ml_mm - ml_mm, cop.ap_mm - ap_mm);
                largest_mm = largest_mm.max(right.hypot(forward));
                let (stated_right, stated_forward) = uncertainty.expanded_mm(ml_mm, ap_mm);
                n_covered += u32::from(right.abs() <= stated_right);
                n_covered += u32::from(forward.abs() <= stated_forward);
                n_places += 2;
            }
        }
        self.largest_mm.push(largest_mm);
        self.covered.push(f64::from(n_covered) / f64::from(n_places));
        let (right, forward) = uncertainty.expanded_mm(0.0, 0.0);
        self.stated_mm.push(f64::midpoint(right, forward));
    }

    /// Boards whose largest error is within `limit_mm`.
    pub(crate) fn within(&self, limit_mm: f64) -> usize {
        self.largest_mm.iter().filter(|largest| **largest <= limit_mm).count()
    }

    /// Mean share of places covered, and its standard error over boards.
    pub(crate) fn coverage(&self) -> (f64, f64) {
        let n = self.covered.len() as f64;
        let mean = self.covered.iter().sum::<f64>() / n;
        let squares: f64 = self.covered.iter().map(|share| (share - mean).powi(2)).sum();
        (mean, (squares / (n - 1.0) / n).sqrt())
    }
}
