//! Four gains and eight positions from placements of a mass, in one weighted least squares.
//!
//! With counts n, gain k (relative to the start) and drawn position X of each cell, the plate's
//! balance is linear in k and in e = k (x - X):
//!
//! ```text
//! sum k n             = W (1 + s)
//! sum (k X + e) n     = W (1 + s) (place + shift + turn + stretch of the jig)
//! ```
//!
//! What is known beforehand enters as rows: spread of gains, accuracy of the drawn positions, of the
//! jig and of the mass. The plain fit of a free 3 x 4 matrix is ill-conditioned when the plate is
//! stiff in torsion; this one is not.

use thiserror::Error;

use super::chance;
use super::placement::Placement;
use super::solve::{Rows, Solution};
use crate::calibration::{Calibration, CornerPosition};

/// Least distance from the centre, on both axes, that some placements must have, in millimetres.
const LEAST_REACH_MM: f64 = 80.0;

/// Probability below which disagreement is not chance: our own choice. A sound calibration is
/// refused once in a thousand.
const CHANCE: f64 = 0.001;

/// What is known before the fit, as standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knowledge {
    /// Relative spread of the cells' gains around the start.
    pub gain: f64,
    /// Machined position of a cell against the drawing, in millimetres per axis.
    pub corner_mm: f64,
    /// Putting the mass on its mark, in millimetres per axis.
    pub placement_mm: f64,
    /// The mass reading the same from place to place, relative.
    pub repeat: f64,
    /// The mass itself, relative; 0.02 if nobody weighed it.
    pub mass: f64,
    /// The jig as a whole: shift in millimetres per axis.
    pub jig_shift_mm: f64,
    /// The jig as a whole: turn in radians.
    pub jig_turn_rad: f64,
    /// The jig as a whole: stretch, relative.
    pub jig_stretch: f64,
}

impl Knowledge {
    /// A board within the demanded limits (cells to 1 mm) and a printed jig, mass put down to 0.5 mm.
    pub const PRINTED_JIG: Self = Self {
        gain: 0.05,
        corner_mm: 1.0,
        placement_mm: 0.5,
        repeat: 5e-4,
        mass: 1e-3,
        jig_shift_mm: 0.2,
        jig_turn_rad: 1e-3,
        jig_stretch: 5e-4,
    };

    /// A machined jig with stops: mass put down to 0.25 mm, cells machined to 0.3 mm.
    pub const FINE_JIG: Self = Self {
        corner_mm: 0.3,
        placement_mm: 0.25,
        jig_shift_mm: 0.1,
        jig_turn_rad: 5e-4,
        jig_stretch: 3e-4,
        ..Self::PRINTED_JIG
    };
}

/// What one placement leaves over after the fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leftover {
    /// Weight minus total force, in newtons.
    pub force_newtons: f64,
    /// Mark minus centre of pressure, to the right, in millimetres.
    pub ml_mm: f64,
    /// Mark minus centre of pressure, forward, in millimetres.
    pub ap_mm: f64,
    /// Largest of the three, in its own standard deviations.
    pub worst: f64,
}

/// The result of a joint fit.
#[derive(Debug, Clone, PartialEq)]
pub struct JointFit {
    /// Newtons per count of each cell.
    pub newtons_per_count: [f64; 4],
    /// Where each cell takes its load.
    pub corners: [CornerPosition; 4],
    /// Covariance of the twelve, in the order of [`Calibration::covariance`].
    pub covariance: Box<[[f64; 12]; 12]>,
    /// What each placement leaves over, in the order given.
    pub leftovers: Vec<Leftover>,
    /// Sum of squared residuals in their standard deviations, prior knowledge included.
    pub chi_square: f64,
    /// Degrees of freedom of it: three a placement.
    pub degrees_of_freedom: usize,
}

