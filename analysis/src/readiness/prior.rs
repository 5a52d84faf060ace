//! What is believed about spread before a person's own trials speak.

use super::course::TrialLength;
use crate::condition::{Condition, Stance, Surface};

/// Belief about a variance: scaled inverse chi-square.
///
/// `scale` is a standard deviation of logarithms; the weight of the belief is that of
/// `degrees_of_freedom` observed deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpreadPrior {
    /// Standard deviation of the logarithm; above 0.
    pub scale: f64,
    /// Weight in observations; above 0.
    pub degrees_of_freedom: f64,
}

/// Beliefs about the spread from trial to trial and from day to day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModelPriors {
    /// Between trials of one session.
    pub trial: SpreadPrior,
    /// Between the true levels of sessions.
    pub day: SpreadPrior,
}

impl ModelPriors {
    /// For the logarithm of the wobble median.
    ///
    /// Between trials: from the repeats of open recordings (foam 60 s 0.11, 35 s 0.155; firm 0.18
    /// and 0.22; 10 degrees of freedom). Surfaces and stances without such repeats: 0.25 with 3,
    /// this project's own choice. Between days: 0.15 with 4, this project's own choice.
    ///
    /// # Source
    /// Santos & Duarte 2016, `PeerJ` 4:e2648: repeats of quiet standing on firm ground and foam.
    pub fn wobble(condition: Condition, length: TrialLength) -> Self {
        let (scale, degrees_of_freedom) = match (measured_surface(condition), length) {
            (Some(Surface::Foam), TrialLength::Clinic) => (0.11, 10.0),
            (Some(Surface::Foam), TrialLength::Home) => (0.155, 10.0),
            (Some(_), TrialLength::Clinic) => (0.18, 10.0),
            (Some(_), TrialLength::Home) => (0.22, 10.0),
            (None, _) => (0.25, 3.0),
        };
        Self {
            trial: SpreadPrior { scale, degrees_of_freedom },
            day: SpreadPrior { scale: 0.15, degrees_of_freedom: 4.0 },
        }
    }

    /// For the logarithm of mean velocity.
    ///
    /// Between trials: the standard error of measurement in the open table, 15 % on firm ground and
    /// 9.5 % on foam for 60 s; nobody published it for 35 s, so the wobble's ratio of the two
    /// lengths is used there, and 0.20 with 3 elsewhere (both this project's own choice). Between
    /// days: 0.12 with 4.
    ///
    /// # Source
    /// Santos & Duarte 2016, `PeerJ` 4:e2648 (error terms computed from its table).
    pub fn velocity(condition: Condition, length: TrialLength) -> Self {
        let (scale, degrees_of_freedom) = match (measured_surface(condition), length) {
            (Some(Surface::Foam), TrialLength::Clinic) => (0.095, 10.0),
            (Some(Surface::Foam), TrialLength::Home) => (0.134, 10.0),
            (Some(_), TrialLength::Clinic) => (0.15, 10.0),
            (Some(_), TrialLength::Home) => (0.183, 10.0),
            (None, _) => (0.20, 3.0),
        };
        Self {
            trial: SpreadPrior { scale, degrees_of_freedom },
            day: SpreadPrior { scale: 0.12, degrees_of_freedom: 4.0 },
        }
    }
}

/// The surface, if open recordings with repeats exist for a stance of this kind.
fn measured_surface(condition: Condition) -> Option<Surface> {
    let two_feet_side_by_side =
        matches!(condition.stance, Stance::Wide | Stance::HipWidth | Stance::Together);
    let known = matches!(condition.surface, Surface::Firm | Surface::Foam);
    (two_feet_side_by_side && known).then_some(condition.surface)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::condition::Vision;

    #[test]
    fn conditions_without_open_repeats_have_a_wide_and_weak_belief() {
        let prior = |surface, stance| {
            let condition = Condition::unaided(surface, stance, Vision::Open);
            ModelPriors::wobble(condition, TrialLength::Home).trial
        };
        let weak = SpreadPrior { scale: 0.25, degrees_of_freedom: 3.0 };
        for (surface, stance) in [
            (Surface::Towels, Stance::Wide),
            (Surface::Cushions, Stance::HipWidth),
            (Surface::Foam, Stance::Tandem),
            (Surface::Firm, Stance::SemiTandem),
            (Surface::Firm, Stance::OneLegLeft),
        ] {
            assert_eq!(prior(surface, stance), weak, "{surface} {stance}");
        }
        let foam = SpreadPrior { scale: 0.155, degrees_of_freedom: 10.0 };
        assert_eq!(prior(Surface::Foam, Stance::Together), foam);
    }
}
