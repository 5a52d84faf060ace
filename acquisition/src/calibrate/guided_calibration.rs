//! A whole calibration: which spots are asked for, and what the readings of them make.

use thiserror::Error;

use super::joint_fit::{FitError, JointFit, Knowledge, chi_square_limit, joint_fit};
use super::placement::{GRAVITY_M_PER_S2, Placement, nine_places};
use super::record::{CalibrationRecord, HoldOutCheck, SpotRecord};
use super::suspect::{BoardFault, suspect};
use super::uncertainty::{PlateUncertainty, TypeB};
use crate::calibration::Calibration;
use crate::guided::{Course, Reading, Station};
use crate::wall_time::WallTime;

/// How far out the outer spots of the jig lie, in millimetres.
pub(crate) const REACH_MM: f64 = 150.0;

/// How long a mass rests before it is read, and how long it is read, in seconds.
///
/// # Source
/// The project's error budget: a mean of 5 s, begun 10 to 20 s after the mass was put down.
const SETTLE_S: f64 = 10.0;
const READ_S: f64 = 5.0;

/// How far out the stated uncertainty holds, in millimetres on each axis.
pub const STATED_REACH_MM: f64 = 80.0;

/// Spots that are not used in the fit, far from those that are; the first four surround the centre.
pub(crate) const HOLD_OUTS: [(f64, f64); 8] = [
    (60.0, 110.0),
    (110.0, -60.0),
    (-60.0, -110.0),
    (-110.0, 60.0),
    (110.0, 60.0),
    (60.0, -110.0),
    (-110.0, -60.0),
    (-60.0, 110.0),
];

/// Least the cells must read while 60 kg are put on and off before a calibration, in newtons: three
/// quarters of it, because a dead cell is to be named later and not to be waited for here.
///
/// # Source
/// The project's error budget: cells and contacts settle under load, three times 60 kg.
const EXERCISE_NEWTONS: f64 = 0.75 * 60.0 * GRAVITY_M_PER_S2;
const N_EXERCISES: usize = 3;

/// How well the mass is put on its mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Jig {
    /// Spots printed on paper; put down to 0.5 mm.
    Printed,
    /// A machined jig with stops; put down to 0.25 mm on cells machined to 0.3 mm.
    Fine,
}

impl Jig {
    /// Both.
    pub const ALL: &'static [Self] = &[Self::Printed, Self::Fine];

    /// What the jig makes known.
    pub const fn knowledge(self) -> Knowledge {
        match self {
            Self::Printed => Knowledge::PRINTED_JIG,
            Self::Fine => Knowledge::FINE_JIG,
        }
    }

    /// The word for it in files and on the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Printed => "printed",
            Self::Fine => "fine",
        }
    }
}

/// What a spot is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// One of the nine spots of the fit.
    Fit,
    /// A spot of the fit once more; also part of the fit.
    Repeat,
    /// Not used in the fit: the fit is checked there.
    HoldOut,
}

impl Purpose {
    /// All of them.
    pub const ALL: &'static [Self] = &[Self::Fit, Self::Repeat, Self::HoldOut];

    /// The word for it in files.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Fit => "fit",
            Self::Repeat => "repeat",
            Self::HoldOut => "hold-out",
        }
    }
}

/// One spot on which the mass is put.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// To the right of the centre, in millimetres.
    pub ml_mm: f64,
    /// Forward of the centre, in millimetres.
    pub ap_mm: f64,
    /// What it is for.
    pub purpose: Purpose,
}

/// What is decided before a calibration begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalibrationPlan {
    /// The mass, in kilograms.
    pub mass_kg: f64,
    /// How it is put on its mark.
    pub jig: Jig,
    /// How many spots check the fit, at most eight.
    pub n_hold_outs: usize,
}

/// A calibration under way.
#[derive(Debug, Clone)]
pub struct GuidedCalibration {
    start: Calibration,
    plan: CalibrationPlan,
    spots: Vec<Spot>,
}

/// Why no calibration is made.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CalibrationRefused {
    /// The board is wired or built wrongly, or another mass was typed.
    #[error(transparent)]
    Board(#[from] BoardFault),
    /// The readings do not support a fit.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// The fit is wrong where it was not made.
    #[error(
        "the check spots do not agree with the fit (chi-square {chi_square:.1}, at most {limit:.1} \
         is chance); the worst is spot {spot}, {off_mm:.2} mm off"
    )]
    HoldOut {
        /// Which spot is worst, counted from 1 in the order of the spots.
        spot: usize,
        /// How far its centre of pressure is from its mark, in millimetres.
        off_mm: f64,
        /// Sum over all hold-outs.
        chi_square: f64,
        /// The largest that is still chance.
        limit: f64,
    },
    /// Readings are missing.
    #[error("{found} of {needed} spots were read")]
    Incomplete {
        /// How many were read.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
}

