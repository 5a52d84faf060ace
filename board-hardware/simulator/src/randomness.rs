//! Seeded random numbers, one independent stream for each thing that is random.

use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, StandardNormal};

/// What a stream of random numbers is for; each use has its own, so that asking for one more
/// fault does not change how the person sways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// Errors a board is built with.
    Build,
    /// Noise of the converters, for one stand.
    Noise {
        /// Number of the stand, from 0.
        stand: u32,
    },
    /// Sway and steps, for one stand.
    Body {
        /// Number of the stand, from 0.
        stand: u32,
    },
    /// Faults, for one stand.
    Faults {
        /// Number of the stand, from 0.
        stand: u32,
    },
    /// A person drawn from a population.
    Population,
}

/// A stream of random numbers that depends on its seed and purpose alone.
#[derive(Debug, Clone)]
pub struct Randomness(ChaCha8Rng);

impl Randomness {
    /// The stream of `seed` for `purpose`.
    pub fn new(seed: u64, purpose: Purpose) -> Self {
        let (kind, stand) = match purpose {
            Purpose::Build => (0, 0),
            Purpose::Noise { stand } => (1, stand),
            Purpose::Body { stand } => (2, stand),
            Purpose::Faults { stand } => (3, stand),
            Purpose::Population => (4, 0),
        };
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        generator.set_stream(u64::from(stand) << 3 | kind);
        Self(generator)
    }

    /// A normal number of mean 0 and standard deviation 1.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// A factor around 1 whose logarithm has the standard deviation `log_sd`.
    pub fn factor(&mut self, log_sd: f64) -> f64 {
        (log_sd * self.normal()).exp()
    }

    /// An even number from 0 up to but without 1.
    pub fn unit(&mut self) -> f64 {
        rand::RngExt::random(&mut self.0)
    }

    /// Whether something of this probability happens.
    pub fn happens(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    /// An even whole number below `bound`, which is at least 1.
    pub fn below(&mut self, bound: usize) -> usize {
        rand::RngExt::random_range(&mut self.0, 0..bound)
    }
}
