//! What the course of a person shows.

use std::collections::{BTreeMap, BTreeSet};

use acquisition::WallTime;
use acquisition::records::{DecisionRecord, PersonCourse, PersonRecord, Plan};
use analysis::Condition;
use analysis::readiness::{
    Audience, Moment, NextStep, NotInPlan, Rating, Session, Thresholds, Verdict, next_step, trend,
};

use crate::strings::Language;

/// A person's course, ready to be shown.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseView {
    /// Code of the person.
    pub person: String,
    /// Code and name.
    pub title: String,
    /// The wobble window in millimetres, lower end first.
    pub window_mm: [f64; 2],
    /// Each condition of the plan or of a session.
    pub conditions: Vec<ConditionCourse>,
    /// Position of the condition the advice is about.
    pub here: usize,
    /// Days of decisions.
    pub decision_days: Vec<i32>,
    /// How often the person practised, against the plan.
    pub sessions_done: String,
    /// The advice, or why there is none.
    pub step: Result<StepView, String>,
    /// Conditions a decision can name, with their words; none without a plan.
    pub planned: Vec<(Condition, String)>,
    /// What was decided, the latest first.
    pub decisions: Vec<DecisionRow>,
}

/// The course at one condition.
#[derive(Debug, Clone, PartialEq)]
pub struct ConditionCourse {
    /// The condition in words.
    pub name: String,
    /// Every day on which it was done, in order.
    pub days: Vec<DayOfCourse>,
}

/// One day at one condition; what was not measured or not answered is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct DayOfCourse {
    /// Days since 1970, local.
    pub day: i32,
    /// The date as it is written.
    pub date: String,
    /// Wobble in millimetres.
    pub wobble_mm: Option<f64>,
    /// Whether it is the first session at the condition, which is learning.
    pub learning: bool,
    /// Felt difficulty, the highest of the day.
    pub difficulty: Option<u8>,
    /// Pain at the start, worst during or after, next morning; the highest of the day.
    pub pain: [Option<u8>; 3],
    /// All of it in a line.
    pub readout: String,
}

/// The advice in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepView {
    /// The advice.
    pub verdict: Verdict,
    /// It in a sentence.
    pub headline: String,
    /// The condition it is about, in words.
    pub condition: String,
    /// Reasons first, then what else is to be said.
    pub lines: Vec<String>,
    /// What it did not use, counted by reason.
    pub left_out: Vec<String>,
}

/// One decision in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DecisionRow {
    /// Date, author, condition, advice.
    pub text: String,
    /// The note; may be empty.
    pub note: String,
}

impl CourseView {
    /// The course as it is known at a moment.
    pub fn new(
        words: &Language,
        person: &PersonRecord,
        known: &PersonCourse,
        plan: Option<&Plan>,
        decisions: &[DecisionRecord],
        now: Moment,
    ) -> Self {
        let limits = plan.map_or_else(Thresholds::default, |plan| plan.thresholds);
        let asked = plan.map(|plan| next_step(&known.course, &plan.step_plan(), now));
        let planned = plan.map_or(&[][..], |plan| &plan.conditions);
        let mut conditions: Vec<Condition> = planned.iter().map(|step| step.condition).collect();
        for exercise in known.course.sessions.iter().flat_map(|session| &session.exercises) {
            if !conditions.contains(&exercise.condition) {
                conditions.push(exercise.condition);
            }
        }
        let here = match &asked {
            Some(Ok(step)) => conditions.iter().position(|&other| other == step.condition),
            Some(Err(_)) | None => None,
        };
        let days_of = |condition: &Condition| ConditionCourse {
            name: (words.condition)(condition),
            days: days(words, known, *condition, &limits, now),
        };
        Self {
            person: person.code.to_string(),
            title: (words.course.title)(person.code.as_str(), person.name.as_deref()),
            window_mm: [limits.wobble_lower_mm, limits.wobble_upper_mm],
            conditions: conditions.iter().map(days_of).collect(),
            here: here.unwrap_or(0),
            decision_days: decisions.iter().map(|decision| decision.made.moment().day).collect(),
            sessions_done: sessions_done(words, &known.course.sessions, plan, &limits, now),
            step: step_view(words, known, asked),
            planned: planned
                .iter()
                .map(|step| (step.condition, (words.condition)(&step.condition)))
                .collect(),
            decisions: decisions.iter().rev().map(|made| decision_row(words, made)).collect(),
        }
    }
}

