//! A virtual person on a virtual board.
//!
//! A body sways ([`sway`]), steps on and off ([`scene`]), or weights come and go as written
//! ([`script`]); either presses on a plate with four cells
//! ([`plate`]), whose readings become counts with the errors of real cells ([`cells`]); the board
//! ([`board`]) answers commands and numbers its frames as the firmware does, with faults on demand
//! ([`faults`]). Nothing here reads a clock or a port: time is that of the frames, and the same
//! seed gives the same bytes. The program around it moves the bytes and keeps the pace.
//!
//! ```
//! use board_simulator::board::{Board, Settings};
//! use board_wire::Command;
//!
//! let mut board = Board::new(Settings::default());
//! let mut sent = Vec::new();
//! board.receive(Command::Start.encode().as_bytes(), &mut sent);
//! let truth = board.next_frame(&mut sent).expect("the board was started");
//! assert_eq!(truth.load.force_newtons, 0.0); // nobody has stepped on yet
//! ```

pub mod board;
pub mod cells;
pub mod condition;
pub mod faults;
pub mod person;
pub mod plate;
pub mod randomness;
pub mod scene;
pub mod script;
pub mod sway;
