//! Random boards at the demanded limits, made from statics and the limits alone.
//!
//! Nothing here is taken from the calibration under test: loads go to the corners by solving the
//! balance of force and moments with a twist that the plate and the floor choose; each cell then
//! errs by its own gain, position, load point, nonlinearity, hysteresis, creep, zero and noise.
//!
//! Source of the limits: the project's own specification of the board (gain 5 %, position 1 mm or
//! 0.3 mm, load point 0.1 mm at 300 N, nonlinearity and hysteresis 0.03 %, creep 0.05 % in 30 min,
//! zero 0.1 N/K, noise 0.05 N at 250/s); none of it measured on hardware yet.

use acquisition::Calibration;
use acquisition::calibrate::{GRAVITY_M_PER_S2, Knowledge, Placement, nine_places};
use nalgebra::{Matrix4, Vector4};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

/// Weight of plate and pad, in newtons: the zero takes it off.
const DEAD_LOAD_NEWTONS: f64 = 50.0;
const CAPACITY_NEWTONS: f64 = 981.0;

/// One board as it really is.
pub(crate) struct RandomBoard {
    random: ChaCha8Rng,
    drawn: Calibration,
    gains: [f64; 4],
    corners: [(f64, f64); 4],
    wander_mm_per_newton: [(f64, f64); 4],
    nonlinearity: [f64; 4],
    creep: [f64; 4],
    zero_newtons_per_kelvin: [f64; 4],
    softness: f64,
    warp: f64,
}

/// What one loading leaves to chance; smaller moves of a load that stays on do not draw it anew.
pub(crate) struct History {
    /// How much warmer the board is than at its zero.
    kelvin: f64,
    /// Which branch of its loop each cell is on, as a share of its load.
    hysteresis: [f64; 4],
}

impl RandomBoard {
    /// The board of this seed, with cells placed to `corner_sd_mm`.
    pub(crate) fn new(seed: u64, corner_sd_mm: f64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let drawn = Calibration::nominal("0123456789abcdef01234567", 128);
        let mut normal = || random.sample::<f64, _>(StandardNormal);
        let corners = drawn.corners.map(|corner| {
            (corner.ml_mm + corner_sd_mm * normal(), corner.ap_mm + corner_sd_mm * normal())
        });
        let wander_mm_per_newton =
            std::array::from_fn(|_| (0.1 / 300.0 * normal(), 0.1 / 300.0 * normal()));
        let creep = std::array::from_fn(|_| 5e-4 * normal());
        let zero_newtons_per_kelvin = std::array::from_fn(|_| 0.1 * normal());
        let warp = 0.1 * normal();
        let gains = std::array::from_fn(|_| 1.0 + random.random_range(-0.05..0.05));
        let nonlinearity = std::array::from_fn(|_| 3e-4 * random.random_range(-1.0..1.0));
        let softness = random.random_range(0.2..0.8);
        Self {
            random,
            drawn,
            gains,
            corners,
            wander_mm_per_newton,
            nonlinearity,
            creep,
            zero_newtons_per_kelvin,
            softness,
            warp,
        }
    }

    pub(crate) fn normal(&mut self) -> f64 {
        self.random.sample(StandardNormal)
    }

    /// A board each of whose errors is within its demanded limit, evenly spread up to it.
    ///
    /// [`new`](Self::new) takes the limits as standard deviations, so that one error in three is
    /// beyond its limit; what is to be accepted is a board that keeps to them.
    pub(crate) fn within_limits(seed: u64) -> Self {
        let mut board = Self::new(seed, 0.0);
        let mut even = |limit: f64| board.random.random_range(-limit..=limit);
        let corners = board.drawn.corners.map(|c| (c.ml_mm + even(1.0), c.ap_mm + even(1.0)));
        let wander = std::array::from_fn(|_| (even(0.1 / 300.0), even(0.1 / 300.0)));
        let creep = std::array::from_fn(|_| even(5e-4));
        let drift = std::array::from_fn(|_| even(0.1));
        board.corners = corners;
        board.wander_mm_per_newton = wander;
        board.creep = creep;
        board.zero_newtons_per_kelvin = drift;
        board
    }

    /// What has become of the board since it was calibrated.
    pub(crate) fn wear(&mut self, cell: usize, gain: f64, moved_mm: f64, creep: f64) {
        self.gains[cell] *= 1.0 + gain;
        self.corners[cell].0 += moved_mm;
        self.creep[cell] += creep;
    }

    /// Creep of each cell as a share of its load, and zero drift in newtons per kelvin.
    pub(crate) fn slow_errors(&self) -> ([f64; 4], [f64; 4]) {
        (self.creep, self.zero_newtons_per_kelvin)
    }

    /// Another floor: the plate is lifted elsewhere and twists otherwise.
    pub(crate) fn move_elsewhere(&mut self) {
        self.warp = 0.1 * self.normal();
    }