impl GuidedCalibration {
    /// A calibration of the board that `start` is drawn up for.
    pub fn new(start: Calibration, plan: CalibrationPlan) -> Self {
        let nine = nine_places(REACH_MM);
        let spot = |purpose| move |(ml_mm, ap_mm)| Spot { ml_mm, ap_mm, purpose };
        let spots = nine
            .into_iter()
            .map(spot(Purpose::Fit))
            // The centre and the first corner once more: what has crept or slipped shows here.
            .chain(nine.into_iter().take(2).map(spot(Purpose::Repeat)))
            .chain(HOLD_OUTS.into_iter().take(plan.n_hold_outs).map(spot(Purpose::HoldOut)))
            .collect();
        Self { start, plan, spots }
    }

    /// The spots, in the order in which they are asked for.
    pub fn spots(&self) -> &[Spot] {
        &self.spots
    }

    /// What is asked for: exercise, then the mass on each spot with the empty board in between.
    pub fn course(&self, frames_per_s: f64) -> Course {
        let exercise = Station::Exercise { least_newtons: EXERCISE_NEWTONS };
        let mut stations = vec![Station::Empty { rest_s: 0.0 }];
        stations.extend([exercise; N_EXERCISES]);
        stations.push(Station::Empty { rest_s: crate::guided::REST_S });
        for spot in &self.spots {
            stations.push(Station::Mass {
                mass_kg: self.plan.mass_kg,
                ml_mm: spot.ml_mm,
                ap_mm: spot.ap_mm,
                settle_s: SETTLE_S,
                read_s: READ_S,
            });
            stations.push(Station::Empty { rest_s: crate::guided::REST_S });
        }
        Course {
            stations,
            calibration: self.start.clone(),
            frames_per_s,
            zero_moved_newtons: crate::guided::ZERO_MOVED_NEWTONS,
        }
    }

    /// Which spot a station of the course asks for, counted from 0; `None` for an empty board.
    pub fn spot_of_station(&self, station: usize) -> Option<usize> {
        let after = station.checked_sub(N_EXERCISES + 2)?;
        (after % 2 == 0 && after / 2 < self.spots.len()).then_some(after / 2)
    }

    /// Looks at what was read so far, so that a board that is wired wrongly or a mass typed wrong is
    /// named at the first spot and not after the last.
    ///
    /// # Errors
    /// The first [`BoardFault`] found.
    pub fn look(&self, readings: &[Reading]) -> Result<(), BoardFault> {
        suspect(&self.start, &self.placements(readings))
    }

    /// The calibration these readings make.
    ///
    /// `id` is that of the new calibration, `version` one more than the board's newest.
    ///
    /// # Errors
    /// [`CalibrationRefused`] if the readings do not support one; nothing is averaged away.
    pub fn finish(
        &self,
        readings: &[Reading],
        made: &Made,
    ) -> Result<CalibrationRecord, CalibrationRefused> {
        let placements = self.placements(readings);
        if placements.len() != self.spots.len() {
            let (found, needed) = (placements.len(), self.spots.len());
            return Err(CalibrationRefused::Incomplete { found, needed });
        }
        let is_hold_out = |spot: &Spot| spot.purpose == Purpose::HoldOut;
        let n_fit = self.spots.iter().filter(|spot| !is_hold_out(spot)).count();
        suspect(&self.start, &placements[..n_fit])?;
        let fit = joint_fit(&self.start, &placements[..n_fit], &self.plan.jig.knowledge())?;
        self.record(fit, &placements, n_fit, made)
    }

