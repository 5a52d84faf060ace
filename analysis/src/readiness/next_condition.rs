//! What wobble to expect at the next condition.

use super::course::{Course, Moment};
use super::evidence::{Evidence, Gather, JudgedSetup};
use super::posterior::Posterior;
use super::situation::posterior_of;
use super::thresholds::Thresholds;
use crate::condition::{Band, Condition, Stance, Support, Surface, Vision};

/// Where the expectation comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RatioSource {
    /// This person's own trials at the next condition, so many, on so many days.
    OwnTrials {
        /// Days with such trials.
        n_days: usize,
        /// Trials.
        n_trials: usize,
    },
    /// The ratio of eyes closed to eyes open in open recordings of 17 people without back pain.
    OpenRecordings,
}

/// Wobble expected at the next condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextWobble {
    /// Median of the expectation, millimetres.
    pub median_mm: f64,
    /// Lower end of the 95 % interval, millimetres.
    pub lower_mm: f64,
    /// Upper end of the 95 % interval, millimetres.
    pub upper_mm: f64,
    /// Probability that the person's level there lies at or under the wobble window's upper end.
    pub in_reach_probability: f64,
    /// Where the expectation comes from.
    pub source: RatioSource,
}

/// The belief about the next condition's level: a posterior and an independent normal shift.
pub(crate) struct Expectation {
    level: Posterior,
    shift: f64,
    shift_sd: f64,
    source: RatioSource,
    pub(crate) in_reach_probability: f64,
}

impl Expectation {
    fn new(
        level: Posterior,
        (shift, shift_sd): (f64, f64),
        limits: &Thresholds,
        source: RatioSource,
    ) -> Self {
        let edge = limits.wobble_upper_mm.ln();
        let in_reach_probability = level.probability_shifted_at_most(edge, shift, shift_sd);
        Self { level, shift, shift_sd, source, in_reach_probability }
    }

    pub(crate) fn median_mm(&self) -> f64 {
        self.quantile_mm(0.5)
    }

    pub(crate) fn wobble(&self) -> NextWobble {
        NextWobble {
            median_mm: self.median_mm(),
            lower_mm: self.quantile_mm(0.025),
            upper_mm: self.quantile_mm(0.975),
            in_reach_probability: self.in_reach_probability,
            source: self.source,
        }
    }

    fn quantile_mm(&self, probability: f64) -> f64 {
        self.level.shifted_quantile(probability, self.shift, self.shift_sd).exp()
    }
}

/// Ratio of eyes closed to eyes open, and the spread of its logarithm between people.
///
/// # Source
/// Wobble medians of 17 people of Santos & Duarte 2016, `PeerJ` 4:e2648, standard processing:
/// foam 1.17, 0.13; firm 1.09, 0.15. The spread is doubled here, this project's own choice, because
/// those people have no back pain.
const CLOSED_OVER_OPEN: [(Surface, f64, f64); 2] =
    [(Surface::Foam, 1.17, 0.13), (Surface::Firm, 1.09, 0.15)];

/// The expectation, or `None` if nothing is known of the next condition.
pub(crate) fn expect(
    course: &Course,
    limits: &Thresholds,
    until: Moment,
    current: (Condition, &Evidence, Option<&Posterior>),
    next: Condition,
) -> Option<Expectation> {
    let (condition, evidence, posterior) = current;
    let measured = evidence.measured.as_ref()?;
    let own = Evidence::gather(
        course,
        limits,
        Gather {
            condition: next,
            until,
            since_us: None,
            setup: JudgedSetup::SameBoardAndLength(measured),
            windowed: true,
            with_learning: true,
        },
    );
    if let Some(level) = posterior_of(&own, next) {
        let n_days = own.scored().count();
        let source = RatioSource::OwnTrials { n_days, n_trials: own.n_trials() };
        return Some(Expectation::new(level, (0.0, 0.0), limits, source));
    }
    let (ratio, spread) = open_recordings(condition, next)?;
    let shift = (ratio.ln(), 2.0 * spread);
    Some(Expectation::new(posterior?.clone(), shift, limits, RatioSource::OpenRecordings))
}

/// The ratio of the open recordings, where only the eyes close, on two feet apart, unaided.
fn open_recordings(from: Condition, to: Condition) -> Option<(f64, f64)> {
    let only_eyes_close =
        from.vision == Vision::Open && to == Condition { vision: Vision::Closed, ..from };
    let as_recorded = matches!(from.stance, Stance::Wide | Stance::HipWidth)
        && from.support == Support::None
        && from.band == Band::None;
    if !(only_eyes_close && as_recorded) {
        return None;
    }
    let row = CLOSED_OVER_OPEN.iter().find(|(surface, ..)| *surface == from.surface)?;
    Some((row.1, row.2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_closing_the_eyes_in_an_ordinary_stance_is_known() {
        let open = |surface, stance| Condition::unaided(surface, stance, Vision::Open);
        let shut = |condition: Condition| Condition { vision: Vision::Closed, ..condition };
        let foam = open(Surface::Foam, Stance::HipWidth);
        assert_eq!(open_recordings(foam, shut(foam)), Some((1.17, 0.13)));
        let firm = open(Surface::Firm, Stance::Wide);
        assert_eq!(open_recordings(firm, shut(firm)), Some((1.09, 0.15)));
        let tandem = open(Surface::Foam, Stance::Tandem);
        assert_eq!(open_recordings(tandem, shut(tandem)), None);
        assert_eq!(open_recordings(foam, open(Surface::Foam, Stance::Together)), None);
        assert_eq!(open_recordings(shut(foam), foam), None);
        let banded = Condition { band: Band::UpperTrunk, ..foam };
        assert_eq!(open_recordings(banded, shut(banded)), None);
    }
}