fn days(
    words: &Language,
    known: &PersonCourse,
    condition: Condition,
    limits: &Thresholds,
    now: Moment,
) -> Vec<DayOfCourse> {
    let trend = trend(&known.course, condition, limits, now);
    let points: BTreeMap<i32, _> =
        trend.iter().flat_map(|trend| &trend.points).map(|point| (point.day, point)).collect();
    let here = |session: &&Session| {
        session.day <= now.day && session.exercises.iter().any(|done| done.condition == condition)
    };
    let mut by_day: BTreeMap<i32, Vec<&Session>> = BTreeMap::new();
    for session in known.course.sessions.iter().filter(here) {
        by_day.entry(session.day).or_default().push(session);
    }
    let day = |(day, sessions): (i32, Vec<&Session>)| {
        let point = points.get(&day);
        let difficulty = sessions
            .iter()
            .flat_map(|session| &session.exercises)
            .filter(|done| done.condition == condition)
            .filter_map(|done| done.difficulty)
            .map(Rating::points)
            .max();
        let pain = pain_of(&sessions);
        let course = &words.course;
        let wobble = point.map_or_else(
            || course.no_wobble.to_owned(),
            |point| (course.wobble_of_day)(point.wobble_mm, point.n_trials, point.learning),
        );
        let date = WallTime::date_of_day(day);
        let felt = (course.difficulty_of_day)(difficulty);
        let readout = format!("{date}: {wobble}; {felt}; {}", (course.pain_of_day)(pain));
        DayOfCourse {
            day,
            date,
            wobble_mm: point.map(|point| point.wobble_mm),
            learning: point.is_some_and(|point| point.learning),
            difficulty,
            pain,
            readout,
        }
    };
    by_day.into_iter().map(day).collect()
}

fn pain_of(sessions: &[&Session]) -> [Option<u8>; 3] {
    let highest = |of: fn(&Session) -> Option<Rating>| {
        sessions.iter().filter_map(|session| of(session)).map(Rating::points).max()
    };
    [
        highest(|session| session.answers.pain_at_start),
        highest(|session| session.answers.worst_pain_during.max(session.answers.pain_after)),
        highest(|session| session.answers.next_morning.map(|morning| morning.pain)),
    ]
}

fn sessions_done(
    words: &Language,
    sessions: &[Session],
    plan: Option<&Plan>,
    limits: &Thresholds,
    now: Moment,
) -> String {
    let first_day = now.day.saturating_sub(i32::from(limits.window_days)).saturating_add(1);
    let recent: Vec<i32> = sessions
        .iter()
        .map(|session| session.day)
        .filter(|&day| first_day <= day && day <= now.day)
        .collect();
    let n_days = recent.iter().collect::<BTreeSet<_>>().len();
    let planned = plan.map(|plan| plan.sessions_per_day);
    (words.course.sessions_done)(recent.len(), n_days, limits.window_days, planned)
}

fn step_view(
    words: &Language,
    known: &PersonCourse,
    asked: Option<Result<NextStep, NotInPlan>>,
) -> Result<StepView, String> {
    let step = match asked {
        None => return Err(words.course.no_plan.to_owned()),
        Some(Err(error)) => return Err((words.clinic.not_in_plan)(&error).why),
        Some(Ok(step)) => step,
    };
    let said = (words.next_step)(&step, Audience::Clinician);
    let mut counts: BTreeMap<&'static str, usize> = BTreeMap::new();
    let inside = step.left_out.iter().map(|left| (words.course.left_out)(left.why));
    let outside = known.outside.iter().map(|left| (words.course.outside)(left.why));
    for reason in inside.chain(outside) {
        *counts.entry(reason).or_default() += 1;
    }
    Ok(StepView {
        verdict: step.verdict,
        headline: said.headline,
        condition: (words.condition)(&step.condition),
        lines: said.lines.into_iter().map(|line| line.text).collect(),
        left_out: counts.into_iter().map(|(why, n)| (words.course.left_out_line)(n, why)).collect(),
    })
}

fn decision_row(words: &Language, made: &DecisionRecord) -> DecisionRow {
    let advice = made.advice.map_or(words.course.not_asked, words.people.verdict);
    let condition = (words.condition)(&made.condition);
    DecisionRow {
        text: (words.course.decided)(&made.made.date(), &made.author, &condition, advice),
        note: made.note.clone(),
    }
}
