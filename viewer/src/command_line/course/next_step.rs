//! `footing next-step`: should this person go on, stay or step back, and why.

use std::collections::BTreeMap;

use acquisition::WallTime;
use acquisition::records::{PersonCourse, Plan, Records};
use analysis::Condition;
use analysis::readiness::{
    Audience, Course, Criterion, Finding, NextStep, Origin, Threshold, next_step,
};
use serde_json::{Value, json};

use super::arguments::NextStepArguments;
use super::as_of::AsOf;
use super::change;
use crate::command_line::output;
use crate::command_line::problem::Problem;
use crate::strings::ENGLISH;

pub(super) fn run(arguments: &NextStepArguments, records: &Records) -> Result<(), Problem> {
    let AsOf { until, course: mut known, plan } =
        AsOf::read(records, &arguments.person, arguments.as_of.as_deref())?;
    if let Some(condition) = arguments.condition {
        judge_at(&mut known.course, condition);
    }
    let step = next_step(&known.course, &plan.step_plan(), until.moment())?;
    let trend = change::of(&step, &known, &plan, until.moment());
    output::result(&if arguments.json {
        let mut shape = shape(&step, &known, &plan, until);
        shape["change"] = change::shape(trend.as_ref());
        shape.to_string()
    } else if arguments.patient {
        words(&step, Audience::Patient)
    } else {
        let mut text = place_words(&step, &plan, until);
        text.push_str(&words(&step, Audience::Clinician));
        text.push_str(&change::words(trend.as_ref()));
        text.push_str(&left_out_words(&step, &known));
        text.push_str(
            "Advice from wobble, ratings and reports; the clinician decides \
             (`footing decide`). A measurement, not a diagnosis.\n",
        );
        text
    });
    Ok(())
}

/// Every decision is taken to name this condition: releases stay, the place in the plan changes.
fn judge_at(course: &mut Course, condition: Condition) {
    if course.decisions.is_empty() {
        course.decisions.push(analysis::readiness::Decision {
            at_us: i64::MIN,
            author: String::new(),
            condition,
        });
    }
    for decision in &mut course.decisions {
        decision.condition = condition;
    }
}

fn place_words(step: &NextStep, plan: &Plan, until: WallTime) -> String {
    format!(
        "{} on {}, plan version {}, at {}\n",
        plan.person,
        until.date(),
        plan.version,
        (ENGLISH.condition)(&step.condition)
    )
}

pub(crate) fn words(step: &NextStep, audience: Audience) -> String {
    let words = step.words(audience);
    let mut lines = vec![words.headline];
    lines.extend(words.lines.into_iter().map(|line| format!("  {}", line.text)));
    lines.join("\n") + "\n"
}

/// How many trials or sessions each reason left out.
pub(crate) fn left_out_words(step: &NextStep, known: &PersonCourse) -> String {
    let mut counts: BTreeMap<&'static str, usize> = BTreeMap::new();
    for left in &step.left_out {
        *counts.entry((ENGLISH.course.left_out)(left.why)).or_default() += 1;
    }
    for outside in &known.outside {
        *counts.entry((ENGLISH.course.outside)(outside.why)).or_default() += 1;
    }
    let line = |(reason, n)| format!("  Left out: {n}, {reason}.\n");
    counts.into_iter().map(line).collect::<Vec<_>>().concat()
}

pub(crate) fn shape(step: &NextStep, known: &PersonCourse, plan: &Plan, until: WallTime) -> Value {
    let condition = |condition: Option<Condition>| condition.map(|at| at.to_string());
    let left_out: Vec<Value> = step
        .left_out
        .iter()
        .map(|left| {
            json!({
                "session": left.session,
                "trial": left.trial,
                "why": (ENGLISH.course.left_out)(left.why),
            })
        })
        .chain(known.outside.iter().map(|outside| {
            json!({"session": null, "trial": outside.id, "why": (ENGLISH.course.outside)(outside.why)})
        }))
        .collect();
    json!({
        "format": "footing next step",
        "format_version": 1,
        "program": acquisition::results::PROGRAM,
        "person": plan.person.as_str(),
        "plan_version": plan.version,
        "as_of": until.to_string(),
        "verdict": step.verdict.key(),
        "condition": step.condition.to_string(),
        "easier": condition(step.easier),
        "harder": condition(step.harder),
        "criteria": step.criteria.iter().map(criterion).collect::<Vec<_>>(),
        "wobble": step.wobble.map(|wobble| json!({
            "median_mm": wobble.median_mm,
            "lower_mm": wobble.lower_mm,
            "upper_mm": wobble.upper_mm,
            "probability_at_most_upper": wobble.at_most_upper,
            "probability_at_most_lower": wobble.at_most_lower,
        })),
        "next_wobble": step.next_wobble.map(|next| json!({
            "median_mm": next.median_mm,
            "lower_mm": next.lower_mm,
            "upper_mm": next.upper_mm,
            "probability_in_reach": next.in_reach_probability,
        })),
        "notes": step.notes.iter().map(|note| note.key()).collect::<Vec<_>>(),
        "used_trials": step.used.trials,
        "left_out": left_out,
        "caution": acquisition::results::CAUTION,
    })
}

fn criterion(found: &Criterion) -> Value {
    let limit = |limit: Option<Threshold>| {
        limit.map(|limit| json!({"value": limit.value, "origin": origin(limit.origin)}))
    };
    json!({
        "criterion": found.which.key(),
        "finding": finding(found.finding),
        "value": found.value,
        "limit": limit(found.threshold),
        "probability": found.probability,
        "needed_probability": limit(found.needed_probability),
    })
}

fn finding(finding: Finding) -> &'static str {
    match finding {
        Finding::Met => "met",
        Finding::NotMet => "not met",
        Finding::NotKnown => "not known",
        Finding::NotJudged => "not judged",
        Finding::NotApplicable => "not applicable",
    }
}

fn origin(origin: Origin) -> String {
    match origin {
        Origin::Published(source) => source.to_owned(),
        Origin::CommonPractice => "common practice, no published source".to_owned(),
        Origin::OwnChoice => "this program's default, not from a published trial".to_owned(),
        Origin::Plan => "the plan".to_owned(),
    }
}
