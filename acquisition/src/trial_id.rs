//! Names for new trials, sessions, plans and decisions.

use uuid::Uuid;

/// A new unique id for a trial: a UUID of version 7, so that ids sort by the time they were made.
pub fn new_trial_id() -> String {
    Uuid::now_v7().to_string()
}

/// A new unique id for a session, a version of a plan or a decision, of the same kind.
pub fn new_record_id() -> String {
    Uuid::now_v7().to_string()
}
