//! What a language must have words for on printed pages.

/// Words of the printed pages.
#[derive(Debug)]
pub struct ReportWords {
    /// Tag of the language, as in RFC 5646.
    pub language_tag: &'static str,
    /// Title of the page for the chart, from the person's code.
    pub chart_title: fn(&str) -> String,
    /// Line under it, from the days covered and the program with its version.
    pub subtitle: fn(&str, &str) -> String,
    /// Heading over board and calibration.
    pub board_head: &'static str,
    /// Heading over the results.
    pub results_head: &'static str,
    /// Head of the column of measures.
    pub measure_head: &'static str,
    /// Head of the column of values.
    pub value_head: &'static str,
    /// Head of the column of intervals.
    pub interval_head: &'static str,
    /// Head of the column of notes.
    pub note_head: &'static str,
    /// An interval from its two ends.
    pub from_to: fn(&str, &str) -> String,
    /// A doubt about recordings, marked as one.
    pub doubt: fn(&str) -> String,
    /// Shown where there is no value.
    pub no_value: &'static str,
    /// Shown where there is nothing to show.
    pub nothing_recorded: &'static str,
    /// Heading over the program's advice.
    pub next_step_head: &'static str,
    /// Shown if the program gave none.
    pub no_next_step: &'static str,
    /// Heading over the clinician's decision.
    pub decision_head: &'static str,
    /// Who decided and when.
    pub decided_by: fn(&str, &str) -> String,
    /// Shown if there is no decision.
    pub no_decision: &'static str,
    /// Heading over the sway paths.
    pub sway_head: &'static str,
    /// What they show.
    pub sway_about: &'static str,
    /// Axes of a drawing of sway paths.
    pub sway_axes: &'static str,
    /// How many paths are drawn of how many.
    pub paths_drawn: fn(usize, usize) -> String,
    /// A drawing of sway paths in words: title, number of paths, millimetres to each side.
    pub sway_alternative: fn(&str, usize, f64) -> String,
    /// Heading over the courses.
    pub course_head: &'static str,
    /// A course in words: title, number of days, the first and the last value.
    pub course_alternative: fn(&str, usize, &[Option<String>; 2]) -> String,
    /// Heading over the definitions.
    pub definitions_head: &'static str,
    /// What the pages are, beside the caution.
    pub measures_only: &'static str,
    /// The n-th of so many pages.
    pub page_of: fn(usize, usize) -> String,
    /// Title of the plain page, from name or code.
    pub patient_title: fn(&str) -> String,
    /// Heading over what comes next.
    pub your_next_head: &'static str,
    /// Heading over what was practised.
    pub your_practice_head: &'static str,
    /// Head of the column of stands.
    pub stand_head: &'static str,
    /// Head of the column of how often they were done.
    pub done_head: &'static str,
    /// Head of the column of how often they were planned.
    pub planned_head: &'static str,
    /// Heading over when to stop.
    pub stop_head: &'static str,
    /// Whom to ask.
    pub contact: fn(&str) -> String,
    /// The emergency number.
    pub emergency: fn(&str) -> String,
}
