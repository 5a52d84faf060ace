//! A plan in words, and what its versions changed.

use acquisition::records::{GuidedBy, Plan};

use crate::command_line::text_table::{Side, text_table};
use crate::strings::ENGLISH;

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
                (ENGLISH.plan.dose)(planned.dose),
                (ENGLISH.plan.release)(planned.release).to_owned(),
            ]
        })
        .collect();
    format!(
        "Plan of {}, version {}, by {} on {}: {} a day{}\n{}  Wobble {}\n{}",
        plan.person,
        plan.version,
        plan.author,
        plan.made.date(),
        (ENGLISH.plan.sessions)(plan.sessions_per_day),
        plan.settle_s
            .map(|_| format!(", {}", (ENGLISH.plan.settle)(plan.settle_s)))
            .unwrap_or_default(),
        text_table(&[Side::Right, Side::Left, Side::Left, Side::Left], &rows),
        (ENGLISH.course.window)([limits.wobble_lower_mm, limits.wobble_upper_mm]),
        at_home(plan),
    )
}

/// What holds at home besides the releases; nothing where that is the usual.
fn at_home(plan: &Plan) -> String {
    let words = &ENGLISH.plan;
    let guided = (plan.guided_by != GuidedBy::Sound)
        .then(|| format!("  {}: {}\n", words.guided_by_field, (words.guided_by)(plan.guided_by)));
    let finds = plan
        .finds_stance_at_home
        .then(|| format!("  {}: {}\n", words.home_head, words.finds_stance_field));
    [guided, finds].into_iter().flatten().collect()
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
    let line = |change| format!("  {}\n", (ENGLISH.plan.change)(change));
    text + &changes.iter().map(line).collect::<Vec<_>>().concat()
}
