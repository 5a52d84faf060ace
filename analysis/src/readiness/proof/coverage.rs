//! How often the 95 % interval of the level holds the true level.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng as _;
use rand_distr::{ChiSquared, Distribution as _};

use super::super::posterior::{BoardSpread, Posterior};
use super::super::prior::{ModelPriors, SpreadPrior};
use super::person::Chance;
use super::tally::Tally;

/// How the true spread from day to day is chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DaySpread {
    /// Drawn from the belief, with the spread between trials drawn likewise: the interval should
    /// then hold the level in 95 % of cases.
    FromPrior,
    /// This one, with the spread between trials at its belief's centre.
    Fixed(f64),
}

/// Simulates one set of `n_sessions` times `n_trials` for each seed and counts how often the
/// central 95 % interval of the level holds the truth.
///
/// # Panics
/// If a prior's degrees of freedom are not above 0.
pub fn coverage(
    priors: ModelPriors,
    spread: DaySpread,
    (n_sessions, n_trials): (usize, usize),
    seeds: impl IntoIterator<Item = u64>,
) -> Tally {
    let mut tally = Tally::default();
    for seed in seeds {
        let mut chance = Chance(ChaCha8Rng::seed_from_u64(seed));
        let (trial_sd, day_sd) = match spread {
            DaySpread::FromPrior => {
                (draw(priors.trial, &mut chance.0), draw(priors.day, &mut chance.0))
            }
            DaySpread::Fixed(day_sd) => (priors.trial.scale, day_sd),
        };
        let truth = 3.0;
        let sessions: Vec<Vec<f64>> = (0..n_sessions)
            .map(|_| {
                let level = truth + day_sd * chance.normal();
                (0..n_trials).map(|_| level + trial_sd * chance.normal()).collect()
            })
            .collect();
        let below = Posterior::of(&sessions, priors, BoardSpread::default())
            .map(|level| level.probability_at_most(truth));
        let holds = below.is_some_and(|below| (0.025..=0.975).contains(&below));
        tally.hits += u64::from(holds);
        tally.of += 1;
    }
    tally
}

/// A standard deviation drawn from the belief about it.
fn draw(prior: SpreadPrior, chance: &mut ChaCha8Rng) -> f64 {
    let chi_squared =
        ChiSquared::new(prior.degrees_of_freedom).expect("degrees of freedom are above 0");
    prior.scale * (prior.degrees_of_freedom / chi_squared.sample(chance)).sqrt()
}
