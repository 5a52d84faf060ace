//! What a language must have words for on printed pages.

use acquisition::records::AffectedSide;
use analysis::QualityFlag;

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
    /// Words about who, and what it was measured with.
    pub facts: FactWords,
    /// The days of the trials, if there are any, and the day of the page.
    pub period: fn(Option<&[String; 2]>, &str) -> String,
    /// What the values of a condition rest on: trials, seconds asked for, day, days in all.
    pub basis: fn(usize, &str, &str, usize) -> String,
    /// An interval that comes from published repeats.
    pub interval_of_table: &'static str,
    /// The factor that repeats of one day seldom exceed.
    pub chance_up_to: fn(&str) -> String,
    /// A change over the course as a factor, and whether it is more than days differ by.
    pub change_of_course: fn(&str, bool) -> String,
    /// Name of the quotient of eyes closed and open.
    pub vision_quotient: &'static str,
    /// What it is made of.
    pub vision_quotient_of: &'static str,
    /// What a flag says against a trial.
    pub flag: fn(QualityFlag) -> &'static str,
    /// So many trial files could not be opened.
    pub not_opened: fn(usize) -> String,
    /// A trial that does not stand beside the others, and why.
    pub not_beside: fn(&str) -> String,
    /// The advice and the condition it is about.
    pub step_at: fn(&str, &str) -> String,
    /// What the advice did not use.
    pub left_out: fn(&str) -> String,
    /// A decision: the condition, and what was advised.
    pub go_on_with: fn(&str, &str) -> String,
    /// Title of a course of wobble, from the condition.
    pub wobble_course: fn(&str) -> String,
    /// Title of a course of felt difficulty.
    pub difficulty_course: &'static str,
    /// Title of a course of pain.
    pub pain_course: &'static str,
    /// What holds for all definitions.
    pub about_definitions: &'static [&'static str],
    /// The picture of the plain page in a sentence.
    pub about_picture: &'static str,
    /// When to stop, from the points by which pain may not rise.
    pub stop_when: fn(&str) -> Vec<String>,
    /// What was decided, to the person: the condition and the day.
    pub you_go_on_with: fn(&str, &str) -> String,
    /// On so many days.
    pub on_days: fn(usize) -> String,
    /// Sessions a day, holds, seconds of a hold.
    pub planned_dose: fn(u8, u16, &str) -> String,
}

/// Words about who, and what it was measured with.
#[derive(Debug)]
pub struct FactWords {
    /// Name of the row of the person.
    pub person: &'static str,
    /// Name of the row of the board.
    pub board: &'static str,
    /// Name of the row of the calibration.
    pub calibration: &'static str,
    /// Name of the row of the board's noise.
    pub noise: &'static str,
    /// Name of the row of the plane of the numbers.
    pub plane: &'static str,
    /// Name of the row of the plan.
    pub plan: &'static str,
    /// Shown while there is no trial.
    pub no_trial: &'static str,
    /// Year of birth.
    pub born: fn(u16) -> String,
    /// Where a complaint sits.
    pub side: fn(AffectedSide) -> &'static str,
    /// A plate of others: its name and the file.
    pub imported: fn(&str, &str) -> String,
    /// The calibration of a plate of others.
    pub foreign_calibration: &'static str,
    /// A board of this project: its id and firmware.
    pub own_board: fn(&str, &str) -> String,
    /// A board that was never calibrated.
    pub nominal_calibration: &'static str,
    /// A calibrated board: version, day, largest uncertainty of a place in mm.
    pub fitted_calibration: fn(u32, &str, Option<&str>) -> String,
    /// A newer calibration than the one used.
    pub newer_calibration: fn(u32) -> String,
    /// No dead weight was put on yet.
    pub no_dead_weight: &'static str,
    /// Noise in mm/s under so many newtons.
    pub dead_weight: fn(&str, &str) -> String,
    /// The plane of the plate, and the height of the sole above it if known.
    pub plate_plane: fn(Option<&str>) -> String,
    /// A plan: version, author, day.
    pub plan_made: fn(u32, &str, &str) -> String,
}
