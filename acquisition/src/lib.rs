//! From the board's bytes to sealed trial files, and from other plates' recordings to the same.

pub mod board_folder;
mod board_search;
mod board_session;
pub mod board_test;
pub mod calibrate;
mod calibration;
mod calibration_shape;
pub mod exchange;
pub mod export;
mod forces;
pub mod guided;
pub mod home;
pub mod import;
mod interrupts;
pub mod journal;
pub mod keys;
mod latest_value;
pub mod library;
mod live;
pub mod package;
pub mod recompute;
mod recorder;
pub mod records;
pub mod results;
mod sleep_hold;
mod stored_trial;
#[cfg(test)]
mod test_stand;
mod transport;
pub mod trial_file;
mod trial_id;
mod trial_quality;
mod wall_time;
mod zero;

pub use board_search::{BoardPlaces, FindBoardError, FoundBoard, find_board, wait_for_board};
pub use board_session::{
    BoardEvent, BoardFrame, BoardIdentity, BoardLost, BoardSession, CommandError, ConnectError,
};
pub use calibration::{BadCalibration, CORNER_NAMES, Calibration, CalibrationKind, CornerPosition};
pub use forces::{LEAST_LOAD_NEWTONS, cop_from_forces, forces_from_counts};
pub use interrupts::{Heeding, Interrupts};
pub use latest_value::LatestValue;
pub use live::{LiveSway, LiveView};
pub use recorder::{
    Progress, RATED_LOAD_NEWTONS, RecordError, RecordObserver, RecordRequest, RecordedTrial,
    Refusal, STANDARD_GRAVITY, Stage, Wish, ZeroTrouble, record, record_by,
};
pub use sleep_hold::SleepHold;
pub use stored_trial::{
    BoardOrigin, Ending, ImportOrigin, LinkCounts, Origin, RawSamples, Recomputed, Samples,
    StoredTrial, TrialFacts,
};
pub use transport::{BoardAddress, PortHolder, Replay, SerialTransport, TcpTransport, Transport};
pub use trial_id::{new_record_id, new_trial_id};
pub use wall_time::{BadWallTime, WallTime};
pub use zero::{Zero, ZeroLine};