/// Why no calibration can be made.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum FitError {
    /// Too few placements.
    #[error("{found} placements are too few, at least {needed} are needed")]
    TooFew {
        /// How many there are.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// The placements do not reach all four corners.
    #[error("no placement is {needed_mm} mm or more towards the {corner} corner")]
    CornerMissing {
        /// The corner, such as `"front left"`.
        corner: &'static str,
        /// How far out one must be on both axes, in millimetres.
        needed_mm: f64,
    },
    /// The equations have no solution: a cell that never answers, or numbers that are none.
    #[error("the readings do not determine gains and positions")]
    Undetermined,
    /// One placement disagrees with the others.
    #[error(
        "placement {placement} does not agree with the others: its mark is {ml_mm:.2} mm to the \
         right and {ap_mm:.2} mm forward of where the mass stood"
    )]
    PlacementOff {
        /// Which one, counted from 1.
        placement: usize,
        /// Mark minus centre of pressure, to the right, in millimetres.
        ml_mm: f64,
        /// Mark minus centre of pressure, forward, in millimetres.
        ap_mm: f64,
    },
    /// At one placement the board reads another weight than typed.
    #[error(
        "placement {placement} reads {read_newtons:.1} N where {weight_newtons:.1} N were put down: \
         another mass than typed, or something else carries part of it (a plate or pad that touches \
         the floor)"
    )]
    WeightOff {
        /// Which one, counted from 1.
        placement: usize,
        /// What the board reads, in newtons.
        read_newtons: f64,
        /// What the mass typed weighs, in newtons.
        weight_newtons: f64,
    },
    /// Near one corner the board reads too little.
    #[error(
        "near the {corner} corner {missing_newtons:.1} N are missing: something else carries them \
         (a stop, plate or pad that touches)"
    )]
    CornerTouches {
        /// Which corner.
        corner: &'static str,
        /// Most that is missing at one placement, in newtons.
        missing_newtons: f64,
    },
    /// One cell is far from what its kind gives.
    #[error(
        "the {corner} cell gives {percent:.0} % of what its kind gives: another kind, damaged, or \
         something else carries part of its load"
    )]
    GainOff {
        /// Which corner.
        corner: &'static str,
        /// What it gives, in percent of the design.
        percent: f64,
    },
    /// The placements disagree among themselves and no single one is to blame.
    #[error(
        "the placements do not agree with each other: chi-square {chi_square:.1}, \
         at most {limit:.1} is chance with {degrees_of_freedom} degrees of freedom"
    )]
    Disagreement {
        /// Sum of squared residuals in their standard deviations.
        chi_square: f64,
        /// The largest that is still chance.
        limit: f64,
        /// Degrees of freedom.
        degrees_of_freedom: usize,
    },
}

/// Share of the weight by which a placement may be off before it is called a matter of weight and
/// not of place: ten times the repeatability of a mass, our own choice.
const WEIGHT_OFF: f64 = 5e-3;

const FEWEST_PLACEMENTS: usize = 5;
const N_UNKNOWNS: usize = 17;
const SHIFT_ML: usize = 12;
const SHIFT_AP: usize = 13;
const TURN: usize = 14;
const STRETCH: usize = 15;
const MASS: usize = 16;

/// Fits gains and positions to placements of a mass.
///
/// `start` gives the drawn positions and the gains around which `knowledge.gain` is meant; the fit
/// does not depend on them beyond that. At least five placements, the four corners among them.
///
/// # Errors
/// [`FitError`] if the data cannot support a calibration; if one placement is to blame, it is named.
///
/// # Source
/// Weighted least squares with covariance: JCGM 102:2011 (GUM supplement 2); the balance of moments
/// is statics. The model and its weights are this project's own.
pub fn joint_fit(
    start: &Calibration,
    placements: &[Placement],
    knowledge: &Knowledge,
) -> Result<JointFit, FitError> {
    if placements.len() < FEWEST_PLACEMENTS {
        return Err(FitError::TooFew { found: placements.len(), needed: FEWEST_PLACEMENTS });
    }
    all_corners_reached(placements)?;
    let fit = fit_without_check(start, placements, knowledge).ok_or(FitError::Undetermined)?;
    let limit = chi_square_limit(fit.degrees_of_freedom);
    if fit.chi_square <= limit {
        // A gain of the wrong sign that fits all the same is no board's.
        let sound = fit.newtons_per_count.iter().all(|gain| 0.0 < *gain);
        return if sound { Ok(fit) } else { Err(FitError::Undetermined) };
    }
    let named = blame(start, placements, knowledge, &fit)
        .or_else(|| touching(start, placements, knowledge))
        .or_else(|| gain_off(start, knowledge, &fit));
    Err(named.unwrap_or(FitError::Disagreement {
        chi_square: fit.chi_square,
        limit,
        degrees_of_freedom: fit.degrees_of_freedom,
    }))
}

