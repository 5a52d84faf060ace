//! The invented person.

use crate::randomness::{Purpose, Randomness};

/// Standard gravity, metres per second squared.
pub const GRAVITY_M_PER_S2: f64 = 9.806_65;

/// Height of the body's centre above the ankles, as a share of body height.
const CENTRE_SHARE: f64 = 0.53;

/// Radius of gyration about the body's centre, as a share of body height: between a uniform rod
/// (0.289) and the more compact body of segment tables. Together with the centre's height it gives
/// a pendulum of 0.657 body heights.
const GYRATION_SHARE: f64 = 0.26;

/// A person as far as the board feels it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Person {
    /// Body mass in kilograms.
    pub mass_kg: f64,
    /// Body height in metres.
    pub height_m: f64,
    /// How steady: 1 is the middle of healthy adults under 60; 2 sways half as far.
    pub steadiness: f64,
    /// How far the person drifts about while steady from moment to moment: 1 is the middle.
    pub wander: f64,
}

impl Default for Person {
    fn default() -> Self {
        Self { mass_kg: 70.0, height_m: 1.70, steadiness: 1.0, wander: 1.0 }
    }
}

impl Person {
    /// A person drawn from a population of healthy adults: mass, height, steadiness and wander
    /// spread as such people's are (spreads chosen here so that sway velocity and area spread as
    /// published).
    pub fn drawn(seed: u64) -> Self {
        let mut random = Randomness::new(seed, Purpose::Population);
        let height_m = (1.69 + 0.08 * random.normal()).clamp(1.45, 1.95);
        let mass_kg = 23.5 * height_m * height_m * random.factor(0.12);
        Self { mass_kg, height_m, steadiness: random.factor(0.26), wander: random.factor(0.35) }
    }

    /// Length of the simple pendulum that falls as this body does, in metres: for a rigid body on
    /// a pivot, centre height plus squared radius of gyration over centre height.
    pub fn pendulum_m(&self) -> f64 {
        let centre_m = CENTRE_SHARE * self.height_m;
        let gyration_m = GYRATION_SHARE * self.height_m;
        centre_m + gyration_m * gyration_m / centre_m
    }

    /// Weight in newtons.
    pub fn weight_newtons(&self) -> f64 {
        self.mass_kg * GRAVITY_M_PER_S2
    }
}
