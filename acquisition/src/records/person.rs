//! People, known by a code.

use analysis::{PersonCode, keyed_enum};
use rusqlite::{Connection, OptionalExtension as _, Row, named_params};

use super::columns::{parsed, parsed_option};
use super::database::{Records, RecordsError};

/// What is recorded of a person.
#[derive(Debug, Clone, PartialEq)]
pub struct PersonRecord {
    /// The code by which everything else names them.
    pub code: PersonCode,
    /// A name for the clinician's eyes; never leaves in a package unless asked.
    pub name: Option<String>,
    /// Year of birth.
    pub birth_year: Option<u16>,
    /// Height in metres.
    pub height_m: Option<f64>,
    /// Mass in kilograms.
    pub mass_kg: Option<f64>,
    /// Where the complaint sits.
    pub affected_side: Option<AffectedSide>,
}

impl PersonRecord {
    /// A person of whom nothing but the code is known.
    pub const fn new(code: PersonCode) -> Self {
        Self {
            code,
            name: None,
            birth_year: None,
            height_m: None,
            mass_kg: None,
            affected_side: None,
        }
    }
}

keyed_enum! {
    /// On which side a complaint sits.
    pub enum AffectedSide ("side") {
        /// On neither.
        None = "none",
        /// On the left.
        Left = "left",
        /// On the right.
        Right = "right",
        /// On both.
        Both = "both",
    }
}

impl Records {
    /// Records a person, or what has changed about them.
    ///
    /// # Errors
    /// [`RecordsError`], also for a height, mass or year that no person has.
    pub fn put_person(&mut self, person: &PersonRecord) -> Result<(), RecordsError> {
        self.change(&person.code, |connection| put(connection, person))
    }

    /// What is recorded of a person; `None` if nothing is.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn person(&self, code: &PersonCode) -> Result<Option<PersonRecord>, RecordsError> {
        get(&self.connection, code)
    }

    /// Everybody, in the order of their codes.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn people(&self) -> Result<Vec<PersonRecord>, RecordsError> {
        let mut query = self.connection.prepare_cached("SELECT * FROM people ORDER BY code")?;
        let people = query.query_map([], from_row)?;
        Ok(people.collect::<Result<_, _>>()?)
    }
}

pub(super) fn put(connection: &Connection, person: &PersonRecord) -> Result<(), RecordsError> {
    connection.execute(
        "INSERT INTO people VALUES (:code, :name, :birth_year, :height_m, :mass_kg, :side)
         ON CONFLICT (code) DO UPDATE SET name = excluded.name, birth_year = excluded.birth_year,
             height_m = excluded.height_m, mass_kg = excluded.mass_kg,
             affected_side = excluded.affected_side",
        named_params! {
            ":code": person.code.as_str(),
            ":name": person.name,
            ":birth_year": person.birth_year,
            ":height_m": person.height_m,
            ":mass_kg": person.mass_kg,
            ":side": person.affected_side.map(AffectedSide::key),
        },
    )?;
    Ok(())
}

/// Records the code alone, for a trial whose person nobody has entered; false if it is known.
pub(super) fn ensure(connection: &Connection, code: &PersonCode) -> rusqlite::Result<bool> {
    let mut insert = connection
        .prepare_cached("INSERT INTO people (code) VALUES (?1) ON CONFLICT DO NOTHING")?;
    Ok(insert.execute([code.as_str()])? == 1)
}

pub(super) fn get(
    connection: &Connection,
    code: &PersonCode,
) -> Result<Option<PersonRecord>, RecordsError> {
    let mut query = connection.prepare_cached("SELECT * FROM people WHERE code = ?1")?;
    Ok(query.query_row([code.as_str()], from_row).optional()?)
}

fn from_row(row: &Row<'_>) -> rusqlite::Result<PersonRecord> {
    Ok(PersonRecord {
        code: parsed(row, "code")?,
        name: row.get("name")?,
        birth_year: row.get("birth_year")?,
        height_m: row.get("height_m")?,
        mass_kg: row.get("mass_kg")?,
        affected_side: parsed_option(row, "affected_side")?,
    })
}
