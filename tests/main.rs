//! End-to-end tests: the built programs, from outside.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops where something it takes for granted does not hold"
)]

mod bad_input;
mod bench;
mod board_testing;
mod built_simulator;
mod calibrating;
mod course;
mod course_on_a_board;
mod emulated_board;
mod faults;
mod fortnight;
mod home_sound;
mod language;
mod layers;
mod open_formats;
mod open_recordings;
mod real_window;
mod recording;
mod relay;
mod stopping;
mod strangers;
mod two_programs;
mod two_sides;
