//! What presses on the plate from one start to the next stop: nobody, somebody stepping on,
//! somebody standing, somebody stepping off, nobody.

use crate::condition::{Stance, Stand, Surface};
use crate::person::{GRAVITY_M_PER_S2, Person};
use crate::randomness::Randomness;
use crate::script::{Play, Script, WEIGHT_S};
use crate::sway::{STEP_S, Sway, SwayInstant};

/// From the plane in which the plate rests on its cells up to its top, in millimetres.
const PLATE_MM: f64 = 35.0;

/// The first foot takes the whole weight within this time, in seconds.
const FIRST_FOOT_S: f64 = 0.45;

/// The second foot then joins within this time, in seconds.
const SECOND_FOOT_S: f64 = 0.75;

/// Where the first foot comes down, in millimetres beside the middle.
const FIRST_FOOT_MM: f64 = 85.0;

/// A point over the board, in millimetres from its centre.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// Positive to the right.
    pub ml_mm: f64,
    /// Positive forward.
    pub ap_mm: f64,
}

impl Place {
    fn towards(self, other: Self, share: f64) -> Self {
        Self {
            ml_mm: self.ml_mm + share * (other.ml_mm - self.ml_mm),
            ap_mm: self.ap_mm + share * (other.ap_mm - self.ap_mm),
        }
    }
}

/// What presses on the plate at one moment; the weight of plate and pad is not in it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Load {
    /// Vertical force in newtons, 0 for an empty board.
    pub force_newtons: f64,
    /// Centre of pressure in the plane in which the plate rests on its cells.
    pub plate: Place,
    /// Centre of pressure under the soles, higher up.
    pub sole: Place,
    /// Centre of the body, straight above this point.
    pub body: Place,
}

/// When things happen, in seconds since the start command.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Schedule {
    /// How long the board stays empty at first.
    pub empty_s: f64,
    /// How long after that the person begins to step off; `None` for never.
    pub stand_s: Option<f64>,
}

impl Default for Schedule {
    fn default() -> Self {
        Self { empty_s: 6.0, stand_s: None }
    }
}

/// Height of the soles above the plane in which the plate rests on its cells, in millimetres,
/// with the pad pressed together by the person.
pub const fn sole_height_mm(surface: Surface) -> f64 {
    PLATE_MM
        + match surface {
            Surface::Firm => 0.0,
            Surface::Towels => 20.0,
            Surface::Foam => 45.0,
            Surface::Cushions => 60.0,
        }
}

/// One stand, moment by moment.
#[derive(Debug, Clone)]
pub struct Scene {
    schedule: Schedule,
    who: Who,
}

#[derive(Debug, Clone)]
enum Who {
    Weight { force_newtons: f64, place: Place },
    Person(Box<Standing>),
    Script(Box<Play>),
}

#[derive(Debug, Clone)]
struct Standing {
    weight_newtons: f64,
    sole_height_mm: f64,
    neutral: Place,
    first_foot: Place,
    heart_phase: f64,
    breath_phase: f64,
    sway: Sway,
    /// Sway at step `n_steps - 1` and at step `n_steps`.
    around: [(SwayInstant, SwayInstant); 2],
    n_steps: u64,
}

