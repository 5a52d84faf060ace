//! What the integration runs over, and the likelihood at each node.

use super::prior::SpreadPrior;

/// Logarithm of the density, against its peak, at which the integration ends.
const TAIL: f64 = 21.0;

/// Density of the logarithm of a standard deviation under the belief, up to a constant.
pub(crate) fn log_prior(prior: SpreadPrior, log_sd: f64) -> f64 {
    let ratio = prior.scale.ln() - log_sd;
    prior.degrees_of_freedom * (ratio - 0.5 * (2.0 * ratio).exp())
}

/// Evenly spaced logarithms of a standard deviation.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nodes {
    first: f64,
    step: f64,
    pub(crate) n: usize,
}

impl Nodes {
    /// Nodes that hold all but a negligible part of the belief about a spread.
    ///
    /// `n_deviations`: how many independent deviations the data can hold at most; `scatter`: the
    /// largest sum of squares they can be read as. The lower end is where the belief lies if the
    /// scatter is nil, the upper end where it lies if all scatter belongs to this spread.
    pub(crate) fn for_spread(
        prior: SpreadPrior,
        n_deviations: f64,
        scatter: f64,
        step: f64,
    ) -> Self {
        let weight = prior.degrees_of_freedom + n_deviations;
        let believed = prior.degrees_of_freedom * prior.scale.powi(2);
        let lowest = 0.5 * (believed / weight).ln();
        let highest = 0.5 * ((believed + scatter) / prior.degrees_of_freedom).ln();
        // The density falls as exp(-weight e^(-2x) / 2) below its peak and exp(-weight x) above.
        let first = lowest - 0.5 * (2.0 * (TAIL + weight) / weight).ln();
        let last = highest + TAIL / weight + 0.5;
        // Near the peak the logarithm has a standard deviation of about 1 / sqrt(2 weight); four
        // fifths of that leave an error under 1e-7, which a test holds against half the step.
        let step = 0.8 * step / (2.0 * (weight + 1.0)).sqrt();
        let n = ((last - first) / step).ceil() + 1.0;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 1 and 1e6: the ends and the step are finite and in order"
        )]
        let n = n.clamp(1.0, 1e6) as usize;
        Self { first, step, n }
    }

    pub(crate) fn iter(self) -> impl Iterator<Item = f64> {
        (0..self.n).map(move |k| self.first + self.step * k as f64)
    }
}

/// The sessions as far as the likelihood depends on them.
pub(crate) struct Summary {
    /// Sessions with the same number of trials, together: their means all have the same spread.
    groups: Vec<Group>,
    pub(crate) n_sessions: f64,
    pub(crate) n_trials: f64,
    /// Mean of all trials; the groups' sums are taken about it.
    centre: f64,
    /// Sum of squares of trials about their session's mean.
    pub(crate) within: f64,
    /// Sum of squares of session means about their own mean.
    pub(crate) day_scatter: f64,
    /// Sum of squares of trials about the mean of all.
    pub(crate) all_scatter: f64,
}

/// The sessions of `n_trials` trials each.
#[derive(Debug, Clone, Copy)]
struct Group {
    n_trials: f64,
    n_sessions: f64,
    /// Sum of the session means about the centre, and of their squares.
    sum: f64,
    sum_of_squares: f64,
}

/// Level of the person given both spreads, and how likely the session means are under them.
pub(crate) struct Level {
    pub(crate) mean: f64,
    pub(crate) variance: f64,
    pub(crate) log_likelihood: f64,
}

impl Summary {
    pub(crate) fn of(sessions: &[Vec<f64>]) -> Option<Self> {
        if sessions.iter().flatten().any(|log| !log.is_finite() || log.abs() > 100.0) {
            return None;
        }
        let used: Vec<&Vec<f64>> = sessions.iter().filter(|logs| !logs.is_empty()).collect();
        let means: Vec<(f64, f64)> = used
            .iter()
            .map(|logs| (logs.iter().sum::<f64>() / logs.len() as f64, logs.len() as f64))
            .collect();
        if means.is_empty() {
            return None;
        }
        let squares = |values: &mut dyn Iterator<Item = f64>| values.map(|v| v * v).sum::<f64>();
        let within = squares(
            &mut used
                .iter()
                .zip(&means)
                .flat_map(|(logs, (mean, _))| logs.iter().map(move |y| y - mean)),
        );
        let n_trials: f64 = means.iter().map(|(_, n)| n).sum();
        let of_means = means.iter().map(|(mean, _)| mean).sum::<f64>() / means.len() as f64;
        let centre = means.iter().map(|(mean, n)| mean * n).sum::<f64>() / n_trials;
        let day_scatter = squares(&mut means.iter().map(|(mean, _)| mean - of_means));
        let all_scatter =
            squares(&mut used.iter().flat_map(|logs| logs.iter()).map(|y| y - centre));
        let n_sessions = means.len() as f64;
        let groups = grouped(&means, centre);
        Some(Self { groups, n_sessions, n_trials, centre, within, day_scatter, all_scatter })
    }

    pub(crate) fn level(&self, trial_variance: f64, day_variance: f64) -> Level {
        let mut precision = 0.0;
        let mut weighted = 0.0;
        let mut squares = 0.0;
        let mut log_variances = 0.0;
        for group in &self.groups {
            let variance = day_variance + trial_variance / group.n_trials;
            precision += group.n_sessions / variance;
            weighted += group.sum / variance;
            squares += group.sum_of_squares / variance;
            log_variances += group.n_sessions * variance.ln();
        }
        let misfit = squares - weighted * weighted / precision;
        Level {
            mean: self.centre + weighted / precision,
            variance: 1.0 / precision,
            log_likelihood: -0.5 * (log_variances + precision.ln() + misfit),
        }
    }
}

fn grouped(means: &[(f64, f64)], centre: f64) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for &(mean, n_trials) in means {
        let deviation = mean - centre;
        let square = deviation * deviation;
        if let Some(group) =
            groups.iter_mut().find(|group| group.n_trials.total_cmp(&n_trials).is_eq())
        {
            group.n_sessions += 1.0;
            group.sum += deviation;
            group.sum_of_squares += square;
        } else {
            groups.push(Group {
                n_trials,
                n_sessions: 1.0,
                sum: deviation,
                sum_of_squares: square,
            });
        }
    }
    groups
}
