//! Everything about one person that a course is told from.

use analysis::PersonCode;

use super::database::{Records, RecordsError};
use super::decision::DecisionRecord;
use super::session::SessionRecord;
use super::trial_record::{TrialRecord, from_row, select};

/// One person's sessions, trials and decisions, each the earliest first.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// Every session with its answers.
    pub sessions: Vec<SessionRecord>,
    /// Every trial, with the values of the measures asked for, in the order they were asked for.
    pub trials: Vec<TrialRecord>,
    /// Every decision.
    pub decisions: Vec<DecisionRecord>,
}

impl Records {
    /// The history of a person with the values of `measures`, by their keys.
    ///
    /// A trial without a value of a measure has no entry for it; see the measurement's reason.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn history(&self, person: &PersonCode, measures: &[&str]) -> Result<History, RecordsError> {
        // One moment for all of it, whatever another program changes meanwhile.
        let transaction = self.connection.unchecked_transaction()?;
        let mut query = transaction
            .prepare_cached(&format!("{} ORDER BY started_unix_us, id", select("person = ?1")))?;
        let rows = query.query_map([person.as_str()], |row| {
            Ok((row.get("measurement_key")?, from_row(row)?))
        })?;
        let mut trials: Vec<(i64, TrialRecord)> = rows.collect::<Result<_, _>>()?;
        let mut value = transaction
            .prepare_cached("SELECT value FROM measures WHERE measurement = ?1 AND measure = ?2")?;
        for (key, trial) in &mut trials {
            for &measure in measures {
                let mut rows = value.query((*key, measure))?;
                if let Some(row) = rows.next()? {
                    trial.measurement.values.push((measure.to_owned(), row.get(0)?));
                }
            }
        }
        Ok(History {
            sessions: super::session::all(&transaction, person)?,
            trials: trials.into_iter().map(|(_, trial)| trial).collect(),
            decisions: super::decision::all(&transaction, person)?,
        })
    }
}
