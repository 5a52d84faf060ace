//! Practice at home: one thing at a time, in a full-screen window or line by line in a terminal.

mod board_work;
#[cfg(test)]
mod by_ear;
mod clock;
mod page;
mod paint;
pub(crate) mod plain;
mod practice;
mod session_sound;
mod spoken;
mod stand_marks;
mod watch;
pub(crate) mod window;

pub(crate) use clock::SessionClock;
pub(crate) use practice::Practice;
