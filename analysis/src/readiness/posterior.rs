//! Where a person's level lies: the posterior by direct numerical integration.
//!
//! Model: trial i of session j has logarithm y ~ N(s, sigma^2), the session's level
//! s ~ N(theta, tau^2). sigma^2 and tau^2 have scaled inverse chi-square beliefs, theta is flat.
//! Given sigma and tau, theta is normal with known mean and variance; so only those two are
//! integrated, in their logarithms, by the trapezium rule, which converges faster than any power
//! of the step for a smooth integrand that dies away at both ends (Trefethen & Weideman 2014, SIAM
//! Review 56:385). What remains is a finite mixture of normals.

use std::f64::consts::{PI, SQRT_2};

use statrs::function::erf::{erfc, erfc_inv};

use super::integration::{Nodes, Summary, log_prior};
use super::prior::{ModelPriors, SpreadPrior};

/// What the board adds to the spread of a person.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BoardSpread {
    /// Spread of the logarithm that the board's noise adds to each trial, independently.
    pub noise_log_sd: f64,
    /// Standard uncertainty of the scale, a fraction. All trials share it, so it does not average
    /// away and is added to the spread of the level itself.
    pub calibration_log_sd: f64,
}

/// The belief about a person's level after their trials, on the logarithmic scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    components: Vec<Component>,
}

/// One node of the integration: normal in theta, given sigma and tau.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Component {
    weight: f64,
    mean: f64,
    variance: f64,
    trial_variance: f64,
    day_variance: f64,
}

/// Nodes below this share of the whole are dropped: together under 1e-9 of the probability.
const NEGLIGIBLE: f64 = 1e-12;

impl Posterior {
    /// The belief after `sessions`, each the logarithms of its trials; empty ones are ignored.
    ///
    /// `None` without any trial, or if a value is not a finite number, or a prior or spread is
    /// not one (scales and degrees of freedom above 0, board spreads at least 0).
    pub fn of(sessions: &[Vec<f64>], priors: ModelPriors, board: BoardSpread) -> Option<Self> {
        Self::with_step(sessions, priors, board, 1.0)
    }

    /// As [`Self::of`], with the steps of the integration multiplied by `step`.
    fn with_step(
        sessions: &[Vec<f64>],
        priors: ModelPriors,
        board: BoardSpread,
        step: f64,
    ) -> Option<Self> {
        let summary = Summary::of(sessions)?;
        let spreads = [board.noise_log_sd, board.calibration_log_sd];
        let board_is_sound = spreads.iter().all(|spread| (0.0..=MOST_SPREAD).contains(spread));
        if !(board_is_sound && is_sound(priors.trial) && is_sound(priors.day)) {
            return None;
        }
        let trial_nodes =
            Nodes::for_spread(priors.trial, summary.n_trials - 1.0, summary.all_scatter, step);
        let day_nodes =
            Nodes::for_spread(priors.day, summary.n_sessions - 1.0, summary.day_scatter, step);
        let mut components = Vec::with_capacity(trial_nodes.n * day_nodes.n);
        let mut log_weights = Vec::with_capacity(trial_nodes.n * day_nodes.n);
        for log_sigma in trial_nodes.iter() {
            let person = (2.0 * log_sigma).exp();
            let trial_variance = person + board.noise_log_sd.powi(2);
            let from_trials = log_prior(priors.trial, log_sigma)
                - 0.5 * (summary.n_trials - summary.n_sessions) * trial_variance.ln()
                - 0.5 * summary.within / trial_variance;
            for log_tau in day_nodes.iter() {
                let day_variance = (2.0 * log_tau).exp();
                let level = summary.level(trial_variance, day_variance);
                log_weights
                    .push(from_trials + log_prior(priors.day, log_tau) + level.log_likelihood);
                components.push(Component {
                    weight: 0.0,
                    mean: level.mean,
                    variance: level.variance + board.calibration_log_sd.powi(2),
                    trial_variance,
                    day_variance,
                });
            }
        }
        Some(Self { components: weighted(components, &log_weights)? })
    }

    /// Probability that the level lies at or below `log_level`.
    pub fn probability_at_most(&self, log_level: f64) -> f64 {
        self.mix(|part| normal_below(log_level - part.mean, part.variance))
    }

