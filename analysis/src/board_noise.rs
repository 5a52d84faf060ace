//! How much of a path is the board's own noise.

use thiserror::Error;

use crate::displacement::Displacement;

/// Above this share of the path a correction means nothing and the trial is rejected.
pub const LARGEST_NOISE_SHARE: f64 = 0.3;

/// What is left of the correction's own error, as a share of the correction: in simulation the rest
/// after it was up to a third of it in 95 of 100 trials, which is two standard uncertainties.
const RULE_UNCERTAINTY_SHARE: f64 = 1.0 / 6.0;

/// What a board shows under a dead weight, after the standard processing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoiseFloor {
    /// Path length of the dead weight per second, in millimetres per second.
    pub path_rate_mm_per_s: f64,
    /// Standard uncertainty of that rate, from repeated checks, in millimetres per second.
    pub uncertainty_mm_per_s: f64,
    /// Load of the dead weight, in newtons.
    pub load_newtons: f64,
}

/// How much of a trial's path the board's noise explains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoiseShare {
    /// Path length that the noise alone would make at the person's load, in millimetres.
    pub noise_path_mm: f64,
    /// That length over the measured path.
    pub share: f64,
    /// The path without the noise; shown beside the measured one, never instead of it.
    pub corrected: Result<CorrectedPath, TooNoisy>,
}

/// A path length without the board's noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CorrectedPath {
    /// Length in millimetres.
    pub path_length_mm: f64,
    /// Standard uncertainty in millimetres: of the noise floor, and of the rule.
    pub uncertainty_mm: f64,
}

/// The noise is too large a part of the path.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("the board's noise makes {share:.2} of the path, more than {limit}: the trial is rejected")]
pub struct TooNoisy {
    /// The noise's share of the path.
    pub share: f64,
    /// The largest share that is corrected.
    pub limit: f64,
}

/// What cannot be a noise floor or a load.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoiseError {
    /// A load or rate that is not a finite number above zero, or an uncertainty below zero.
    #[error("the noise floor {floor:?} or the load {load_newtons} N is not usable")]
    Unusable {
        /// The noise floor offered.
        floor: NoiseFloor,
        /// The load offered, in newtons.
        load_newtons: f64,
    },
    /// A path of no length.
    #[error("there is no path to compare the noise with")]
    NoPath,
}

/// How much of a trial's path the board's noise explains.
///
/// Noise of the centre of pressure is that of the forces over the load, so that it shrinks as the
/// person is heavier than the dead weight. The parts of a path add in quadrature: without the noise
/// the length is sqrt(L^2 - Ln^2). Both must come from the standard processing.
///
/// # Errors
/// [`NoiseError`] for a floor, a load or a path that cannot be used.
///
/// # Source
/// The rule and its error are from a simulation of boards on 200 recordings of the open set of
/// Santos & Duarte 2016, `PeerJ` 4:e2648; taking the noise out step by step was worse.
pub fn noise_share(
    displacement: &Displacement,
    duration_s: f64,
    floor: &NoiseFloor,
    load_newtons: f64,
) -> Result<NoiseShare, NoiseError> {
    let above_zero = |value: f64| value.is_finite() && 0.0 < value;
    let usable = above_zero(load_newtons)
        && above_zero(floor.load_newtons)
        && above_zero(floor.path_rate_mm_per_s)
        && floor.uncertainty_mm_per_s.is_finite()
        && 0.0 <= floor.uncertainty_mm_per_s;
    if !usable {
        return Err(NoiseError::Unusable { floor: *floor, load_newtons });
    }
    let path = displacement.path_length_mm;
    if !above_zero(path) || !above_zero(duration_s) {
        return Err(NoiseError::NoPath);
    }
    let seconds_at_load = duration_s * floor.load_newtons / load_newtons;
    let noise_path_mm = floor.path_rate_mm_per_s * seconds_at_load;
    let share = noise_path_mm / path;
    let corrected = if share <= LARGEST_NOISE_SHARE {
        let corrected = path * (1.0 - share * share).sqrt();
        // d corrected / d noise is noise / corrected.
        let of_floor = noise_path_mm / corrected * floor.uncertainty_mm_per_s * seconds_at_load;
        let of_rule = RULE_UNCERTAINTY_SHARE * (path - corrected);
        Ok(CorrectedPath { path_length_mm: corrected, uncertainty_mm: of_floor.hypot(of_rule) })
    } else {
        Err(TooNoisy { share, limit: LARGEST_NOISE_SHARE })
    };
    Ok(NoiseShare { noise_path_mm, share, corrected })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::analyser::measure;
    use crate::cop::{Cop, Plane};
    use crate::sample_rate::SampleRate;
    use crate::settings::Settings;
    use crate::trace::Trace;

    const FLOOR: NoiseFloor =
        NoiseFloor { path_rate_mm_per_s: 3.0, uncertainty_mm_per_s: 0.3, load_newtons: 200.0 };

    /// 20 s at 10 mm/s: a path of 200 mm.
    fn walk() -> Displacement {
        let point = |i: i32| Cop::new(0.1 * f64::from(i), 0.0);
        let points = (0..=2000).map(point).collect();
        let trace = Trace::new(SampleRate::STANDARD, Plane::Plate, points).unwrap();
        measure(&trace, &Settings::as_recorded(None)).displacement.unwrap()
    }

    #[test]
    fn the_parts_of_a_path_add_in_quadrature() {
        // At 600 N a third of 3 mm/s is left: 20 mm of 200 mm.
        let got = noise_share(&walk(), 20.0, &FLOOR, 600.0).unwrap();
        assert!((got.noise_path_mm - 20.0).abs() < 1e-9);
        assert!((got.share - 0.1).abs() < 1e-9);
        let corrected = got.corrected.unwrap();
        assert!((corrected.path_length_mm - 39_600.0_f64.sqrt()).abs() < 1e-9);
        // 20/199 of 2 mm from the floor, a sixth of 1.0025 mm from the rule.
        let wanted = (20.0 / 198.997_5 * 2.0_f64).hypot(1.002_5 / 6.0);
        assert!((corrected.uncertainty_mm - wanted).abs() < 1e-4, "{corrected:?}");
    }

    #[test]
    fn too_much_noise_is_not_corrected() {
        let got = noise_share(&walk(), 20.0, &FLOOR, 150.0).unwrap();
        assert_eq!(
            got.corrected.unwrap_err().to_string(),
            "the board's noise makes 0.40 of the path, more than 0.3: the trial is rejected"
        );
    }

    #[test]
    fn numbers_that_mean_nothing_are_refused() {
        for load_newtons in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(noise_share(&walk(), 20.0, &FLOOR, load_newtons).is_err());
        }
        let floor = NoiseFloor { path_rate_mm_per_s: f64::NAN, ..FLOOR };
        assert!(noise_share(&walk(), 20.0, &floor, 600.0).is_err());
        assert_eq!(noise_share(&walk(), 0.0, &FLOOR, 600.0), Err(NoiseError::NoPath));
    }
}
