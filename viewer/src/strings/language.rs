//! What a language must have words for.

use std::io;
use std::path::Path;

use acquisition::home::{BadHomeSettings, LanguageKey};
use acquisition::records::Forbidden;
use acquisition::results::MeasuredFile;
use acquisition::trial_file::OpenTrialError;
use acquisition::{BoardLost, CommandError, ConnectError, RecordError};
use analysis::readiness::{Audience, NextStep, Words};
use analysis::{Condition, MeasureDef, NotAvailable, NotComparable, TrialKind, Unit};

use crate::standing::StandError;
use crate::strings::board::BoardWords;
use crate::strings::clinic::{ClinicMessages, CourseWords, PeopleWords};
use crate::strings::message::Message;
use crate::strings::picture::PictureWords;
use crate::strings::plan::PlanWords;
use crate::strings::practice::PracticeWords;
use crate::strings::report::ReportWords;
use crate::strings::sound::SoundWords;
use crate::strings::stand::StandWords;

/// The words of one language.
///
/// Where words depend on a value, the language gives a function, so that word order is its own.
#[derive(Debug)]
pub struct Language {
    /// Its name in settings and on the command line.
    pub key: LanguageKey,
    /// A number with so many digits after the decimal sign, as the language writes it.
    pub decimals: fn(f64, usize) -> String,
    /// A number with so many significant digits, as the language writes it.
    pub significant: fn(f64, usize) -> String,
    /// A number as it stands in a field to be typed over: no more digits than it has.
    pub shortest: fn(f64) -> String,
    /// Words of more than one screen.
    pub common: CommonWords,
    /// Words of the first screen.
    pub start: StartWords,
    /// Words of the list of trials.
    pub choose: ChooseWords,
    /// Words of the comparison.
    pub compare: CompareWords,
    /// Words of the list of people.
    pub people: PeopleWords,
    /// Words of one person's course.
    pub course: CourseWords,
    /// Words of practice at home.
    pub practice: PracticeWords,
    /// Words about plans.
    pub plan: PlanWords,
    /// Words of the screen on which somebody stands.
    pub stand: StandWords,
    /// Messages of the clinic's screens.
    pub clinic: ClinicMessages,
    /// Words of the board's screen.
    pub board: BoardWords,
    /// The message for settings that could not be remembered.
    pub settings_not_kept: fn(&BadHomeSettings) -> Message,
    /// The message for a board that was not connected.
    pub board_not_connected: fn(&ConnectError) -> Message,
    /// The message for a board that did not begin to send.
    pub board_not_started: fn(&CommandError) -> Message,
    /// The message for a board that was connected and is gone.
    pub board_lost: fn(&BoardLost) -> Message,
    /// The message for a trial that the recorder did not bring to its end.
    pub not_recorded: fn(&RecordError) -> Message,
    /// The message for work that the system gives no thread for.
    pub no_thread: fn(&io::Error) -> Message,
    /// Somebody stands, and what was asked for must wait.
    pub somebody_stands: fn() -> Message,
    /// The message for a stand that was not recorded, or not kept as it should be.
    pub stand_failed: fn(&StandError) -> Message,
    /// Words of the printed pages.
    pub report: ReportWords,
    /// Words about sound.
    pub sound: SoundWords,
    /// Words of drawings that are saved as pictures.
    pub picture: PictureWords,
    /// Why the records forbid a stand, as the end of a sentence.
    pub forbidden: fn(Forbidden) -> &'static str,
    /// The message for a trial file that was not opened.
    pub open_trial: fn(&Path, &OpenTrialError) -> Message,
    /// The message for a folder that cannot be read.
    pub open_folder: fn(&Path, &io::Error) -> Message,
    /// The message for a folder without trial files.
    pub empty_folder: fn(&Path) -> Message,
    /// Name of the measure with this key; `None` for a key without words.
    pub measure: fn(&str) -> Option<&'static str>,
    /// Definition of a measure in a line.
    pub definition: fn(&MeasureDef) -> &'static str,
    /// Who defined a measure.
    pub source: fn(&MeasureDef) -> &'static str,
    /// Why a trial has no value of a measure, as a part of a sentence.
    pub not_available: fn(&NotAvailable) -> String,
    /// The advice on the next step, with its reasons.
    pub next_step: fn(&NextStep, Audience) -> Words,
    /// A unit as it stands beside a number; empty for a pure number.
    pub unit: fn(Unit) -> &'static str,
    /// A value of a unit, without the unit where it stands beside.
    pub value: fn(Unit, f64) -> String,
    /// A difference of two values of a unit, with its sign.
    pub difference: fn(Unit, f64) -> String,
    /// Why two sets, or one measure of them, are not compared.
    pub not_comparable: fn(&NotComparable) -> String,
    /// Doubts about a recording, each in a few words; none for a sound one.
    pub doubts: fn(&MeasuredFile) -> Vec<String>,
    /// A condition in a line.
    pub condition: fn(&Condition) -> String,
    /// What a trial is for.
    pub kind: fn(TrialKind) -> &'static str,
}