    /// Probability that the level plus an independent normal shift lies at or below `log_level`.
    pub fn probability_shifted_at_most(
        &self,
        log_level: f64,
        shift_mean: f64,
        shift_sd: f64,
    ) -> f64 {
        self.mix(|part| {
            normal_below(log_level - shift_mean - part.mean, part.variance + shift_sd * shift_sd)
        })
    }

    /// Probability that a trial of a session yet to come lies at or below `log_level`.
    pub fn probability_of_trial_at_most(&self, log_level: f64) -> f64 {
        self.mix(|part| {
            let variance = part.variance + part.day_variance + part.trial_variance;
            normal_below(log_level - part.mean, variance)
        })
    }

    /// The level that `probability` (above 0, below 1) of the belief lies at or below.
    pub fn quantile(&self, probability: f64) -> f64 {
        self.shifted_quantile(probability, 0.0, 0.0)
    }

    /// As [`Self::quantile`], for the level plus an independent normal shift.
    pub fn shifted_quantile(&self, probability: f64, shift_mean: f64, shift_sd: f64) -> f64 {
        let spread = |part: &Component| (part.variance + shift_sd * shift_sd).sqrt();
        let mut low = f64::INFINITY;
        let mut high = f64::NEG_INFINITY;
        for part in &self.components {
            low = low.min(part.mean + shift_mean - 9.0 * spread(part));
            high = high.max(part.mean + shift_mean + 9.0 * spread(part));
        }
        // Newton's steps from the quantile of a normal of the same mean and variance, kept inside
        // a bracket that halves whenever one leaves it.
        let mean = self.mix(|part| part.mean);
        let variance = self.mix(|part| spread(part).powi(2) + (part.mean - mean).powi(2));
        let deviate = -SQRT_2 * erfc_inv(2.0 * probability);
        let mut level = (mean + shift_mean + deviate * variance.sqrt()).clamp(low, high);
        for _ in 0..60 {
            let mut below = 0.0;
            let mut density = 0.0;
            for part in &self.components {
                let sd = spread(part);
                let deviate = (level - shift_mean - part.mean) / sd;
                below += part.weight * 0.5 * erfc(-deviate / SQRT_2);
                density +=
                    part.weight * (-0.5 * deviate * deviate).exp() / (sd * SQRT_2 * PI.sqrt());
            }
            if below < probability {
                low = level;
            } else {
                high = level;
            }
            let newton = level + (probability - below) / density;
            let next =
                if (low..=high).contains(&newton) { newton } else { f64::midpoint(low, high) };
            let moved = (next - level).abs();
            level = next;
            if moved < 1e-13 {
                break;
            }
        }
        level
    }

    /// Expected variance of the mean of `n_trials` trials of one new session about the level.
    pub fn session_mean_variance(&self, n_trials: usize) -> f64 {
        self.mix(|part| part.day_variance + part.trial_variance / n_trials.max(1) as f64)
    }

    fn mix(&self, of: impl Fn(&Component) -> f64) -> f64 {
        self.components.iter().map(|part| part.weight * of(part)).sum()
    }
}

/// Largest standard deviation of a logarithm that is taken at its word.
const MOST_SPREAD: f64 = 10.0;

fn is_sound(prior: SpreadPrior) -> bool {
    let scale = 0.0 < prior.scale && prior.scale <= MOST_SPREAD;
    scale && (1.0..=1e6).contains(&prior.degrees_of_freedom)
}

/// Turns logarithms of weights into weights that add up to 1, without the negligible ones.
fn weighted(mut components: Vec<Component>, log_weights: &[f64]) -> Option<Vec<Component>> {
    let peak = log_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !peak.is_finite() {
        return None;
    }
    for (part, log_weight) in components.iter_mut().zip(log_weights) {
        part.weight = (log_weight - peak).exp();
    }
    let total: f64 = components.iter().map(|part| part.weight).sum();
    components.retain(|part| NEGLIGIBLE * total < part.weight);
    let kept: f64 = components.iter().map(|part| part.weight).sum();
    for part in &mut components {
        part.weight /= kept;
    }
    Some(components)
}

