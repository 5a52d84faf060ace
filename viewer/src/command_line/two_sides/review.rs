//! `footing review`: what a person did at home, what to look at first, and the advice.

use acquisition::WallTime;
use acquisition::records::{PersonCourse, Plan, Practice, PractisedSession};
use analysis::readiness::{Audience, CourseTrend, NextStep, next_step};
use serde_json::{Value, json};

use super::arguments::ReviewArguments;
use super::send::days_before;
use crate::command_line::course::as_of::AsOf;
use crate::command_line::course::{change, next_step as step_words};
use crate::command_line::data_folder::DataFolder;
use crate::command_line::output;
use crate::command_line::problem::Problem;
use crate::command_line::text_table::{Side, text_table};
use crate::strings::{ENGLISH, decimals, significant};

pub(super) fn run(arguments: &ReviewArguments, data: &DataFolder) -> Result<(), Problem> {
    let records = data.records()?;
    let person = &arguments.person;
    let AsOf { until, course, plan } = AsOf::read(&records, person, arguments.as_of.as_deref())?;
    let practice = records.practice(person, days_before(until, arguments.days), until)?;
    let step = next_step(&course.course, &plan.step_plan(), until.moment())?;
    let trend = change::of(&step, &course, &plan, until.moment());
    let review = Review { plan: &plan, practice: &practice, step: &step, course: &course };
    output::result(&if arguments.json {
        review.shape(until, trend.as_ref()).to_string()
    } else {
        review.words(arguments.days, trend.as_ref())
    });
    Ok(())
}

struct Review<'a> {
    plan: &'a Plan,
    practice: &'a Practice,
    step: &'a NextStep,
    course: &'a PersonCourse,
}

impl Review<'_> {
    fn words(&self, days: u16, trend: Option<&CourseTrend>) -> String {
        let practice = self.practice;
        let mut text = format!(
            "{} in the last {days} days, plan version {}: {} sessions, {} planned.\n\n",
            self.plan.person,
            self.plan.version,
            practice.sessions.len(),
            practice.n_planned
        );
        text.push_str(&first_to_look_at(practice));
        if !practice.sessions.is_empty() {
            text.push_str(&table(practice));
            text.push('\n');
        }
        text.push_str(&step_words::words(self.step, Audience::Clinician));
        text.push_str(&change::words(trend));
        text.push_str(&step_words::left_out_words(self.step, self.course));
        text.push_str(
            "`footing answer` records your decision and seals it for the home. A measurement, not \
             a diagnosis.\n",
        );
        text
    }

    fn shape(&self, until: WallTime, trend: Option<&CourseTrend>) -> Value {
        let sessions: Vec<Value> = self.practice.sessions.iter().map(session_shape).collect();
        json!({
            "format": "footing review",
            "format_version": 1,
            "person": self.plan.person.as_str(),
            "as_of": until.to_string(),
            "sessions_done": self.practice.sessions.len(),
            "sessions_planned": self.practice.n_planned,
            "days": self.practice.n_days,
            "sessions": sessions,
            "next_step": step_words::shape(self.step, self.course, self.plan, until),
            "change": change::shape(trend),
            "caution": acquisition::results::CAUTION,
        })
    }
}

/// The sessions with something to look at, each with its reasons.
fn first_to_look_at(practice: &Practice) -> String {
    let flagged: Vec<String> = practice
        .sessions
        .iter()
        .filter(|session| !session.flags.is_empty())
        .map(|session| format!("  {}: {}\n", session.started.date(), flag_words(session)))
        .collect();
    if flagged.is_empty() {
        return "Nothing stands out.\n\n".to_owned();
    }
    format!("Look at this first:\n{}\n", flagged.concat())
}

fn flag_words(session: &PractisedSession) -> String {
    let words = session.flags.iter().map(|flag| (ENGLISH.practice.flag)(*flag));
    words.collect::<Vec<_>>().join("; ")
}

fn table(practice: &Practice) -> String {
    let mut rows = vec![
        ["date", "measured, guided, practice", "in the window", "wobble [mm]"]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.extend(practice.sessions.iter().map(|session| {
        let [measured, guided, unscored] = session.n_stands;
        let none = || "–".to_owned();
        vec![
            session.started.date(),
            format!("{measured}, {guided}, {unscored}"),
            session.inside.map_or_else(none, |inside| format!("{} %", decimals(inside * 100.0, 0))),
            session.wobble_mm.map_or_else(none, |wobble_mm| significant(wobble_mm, 3)),
        ]
    }));
    text_table(&[Side::Left, Side::Left, Side::Right, Side::Right], &rows)
}

fn session_shape(session: &PractisedSession) -> Value {
    let [measured, guided, unscored] = session.n_stands;
    json!({
        "session": session.id,
        "started": session.started.to_string(),
        "flags": session.flags.iter().map(|flag| flag.key()).collect::<Vec<_>>(),
        "measured": measured,
        "guided": guided,
        "practice": unscored,
        "share_inside": session.inside,
        "wobble_mm": session.wobble_mm,
    })
}
