//! Words of the clinic's screens: people, and the course of one of them.

use std::path::Path;

use acquisition::records::{
    CatchUpError, IndexTrialError, OpenRecordsError, RecordsError, WhyOutside,
};
use analysis::readiness::{NotInPlan, Verdict, WhyLeftOut};
use analysis::{BadPersonCode, PersonCode};

use crate::strings::message::Message;

/// Words of the list of people.
#[derive(Debug)]
pub struct PeopleWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// What to do here.
    pub title: &'static str,
    /// Name of the field that narrows the list.
    pub find_label: &'static str,
    /// What to type in it, shown while it is empty.
    pub find_hint: &'static str,
    /// Shown while nobody is recorded.
    pub nobody: &'static str,
    /// Shown when nobody contains what was typed.
    pub nothing_found: &'static str,
    /// Shown when there are no records to read.
    pub no_records: &'static str,
    /// Name of the field for a new person's code.
    pub code_label: &'static str,
    /// What to type in it, shown while it is empty.
    pub code_hint: &'static str,
    /// Button that adds the person.
    pub add_button: &'static str,
    /// Button that leads to a person's course.
    pub course_button: &'static str,
    /// The same with the person's code, for a screen reader.
    pub course_of: fn(&str) -> String,
    /// Shown while a person's records are still being read.
    pub not_read: &'static str,
    /// Shown for a person without a plan.
    pub no_plan: &'static str,
    /// Sessions since the last decision or plan.
    pub n_new: fn(usize) -> String,
    /// The date of the last session.
    pub last_session: fn(&str) -> String,
    /// Shown for a person without a session.
    pub no_session: &'static str,
    /// The advice in a few words.
    pub verdict: fn(Verdict) -> &'static str,
}

/// Words of one person's course.
#[derive(Debug)]
pub struct CourseWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// Shown while nobody is chosen.
    pub nobody_chosen: &'static str,
    /// Button that leads to the list of people.
    pub choose_person: &'static str,
    /// Code and name of the person.
    pub title: fn(&str, Option<&str>) -> String,
    /// Name of the field for the condition that is drawn.
    pub condition_label: &'static str,
    /// Shown when nothing was measured.
    pub nothing_measured: &'static str,
    /// Title of the drawing of wobble.
    pub wobble_title: &'static str,
    /// Title of the drawing of felt difficulty.
    pub difficulty_title: &'static str,
    /// Title of the drawing of pain.
    pub pain_title: &'static str,
    /// What the marks of pain are: at the start, worst, next morning.
    pub pain_marks: [&'static str; 3],
    /// The window's name beside its band, with both ends in mm and inches.
    pub window: fn([f64; 2]) -> String,
    /// Name of the mark of a first session.
    pub learning: &'static str,
    /// Name of the line at a decision.
    pub decision_mark: &'static str,
    /// A number with so many digits after the decimal sign, beside a scale.
    pub decimals: fn(f64, usize) -> String,
    /// The unit beside the left scale.
    pub mm: &'static str,
    /// The unit beside the right scale.
    pub inch: &'static str,
    /// Wobble of a day: millimetres, number of trials, whether it was the first session.
    pub wobble_of_day: fn(f64, usize, bool) -> String,
    /// Felt difficulty of a day; `None` if not answered.
    pub difficulty_of_day: fn(Option<u8>) -> String,
    /// Pain of a day at the start, worst, next morning; `None` where not answered.
    pub pain_of_day: fn([Option<u8>; 3]) -> String,
    /// No wobble was measured on a day.
    pub no_wobble: &'static str,
    /// The drawing for a screen reader: number of days.
    pub about: fn(usize) -> String,
    /// Button that shows all days after a zoom.
    pub all_days: &'static str,
    /// How to move from day to day.
    pub days_note: &'static str,
    /// Head of the advice.
    pub step_head: &'static str,
    /// Shown where the advice needs a plan.
    pub no_plan: &'static str,
    /// Head of what the advice did not use.
    pub left_out_head: &'static str,
    /// So many, and why.
    pub left_out_line: fn(usize, &str) -> String,
    /// Why a trial or session was left out.
    pub left_out: fn(WhyLeftOut) -> &'static str,
    /// Why a trial can be no evidence.
    pub outside: fn(WhyOutside) -> &'static str,
    /// Sessions and days of the last days, and how many the plan asks for each day.
    pub sessions_done: fn(usize, usize, u16, Option<u8>) -> String,
    /// Head of what was decided.
    pub decided_head: &'static str,
    /// Head of the form.
    pub decision_head: &'static str,
    /// Name of the field for the condition decided on.
    pub go_on_with: &'static str,
    /// Name of the field for whoever decides.
    pub author_label: &'static str,
    /// Name of the field for a note.
    pub note_label: &'static str,
    /// Button that leads to the second step.
    pub decide_button: &'static str,
    /// What will be stored: person, condition, author, advice.
    pub confirm: fn(&str, &str, &str, &str) -> String,
    /// Button that stores it.
    pub store_button: &'static str,
    /// Button that goes back to the form.
    pub back_button: &'static str,
    /// Shown while nothing was decided.
    pub no_decision: &'static str,
    /// One decision: date, author, condition, advice.
    pub decided: fn(&str, &str, &str, &str) -> String,
    /// Advice that was not asked for.
    pub not_asked: &'static str,
}

/// Messages of the clinic's screens.
#[derive(Debug)]
pub struct ClinicMessages {
    /// The records were not opened.
    pub not_opened: fn(&OpenRecordsError) -> Message,
    /// A trial file that the records do not know and cannot take, and how many more there are.
    pub not_taken_in: fn(&Path, &IndexTrialError, usize) -> Message,
    /// The records may lack trials.
    pub not_up_to_date: fn(&CatchUpError) -> Message,
    /// The records refused to be read or changed.
    pub refused: fn(&RecordsError) -> Message,
    /// Text that is no code.
    pub bad_code: fn(&BadPersonCode) -> Message,
    /// A code that somebody has.
    pub taken: fn(&PersonCode) -> Message,
    /// A person who is gone from the records.
    pub gone: fn(&PersonCode) -> Message,
    /// A plan that does not hold what was decided.
    pub not_in_plan: fn(&NotInPlan) -> Message,
    /// A decision that needs a plan.
    pub needs_plan: fn(&PersonCode) -> Message,
}
