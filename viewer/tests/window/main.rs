//! The window, without a screen: found and pressed by the names a screen reader gives.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on should say where")]

mod at_home;
mod bench;
mod board;
#[path = "../../../tests/built_simulator.rs"]
mod built_simulator;
mod clinic;
mod german;
mod headless;
mod made_up_course;
mod main_path;
mod messages;
mod pictures;
mod plan;
mod simulator;
mod stand;
mod standing;
mod synthetic_stands;