impl Scene {
    /// A stand that begins with the start command.
    pub fn new(person: Person, stand: Stand, schedule: Schedule, mut random: Randomness) -> Self {
        let who = match stand {
            Stand::Weight { mass_kg, ml_mm, ap_mm } => Who::Weight {
                force_newtons: mass_kg * GRAVITY_M_PER_S2,
                place: Place { ml_mm, ap_mm },
            },
            Stand::Person(condition) => {
                let neutral =
                    Place { ml_mm: 4.0 * random.normal(), ap_mm: 8.0 * random.normal() - 4.0 };
                let side = match condition.stance {
                    Stance::OneLegLeft | Stance::OneLegRight => 0.0,
                    _ if random.happens(0.5) => -1.0,
                    _ => 1.0,
                };
                let first_foot = Place {
                    ml_mm: neutral.ml_mm + side * FIRST_FOOT_MM,
                    ap_mm: neutral.ap_mm - 15.0 + 10.0 * random.normal(),
                };
                let heart_phase = std::f64::consts::TAU * random.unit();
                let breath_phase = std::f64::consts::TAU * random.unit();
                Who::Person(Box::new(Standing {
                    weight_newtons: person.weight_newtons(),
                    sole_height_mm: sole_height_mm(condition.surface),
                    neutral,
                    first_foot,
                    heart_phase,
                    breath_phase,
                    sway: Sway::new(person, condition, random),
                    around: Default::default(),
                    n_steps: 0,
                }))
            }
        };
        Self { schedule, who }
    }

    /// A script, played from the start command on.
    pub fn scripted(person: Person, script: Script, random: Randomness) -> Self {
        let who = Who::Script(Box::new(Play::new(script, person, random)));
        Self { schedule: Schedule { empty_s: 0.0, stand_s: None }, who }
    }

    /// What presses on the plate `time_s` after the start command; `time_s` never goes back.
    pub fn at(&mut self, time_s: f64) -> Load {
        let on_s = time_s - self.schedule.empty_s;
        let left_s = self.schedule.stand_s.map_or(f64::INFINITY, |stand_s| stand_s - on_s);
        if on_s < 0.0 {
            return Load::default();
        }
        match &mut self.who {
            Who::Weight { force_newtons, place } => {
                let share = smooth(on_s / WEIGHT_S) * smooth(1.0 + left_s / WEIGHT_S);
                let place = if share == 0.0 { Place::default() } else { *place };
                let force_newtons = share * *force_newtons;
                Load { force_newtons, plate: place, sole: place, body: place }
            }
            Who::Person(standing) => standing.at(on_s, left_s),
            Who::Script(play) => play.at(on_s),
        }
    }
}

impl Standing {
    fn at(&mut self, on_s: f64, left_s: f64) -> Load {
        let (ml, ap) = self.sway_at(on_s);
        // Stepping off is stepping on, backwards.
        let both_feet = smooth((on_s - FIRST_FOOT_S) / SECOND_FOOT_S)
            * smooth((left_s + SECOND_FOOT_S) / SECOND_FOOT_S);
        let off_s = left_s + SECOND_FOOT_S + FIRST_FOOT_S;
        let share = smooth(on_s / FIRST_FOOT_S) * smooth(off_s / FIRST_FOOT_S);
        if share == 0.0 {
            return Load::default();
        }

        let steady = Place {
            ml_mm: self.neutral.ml_mm + ml.sole_mm,
            ap_mm: self.neutral.ap_mm + ap.sole_mm,
        };
        let sole = self.first_foot.towards(steady, both_feet);
        let body = self.first_foot.towards(
            Place {
                ml_mm: self.neutral.ml_mm + ml.body_mm,
                ap_mm: self.neutral.ap_mm + ap.body_mm,
            },
            both_feet,
        );
        // The ground pushes the body with mass times acceleration at the sole; handed on lower
        // down, that push shifts the centre of pressure the other way.
        let lean = both_feet * self.sole_height_mm / (1000.0 * GRAVITY_M_PER_S2);
        let plate = Place {
            ml_mm: sole.ml_mm - lean * ml.body_mm_per_s2,
            ap_mm: sole.ap_mm - lean * ap.body_mm_per_s2,
        };
        Load { force_newtons: share * self.force_newtons(on_s), plate, sole, body }
    }

    /// Weight with landing, heartbeat and breath (sizes chosen here: some tenths of a percent).
    fn force_newtons(&self, on_s: f64) -> f64 {
        let tau = std::f64::consts::TAU;
        let landed_s = (on_s - FIRST_FOOT_S).max(0.0);
        let landing = 0.12 * (-landed_s / 0.3).exp() * (tau * 2.2 * landed_s).sin();
        let heart = 0.0025 * (tau * 1.13 * on_s + self.heart_phase).sin();
        let breath = 0.001 * (tau * 0.27 * on_s + self.breath_phase).sin();
        self.weight_newtons * (1.0 + landing + heart + breath)
    }

