//! From the board's bytes to sealed trial files, and from other plates' recordings to the same.

mod board_session;
pub mod calibrate;
mod calibration;
mod forces;
mod latest_value;
mod stored_trial;
mod transport;
pub mod trial_file;
mod wall_time;
mod zero;

pub use board_session::{
    BoardEvent, BoardFrame, BoardIdentity, BoardLost, BoardSession, CommandError, ConnectError,
};
pub use calibration::{BadCalibration, Calibration, CalibrationKind, CornerPosition};
pub use forces::{LEAST_LOAD_NEWTONS, cop_from_forces, forces_from_counts};
pub use latest_value::LatestValue;
pub use stored_trial::{
    BoardOrigin, Ending, ImportOrigin, LinkCounts, Origin, RawSamples, Samples, StoredTrial,
    TrialFacts,
};
pub use transport::{BoardAddress, Replay, SerialTransport, TcpTransport, Transport};
pub use wall_time::{BadWallTime, WallTime};
pub use zero::Zero;