    fn record(
        &self,
        fit: JointFit,
        placements: &[Placement],
        n_fit: usize,
        made: &Made,
    ) -> Result<CalibrationRecord, CalibrationRefused> {
        let (chi_square, degrees_of_freedom) = (fit.chi_square, fit.degrees_of_freedom);
        let leftovers: Vec<_> =
            placements.iter().map(|placement| fit.left_over(placement)).collect();
        let mut calibration = fit.into_calibration(&self.start, made.id.clone(), made.at.unix_us);
        calibration.version = made.version;
        let spots: Vec<SpotRecord> = self
            .spots
            .iter()
            .zip(placements)
            .zip(leftovers)
            .map(|((spot, placement), left)| SpotRecord {
                spot: *spot,
                counts: placement.counts,
                left_newtons: left.force_newtons,
                left_ml_mm: left.ml_mm,
                left_ap_mm: left.ap_mm,
            })
            .collect();
        let hold_out = self.check_hold_outs(&calibration, &spots, n_fit)?;
        let largest_uncertainty_mm = PlateUncertainty::new(&calibration, TypeB::DEMANDED)
            .map_or(f64::INFINITY, |uncertainty| uncertainty.largest_mm(STATED_REACH_MM));
        Ok(CalibrationRecord {
            calibration,
            made: made.at,
            program: crate::results::PROGRAM.to_owned(),
            temperature_c: made.temperature_c,
            mass_kg: self.plan.mass_kg,
            jig: self.plan.jig,
            chi_square,
            degrees_of_freedom,
            corner_load_spread: corner_load_spread(&spots, self.plan.mass_kg),
            spots,
            hold_out,
            largest_uncertainty_mm,
        })
    }

    /// Distances of the hold-outs against what calibration, mark and jig leave open together.
    fn check_hold_outs(
        &self,
        calibration: &Calibration,
        spots: &[SpotRecord],
        n_fit: usize,
    ) -> Result<Option<HoldOutCheck>, CalibrationRefused> {
        let knowledge = self.plan.jig.knowledge();
        let Some(uncertainty) = PlateUncertainty::new(calibration, TypeB::DEMANDED) else {
            return Ok(None);
        };
        let mut check = HoldOutCheck { n_spots: 0, radial_rms_mm: 0.0, largest_mm: 0.0 };
        let (mut chi_square, mut squares, mut worst) = (0.0, 0.0, n_fit);
        for (i, found) in spots.iter().enumerate().skip(n_fit) {
            let (right, forward) = uncertainty.expanded_mm(found.spot.ml_mm, found.spot.ap_mm);
            let variance = |expanded_mm: f64| {
                (expanded_mm / 2.0).powi(2)
                    + knowledge.placement_mm.powi(2)
                    + knowledge.jig_shift_mm.powi(2)
            };
            chi_square += found.left_ml_mm.powi(2) / variance(right)
                + found.left_ap_mm.powi(2) / variance(forward);
            let off_mm = found.left_ml_mm.hypot(found.left_ap_mm);
            squares += off_mm * off_mm;
            check.n_spots += 1;
            if check.largest_mm < off_mm {
                (check.largest_mm, worst) = (off_mm, i);
            }
        }
        if check.n_spots == 0 {
            return Ok(None);
        }
        check.radial_rms_mm = (squares / check.n_spots as f64).sqrt();
        let limit = chi_square_limit(2 * check.n_spots);
        if limit < chi_square {
            let (spot, off_mm) = (worst + 1, check.largest_mm);
            return Err(CalibrationRefused::HoldOut { spot, off_mm, chi_square, limit });
        }
        Ok(Some(check))
    }

    fn placements(&self, readings: &[Reading]) -> Vec<Placement> {
        let placement = |reading: &Reading| {
            let spot = self.spots[self.spot_of_station(reading.station)?];
            let (ml_mm, ap_mm) = (spot.ml_mm, spot.ap_mm);
            let (mass_kg, counts) = (self.plan.mass_kg, reading.net_counts());
            Some(Placement { ml_mm, ap_mm, mass_kg, counts })
        };
        readings.iter().filter_map(placement).collect()
    }
}

/// When and as what a calibration is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// Unique id of the calibration.
    pub id: String,
    /// One more than the board's newest.
    pub version: u32,
    /// When.
    pub at: WallTime,
    /// Temperature beside the converter, in degrees Celsius, if the board reports it.
    pub temperature_c: Option<f64>,
}

/// Range of what the board reads of one mass at the four corners, as a share of the mass.
fn corner_load_spread(spots: &[SpotRecord], mass_kg: f64) -> f64 {
    let weight = mass_kg * GRAVITY_M_PER_S2;
    let at_corner = |found: &&SpotRecord| {
        found.spot.purpose == Purpose::Fit && found.spot.ml_mm != 0.0 && found.spot.ap_mm != 0.0
    };
    let (low, high) = spots
        .iter()
        .filter(at_corner)
        .map(|found| found.left_newtons / weight)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), share| {
            (low.min(share), high.max(share))
        });
    (high - low).max(0.0)
}