/// Probability that a normal deviate of this variance lies at or below `deviation`.
fn normal_below(deviation: f64, variance: f64) -> f64 {
    0.5 * erfc(-deviation / (SQRT_2 * variance.sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PRIORS: ModelPriors = ModelPriors {
        trial: SpreadPrior { scale: 0.155, degrees_of_freedom: 10.0 },
        day: SpreadPrior { scale: 0.15, degrees_of_freedom: 4.0 },
    };

    fn sessions() -> Vec<Vec<f64>> {
        vec![vec![3.0, 3.2, 3.1], vec![2.9], vec![3.3, 3.2]]
    }

    #[test]
    fn half_the_step_changes_nothing_that_counts() {
        let awkward = vec![vec![3.0; 4], vec![3.0; 4], vec![5.5, 5.4]];
        let many = vec![vec![3.0, 3.1, 3.4, 2.9]; 12];
        for sessions in [sessions(), vec![vec![3.0]], awkward, many] {
            let at = |step| {
                Posterior::with_step(&sessions, PRIORS, BoardSpread::default(), step).unwrap()
            };
            let (whole, half) = (at(1.0), at(0.5));
            for log_level in [2.5, 3.0, 3.05, 3.2, 3.6, 4.4] {
                let gap =
                    whole.probability_at_most(log_level) - half.probability_at_most(log_level);
                assert!(gap.abs() < 1e-7, "{log_level}: {gap}");
            }
        }
    }

    #[test]
    fn with_certain_spreads_it_is_the_textbook_weighted_mean() {
        let sure = |scale| SpreadPrior { scale, degrees_of_freedom: 1e6 };
        let priors = ModelPriors { trial: sure(0.2), day: sure(0.1) };
        let level = Posterior::of(&[vec![3.0, 3.2], vec![3.4]], priors, BoardSpread::default());
        let weights: [f64; 2] = [1.0 / (0.01 + 0.04 / 2.0), 1.0 / (0.01 + 0.04)];
        let mean = (weights[0] * 3.1 + weights[1] * 3.4) / (weights[0] + weights[1]);
        let sd = (1.0 / (weights[0] + weights[1])).sqrt();
        let level = level.unwrap();
        assert!((level.quantile(0.5) - mean).abs() < 1e-5);
        assert!((level.quantile(0.975) - (mean + 1.959_964 * sd)).abs() < 1e-5);
    }

    #[test]
    fn shifting_every_trial_shifts_the_level() {
        let moved: Vec<Vec<f64>> =
            sessions().iter().map(|logs| logs.iter().map(|log| log + 0.7).collect()).collect();
        let of = |logs: &[Vec<f64>]| Posterior::of(logs, PRIORS, BoardSpread::default()).unwrap();
        for probability in [0.01, 0.5, 0.99] {
            let shift = of(&moved).quantile(probability) - of(&sessions()).quantile(probability);
            assert!((shift - 0.7).abs() < 1e-9, "{probability}: {shift}");
        }
    }

    #[test]
    fn quantiles_undo_probabilities() {
        let level = Posterior::of(&sessions(), PRIORS, BoardSpread::default()).unwrap();
        for probability in [1e-4, 0.025, 0.3, 0.5, 0.9, 0.9999] {
            let back = level.probability_at_most(level.quantile(probability));
            assert!((back - probability).abs() < 1e-9, "{probability}: {back}");
        }
    }

    #[test]
    fn a_common_scale_error_does_not_average_away() {
        let board = BoardSpread { noise_log_sd: 0.0, calibration_log_sd: 0.5 };
        let many = vec![vec![3.0, 3.1]; 60];
        let level = Posterior::of(&many, PRIORS, board).unwrap();
        let width = level.quantile(0.975) - level.quantile(0.025);
        assert!(2.0 * 1.96 * 0.5 <= width, "{width}");
    }

    #[test]
    fn nothing_or_nonsense_has_no_belief() {
        let none = |sessions: &[Vec<f64>], board| Posterior::of(sessions, PRIORS, board).is_none();
        assert!(none(&[], BoardSpread::default()));
        assert!(none(&[vec![]], BoardSpread::default()));
        assert!(none(&[vec![f64::NAN]], BoardSpread::default()));
        let board = BoardSpread { noise_log_sd: f64::INFINITY, calibration_log_sd: 0.0 };
        assert!(none(&sessions(), board));
    }
}
