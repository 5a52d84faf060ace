//! A body that keeps upright: an inverted pendulum in each plane, held by delayed feedback.
//!
//! Horizontal place `x` of the body's centre and centre of pressure `u` under the sole obey
//! `x'' = (g / length) (x - u)`. The nervous system sees place and speed of a moment ago and moves
//! the centre of pressure accordingly, with a slow and a fast error:
//! `u(t) = p x(t - delay) + d x'(t - delay) + slow(t) + fast(t)`.
//! This structure is that of Maurer and Peterka 2005, J Neurophysiol 93:189 (from memory); the
//! numbers in [`AxisControl`] are our own, fitted to published sway (see `tests/published_sway.rs`).

use crate::condition::{Condition, Stance, Surface, Vision};
use crate::person::{GRAVITY_M_PER_S2, Person};
use crate::randomness::Randomness;

/// Time from one step of the simulation to the next, in seconds.
pub const STEP_S: f64 = 0.001;

/// Delay of the feedback in steps: 135 ms, in the range reported for standing.
const DELAY_STEPS: usize = 135;

/// Corner of the muscles' low-pass, in hertz; the fast error passes two of them in a row.
const MUSCLE_HZ: f64 = 1.0;

/// Spread of the logarithm of sway size from one trial of a person to the next.
const TRIAL_LOG_SD: f64 = 0.10;

/// The same for the size of the slow error alone.
const TRIAL_WANDER_LOG_SD: f64 = 0.25;

/// How one plane of the body is held, and how badly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisControl {
    /// Centre of pressure moved per distance of the body's centre; must be above 1.
    pub stiffness: f64,
    /// Centre of pressure moved per speed of the body's centre, in seconds.
    pub damping_s: f64,
    /// Standard deviation of the slow error, in millimetres.
    pub slow_mm: f64,
    /// Time constant of the slow error, in seconds.
    pub slow_s: f64,
    /// Density of the fast error below the muscles' corner, in millimetres per root hertz.
    pub fast_mm_per_root_hz: f64,
}

impl AxisControl {
    const fn scaled(self, slow: f64, fast: f64) -> Self {
        Self {
            slow_mm: self.slow_mm * slow,
            fast_mm_per_root_hz: self.fast_mm_per_root_hz * fast,
            ..self
        }
    }

    /// The geometric middle between two ways of holding.
    fn between(self, other: Self) -> Self {
        let middle = |a: f64, b: f64| (a * b).sqrt();
        Self {
            stiffness: middle(self.stiffness, other.stiffness),
            damping_s: middle(self.damping_s, other.damping_s),
            slow_mm: middle(self.slow_mm, other.slow_mm),
            slow_s: middle(self.slow_s, other.slow_s),
            fast_mm_per_root_hz: middle(self.fast_mm_per_root_hz, other.fast_mm_per_root_hz),
        }
    }
}

/// Both planes of the body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyControl {
    /// Medio-lateral.
    pub ml: AxisControl,
    /// Antero-posterior.
    pub ap: AxisControl,
}

impl BodyControl {
    /// How a person of steadiness 1 is held under a condition.
    pub fn under(condition: Condition) -> Self {
        let firm = on_firm(condition.vision);
        let foam = on_foam(condition.vision);
        let surface = match condition.surface {
            Surface::Firm => firm,
            Surface::Foam => foam,
            // Towels and cushions have no published values: placed beside the two that have.
            Surface::Towels => Self { ml: firm.ml.between(foam.ml), ap: firm.ap.between(foam.ap) },
            Surface::Cushions => foam.scaled(StanceEffect::even(1.15)),
        };
        surface.scaled(StanceEffect::of(condition.stance, condition.surface))
    }

    fn scaled(self, effect: StanceEffect) -> Self {
        Self {
            ml: self.ml.scaled(effect.ml_slow, effect.ml_fast),
            ap: self.ap.scaled(effect.ap, effect.ap),
        }
    }
}

const fn on_firm(vision: Vision) -> BodyControl {
    match vision {
        Vision::Open => BodyControl {
            ml: axis(1.356, 0.372, 1.10, 14.8, 0.40),
            ap: axis(1.264, 0.365, 0.95, 19.5, 1.07),
        },
        Vision::Closed => BodyControl {
            ml: axis(1.388, 0.412, 1.24, 13.5, 0.435),
            ap: axis(1.261, 0.379, 0.91, 17.1, 1.19),
        },
    }
}

const fn on_foam(vision: Vision) -> BodyControl {
    match vision {
        Vision::Open => BodyControl {
            ml: axis(1.281, 0.385, 1.75, 11.5, 1.68),
            ap: axis(1.226, 0.362, 0.95, 9.1, 2.80),
        },
        Vision::Closed => BodyControl {
            ml: axis(1.225, 0.361, 0.60, 8.1, 2.36),
            ap: axis(1.295, 0.386, 0.20, 8.0, 3.66),
        },
    }
}

const fn axis(
    stiffness: f64,
    damping_s: f64,
    slow_mm: f64,
    slow_s: f64,
    fast_mm_per_root_hz: f64,
) -> AxisControl {
    AxisControl { stiffness, damping_s, slow_mm, slow_s, fast_mm_per_root_hz }
}

/// How much larger the errors are than with the feet as wide as the hips.
#[derive(Debug, Clone, Copy)]
struct StanceEffect {
    ml_slow: f64,
    ml_fast: f64,
    ap: f64,
}

impl StanceEffect {
    const fn even(factor: f64) -> Self {
        Self { ml_slow: factor, ml_fast: factor, ap: factor }
    }

