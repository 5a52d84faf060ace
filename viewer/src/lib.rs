//! The `footing` program as a library, so that its tests reach every part without starting it.
//!
//! This crate words, draws and wires; the numbers come from `analysis`, the files and the board
//! from `acquisition`. It holds no formula, no SQL and no file layout.

pub mod command_line;
mod home;
pub mod picture;
pub mod report;
pub mod sound;
pub mod standing;
pub mod strings;
pub mod window;