/// Words of more than one screen.
#[derive(Debug)]
pub struct CommonWords {
    /// Name of the program.
    pub program: &'static str,
    /// Sentence about what this is not, shown before anything is measured.
    pub caution: &'static str,
    /// Name of the language in itself, as it is chosen by.
    pub own_name: &'static str,
    /// Name of the list from which the language is chosen.
    pub language_label: &'static str,
    /// What to know before the language is used with patients: what, why, and what to do; `None`
    /// for the language the program was written in.
    pub language_caution: Option<[&'static str; 3]>,
    /// Button that switches to light colours.
    pub to_light: &'static str,
    /// Button that switches to dark colours.
    pub to_dark: &'static str,
    /// Button that takes a message away.
    pub dismiss: &'static str,
    /// Button that takes so many messages away at once.
    pub dismiss_all: fn(usize) -> String,
    /// Shown while files are being read.
    pub reading: &'static str,
}

/// Words of the first screen.
#[derive(Debug)]
pub struct StartWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// What the program is for, in one line.
    pub purpose: &'static str,
    /// Choice: try without a board.
    pub simulated: ChoiceWords,
    /// Choice: measure.
    pub real: ChoiceWords,
    /// Button that tries it without a board.
    pub try_button: &'static str,
    /// Choice: practise at home.
    pub home: ChoiceWords,
    /// Button that switches to home mode.
    pub home_button: &'static str,
    /// Choice: look at what was recorded.
    pub open: ChoiceWords,
    /// Name of the field for a file or folder.
    pub path_label: &'static str,
    /// What to type in the field, shown while it is empty.
    pub path_hint: &'static str,
    /// Button that opens what the field names.
    pub open_button: &'static str,
}

/// One of the three ways to begin.
#[derive(Debug)]
pub struct ChoiceWords {
    /// Name of the choice.
    pub name: &'static str,
    /// What it does, in one or two sentences.
    pub about: &'static str,
    /// Command to type, if that is how it is done.
    pub command: Option<&'static str>,
}

/// Words of the list of trials.
#[derive(Debug)]
pub struct ChooseWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// What to do here.
    pub title: &'static str,
    /// Name of the field that narrows the list.
    pub find_label: &'static str,
    /// What to type in it, shown while it is empty.
    pub find_hint: &'static str,
    /// Shown when no trial contains what was typed.
    pub nothing_found: &'static str,
    /// Button that compares the two sets.
    pub compare_button: &'static str,
    /// Button that empties both sets.
    pub clear_button: &'static str,
    /// Number of trials.
    pub n_trials: fn(usize) -> String,
    /// A person's number of trials and of days.
    pub person_detail: fn(usize, usize) -> String,
    /// The n-th trial of a group.
    pub trial_number: fn(usize) -> String,
    /// How many other groups a set holds besides the one named.
    pub more_groups: fn(usize) -> String,
    /// What to do while the set of this letter is empty.
    pub set_empty: fn(&str) -> String,
    /// Name, for a screen reader, of the button that puts a row into the set of this letter.
    pub put_into_set: fn(&str, &str) -> String,
    /// Name, for a screen reader, of the button that shows a row's trials.
    pub show_trials: fn(&str) -> String,
}

