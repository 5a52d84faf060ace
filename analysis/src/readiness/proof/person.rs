//! A virtual person, and the course that one seed makes of them.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal, StandardUniform};

use super::super::course::{
    Answers, Course, Exercise, NextMorning, Rating, Session, Sway, TrialEvidence, TrialLength,
    WhereMeasured,
};
use super::super::plan::StepPlan;
use super::super::thresholds::Thresholds;
use crate::condition::{Condition, Stance, Surface, Vision};
use crate::cop::Plane;
use crate::trial::{Facing, Setup, TrialKind};

/// Who stands, how they vary, and how honestly they answer.
#[derive(Debug, Clone, PartialEq)]
pub struct VirtualPerson {
    /// True level of wobble on the first day, millimetres.
    pub wobble_mm: f64,
    /// Ratio by which that level changes in a week; 1 for none.
    pub change_per_week: f64,
    /// Spread (SD of the logarithm) of the level from day to day.
    pub day_log_sd: f64,
    /// Spread of the logarithm from trial to trial of a session, without the board's.
    pub trial_log_sd: f64,
    /// Spread that the board's noise adds to a trial; the rule is told.
    pub board_noise_log_sd: f64,
    /// Standard error of the board's scale, one draw a course; the rule is told.
    pub calibration_log_sd: f64,
    /// Length of the trials.
    pub length: TrialLength,
    /// Measured trials a session.
    pub trials_per_session: usize,
    /// Sessions of the course, the learning session included.
    pub n_sessions: usize,
    /// Probability that a planned day is missed; one session is planned a day.
    pub missed_day_probability: f64,
    /// How hard the condition truly feels, 0 to 10.
    pub felt_difficulty: f64,
    /// Spread of a rating about that, points.
    pub rating_sd: f64,
    /// Points by which ratings are understated.
    pub understated_by: f64,
    /// Probability of a step-off, per trial.
    pub step_off_probability: f64,
    /// Probability that a session makes pain rise by 2 points.
    pub flare_probability: f64,
    /// Probability that the pain or warning questions of a session go unanswered.
    pub silence_probability: f64,
}

impl VirtualPerson {
    /// Someone who finds the condition easy, at home: three trials of 35 s a session, one day in
    /// six missed, no events, no flares, every answer given.
    ///
    /// The spread between trials is the belief's centre; a scale error of 1 % and noise of 2 % are
    /// this project's own choice for a board within its limits.
    pub fn at_ease(wobble_mm: f64, day_log_sd: f64) -> Self {
        Self {
            wobble_mm,
            change_per_week: 1.0,
            day_log_sd,
            trial_log_sd: 0.155,
            board_noise_log_sd: 0.02,
            calibration_log_sd: 0.01,
            length: TrialLength::Home,
            trials_per_session: 3,
            n_sessions: 11,
            missed_day_probability: 1.0 / 6.0,
            felt_difficulty: 2.0,
            rating_sd: 0.7,
            understated_by: 0.0,
            step_off_probability: 0.0,
            flare_probability: 0.0,
            silence_probability: 0.0,
        }
    }

    /// The course of this person for one seed.
    pub fn course(&self, seed: u64) -> Course {
        let mut chance = Chance(ChaCha8Rng::seed_from_u64(seed));
        let scale_error = self.calibration_log_sd * chance.normal();
        let mut sessions = Vec::with_capacity(self.n_sessions);
        let mut day = 0;
        while sessions.len() < self.n_sessions {
            if !chance.happens(self.missed_day_probability) {
                sessions.push(self.session(day, scale_error, &mut chance));
            }
            day += 1;
        }
        Course { sessions, decisions: Vec::new() }
    }

    fn session(&self, day: i32, scale_error: f64, chance: &mut Chance) -> Session {
        let weeks = f64::from(day) / 7.0;
        let day_deviation = self.day_log_sd * chance.normal();
        let level = self.wobble_mm.ln() + weeks * self.change_per_week.ln() + day_deviation;
        let trials: Vec<TrialEvidence> = (0..self.trials_per_session)
            .map(|number| {
                let person = self.trial_log_sd * chance.normal();
                let board = self.board_noise_log_sd * chance.normal();
                let log_wobble = level + person + board + scale_error;
                TrialEvidence {
                    id: format!("trial-{day}-{number}"),
                    kind: TrialKind::Measured,
                    measured: self.measured(),
                    stepped_off: chance.happens(self.step_off_probability),
                    sway: Some(self.sway(log_wobble, day_deviation, chance)),
                    unplanned_support: false,
                    neutral_offset: None,
                }
            })
            .collect();
        let rating = self.felt_difficulty - self.understated_by + self.rating_sd * chance.normal();
        let ended_us = (i64::from(day) * 24 + 18) * HOUR_US;
        Session {
            id: format!("session-{day}"),
            day,
            ended_us,
            answers: self.answers(ended_us, chance),
            exercises: vec![Exercise {
                condition: JUDGED,
                difficulty: Some(rating_from_points(rating)),
                touched_something: Some(false),
                trials,
            }],
        }
    }

