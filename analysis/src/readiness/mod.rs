//! The next step: harder, same or easier, with reasons and evidence.
//!
//! [`next_step`] reads a [`Course`] against a [`StepPlan`] and answers with one [`Verdict`], every
//! criterion it evaluated and what it left out. It advises; the clinician decides, and a
//! [`Decision`] goes back in with the next question. [`trend`] tells how sway changed over a
//! course, [`proof`] measures by simulation how often the rule is wrong.
//!
//! Nothing here reads a clock or a random source: days, times and seeds are arguments, and the same
//! input gives the same answer bit for bit on one build and machine.
//!
//! The rule, its thresholds and its measured error rates are told in
//! `analysis/docs/readiness.md`. Thresholds that no publication gives say so ([`Origin`]).

mod advance;
mod balance_offset;
mod clinical_words;
mod course;
mod criterion;
mod day;
mod evidence;
mod integration;
mod next_condition;
mod next_step;
mod patient_words;
mod plan;
mod posterior;
mod prior;
pub mod proof;
mod prose;
mod situation;
mod steady;
mod step_back;
mod stop;
mod thresholds;
mod trend;

pub use course::{
    Answers, Course, Decision, Exercise, Moment, NeutralOffset, NextMorning, Rating, Session, Sway,
    TrialEvidence, TrialLength, WhereMeasured,
};
pub use criterion::{Criterion, Finding, Rule, Settle, Threshold, Which};
pub use evidence::{LeftOut, Used, WhyLeftOut};
pub use next_condition::{NextWobble, RatioSource};
pub use next_step::{NextStep, Note, Verdict, WobbleEstimate, next_step, next_step_in_any_plan};
pub use plan::{NotInPlan, StepPlan};
pub use posterior::{BoardSpread, Posterior};
pub use prior::{ModelPriors, SpreadPrior};
pub use prose::{About, Audience, Line, Words};
pub use thresholds::{BadThreshold, Origin, THRESHOLDS, ThresholdDef, Thresholds};
pub use trend::{Change, CourseTrend, TrendPoint, trend};
