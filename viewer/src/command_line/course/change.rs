//! How sway changed over the course, beside the advice.

use analysis::readiness::{Change, CourseTrend, Moment, NextStep, trend};
use serde_json::{Value, json};

use acquisition::records::{PersonCourse, Plan};

/// The change of wobble and velocity at the condition judged; `None` without a trial there.
pub(crate) fn of(
    step: &NextStep,
    known: &PersonCourse,
    plan: &Plan,
    now: Moment,
) -> Option<CourseTrend> {
    trend(&known.course, step.condition, &plan.thresholds, now)
}

/// The change in words; nothing with fewer than three scored days.
pub(crate) fn words(trend: Option<&CourseTrend>) -> String {
    let Some(trend) = trend else { return String::new() };
    let mut lines: Vec<String> = [("Wobble", trend.wobble), ("Mean velocity", trend.velocity)]
        .into_iter()
        .filter_map(|(name, change)| change.map(|change| line(name, &change)))
        .collect();
    if trend.pain_differs && !lines.is_empty() {
        lines.push(
            "  Pain differs between the first and the latest session: a change of sway is not read \
             as a change of balance.\n"
                .to_owned(),
        );
    }
    lines.concat()
}

fn line(name: &str, change: &Change) -> String {
    let (lower, upper) = change.ratio_per_week_interval;
    format!(
        "  {name} over the course, latest sessions against the first: x{:.2}, {} (detectable: x{:.2} \
         or its inverse). A week: x{:.2}, 95 % interval x{lower:.2} to x{upper:.2}.\n",
        change.ratio,
        if change.real { "more than days differ by anyway" } else { "no more than days differ by" },
        change.detectable_ratio,
        change.ratio_per_week,
    )
}

/// The change as JSON, learning sessions marked.
pub(crate) fn shape(trend: Option<&CourseTrend>) -> Value {
    let Some(trend) = trend else { return Value::Null };
    let change = |change: Option<Change>| {
        change.map(|change| {
            json!({
                "ratio": change.ratio,
                "detectable_ratio": change.detectable_ratio,
                "real": change.real,
                "ratio_per_week": change.ratio_per_week,
                "ratio_per_week_interval": change.ratio_per_week_interval,
            })
        })
    };
    let points: Vec<Value> = trend
        .points
        .iter()
        .map(|point| {
            json!({
                "day_since_1970": point.day,
                "wobble_mm": point.wobble_mm,
                "velocity_mm_per_s": point.velocity_mm_per_s,
                "trials": point.n_trials,
                "learning": point.learning,
            })
        })
        .collect();
    json!({
        "wobble": change(trend.wobble),
        "velocity": change(trend.velocity),
        "pain_differs": trend.pain_differs,
        "days": points,
    })
}
