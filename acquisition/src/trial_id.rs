//! Names for new trials.

use uuid::Uuid;

/// A new unique id for a trial: a UUID of version 7, so that ids sort by the time they were made.
pub fn new_trial_id() -> String {
    Uuid::now_v7().to_string()
}
