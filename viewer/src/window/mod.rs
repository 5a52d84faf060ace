//! The program's window: a few screens over one list of trials.
//!
//! Each screen is a folder: `model` turns values into what is shown, `layout` places it, `paint`
//! draws it and returns what the person asked for as commands. A loader thread reads files and
//! computes; the window itself only shows.

mod app;
mod at_home;
pub mod board;
pub mod choose;
pub mod clinic;
pub mod compare;
pub mod course;
pub mod headless;
mod languages;
mod loader;
mod marks;
mod messages;
pub mod people;
pub mod plan;
mod questions;
mod reading;
mod recording;
mod run;
mod saving;
pub mod stand;
pub mod start;
mod style;
mod words_in_use;
mod zoom;

pub use app::{FootingWindow, Screen};
pub use run::{WindowError, WindowStart, run};
pub use style::{Side, apply as apply_style};