    /// Feet together on firm ground follows Albertsen et al. 2017, J Electromyogr Kinesiol 33:27;
    /// the stances beyond it are invented, each harder than the one before. On soft ground the
    /// effect is invented too: the square root of that on firm ground.
    fn of(stance: Stance, surface: Surface) -> Self {
        let firm = match stance {
            Stance::Wide => Self { ml_slow: 0.8, ml_fast: 0.8, ap: 1.0 },
            Stance::HipWidth => Self::even(1.0),
            Stance::Together => Self { ml_slow: 3.0, ml_fast: 2.3, ap: 1.15 },
            Stance::SemiTandem => Self { ml_slow: 3.6, ml_fast: 3.4, ap: 1.25 },
            Stance::Tandem => Self { ml_slow: 4.0, ml_fast: 4.6, ap: 1.3 },
            Stance::OneLegLeft | Stance::OneLegRight => {
                Self { ml_slow: 4.2, ml_fast: 6.0, ap: 1.9 }
            }
        };
        if surface == Surface::Firm {
            return firm;
        }
        Self { ml_slow: firm.ml_slow.sqrt(), ml_fast: firm.ml_fast.sqrt(), ap: firm.ap.sqrt() }
    }
}

/// One plane of a swaying body; places in millimetres from where it means to stand.
#[derive(Debug, Clone)]
struct SwayAxis {
    control: AxisControl,
    /// g / length, per second squared.
    fall_per_s2: f64,
    /// What is left of the slow error after a step.
    keep: f64,
    /// How far the muscles follow in a step.
    follow: f64,
    place_mm: f64,
    speed_mm_per_s: f64,
    /// Place and speed of each of the last [`DELAY_STEPS`] steps, oldest at `oldest`.
    past: Vec<(f64, f64)>,
    oldest: usize,
    slow_mm: f64,
    muscle_mm: [f64; 2],
    instant: SwayInstant,
}

/// One plane at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SwayInstant {
    /// Centre of pressure under the sole, millimetres from where the person means to stand.
    pub sole_mm: f64,
    /// Centre of the body, in the same frame.
    pub body_mm: f64,
    /// Its acceleration, millimetres per second squared.
    pub body_mm_per_s2: f64,
}

impl SwayAxis {
    fn new(control: AxisControl, pendulum_m: f64, random: &mut Randomness) -> Self {
        let slow_mm = control.slow_mm * random.normal();
        // The step onto the board leaves the body a little off; it settles within some seconds.
        let place_mm = 4.0 * random.normal();
        Self {
            control,
            fall_per_s2: GRAVITY_M_PER_S2 / pendulum_m,
            keep: (-STEP_S / control.slow_s).exp(),
            follow: 1.0 - (-std::f64::consts::TAU * MUSCLE_HZ * STEP_S).exp(),
            place_mm,
            speed_mm_per_s: 0.0,
            past: vec![(place_mm, 0.0); DELAY_STEPS],
            oldest: 0,
            slow_mm,
            muscle_mm: [0.0; 2],
            instant: SwayInstant::default(),
        }
    }

    fn step(&mut self, random: &mut Randomness) {
        let renewed = (1.0 - self.keep * self.keep).sqrt();
        self.slow_mm = self.keep * self.slow_mm + self.control.slow_mm * renewed * random.normal();

        // White noise of the wanted one-sided density has this deviation when sampled per step.
        let mut fast_mm =
            self.control.fast_mm_per_root_hz * (0.5 / STEP_S).sqrt() * random.normal();
        for muscle_mm in &mut self.muscle_mm {
            *muscle_mm += self.follow * (fast_mm - *muscle_mm);
            fast_mm = *muscle_mm;
        }

        let seen = &mut self.past[self.oldest];
        let sole_mm = self.control.stiffness * seen.0
            + self.control.damping_s * seen.1
            + self.slow_mm
            + fast_mm;
        *seen = (self.place_mm, self.speed_mm_per_s);
        self.oldest = (self.oldest + 1) % DELAY_STEPS;

        let body_mm_per_s2 = self.fall_per_s2 * (self.place_mm - sole_mm);
        self.instant = SwayInstant { sole_mm, body_mm: self.place_mm, body_mm_per_s2 };
        self.speed_mm_per_s += STEP_S * body_mm_per_s2;
        self.place_mm += STEP_S * self.speed_mm_per_s;
    }
}

/// A body swaying in both planes, one millisecond at a time.
#[derive(Debug, Clone)]
pub struct Sway {
    ml: SwayAxis,
    ap: SwayAxis,
    random: Randomness,
}

impl Sway {
    /// A person under a condition, at the start of one trial.
    pub fn new(person: Person, condition: Condition, mut random: Randomness) -> Self {
        let size = random.factor(TRIAL_LOG_SD) / person.steadiness;
        let wander = person.wander * random.factor(TRIAL_WANDER_LOG_SD);
        // Soft ground leaves less room for habit (chosen here).
        let wander = if condition.surface == Surface::Firm { wander } else { wander.sqrt() };
        let wander = size * wander;
        let control = BodyControl::under(condition);
        let control = BodyControl {
            ml: control.ml.scaled(wander, size),
            ap: control.ap.scaled(wander, size),
        };
        let pendulum_m = person.pendulum_m();
        let ml = SwayAxis::new(control.ml, pendulum_m, &mut random);
        let ap = SwayAxis::new(control.ap, pendulum_m, &mut random);
        Self { ml, ap, random }
    }

    /// The next millisecond: medio-lateral, then antero-posterior.
    pub fn step(&mut self) -> (SwayInstant, SwayInstant) {
        self.ml.step(&mut self.random);
        self.ap.step(&mut self.random);
        (self.ml.instant, self.ap.instant)
    }
}
