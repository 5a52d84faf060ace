//! What is put on the plate, act by act: weights for a calibration, or whatever somebody does wrong.
//!
//! One act a line, each with its length in seconds; `#` begins a remark:
//!
//! ```text
//! empty 20
//! weight 20 -150 150 30      # kilograms, millimetres to the right, millimetres forward
//! person firm/hip-width/open 30
//! ```
//!
//! From one act to the next the load goes over within a second; after the last the board is empty.

use std::str::FromStr;

use thiserror::Error;

use crate::condition::{Condition, Stand};
use crate::person::{GRAVITY_M_PER_S2, Person};
use crate::randomness::Randomness;
use crate::scene::{Load, Place, Scene, Schedule, smooth};

/// Time to put a weight down, to slide it or to take it off, in seconds.
pub(crate) const WEIGHT_S: f64 = 1.0;

/// How long before the end of their act a person begins to step off, in seconds.
const STEP_OFF_S: f64 = 2.0;

/// Longest script: more acts than any procedure asks for.
const MOST_ACTS: usize = 10_000;

/// Longest act, in seconds.
const LONGEST_S: f64 = 86_400.0;

/// What is on the plate for a while.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Act {
    Empty,
    Weight { mass_kg: f64, place: Place },
    Person(Condition),
}

/// A list of acts, played from the start command on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Script {
    /// Each act with the time at which it begins, in seconds.
    acts: Vec<(f64, Act)>,
    ends_s: f64,
}

/// A line that is no act.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "line {line} is no act: {found:?}; write `empty SECONDS`, `weight KG ML_MM AP_MM SECONDS` \
     inside the corners, or `person SURFACE/STANCE/VISION SECONDS`"
)]
pub struct UnknownAct {
    line: usize,
    found: String,
}

impl FromStr for Script {
    type Err = UnknownAct;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let mut script = Self::default();
        for (n_before, line) in text.lines().enumerate() {
            let written = line.split('#').next().unwrap_or_default().trim();
            if written.is_empty() {
                continue;
            }
            let unknown =
                || UnknownAct { line: n_before + 1, found: line.chars().take(60).collect() };
            let (act, seconds) = act(written).ok_or_else(unknown)?;
            if script.acts.len() == MOST_ACTS {
                return Err(unknown());
            }
            script.acts.push((script.ends_s, act));
            script.ends_s += seconds;
        }
        script.acts.push((script.ends_s, Act::Empty));
        Ok(script)
    }
}

fn act(written: &str) -> Option<(Act, f64)> {
    let words: Vec<&str> = written.split_whitespace().collect();
    let (act, seconds) = match words[..] {
        ["empty", seconds] => (Act::Empty, seconds),
        ["weight", mass_kg, ml_mm, ap_mm, seconds] => {
            match format!("weight/{mass_kg}/{ml_mm}/{ap_mm}").parse().ok()? {
                Stand::Weight { mass_kg, ml_mm, ap_mm } => {
                    (Act::Weight { mass_kg, place: Place { ml_mm, ap_mm } }, seconds)
                }
                Stand::Person(_) => return None,
            }
        }
        ["person", condition, seconds] => match condition.parse().ok()? {
            Stand::Person(condition) => (Act::Person(condition), seconds),
            Stand::Weight { .. } => return None,
        },
        _ => return None,
    };
    let seconds: f64 = seconds.parse().ok()?;
    (0.0 < seconds && seconds <= LONGEST_S).then_some((act, seconds))
}

/// A script being played.
#[derive(Debug, Clone)]
pub(crate) struct Play {
    script: Script,
    person: Person,
    random: Randomness,
    /// The act under way, if a person is in it.
    standing: Option<(usize, Box<Scene>)>,
}

impl Play {
    pub(crate) fn new(script: Script, person: Person, random: Randomness) -> Self {
        Self { script, person, random, standing: None }
    }

    /// What presses on the plate; `time_s` never goes back.
    pub(crate) fn at(&mut self, time_s: f64) -> Load {
        let begun = self.script.acts.partition_point(|(begins_s, _)| *begins_s <= time_s);
        let Some(now) = begun.checked_sub(1) else { return Load::default() };
        let (begins_s, act) = self.script.acts[now];
        let load = self.of_act(now, act, time_s - begins_s);
        let before = now.checked_sub(1).map_or_else(Load::default, |before| {
            match self.script.acts[before].1 {
                Act::Weight { mass_kg, place } => weight(mass_kg, place),
                // People step off by themselves.
                Act::Empty | Act::Person(_) => Load::default(),
            }
        });
        between(before, load, smooth((time_s - begins_s) / WEIGHT_S))
    }