/// Corners in the order of the channels, each with the directions in which it lies.
const CORNERS: [(&str, f64, f64); 4] = [
    ("front left", -1.0, 1.0),
    ("front right", 1.0, 1.0),
    ("rear left", -1.0, -1.0),
    ("rear right", 1.0, -1.0),
];

fn all_corners_reached(placements: &[Placement]) -> Result<(), FitError> {
    for (corner, right, forward) in CORNERS {
        let reached = placements.iter().any(|placement| {
            LEAST_REACH_MM <= right * placement.ml_mm && LEAST_REACH_MM <= forward * placement.ap_mm
        });
        if !reached {
            return Err(FitError::CornerMissing { corner, needed_mm: LEAST_REACH_MM });
        }
    }
    Ok(())
}

/// The largest chi-square that is still chance.
pub(super) fn chi_square_limit(degrees_of_freedom: usize) -> f64 {
    chance::chi_square_limit(degrees_of_freedom, CHANCE)
}

/// The one placement without which the others agree, if there is one.
fn blame(
    start: &Calibration,
    placements: &[Placement],
    knowledge: &Knowledge,
    fit: &JointFit,
) -> Option<FitError> {
    let mut order: Vec<usize> = (0..placements.len()).collect();
    order.sort_by(|a, b| fit.leftovers[*b].worst.total_cmp(&fit.leftovers[*a].worst));
    order.into_iter().find_map(|suspect| {
        let mut others = placements.to_vec();
        let off = others.remove(suspect);
        let without = fit_without_check(start, &others, knowledge)?;
        if chi_square_limit(without.degrees_of_freedom) < without.chi_square {
            return None;
        }
        let (read_newtons, ml_mm, ap_mm) = without.reading(&off);
        let (placement, weight_newtons) = (suspect + 1, off.weight_newtons());
        if WEIGHT_OFF * weight_newtons < (read_newtons - weight_newtons).abs() {
            return Some(FitError::WeightOff { placement, read_newtons, weight_newtons });
        }
        Some(FitError::PlacementOff {
            placement,
            ml_mm: off.ml_mm - ml_mm,
            ap_mm: off.ap_mm - ap_mm,
        })
    })
}

/// The corner near which too little is read while everywhere else the placements agree: a stop that
/// touches takes the more, the more that corner carries, so placements are left out in that order.
fn touching(
    start: &Calibration,
    placements: &[Placement],
    knowledge: &Knowledge,
) -> Option<FitError> {
    const MOST_LEFT_OUT: usize = 5;
    let most_left_out = MOST_LEFT_OUT.min(placements.len().saturating_sub(FEWEST_PLACEMENTS));
    (2..=most_left_out).find_map(|n_left_out| {
        CORNERS.iter().enumerate().find_map(|(corner, (name, ..))| {
            let drawn = start.corners[corner];
            // What the corner carries of a load there, but for a constant.
            let carried = |p: &Placement| p.ml_mm / drawn.ml_mm + p.ap_mm / drawn.ap_mm;
            let mut order = placements.to_vec();
            order.sort_by(|a, b| carried(b).total_cmp(&carried(a)));
            let (near, far) = order.split_at(n_left_out);
            let without = fit_without_check(start, far, knowledge)?;
            if chi_square_limit(without.degrees_of_freedom) < without.chi_square {
                return None;
            }
            let missing_newtons = without.left_over(&near[0]).force_newtons;
            (WEIGHT_OFF * near[0].weight_newtons() < missing_newtons)
                .then_some(FitError::CornerTouches { corner: name, missing_newtons })
        })
    })
}

