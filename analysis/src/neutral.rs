//! Where the weight stands against the session's reference.

use crate::cop::Cop;
use crate::keyed::keyed_enum;
use crate::measures::Measures;
use crate::not_available::NotAvailable;
use crate::readiness::NeutralOffset;

keyed_enum! {
    /// Which way a band pulls, as the standing person sees it.
    pub enum Pull ("pull") {
        /// To the person's left.
        Left = "left",
        /// To the person's right.
        Right = "right",
        /// Forward.
        Forward = "forward",
        /// Backward.
        Backward = "backward",
    }
}

impl Pull {
    /// How far `shift` goes the way of the pull, in its unit.
    const fn along(self, shift: Cop) -> f64 {
        match self {
            Self::Left => -shift.ml_mm,
            Self::Right => shift.ml_mm,
            Self::Forward => shift.ap_mm,
            Self::Backward => -shift.ap_mm,
        }
    }
}

/// How long sway takes to bring news of where the weight stands, in seconds: positions closer
/// together than this say the same. Chosen on open recordings (Santos & Duarte 2016), where two
/// references out of one stand then differ by 0.98 of what is told; 5 s would tell 1.4 times too
/// little.
const NEWS_S: f64 = 10.0;

/// Where the body centre stood over a trial, on the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanPosition {
    /// The mean position.
    pub mean: Cop,
    /// Standard uncertainty of the mean along each axis, in millimetres: the trial is a part of a
    /// longer stand that sways about somewhere.
    pub uncertainty: Cop,
}

impl MeanPosition {
    /// The mean position of the body centre in a measured trial.
    ///
    /// Its uncertainty is the standard deviation of the body centre over the root of the number of
    /// 10 s stretches; a record shorter than one counts as one.
    ///
    /// # Errors
    /// [`NotAvailable`] where the body centre is.
    pub fn of(measures: &Measures) -> Result<Self, NotAvailable> {
        let body = measures.body?;
        let n_stretches = (measures.duration_s / NEWS_S).max(1.0);
        let of_mean = |rms_mm: f64| rms_mm / n_stretches.sqrt();
        Ok(Self {
            mean: body.mean,
            uncertainty: Cop::new(of_mean(body.rms_ml_mm), of_mean(body.rms_ap_mm)),
        })
    }

    /// Where the body centre stood against `reference`, positive the way of the pull.
    ///
    /// `reference`: of the same session at the same condition, band included, feet not moved since.
    pub fn offset_from(&self, reference: &Self, pull: Pull) -> NeutralOffset {
        let (here, there) = (self.mean, reference.mean);
        let shift = Cop::new(here.ml_mm - there.ml_mm, here.ap_mm - there.ap_mm);
        NeutralOffset {
            toward_pull_mm: pull.along(shift),
            reference_uncertainty_mm: pull.along(reference.uncertainty).abs(),
        }
    }

    /// Whether a body centre whose mean over the last seconds is `mean` has left this reference: it
    /// is further away than `tolerance_mm` and the reference's own uncertainty, whichever way.
    ///
    /// `tolerance_mm`: what the plan tolerates of the neutral offset, in millimetres. The way of a
    /// band's pull does not count: who is pulled forward can lose the position to the side.
    pub fn is_left(&self, mean: Cop, tolerance_mm: f64) -> bool {
        let apart_mm = (mean.ml_mm - self.mean.ml_mm).hypot(mean.ap_mm - self.mean.ap_mm);
        let uncertainty_mm = self.uncertainty.ml_mm.hypot(self.uncertainty.ap_mm);
        tolerance_mm + uncertainty_mm < apart_mm
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(pull: Pull, toward_pull_mm: f64, uncertainty_mm: f64) {
        let at = |ml_mm, ap_mm| MeanPosition {
            mean: Cop::new(ml_mm, ap_mm),
            uncertainty: Cop::new(1.0, 2.0),
        };
        let offset = at(7.0, -3.0).offset_from(&at(4.0, 2.0), pull);
        let wanted = NeutralOffset { toward_pull_mm, reference_uncertainty_mm: uncertainty_mm };
        assert_eq!(offset, wanted, "{pull}");
    }

    /// Moved 3 mm to the right and 5 mm back; x is to the right and y forward (see [`Cop`]).
    #[test]
    fn an_offset_is_positive_the_way_of_the_pull() {
        check(Pull::Right, 3.0, 1.0);
        check(Pull::Left, -3.0, 1.0);
        check(Pull::Forward, -5.0, 2.0);
        check(Pull::Backward, 5.0, 2.0);
    }

    /// Uncertainty 3-4-5: 5 mm; with 10 mm of tolerance the position is lost beyond 15 mm, on a
    /// triangle of 9 and 12 mm.
    #[test]
    fn a_position_is_lost_beyond_the_tolerance_and_the_uncertainty_whichever_way() {
        let reference =
            MeanPosition { mean: Cop::new(10.0, -20.0), uncertainty: Cop::new(3.0, 4.0) };
        for (ml, ap) in [(9.0, 12.0), (-9.0, 12.0), (9.0, -12.0), (-12.0, -9.0)] {
            let at = |share: f64| Cop::new(10.0 + share * ml, -20.0 + share * ap);
            assert!(!reference.is_left(at(0.999), 10.0), "{ml} {ap}");
            assert!(reference.is_left(at(1.001), 10.0), "{ml} {ap}");
        }
    }
}
