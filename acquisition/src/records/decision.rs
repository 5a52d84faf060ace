//! Decisions of clinicians, beside what the program had advised.

use analysis::readiness::{Decision, Verdict};
use analysis::{Condition, PersonCode};
use rusqlite::{Connection, Row, params};

use super::columns::{parsed, parsed_option, wall_time};
use super::database::{Records, RecordsError};
use super::person;
use crate::wall_time::WallTime;

/// What a clinician decided. It is never changed; another decision follows it.
#[derive(Debug, Clone, PartialEq)]
pub struct DecisionRecord {
    /// Unique id, a UUID.
    pub id: String,
    /// About whom.
    pub person: PersonCode,
    /// When.
    pub made: WallTime,
    /// Who decided.
    pub author: String,
    /// The condition the person goes on with.
    pub condition: Condition,
    /// What the program had advised; `None` if it was not asked.
    pub advice: Option<Verdict>,
    /// In the clinician's own words; may be empty.
    pub note: String,
}

impl DecisionRecord {
    /// The part of the decision that the next step is judged by.
    pub fn decision(&self) -> Decision {
        Decision {
            at_us: self.made.unix_us,
            author: self.author.clone(),
            condition: self.condition,
        }
    }
}

impl Records {
    /// Records a decision. The same decision again changes nothing.
    ///
    /// # Errors
    /// [`RecordsError`], also for another decision under an id that is taken; `ClinicOnly` at home.
    pub fn put_decision(&mut self, decision: &DecisionRecord) -> Result<(), RecordsError> {
        self.only_the_clinic()?;
        self.change(&decision.person, |connection| put(connection, decision))
    }

    /// The decisions about a person, the earliest first.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn decisions(&self, person: &PersonCode) -> Result<Vec<DecisionRecord>, RecordsError> {
        all(&self.connection, person)
    }
}

pub(super) fn put(connection: &Connection, decision: &DecisionRecord) -> Result<(), RecordsError> {
    person::ensure(connection, &decision.person)?;
    if all(connection, &decision.person)?.contains(decision) {
        return Ok(());
    }
    connection.execute(
        "INSERT INTO decisions VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        params![
            decision.id,
            decision.person.as_str(),
            decision.made.unix_us,
            decision.made.offset_s,
            decision.author,
            decision.condition.to_string(),
            decision.advice.map(Verdict::key),
            decision.note,
        ],
    )?;
    Ok(())
}

pub(super) fn all(
    connection: &Connection,
    person: &PersonCode,
) -> Result<Vec<DecisionRecord>, RecordsError> {
    let mut query = connection
        .prepare_cached("SELECT * FROM decisions WHERE person = ?1 ORDER BY made_unix_us, id")?;
    let decisions = query.query_map([person.as_str()], from_row)?;
    Ok(decisions.collect::<Result<_, _>>()?)
}

fn from_row(row: &Row<'_>) -> rusqlite::Result<DecisionRecord> {
    Ok(DecisionRecord {
        id: row.get("id")?,
        person: parsed(row, "person")?,
        made: wall_time(row, "made")?,
        author: row.get("author")?,
        condition: parsed(row, "condition")?,
        advice: parsed_option(row, "advice")?,
        note: row.get("note")?,
    })
}