/// A cell whose gain is farther from the design than the spread of its kind explains.
fn gain_off(start: &Calibration, knowledge: &Knowledge, fit: &JointFit) -> Option<FitError> {
    let ratio = |i: usize| start.newtons_per_count[i] / fit.newtons_per_count[i];
    let worst =
        (0..4).max_by(|&a, &b| (ratio(a) - 1.0).abs().total_cmp(&(ratio(b) - 1.0).abs()))?;
    (4.0 * knowledge.gain < (ratio(worst) - 1.0).abs())
        .then(|| FitError::GainOff { corner: CORNERS[worst].0, percent: 100.0 * ratio(worst) })
}

impl JointFit {
    /// Total force in newtons and centre of pressure in millimetres of a placement's counts.
    fn reading(&self, placement: &Placement) -> (f64, f64, f64) {
        let forces: [f64; 4] =
            std::array::from_fn(|i| placement.counts[i] * self.newtons_per_count[i]);
        let total: f64 = forces.iter().sum();
        let moment = |arm: fn(&CornerPosition) -> f64| -> f64 {
            forces.iter().zip(&self.corners).map(|(force, corner)| force * arm(corner)).sum()
        };
        (total, moment(|corner| corner.ml_mm) / total, moment(|corner| corner.ap_mm) / total)
    }

    /// What a placement leaves over, whether or not it was part of the fit.
    pub(super) fn left_over(&self, placement: &Placement) -> Leftover {
        let (force, ml_mm, ap_mm) = self.reading(placement);
        Leftover {
            force_newtons: placement.weight_newtons() - force,
            ml_mm: placement.ml_mm - ml_mm,
            ap_mm: placement.ap_mm - ap_mm,
            worst: 0.0,
        }
    }

    /// The fit as the next version of a board's calibration.
    pub fn into_calibration(
        self,
        start: &Calibration,
        id: String,
        made_at_unix_us: i64,
    ) -> Calibration {
        Calibration {
            id,
            version: start.version + 1,
            made_at_unix_us,
            board_id: start.board_id.clone(),
            kind: crate::calibration::CalibrationKind::Fitted,
            newtons_per_count: self.newtons_per_count,
            corners: self.corners,
            covariance: Some(self.covariance),
        }
    }
}

fn rows(start: &Calibration, placements: &[Placement], knowledge: &Knowledge) -> Rows {
    let mut rows = Rows::new(N_UNKNOWNS);
    for placement in placements {
        let weight = placement.weight_newtons();
        let newtons: [f64; 4] =
            std::array::from_fn(|i| placement.counts[i] * start.newtons_per_count[i]);
        let mut force: Vec<(usize, f64)> = newtons.iter().copied().enumerate().collect();
        force.push((MASS, -weight));
        // 0.02 N: the board's own noise in a 5 s mean and the creep between placements.
        rows.add(&force, weight, (weight * knowledge.repeat).hypot(0.02));

        let (right, forward) = (placement.ml_mm, placement.ap_mm);
        let lever_sd = weight * knowledge.placement_mm;
        let mut ml: Vec<(usize, f64)> = Vec::with_capacity(12);
        let mut ap: Vec<(usize, f64)> = Vec::with_capacity(12);
        for (i, corner) in start.corners.iter().enumerate() {
            ml.extend([(i, newtons[i] * corner.ml_mm), (4 + 2 * i, newtons[i])]);
            ap.extend([(i, newtons[i] * corner.ap_mm), (5 + 2 * i, newtons[i])]);
        }
        ml.extend([(SHIFT_ML, -weight), (TURN, weight * forward), (STRETCH, -weight * right)]);
        ap.extend([(SHIFT_AP, -weight), (TURN, -weight * right), (STRETCH, -weight * forward)]);
        ml.push((MASS, -weight * right));
        ap.push((MASS, -weight * forward));
        rows.add(&ml, weight * right, lever_sd);
        rows.add(&ap, weight * forward, lever_sd);
    }
    for i in 0..4 {
        rows.add(&[(i, 1.0)], 1.0, knowledge.gain);
        rows.add(&[(4 + 2 * i, 1.0)], 0.0, knowledge.corner_mm);
        rows.add(&[(5 + 2 * i, 1.0)], 0.0, knowledge.corner_mm);
    }
    for (unknown, standard_deviation) in [
        (SHIFT_ML, knowledge.jig_shift_mm),
        (SHIFT_AP, knowledge.jig_shift_mm),
        (TURN, knowledge.jig_turn_rad),
        (STRETCH, knowledge.jig_stretch),
        (MASS, knowledge.mass),
    ] {
        rows.add(&[(unknown, 1.0)], 0.0, standard_deviation);
    }
    rows
}

