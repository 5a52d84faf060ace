//! Words of drawings that are saved as pictures.

use std::path::Path;

use crate::picture::PictureError;
use crate::strings::message::Message;

/// Words about pictures.
#[derive(Debug)]
pub struct PictureWords {
    /// Name of the field for the file of a picture.
    pub label: &'static str,
    /// Button that saves the drawing beside it.
    pub save: &'static str,
    /// The same for the table of differences, which stands beside another drawing.
    pub differences_label: &'static str,
    /// Button that saves the differences.
    pub save_differences: &'static str,
    /// Asks whether the file of this name is to be replaced.
    pub already_there: fn(&Path) -> String,
    /// Button that replaces it.
    pub replace: &'static str,
    /// Button that leaves it as it is.
    pub keep: &'static str,
    /// Title of the sway paths.
    pub paths: &'static str,
    /// Title of the centre of pressure over time.
    pub over_time: &'static str,
    /// Title of the power over frequency.
    pub spectra: &'static str,
    /// Title of the differences of two sets.
    pub differences: &'static str,
    /// A set's letter and what it is.
    pub set: fn(&str, &str) -> String,
    /// What the sway paths and their outlines are.
    pub paths_note: &'static str,
    /// What diamond, bar and band of the differences are.
    pub differences_key: [&'static str; 3],
    /// What the star behind an interval means.
    pub from_table: &'static str,
    /// Name of the axis of the differences.
    pub differences_axis: fn(&str) -> String,
    /// A measure's change, its interval and whether it is beyond chance.
    pub difference: fn(&str, &str, &str) -> String,
    /// What the disc of a day's wobble is.
    pub wobble_of_day: &'static str,
    /// Axis of dates.
    pub dates: &'static str,
    /// Title of the wobble of a guided stand: the person's code.
    pub stand: fn(&str) -> String,
    /// Axis of time before the end of a stand, with its unit.
    pub before_end: &'static str,
    /// The message for a picture that is saved.
    pub saved: fn(&Path) -> Message,
    /// The message for a picture that is not.
    pub failed: fn(&PictureError) -> Message,
}
