//! Where the weight lies against the reference, judged over sessions.

use statrs::distribution::{ContinuousCDF as _, StudentsT};

use super::day::Day;

/// Offset toward the band's pull over the scored sessions.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct OffsetJudgement {
    /// Mean of the sessions' means, millimetres, positive toward the pull.
    pub(crate) mean_mm: f64,
    /// The plan's tolerance plus the references' own uncertainty, millimetres.
    pub(crate) tolerance_mm: f64,
    /// Probability that the offset lies beyond the tolerance.
    pub(crate) beyond: f64,
    /// Days with a reference.
    pub(crate) days: Vec<i32>,
}

/// One-sided judgement with a t-interval over the days that have a reference; the uncertainty of
/// the references (root mean square over days) widens the tolerance.
///
/// `None` with fewer than two such days: one session shows no spread.
pub(crate) fn judge<'a>(
    days: impl Iterator<Item = &'a Day>,
    tolerance_mm: f64,
) -> Option<OffsetJudgement> {
    let mut means = Vec::new();
    let mut squares = Vec::new();
    let mut with_reference = Vec::new();
    for day in days {
        let sound: Vec<_> = day
            .offsets
            .iter()
            .filter(|offset| {
                offset.toward_pull_mm.abs() <= 1e3
                    && (0.0..=1e3).contains(&offset.reference_uncertainty_mm)
            })
            .collect();
        if sound.is_empty() {
            continue;
        }
        let n = sound.len() as f64;
        means.push(sound.iter().map(|offset| offset.toward_pull_mm).sum::<f64>() / n);
        squares.push(
            sound.iter().map(|offset| offset.reference_uncertainty_mm.powi(2)).sum::<f64>() / n,
        );
        with_reference.push(day.day);
    }
    if means.len() < 2 {
        return None;
    }
    let n = means.len() as f64;
    let mean_mm = means.iter().sum::<f64>() / n;
    let uncertainty_mm = (squares.iter().sum::<f64>() / n).sqrt();
    let tolerance_mm = tolerance_mm + uncertainty_mm;
    let variance = means.iter().map(|mean| (mean - mean_mm).powi(2)).sum::<f64>() / (n - 1.0);
    let error_mm = (variance / n).sqrt();
    let excess_mm = mean_mm - tolerance_mm;
    let beyond = if 0.0 < error_mm {
        StudentsT::new(0.0, 1.0, n - 1.0).ok()?.cdf(excess_mm / error_mm)
    } else if 0.0 < excess_mm {
        1.0
    } else {
        0.0
    };
    Some(OffsetJudgement { mean_mm, tolerance_mm, beyond, days: with_reference })
}
