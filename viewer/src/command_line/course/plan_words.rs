//! A plan in words, and what its versions changed.

use acquisition::records::{Dose, Plan, PlanChange, Release};

use crate::command_line::text_table::{Side, text_table};
use crate::strings::{ENGLISH, significant};

/// The version in force, and what each version changed, the last one first.
pub(super) fn versions(plans: &[Plan]) -> String {
    let Some(plan) = plans.last() else { return String::new() };
    let mut text = whole(plan);
    for pair in plans.windows(2).rev() {
        text.push('\n');
        text.push_str(&changed(&pair[1], &pair[0]));
    }
    text
}

/// What is said when a version has been recorded.
pub(super) fn recorded(plan: &Plan, before: Option<&Plan>) -> String {
    let head = format!("Version {} of the plan of {} is recorded.\n", plan.version, plan.person);
    match before {
        Some(before) => head + &changed(plan, before),
        None => head + &whole(plan),
    }
}

fn whole(plan: &Plan) -> String {
    let limits = &plan.thresholds;
    let rows: Vec<Vec<String>> = plan
        .conditions
        .iter()
        .enumerate()
        .map(|(index, planned)| {
            vec![
                format!("  {}.", index + 1),
                (ENGLISH.condition)(&planned.condition),
                dose_words(planned.dose),
                release_words(planned.release).to_owned(),
            ]
        })
        .collect();
    format!(
        "Plan of {}, version {}, by {} on {}: {} a day{}\n{}  Wobble {}\n",
        plan.person,
        plan.version,
        plan.author,
        plan.made.date(),
        sessions_words(plan.sessions_per_day),
        plan.settle_s.map(|_| format!(", {}", settle_words(plan.settle_s))).unwrap_or_default(),
        text_table(&[Side::Right, Side::Left, Side::Left, Side::Left], &rows),
        (ENGLISH.course.window)([limits.wobble_lower_mm, limits.wobble_upper_mm]),
    )
}

fn changed(plan: &Plan, before: &Plan) -> String {
    let mut text =
        format!("Version {} (by {} on {}) ", plan.version, plan.author, plan.made.date());
    let changes = plan.changes_since(before);
    if changes.is_empty() {
        text.push_str("changed nothing.\n");
        return text;
    }
    text.push_str("changed:\n");
    let line = |change| format!("  {}\n", change_words(change));
    text + &changes.iter().map(line).collect::<Vec<_>>().concat()
}

fn change_words(change: &PlanChange) -> String {
    match change {
        PlanChange::Added(condition) => format!("new: {}", (ENGLISH.condition)(condition)),
        PlanChange::Removed(condition) => {
            format!("no longer in the plan: {}", (ENGLISH.condition)(condition))
        }
        PlanChange::Order => "the order of the conditions".to_owned(),
        PlanChange::Dose { condition, from, to } => format!(
            "{}: {}, before {}",
            (ENGLISH.condition)(condition),
            dose_words(*to),
            dose_words(*from)
        ),
        PlanChange::Release { condition, from, to } => format!(
            "{}: {}, before {}",
            (ENGLISH.condition)(condition),
            release_words(*to),
            release_words(*from)
        ),
        PlanChange::SessionsPerDay { from, to } => {
            format!("{} a day, before {from}", sessions_words(*to))
        }
        PlanChange::Settle { from, to } => {
            format!("{}, before {}", settle_words(*to), settle_words(*from))
        }
        PlanChange::Threshold { key, from, to } => {
            format!("limit {key}: {}, before {}", significant(*to, 4), significant(*from, 4))
        }
    }
}

fn dose_words(dose: Dose) -> String {
    format!(
        "{} holds of {} s, {} s rest",
        dose.holds,
        significant(dose.hold_s, 3),
        significant(dose.rest_s, 3)
    )
}

fn settle_words(settle_s: Option<f64>) -> String {
    match settle_s {
        Some(settle_s) => format!("{} s of standing before a record", significant(settle_s, 3)),
        None => "the usual time of standing before a record".to_owned(),
    }
}

fn sessions_words(n: u8) -> String {
    if n == 1 { "1 session".to_owned() } else { format!("{n} sessions") }
}

fn release_words(release: Release) -> &'static str {
    match release {
        Release::Clinic => "in the clinic only",
        Release::Accompanied => "at home with a second person",
        Release::Alone => "at home alone",
    }
}