/// Words of the comparison.
#[derive(Debug)]
pub struct CompareWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// Shown while no two sets were compared yet.
    pub nothing_yet: &'static str,
    /// Button that leads to the list of trials.
    pub choose_sets: &'static str,
    /// Name of the drawing of sway paths.
    pub path_tab: &'static str,
    /// Name of the drawing over time.
    pub time_tab: &'static str,
    /// Name of the drawing over frequency.
    pub spectrum_tab: &'static str,
    /// The sway paths for a screen reader.
    pub path_about: &'static str,
    /// The lines over time for a screen reader.
    pub time_about: &'static str,
    /// The spectra for a screen reader.
    pub spectrum_about: &'static str,
    /// Medio-lateral axis of the sway paths, with unit and direction.
    pub ml_axis: &'static str,
    /// Antero-posterior axis of the sway paths, with unit and direction.
    pub ap_axis: &'static str,
    /// Axis of time, with its unit.
    pub time_axis: &'static str,
    /// Axis of frequency, with its unit.
    pub frequency_axis: &'static str,
    /// Axes of position over time, ML and AP, with their unit.
    pub position_axes: [&'static str; 2],
    /// Axes of power spectral density, ML and AP, with their unit.
    pub power_axes: [&'static str; 2],
    /// Name of a line, ML and AP coordinate in millimetres.
    pub hover_path: fn(&str, f64, f64) -> String,
    /// Name of a line, then name and value of the horizontal and of the vertical axis.
    pub hover_line: fn(&str, &str, f64, &str, f64) -> String,
    /// A number with so many digits after the decimal sign, at an axis.
    pub decimals: fn(f64, usize) -> String,
    /// How to zoom a drawing.
    pub zoom_note: &'static str,
    /// Shown where lines are so dense that B's are not broken either.
    pub dense_note: &'static str,
    /// Button that draws every trial of a set.
    pub all_trials: &'static str,
    /// Name, for a screen reader, of the button that draws every trial of the set of this letter.
    pub every_trial: fn(&str) -> String,
    /// Name, for a screen reader, of the button that draws one trial of the set of this letter.
    pub only_trial: fn(&str, usize) -> String,
    /// Name of the mark at the mean position.
    pub mean: &'static str,
    /// The n-th trial of the set of this letter.
    pub trial_of_set: fn(&str, usize) -> String,
    /// A doubt about the n-th trial of a set.
    pub doubt_of_trial: fn(usize, &str) -> String,
    /// A doubt about a set, marked as one.
    pub doubt: fn(&str) -> String,
    /// Head of the column of measures.
    pub measure_head: &'static str,
    /// Head of the column of changes.
    pub change_head: &'static str,
    /// The same where the change is a vision quotient.
    pub vision_quotient_head: &'static str,
    /// A ratio of B to A.
    pub ratio: fn(f64) -> String,
    /// Both ends of a 95 % interval, and whether its width is that of published repeats.
    pub interval: fn(&str, &str, bool) -> String,
    /// Shown where a change has no interval.
    pub no_interval: &'static str,
    /// Shown where a trial has no value.
    pub no_value: &'static str,
    /// The change exceeds the minimal detectable change.
    pub verdict_exceeds: &'static str,
    /// The change does not exceed the minimal detectable change.
    pub verdict_within: &'static str,
    /// The minimal detectable change is not known.
    pub verdict_unknown: &'static str,
    /// The minimal detectable change as a ratio.
    pub detectable_from: fn(f64) -> String,
    /// Shown where the minimal detectable change is not known.
    pub detectable_unknown: &'static str,
    /// Head of the column that says whether the change is more than chance.
    pub verdict_head: &'static str,
    /// Shown where a measure is not compared.
    pub no_change: &'static str,
    /// Name of a measure, its change, the interval and the verdict in one line.
    pub strip_about: fn(&str, &str, &str, &str) -> String,
    /// What band, line and mark of a row mean.
    pub band_note: &'static str,
    /// Button that shows every measure.
    pub all_measures: &'static str,
    /// Button that shows only the measures that lead.
    pub fewer_measures: &'static str,
}
