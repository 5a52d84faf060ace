//! Counts to newtons, and newtons to the centre of pressure.

use analysis::Cop;

use crate::calibration::{Calibration, CornerPosition};
use crate::zero::{Zero, ZeroLine};

/// Below this total force the centre of pressure is undefined, in newtons.
///
/// Our own choice: the board's noise moves the centre of pressure by about 0.4 m x noise / load, so
/// 0.05 N a cell is 0.4 mm here and grows without bound below. A 20 kg dead weight is far above.
pub const LEAST_LOAD_NEWTONS: f64 = 50.0;

/// Vertical force on each cell, in newtons, positive downwards, in the order of the channels.
///
/// Negative values are real (noise around zero, a tipped plate) and are kept.
pub fn forces_from_counts(counts: [i32; 4], zero: &Zero, calibration: &Calibration) -> [f64; 4] {
    std::array::from_fn(|corner| {
        (f64::from(counts[corner]) - zero.counts[corner]) * calibration.newtons_per_count[corner]
    })
}

/// Forces and centre of pressure of every sample of a record.
pub(crate) fn computed(
    time_us: &[u64],
    counts: &[[i32; 4]],
    zero: &ZeroLine,
    calibration: &Calibration,
) -> (Vec<[f64; 4]>, Vec<Option<Cop>>) {
    time_us
        .iter()
        .zip(counts)
        .map(|(&time_us, &counts)| {
            let forces = forces_from_counts(counts, &zero.at(time_us), calibration);
            (forces, cop_from_forces(forces, &calibration.corners))
        })
        .unzip()
}

/// Centre of pressure in the plate's plane, or `None` where it is undefined: a total force below
/// [`LEAST_LOAD_NEWTONS`]. Never interpolated.
///
/// `forces_newtons` and `corners` are in the same order.
///
/// # Source
/// Balance of moments about the two axes of the plate: CoP = sum(f p) / sum(f).
pub fn cop_from_forces(forces_newtons: [f64; 4], corners: &[CornerPosition; 4]) -> Option<Cop> {
    let total_newtons: f64 = forces_newtons.iter().sum();
    if total_newtons < LEAST_LOAD_NEWTONS || !total_newtons.is_finite() {
        return None;
    }
    let moment = |arm_mm: fn(&CornerPosition) -> f64| -> f64 {
        forces_newtons.iter().zip(corners).map(|(force, corner)| force * arm_mm(corner)).sum()
    };
    Some(Cop {
        ml_mm: moment(|corner| corner.ml_mm) / total_newtons,
        ap_mm: moment(|corner| corner.ap_mm) / total_newtons,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::calibration::tests::square_board;

    const NO_OFFSET: Zero = Zero { counts: [0.0; 4], board_time_us: 0 };

    fn check(forces_newtons: [f64; 4], wanted: Option<(f64, f64)>) {
        let cop = cop_from_forces(forces_newtons, &square_board().corners);
        let wanted = wanted.map(|(ml_mm, ap_mm)| Cop { ml_mm, ap_mm });
        assert_eq!(cop, wanted, "{forces_newtons:?}");
    }

    #[test]
    fn levers_by_hand() {
        // Front left, front right, rear left, rear right; arms of 200 mm.
        check([150.0, 150.0, 150.0, 150.0], Some((0.0, 0.0)));
        check([0.0, 600.0, 0.0, 0.0], Some((200.0, 200.0)));
        check([100.0, 200.0, 100.0, 200.0], Some((400.0 * 200.0 / 600.0 - 200.0 / 3.0, 0.0)));
        check([300.0, 300.0, 100.0, 100.0], Some((0.0, 100.0)));
    }

    #[test]
    fn too_little_load_has_no_centre() {
        check([0.0; 4], None);
        check([12.4; 4], None);
        check([12.5; 4], Some((0.0, 0.0)));
        check([-500.0, -500.0, 0.0, 0.0], None);
        check([f64::NAN; 4], None);
    }

    #[test]
    fn the_zero_comes_off_before_the_gain() {
        let zero = Zero { counts: [1000.0, -500.0, 0.5, 8_388_607.0], board_time_us: 0 };
        let forces = forces_from_counts([3000, -500, 0, -8_388_608], &zero, &square_board());
        let wanted = [2.0, 0.0, -0.0005, -16_777.215];
        for (force, wanted) in forces.iter().zip(wanted) {
            assert!((force - wanted).abs() < 1e-9, "{forces:?}");
        }
    }

    proptest! {
        #[test]
        fn a_heavier_person_at_the_same_place_has_the_same_centre(
            shares in prop::array::uniform4(50.0_f64..500.0),
            factor in 1.0_f64..3.0,
        ) {
            let corners = square_board().corners;
            let light = cop_from_forces(shares, &corners).unwrap();
            let heavy = cop_from_forces(shares.map(|share| share * factor), &corners).unwrap();
            prop_assert!((light.ml_mm - heavy.ml_mm).abs() < 1e-9);
            prop_assert!((light.ap_mm - heavy.ap_mm).abs() < 1e-9);
            prop_assert!(light.ml_mm.abs() <= 200.0 && light.ap_mm.abs() <= 200.0);
        }

        #[test]
        fn no_counts_give_a_centre_that_is_not_a_number(
            counts in prop::array::uniform4(-8_388_608_i32..=8_388_607),
        ) {
            let calibration = square_board();
            let forces = forces_from_counts(counts, &NO_OFFSET, &calibration);
            if let Some(cop) = cop_from_forces(forces, &calibration.corners) {
                prop_assert!(cop.ml_mm.is_finite() && cop.ap_mm.is_finite());
            }
        }
    }
}