    /// Forces on the cells of a load at a place, with the plate's own weight at the centre.
    fn corner_newtons(&self, newtons: f64, ml_mm: f64, ap_mm: f64) -> [f64; 4] {
        const TWIST: [f64; 4] = [-1.0, 1.0, 1.0, -1.0];
        let total = newtons + DEAD_LOAD_NEWTONS;
        let (half_ml, half_ap) = (220.0, 290.0);
        let twist =
            total * self.warp - self.softness * newtons * ml_mm * ap_mm / (half_ml * half_ap);
        let mut forces = [total / 4.0; 4];
        // Two rounds: the load point wanders with the force it carries.
        for _ in 0..3 {
            let carried = forces;
            let place = |i: usize| {
                let (ml, ap) = self.wander_mm_per_newton[i];
                (self.corners[i].0 + ml * carried[i], self.corners[i].1 + ap * carried[i])
            };
            let equations = Matrix4::from_fn(|row, column| match row {
                0 => 1.0,
                1 => place(column).0,
                2 => place(column).1,
                _ => TWIST[column],
            });
            let wanted = Vector4::new(total, newtons * ml_mm, newtons * ap_mm, twist);
            let solved = equations.lu().solve(&wanted).expect("four corners of a rectangle");
            forces = std::array::from_fn(|i| solved[i]);
        }
        forces
    }

    /// Counts of a load that has just been put down, the zero taken off; `seconds` after that.
    pub(crate) fn counts(
        &mut self,
        newtons: f64,
        ml_mm: f64,
        ap_mm: f64,
        seconds: f64,
    ) -> [f64; 4] {
        let history = self.history();
        self.counts_since(newtons, ml_mm, ap_mm, seconds, &history)
    }

    /// What putting a load down and the time since the zero leave to chance.
    pub(crate) fn history(&mut self) -> History {
        let kelvin = 0.05 * self.normal();
        History { kelvin, hysteresis: std::array::from_fn(|_| 3e-4 * 0.4 * self.normal()) }
    }

    /// Counts of a load put down with this history, a mean of 5 s with its own noise.
    pub(crate) fn counts_since(
        &mut self,
        newtons: f64,
        ml_mm: f64,
        ap_mm: f64,
        seconds: f64,
        history: &History,
    ) -> [f64; 4] {
        let empty = self.corner_newtons(0.0, 0.0, 0.0);
        let loaded = self.corner_newtons(newtons, ml_mm, ap_mm);
        std::array::from_fn(|i| {
            let bend = |force: f64| {
                let share = force / CAPACITY_NEWTONS;
                self.nonlinearity[i] * CAPACITY_NEWTONS * 4.0 * share * (1.0 - share)
            };
            let load = loaded[i] - empty[i];
            let crept =
                0.3 * (1.0 - (-seconds / 15.0).exp()) + 0.7 * (1.0 - (-seconds / 300.0).exp());
            let mut read = load + bend(loaded[i]) - bend(empty[i]);
            read += self.creep[i] * load * crept;
            read += history.hysteresis[i] * load;
            read += self.zero_newtons_per_kelvin[i] * history.kelvin;
            // Mean of 5 s at 250/s, the zero being as long.
            read += 0.05 * (2.0_f64 / 1250.0).sqrt() * self.normal();
            read * self.gains[i] / self.drawn.newtons_per_count[i]
        })
    }

    /// Nine placements of a mass with a jig as good as `knowledge` says.
    pub(crate) fn placements(&mut self, mass_kg: f64, knowledge: &Knowledge) -> Vec<Placement> {
        let shift =
            (knowledge.jig_shift_mm * self.normal(), knowledge.jig_shift_mm * self.normal());
        let turn = knowledge.jig_turn_rad * self.normal();
        let stretch = knowledge.jig_stretch * self.normal();
        let true_mass_kg = mass_kg * (1.0 + knowledge.mass * self.normal());
        nine_places(150.0)
            .into_iter()
            .map(|(ml_mm, ap_mm)| {
                let off = (
                    knowledge.placement_mm * self.normal(),
                    knowledge.placement_mm * self.normal(),
                );
                let right = ml_mm * (1.0 + stretch) - ap_mm * turn + shift.0 + off.0;
                let forward = ap_mm * (1.0 + stretch) + ml_mm * turn + shift.1 + off.1;
                let seconds = 15.0 * (0.3 * self.normal()).exp();
                let newtons = true_mass_kg * GRAVITY_M_PER_S2;
                let counts = self.counts(newtons, right, forward, seconds);
                Placement { ml_mm, ap_mm, mass_kg, counts }
            })
            .collect()
    }

    /// The drawing this board was built from.
    pub(crate) fn drawn(&self) -> &Calibration {
        &self.drawn
    }
}
