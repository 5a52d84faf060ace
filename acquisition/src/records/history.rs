//! Everything about one person that a course is told from.

use analysis::PersonCode;
use rusqlite::params_from_iter;

use super::database::{Records, RecordsError};
use super::decision::DecisionRecord;
use super::session::SessionRecord;
use super::trial_record::TrialRecord;
use super::trial_row::{from_row, select, value};

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
        let mut query = transaction.prepare_cached(&format!(
            "{} ORDER BY started_unix_us, id",
            select("person = ?1", measures.len())
        ))?;
        let asked = std::iter::once(person.as_str()).chain(measures.iter().copied());
        let rows = query.query_map(params_from_iter(asked), |row| {
            let mut trial = from_row(row)?;
            for (index, &measure) in measures.iter().enumerate() {
                let value = value(row, index)?;
                trial.measurement.values.extend(value.map(|value| (measure.to_owned(), value)));
            }
            Ok(trial)
        })?;
        let trials = rows.collect::<Result<_, _>>()?;
        Ok(History {
            sessions: super::session::all(&transaction, person)?,
            trials,
            decisions: super::decision::all(&transaction, person)?,
        })
    }
}
