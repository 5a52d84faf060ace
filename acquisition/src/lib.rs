//! From the board's bytes to sealed trial files, and from other plates' recordings to the same.

mod wall_time;

pub use wall_time::{BadWallTime, WallTime};
