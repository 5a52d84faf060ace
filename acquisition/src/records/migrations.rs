//! The schema, as a row of steps of which each has run once, in order, in every database.

use rusqlite::{Connection, TransactionBehavior};
use thiserror::Error;

/// Marks an SQLite file as records of this program: `FtRc` in ASCII.
const APPLICATION_ID: i32 = i32::from_be_bytes(*b"FtRc");

/// Step n leads from version n to version n + 1. A step that has been released is never changed.
const STEPS: &[&str] = &[
    include_str!("schema_1.sql"),
    include_str!("schema_2.sql"),
    include_str!("schema_3.sql"),
    include_str!("schema_4.sql"),
    include_str!("schema_5.sql"),
];

/// Why a database cannot be brought to this program's schema.
#[derive(Debug, Error)]
pub enum MigrateError {
    /// An SQLite file of another kind.
    #[error("it is a database, but not one of records")]
    NotRecords,
    /// Written by a later program.
    #[error("it is of schema version {version}, this program knows up to {known}")]
    Newer {
        /// The version of the file.
        version: usize,
        /// The highest version known.
        known: usize,
    },
    /// SQLite refuses.
    #[error("the schema cannot be brought from version {from} to {to}")]
    Step {
        /// The version before.
        from: usize,
        /// The version wanted.
        to: usize,
        /// What SQLite said.
        source: rusqlite::Error,
    },
    /// The version cannot be read.
    #[error("its schema version cannot be read")]
    Unreadable(#[from] rusqlite::Error),
}

/// The schema version of a database that is new or ours; nothing is written.
pub(super) fn recognise(connection: &Connection) -> Result<usize, MigrateError> {
    let version: u32 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let application_id: i32 =
        connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let n_objects: u32 =
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let is_new = version == 0 && n_objects == 0 && application_id == 0;
    if is_new || application_id == APPLICATION_ID {
        Ok(version as usize)
    } else {
        Err(MigrateError::NotRecords)
    }
}

/// Brings a new or older database to this program's schema; an error leaves it as it was.
pub(super) fn migrate(connection: &mut Connection) -> Result<(), MigrateError> {
    run(connection, STEPS)
}

fn run(connection: &mut Connection, steps: &[&str]) -> Result<(), MigrateError> {
    let known = steps.len();
    // Everything in one transaction that locks out other writers: two programs that start at once
    // do not both run a step.
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let version = recognise(&transaction)?;
    if known < version {
        return Err(MigrateError::Newer { version, known });
    }
    if version == known {
        return Ok(());
    }
    let step = || -> rusqlite::Result<()> {
        for step in &steps[version..] {
            transaction.execute_batch(step)?;
        }
        transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
        transaction.pragma_update(None, "user_version", i64::try_from(known).unwrap_or(i64::MAX))
    };
    step().and_then(|()| transaction.commit()).map_err(|source| MigrateError::Step {
        from: version,
        to: known,
        source,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn schema(connection: &Connection) -> Vec<String> {
        let mut query = connection
            .prepare("SELECT name || ': ' || coalesce(sql, '') FROM sqlite_schema ORDER BY name")
            .unwrap();
        let rows = query.query_map([], |row| row.get(0)).unwrap();
        rows.map(|row| row.unwrap()).collect()
    }

    fn version(connection: &Connection) -> u32 {
        connection.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap()
    }

    /// A database of each released version, with a session as that version kept it.
    #[test]
    fn a_new_database_gets_every_step_and_one_of_each_version_the_rest() {
        let mut fresh = Connection::open_in_memory().unwrap();
        migrate(&mut fresh).unwrap();
        for released in 1..STEPS.len() {
            let mut old = Connection::open_in_memory().unwrap();
            run(&mut old, &STEPS[..released]).unwrap();
            old.execute_batch(
                "INSERT INTO people (code) VALUES ('A');
                 INSERT INTO sessions VALUES ('s', 'A', NULL, 'home', 5, 0, 6);
                 INSERT INTO exercise_answers (session, condition, difficulty)
                     VALUES ('s', 'foam/together/open', 3);",
            )
            .unwrap();
            migrate(&mut old).unwrap();
            assert_eq!((version(&fresh), version(&old)), (5, 5));
            assert_eq!(schema(&fresh), schema(&old), "from version {released}");
            let kept = old
                .query_row(
                    "SELECT difficulty, pad, reference, pull FROM exercise_answers",
                    [],
                    |row| {
                        let words: [Option<String>; 3] = [row.get(1)?, row.get(2)?, row.get(3)?];
                        Ok((row.get(0)?, words))
                    },
                )
                .unwrap();
            assert_eq!(kept, (3, [None, None, None]), "from version {released}");
            migrate(&mut old).unwrap();
        }
    }

    #[test]
    fn a_step_that_fails_leaves_everything_as_it_was() {
        let mut database = Connection::open_in_memory().unwrap();
        run(&mut database, STEPS).unwrap();
        let before = schema(&database);
        let steps = [STEPS, &["CREATE TABLE half (a) STRICT; nonsense"]].concat();
        let error = run(&mut database, &steps).unwrap_err();
        assert_eq!(error.to_string(), "the schema cannot be brought from version 5 to 6");
        assert_eq!((version(&database), schema(&database)), (5, before));
    }

    #[test]
    fn databases_of_others_and_of_the_future_are_left_alone() {
        let mut other = Connection::open_in_memory().unwrap();
        other.execute_batch("CREATE TABLE theirs (a)").unwrap();
        assert!(matches!(migrate(&mut other), Err(MigrateError::NotRecords)));
        let mut future = Connection::open_in_memory().unwrap();
        migrate(&mut future).unwrap();
        future.pragma_update(None, "user_version", 99).unwrap();
        let error = migrate(&mut future).unwrap_err().to_string();
        assert_eq!(error, "it is of schema version 99, this program knows up to 5");
    }
}
