//! The printed pages in English.

use crate::strings::number::decimals;
use crate::strings::report::ReportWords;

pub(crate) const REPORT: ReportWords = ReportWords {
    language_tag: "en-GB",
    chart_title: |person| format!("Standing sway: {person}"),
    subtitle: |period, software| {
        if period.is_empty() { software.to_owned() } else { format!("{period} · {software}") }
    },
    board_head: "Board",
    results_head: "Results",
    measure_head: "Measure",
    value_head: "Value",
    interval_head: "95 % interval",
    note_head: "Beside it",
    from_to: |low, high| format!("{low} to {high}"),
    doubt: |doubt| format!("Take care: {doubt}"),
    no_value: "–",
    nothing_recorded: "Nothing recorded",
    next_step_head: "Next step, suggested by the program",
    no_next_step: "The program was not asked, or has no plan to judge by.",
    decision_head: "Clinician's decision",
    decided_by: |author, date| format!("Decided by {author}, {date}"),
    no_decision: "No decision recorded.",
    sway_head: "Sway paths",
    sway_about: "Centre of pressure around its own mean, as seen from above: up is forward, right \
                 is to the person's right. Broken lines: 95 % prediction ellipses. All drawings to \
                 one scale.",
    sway_axes: "across ML, up AP; mm",
    paths_drawn: |drawn, all| {
        if drawn == all { trials(all) } else { format!("the latest {drawn} of {}", trials(all)) }
    },
    sway_alternative: |title, n_paths, reach_mm| {
        format!(
            "Sway paths with 95 % prediction ellipses, {title}: {}, within {} mm to each side.",
            trials(n_paths),
            decimals(reach_mm, 0)
        )
    },
    course_head: "Course",
    course_alternative: |title, n_days, ends| {
        let values = format!("{title} over the days; {n_days} values.");
        match ends {
            [Some(first), Some(last)] => format!("{values} First {first}; last {last}."),
            _ => values,
        }
    },
    definitions_head: "Definitions",
    measures_only: "Compared are measured trials only, recorded without any feedback. Thresholds \
                    of the suggested step are the plan's or this program's own defaults.",
    page_of: |page, n_pages| format!("Page {page} of {n_pages}"),
    patient_title: |person| format!("Your practice, {person}"),
    your_next_head: "What comes next",
    your_practice_head: "What you did",
    stand_head: "How you stood",
    done_head: "Done",
    planned_head: "Planned",
    stop_head: "Stop and ask, if",
    contact: |contact| format!("Ask: {contact}"),
    emergency: |number| {
        format!("In an emergency call {number}, now. Do not wait for this program.")
    },
};

fn trials(n: usize) -> String {
    format!("{n} {}", if n == 1 { "trial" } else { "trials" })
}