fn fit_without_check(
    start: &Calibration,
    placements: &[Placement],
    knowledge: &Knowledge,
) -> Option<JointFit> {
    let solution = rows(start, placements, knowledge).solve()?;
    let unknowns = &solution.unknowns;
    let corners = std::array::from_fn(|i| CornerPosition {
        ml_mm: start.corners[i].ml_mm + unknowns[4 + 2 * i] / unknowns[i],
        ap_mm: start.corners[i].ap_mm + unknowns[5 + 2 * i] / unknowns[i],
    });
    let mut fit = JointFit {
        newtons_per_count: std::array::from_fn(|i| start.newtons_per_count[i] * unknowns[i]),
        corners,
        covariance: covariance(start, &solution),
        leftovers: Vec::new(),
        chi_square: solution.residuals.norm_squared(),
        degrees_of_freedom: 3 * placements.len(),
    };
    fit.leftovers = placements
        .iter()
        .enumerate()
        .map(|(i, placement)| {
            let worst = (3 * i..3 * i + 3)
                .map(|row| solution.residuals[row].abs() / solution.residual_sd[row].max(1e-6))
                .fold(0.0, f64::max);
            Leftover { worst, ..fit.left_over(placement) }
        })
        .collect();
    Some(fit)
}

/// Covariance of gains and positions from that of k and e = k (x - X).
fn covariance(start: &Calibration, solution: &Solution) -> Box<[[f64; 12]; 12]> {
    use nalgebra::DMatrix;
    let unknowns = &solution.unknowns;
    let mut change = DMatrix::zeros(12, 12);
    for i in 0..4 {
        change[(i, i)] = start.newtons_per_count[i];
        for axis in 0..2 {
            let row = 4 + 2 * i + axis;
            change[(row, row)] = 1.0 / unknowns[i];
            change[(row, i)] = -unknowns[row] / (unknowns[i] * unknowns[i]);
        }
    }
    let of_fit = solution.covariance.view((0, 0), (12, 12));
    let of_parameters = &change * of_fit * change.transpose();
    Box::new(std::array::from_fn(|i| std::array::from_fn(|j| of_parameters[(i, j)])))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibrate::nine_places;

    /// A board whose gains and positions differ from the drawing by known amounts.
    fn true_board() -> Calibration {
        let mut board = Calibration::nominal("0123456789abcdef01234567", 128);
        for (i, gain) in [1.03, 0.98, 1.01, 0.96].into_iter().enumerate() {
            board.newtons_per_count[i] *= gain;
        }
        board.corners[0].ml_mm += 0.8;
        board.corners[1].ap_mm -= 0.6;
        board.corners[2].ml_mm -= 0.5;
        board.corners[3].ap_mm += 1.0;
        board
    }

    /// What the true board reads of 20 kg at the nine places: bilinear shares, moments in balance.
    fn placements(board: &Calibration) -> Vec<Placement> {
        let read = |(ml_mm, ap_mm): (f64, f64)| {
            let mut placement = Placement { ml_mm, ap_mm, mass_kg: 20.0, counts: [0.0; 4] };
            let weight = placement.weight_newtons();
            let shares = balanced_shares(ml_mm, ap_mm, board);
            placement.counts =
                std::array::from_fn(|i| shares[i] * weight / board.newtons_per_count[i]);
            placement
        };
        nine_places(150.0).into_iter().map(read).collect()
    }

    /// Shares that balance weight and both moments, with a twist that grows towards the corners.
    fn balanced_shares(ml_mm: f64, ap_mm: f64, board: &Calibration) -> [f64; 4] {
        use nalgebra::{Matrix4, Vector4};
        let twist = [1.0, -1.0, -1.0, 1.0];
        let equations = Matrix4::from_fn(|row, column| match row {
            0 => 1.0,
            1 => board.corners[column].ml_mm,
            2 => board.corners[column].ap_mm,
            _ => twist[column],
        });
        let wanted = Vector4::new(1.0, ml_mm, ap_mm, -ml_mm * ap_mm / 60_000.0 * 0.4);
        let shares = equations.lu().solve(&wanted).expect("four corners of a rectangle");
        std::array::from_fn(|i| shares[i])
    }

    fn nominal() -> Calibration {
        Calibration::nominal("0123456789abcdef01234567", 128)
    }

    #[test]
    fn exact_readings_give_back_the_true_centre_everywhere() {
        let board = true_board();
        let vague = Knowledge { corner_mm: 100.0, gain: 10.0, ..Knowledge::PRINTED_JIG };
        let fit = joint_fit(&nominal(), &placements(&board), &vague).unwrap();
        for (i, wanted) in board.corners.iter().enumerate() {
            let error =
                (fit.corners[i].ml_mm - wanted.ml_mm).hypot(fit.corners[i].ap_mm - wanted.ap_mm);
            assert!(error < 0.01, "corner {i}: {error} mm");
            let gain = fit.newtons_per_count[i] / board.newtons_per_count[i];
            assert!((gain - 1.0).abs() < 1e-5, "corner {i}: gain off by {gain}");
        }
        assert!(fit.chi_square < 0.01, "{}", fit.chi_square);
        assert!(
            fit.leftovers.iter().all(|left| left.ml_mm.abs() < 0.01 && left.ap_mm.abs() < 0.01)
        );
    }

    #[test]
    fn a_mass_typed_two_per_cent_wrong_everywhere_leaves_the_centre_alone() {
        let board = true_board();
        let mut heavier = placements(&board);
        for placement in &mut heavier {
            placement.mass_kg *= 1.02;
        }
        let right = joint_fit(&nominal(), &placements(&board), &Knowledge::PRINTED_JIG).unwrap();
        let knowledge = Knowledge { mass: 0.02, ..Knowledge::PRINTED_JIG };
        let wrong = joint_fit(&nominal(), &heavier, &knowledge).unwrap();
        let centre = right.reading(&placements(&board)[1]);
        let with_wrong_mass = wrong.reading(&placements(&board)[1]);
        assert!((centre.1 - with_wrong_mass.1).abs() < 0.03, "{centre:?} {with_wrong_mass:?}");
    }

    #[track_caller]
    fn check_refused(change: impl Fn(&mut Vec<Placement>), wanted: &str) {
        let mut placements = placements(&true_board());
        change(&mut placements);
        let error = joint_fit(&nominal(), &placements, &Knowledge::PRINTED_JIG).unwrap_err();
        assert!(error.to_string().contains(wanted), "{error}");
    }

    #[test]
    fn a_mass_beside_its_mark_is_named() {
        check_refused(|placements| placements[4].ml_mm += 5.0, "placement 5 does not agree");
    }

    #[test]
    fn another_mass_than_typed_at_one_place_is_named() {
        check_refused(|placements| placements[2].mass_kg = 10.0, "placement 3 reads 196.");
    }

    #[test]
    fn a_plate_that_touches_the_floor_at_one_corner_is_named() {
        let touching = |placements: &mut Vec<Placement>| placements[3].counts[2] *= 0.97;
        check_refused(touching, "placement 4 reads");
    }

    /// Half of what the rear right corner carries beyond 55 N is taken by a stop.
    #[test]
    fn a_stop_that_touches_under_several_placements_is_named_by_its_corner() {
        let board = true_board();
        let touching = |placements: &mut Vec<Placement>| {
            for placement in placements {
                let newtons = placement.counts[3] * board.newtons_per_count[3];
                let taken = 0.5 * (newtons - 55.0).max(0.0);
                placement.counts[3] -= taken / board.newtons_per_count[3];
            }
        };
        check_refused(touching, "near the rear right corner");
    }

    #[test]
    fn placements_that_cannot_support_a_fit_are_refused() {
        check_refused(|placements| placements.truncate(4), "4 placements are too few");
        check_refused(
            |placements| placements.retain(|p| p.ml_mm <= 0.0 || p.ap_mm <= 0.0),
            "towards the front right corner",
        );
        check_refused(|placements| placements[0].counts[0] = f64::NAN, "do not determine");
    }
}