    fn measured(&self) -> WhereMeasured {
        WhereMeasured {
            length: self.length,
            setup: Setup {
                board: "board-sim".to_owned(),
                sole_height_mm: Some(60.0),
                facing: Facing::Front,
            },
            pad: "pad-sim".to_owned(),
            plane: Plane::Plate,
        }
    }

    /// The measures of a trial: its windows spread about the trial's median as those of open foam
    /// recordings do, and neighbouring windows share four fifths of their samples.
    fn sway(&self, log_wobble: f64, day_deviation: f64, chance: &mut Chance) -> Sway {
        let n_windows: u32 = match self.length {
            TrialLength::Clinic => 51,
            TrialLength::Home => 26,
        };
        let fresh = (1.0 - SHARED_WITH_NEXT * SHARED_WITH_NEXT).sqrt();
        let mut deviation = chance.normal();
        let mut windows = Vec::new();
        for _ in 0..n_windows {
            windows.push(WINDOW_LOG_SD * deviation);
            deviation = SHARED_WITH_NEXT * deviation + fresh * chance.normal();
        }
        let mut sorted = windows.clone();
        sorted.sort_by(f64::total_cmp);
        let middle = f64::midpoint(sorted[sorted.len() / 2], sorted[(sorted.len() - 1) / 2]);
        let edge = Thresholds::default().wobble_upper_mm.ln();
        let n_over = windows.iter().filter(|window| edge < log_wobble + *window - middle).count();
        Sway {
            wobble_median_mm: log_wobble.exp(),
            share_over: n_over as f64 / f64::from(n_windows),
            mean_velocity_mm_per_s: (VELOCITY_MM_PER_S.ln()
                + 0.8 * day_deviation
                + VELOCITY_LOG_SD * chance.normal())
            .exp(),
            n_wobble_windows: n_windows,
            board_noise_log_sd: self.board_noise_log_sd,
            calibration_log_sd: self.calibration_log_sd,
        }
    }

    fn answers(&self, ended_us: i64, chance: &mut Chance) -> Answers {
        if chance.happens(self.silence_probability) {
            return Answers::default();
        }
        let start = rating_from_points(2.0 + 0.7 * chance.normal()).points().min(5);
        let rise =
            if chance.happens(self.flare_probability) { 2 } else { u8::from(chance.happens(0.3)) };
        Answers {
            pain_at_start: Rating::new(start),
            worst_pain_during: Rating::new(start + rise),
            pain_after: Rating::new(start + rise),
            next_morning: Rating::new(start)
                .map(|pain| NextMorning { pain, answered_us: ended_us + 14 * HOUR_US }),
            fall: Some(false),
            warning_sign: Some(false),
            leg_pain_further_down: Some(false),
            numbness_or_weakness: Some(false),
        }
    }
}

const HOUR_US: i64 = 3_600_000_000;

/// Spread of the logarithm of a trial's windows about their median. Reproduces how often windows
/// of open foam recordings of 60 s lie over the wobble window: 7 % at 17 to 19 mm, 14 % at 19 to
/// 21 mm.
const WINDOW_LOG_SD: f64 = 0.25;

/// Correlation of a window with the one a second later: 4 of 5 s are the same.
const SHARED_WITH_NEXT: f64 = 0.8;

/// Foam, eyes open, young adults (Santos & Duarte 2016); only its changes matter here.
const VELOCITY_MM_PER_S: f64 = 24.0;

/// Standard error of one trial's mean velocity at 35 s, as believed.
const VELOCITY_LOG_SD: f64 = 0.134;

/// The condition stood: the next one of the plan closes the eyes.
const JUDGED: Condition = Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Open);

/// The virtual clinic's plan: an easier condition, the one judged, and the same with closed eyes.
/// The person was sent to the second before the course began.
pub fn simulated_plan(thresholds: Thresholds) -> (StepPlan, super::super::course::Decision) {
    let easier = Condition { stance: Stance::Wide, ..JUDGED };
    let harder = Condition { vision: Vision::Closed, ..JUDGED };
    let plan = StepPlan { conditions: vec![easier, JUDGED, harder], thresholds };
    let author = "clinician-sim".to_owned();
    (plan, super::super::course::Decision { at_us: 0, author, condition: JUDGED })
}

fn rating_from_points(points: f64) -> Rating {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0..=10 before"
    )]
    let whole = points.round().clamp(0.0, 10.0) as u8;
    Rating::new(whole).expect("clamped to 0..=10")
}

/// A seeded source of chance.
pub(super) struct Chance(pub(super) ChaCha8Rng);

impl Chance {
    pub(super) fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    pub(super) fn happens(&mut self, probability: f64) -> bool {
        let at: f64 = StandardUniform.sample(&mut self.0);
        at < probability
    }
}