    fn of_act(&mut self, which: usize, act: Act, since_s: f64) -> Load {
        match act {
            Act::Empty => Load::default(),
            Act::Weight { mass_kg, place } => weight(mass_kg, place),
            Act::Person(condition) => {
                if self.standing.as_ref().is_none_or(|(act, _)| *act != which) {
                    let ends_s = self
                        .script
                        .acts
                        .get(which + 1)
                        .map_or(LONGEST_S, |(begins_s, _)| *begins_s);
                    let stand_s = ends_s - self.script.acts[which].0 - STEP_OFF_S;
                    let schedule = Schedule { empty_s: 0.0, stand_s: Some(stand_s) };
                    let stand = Stand::Person(condition);
                    let scene = Scene::new(self.person, stand, schedule, self.random.clone());
                    self.standing = Some((which, Box::new(scene)));
                }
                self.standing.as_mut().map_or_else(Load::default, |(_, scene)| scene.at(since_s))
            }
        }
    }
}

fn weight(mass_kg: f64, place: Place) -> Load {
    let force_newtons = mass_kg * GRAVITY_M_PER_S2;
    Load { force_newtons, plate: place, sole: place, body: place }
}

/// Two loads together, `share` of the second: forces add, and so do moments.
fn between(before: Load, after: Load, share: f64) -> Load {
    let (first, second) = ((1.0 - share) * before.force_newtons, share * after.force_newtons);
    let force_newtons = first + second;
    if force_newtons == 0.0 {
        return Load::default();
    }
    let mix = |of: fn(&Load) -> Place| {
        let (a, b) = (of(&before), of(&after));
        Place {
            ml_mm: (first * a.ml_mm + second * b.ml_mm) / force_newtons,
            ap_mm: (first * a.ap_mm + second * b.ap_mm) / force_newtons,
        }
    };
    Load {
        force_newtons,
        plate: mix(|load| load.plate),
        sole: mix(|load| load.sole),
        body: mix(|load| load.body),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::randomness::Purpose;

    fn play(text: &str) -> Play {
        let random = Randomness::new(1, Purpose::Body { stand: 0 });
        Play::new(text.parse().unwrap(), Person::default(), random)
    }

    #[test]
    fn weights_come_slide_and_go_as_written() {
        let mut play = play("empty 5\nweight 20 -100 50 10 # first\n\nweight 20 -90 50 10\n");
        assert_eq!(play.at(4.9), Load::default());
        let lies = play.at(10.0);
        assert!((lies.force_newtons - 196.133).abs() < 1e-9);
        assert_eq!(lies.plate, Place { ml_mm: -100.0, ap_mm: 50.0 });
        let sliding = play.at(15.5);
        assert!((sliding.force_newtons - 196.133).abs() < 1e-9);
        assert!((sliding.plate.ml_mm + 95.0).abs() < 1e-9, "half way: {sliding:?}");
        assert!((play.at(20.0).plate.ml_mm + 90.0).abs() < 1e-9);
        assert!((play.at(25.5).force_newtons - 98.0665).abs() < 1e-9, "half taken off");
        assert_eq!(play.at(26.0), Load::default());
        assert_eq!(play.at(9_999.0), Load::default());
    }

    #[test]
    fn a_person_steps_on_and_off_within_their_act() {
        let mut play = play("empty 2\nperson firm/hip-width/open 20\nempty 5");
        let weight = Person::default().weight_newtons();
        assert!((play.at(10.0).force_newtons / weight - 1.0).abs() < 0.01);
        assert_eq!(play.at(22.0), Load::default());
        assert_eq!(play.at(26.9), Load::default());
    }

    #[test]
    fn anything_else_is_refused_with_its_line() {
        for bad in
            ["weight 20 0 0", "weight 20 999 0 5", "empty", "empty -1", "empty NaN", "jump 5"]
        {
            let error = format!("empty 1\n{bad}").parse::<Script>().unwrap_err().to_string();
            assert!(error.starts_with("line 2 is no act"), "{error}");
        }
    }
}