    fn sway_at(&mut self, on_s: f64) -> (SwayInstant, SwayInstant) {
        let position = on_s / STEP_S;
        while (self.n_steps as f64) < position || self.n_steps < 2 {
            self.around = [self.around[1], self.sway.step()];
            self.n_steps += 1;
        }
        let share = (position - (self.n_steps - 1) as f64).clamp(0.0, 1.0);
        let [before, after] = self.around;
        (between(before.0, after.0, share), between(before.1, after.1, share))
    }
}

fn between(before: SwayInstant, after: SwayInstant, share: f64) -> SwayInstant {
    let mix = |a: f64, b: f64| a + share * (b - a);
    SwayInstant {
        sole_mm: mix(before.sole_mm, after.sole_mm),
        body_mm: mix(before.body_mm, after.body_mm),
        body_mm_per_s2: mix(before.body_mm_per_s2, after.body_mm_per_s2),
    }
}

/// From 0 at 0 to 1 at 1 without a corner at either end; flat beyond.
pub(crate) fn smooth(share: f64) -> f64 {
    let share = share.clamp(0.0, 1.0);
    share * share * (3.0 - 2.0 * share)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::condition::{Condition, Vision};
    use crate::randomness::Purpose;

    fn scene(stand_s: Option<f64>) -> Scene {
        let condition =
            Condition { surface: Surface::Foam, stance: Stance::HipWidth, vision: Vision::Open };
        let schedule = Schedule { empty_s: 6.0, stand_s };
        let random = Randomness::new(3, Purpose::Body { stand: 0 });
        Scene::new(Person::default(), Stand::Person(condition), schedule, random)
    }

    #[test]
    fn the_board_is_empty_then_loaded_then_empty() {
        let mut scene = scene(Some(20.0));
        let weight = Person::default().weight_newtons();
        for step in 0..=3300 {
            let time_s = f64::from(step) * 0.01;
            let share = scene.at(time_s).force_newtons / weight;
            if !(6.0..=27.3).contains(&time_s) {
                assert!(share == 0.0, "{time_s}: {share}");
            } else if 9.0 < time_s && time_s < 26.0 {
                assert!((share - 1.0).abs() < 0.01, "{time_s}: {share}");
            } else {
                assert!(share < 1.15, "{time_s}: {share}");
            }
        }
    }

    /// Force and place change by little in a hundredth of a second, steps on and off included.
    #[test]
    fn nothing_jumps() {
        let mut scene = scene(Some(20.0));
        let mut last: Option<Load> = None;
        for step in 600..=2730 {
            let load = scene.at(f64::from(step) * 0.01);
            if let Some(last) =
                last.filter(|last| last.force_newtons > 0.0 && load.force_newtons > 0.0)
            {
                assert!((load.force_newtons - last.force_newtons).abs() < 40.0, "{step}");
                assert!((load.plate.ml_mm - last.plate.ml_mm).abs() < 4.0, "{step}");
                assert!((load.plate.ap_mm - last.plate.ap_mm).abs() < 4.0, "{step}");
            }
            last = Some(load);
        }
    }

    #[test]
    fn a_weight_lies_where_it_was_put() {
        let stand = Stand::Weight { mass_kg: 20.0, ml_mm: -150.0, ap_mm: 100.0 };
        let random = Randomness::new(3, Purpose::Body { stand: 0 });
        let mut scene = Scene::new(Person::default(), stand, Schedule::default(), random);
        assert_eq!(scene.at(5.9), Load::default());
        let load = scene.at(8.0);
        assert!((load.force_newtons - 196.133).abs() < 1e-9);
        assert_eq!(load.plate, Place { ml_mm: -150.0, ap_mm: 100.0 });
    }
}
