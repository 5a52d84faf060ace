//! The program's window: a few screens over one list of trials.
//!
//! Each screen is a folder of three: `model` turns values into what is shown, `layout` places it,
//! `paint` draws it and returns what the person asked for as commands. Files are read and measures
//! computed by a [`loader`] thread; the window itself only shows.

mod app;
pub mod choose;
pub mod compare;
pub mod home;
mod marks;
mod run;
mod style;

pub use app::FootingWindow;
pub use run::{WindowError, WindowStart, run};
pub use style::Side;
