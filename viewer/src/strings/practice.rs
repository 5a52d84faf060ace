//! Words of practice at home: what is asked, one thing at a time, and what a review names first.

use acquisition::Stage;
use acquisition::home::{Ask, HomeSettings};
use acquisition::records::PracticeFlag;

use crate::command_line::Problem;
use crate::sound::Cue;
use crate::strings::message::Message;

/// What is on the page for one thing that is asked.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PageWords {
    /// The one thing, in a few words, to be read from two metres.
    pub title: String,
    /// What it means or how to do it, in short lines.
    pub lines: Vec<String>,
}

/// Words of a session at home.
#[derive(Debug)]
pub struct PracticeWords {
    /// What is on the page.
    pub page: fn(&Ask, &HomeSettings) -> PageWords,
    /// Answers, on buttons.
    pub yes: &'static str,
    /// Answers, on buttons.
    pub no: &'static str,
    /// Goes on.
    pub go_on: &'static str,
    /// No more stands today.
    pub enough: &'static str,
    /// One point less.
    pub less: &'static str,
    /// One point more.
    pub more: &'static str,
    /// The sound a step quieter.
    pub quieter: &'static str,
    /// The sound a step louder.
    pub louder: &'static str,
    /// A large mark in the place of a cue.
    pub mark: fn(Cue) -> &'static str,
    /// Gives the points shown.
    pub that_many: &'static str,
    /// Tries the board again.
    pub try_again: &'static str,
    /// Where the wobble is: not known yet.
    pub wobble_not_known: &'static str,
    /// Under the window.
    pub wobble_too_little: &'static str,
    /// In the window.
    pub wobble_inside: &'static str,
    /// Over the window.
    pub wobble_too_much: &'static str,
    /// Plays the sound again.
    pub again: &'static str,
    /// Leaves the program, or home mode.
    pub leave: &'static str,
    /// Does not leave.
    pub stay: &'static str,
    /// The second step before home mode is left.
    pub leaving: fn() -> PageWords,
    /// Small, in a corner: how home mode is left.
    pub leave_key: &'static str,
    /// What is typed in a terminal for yes.
    pub typed_yes: &'static [&'static str],
    /// What is typed in a terminal for no.
    pub typed_no: &'static [&'static str],
    /// What is typed in a terminal for louder.
    pub typed_louder: &'static [&'static str],
    /// What is typed in a terminal for quieter.
    pub typed_quieter: &'static [&'static str],
    /// Shown where something else was typed about the volume.
    pub type_volume: &'static str,
    /// Shown where something else was typed.
    pub type_yes_or_no: &'static str,
    /// Shown where something else than points was typed.
    pub type_points: &'static str,
    /// Shown in a terminal where no sound is to be had.
    pub no_sound: &'static str,
    /// What the person on the board does now.
    pub stage: fn(&Stage) -> &'static str,
    /// A flag of a session, in a few words.
    pub flag: fn(PracticeFlag) -> &'static str,
    /// The message for a problem in the middle of a session; `None` if it was said already.
    pub(crate) trouble: fn(&Problem) -> Option<Message>,
}
