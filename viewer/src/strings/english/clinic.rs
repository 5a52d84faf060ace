//! The clinic's screens in English.

use analysis::MM_PER_INCH;
use analysis::readiness::Verdict;

use crate::strings::clinic::{CourseWords, PeopleWords};
use crate::strings::english::{counted, left_out};
use crate::strings::number::{decimals, significant};

/// The list of people.
pub(crate) const PEOPLE: PeopleWords = PeopleWords {
    tab: "People",
    title: "Who needs you first?",
    find_label: "Find",
    find_hint: "code, name or advice",
    nobody: "Nobody is recorded yet. Type a code below to add the first person",
    nothing_found: "Nobody matches these words",
    no_records: "No data folder is open, so there are no people to show",
    code_label: "New person's code",
    code_hint: "such as P-07; no names",
    add_button: "Add person",
    course_button: "Course",
    course_of: |code| format!("Course of {code}"),
    not_read: "reading",
    no_plan: "no plan yet",
    n_new: |n| counted(n, "new session", "new sessions"),
    last_session: |date| format!("last {date}"),
    no_session: "no session yet",
    verdict,
};

const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Advance => "ready to advance",
        Verdict::Stay => "stay",
        Verdict::StepBack => "step back",
        Verdict::StopAndReview => "stop and review",
        Verdict::NotEnoughData => "not enough data",
        Verdict::PlanComplete => "plan complete, review",
    }
}

/// One person's course.
pub(crate) const COURSE: CourseWords = CourseWords {
    tab: "Course",
    nobody_chosen: "Choose a person to see how their wobble changed",
    choose_person: "Go to people",
    title: |code, name| match name {
        Some(name) => format!("{code}, {name}"),
        None => code.to_owned(),
    },
    condition_label: "Condition",
    nothing_measured: "No session with a measured trial at this condition yet",
    wobble_title: "Wobble per session",
    difficulty_title: "Felt difficulty, 0 very easy to 10 cannot",
    pain_title: "Pain, 0 to 10:",
    pain_marks: ["at start", "worst", "next morning"],
    window: |[low, high]| {
        format!(
            "window {} to {} mm ({} to {} in)",
            significant(low, 3),
            significant(high, 3),
            decimals(low / MM_PER_INCH, 2),
            decimals(high / MM_PER_INCH, 2)
        )
    },
    learning: "hollow: first session, learning",
    decision_mark: "decision",
    decimals,
    mm: "mm",
    inch: "in",
    wobble_of_day: |mm, n_trials, learning| {
        format!(
            "wobble {} mm ({} in) from {}{}",
            significant(mm, 3),
            decimals(mm / MM_PER_INCH, 2),
            counted(n_trials, "trial", "trials"),
            if learning { ", first session (learning)" } else { "" }
        )
    },
    difficulty_of_day: |points| format!("difficulty {}", answered(points)),
    pain_of_day: |[start, worst, morning]| {
        format!(
            "pain {} at start, {} worst, {} next morning",
            answered(start),
            answered(worst),
            answered(morning)
        )
    },
    no_wobble: "no wobble measured here",
    about: |n_days| {
        format!(
            "Wobble, felt difficulty and pain over {}; left and right arrow move from day to day",
            counted(n_days, "day", "days")
        )
    },
    all_days: "Show all days",
    days_note: "Point at a day, or use the left and right arrow keys",
    step_head: "Next step",
    no_plan: "No plan yet: the next step is judged by a plan's conditions and limits",
    left_out_head: "Left out",
    left_out_line: |n, why| format!("{n}: {why}"),
    left_out: left_out::left_out,
    outside: left_out::outside,
    sessions_done: |n, n_days, window_days, planned| {
        let done = format!(
            "{} on {} in the last {window_days} days",
            counted(n, "session", "sessions"),
            counted(n_days, "day", "days")
        );
        match planned {
            Some(planned) => format!("{done}; the plan asks for {planned} a day"),
            None => done,
        }
    },
    decided_head: "Decided so far",
    decision_head: "Decision",
    go_on_with: "Go on with",
    author_label: "Decided by",
    note_label: "Note",
    decide_button: "Decide",
    confirm: |person, condition, author, advice| {
        format!(
            "{person} goes on with {condition}, decided by {author}. The advice is: {advice}. \
             A stored decision is not changed; another one follows it."
        )
    },
    store_button: "Store this decision",
    back_button: "Back",
    no_decision: "Nothing is decided yet",
    decided: |date, author, condition, advice| {
        format!("{date}, {author}: {condition} (advice: {advice})")
    },
    not_asked: "not asked",
};

fn answered(points: Option<u8>) -> String {
    points.map_or_else(|| "not answered".to_owned(), |points| points.to_string())
}
